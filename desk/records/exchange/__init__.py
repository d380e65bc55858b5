"""What comes into an office from other programs' files, and goes out for them."""

from desk.wording import message

CUSTOMERS_IMPORTED = message("Customers imported")
"""The deed of taking in a whole file; it is undone as one."""
