"""A program goes on saving while its office is replaced or taken away: it stops saying *saved*."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

from desk.base import paths

SAVER = Path(__file__).with_name("saver.py")
SEEN_WITHIN_S = 10


@pytest.mark.fault
@pytest.mark.parametrize("act", ["replaced", "taken away"])
def test_a_saving_program_acknowledges_nothing_after_its_office_is_gone(
    empty_office: Path, tmp_path: Path, act: str, capsys: pytest.CaptureFixture[str]
) -> None:
    late = 0
    for turn in range(10):
        place = tmp_path / f"{turn}.drawoff"
        shutil.copyfile(empty_office, place)
        shutil.copyfile(empty_office, copy := tmp_path / "copy")
        with subprocess.Popen(
            [sys.executable, str(SAVER), str(place)],
            stdout=subprocess.PIPE,
            env=os.environ | {"PYTHONPATH": str(paths.bundled())},
            text=True,
        ) as saver:
            assert saver.stdout is not None
            assert saver.stdout.readline().startswith("saved")
            time.sleep(0.05)
            if act == "replaced":
                copy.replace(place)
            else:
                place.unlink()
            gone_at = time.time_ns()
            said = saver.stdout.read().splitlines()
            saver.wait(SEEN_WITHIN_S)
        assert said[-1] == "refused OfficeGone"
        late += sum(int(line.rpartition(" ")[2]) > gone_at for line in said[:-1])
    with capsys.disabled():
        sys.stdout.write(f"\noffices {act}: 10; saves acknowledged afterwards: {late}\n")
    assert late == 0
