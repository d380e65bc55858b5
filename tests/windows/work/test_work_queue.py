"""The desk behind the windows: order kept, late answers dropped, nobody called who has gone."""

from __future__ import annotations

import gc
import sys
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import pytest
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot
from shiboken6 import delete

from desk.base.errors import DeskError, InputError, MistakeError
from desk.base.texts import Message, message
from desk.records.actions.entering import AddPerson
from desk.records.actions.shop import SeePeople
from desk.records.fields.person_fields import PersonDetails
from desk.records.office.office import Office
from desk.windows.work.work_queue import InlineQueue, WorkQueue


@dataclass(frozen=True)
class Waits:
    """A look that is answered when it is let go."""

    gate: threading.Event
    says: str

    def run(self, session: object) -> str:
        self.gate.wait(5)
        return self.says


@dataclass(frozen=True)
class Breaks:
    what: Message = field(default_factory=lambda: message("Broken"))

    def run(self, session: object) -> None:
        raise ZeroDivisionError("planted")


@pytest.fixture(params=["threads", "inline"])
def either(request: pytest.FixtureRequest, qapp: object, office: Office) -> Any:
    queue = WorkQueue(office) if request.param == "threads" else InlineQueue(office)
    yield queue
    queue.close()


@pytest.fixture
def owner(qapp: object) -> QObject:
    return QObject()


def _no_failure(error: Exception) -> None:
    raise AssertionError(error)


def test_commands_are_done_in_order_and_answered_here(
    qtbot: QtBot, either: WorkQueue, owner: QObject
) -> None:
    here, told = threading.get_ident(), []
    for name in ("Ann", "Ben", "Cy"):
        either.act(
            owner,
            AddPerson(PersonDetails(name)),
            lambda _key, name=name: told.append((name, threading.get_ident())),
            _no_failure,
        )
    qtbot.waitUntil(lambda: len(told) == 3)
    assert told == [(name, here) for name in ("Ann", "Ben", "Cy")]
    seen: list[Any] = []
    either.ask(owner, SeePeople(), seen.append, _no_failure)
    qtbot.waitUntil(lambda: bool(seen))
    assert [person.name for person in seen[0]] == ["Ann", "Ben", "Cy"]


def test_saved_is_said_when_the_commit_is_back(
    qtbot: QtBot, either: WorkQueue, owner: QObject
) -> None:
    command = AddPerson(PersonDetails("Ann"))
    changed: list[object] = []
    either.changed.connect(changed.append)
    with qtbot.waitSignal(either.saved) as saved:
        either.act(owner, command, lambda _key: None, _no_failure)
    assert saved.args[0].tzinfo is not None
    qtbot.waitUntil(lambda: changed == [command])


def test_a_refusal_comes_back_as_our_own_error(
    qtbot: QtBot, either: WorkQueue, owner: QObject
) -> None:
    errors: list[Any] = []
    saved: list[object] = []
    either.saved.connect(saved.append)
    either.act(owner, AddPerson(PersonDetails(" ")), _no_failure, errors.append)
    qtbot.waitUntil(lambda: bool(errors))
    assert isinstance(errors[0], InputError)
    assert errors[0].field == "name"
    assert saved == []


def test_a_bug_goes_to_the_program_and_ends_what_the_window_waits_for(
    qtbot: QtBot, either: WorkQueue, owner: QObject, monkeypatch: pytest.MonkeyPatch
) -> None:
    heard: list[str] = []

    def hear(kind: type, error: BaseException, _trace: object) -> None:
        heard.append(f"{kind.__name__} {error}")

    monkeypatch.setattr(sys, "excepthook", hear)
    ended: list[DeskError] = []
    either.act(owner, Breaks(), _no_failure, ended.append)
    qtbot.waitUntil(lambda: bool(ended))
    assert heard == ["ZeroDivisionError planted"]
    assert [type(error) for error in ended] == [MistakeError]
    assert "planted" not in str(ended[0])


def test_an_owner_that_has_gone_is_not_called(qtbot: QtBot, office: Office) -> None:
    queue, gate = WorkQueue(office), threading.Event()
    gone, stays = QObject(), QObject()
    told: list[str] = []
    queue.ask(gone, Waits(gate, "to nobody"), told.append, _no_failure)
    queue.ask(stays, Waits(gate, "to somebody"), told.append, _no_failure)
    delete(gone)
    gate.set()
    qtbot.waitUntil(lambda: told == ["to somebody"])
    queue.close()


def test_a_late_answer_is_dropped_when_the_question_has_changed(
    qtbot: QtBot, office: Office, owner: QObject
) -> None:
    queue, first, second = WorkQueue(office), threading.Event(), threading.Event()
    told: list[str] = []
    queue.ask(owner, Waits(first, "old"), told.append, _no_failure, key="search")
    queue.ask(owner, Waits(second, "new"), told.append, _no_failure, key="search")
    queue.ask(owner, Waits(second, "other"), told.append, _no_failure, key="day")
    first.set()
    second.set()
    qtbot.waitUntil(lambda: len(told) == 2)
    assert sorted(told) == ["new", "other"]
    queue.close()


