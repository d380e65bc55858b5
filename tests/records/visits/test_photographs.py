"""Photographs of a visit: kept once, described, taken out, undone, printed, sealed and carried."""

from __future__ import annotations

import io
import json
import uuid
from functools import cache
from pathlib import Path

import pytest
import sqlalchemy as sa
from PIL import Image

from desk.base.errors import InputError, RuleError
from desk.base.pictures import Photograph, photograph_of, sha256_of
from desk.base.texts import say
from desk.records.actions.photographs import (
    AddPhotographs,
    DescribePhotograph,
    MovePhotograph,
    SeePictures,
    SeeSmall,
    TakePhotographOut,
)
from desk.records.documents import sealing
from desk.records.documents.kept_bytes import not_intact
from desk.records.documents.printouts import printout_of
from desk.records.documents.report_snapshot import report_of
from desk.records.documents.visit_sheet import sheet_of
from desk.records.office.office import Office
from desk.records.tables import Attachment, AttachmentBytes, SealedRevision, Visit
from desk.records.undo import undo
from desk.records.views.report import PhotographLine
from desk.records.views.visit_sheet import Shows
from desk.records.visits import lifecycle, photographs
from desk.records.whole_office.dump import export_everything
from desk.records.whole_office.load import import_everything
from tests.conftest import StillClock
from tests.every_day import every_day
from tests.photographs import photograph_file
from tests.records.jobs import ACT, Job, begin_job, take_job


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    return begin_job(office, clock)


@cache
def picture(number: int) -> Photograph:
    return photograph_of(photograph_file(number))


def add(job: Job, *numbers: int, shows: Shows = photographs.WHOLE_VISIT) -> tuple[uuid.UUID, ...]:
    command = AddPhotographs(job.visit, tuple(map(picture, numbers)), shows)
    return job.office.carry_out(command).photograph_ids


def lines(job: Job) -> tuple[PhotographLine, ...]:
    with job.office.read() as session:
        return report_of(session, session.get_one(Visit, job.visit)).photographs


def captions(job: Job) -> list[str]:
    return [line.caption for line in lines(job)]


def test_photographs_stand_on_the_visit_in_the_order_in_which_they_came(job: Job) -> None:
    add(job, 3, 1, 2)
    assert [line.sha256 for line in lines(job)] == [
        sha256_of(picture(number).content) for number in (3, 1, 2)
    ]
    pictures = job.office.answer(SeePictures(lines(job)))
    assert {sha256_of(content) for content in pictures.values()} == set(pictures)
    small = job.office.answer(SeeSmall(tuple(pictures), 120))
    assert {Image.open(io.BytesIO(one)).size for one in small.values()} == {(120, 90)}


def test_a_call_has_photographs_before_anybody_drives_there(
    office: Office, clock: StillClock
) -> None:
    waiting = take_job(office, clock)
    add(waiting, 1)
    assert len(lines(waiting)) == 1
    with pytest.raises(InputError, match="when you have arrived"):
        add(waiting, 2, shows=Shows(check="danger"))


def test_what_a_photograph_shows_is_said_in_words(job: Job) -> None:
    add(job, 1, shows=Shows(check="fault_code"))
    add(job, 2, shows=Shows("nameplate"))
    [key] = add(job, 3)[2:]
    job.office.carry_out(
        DescribePhotograph(job.visit, key, Shows("fault_code"), "  E4\non the display ")
    )
    check, plate, code = lines(job)
    assert check.about.endswith("?")
    assert (check.kind, check.check) == ("photograph", "fault_code")
    assert (plate.about, plate.caption) == ("Nameplate", "")
    assert (code.about, code.caption) == ("Fault code", "E4 on the display")


@pytest.mark.parametrize(
    ("shows", "caption"),
    [(Shows("selfie"), ""), (Shows(check="no_such_check"), ""), (Shows(), "x" * 301)],
)
def test_what_cannot_be_meant_is_refused(job: Job, shows: Shows, caption: str) -> None:
    [key] = add(job, 1)
    with pytest.raises(InputError):
        job.office.carry_out(DescribePhotograph(job.visit, key, shows, caption))
    assert captions(job) == [""]


