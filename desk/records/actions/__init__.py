"""The door for windows and commands: what changes an office and what asks it, as frozen values."""

from desk.records.office.protocol import Command, Query

__all__ = ["Command", "Query"]
