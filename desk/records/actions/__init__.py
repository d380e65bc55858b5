"""The door for windows and commands: what changes an office and what asks it, as frozen values."""

from desk.records.office.protocol import Deed, Look

__all__ = ["Deed", "Look"]