def test_reading_does_not_wait_for_writing(qtbot: QtBot, office: Office, owner: QObject) -> None:
    queue, gate = WorkQueue(office), threading.Event()
    told: list[str] = []

    @dataclass(frozen=True)
    class Slow:
        what: Message = field(default_factory=lambda: message("Slow"))

        def run(self, session: object) -> str:
            gate.wait(5)
            return "written"

    queue.act(owner, Slow(), told.append, _no_failure)
    queue.ask(owner, SeePeople(), lambda _people: told.append("read"), _no_failure)
    qtbot.waitUntil(lambda: told == ["read"])
    gate.set()
    qtbot.waitUntil(lambda: told == ["read", "written"])
    queue.close()


def test_closing_waits_for_what_was_handed_in(qtbot: QtBot, office: Office, owner: QObject) -> None:
    queue = WorkQueue(office)
    for number in range(20):
        queue.act(owner, AddPerson(PersonDetails(f"P{number}")), lambda _key: None, _no_failure)
    queue.close()
    again: Callable[..., Any] = office.answer
    assert len(again(SeePeople())) == 20


def test_looks_do_not_wait_for_pages_being_built(
    qtbot: QtBot, office: Office, owner: QObject
) -> None:
    queue, gate = WorkQueue(office), threading.Event()
    told: list[str] = []

    def build() -> str:
        gate.wait(5)
        return "built"

    queue.work(owner, build, told.append, _no_failure)
    queue.ask(owner, SeePeople(), lambda _people: told.append("read"), _no_failure)
    qtbot.waitUntil(lambda: told == ["read"])
    gate.set()
    qtbot.waitUntil(lambda: told == ["read", "built"])
    queue.close()


def test_what_was_kept_is_said_even_when_the_window_fails_over_it(
    qtbot: QtBot, either: WorkQueue, owner: QObject
) -> None:
    saved: list[object] = []
    either.saved.connect(saved.append)

    def fails(_key: object) -> None:
        raise ZeroDivisionError("planted")

    with qtbot.captureExceptions() as raised:
        either.act(owner, AddPerson(PersonDetails("Ann")), fails, _no_failure)
        qtbot.waitUntil(lambda: bool(saved))
    assert [kind for kind, *_rest in raised] == [ZeroDivisionError]


def _count_to(total: int, pause_s: float) -> Callable[..., int]:
    def count(progress: Callable[[int, int], None], cancelled: Callable[[], bool]) -> int:
        for done in range(total):
            if cancelled():
                return done
            progress(done + 1, total)
            time.sleep(pause_s)
        return total

    return count


def test_long_work_tells_how_far_it_is(qtbot: QtBot, either: WorkQueue, owner: QObject) -> None:
    seen: list[tuple[int, int]] = []
    told: list[int] = []
    either.run_long(
        owner,
        _count_to(30, 0.01),
        told.append,
        _no_failure,
        lambda count, total: seen.append((count, total)),
    )
    qtbot.waitUntil(lambda: told == [30])
    assert seen[-1] == (30, 30)
    assert seen == sorted(seen)
    assert len(seen) < 30, "told more often than anybody can read"


def test_cancelled_work_ends_within_200_ms_and_nothing_is_heard_of_it(
    qtbot: QtBot, office: Office, owner: QObject
) -> None:
    queue = WorkQueue(office)
    told: list[object] = []
    seen: list[int] = []
    under_way = queue.run_long(
        owner,
        _count_to(10_000, 0.01),
        told.append,
        _no_failure,
        lambda count, _: seen.append(count),
    )
    qtbot.waitUntil(lambda: bool(seen))
    begun = time.monotonic()
    under_way.cancel()
    queue.work(owner, lambda: "the next", told.append, _no_failure)
    qtbot.waitUntil(lambda: told == ["the next"], timeout=200)
    assert time.monotonic() - begun < 0.2
    queue.close()


def test_closing_cancels_long_work(qtbot: QtBot, office: Office, owner: QObject) -> None:
    queue = WorkQueue(office)
    queue.run_long(owner, _count_to(10_000, 0.01), _no_failure, _no_failure)
    begun = time.monotonic()
    queue.close()
    assert time.monotonic() - begun < 0.2


def test_another_thread_never_lets_go_of_a_window_last(qtbot: QtBot, office: Office) -> None:
    """A window destroyed on another thread than its own takes the program down."""
    queue, here = WorkQueue(office), threading.get_ident()
    ends: list[int] = []

    class Ends:
        def __del__(self) -> None:
            ends.append(threading.get_ident())

    for _turn in range(200):
        owner = QObject()
        owner.held = Ends()  # type: ignore[attr-defined]
        queue.ask(owner, SeePeople(), lambda _people, _held=owner: None, _no_failure)
        del owner
    qtbot.waitUntil(lambda: len(ends) == 200)
    assert set(ends) == {here}
    queue.close()


def test_another_thread_never_collects_a_window(
    qtbot: QtBot, office: Office, owner: QObject
) -> None:
    """Python collects on whichever thread allocates; windows in cycles have to be spared that."""
    queue, here = WorkQueue(office), threading.get_ident()
    ends: list[int] = []
    told: list[int] = []

    class Cycle:
        def __init__(self) -> None:
            self.itself = self

        def __del__(self) -> None:
            ends.append(threading.get_ident())

    def allocate() -> int:
        return len([[number] for number in range(500_000)])

    for _turn in range(20):
        Cycle()
    queue.work(owner, allocate, told.append, _no_failure)
    qtbot.waitUntil(lambda: told == [500_000])
    assert gc.isenabled()
    gc.collect()
    assert set(ends) == {here}
    queue.close()
