"""The views of what comes back over a sample office: rows, curves, visits, files and pages."""

from __future__ import annotations

import csv
import uuid
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QItemSelectionModel, Qt
from PySide6.QtGui import QColor, QImage, QPalette
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.windows.documents.window import DocumentWindow
from desk.windows.recurrence.chart import SETTLES_MS, ChartPicture
from desk.windows.recurrence.history_views import HistoriesView
from desk.windows.recurrence.view_base import ChartedView
from desk.windows.recurrence.window import RepeatsWindow
from desk.windows.recurrence.words import BY, OF_AGES
from desk.windows.work.work_queue import InlineQueue
from tests.conftest import StillClock
from tests.every_day import every_day
from tests.samples import FEW, own_office
from tests.windows.fakes import PreparedPrompts
from tests.windows.hands import press, push, said

pytestmark = pytest.mark.shipped_content
"""The sample office is worked by the lists that are shipped."""


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An office of some years, written once."""
    return own_office(tmp_path_factory, FEW * 3)


@pytest.fixture(scope="module")
def long_sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An office with more jobs than a list shows at once."""
    return own_office(tmp_path_factory)


@pytest.fixture
def window(
    request: pytest.FixtureRequest, qtbot: QtBot, clock: StillClock, prompts: PreparedPrompts
) -> Iterator[RepeatsWindow]:
    place = request.getfixturevalue(getattr(request, "param", "sample"))
    with Office.open(place, now=clock) as office:
        window = RepeatsWindow(InlineQueue(office), prompts)
        window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
        qtbot.addWidget(window)
        window.resize(1280, 720)
        window.show()
        yield window


def mark(view: ChartedView, *places: int) -> None:
    """Mark rows of a table, and no others."""
    flag = QItemSelectionModel.SelectionFlag
    marks = view.table.selectionModel()
    marks.clearSelection()
    for place in places:
        marks.select(view.model.index(place, 0), flag.Select | flag.Rows)


def shown(view: ChartedView) -> list[list[str]]:
    """Return the cells of a table."""
    model = view.model
    return [
        [model.data(model.index(row, column)) for column in range(model.columnCount())]
        for row in range(model.rowCount())
    ]


def inked(chart: ChartPicture) -> int:
    """Return how many points of a chart have the colour of the window's letters."""
    image = chart.grab().toImage()
    ink = chart.palette().color(QPalette.ColorRole.WindowText)
    assert image.pixelColor(1, image.height() - 2) == chart.palette().window().color()
    return sum(
        _near(image.pixelColor(x, y), ink)
        for x in range(0, image.width(), 2)
        for y in range(0, image.height(), 2)
    )


def _near(one: QColor, other: QColor) -> bool:
    parts = zip(one.getRgb(), other.getRgb(), strict=True)
    return sum(abs(here - there) for here, there in parts) < 60


def test_what_stands_out_is_marked_in_words(qtbot: QtBot, window: RepeatsWindow) -> None:
    marks = [row[5] for row in shown(window.rates)]
    assert "▲ above the rest" in marks
    assert "" in marks
    assert "corrected for" in said(window, "repeats_rates_words")
    qtbot.waitUntil(lambda: inked(window.rates.chart) > 100)  # its size has to settle


def test_a_chart_takes_the_colours_of_another_look(qtbot: QtBot, window: RepeatsWindow) -> None:
    chart = window.rates.chart
    qtbot.waitUntil(lambda: inked(chart) > 100)
    palette = QPalette(chart.palette())
    palette.setColor(QPalette.ColorRole.WindowText, QColor("#ff8080"))
    chart.setPalette(palette)
    qtbot.waitUntil(lambda: inked(chart) > 100)


@pytest.mark.parametrize("by", every_day(BY, ["cause"]))
def test_every_grouping_can_be_looked_at(window: RepeatsWindow, by: str) -> None:
    window.rates.people_asked = True
    window.choices.by.put(by)
    window.choices.chosen.emit()
    assert window.rates.summary is not None
    assert window.rates.summary.by == by
    labels = [row[0] for row in shown(window.rates)]
    assert labels
    assert "" not in labels
    assert "combination_boiler" not in labels


@pytest.mark.parametrize("name", every_day(["ages", "lives"], ["lives"]))
def test_every_grouping_of_histories_can_be_looked_at(window: RepeatsWindow, name: str) -> None:
    press(window, "Ctrl+2" if name == "ages" else "Ctrl+3")
    for by in OF_AGES:
        window.choices.by.put(by)
        window.choices.chosen.emit()
        assert said(window, "repeats_trouble") == ""
        assert shown(window.views[name])


def drawn(qtbot: QtBot, view: HistoriesView, *marked: int) -> QImage:
    """Return the chart as it stands when the marked rows are drawn."""
    mark(view, *marked)
    qtbot.wait(3 * SETTLES_MS)
    return view.chart.grab().toImage()