def test_the_same_photograph_is_on_a_visit_once(job: Job) -> None:
    add(job, 1)
    assert len(add(job, 1, 2, 2)) == 2
    with pytest.raises(InputError, match="among the photographs"):
        add(job, 2)
    with job.office.read() as session:
        assert session.scalar(sa.select(sa.func.count()).select_from(AttachmentBytes)) == 2


def test_a_visit_holds_a_hundred(job: Job, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photographs, "MOST_OF_A_VISIT", 2)
    with pytest.raises(InputError, match="2 photographs at most"):
        add(job, 1, 2, 3)
    assert lines(job) == ()


def test_taking_a_photograph_out_and_every_other_act_can_be_undone(job: Job) -> None:
    [key] = add(job, 1)
    job.office.carry_out(DescribePhotograph(job.visit, key, Shows(), "Screen"))
    job.office.carry_out(TakePhotographOut(job.visit, key))
    assert captions(job) == []
    for kept in (["Screen"], [""], []):
        with job.office.unit_of_work(ACT) as session:
            undo.undo_on_visit(session, job.visit)
        assert captions(job) == kept
    for kept in ([""], ["Screen"], []):
        with job.office.unit_of_work(ACT) as session:
            undo.redo_on_visit(session, job.visit)
        assert captions(job) == kept
    with job.office.read() as session:
        assert session.get_one(Attachment, key).withdrawn_at is not None
        assert session.get_one(AttachmentBytes, sha256_of(picture(1).content))


MOVES = [
    (0, 2, [2, 3, 1]),
    (1, -4, [2, 1, 3]),
    (2, 0, [3, 1, 2]),
    (1, 0, [2, 1, 3]),
    (1, 9, [1, 3, 2]),
]


@pytest.mark.parametrize(
    ("which", "to", "order"),
    every_day(MOVES, MOVES[:2], several_names=True),
)
def test_a_photograph_is_moved_and_moves_back(
    job: Job, which: int, to: int, order: list[int]
) -> None:
    keys = add(job, 1, 2, 3)
    sheet = job.office.carry_out(MovePhotograph(job.visit, keys[which], to))
    hashes = [sha256_of(picture(number).content) for number in order]
    assert [line.sha256 for line in lines(job)] == hashes
    assert sheet.photograph_ids == tuple(keys[number - 1] for number in order)
    add(job, 4)
    assert lines(job)[-1].sha256 == sha256_of(picture(4).content)
    with job.office.unit_of_work(ACT) as session:
        undo.undo_on_visit(session, job.visit)
        undo.undo_on_visit(session, job.visit)
    assert [line.sha256 for line in lines(job)] == [
        sha256_of(picture(number).content) for number in (1, 2, 3)
    ]


def test_photographs_from_before_they_could_be_moved_stand_by_their_age(job: Job) -> None:
    keys = add(job, 2, 1)
    with job.office.unit_of_work(ACT) as session:
        for key in keys:
            session.get_one(Attachment, key).place = 0
    assert add(job, 3)[:2] == keys
    assert job.office.carry_out(MovePhotograph(job.visit, keys[1], 0)).photograph_ids[0] == keys[1]


def test_the_sheet_names_what_can_be_taken_back(job: Job) -> None:
    add(job, 1)
    with job.office.read() as session:
        assert sheet_of(session, job.visit).can_undo == "Photographs added"


def _seal(job: Job) -> str:
    with job.office.unit_of_work(ACT) as session:
        lifecycle.finish(session, job.visit, "to_continue")
        sealing.sign(session, job.visit, absent_reason="Tenant at work")
    with job.office.unit_of_work(ACT) as session:
        return sealing.seal(session, job.visit).fingerprint


