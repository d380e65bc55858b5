"""The parts that were used over some days: added up, kept for claims, and visit by visit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from reportlab.platypus import Flowable, Spacer, Table

from desk.base.progress import Watch
from desk.base.texts import _, plural
from desk.paper.kit.date_text import show_date
from desk.paper.kit.document import DocumentHead, print_document
from desk.paper.kit.page import BODY, FINE, SMALL, section
from desk.paper.kit.tables import Cell, ruled_table, with_first_row
from desk.paper.kit.text import Markup, aside, escape, join, lines, paragraph, strong
from desk.records.views.parties import PaperSize
from desk.records.views.shop import COUNTED, USED_COLUMNS, PartsUsed, PartTally, Tally, UsedPart
from desk.trade.charging.money import show_amount, show_money

_TODAYS = "*"
_NO_PRICE = "–"


def parts_used(
    used: PartsUsed, *, paper: PaperSize | None = None, watch: Watch | None = None
) -> bytes:
    """Print which parts were used.

    Args:
        used: the frozen parts; they are printed in the order they are given.
        paper: size of the paper; the shop's unless given.
        watch: told how far it is; what it raises stops the work.

    Returns:
        The PDF. The same parts and language give the same bytes.
    """
    said = period(used)
    head = DocumentHead(
        shop=used.letterhead,
        title=_("Parts used, {period}", period=said),
        heading=_("Parts used"),
        beside=strong(said),
        subject=_("Parts fitted on visits, and the stock that went with them"),
        seal=_("By the day of the visit, days of {zone}", zone=used.letterhead.zone),
    )

    def sections(width: float) -> list[Flowable]:
        set_in = _Setting(used, width)
        return [
            *section(_("All in all"), set_in.all_in_all()),
            *set_in.table(_("By part"), set_in.by_part()),
            *set_in.table(_("By technician"), set_in.by_technician()),
            *set_in.table(_("Kept for a claim"), set_in.kept()),
            *set_in.table(_("Not from the catalogue"), set_in.in_words()),
            *set_in.table(_("By visit"), set_in.by_visit()),
        ]

    return print_document(head, sections, paper=paper, watch=watch)


def period(used: PartsUsed) -> str:
    """Say from when to when."""
    since, until = show_date(used.since), show_date(used.until)
    return since if since == until else _("{since} to {until}", since=since, until=until)


@dataclass(frozen=True, slots=True)
class _Setting:
    """Parts on their way onto a page of some width."""

    used: PartsUsed
    width: float

    def table(self, name: str, table: Table | None) -> list[Flowable]:
        """Set a table beside its name, which never stands alone; nothing without one."""
        if table is None:
            return []
        return [with_first_row(table, self.width), *section(name, [table], whole=True)]

    def all_in_all(self) -> list[Flowable]:
        """Say the totals, and what is to be known of the prices."""
        total = self.used.total
        if not total.pieces:
            return [paragraph(escape(_("No part was used on a visit of these days.")), BODY)]
        pieces = plural("{count} piece was used", "{count} pieces were used", total.pieces)
        visits = plural("on {count} visit", "on {count} visits", total.visits)
        worth = _("Those with a price come to {money}.", money=self.money(total.cents))
        said = [_("{pieces} {visits}.", pieces=pieces, visits=visits)]
        if total.unpriced < total.pieces:
            said.append(worth)
        if total.unpriced:
            said.append(
                plural("{count} piece has no price.", "{count} pieces have no price.",
                       total.unpriced)
            )  # fmt: skip
        content: list[Flowable] = [paragraph(escape(" ".join(said)), BODY)]
        notes = [_("Prices are as they were written down on the visit; tax is not reckoned.")]
        if any(line.is_todays_price for line in self.used.lines):
            notes.append(
                _("{sign} The visit has none: the catalogue's of today stands in.", sign=_TODAYS)
            )
        if total.unpriced < total.pieces:
            content += [Spacer(0, 2), paragraph(escape(" ".join(notes)), SMALL)]
        return content

    def by_part(self) -> Table | None:
        """Set what each part comes to, the most used first."""
        rows = [
            [_named(one.name, one.number), escape(_stock(one)), *self.counts(one.total)]
            for one in self.used.by_part
        ]
        heads = [_("Part"), _("Taken from"), *self.count_heads()]
        return self.set_table(heads, rows, (0.38, 0.25, 0.1, 0.1, 0.17), (2, 3, 4))

    def by_technician(self) -> Table | None:
        """Set what each technician used."""
        rows = [
            [strong(one.technician or _("Nobody yet")), *self.counts(one.total)]
            for one in self.used.by_technician
        ]
        heads = [_("Technician, and van"), *self.count_heads()]
        return self.set_table(heads, rows, (0.63, 0.1, 0.1, 0.17), (1, 2, 3))

    def kept(self) -> Table | None:
        """Set the failed parts that were kept, by their serial numbers."""
        rows = [
            [
                _named(line.name, line.number),
                lines(strong(line.old_serial or _("no serial number")),
                      aside(_("new {serial}", serial=line.new_serial) if line.new_serial else "")),
                lines(escape(line.warranty_claim), escape(line.reason)),
                _visit(line),
            ]
            for line in self.used.lines
            if line.kept_for_claim
        ]  # fmt: skip
        heads = [_("Part kept"), _("Its serial number"), _("Claim, and why"), _("Visit")]
        return self.set_table(heads, rows, (0.28, 0.22, 0.24, 0.26))

    def in_words(self) -> Table | None:
        """Set what was used and is in no catalogue: nothing left the stock for it."""
        rows = [
            [strong(line.name), _visit(line), escape(str(line.pieces)), self.amount(line)]
            for line in self.used.lines
            if not line.number
        ]
        heads = [_("In words"), _("Visit"), _("Pieces"), self.worth_head()]
        return self.set_table(heads, rows, (0.42, 0.31, 0.1, 0.17), (2, 3))

    def by_visit(self) -> Table | None:
        """Set every line, visit by visit in order of time."""
        rows: list[Sequence[Cell]] = []
        for _number, mine in groupby(self.used.lines, key=lambda line: line.visit):
            for place, line in enumerate(mine):
                rows.append(
                    [
                        _visit(line) if not place else aside(line.visit),
                        lines(
                            _named(line.name, line.number),
                            escape(line.reason),
                            aside(_serials(line)),
                        ),
                        escape(str(line.pieces)),
                        escape(self.each(line)),
                        self.amount(line),
                    ]
                )
        shown = [column for column in USED_COLUMNS if column.page_head]
        heads = [column.over_page(currency=self.used.currency) for column in shown]
        numbers = [place for place, column in enumerate(shown) if column.is_number]
        return self.set_table(heads, rows, (0.24, 0.42, 0.09, 0.1, 0.15), numbers)

    def set_table(
        self,
        heads: Sequence[str],
        rows: Sequence[Sequence[Cell]],
        shares: Sequence[float],
        numbers: Sequence[int] = (),
    ) -> Table | None:
        """Set rows, None where there are none.

        Args:
            heads: what stands over each column.
            rows: the cells, as many a row as there are heads.
            shares: of the width that each column takes; they add up to 1.
            numbers: the columns set flush right, counted from 0.
        """
        if not rows:
            return None
        widths = [self.width * share for share in shares]
        return ruled_table(heads, rows, widths, style=FINE, numbers=numbers, air=1.6)

    def counts(self, total: Tally) -> tuple[Markup, ...]:
        """Say pieces, visits and what they come to."""
        worth = escape(self.shown(total.cents) if total.unpriced < total.pieces else _NO_PRICE)
        without = ""
        if 0 < total.unpriced < total.pieces:
            without = plural("{count} without a price", "{count} without a price", total.unpriced)
        return (
            escape(str(total.pieces)),
            escape(str(total.visits)),
            lines(worth, aside(without)),
        )

    def count_heads(self) -> tuple[str, ...]:
        """Return the heads over :meth:`counts`."""
        return tuple(column.over_page(currency=self.used.currency) for column in COUNTED)

    def worth_head(self) -> str:
        """Return the head over amounts."""
        return self.count_heads()[-1]

    def each(self, line: UsedPart) -> str:
        """Say the price of one."""
        if line.each_cents is None:
            return _NO_PRICE
        return self.shown(line.each_cents) + (_TODAYS if line.is_todays_price else "")

    def amount(self, line: UsedPart) -> Markup:
        """Say what a line comes to."""
        if line.cents is None:
            return escape(_NO_PRICE)
        return escape(self.shown(line.cents) + (_TODAYS if line.is_todays_price else ""))

    def shown(self, cents: int) -> str:
        """Say an amount without its currency."""
        return show_amount(cents, self.used.currency, self.used.letterhead.language)

    def money(self, cents: int) -> str:
        """Say an amount with its currency."""
        return show_money(cents, self.used.currency, self.used.letterhead.language)


def _named(name: str, number: str) -> Markup:
    return join(strong(name), aside(number))


def _visit(line: UsedPart) -> Markup:
    beside = " · ".join(said for said in (line.technician, line.appliance) if said)
    return lines(
        join(strong(show_date(line.day)), escape(line.visit)),
        aside(beside),
        aside(", ".join(said for said in (line.who, line.where) if said)),
    )


def _serials(line: UsedPart) -> str:
    said = (
        line.new_serial and _("new {serial}", serial=line.new_serial),
        line.old_serial and _("old {serial}", serial=line.old_serial),
        line.kept_for_claim and _("old part kept for a claim"),
        *(_place(van) for van in line.vans),
    )
    return ", ".join(text for text in said if text)


def _place(van: str) -> str:
    return _("from {name}'s van", name=van) if van else _("from the shelf")


def _stock(one: PartTally) -> str:
    return "\n".join(
        _("{pieces} from {name}'s van", pieces=pieces, name=van)
        if van
        else _("{pieces} from the shelf", pieces=pieces)
        for van, pieces in one.stock
    )
