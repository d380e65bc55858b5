"""UUIDv7 keys, made where the row is made, so that a laptop needs nobody's leave."""

from __future__ import annotations

import secrets
import uuid
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MILLISECOND = timedelta(milliseconds=1)


class KeyMaker:
    """Makes UUIDv7 keys that rise even within a millisecond (RFC 9562, section 6.2, method 2).

    The clock and the randomness are given, so that a sample office is the same every time.
    """

    def __init__(
        self, now: Callable[[], datetime], randbits: Callable[[int], int] = secrets.randbits
    ) -> None:
        self._now = now
        self._randbits = randbits
        self._last_ms = -1
        self._tail = 0

    def __call__(self) -> uuid.UUID:
        """Return a new key, larger than every one made before it here."""
        ms = (self._now() - _EPOCH) // _MILLISECOND
        if ms > self._last_ms:
            self._last_ms = ms
            self._tail = self._randbits(73)  # one bit of 74 is left free to count up in
        else:  # same millisecond, or a clock that was set back
            self._tail += 1 + self._randbits(16)
        return _uuid7(self._last_ms, self._tail)


def _uuid7(ms: int, tail: int) -> uuid.UUID:
    """Lay out 48 bits of time and 74 of tail with the version and the variant."""
    high, low = tail >> 62, tail & ((1 << 62) - 1)
    return uuid.UUID(int=(ms << 80) | (0x7 << 76) | ((high & 0xFFF) << 64) | (0b10 << 62) | low)
