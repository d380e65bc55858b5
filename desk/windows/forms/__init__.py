"""Short forms, list windows, the bar that takes back, and the choice where two desks differ."""
