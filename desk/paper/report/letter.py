"""The letter that a service report is sent with."""

from __future__ import annotations

from desk.base.texts import _
from desk.paper.kit.date_text import local_day, show_date
from desk.paper.kit.email_draft import Letter
from desk.records.views.report import VisitReport


def report_letter(report: VisitReport) -> Letter:
    """Return what a customer is written with the report of a visit: short, from the shop."""
    shop, customer = report.letterhead, report.customer
    day = report.started_at or report.booked_for or report.received_at
    number, date = report.number, show_date(local_day(day, report.zone))
    return Letter(
        to_name=customer.name if customer else "",
        to=customer.emails if customer else (),
        from_name=shop.name,
        from_address=shop.email,
        subject=_("Service report {number} of {date}", number=number, date=date),
        text=_(
            "Good day,\n\n"
            "attached is the report of our visit {number} of {date}. It says what we found, what"
            " we did and what we measured.\n\n"
            "If anything is unclear, or the trouble comes back, please tell us the number of the"
            " visit.\n\n"
            "{shop}\n{phone}\n",
            number=number,
            date=date,
            shop=shop.name,
            phone=shop.phone,
        ),
        file_name=_("Service report {number}.pdf", number=number),
    )
