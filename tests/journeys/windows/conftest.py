"""What windows remember in these journeys is theirs alone."""

from __future__ import annotations

from tests.windows.conftest import settings_of_the_test

__all__ = ["settings_of_the_test"]
