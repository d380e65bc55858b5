"""Everything out of an office and in again, as JSON lines."""
