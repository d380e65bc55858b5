"""How the shop's work is charged: off until the shop turns it on, and told in a sentence."""

from __future__ import annotations

from desk.base.texts import _
from desk.records.actions import Command
from desk.records.actions.shop import MendShop
from desk.records.views.shop import ShopView
from desk.windows.forms.forms import MendForm
from desk.windows.kit.fields import ChoiceLine, Field, TypedLine
from desk.windows.record.forms import Typed
from desk.windows.work.work_queue import WorkQueue


def charging_form(queue: WorkQueue, view: ShopView) -> MendForm:
    """Return the form in which a shop says how its work is charged."""
    entries = _entries()
    for entry in entries:
        entry.put(getattr(view, entry.key))

    def command(typed: Typed) -> Command[object]:
        return MendShop(dict(typed))

    return MendForm(queue, _("How your work is charged"), entries, command, place="form/charging")


def charging_words(view: ShopView) -> str:
    """Say whether reports say what is charged, and how the tax is reckoned."""
    if view.charges == "off":
        return _("○ Off: reports say nothing of charges.")
    return _("● On: every visit that begins from now on. {rule}", rule=view.tax_rule)


def _entries() -> list[Field]:
    """Return what is charged in one column, and the tax on it in the other."""
    return [
        ChoiceLine(
            "charges", _("On the service report"),
            (("off", _("○ Off: nothing of charges")), ("on", _("● On: what the visit is charged"))),
        ),
        TypedLine("hourly", _("Labour for an hour"), _("such as 96.00; empty for none")),
        TypedLine("step", _("Labour is counted in minutes"), _("such as 15; 1 for each minute")),
        TypedLine("call_out", _("Call-out charge"), _("such as 49.00; empty for none")),
        ChoiceLine(
            "prices_with_tax", _("Prices and rates"),
            (("without", _("the tax is added to them")), ("with", _("have the tax in them"))),
        ),
        ChoiceLine(
            "labour_taxed", _("The tax is on"),
            (("yes", _("parts and labour")), ("no", _("parts, not on labour"))),
        ),
        TypedLine("tax_name", _("Tax is called"), _("such as sales tax; empty for none")),
        TypedLine("tax", _("Tax in per cent"), _("such as 8.875; empty for none")),
        TypedLine("second_tax_name", _("Second tax is called"), _("empty for none")),
        TypedLine("second_tax", _("Second tax in per cent"), _("empty for none")),
        ChoiceLine(
            "tax_on_each_line", _("The tax is rounded"),
            (("total", _("once, on the total")), ("line", _("on each line"))),
        ),
    ]  # fmt: skip
