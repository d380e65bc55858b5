"""One case of the catalogue, in this process alone: look, write, look again.

By hand, ``python -W error -m tests.real.one_command NAME OFFICE KEYS``; NAME is ``module.Class`` of
``desk.records.actions``, OFFICE a file or a server's URL, KEYS the file with the keys of its rows.
It prints nothing where all is well.
"""

from __future__ import annotations

import json
import logging
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tests.real import examples_at_counter, examples_of_looks, examples_on_visits
from tests.real.examples import COMMANDS, NOW, QUERIES, Example, Keys

if TYPE_CHECKING:
    from desk.records.office.office import Office

WRITTEN = (examples_at_counter, examples_of_looks, examples_on_visits)


class _Mistakes(logging.Handler):
    """Says every mistake that the program writes into its log."""

    def emit(self, record: logging.LogRecord) -> None:
        sys.stderr.write(self.format(record) + "\n")


def _now() -> Any:
    return NOW


def begins(name: str, place: str, _keys_file: str) -> tuple[str, bool]:
    """Return what a case has in common with those that begin as it does."""
    return (QUERIES | COMMANDS)[name].begins, place.startswith("postgresql")


def begin(name: str, place: str, keys_file: str) -> None:
    """Open the office and look, as all cases that begin so do; a query's look is its own."""
    assert "desk.records" not in sys.modules, "the program is not fresh"
    logging.getLogger().addHandler(_Mistakes(logging.WARNING))
    keys = Keys(json.loads(Path(keys_file).read_text()))

    from desk.records.office.office import Office

    with Office.open(place, now=_now) as office:
        if (example := (QUERIES | COMMANDS)[name]).begins:
            office.answer(example.beside(office, keys))


def main(name: str, place: str, keys_file: str) -> None:
    """Play the case."""
    keys = Keys(json.loads(Path(keys_file).read_text()))

    from desk.records.office.office import Office

    with Office.open(place, now=_now) as office:
        if name in QUERIES:
            _look_write_look(office, keys, QUERIES[name])
        else:
            _write_and_take_back(office, keys, COMMANDS[name])


def _look_write_look(office: Office, keys: Keys, example: Example) -> None:
    look = example.make(office, keys)
    before = office.answer(look)
    office.carry_out(example.beside(office, keys))
    after = office.answer(look)
    assert (before != after) is example.shows, f"{look}: {_differs(before, after)}"


def _differs(before: object, after: object) -> str:
    return "the same" if before == after else f"{before!s:.800}\nbecame\n{after!s:.800}"


def _write_and_take_back(office: Office, keys: Keys, example: Example) -> None:
    look = example.beside(office, keys)
    before = office.answer(look)
    office.carry_out(example.make(office, keys))
    after = office.answer(look)
    assert (before != after) is example.shows, f"{look}: {_differs(before, after)}"
    if example.back is not None:
        office.carry_out(example.back(office, keys))
        taken_back = office.answer(look)
        assert (taken_back != after) is example.shows, f"{look}: {_differs(after, taken_back)}"


if __name__ == "__main__":
    begin(*sys.argv[1:])
    main(*sys.argv[1:])
