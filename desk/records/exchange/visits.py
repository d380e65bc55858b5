"""Finished visits from a CSV file: the history that a shop brings along.

The file is what ``export visits`` writes, or another program's with headings matched to it. Calls
that are still open are no history: they are taken at the counter.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.texts import message, say
from desk.records.exchange import VISITS_IMPORTED
from desk.records.exchange.visits_known import KnownVisits
from desk.records.exchange_kit.columns import LONG, Columns, CsvColumn
from desk.records.exchange_kit.csv_read import Refusal
from desk.records.exchange_kit.intake import (
    Imported,
    ImportKind,
    ImportRow,
    Occasion,
    Sorted,
    bring_back,
    check_same,
    sort_each,
    take_in,
    write_rows,
)
from desk.records.exchange_kit.numbering import Numbers
from desk.records.journal.journal import unit_of_work
from desk.records.learning.lesson_cache import count_anew
from desk.records.office.office import Office
from desk.records.tables import PartUsed, Visit
from desk.records.tables.visits import ENDINGS
from desk.trade.reference.complaints import COMPLAINTS, PLANNED_SERVICE

_TIME = message("A time such as 2025-04-30T14:05:00-04:00; without an offset it is the office's.")
_WHAT = message("An id of the program's causes, as export visits writes it.")
_UNREAD = message("As export visits writes it; it is not read.")
_HISTORY = ("finished", "sealed")

COLUMNS = Columns(
    "visits",
    (
        CsvColumn(
            "number",
            "number",
            message("The visit's number, which it keeps; a new one is given where it is empty."),
            ("visit", "visitnumber", "job", "jobnumber"),
        ),
        CsvColumn("state", "state", message("finished or sealed; other visits are no history.")),
        CsvColumn(
            "ending", "ending", message("One of: {ids}.", ids=", ".join(filter(None, ENDINGS)))
        ),
        CsvColumn("appliance", "appliance", message("The number of the appliance.")),
        CsvColumn("maker", "maker", _UNREAD),
        CsvColumn("model", "model", _UNREAD),
        CsvColumn("kind", "kind", _UNREAD),
        CsvColumn("sensing_kind", "sensing_kind", _UNREAD),
        CsvColumn(
            "complaint",
            "complaint",
            message(
                "One of: {ids}; empty for planned service.", ids=", ".join(filter(None, COMPLAINTS))
            ),
        ),
        CsvColumn("received", "received", _TIME, ("called",)),
        CsvColumn("booked_for", "booked_for", _TIME, ("booked",)),
        CsvColumn("started", "started", _TIME),
        CsvColumn("finished", "finished", _TIME, ("date", "completed", "done")),
        CsvColumn("cause", "cause", _WHAT),
        CsvColumn("technician", "technician", message("The name of one of the shop's people.")),
        CsvColumn("parts", "parts", message("Numbers or names, parted by semicolons."), most=LONG),
        CsvColumn(
            "continues", "continues", message("The number of the visit that it went on with.")
        ),
        CsvColumn("second_cause", "second_cause", _WHAT),
        CsvColumn(
            "serial",
            "serial",
            message("The appliance's serial number, where it has no number here."),
            ("serialnumber", "serialno"),
        ),
        CsvColumn(
            "complaint_words", "complaint_words", message("What was said."), ("words",), LONG
        ),
        CsvColumn(
            "cause_words", "cause_words", message("The cause in words."), ("diagnosis",), LONG
        ),
        CsvColumn(
            "work_done", "work_done", message("What was done."), ("work", "resolution"), LONG
        ),
        CsvColumn("advice", "advice", message("What was advised."), ("recommendation",), LONG),
    ),
    (("appliance", "serial"), ("complaint",), ("finished",), ("ending",)),
    filled=("finished", "ending"),
)
_NOT_READ = frozenset({"maker", "model", "kind", "sensing_kind"})
_TIMES = {
    "received": "received_at",
    "booked_for": "booked_for",
    "started": "started_at",
    "finished": "finished_at",
}
_AS_THEY_STAND = (
    "ending",
    "complaint",
    "cause",
    "second_cause",
    "complaint_words",
    "cause_words",
    "work_done",
    "advice",
)
_FIRST_YEAR = 1950


@dataclass(slots=True)
class _New:
    """A visit to write; ``key`` where it was taken back and comes again under its key."""

    line: int
    number: str
    continues: str
    values: dict[str, object]
    parts: tuple[str, ...]
    key: uuid.UUID | None


def import_visits(
    office: Office, path: Path, matches: Mapping[str, str] | None = None, *, dry_run: bool = False
) -> Imported:
    """Take in the finished visits of a CSV file in one unit of work; see `intake.take_in`.

    Their appliances and technicians have to be there.

    Args:
        office: open.
        path: the file.
        matches: headings, each with the field it stands for, where it is not found out.
        dry_run: only say what would be done.

    Raises:
        InputError, OutageError: nothing of it was kept.
    """
    return take_in(office, path, KIND, matches, dry_run=dry_run)


def _sort(session: Session, entries: Sequence[ImportRow], occasion: Occasion) -> Sorted[_New]:
    known = KnownVisits(session)
    lines: dict[str, Mapping[str, str]] = {}

    def sort_one(entry: ImportRow) -> _New | None:
        written = _written(entry, occasion)
        number = written.text("number")
        there = lines.get(number) or known.line_of(number, occasion.zone)
        if number and there is not None:
            check_same(COLUMNS, written, there, say(message("Visit {number}", number=number)))
            return None
        new = _new(written, known)
        if not number and known.has(new.values):
            return None
        if number:
            lines[number] = written.values
        known.add(new.values)
        return new

    return _without_loose_ends(sort_each(entries, Sorted(), sort_one), known)


def _without_loose_ends(found: Sorted[_New], known: KnownVisits) -> Sorted[_New]:
    """Refuse visits that went on with one that neither is here nor comes in."""
    while True:
        coming = {each.number for each in found.new}
        loose = [
            each
            for each in found.new
            if each.continues and each.continues not in coming and not known.key_of(each.continues)
        ]
        if not loose:
            return found
        found.refused += [
            Refusal(
                each.line,
                message(
                    "the visit {number} that it went on with is not here", number=each.continues
                ),
            )
            for each in loose
        ]
        found.new = [each for each in found.new if each not in loose]


def _written(entry: ImportRow, occasion: Occasion) -> ImportRow:
    """Return a row in our own way of writing.

    Raises:
        InputError: it is no finished visit, or something in it cannot be read.
    """
    values = {field: text for field, text in entry.values.items() if field not in _NOT_READ}
    state = values.pop("state", "") or "finished"
    if state not in _HISTORY:
        raise InputError(
            message("it is {state}, and only finished visits are history", state=state)
        )
    for field in ("number", "appliance", "continues"):
        if field in values:
            values[field] = values[field].upper()
    for field in _TIMES:
        if text := values.get(field):
            when = _time(text, occasion)
            if field != "booked_for" and when > occasion.now:
                raise InputError(message("{text} is still to come", text=text))
            values[field] = when.isoformat(timespec="seconds")
    _check_words(values)
    _check_order(values)
    return ImportRow(entry.line, values)


def _check_words(values: Mapping[str, str]) -> None:
    if not values["ending"] or values["ending"] not in ENDINGS:
        _none_of("ending", values["ending"], filter(None, ENDINGS))
    if values["complaint"] not in COMPLAINTS:
        _none_of("complaint", values["complaint"], filter(None, COMPLAINTS))
    said = values.get("cause") or values.get("cause_words")
    if values["ending"] == "mended" and values["complaint"] != PLANNED_SERVICE and not said:
        raise InputError(message("it was mended, and no cause is named"))


def _none_of(field: str, text: str, allowed: Iterable[str]) -> None:
    raise InputError(
        message(
            "{field} “{text}” is none of {allowed}",
            field=field,
            text=text[:40],
            allowed=", ".join(allowed),
        )
    )


def _time(text: str, occasion: Occasion) -> datetime:
    """Return a time by the office's clock.

    Raises:
        InputError: it cannot be read, or is far too long ago.
    """
    try:
        when = datetime.fromisoformat(text)
        when = when.replace(tzinfo=when.tzinfo or occasion.zone).astimezone(occasion.zone)
    except (ValueError, OverflowError):
        raise InputError(
            message("“{text}” is no time; write one such as 2025-04-30T14:05", text=text[:40])
        ) from None
    if when.year < _FIRST_YEAR:
        raise InputError(message("{text} cannot be meant: it is too long ago", text=text))
    return when


def _check_order(values: Mapping[str, str]) -> None:
    finished = values["finished"]
    if not finished:
        raise InputError(message("it does not say when it was finished"))
    times = [values.get(field) or None for field in ("received", "started", "finished")]
    known = [datetime.fromisoformat(text) for text in times if text]
    if known != sorted(known):
        raise InputError(message("it was received, started and finished in another order"))


def _new(entry: ImportRow, known: KnownVisits) -> _New:
    """Return what a row becomes.

    Raises:
        InputError: appliance, technician or cause are not here.
    """
    appliance = known.appliance(entry.text("appliance"), entry.text("serial"))
    times = {
        column: datetime.fromisoformat(text) if (text := entry.text(field)) else None
        for field, column in _TIMES.items()
    }
    for cause in (entry.text("cause"), entry.text("second_cause")):
        known.check_cause(cause)
    values: dict[str, object] = {
        **{field: entry.text(field) for field in _AS_THEY_STAND},
        **times,
        "received_at": times["received_at"] or times["started_at"] or times["finished_at"],
        "state": "finished",
        "appliance_id": appliance.key,
        "premises_id": appliance.premises_id,
        "customer_id": known.customer_at(appliance.premises_id),
        "technician_id": known.technician(entry.text("technician")),
    }
    number = entry.text("number")
    parts = tuple(filter(None, (part.strip() for part in entry.text("parts").split(";"))))
    return _New(
        entry.line, number, entry.text("continues"), values, parts, known.taken_back(number)
    )


def _write(session: Session, new: Sequence[_New]) -> None:
    work, known = unit_of_work(session), KnownVisits(session)
    numbers = Numbers(session, "visits_made", [each.number for each in new])
    keys = [each.key or work.new_key() for each in new]
    by_number = {each.number: key for each, key in zip(new, keys, strict=True) if each.number}
    rows, parts = [], []
    for each, key in zip(new, keys, strict=True):
        before = by_number.get(each.continues) or known.key_of(each.continues)
        values = each.values | {
            "number": each.number or numbers.next(),
            "continues_id": before if each.continues else None,
        }
        if each.key is None:
            rows.append({"id": key, **values, "danger_reported": False, "sealed_revision": 0})
        else:
            bring_back(session, Visit, key, values)
        parts += [{"visit_id": key, **known.part(part)} for part in each.parts]
    write_rows(session, Visit, rows)
    write_rows(session, PartUsed, parts)
    count_anew(session)


KIND: ImportKind[_New] = ImportKind(COLUMNS, VISITS_IMPORTED, _sort, _write)
