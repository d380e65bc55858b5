"""A shop turns charges on, a visit is worked, and its total is read off the printed page."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.windows.back_office.shop_window import ShopWindow
from desk.windows.forms.forms import Form, FormDialog
from desk.windows.kit.fields import ChoiceLine
from desk.windows.work.work_queue import InlineQueue
from tests.journeys.scripts import DIVERTER
from tests.paper.reading_back import pages_of
from tests.records.jobs import Job
from tests.windows.conftest import Sit, sit, waiting
from tests.windows.fakes import PreparedPrompts
from tests.windows.hands import press, push, type_into
from tests.windows.visit.sheets import Person, Ready

__all__ = ["sit", "waiting"]


def turn_charges_on(qtbot: QtBot, office: Office, folder: Path) -> None:
    """Say in the shop's window how work is charged, as its owner does."""
    window = ShopWindow(InlineQueue(office), PreparedPrompts(folder))
    with qtbot.waitActive(window):
        window.show()
    push(window, "shop_charging")
    [dialog] = window.findChildren(FormDialog)
    [form] = dialog.findChildren(Form)
    on = form.entries["charges"]
    assert isinstance(on, ChoiceLine)
    on.put("on")
    on.settled.emit()
    for key, text in (
        ("hourly", "60"), ("step", "60"), ("call_out", "40"), ("tax_name", "Sales tax"),
        ("tax", "10"),
    ):  # fmt: skip
        type_into(dialog, key, text)
        form.entries[key].settled.emit()
    push(dialog, "form_done")
    window.close()


def printed(person: Person, path: Path) -> list[str]:
    """Save the report and return its lines."""
    person.click("save_pdf")
    text = "\n".join(pages_of(path.read_bytes()))
    return [" ".join(line.split()) for line in text.splitlines()]


@pytest.mark.qt_log_ignore("This plugin does not support")  # the list that comes up as one types
def test_the_total_of_a_charged_visit_is_on_the_page_that_was_signed(
    qtbot: QtBot, office: Office, sit: Sit, waiting: Job, tmp_path: Path
) -> None:
    turn_charges_on(qtbot, office, tmp_path)
    path = tmp_path / "report.pdf"
    person = sit(waiting, Ready(path=path))
    person.press("Return")
    person.walk(DIVERTER)
    person.click("take_found_cause")
    person.press("Ctrl+4")
    person.type("part_pieces", "2")
    person.type("part_price", "10")
    person.enter("part_number", "Brass elbow")
    person.press("Ctrl+6")
    person.prove("Ctrl+6")
    person.click("finish_mended")
    # An hour that was begun 60.00, call-out 40.00, two elbows 20.00; 10 % of 120.00 is 12.00.
    assert person.reads("charges_total") == "Total $132.00  =  120.00 + 12.00 tax"
    person.enter("edit_signature", "M. Quill")
    person.click("seal")
    lines = printed(person, path)
    for said in (
        "Call-out 40.00",
        "Labour, 1 h 60.00 an hour 60.00",
        "2 × Brass elbow 10.00 20.00",
        "Before tax 120.00",
        "Sales tax, 10 % 12.00",
        "Total $132.00",
    ):
        assert any(line.endswith(said) for line in lines), said
    assert any("is added to parts and labour, rounded to the cent" in line for line in lines)


def test_a_shop_that_charges_nothing_prints_no_word_of_it(
    sit: Sit, waiting: Job, tmp_path: Path
) -> None:
    path = tmp_path / "report.pdf"
    person = sit(waiting, Ready(path=path))
    person.press("Return")
    person.walk(DIVERTER)
    person.click("take_found_cause")
    press(person.window, "Ctrl+6")
    person.prove("Ctrl+6")
    person.click("finish_mended")
    person.enter("edit_signature", "M. Quill")
    person.click("seal")
    assert not [line for line in printed(person, path) if "Total" in line or "tax" in line]
