"""When two ways of writing mean the same place, appliance or telephone number."""

from __future__ import annotations

from desk.base.text_folding import fold

_ABBREVIATED = {
    "alley": "aly", "avenue": "ave", "av": "ave", "boulevard": "blvd", "circle": "cir",
    "close": "cl", "court": "ct", "cove": "cv", "crescent": "cres", "crossing": "xing",
    "drive": "dr", "east": "e", "estates": "ests", "expressway": "expy", "fort": "ft",
    "freeway": "fwy", "gardens": "gdns", "grove": "grv", "heights": "hts", "highway": "hwy",
    "hill": "hl", "hills": "hls", "hollow": "holw", "island": "is", "junction": "jct",
    "lake": "lk", "landing": "lndg", "lane": "ln", "manor": "mnr", "meadow": "mdw",
    "meadows": "mdws", "mount": "mt", "mountain": "mtn", "north": "n", "northeast": "ne",
    "northwest": "nw", "parkway": "pkwy", "place": "pl", "plaza": "plz", "point": "pt",
    "ridge": "rdg", "road": "rd", "route": "rte", "saint": "st", "south": "s",
    "southeast": "se", "southwest": "sw", "spring": "spg", "springs": "spgs", "square": "sq",
    "station": "sta", "street": "st", "str": "st", "terrace": "ter", "trail": "trl",
    "turnpike": "tpke", "valley": "vly", "view": "vw", "village": "vlg", "vista": "vis",
    "west": "w",
}  # fmt: skip
"""USPS Publication 28, appendices B and C1 (from memory); ``cl`` and ``cres`` are common practice,
no source."""

_UNITS = frozenset({"apartment", "apt", "no", "number", "ste", "suite", "unit"})
"""What stands before the number of a unit; which of these says nothing about where it is."""


def street_words(street: str) -> list[str]:
    """Return the words of a street, house number and unit, each in its one way of writing."""
    bare = "".join(sign for sign in fold(street) if sign not in ".'’")
    words = "".join(sign if sign.isalnum() else " " for sign in bare).split()
    return [_ABBREVIATED.get(word, word) for word in words if word not in _UNITS]


def street_key(street: str) -> str:
    """Return what is the same for every way of writing a street with its house number.

    ``12 Weir Street, Apt. 4`` and ``12 WEIR ST #4`` give the same key.
    """
    return "".join(street_words(street))


def serial_key(serial: str) -> str:
    """Return what is the same for every way of writing a serial number: its letters and digits."""
    return "".join(sign for sign in fold(serial) if sign.isalnum())


def is_same_number(one: str, other: str) -> bool:
    """Return whether two telephone numbers may be the same, one perhaps without its area code."""
    import phonenumbers

    kinds = phonenumbers.MatchType
    return phonenumbers.is_number_match(one, other) in {
        kinds.EXACT_MATCH, kinds.NSN_MATCH, kinds.SHORT_NSN_MATCH
    }  # fmt: skip
