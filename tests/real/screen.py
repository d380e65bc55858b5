"""A screen of its own for a program that is met from outside: seen as a picture, touched by keys.

Xvfb shows the screen in a mapped file, so that looking costs nothing; xdotool has the keyboard and
the mouse; what stands there is read as eyes would read it. Nothing here knows the program.
"""

from __future__ import annotations

import os
import re
import shutil
import struct
import subprocess
import time
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
from PIL import Image

from tests.real import reading
from tests.real.reading import Part, Word, find

TOOLS = ("Xvfb", "xdotool", "openbox")
MUST_RUN = "DRAWOFF_TESTS_NEED_SCREEN"
"""Set where a run without these tools has to fail, as in ``.ci/run``."""
WIDE, HIGH = 1280, 720
WHOLE: Part = (0, 0, WIDE, HIGH)
PATIENCE_S = 20.0
TURNS = 12
STILL_S = 0.12
"""A screen on which nothing moves for so long has shown its answer."""
_XWD_HEADER = struct.Struct(">25I")


def absent() -> list[str]:
    """Return the tools that are not on this machine."""
    missing = [tool for tool in TOOLS if shutil.which(tool) is None]
    return missing if reading.library() else [*missing, "tesseract"]


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
        self._seen: bytes | None = None

    def pixels(self) -> np.ndarray[tuple[int, ...], np.dtype[np.uint8]]:
        """Return the picture now: rows, columns, red green blue."""
        return self._rows(self._frame())

    def _frame(self) -> bytes:
        """Return the picture now as the screen keeps it, the quickest to compare."""
        return self._memory[self._start : self._start + self._row_bytes * HIGH].tobytes()

    def _rows(self, frame: bytes) -> np.ndarray[tuple[int, ...], np.dtype[np.uint8]]:
        flat = np.frombuffer(frame, np.uint8)
        return flat.reshape(HIGH, self._row_bytes // 4, 4)[:, :WIDE, 2::-1]

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
        before, since = self._frame(), time.monotonic()
        while time.monotonic() < end:
            time.sleep(0.02)
            now = self._frame()
            if now != before:
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
        self.rest()
        self.keep_picture("+".join(keys))

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

    def scroll_to(self, phrase: str, over: tuple[int, int]) -> Word:
        """Turn the wheel over a place until a phrase stands on the screen, and return where.

        Raises:
            NotSeen: it did not come.
        """
        for _turn in range(TURNS):
            if self.sees(phrase):
                break
            self.do("mousemove", *map(str, over), "click", "--repeat", "3", "5")
            self.do("mousemove", str(WIDE - 2), str(HIGH - 2))
            self.rest()
        self.keep_picture(f"scroll to {phrase}")
        return self.see(phrase)

    def read(self, part: Part = WHOLE) -> Iterator[Word]:
        """Give every word on a part of the screen as it is now, in the order of reading."""
        self._seen = self._frame()
        left, top, right, bottom = part
        colours = np.ascontiguousarray(self._rows(self._seen)[top:bottom, left:right])
        return reading.read(np.asarray(Image.fromarray(colours).convert("L")), (left, top))

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
            self.await_change(until=end)

    def await_change(self, until: float) -> None:
        """Wait until another picture is there than was read last, or it is too late."""
        while self._frame() == self._seen and time.monotonic() < until:
            time.sleep(0.02)

    def sees(self, phrase: str) -> bool:
        """Return whether a phrase stands on the screen now."""
        return find(self.read(), phrase) is not None

    def titles(self) -> list[str]:
        """Return the titles of the windows that are shown."""
        keys = self.do("search", "--onlyvisible", "--name", ".").split()
        return [self.do("getwindowname", key).strip() for key in keys]

    def await_windows(self, title: str, count: int, within: float = PATIENCE_S) -> None:
        """Wait until so many windows with this in their title are shown, and rest.

        Raises:
            NotSeen: they did not come.
        """
        end = time.monotonic() + within
        while sum(title in one for one in self.titles()) < count:
            if time.monotonic() > end:
                self.keep_picture(f"not {count} windows {title}")
                raise NotSeen(f"there are not {count} windows {title!r} but {self.titles()}")
            time.sleep(0.05)
        self.rest(0.5)

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