def test_failures_against_age_are_told_and_drawn_for_up_to_three(
    qtbot: QtBot, window: RepeatsWindow
) -> None:
    press(window, "Ctrl+2")
    view = window.view
    assert isinstance(view, HistoriesView)
    rows = shown(view)
    assert said(window, "repeats_ages_words").startswith(rows[0][3])
    assert "failures for each appliance" in said(window, "repeats_ages_words")
    view.chart.setFixedSize(540, 270)  # whatever room the words under it take
    one, two, three, four = (drawn(qtbot, view, *range(count)) for count in (1, 2, 3, 4))
    assert one != two != three
    assert four == three
    words = said(window, "repeats_ages_words").splitlines()
    assert [line.split(":")[0] for line in words[:3]] == [row[0] for row in rows[:3]]
    assert words[3:] == ["The first 3 marked groups are drawn."]


def test_few_appliances_are_cautioned_about(window: RepeatsWindow) -> None:
    press(window, "Ctrl+2")
    view = window.view
    assert isinstance(view, HistoriesView)
    few = next(at for at, row in enumerate(shown(view)) if 2 <= int(row[1]) < 50)
    mark(view, few)
    assert "▲ With fewer than 50 appliances" in said(window, "repeats_ages_words")


def test_lives_of_parts_are_told_and_drawn(window: RepeatsWindow) -> None:
    press(window, "Ctrl+3")
    view = window.view
    assert isinstance(view, HistoriesView)
    first = shown(view)[0]
    assert said(window, "repeats_lives_words").startswith(
        f"Of {first[1]} fitted, {first[2]} replaced"
    )
    assert inked(view.chart) > 100
    assert said(window, "repeats_behind").startswith(f"{first[0]}: ")
    assert window.behind.model.rowCount() > 0


def test_a_second_look_is_told_in_sentences_with_its_visits(window: RepeatsWindow) -> None:
    press(window, "Ctrl+4")
    line = window.views["worth"].marked_line()
    assert line is not None
    assert window.behind.model.rows() == line.visits
    assert "behind it" in said(window, "repeats_behind")
    assert "chance does not explain" in said(window, "repeats_said")
    narrow = window.findChild(QPushButton, "repeats_narrow")
    assert narrow is not None
    assert not narrow.isEnabled()


@pytest.mark.parametrize("window", ["long_sample"], indirect=True)
def test_more_visits_come_when_the_list_is_scrolled_to_its_end(window: RepeatsWindow) -> None:
    window.choices.by.put("kind")
    window.choices.chosen.emit()
    model = window.behind.model
    before = model.rowCount()
    assert before == 200
    window.behind.table.scrollToBottom()
    QApplication.processEvents()
    assert model.rowCount() > before
    numbers = [visit.number for visit in model.rows()]
    assert len(set(numbers)) == len(numbers)


def test_enter_opens_the_visit(window: RepeatsWindow) -> None:
    opened: list[object] = []
    window.opened.connect(opened.append)
    window.behind.table.setFocus()
    QTest.keyClick(window.behind.table, Qt.Key.Key_Return)
    press(window, "Ctrl+Return")
    assert len(opened) == 2
    assert all(isinstance(one, uuid.UUID) for one in opened)


FILES = [
    ("Ctrl+1", "key,label,finished,counted,repeats,rate,low,high,continued,against_the_rest"),
    ("Ctrl+2", "key,label,appliances,failures,age_days,mean,low,high,sentence,caution,trend"),
    ("Ctrl+3", "key,label,fitted,replaced,median_days,median_low,median_high"),
    ("Ctrl+4", "kind,key,cases,expected,q_value,sentence,evidence,caution,visits"),
]


@pytest.mark.parametrize(("keys", "first"), every_day(FILES, FILES[:1], several_names=True))
def test_the_file_has_what_is_shown(
    window: RepeatsWindow, prompts: PreparedPrompts, keys: str, first: str
) -> None:
    press(window, keys)
    push(window, "repeats_csv")
    assert window.statusBar().currentMessage() == "Saved as What comes back.csv."
    text = (prompts.folder / "What comes back.csv").read_text(encoding="utf-8-sig")
    assert text.startswith(first)
    rows = list(csv.DictReader(text.splitlines()))
    if isinstance(window.view, ChartedView):
        assert [row["label"] for row in rows] == [row[0] for row in shown(window.view)]
    else:
        assert len(rows) == window.view.model.rowCount()


def test_saving_can_be_thought_better_of_and_a_bad_place_is_told(
    window: RepeatsWindow, prompts: PreparedPrompts, tmp_path: Path
) -> None:
    prompts.names = [None, "no such folder/x.csv"]
    push(window, "repeats_csv")
    assert said(window, "repeats_trouble") == ""
    push(window, "repeats_csv")
    assert list(tmp_path.glob("*.csv")) == []
    assert said(window, "repeats_trouble").startswith("▲")


@pytest.mark.parametrize("keys", every_day([f"Ctrl+{view}" for view in "1234"], ["Ctrl+4"]))
def test_each_view_is_printed_as_it_is_chosen(window: RepeatsWindow, keys: str) -> None:
    press(window, keys)
    push(window, "repeats_pdf")
    [document] = window.findChildren(DocumentWindow)
    assert "page" in said(document, "document_said")
    document.close()


def test_the_month_is_one_press_away(window: RepeatsWindow) -> None:
    push(window, "repeats_month")
    [document] = window.findChildren(DocumentWindow)
    assert document.windowTitle() == "What comes back, Jul 2026"
    assert "page" in said(document, "document_said")
    document.close()
