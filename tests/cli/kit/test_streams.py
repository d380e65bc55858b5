"""Output goes into any code page and any pipe, and a start without a console raises nothing."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.every_day import every_day

CODE_PAGES = ("cp1252", "cp437", "cp850", "ascii", "latin-1", "utf-8")
COMMANDS = (
    ("heat", "--help"),
    ("heat", "--fuel", "electric", "--rated-input", "4.5 kW"),
    ("gas", "--help"),
    ("gas", "--fuel", "natural"),
    ("contact", "--help"),
    ("flow", "--help"),
    ("water", "--help"),
    ("rank", "--help"),
    ("cards", "no-such-list"),
    ("--help",),
    ("check-up", "--office", "no → such … office"),
)


def _at_home(home: Path) -> dict[str, str]:
    return {"HOME": str(home), "XDG_DATA_HOME": str(home / "data")}


def _run(code: str, encoding: str, home: Path) -> subprocess.CompletedProcess[bytes]:
    told = {"PYTHONIOENCODING": f"{encoding}:strict", "PYTHONUTF8": "0", **_at_home(home)}
    return subprocess.run(
        [sys.executable, "-c", code], capture_output=True, check=False, env=os.environ | told
    )


@pytest.mark.parametrize("encoding", every_day(CODE_PAGES, ["cp437"]))
def test_every_command_writes_into_every_code_page(encoding: str, tmp_path: Path) -> None:
    code = f"""
from tests.every_day import every_day
from desk.cli import main
for arguments in {COMMANDS!r}:
    assert main(arguments) in (0, 2), arguments
"""
    done = _run(code, encoding, tmp_path)
    assert done.returncode == 0, done.stderr
    assert b"Traceback" not in done.stderr
    assert b"mistake" not in done.stderr
    assert done.stdout


@pytest.mark.parametrize("encoding", CODE_PAGES)
def test_signs_that_a_code_page_lacks_have_stand_ins(encoding: str, tmp_path: Path) -> None:
    code = """
import sys
from desk.cli.kit.streams import mend_streams
mend_streams()
sys.stdout.write("2 ± 1 → “≤ 3”, é Ł 漢 ½ \\udc80")
"""
    done = _run(code, encoding, tmp_path)
    assert done.returncode == 0, done.stderr
    said = done.stdout.decode(encoding)
    if encoding == "ascii":
        assert said == '2 +/- 1 -> "<= 3", e ? ? 1?2 ?'
    if encoding == "utf-8":
        assert said == "2 ± 1 → “≤ 3”, é Ł 漢 ½ ?"


def test_a_start_without_a_console_raises_nothing(tmp_path: Path) -> None:
    code = f"""
import sys
sys.stdout = sys.stderr = sys.__stdout__ = sys.__stderr__ = None
from desk.cli import main
sys.exit(0 if {{main(arguments) for arguments in {COMMANDS!r}}} <= {{0, 2}} else 9)
"""
    done = _run(code, "utf-8", tmp_path)
    assert (done.returncode, done.stderr) == (0, b"")
    assert not list(tmp_path.rglob("drawoff.log"))


def test_a_windowed_start_without_a_console_opens_the_counter(tmp_path: Path) -> None:
    code = """
import sys
sys.stdout = sys.stderr = sys.__stdout__ = sys.__stderr__ = None
from PySide6.QtCore import QTimer
from desk.windows import app
seen = []
show = app.Start.show
def shown(start):
    show(start)
    seen.append(start)
    QTimer.singleShot(1500, start.close)
app.Start.show = shown
from desk.cli import main
status = main([])
sys.exit(status if seen else 9)
"""
    told = {"QT_QPA_PLATFORM": "offscreen", **_at_home(tmp_path)}
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, check=False, env=os.environ | told
    )
    assert done.returncode == 0, done.stderr
    assert b"Traceback" not in done.stderr
    assert not list(tmp_path.rglob("drawoff.log"))
