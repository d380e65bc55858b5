"""`python -m desk.trade.content [folder]`: validates content, and counts what it holds."""

import sys
from pathlib import Path

from desk.trade.content.loader import main

sys.exit(main(*map(Path, sys.argv[1:2])))
