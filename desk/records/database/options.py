"""What both engines are told of a connection, and how our files are marked."""

from __future__ import annotations

from desk.base.office_files import OFFICE_MARK

APPLICATION_ID = OFFICE_MARK
BUSY_MS = 10_000
WRITES = "drawoff_writes"
"""Execution option of a connection that is going to write."""
