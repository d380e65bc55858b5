"""Makes the archive in ``offices/`` again: an office of each schema, by the program that had it.

    python tests/frozen/make_offices.py OUT.tar.xz [SCHEMA ...]

Each commit of :data:`PROGRAMS` is checked out into a scratch worktree, and this file is run there
with ``--with TREE``: from then on ``desk`` and ``sample_db`` are those of that day. They are named
by their names of then, whatever they are called today; :func:`_of_then` asks for their modules in
parts, so that renaming today's leaves this file alone.
"""

from __future__ import annotations

import importlib
import io
import platform
import random
import subprocess
import sys
import tarfile
import tempfile
import uuid
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

PROGRAMS = {
    1: "7af3bf6",
    2: "8269be9",
    3: "2d35106",
    4: "58372b0",
    5: "334c165",
    6: "2b41bb0",
    7: "de5c9ef",
    8: "6f2456b",
    9: "26fa0a9",
    10: "bd62330",
    11: "e386b46",
    12: "a6f4579",
    13: "67f4ba0",
    14: "091d718",
    15: "ec46a50",
    16: "023b07f",
    17: "e067503",
}
"""The last commit at which a schema was the newest, by schema; of 17 one of its first day."""

CONTAINING = {"orders": 4, "joining": 6, "photographs": 9, "charges": 11}
"""The schema from whose program on a module of ``desk.records`` is there, as used here."""

VISITS, AS_OF = 8, date(2026, 11, 24)
PLAYED_AT = datetime(2026, 11, 24, 13, 40, tzinfo=UTC)
DESK = "counter-1"
"""Stands for the machine's own name in the journal, where the program of the day writes one."""


def make_all(archive: Path, schemas: list[int]) -> None:
    """Make the offices of some schemas and pack them.

    Made twice they hold the same rows, but for the order of the journal's lines of the one command
    that joins two customers, and what schema 17 chains to it: the programs of then wrote those
    lines as they lay in memory.
    """
    programs = {schema: PROGRAMS[schema] for schema in schemas or PROGRAMS}
    with tempfile.TemporaryDirectory() as folder:
        made = [_made(schema, commit, Path(folder)) for schema, commit in programs.items()]
        with tarfile.open(archive, "w:xz", preset=9) as packed:  # one after another: much is alike
            for office in made:
                content = office.read_bytes()
                entry = tarfile.TarInfo(office.name)
                entry.size = len(content)
                packed.addfile(entry, io.BytesIO(content))


def _made(schema: int, commit: str, folder: Path) -> Path:
    tree, office = folder / f"tree-{schema:02d}", folder / f"schema-{schema:02d}.drawoff"
    git = ("git", "-C", str(Path(__file__).parent), "worktree")
    subprocess.run([*git, "add", "--quiet", "--detach", tree, commit], check=True)
    try:
        own = ["--with", tree, str(schema), office]
        subprocess.run([sys.executable, __file__, *own], check=True, env={"HOME": str(folder)})
    finally:
        subprocess.run([*git, "remove", "--force", tree], check=True)
    if office.with_name(f"{office.name}-wal").exists():
        raise SystemExit(f"{office} was not closed")
    return office


def _of_then(module: str, package: str = "desk") -> Any:
    return importlib.import_module(f"{package}.{module}")


def make_one(schema: int, place: Path) -> None:
    """Make one office with the program on the path, through its own sample and record functions."""
    platform.node = lambda: DESK
    build, trial = _of_then("build", "sample_db").build, _of_then("trial", "sample_db")
    build(place, visits=VISITS, as_of=AS_OF)
    clock = trial.TrialClock(PLAYED_AT)
    office_of, keys = _of_then("records.office").Office, _of_then("records.keys")
    key_maker = keys.KeyMaker(clock, random.Random(schema).getrandbits)
    with office_of.open(place, now=clock, new_key=key_maker) as office:
        _Maker(schema, office, clock, trial).make()


