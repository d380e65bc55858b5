"""The shop's own page."""

from __future__ import annotations

from pathlib import Path

from PIL import Image
from PySide6.QtWidgets import QTableView

from desk.records.actions.shop import SeeShop
from desk.records.office.office import Office
from desk.windows.back_office.shop_window import ShopWindow
from desk.windows.counter.window import CounterWindow
from desk.windows.forms.forms import FormDialog
from tests.windows.fakes import PreparedPrompts, unnamed_controls
from tests.windows.hands import form_of, press, push, said, type_into


def opened(counter: CounterWindow) -> ShopWindow:
    press(counter, "Ctrl+Shift+S")
    [window] = counter.findChildren(ShopWindow)
    return window


def test_each_line_is_kept_as_it_is_left_and_taken_back(
    office: Office, counter: CounterWindow
) -> None:
    window = opened(counter)
    before = office.answer(SeeShop())
    type_into(window, "name", "Quarry Lane Heating")
    type_into(window, "ceiling", "115F")
    type_into(window, "street", "14 Quarry Lane")
    press(window, "Tab")
    view = office.answer(SeeShop())
    assert (view.name, view.ceiling, view.street) == (
        "Quarry Lane Heating",
        "115F",
        "14 Quarry Lane",
    )
    for _step in range(3):
        press(window, "Ctrl+Z")
    assert office.answer(SeeShop()) == before
    assert form_of(window).typed()["name"] == before.name
    assert form_of(window).typed()["ceiling"] == ""
    window.close()


def test_a_wrong_line_stays_and_says_what_is_expected(
    office: Office, counter: CounterWindow
) -> None:
    window = opened(counter)
    type_into(window, "ceiling", "200 F")
    type_into(window, "phone", "555-0100")
    press(window, "Tab")
    form = form_of(window)
    assert "95 F" in form.entries["ceiling"].under.text()
    assert form.typed()["ceiling"] == "200 F"
    assert office.answer(SeeShop()).phone == "555-0100"
    window.close()


def test_a_logo_is_chosen_and_taken_off(
    office: Office, counter: CounterWindow, prompts: PreparedPrompts, tmp_path: Path
) -> None:
    Image.new("RGB", (300, 100), "navy").save(prompts.folder / "logo.png")
    (prompts.folder / "notes.png").write_text("no picture")
    window = opened(counter)
    prompts.names = ["notes.png", "missing.png", "logo.png", None]
    push(window, "logo_choose")
    assert "no picture" in said(window, "shop_trouble")
    push(window, "logo_choose")
    assert "cannot be read" in said(window, "shop_trouble")
    push(window, "logo_choose")
    assert office.answer(SeeShop()).logo
    assert window.logo.pixmap().width() == 270
    assert not said(window, "shop_trouble")
    push(window, "logo_choose")
    assert office.answer(SeeShop()).logo, "thought better of it"
    push(window, "logo_off")
    assert not office.answer(SeeShop()).logo
    assert "the name alone" in window.logo.text()
    window.close()


def test_containers_are_entered_mended_and_withdrawn(
    office: Office, counter: CounterWindow
) -> None:
    window = opened(counter)
    assert said(window, "containers_empty")
    push(window, "container_new")
    [dialog] = window.findChildren(FormDialog)
    type_into(dialog, "name", "Blue bucket")
    type_into(dialog, "volume", "5 gal")
    push(dialog, "form_keep")
    table = window.findChild(QTableView, "containers_table")
    assert table is not None
    assert table.model().rowCount() == 1
    push(window, "container_withdraw")
    assert not office.answer(SeeShop()).containers
    press(window, "Ctrl+Z")
    assert [one.name for one in office.answer(SeeShop()).containers] == ["Blue bucket"]
    window.close()


def test_every_control_is_named(counter: CounterWindow) -> None:
    window = opened(counter)
    assert unnamed_controls(window) == []
    window.close()
