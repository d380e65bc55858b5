"""What comes into an office from other programs' files, and goes out for them."""

from desk.base.texts import message

CUSTOMERS_IMPORTED = message("Customers imported")
"""What history says of taking in a whole file; it is undone as one."""

APPLIANCES_IMPORTED = message("Appliances imported")
PARTS_IMPORTED = message("Parts imported")
VISITS_IMPORTED = message("Visits imported")
IMPORTS = frozenset(
    what.id for what in (CUSTOMERS_IMPORTED, APPLIANCES_IMPORTED, PARTS_IMPORTED, VISITS_IMPORTED)
)
"""The units of work of taking in a whole file; each is undone as one."""
