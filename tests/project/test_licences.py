"""Which licence the program is under, and those of what it stands on."""

from __future__ import annotations

import re
import subprocess
import sys
import zipfile
from email import message_from_bytes
from pathlib import Path

import desk
from tests.project import notices

BUILD = "import sys; from hatchling import build; print(build.build_wheel(sys.argv[1]))"


def test_the_wheel_names_its_licence_and_carries_it(tmp_path: Path) -> None:
    command = [sys.executable, "-c", BUILD, str(tmp_path)]
    built = subprocess.run(command, cwd=notices.TOP, capture_output=True, text=True, check=True)
    with zipfile.ZipFile(tmp_path / built.stdout.strip()) as wheel:
        info = f"drawoff-{desk.__version__}.dist-info"
        told = message_from_bytes(wheel.read(f"{info}/METADATA"))
        assert told["License-Expression"] == "Apache-2.0"
        named = told.get_all("License-File", [])
        assert {"LICENSE", "THIRD_PARTY_NOTICES.md", "resources/fonts/OFL.txt"} <= set(named)
        for name in named:
            assert wheel.read(f"{info}/licenses/{name}") == (notices.TOP / name).read_bytes()


def test_the_notices_name_every_library_with_its_licence_of_today() -> None:
    kept = notices.NOTICES.read_text().split(notices.BEGIN)[1].split(notices.END)[0]
    assert kept.strip() == notices.table(), "python -m tests.project.notices"


def test_the_notices_name_every_font() -> None:
    told = notices.NOTICES.read_text()
    fonts = {path.name for path in (notices.TOP / "resources" / "fonts").glob("*.ttf")}
    named = {path.name for glob in re.findall(r"fonts/(\S+\.ttf)", told) for path in
             (notices.TOP / "resources" / "fonts").glob(glob)}  # fmt: skip
    assert named == fonts
