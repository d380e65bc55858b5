"""How long another window waits while a directory of a hundred thousand customers comes in."""

from __future__ import annotations

import csv
import gc
import random
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest

from desk.base.errors import OutageError
from desk.base.texts import message
from desk.records.actions.undoing import DoAgain, TakeBack
from desk.records.database.engine import sqlite_driver
from desk.records.database.keys import KeyMaker
from desk.records.database.options import BUSY_MS
from desk.records.exchange.customer_fields import check_rows, matched
from desk.records.exchange.customers import StageCustomers, TakeCustomersOver, read_customers
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.office.office import Office
from desk.records.parties.customers import add_customer

CUSTOMERS = 100_000
RATIO = 3.0
"""At most so much longer than a bare driver works for the same rows and for their words in the same
indexes, neither checked nor journalled; in the process's own time, as others may be at work."""
AN_ACT = message("Entered at another desk")


@pytest.fixture(scope="module")
def directory(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A directory of invented customers, with a number and an address each."""
    path = tmp_path_factory.mktemp("directory") / "directory.csv"
    chance = random.Random(1)
    words = ["".join(chance.choices("abcdefghiklmnoprstuvw", k=7)).title() for _ in range(8_000)]
    with path.open("w", newline="", encoding="utf-8") as stream:
        out = csv.writer(stream)
        out.writerow(("Name", "Phone", "E-mail", "Street", "City", "ZIP"))
        for turn in range(CUSTOMERS):
            given, family, street, city = chance.choices(words, k=4)
            out.writerow(
                (f"{given} {family}", f"(212) 555-01{turn % 100:02d}", f"c{turn}@example.com",
                 f"{turn % 900} {street} Lane", city, f"{turn % 100_000:05d}")
            )  # fmt: skip
    return path


class OtherWindow:
    """Enters a customer every tenth of a second and notes how long the commit took to be back.

    Where the writer is held so long that it is turned away, it asks again, as a person would.
    """

    def __init__(self, place: str | Path) -> None:
        self._place = place
        self._over = threading.Event()
        self.waits: list[float] = []
        self.turned_away = 0

    def work(self) -> None:
        with Office.open(self._place) as office:
            while not self._over.wait(0.1):
                begun = time.perf_counter()
                while not self._enter(office):
                    self.turned_away += 1
                self.waits.append(time.perf_counter() - begun)

    def _enter(self, office: Office) -> bool:
        try:
            with office.unit_of_work(AN_ACT) as session:
                add_customer(session, CustomerDetails(f"Caller {len(self.waits)}"))
        except OutageError:
            return False
        return True

    def tell(self) -> None:
        print(f"{'longest wait of another window':<40} {max(self.waits):5.1f} s")
        print(
            f"{'turned away after ' + str(BUSY_MS // 1000) + ' s':<40} {self.turned_away:5} times"
        )

    @contextmanager
    def at_work(self) -> Iterator[None]:
        thread = threading.Thread(target=self.work)
        thread.start()
        try:
            yield
        finally:
            self._over.set()
            thread.join()


@dataclass(frozen=True)
class Took:
    """What something took, in seconds: of the clock, and of this process's own."""

    clock: float
    own: float


def _timed[T](what: str, act: Callable[[], T]) -> tuple[T, Took]:
    gc.disable()  # as the windows do while work is under way, and the command
    begun, busy = time.perf_counter(), time.process_time()
    try:
        answer = act()
    finally:
        gc.enable()
    took = Took(time.perf_counter() - begun, time.process_time() - busy)
    print(f"{what:<40} {took.clock:5.1f} s, {took.own:5.1f} s of this process's own")
    return answer, took


def _bring_in(office: Office, path: Path) -> Took:
    """Bring a directory in step by step; return how long the writer was held."""
    sheet, _took = _timed("read", lambda: read_customers(path))
    checked, _took = _timed("check", lambda: check_rows(sheet, matched(sheet.headings, {})))
    look = StageCustomers(checked, KeyMaker(office.now))
    staged, _took = _timed("match and make ready, beside the writer", lambda: office.answer(look))
    done, held = _timed("take over", lambda: office.carry_out(TakeCustomersOver(staged)))
    assert done.came_in > CUSTOMERS * 0.99
    return held


def _floor(folder: Path, office_path: Path) -> Took:
    """Write the rows of an office and their words through the bare driver."""
    bare = sqlite_driver().connect(str(folder / "bare.db"), isolation_level=None)
    bare.execute("ATTACH ? AS o", (str(office_path),))
    tables = ("customer", "customer_phone", "customer_email", "search_text")
    rows = {name: bare.execute(f"SELECT * FROM o.{name}").fetchall() for name in tables}  # noqa: S608
    made = bare.execute(
        "SELECT sql FROM o.sqlite_schema WHERE sql IS NOT NULL AND name NOT LIKE 'search\\_%\\_%'"
        " ESCAPE '\\' AND (tbl_name IN (?, ?, ?, ?) OR name IN ('search_word', 'search_part'))"
        " AND type <> 'trigger' ORDER BY type DESC",
        tables,
    ).fetchall()
    bare.execute("DETACH o")
    bare.execute("PRAGMA journal_mode=WAL")
    for (statement,) in made:
        bare.execute(statement)

    def write() -> None:
        bare.execute("BEGIN IMMEDIATE")
        for name in tables:
            signs = ", ".join("?" * len(rows[name][0]))
            bare.executemany(f"INSERT INTO {name} VALUES ({signs})", rows[name])  # noqa: S608
        for index in ("search_word", "search_part"):
            bare.execute(
                f"INSERT INTO {index}(rowid, folded) SELECT id, folded FROM search_text"  # noqa: S608
            )
        bare.execute("COMMIT")

    _nothing, took = _timed("the same rows, bare", write)
    bare.close()
    return took


@pytest.mark.bench
def test_another_window_waits_for_the_taking_over_alone(
    office_path: Path, directory: Path, tmp_path: Path
) -> None:
    other = OtherWindow(office_path)
    print(f"\n{CUSTOMERS:,} customers, a number and an address each, one file")
    with Office.open(office_path) as office:
        with other.at_work():
            held = _bring_in(office, directory)
        other.tell()
        _timed("take it back", lambda: office.carry_out(TakeBack()))
        _timed("do it again", lambda: office.carry_out(DoAgain()))
    floor = _floor(tmp_path, office_path)
    own, clock = held.own / floor.own, held.clock / floor.clock
    print(f"ratio {own:.1f} of the process's own time, {clock:.1f} by the clock")
    assert own < RATIO
    assert max(other.waits) < held.clock + 2


@pytest.mark.bench
def test_another_desk_waits_for_the_taking_over_alone(server_office: str, directory: Path) -> None:
    other = OtherWindow(server_office)
    print(f"\n{CUSTOMERS:,} customers, a number and an address each, a server")
    with Office.open(server_office) as office:
        with other.at_work():
            held = _bring_in(office, directory)
        other.tell()
        _timed("take it back", lambda: office.carry_out(TakeBack()))
        _timed("do it again", lambda: office.carry_out(DoAgain()))
    assert max(other.waits) < held.clock + 2
