"""The real program in a process of its own, on a screen of its own, at an office of its own."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from desk.base import paths
from desk.base.files import Target
from desk.records.office.office import Office
from desk.records.whole_office.dump import export_everything
from tests.real.screen import PATIENCE_S, NotSeen, Screen

DRAWOFF = Path(sys.executable).with_name("drawoff")
UNEXPECTED = " ERROR "
"""How the log marks a mistake of the program's own."""


class Person:
    """Somebody at a machine: a home folder, an office in it, and the program's commands."""

    def __init__(self, home: Path, screen: Screen) -> None:
        self.home, self.screen = home, screen
        home.mkdir(parents=True, exist_ok=True)
        self.office = home / "data" / "drawoff" / "office.drawoff"
        others = ("XDG_", "DRAWOFF_", "QT_", "PYTEST_", "PYTHON")
        kept = {n: value for n, value in screen.environment.items() if not n.startswith(others)}
        self.environment = kept | {
            "HOME": str(home),
            "XDG_DATA_HOME": str(home / "data"),
            "XDG_CONFIG_HOME": str(home / "config"),
            "QT_QPA_PLATFORM": "xcb",
            "LANG": "en_US.UTF-8",
            "TZ": "America/New_York",
            "PYTHONPATH": str(paths.bundled()),
        }

    def command(self, *words: str) -> str:
        """Run a command of the program in a fresh process; return what it says."""
        done = subprocess.run(
            [DRAWOFF, *words],
            env=self.environment,
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
        )
        assert done.returncode == 0, (words, done.stdout, done.stderr)
        return done.stdout

    def exported(self, table: str) -> list[dict[str, Any]]:
        """Return the rows of a table, as the command `export everything` writes them."""
        out = self.home / "exported.jsonl"
        self.command("export", "everything", str(out))
        return _rows(out, table)

    def rows(self, table: str) -> list[dict[str, Any]]:
        """Return the same by the function behind the command: no program is started for it."""
        out = self.home / "everything.jsonl"
        with Office.open(self.office) as office:
            export_everything(office, Target(out, replace=True))
        return _rows(out, table)

    @contextmanager
    def program(self, *words: str, shows: str = "Week before") -> Iterator[Running]:
        """Start the program cold, wait until it shows something, and close it by its keys."""
        running = Running(self, words)
        try:
            running.screen.see(shows)
            yield running
            running.leave()
        except BaseException:
            self.screen.keep_picture("it went wrong here")
            raise
        finally:
            running.end()

    def log(self) -> str:
        """Return what the program has written to its log."""
        return "".join(path.read_text("utf-8") for path in self.home.rglob("drawoff.log*"))


def _rows(out: Path, table: str) -> list[dict[str, Any]]:
    lines = [json.loads(line) for line in out.read_text("utf-8").splitlines()]
    return [line for line in lines if line.get("table") == table]


class Running:
    """The program while it runs."""

    def __init__(self, person: Person, words: tuple[str, ...]) -> None:
        self.person, self.screen = person, person.screen
        self._is_killed = False
        self._said = person.home / "said.txt"
        with self._said.open("ab") as said:
            self._process = subprocess.Popen(
                [DRAWOFF, *words],
                env=person.environment, stdout=said, stderr=said,
            )  # fmt: skip

    def is_running(self) -> bool:
        """Return whether it has not ended yet."""
        return self._process.poll() is None

    def leave(self) -> None:
        """Close it as a person does, and see that it ended well and met no mistake.

        Raises:
            NotSeen: it does not end.
        """
        if self._is_killed:
            return
        if self.is_running():
            self.screen.press("ctrl+k")  # to the counter, from whatever window
            self.screen.await_front("Counter")
            self.screen.press("ctrl+q")
        status = self._wait()
        if status is None:
            self.screen.keep_picture("does not close")
            raise NotSeen("the program does not close")
        assert status == 0, (status, self.said())
        self.see_no_mistake()

    def see_no_mistake(self) -> None:
        """See that neither the log nor the terminal speaks of a mistake of the program's own."""
        assert UNEXPECTED not in self.person.log(), self.person.log()
        assert not self.said().strip(), self.said()

    def said(self) -> str:
        """Return what it wrote to the terminal."""
        return self._said.read_text("utf-8", errors="replace")

    def kill(self) -> None:
        """End it as a power cut does."""
        self._is_killed = True
        self._process.send_signal(signal.SIGKILL)
        self._wait()

    def end(self) -> None:
        """See that it is gone, whatever happened."""
        if self.is_running():
            self._process.kill()
            self._wait()

    def _wait(self) -> int | None:
        end = time.monotonic() + 2 * PATIENCE_S
        while self.is_running() and time.monotonic() < end:
            time.sleep(0.02)
        return self._process.poll()
