"""How the shop's work is charged: off at first, every slip told under its line, and taken back."""

from __future__ import annotations

import pytest

from desk.records.actions.shop import SeeShop
from desk.records.office.office import Office
from desk.windows.back_office.shop_window import ShopWindow
from desk.windows.counter.window import CounterWindow
from desk.windows.forms.forms import Form, FormDialog
from desk.windows.kit.fields import ChoiceLine
from tests.every_day import every_day
from tests.windows.fakes import unnamed_controls
from tests.windows.hands import press, push, said, type_into


@pytest.fixture
def window(counter: CounterWindow) -> ShopWindow:
    press(counter, "Ctrl+Shift+S")
    [window] = counter.findChildren(ShopWindow)
    return window


def opened(window: ShopWindow) -> FormDialog:
    push(window, "shop_charging")
    [dialog] = window.findChildren(FormDialog)
    return dialog


def write(dialog: FormDialog, key: str, text: str) -> None:
    """Type into a line and leave it."""
    type_into(dialog, key, text)
    [form] = dialog.findChildren(Form)
    form.entries[key].settled.emit()


def choose(dialog: FormDialog, key: str, option: str) -> None:
    [form] = dialog.findChildren(Form)
    entry = form.entries[key]
    assert isinstance(entry, ChoiceLine)
    entry.put(option)
    entry.settled.emit()


def test_charges_are_off_until_they_are_turned_on(office: Office, window: ShopWindow) -> None:
    assert said(window, "shop_charges") == "○ Off: reports say nothing of charges."
    dialog = opened(window)
    choose(dialog, "charges", "on")
    write(dialog, "hourly", "96")
    write(dialog, "tax_name", "Sales tax")
    write(dialog, "tax", "8.25")
    push(dialog, "form_done")
    view = office.answer(SeeShop())
    assert (view.charges, view.hourly, view.tax) == ("on", "96.00", "8.25 %")
    assert "Sales tax of 8.25 % is added to parts and labour" in said(window, "shop_charges")
    for _step in range(4):
        press(window, "Ctrl+Z")
    assert office.answer(SeeShop()).charges == "off"
    window.close()


@pytest.mark.parametrize(
    ("field", "typed", "expected"),
    every_day(
        [
            ("hourly", "a lot", "no amount of money"),
            ("hourly", "-5", "from 0"),
            ("step", "0", "from 1 to 240"),
            ("call_out", "9999999999", "at most a million"),
            ("tax", "130", "in per cent"),
            ("second_tax", "some", "in per cent"),
        ],
        2,
        several_names=True,
    ),
)
def test_a_slip_is_told_under_its_line_and_holds_up_no_other(
    office: Office, window: ShopWindow, field: str, typed: str, expected: str
) -> None:
    dialog = opened(window)
    write(dialog, field, typed)
    write(dialog, "tax_name", "GST")
    [form] = dialog.findChildren(Form)
    assert expected in form.entries[field].under.text()
    assert form.typed()[field] == typed
    assert office.answer(SeeShop()).tax_name == "GST"
    dialog.close()
    window.close()


def test_every_control_is_named(window: ShopWindow) -> None:
    dialog = opened(window)
    assert unnamed_controls(dialog) == []
    dialog.close()
    window.close()