class _Maker:
    """Plays a visit whole, amends it, leaves another as booked, and joins two customers."""

    def __init__(self, schema: int, office: Any, clock: Any, trial: Any) -> None:
        self._schema, self._office, self._clock, self._trial = schema, office, clock, trial
        self._visits, self._sealing = self._records("visits"), self._records("sealing")
        self._message = _of_then("wording").message

    def _records(self, module: str) -> Any:
        return _of_then(f"records.{module}")

    def _has(self, module: str) -> bool:
        return self._schema >= CONTAINING[module]

    def _command(self, words: str, where: Any = None) -> Any:
        by = {} if where is None else {"person_id": where.technician}
        return self._office.unit_of_work(self._message(words), **by)

    def make(self) -> None:
        self._trial.ANSWERS.setdefault("several_heaters", "only_one")  # schema 3 asked and had none
        closed, self._trial._close = self._trial._close, self._close_with_all
        self._closed = closed
        if self._has("charges"):
            self._charge_from_now_on()
        self._trial.play(self._office, self._clock, lambda _line: None)
        self._book_another()
        if self._has("joining"):
            self._join_two()

    def _charge_from_now_on(self) -> None:
        shop = self._records("shop")
        with self._command("Shop mended") as session:
            self._records("charging_rule").change_rule(
                shop.the_shop(session),
                {"charges": "on", "hourly": "96.00", "step": "15", "call_out": "49.00",
                 "tax_name": "Sales tax", "tax": "8.25 %"},
            )  # fmt: skip

    def _close_with_all(
        self, office: Any, clock: Any, tell: Any, visit: uuid.UUID, where: Any
    ) -> Any:
        """Add what is not in the played visit, seal it, and amend it."""
        if self._has("photographs"):
            photograph = self._records("pictures").photograph_of(_picture())
            with self._command("Photograph added", where) as session:
                self._records("photographs").add_photographs(
                    session, visit, [photograph], caption="The float, cleaned"
                )
        if self._has("charges"):
            with self._command("Charge added", where) as session:
                self._records("charges").add_further(session, visit, "Disposal", "5.00")
        self._closed(office, clock, tell, visit, where)
        clock.pass_minutes(60)
        with self._command("Report amended", where) as session:
            self._sealing.amend(session, visit, "The advice named the wrong screen.")
            self._visits.write_down(session, visit, advice="Have the inlet screen seen to yearly.")
            self._sealing.sign(session, visit, name="M. Quill", picture=_picture())
        with self._command("Report sealed", where) as session:
            return self._sealing.seal(session, visit, person_id=where.technician)

    def _book_another(self) -> None:
        with self._office.read() as session:
            where = self._trial._where(session)
        with self._command("Call taken") as session:
            call = self._visits.CallDetails(
                "no_response",
                "Cold again this morning.",
                customer_id=where.customer,
                premises_id=where.premises,
                appliance_id=where.appliance,
            )
            visit = self._visits.take_call(session, call)
        with self._command("Visit booked") as session:
            self._visits.book(
                session,
                visit,
                start=self._clock() + timedelta(days=1),
                technician_id=where.technician,
            )
        if self._has("orders"):
            with self._command("Part asked for") as session:
                self._records("orders").ask_for_part(
                    session, name="Inlet screen", pieces=2, visit_id=visit
                )

    def _join_two(self) -> None:
        customer = self._records("tables").Customer
        with self._office.read() as session:
            known = sorted(row.id for row in session.query(customer))
        with self._command("Customers joined") as session:
            self._records("joining").join_customers(session, known[-1], known[-2])


def _picture() -> bytes:
    """Return a small PNG."""
    from PIL import Image, ImageDraw

    image = Image.new("RGB", (48, 24), "white")
    ImageDraw.Draw(image).line([(4, 18), (16, 6), (28, 18), (44, 8)], fill="black", width=2)
    written = io.BytesIO()
    image.save(written, "PNG")
    return written.getvalue()


if __name__ == "__main__":
    if sys.argv[1:2] == ["--with"]:
        sys.path.insert(0, sys.argv[2])
        make_one(int(sys.argv[3]), Path(sys.argv[4]))
    else:
        make_all(Path(sys.argv[1]), [int(schema) for schema in sys.argv[2:]])
