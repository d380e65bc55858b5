"""What every window is drawn with: colours by what they mean, sizes of letters, spaces, corners.

A colour means one thing, never alone: a word and a shape stand beside it. Petrol is what to do
next, red is danger, amber a caution, green what is done; everything else is neutral.
"""

from __future__ import annotations

from dataclasses import dataclass

CAPTION, BODY, STRONG, TITLE = 12, 14, 16, 20
"""Heights of letters at the counter at 100 %, in device-independent pixels."""
SHEET_CAPTION, SHEET_BODY, SHEET_STRONG, QUESTION, DIGITS = 14, 16, 18, 26, 72
"""Those of the visit sheet, which is read at arm's length; its titles are the counter's."""
TEXT_SIZES = (100, 115, 130)
"""In per cent of these heights, what a person may choose: beyond them a screen of 1280 x 720 cuts
words off. What a system enlarges as a whole comes on top."""

HAIRLINE, RING = 1, 3
"""How broad an edge is, and the ring around what the keys act on."""
CONTROL_RADIUS, CARD_RADIUS = 8, 12
TARGET, SHEET_TARGET = 32, 44
"""Smallest height of what is pressed or typed in, at the counter and on the visit sheet."""
ANSWER, SMALL_ANSWER = 72, 60
"""Smallest height of an answer to a check, in a usual window and in a small one."""
TOP, SMALL_TOP = 64, 44
"""Height of the band at the top of the visit sheet, in a usual window and in a small one."""


@dataclass(frozen=True, slots=True)
class Theme:
    """The colours of one look, each by what it means.

    Attributes:
        name: by which a person's choice is kept.
        ground: behind everything.
        surface: of cards, fields and buttons.
        sunken: of what lies back, and under the mouse.
        line: between parts; it shows no control.
        edge: of what is pressed or typed in.
        text: what is read.
        quiet: what is read second, and what cannot be used now.
        act: the one thing to do next; what is chosen; links.
        on_act: text on it.
        act_soft: behind what is chosen.
        danger: what can hurt somebody.
        on_danger: text on it.
        danger_soft: behind text about it.
        caution: what to heed first.
        caution_soft: behind text about it.
        done: what is finished and good.
        done_soft: behind text about it.
    """

    name: str
    ground: str
    surface: str
    sunken: str
    line: str
    edge: str
    text: str
    quiet: str
    act: str
    on_act: str
    act_soft: str
    danger: str
    on_danger: str
    danger_soft: str
    caution: str
    caution_soft: str
    done: str
    done_soft: str

    def pairs(self) -> dict[str, tuple[str, str]]:
        """Return every pair of text and ground that is written, by what it is for."""
        grounds = (
            ("ground", self.ground),
            ("surface", self.surface),
            ("sunken", self.sunken),
        )
        inks = ("text", "quiet", "act", "danger", "caution", "done")
        return {
            f"{ink} on {name}": (str(getattr(self, ink)), ground)
            for ink in inks
            for name, ground in grounds
        } | {
            "text on what is to be done": (self.on_act, self.act),
            "text on danger": (self.on_danger, self.danger),
            "what is chosen": (self.text, self.act_soft),
            "text about danger": (self.text, self.danger_soft),
            "danger on its ground": (self.danger, self.danger_soft),
            "text about a caution": (self.text, self.caution_soft),
            "caution on its ground": (self.caution, self.caution_soft),
            "text about what is done": (self.text, self.done_soft),
            "done on its ground": (self.done, self.done_soft),
        }


DAY = Theme(
    name="day",
    ground="#f4f3ef",
    surface="#ffffff",
    sunken="#eceae4",
    line="#d5d2c8",
    edge="#85857c",
    text="#1b2226",
    quiet="#566067",
    act="#0e5a68",
    on_act="#ffffff",
    act_soft="#dcebec",
    danger="#a8201a",
    on_danger="#ffffff",
    danger_soft="#fbe3e0",
    caution="#7a4b00",
    caution_soft="#fff0d1",
    done="#1c6638",
    done_soft="#dff1e4",
)
"""Light, for a desk by a window."""
BASEMENT = Theme(
    name="basement",
    ground="#101416",
    surface="#1a2023",
    sunken="#0b0e10",
    line="#333c41",
    edge="#757f83",
    text="#f2f0e9",
    quiet="#b4bbbd",
    act="#6cc5d2",
    on_act="#06282e",
    act_soft="#143840",
    danger="#ff8a80",
    on_danger="#3a1614",
    danger_soft="#3a1614",
    caution="#f2c063",
    caution_soft="#3a2c0f",
    done="#7fd19b",
    done_soft="#12301d",
)
"""Dark and high in contrast, for where there is little light."""
STOP, ON_STOP = "#8e1b15", "#ffffff"
"""The page that says stop and leave, the same in every look, and what is written on it."""
LOOKS = {look.name: look for look in (DAY, BASEMENT)}
