"""The invented town of Quillhaven: its shop, supply areas and streets. None of it is real."""

from __future__ import annotations

from dataclasses import dataclass
from zoneinfo import ZoneInfo

from desk.records.office.founding import ShopDetails

ZONE = "America/New_York"
ZONE_INFO = ZoneInfo(ZONE)
LOCALITY = "Quillhaven"
REGION = "Ellermark"
POSTCODE = "00017"
"""No post office sorts numbers that begin with 000."""

SHOP = ShopDetails(
    name="Wetherfold Hot Water Service",
    zone=ZONE,
    street="11 Coopers Reach",
    locality=LOCALITY,
    region=REGION,
    postcode=POSTCODE,
    phone="(212) 555-0100",
    email="desk@wetherfold.example",
    licence="Ellermark contractor no. EX-0417",
)


@dataclass(frozen=True, slots=True)
class Area:
    """A water supply area.

    Attributes:
        share: of the shop's premises that lie in it; the shares add up to 1.
        hardness_gpg: lowest and highest hardness met there, grains per US gallon.
        streets: its streets.
    """

    name: str
    source: str
    share: float
    hardness_gpg: tuple[int, int]
    streets: tuple[str, ...]


HILL = Area(
    "Hill Reservoir",
    "mains",
    0.32,
    (2, 4),
    ("Larkspur Rise", "Old Beacon Road", "Juniper Steps", "Tolling Bell Lane", "Highmoor Row"),
)
LOW_WORKS = Area(
    "Low Works",
    "mains",
    0.33,
    (6, 9),
    ("Sparrowgate Lane", "Coopers Reach", "Ferry Stairs", "Lantern Street", "Millrace Walk"),
)
CHALKPIT = Area(
    "Chalkpit Wells",
    "mains",
    0.25,
    (19, 24),
    ("Chalkpit Road", "Whitestone Close", "Kilnfield Avenue", "Flintlock Row"),
)
OUTLYING = Area(
    "Private wells",
    "well",
    0.10,
    (9, 16),
    ("Upper Tarrow Road", "Hollin Farm Track", "Sedgeway"),
)
AREAS = (HILL, LOW_WORKS, CHALKPIT, OUTLYING)

MAIN_REPAIR_STREET = LOW_WORKS.streets[0]
"""The street whose water main is repaired on a day of :mod:`sample_db.visits.stories`."""

ACCESS_NOTES = (
    "",
    "",
    "",
    "Key with the neighbour at the back.",
    "Ring twice; the bell is slow.",
    "Cellar door is round the side, mind the step.",
    "Dog in the yard, call before you come.",
    "Parking only on the odd side.",
    "Appliance is in the attic; bring the long ladder.",
)
