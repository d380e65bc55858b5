"""What windows stand on in these journeys, and what they remember, is theirs alone."""

from __future__ import annotations

from tests.windows.conftest import settings_of_the_test, small_content

__all__ = ["settings_of_the_test", "small_content"]
