"""What windows stand on in these journeys, and what they remember, is theirs alone."""

from __future__ import annotations

from tests.windows.conftest import office_path, settings_of_the_test, small_content, starts

__all__ = ["office_path", "settings_of_the_test", "small_content", "starts"]
