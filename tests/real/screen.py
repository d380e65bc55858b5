"""A screen of its own for a program that is met from outside: seen as a picture, touched by keys.

Xvfb shows the screen in a mapped file, so that looking costs nothing; xdotool has the keyboard and
the mouse; Tesseract reads what stands there, as eyes would. Nothing here knows the program.
"""

from __future__ import annotations

import csv
import difflib
import os
import re
import shutil
import struct
import subprocess
import time
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image
from scipy import ndimage

TOOLS = ("Xvfb", "xdotool", "openbox", "tesseract")
MUST_RUN = "DRAWOFF_TESTS_NEED_SCREEN"
"""Set where a run without these tools has to fail, as in ``.ci/run``."""
WIDE, HIGH = 1280, 720
type Part = tuple[int, int, int, int]
"""Left, top, right and bottom of what is read."""
WHOLE: Part = (0, 0, WIDE, HIGH)
PATIENCE_S = 20.0
STILL_S = 0.12
"""A screen on which nothing moves for so long has shown its answer."""
ALIKE = 0.84
"""How like two words are that are the same to a reader of small letters."""
_LARGER = 2
_XWD_HEADER = struct.Struct(">25I")


def absent() -> list[str]:
    """Return the tools that are not on this machine."""
    return [tool for tool in TOOLS if shutil.which(tool) is None]


@dataclass(frozen=True, slots=True)
class Word:
    """A word as it was read, in the middle of which one can click."""

    text: str
    line: tuple[str, ...]
    left: int
    top: int
    right: int
    bottom: int


class NotSeen(AssertionError):
    """What a person would have looked for did not come."""