def test_the_seal_covers_the_photographs_and_closes_them(job: Job) -> None:
    [key] = add(job, 1)
    job.office.carry_out(DescribePhotograph(job.visit, key, Shows("nameplate"), "Left side"))
    _seal(job)
    with job.office.read() as session:
        kept = json.loads(session.scalars(sa.select(SealedRevision)).one().snapshot)
        printout = printout_of(session, session.get_one(Visit, job.visit))
    [line] = kept["photographs"]
    assert line["sha256"] == sha256_of(picture(1).content)
    assert (line["caption"], line["about"]) == ("Left side", "Nameplate")
    assert printout.pictures == {line["sha256"]: picture(1).content}
    for act in (
        AddPhotographs(job.visit, (picture(2),)),
        DescribePhotograph(job.visit, key, Shows(), "Another"),
        MovePhotograph(job.visit, key, 1),
        TakePhotographOut(job.visit, key),
    ):
        with pytest.raises(RuleError, match="is sealed"):
            job.office.carry_out(act)


def test_another_photograph_is_another_fingerprint(
    office: Office, clock: StillClock, job: Job
) -> None:
    add(job, 1)
    with office.read() as session:
        before = report_of(session, session.get_one(Visit, job.visit))
    add(job, 2)
    with office.read() as session:
        after = report_of(session, session.get_one(Visit, job.visit))
    assert sealing.canonical_bytes(before) != sealing.canonical_bytes(after)
    assert sealing.read_report(sealing.canonical_bytes(after)) == after


def test_a_report_sealed_without_photographs_is_read_as_ever(job: Job) -> None:
    with job.office.read() as session:
        report = report_of(session, session.get_one(Visit, job.visit))
    kept = json.loads(sealing.canonical_bytes(report))
    del kept["photographs"]
    kept["format"] = 1
    assert sealing.read_report(json.dumps(kept).encode()).photographs == ()


def test_a_visit_with_photographs_is_intact(job: Job) -> None:
    add(job, 1, 2)
    _seal(job)
    with job.office.read() as session:
        assert not_intact(session) == ()


def _behind_the_back(job: Job, statement: str) -> None:
    """Change rows as somebody does who first takes the office's own guard away."""
    with job.office.unit_of_work(ACT) as session:
        if session.get_bind().dialect.name == "postgresql":
            session.execute(sa.text("ALTER TABLE attachment_bytes DISABLE TRIGGER USER"))
            session.execute(sa.text("ALTER TABLE sealed_revision DISABLE TRIGGER USER"))
        else:
            for table in ("attachment_bytes", "sealed_revision"):
                session.execute(sa.text(f"DROP TRIGGER {table}_no_update"))
        session.execute(
            sa.text(statement), {"other": picture(9).content, "old": picture(1).content}
        )


def test_a_photograph_changed_behind_the_program_s_back_is_found(job: Job) -> None:
    add(job, 1, 2)
    _seal(job)
    _behind_the_back(job, "UPDATE attachment_bytes SET content = :other WHERE content = :old")
    with job.office.read() as session:
        assert [say(one) for one in not_intact(session)] == [
            "A photograph of visit A-00001 is not the one that was kept."
        ]


def test_a_sealed_report_changed_behind_the_program_s_back_is_found(job: Job) -> None:
    add(job, 1)
    _seal(job)
    _behind_the_back(job, "UPDATE sealed_revision SET fingerprint = 'ff'")
    with job.office.read() as session:
        assert [say(one) for one in not_intact(session)] == [
            "The sealed report of visit A-00001 was changed."
        ]


def test_everything_carries_the_photographs(job: Job, tmp_path: Path) -> None:
    [key] = add(job, 1)
    job.office.carry_out(DescribePhotograph(job.visit, key, Shows(), "Screen"))
    export_everything(job.office, tmp_path / "all.jsonl")
    import_everything(tmp_path / "moved.drawoff", tmp_path / "all.jsonl")
    with Office.open(tmp_path / "moved.drawoff") as moved, moved.read() as session:
        printout = printout_of(session, session.get_one(Visit, job.visit))
        assert not_intact(session) == ()
    assert [line.caption for line in printout.report.photographs] == ["Screen"]
    assert list(printout.pictures.values()) == [picture(1).content]
