"""One byte turned round in many places of an office: a check-up never stumbles, and finds most.

Places are those of a fixed seed, in pages that hold something; every bit of the byte is turned.
"""

from __future__ import annotations

import hashlib
import random
import shutil
import sys
from pathlib import Path

import pytest

from desk.records.check_up import check_up
from tests.conftest import StillClock
from tests.records.sealed_visits import seal_a_full_visit

PLACES = 120
PAGE = 4096
LEAST_FOUND = 0.85
"""Of a small office; what stands in few other places goes unseen, such as a name or an address."""


def _places(content: bytes) -> list[int]:
    chance = random.Random(2026)
    full = [place for place, byte in enumerate(content) if byte and place >= PAGE]
    return chance.sample(full, PLACES)


@pytest.mark.fault
def test_a_byte_turned_round_never_stops_a_check_up_and_is_mostly_found(
    empty_office: Path, tmp_path: Path
) -> None:
    sound, spoilt = tmp_path / "sound.drawoff", tmp_path / "spoilt.drawoff"
    shutil.copyfile(empty_office, sound)
    seal_a_full_visit(sound, StillClock())
    content = sound.read_bytes()
    found = 0
    for place in _places(content):
        turned = bytearray(content)
        turned[place] ^= 0xFF
        spoilt.write_bytes(turned)
        found += bool(list(check_up(spoilt, now=StillClock())))
        assert hashlib.sha256(spoilt.read_bytes()).digest() == hashlib.sha256(turned).digest()
        assert sorted(one.name for one in tmp_path.iterdir()) == [sound.name, spoilt.name]
    sys.stdout.write(f"{found} of {PLACES} bytes that were turned round were found\n")
    assert found >= LEAST_FOUND * PLACES
