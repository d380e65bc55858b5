"""Parts on order, from the shelf that runs low and from a visit that waits."""

from __future__ import annotations

import csv

from desk.records.actions.entering import AddPart, MendPart
from desk.records.actions.stock import SeeOrders
from desk.records.fields.part_fields import PartDetails
from desk.records.office.office import Office
from desk.windows.back_office.orders_window import OrdersWindow
from desk.windows.counter.window import CounterWindow
from tests.windows.fakes import PreparedPrompts, unnamed_controls
from tests.windows.hands import form_of, press, push, type_into


def opened(counter: CounterWindow) -> OrdersWindow:
    press(counter, "Ctrl+Shift+P")
    [window] = counter.findChildren(OrdersWindow)
    return window


def short_of_gaskets(office: Office) -> None:
    part = office.carry_out(AddPart(PartDetails("=G-1", "Gasket", None), 2))
    office.carry_out(MendPart(part, PartDetails("", "Gasket", None, 5)))


def cells(window: OrdersWindow) -> list[list[str]]:
    model = window.model
    return [
        [model.index(row, column).data() for column in range(5)] for row in range(model.rowCount())
    ]


def test_what_the_shelf_lacks_is_ordered_and_received(
    office: Office, counter: CounterWindow
) -> None:
    short_of_gaskets(office)
    window = opened(counter)
    assert cells(window) == [["Gasket", "=G-1", "3", "the shelf", "▼ to order"]]
    push(window, "order_came")
    assert "Say first" in window.trouble.text()
    push(window, "order_ordered")
    assert cells(window)[0][4] == "… on its way"
    push(window, "order_came")
    assert cells(window) == []
    press(window, "Ctrl+Z")
    assert cells(window)[0][4] == "… on its way"
    push(window, "order_withdraw")
    assert cells(window)[0][4] == "▼ to order"
    window.close()


def test_a_part_is_asked_for_in_words(office: Office, counter: CounterWindow) -> None:
    window = opened(counter)
    assert window.empty.isVisible()
    push(window, "order_ask")
    form = form_of(window)
    push(form, "form_keep")
    assert "at least 1" in form.entries["pieces"].under.text()
    type_into(form, "pieces", "2")
    push(form, "form_keep")
    assert "number" in form.entries["number"].under.text()
    type_into(form, "name", "The odd clip")
    push(form, "form_keep")
    assert cells(window) == [["The odd clip", "", "2", "the shelf", "▼ to order"]]
    assert len(office.answer(SeeOrders())) == 1
    window.close()


def test_the_order_list_is_saved_and_runs_nowhere(
    office: Office, counter: CounterWindow, prompts: PreparedPrompts
) -> None:
    short_of_gaskets(office)
    window = opened(counter)
    push(window, "order_save")
    with (prompts.folder / "order-list.csv").open(newline="", encoding="utf-8") as file:
        assert list(csv.reader(file)) == [
            ["Number", "Part", "Pieces", "For"],
            ["'=G-1", "Gasket", "3", ""],
        ]
    window.close()


def test_every_control_is_named(counter: CounterWindow) -> None:
    window = opened(counter)
    assert unnamed_controls(window) == []
    window.close()
