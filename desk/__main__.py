"""``python -m desk``: the same as the command ``drawoff``."""

from __future__ import annotations

import sys

from desk.cli import main

if __name__ == "__main__":
    sys.exit(main())
