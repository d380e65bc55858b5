"""The signature: drawn with mouse, pen and finger, kept while it is half drawn, and printed."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QImage, QInputDevice, QPointingDevice, QTabletEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from desk.windows.closing.signature_pad import INK_WIDTH, Ink, SignaturePad, read_strokes, written
from desk.windows.kit.draft_keeper import KEEP_WITHIN_MS
from tests.every_day import every_day
from tests.records.jobs import Job
from tests.windows.conftest import Sit
from tests.windows.visit.sheets import Person

LEFT = Qt.MouseButton.LeftButton
PEN = QPointingDevice(
    "pen",
    1,
    QInputDevice.DeviceType.Stylus,
    QPointingDevice.PointerType.Pen,
    QInputDevice.Capability.Position | QInputDevice.Capability.Pressure,
    1,
    1,
)


@pytest.fixture
def person(sit: Sit, begun: Job) -> Person:
    person = sit(begun)
    person.press("Ctrl+6")
    return person


@pytest.fixture
def pad(person: Person) -> Iterator[SignaturePad]:
    return pad_of(person)


def pad_of(person: Person) -> SignaturePad:
    pad = person.find(SignaturePad, "signature_pad")
    person.window.sign.ensureWidgetVisible(pad, 0, pad.height())
    QApplication.processEvents()
    return pad


def by_mouse(pad: SignaturePad, *points: tuple[int, int]) -> None:
    first, *rest = (QPoint(*point) for point in points)
    QTest.mousePress(pad, LEFT, pos=first)
    for point in rest:
        QTest.mouseMove(pad, point)
    QTest.mouseRelease(pad, LEFT, pos=QPoint(*points[-1]))


def by_pen(pad: SignaturePad, *points: tuple[float, float, float]) -> None:
    """Draw with a pen; each point has its pressure."""
    kinds = [QEvent.Type.TabletPress, *[QEvent.Type.TabletMove] * (len(points) - 1)]
    for kind, (x, y, pressure) in zip(kinds, points, strict=True):
        _pen(pad, kind, QPointF(x, y), pressure)
    _pen(pad, QEvent.Type.TabletRelease, QPointF(*points[-1][:2]), 0.0)


def _pen(pad: SignaturePad, kind: QEvent.Type, at: QPointF, pressure: float) -> None:
    event = QTabletEvent(
        kind,
        PEN,
        at,
        pad.mapToGlobal(at),
        pressure,
        0.0,
        0.0,
        0.0,
        0.0,
        0.0,
        Qt.KeyboardModifier.NoModifier,
        LEFT,
        LEFT,
    )
    QApplication.sendEvent(pad, event)
    assert event.isAccepted()


def strokes(pad: SignaturePad) -> list[list[tuple[float, float]]]:
    return [[(ink.x, ink.y) for ink in stroke] for stroke in read_strokes(pad.text())]


def darkness(pad: SignaturePad) -> float:
    """Return how much ink there is on the picture that is handed on."""
    image = QImage.fromData(pad.png())
    step = 2
    return sum(
        255 - image.pixelColor(x, y).value()
        for x in range(0, image.width(), step)
        for y in range(0, image.height(), step)
    )


def test_a_mouse_draws_with_its_left_button_alone(pad: SignaturePad) -> None:
    by_mouse(pad, (40, 90), (140, 40), (160, 90))
    QTest.mouseMove(pad, QPoint(200, 20))
    QTest.mouseClick(pad, Qt.MouseButton.RightButton, pos=QPoint(10, 10))
    assert strokes(pad) == [[(40, 90), (140, 40), (160, 90)]]


def test_a_pen_that_is_pressed_harder_writes_broader(pad: SignaturePad) -> None:
    by_pen(pad, (40, 60, 0.1), (200, 60, 0.1))
    soft = darkness(pad)
    pad.wipe()
    by_pen(pad, (40, 60, 1.0), (200, 60, 1.0))
    assert darkness(pad) > 1.5 * soft
    assert strokes(pad) == [[(40, 60), (200, 60)]]


def test_a_pen_that_tells_no_pressure_writes_as_a_mouse_does(pad: SignaturePad) -> None:
    by_pen(pad, (40, 60, 0.0), (200, 60, 0.0))
    assert {ink.width for ink in read_strokes(pad.text())[0]} == {INK_WIDTH}


def test_a_finger_draws_and_a_palm_beside_it_does_not(pad: SignaturePad) -> None:
    screen = QTest.createTouchDevice()
    finger, palm = 3, 7
    QTest.touchEvent(pad, screen).press(finger, QPoint(40, 60), pad).commit()
    QTest.touchEvent(pad, screen).move(finger, QPoint(90, 30), pad).press(
        palm, QPoint(300, 140), pad
    ).commit()
    QTest.touchEvent(pad, screen).move(finger, QPoint(120, 70), pad).move(
        palm, QPoint(310, 150), pad
    ).commit()
    QTest.touchEvent(pad, screen).release(finger, QPoint(120, 70), pad).release(
        palm, QPoint(310, 150), pad
    ).commit()
    assert strokes(pad) == [[(40, 60), (90, 30), (120, 70)]]


def test_what_is_drawn_beside_the_paper_stays_on_it(pad: SignaturePad) -> None:
    by_mouse(pad, (40, 90), (pad.width() + 300, -40))
    [[_first, last]] = strokes(pad)
    assert last == (pad.width(), 0)


@pytest.mark.parametrize("by_waiting", every_day([True, False], 1))
def test_a_half_drawn_signature_is_there_again(
    person: Person, pad: SignaturePad, sit: Sit, begun: Job, *, by_waiting: bool
) -> None:
    by_mouse(pad, (40, 90), (140, 40))
    person.press("Ctrl+4")
    if by_waiting:  # the power fails later, and nobody closes the window
        QTest.qWait(KEEP_WITHIN_MS + 200)
    else:
        person.window.close()
    again = sit(begun)
    again.press("Ctrl+6")
    assert strokes(pad_of(again)) == [[(40, 90), (140, 40)]]
    by_mouse(pad_of(again), (150, 60), (180, 60))
    again.enter("edit_signature", "M. Quill")
    signature = again.sheet().report.signature
    assert signature is not None
    assert QImage.fromData(signature.picture).pixelColor(80, 180).value() < 128
    assert again.sheet().half_typed == {}
    again.window.close()
    third = sit(begun)
    third.press("Ctrl+6")
    assert pad_of(third).is_blank()
    assert third.sheet().half_typed == {}


def test_a_signature_that_is_taken_back_is_half_drawn_again(
    person: Person, pad: SignaturePad, sit: Sit, begun: Job
) -> None:
    by_mouse(pad, (40, 90), (140, 40))
    person.enter("edit_signature", "M. Quill")
    assert not pad.is_half_typed()
    person.window.setFocus()
    person.press("Ctrl+Z")
    assert person.sheet().report.signature is None
    person.window.close()
    again = sit(begun)
    again.press("Ctrl+6")
    assert strokes(pad_of(again)) == [[(40, 90), (140, 40)]]


def test_signing_anew_leaves_nothing(
    person: Person, pad: SignaturePad, sit: Sit, begun: Job
) -> None:
    by_mouse(pad, (40, 90), (140, 40))
    person.click("wipe_signature")
    assert pad.png() == b""
    person.window.close()
    assert sit(begun).sheet().half_typed == {}


def test_a_narrower_paper_shows_and_prints_all_of_it(person: Person, pad: SignaturePad) -> None:
    far = pad.width() - 20
    by_mouse(pad, (40, 90), (far, 40))
    person.window.resize(640, 480)
    QApplication.processEvents()
    assert pad.width() < far
    image = QImage.fromData(pad.png())
    edge = [image.pixelColor(image.width() - 2, y).value() for y in range(image.height())]
    assert min(edge) < 128
    before = strokes(pad)
    by_mouse(pad, (50, 50), (60, 60))
    assert strokes(pad)[0] == before[0]


INK = st.builds(
    Ink,
    st.floats(0, 4000).map(lambda x: round(x, 1)),
    st.floats(0, 160).map(lambda y: round(y, 1)),
    st.floats(0, 1).map(lambda p: round(p, 2)),
)


@given(st.lists(st.lists(INK, min_size=1, max_size=5), max_size=4))
def test_strokes_are_read_back_as_they_were_written(drawn: list[list[Ink]]) -> None:
    assert read_strokes(written(drawn)) == drawn


@pytest.mark.parametrize("text", ["x", "1,2,3,4", "1", ";;", "a,b,c"])
def test_what_are_no_strokes_is_a_blank_paper(text: str) -> None:
    assert read_strokes(text) == []
