"""What a shop wrote itself, as it stands in its files."""

from __future__ import annotations

NEW = """
[check.van_filter]
before = "flooding"
stage = "arrive"
title = { en = "Is the drain hose at hand?" }
why = { en = "This shop brings it in first." }
how = { en = ["Look in the van.", "Bring it in."] }
minutes = 1
answers = [{ id = "yes", text = { en = "Yes" } }, { id = "no", text = { en = "No" } }]
could_not = {}
"""

CAUSE = """
[cause.mouse]
zone = "water"
weight = 0.5
name = { en = "Mouse in the pipe" }
explanation = { en = "A mouse." }
remedy = { en = "Take it out." }
failure_mode = { en = "No flow" }
failure_mechanism = { en = "Plugging" }
failure_cause = { en = "A mouse" }
corrective_maintenance = { en = "Take it out" }
"""
FINDS = NEW.replace('{ en = "No" }', '{ en = "No" }, finds = ["mouse"]')
