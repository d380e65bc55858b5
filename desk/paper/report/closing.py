"""What to do next, the cautions, and who signed."""

from __future__ import annotations

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, HRFlowable, KeepTogether, Spacer

from desk.base.errors import InputError
from desk.base.texts import _, plural
from desk.paper.kit.date_text import show_time
from desk.paper.kit.id_words import LEFT_SIGNS, LEFT_STATES, WORKING_CAUTIONS, word
from desk.paper.kit.images import png_image
from desk.paper.kit.page import CELL, FINE, INK, SMALL, column_width, fine_print, labelled, section
from desk.paper.kit.tables import columns
from desk.paper.kit.text import Markup, aside, escape, join, lines, paragraph, strong
from desk.records.views.parties import PaperSize, PersonLine
from desk.records.views.report import SignatureLine, VisitReport
from desk.trade.content.in_use import first_id

_SIGNATURE_WIDTH, _SIGNATURE_HEIGHT = 58 * mm, 18 * mm


def what_next(report: VisitReport) -> list[Flowable]:
    """Set what is still to do and by whom, the advice given, and the advice refused."""
    content = [
        *labelled(_("Next step"), escape(report.next_step)),
        *labelled(_("Referred to"), escape(report.referred_to)),
        *labelled(_("Our advice"), escape(report.advice)),
        *labelled(_("Advice that was refused"), escape(report.advice_refused)),
    ]
    return section(_("What to do next"), content)


def cautions(report: VisitReport) -> list[Flowable]:
    """Set the cautions that concern who lives there, and what comes before any of this paper.

    All of them, with the time of each acknowledgement, stand in the appendix.
    """
    latest = {first_id(caution.id): caution for caution in report.cautions}
    household = [caution for key, caution in latest.items() if key not in WORKING_CAUTIONS]
    content: list[Flowable] = [
        paragraph(
            strong(
                _(
                    "The maker's instructions, local codes and the licensed person on site come "
                    "before anything on this paper."
                )
            ),
            FINE,
        )
    ]
    if household:
        content += [
            Spacer(0, 3),
            fine_print([escape(f"▲ {caution.text}") for caution in household]),
        ]
    if said := _acknowledged(report):
        content += [Spacer(0, 2), paragraph(escape(said), SMALL)]
    return section(_("Cautions"), content)


def _acknowledged(report: VisitReport) -> str:
    times = [caution.acknowledged_at for caution in report.cautions if caution.acknowledged_at]
    if not times:
        return ""
    names = dict.fromkeys(
        caution.acknowledged_by for caution in report.cautions if caution.acknowledged_by
    )
    return plural(
        "{count} caution was shown and acknowledged by {names}, {first}; it stands in the "
        "appendix.",
        "{count} cautions were shown and acknowledged by {names}, from {first} to {last}; all "
        "stand in the appendix.",
        len(times),
        names=", ".join(names) or _("the technician"),
        first=show_time(min(times), report.zone),
        last=show_time(max(times), report.zone),
    )


def signed(report: VisitReport, paper: PaperSize) -> list[Flowable]:
    """Set who came and when, how the appliance was left, and the customer's signature."""
    width = column_width(paper)
    blocks = [_who(report), _when(report)]
    if report.signature or report.started_at:
        blocks.append(_signature(report))
    blocks = [block for block in blocks if block]
    block = columns(blocks, [width * share for share in (0.29, 0.31, 0.4)[: len(blocks)]])
    return [KeepTogether(section(_("The visit"), [block], whole=True))]


def _who(report: VisitReport) -> list[Flowable]:
    technician = _person(report.technician) if report.technician else escape("")
    return [
        *labelled(_("Technician"), technician, CELL),
        *labelled(_("Work allowed by"), escape(report.allowed_by), CELL),
        *labelled(_("The appliance was"), strong(_left(report.left_state)), CELL),
    ]


def _when(report: VisitReport) -> list[Flowable]:
    times = (
        (_("Call received"), report.received_at),
        (_("Booked for"), report.booked_for),
        (_("Started"), report.started_at),
        (_("Finished"), report.finished_at),
    )
    return [
        piece
        for label, moment in times
        for piece in labelled(label, escape(show_time(moment, report.zone)), CELL)
    ]


def _left(state: str) -> str:
    return f"{LEFT_SIGNS.get(state, '')} {word(LEFT_STATES, state)}".strip()


def _person(person: PersonLine) -> Markup:
    number = person.licence_number
    held = [person.licence_class, _("licence {number}", number=number) if number else ""]
    said = ", ".join(part for part in held if part)
    return lines(strong(person.name), escape(said[:1].upper() + said[1:]))


def _signature(report: VisitReport) -> list[Flowable]:
    signature = report.signature
    if signature is None:
        return [
            paragraph(strong(_("For the customer")), SMALL),
            Spacer(0, _SIGNATURE_HEIGHT),
            _line(),
            paragraph(escape(_("Not signed.")), SMALL),
        ]
    when = show_time(signature.signed_at, report.zone)
    if signature.absent_reason:
        return [
            paragraph(strong(_("For the customer")), SMALL),
            paragraph(
                join(strong(_("Not present:")), escape(signature.absent_reason), aside(when)), CELL
            ),
        ]
    return [
        paragraph(strong(_("For the customer")), SMALL),
        Spacer(0, 2),
        picture(signature),
        _line(),
        paragraph(lines(strong(signature.name), aside(when)), CELL),
    ]


def _line() -> Flowable:
    return HRFlowable(
        width=_SIGNATURE_WIDTH, thickness=0.7, color=INK, hAlign="LEFT", spaceBefore=0, spaceAfter=2
    )


def picture(signature: SignatureLine) -> Flowable:
    """Return the signature as drawn, dark on white; words where there is none to be read."""
    if not signature.picture:
        return paragraph(escape(_("No signature was drawn.")), SMALL)
    try:
        return png_image(
            signature.picture,
            _SIGNATURE_WIDTH,
            _SIGNATURE_HEIGHT,
            what=_("The signature's picture"),
        )
    except InputError as error:
        return paragraph(escape(str(error)), SMALL)
