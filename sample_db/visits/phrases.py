"""What the invented technicians and callers say; plain sentences, varied a little."""

from __future__ import annotations

import tomllib
from pathlib import Path

WORK_DONE: dict[str, str] = tomllib.loads(
    Path(__file__).with_name("work_done.toml").read_text("utf-8")
)
"""What was done about each cause, by its id."""
OPENINGS = (
    "",
    "",
    "Found it as described. ",
    "Tried two outlets first. ",
    "Asked, then tried it. ",
)
CLOSINGS = (
    "",
    " Ran it for ten minutes: steady.",
    " Outlet temperature proved safe at the tap.",
    " Flow timed again before leaving.",
    " No leaks under pressure.",
)
TO_CONTINUE = "Part is not in the van; made safe and ordered it. "
SCREEN_FITTED = " Fitted an inlet screen so that grit no longer reaches the moving element."
REPLACED = "Past repair at its age; replaced the appliance and proved the new one. "
SERVICE = "Planned service: cleaned screen and strainer, checked seals, flow and temperature. "
LEFT = {
    "danger": (
        "Smell of gas at the door. Left with everybody and called from outside; did not go in.",
        "CO monitor sounded in the hall. Got everybody out and called from outside.",
    ),
    "standing_water": (
        "Water stood near electrics. Stayed out, and called the supplier to cut the supply.",
    ),
    "soot": (
        "Soot at the flue. Shut it off, got everybody out and called from outside.",
        "Scorching beside the burner. Shut it off, got everybody out and called from outside.",
    ),
    "co": ("CO monitor sounded at full fire. Got everybody out and called from outside.",),
    "could_not_check": ("Could not be sure that it was safe. Left, and called from outside.",),
}
"""What is written of a visit that stopped, by the answer that stopped it."""
NOT_CHECKED = (
    "Valve is painted over and would not move.",
    "No access behind the cupboard today.",
    "Tenant needed the water on.",
    "Meter battery was flat.",
)
NOTES = ("", "", "", "", "Showed the customer.", "Second try gave the same.", "Picture taken.")
ADVICE = {
    "water": "Have the strainer looked at once a year.",
    "sensing": "Hardness is worth watching; ask us about an inlet screen.",
    "response": "Keep the vent clear of snow and leaves.",
    "none": "Please call on the same day if it comes back, and leave it as it is.",
}
ADVICE_SCALD = "Children and elders burn faster: keep outlets at or below 120 °F (49 °C)."
REFUSED = "Did not want a mixing valve at the bath."
SAID = {
    "": "Yearly service is due.",
    "no_response": "Nothing happens when we open the hot tap.",
    "noticed_no_heat": "It starts up but the water stays cold.",
    "comes_and_goes": "Shower goes cold and then hot again.",
    "too_cool": "It never gets properly hot any more.",
    "too_little_flow": "Only a trickle from the hot side.",
    "call_with_taps_shut": "It starts by itself in the night.",
    "slow_to_arrive": "We wait for minutes upstairs.",
    "other": "It hums when the bath runs.",
}
SAID_AGAIN = ("It is back again.", "Same as last time.", "It worked for a while, now the same.")
CALLED_OFF = (
    "Works again, caller does not want a visit.",
    "Caller found the breaker off.",
    "Nobody can be home; will call again.",
)
CALLED_TWICE = "Same trouble, booked already."
ABSENT = ("Tenant had left for work.", "Landlord was not on site.", "Nobody home at the end.")
FAULT_CODES = ("E03", "E11", "F28", "A01", "11", "29")
OUTLETS = ("kitchen tap", "utility sink", "bath tap", "basin next to the appliance")
REFERRED_TO = ("a licensed gas fitter of the owner's choice", "the utility", "the owner's agent")
ORDERED = "Part on order; come back and fit it."
SECOND_LOOK = "Second look agreed."
RELIEF_VALVES = ("Free, its pipe open and dry.", "Seen: not plugged, no drip.")
LEAK_TESTS = ("Soap at every joint that was opened: tight.", "Gauge held ten minutes: tight.")
REFERRED = "Work for somebody with the licence; left as it was. "
SUSPECTED = "Found so far: {cause}."
AFTER_LEAVING = "Come back when the supplier has made it safe."
ABSENT_IN_DANGER = "Everybody had left the building."
