"""A small checklist of the tests' own, in which windows are tried: it changes with them alone.

It is sound as the shipped one has to be, and asks what tests of windows speak of: the door, the
draws, a flow, a repair in each zone, and the end. What is answered is worded after the shipped
checks, so that one script (:mod:`tests.journeys.scripts`) is worked in both.
"""

from __future__ import annotations

from pathlib import Path

from desk.trade.content.loader import load_content

FOLDER = Path(__file__).parent
CONTENT = load_content(FOLDER)
LIST = CONTENT.checklists["hot-water"]