class Screen:
    """One virtual screen with a window manager."""

    def __init__(self, display: str, frames: Path, pictures: Path) -> None:
        self.display = display
        self.environment = os.environ | {"DISPLAY": display}
        self._memory = np.memmap(frames / "Xvfb_screen0", dtype=np.uint8, mode="r")
        header = _XWD_HEADER.unpack(self._memory[: _XWD_HEADER.size].tobytes())
        self._start = header[0] + header[19] * 12  # the header, then its colours
        self._row_bytes = header[12]
        self._pictures = pictures
        self._steps: list[tuple[str, bytes]] = []

    def pixels(self) -> np.ndarray[tuple[int, ...], np.dtype[np.uint8]]:
        """Return the picture now: rows, columns, red green blue."""
        flat = self._memory[self._start : self._start + self._row_bytes * HIGH]
        rows = np.array(flat).reshape(HIGH, self._row_bytes // 4, 4)[:, :WIDE]
        return rows[:, :, 2::-1]

    def keep_picture(self, step: str) -> None:
        """Keep what is seen now, named by the step that has just been done."""
        self._steps.append((step, zlib.compress(self.pixels().tobytes(), 1)))

    def write_pictures(self) -> Path:
        """Write the picture of every step so far into files; return their folder."""
        for number, (step, kept) in enumerate(self._steps, 1):
            name = re.sub(r"[^a-z0-9]+", "-", step.lower()).strip("-")[:60]
            pixels = np.frombuffer(zlib.decompress(kept), np.uint8).reshape(HIGH, WIDE, 3)
            path = self._pictures / f"{number:02d}-{name}.png"
            Image.fromarray(pixels).save(path, compress_level=1)
        return self._pictures

    def rest(self, still: float = STILL_S, within: float = PATIENCE_S) -> None:
        """Wait until nothing has moved for a while; what moves for ever is taken as it is."""
        end = time.monotonic() + within
        before, since = self.pixels(), time.monotonic()
        while time.monotonic() < end:
            time.sleep(0.03)
            now = self.pixels()
            if not np.array_equal(now, before):
                before, since = now, time.monotonic()
            elif time.monotonic() - since >= still:
                return

    def do(self, *words: str) -> str:
        """Have xdotool do something; return what it says."""
        done = subprocess.run(
            ["xdotool", *words],
            env=self.environment,
            capture_output=True,
            text=True,
            timeout=PATIENCE_S,
            check=False,
        )
        return done.stdout

    def press(self, *keys: str) -> None:
        """Press keys one after another, each as ``ctrl+n``; then wait until the screen rests."""
        self.do("key", "--clearmodifiers", "--delay", "25", *keys)
        self.keep_picture("+".join(keys))
        self.rest()

    def write(self, text: str) -> None:
        """Type a text where the keyboard is; then wait until the screen rests."""
        self.do("type", "--clearmodifiers", "--delay", "12", "--", text)
        self.rest()
        self.keep_picture(text)

    def click(self, phrase: str) -> None:
        """Click on a phrase that stands on the screen."""
        word = self.see(phrase)
        x, y = (word.left + word.right) // 2, (word.top + word.bottom) // 2
        self.do("mousemove", str(x), str(y), "click", "1")
        self.do("mousemove", str(WIDE - 2), str(HIGH - 2))  # its arrow hides what stands there
        self.rest()
        self.keep_picture(f"click {phrase}")

    def read(self, part: Part = WHOLE) -> list[Word]:
        """Return every word on a part of the screen, in the order of reading."""
        picture = Image.fromarray(_without_frames(self.pixels())).crop(part)
        size = (picture.width * _LARGER, picture.height * _LARGER)
        large = picture.resize(size, Image.Resampling.BICUBIC)
        path = self._pictures / "reading.png"
        large.save(path, compress_level=1)
        said = subprocess.run(
            ["tesseract", str(path), "-", "--psm", "11", "-c", "tessedit_create_tsv=1"],
            env=self.environment | {"OMP_THREAD_LIMIT": "1"},
            capture_output=True,
            text=True,
            timeout=PATIENCE_S * 3,
            check=True,
        ).stdout
        rows = csv.DictReader(said.splitlines(), delimiter="\t", quoting=csv.QUOTE_NONE)
        written = [row for row in rows if row["level"] == "5" and row["text"].strip()]
        return [_word(row, part) for row in written]

    def text(self, part: Part = WHOLE) -> str:
        """Return what stands on a part of the screen as one text."""
        return " ".join(word.text for word in self.read(part))

    def see(self, phrase: str, within: float = PATIENCE_S) -> Word:
        """Wait until a phrase stands on the screen, and return where.

        Raises:
            NotSeen: it did not come.
        """
        end = time.monotonic() + within
        while True:
            found = find(self.read(), phrase)
            if found is not None:
                return found
            if time.monotonic() > end:
                self.keep_picture(f"not seen {phrase}")
                raise NotSeen(f"{phrase!r} is not on the screen: {self.text()}")
            time.sleep(0.1)

    def sees(self, phrase: str) -> bool:
        """Return whether a phrase stands on the screen now."""
        return find(self.read(), phrase) is not None

    def titles(self) -> list[str]:
        """Return the titles of the windows that are shown."""
        keys = self.do("search", "--onlyvisible", "--name", ".").split()
        return [self.do("getwindowname", key).strip() for key in keys]

    def front(self) -> str:
        """Return the title of the window that has the keyboard."""
        return self.do("getactivewindow", "getwindowname").strip()

    def corner(self) -> tuple[int, int]:
        """Return where the inside of the window that has the keyboard begins."""
        said = self.do("getactivewindow", "getwindowgeometry", "--shell")
        told = dict(line.split("=") for line in said.split())
        return int(told["X"]), int(told["Y"])

    def await_front(self, title: str, within: float = PATIENCE_S) -> None:
        """Wait until a window with this in its title has the keyboard.

        Raises:
            NotSeen: it did not come.
        """
        end = time.monotonic() + within
        while title not in self.front():
            if time.monotonic() > end:
                self.keep_picture(f"no window {title}")
                raise NotSeen(f"{title!r} is not in front but {self.front()!r}")
            time.sleep(0.05)
        self.rest()


def _without_frames(
    pixels: np.ndarray[tuple[int, ...], np.dtype[np.uint8]],
) -> np.ndarray[tuple[int, ...], np.dtype[np.uint8]]:
    """Return a grey picture without the thin lines around buttons, which eyes do not read."""
    grey = pixels.mean(axis=2).astype(np.uint8)
    ink = np.abs(grey.astype(int) - int(np.median(grey))) > 40
    frames = ndimage.binary_opening(ink, np.ones((1, 40))) | ndimage.binary_opening(
        ink, np.ones((20, 1))
    )
    filled = ndimage.binary_dilation(ndimage.binary_opening(ink, np.ones((5, 5))), iterations=8)
    grey[frames & ~filled] = np.median(grey)
    return grey


def _word(row: dict[str, str], part: Part) -> Word:
    left = part[0] + int(row["left"]) // _LARGER
    top = part[1] + int(row["top"]) // _LARGER
    wide, high = int(row["width"]) // _LARGER, int(row["height"]) // _LARGER
    line = tuple(row[name] for name in ("page_num", "block_num", "par_num", "line_num"))
    return Word(row["text"], line, left, top, left + wide, top + high)


def find(words: list[Word], phrase: str) -> Word | None:
    """Return where a phrase stands in what was read, or None; small misreadings are forgiven."""
    wanted = _parts(phrase)
    read = [(part, word) for word in words for part in _parts(word.text)]
    for at in range(len(read) - len(wanted) + 1):
        here = read[at : at + len(wanted)]
        if all(_alike(part, want) for (part, _), want in zip(here, wanted, strict=True)):
            first, last = here[0][1], here[-1][1]
            end = last if last.line == first.line else first
            return Word(phrase, first.line, first.left, first.top, end.right, end.bottom)
    return None


def _parts(text: str) -> list[str]:
    return re.findall(r"[^\W\d_]+|\d+", text.casefold())


def _alike(read: str, wanted: str) -> bool:
    if read == wanted:
        return True
    if len(wanted) < 4 or wanted[0].isdigit():
        return False
    return difflib.SequenceMatcher(None, read, wanted).ratio() >= ALIKE


@contextmanager
def virtual_screen(folder: Path) -> Iterator[Screen]:
    """Start a screen with a window manager, and stop both however the block ends."""
    frames, pictures = folder / "frames", folder / "pictures"
    frames.mkdir(parents=True)
    pictures.mkdir()
    reading, writing = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(writing), "-screen", "0", f"{WIDE}x{HIGH}x24",
         "-fbdir", str(frames), "-nolisten", "tcp", "-noreset"],
        pass_fds=(writing,),
        stderr=subprocess.DEVNULL,
    )  # fmt: skip
    os.close(writing)
    manager: subprocess.Popen[bytes] | None = None
    try:
        with os.fdopen(reading) as answer:
            number = answer.readline().strip()
        if not number:
            raise NotSeen("the virtual screen did not start")
        display = f":{number}"
        quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
        rules = Path(__file__).with_name("window_manager.xml")
        manager = subprocess.Popen(
            ["openbox", "--sm-disable", "--config-file", str(rules)],
            env=os.environ | {"DISPLAY": display},
            **quiet,
        )
        yield Screen(display, frames, pictures)
    finally:
        for process in (manager, server):
            if process is not None:
                process.terminate()
                process.wait(PATIENCE_S)
