"""What was wrong, what was done about it, and the checks that led there."""

from __future__ import annotations

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Spacer

from desk.base.texts import _, plural
from desk.paper.kit.date_text import show_time
from desk.paper.kit.page import BODY, FINEST, INK, LOUD, column_width, fine_print, labelled, section
from desk.paper.kit.tables import ruled_table
from desk.paper.kit.text import Markup, aside, escape, join, lines, paragraph, strong
from desk.records.views.parties import PaperSize
from desk.records.views.report import CauseLine, CheckLine, PartLine, VisitReport

_LONGEST_HEADLINE = 120

_BOXED = ParagraphStyle(
    "boxed",
    parent=LOUD,
    borderColor=INK,
    borderWidth=1.4,
    borderPadding=(5, 7, 6, 7),
    spaceBefore=6,
    spaceAfter=18,
    leftIndent=8,
    rightIndent=8,
)


def stop_and_leave(found: str, stopped_for: str = "") -> list[Flowable]:
    """Say plainly that the work ended for safety, and what holds until it is cleared.

    Args:
        found: what made everybody leave, in words; "" where that was not kept.
        stopped_for: "flooding" where that was water alone.
    """
    holds = _water_holds() if stopped_for == "flooding" else _gas_holds()
    return [
        Spacer(0, 4),
        paragraph(
            lines(
                escape(_("■ STOPPED FOR SAFETY. We stopped work and left the building.")),
                escape(_("Found: {found}.", found=found) if found else ""),
                Markup(f'<font name="Text" size="9">{escape(holds)}</font>'),
            ),
            _BOXED,
        ),
    ]


def _gas_holds() -> str:
    return _(
        "Do not use the appliance until a licensed person has cleared "
        "it. If you smell gas, or a carbon monoxide alarm sounds, or "
        "anyone has a headache or feels dizzy: everybody out, touch no "
        "switch, flame or telephone inside, and call the emergency "
        "number and the gas supplier from outside. Stay out until they "
        "say it is safe."
    )


def _water_holds() -> str:
    return _(
        "Do not step into the water, and touch nothing electric near it. Stay out until a "
        "qualified person has made the electricity safe. Do not use the appliance until a "
        "licensed person has cleared it: one whose controls were under water is never lit or "
        "switched on again before."
    )


def what_was_wrong(report: VisitReport) -> list[Flowable]:
    """Set the complaint in the caller's words, and what was found to be behind it."""
    content = _reported(report)
    if report.cause:
        content += labelled(_("What we found"), _cause(report.cause))
    if report.second_cause:
        content += labelled(_("What we found besides"), _cause(report.second_cause))
    return section(_("What was wrong"), content)


def _reported(report: VisitReport) -> list[Flowable]:
    words = report.complaint_words.strip()
    quoted = _("“{words}”", words=words) if words else ""
    danger = (
        _(
            "▲ Danger was reported with the call: a smell of gas, a carbon monoxide alarm, "
            "headaches or dizziness, or water near electrics."
        )
        if report.danger_reported
        else ""
    )
    head = _("What you told us, {time}", time=show_time(report.received_at, report.zone))
    complaint = report.complaint_text if report.complaint_text.id else ""
    outcome = report.danger_outcome
    became = _("What became of it: {outcome}", outcome=outcome) if outcome else ""
    return labelled(
        head,
        lines(
            strong(danger),
            escape(became),
            strong(complaint),
            escape(quoted),
        ),
    )


def _cause(cause: CauseLine) -> Markup:
    own = cause.own_words
    is_headline = not cause.name and len(own) <= _LONGEST_HEADLINE
    return lines(
        strong(own if is_headline else cause.name),
        escape(cause.explanation),
        escape("" if is_headline else own),
    )


def what_we_did(report: VisitReport, paper: PaperSize) -> list[Flowable]:
    """Set the work done, the parts fitted, and under which claim and permit."""
    content: list[Flowable] = []
    if report.work_done:
        content.append(paragraph(escape(report.work_done), BODY))
    if report.parts:
        content += [Spacer(0, 5), _parts(report.parts, column_width(paper)), Spacer(0, 3)]
    for label, said in (
        (_("Warranty claim"), report.warranty_claim),
        (_("Permit"), report.permit),
    ):
        if said:
            told = join(aside(_("{label}:", label=label)), escape(said))
            content += [paragraph(told, BODY)]
    return section(_("What we did"), content)


def _parts(parts: tuple[PartLine, ...], width: float) -> Flowable:
    rows = [
        [
            escape(f"{part.quantity} ×"),
            join(join(strong(part.name), aside(part.number)), escape(part.reason), between=" – "),
            lines(
                escape(_("new {serial}", serial=part.new_serial) if part.new_serial else ""),
                escape(_("old {serial}", serial=part.old_serial) if part.old_serial else ""),
                escape(_("old part kept for a claim") if part.kept_for_claim else ""),
            ),
        ]
        for part in parts
    ]
    return ruled_table(
        ["", _("Part fitted, and why"), _("Serial numbers")],
        rows,
        [width * 0.08, width * 0.57, width * 0.35],
    )


def what_we_checked(report: VisitReport) -> list[Flowable]:
    """Set the checks in the order they were answered; replaced answers are in the appendix."""
    answers = [check for check in report.checks if not check.superseded]
    if not answers and not report.mistakes:
        return []
    entries = [
        join(aside(f"{number}", FINEST.fontSize), escape(check.question), found(check))
        for number, check in enumerate(answers, 1)
    ]
    content: list[Flowable] = [fine_print(entries)] if entries else []
    replaced = len(report.checks) - len(answers)
    if replaced:
        said = plural(
            "{count} answer was replaced on the way; it is kept in the appendix.",
            "{count} answers were replaced on the way; they are kept in the appendix.",
            replaced,
        )
        content += [Spacer(0, 2), paragraph(aside(said), BODY)]
    for slip in report.mistakes:
        said = _(
            "“{question}” was answered “{answer}” by mistake and taken back: {reason}",
            question=slip.question,
            answer=slip.answer_text,
            reason=slip.reason,
        )
        content += [Spacer(0, 2), paragraph(escape(said), BODY)]
    return section(_("How we found it"), content)


def found(check: CheckLine) -> Markup:
    """Return an answer with its reason and the technician's note."""
    return join(
        strong(check.answer_text or check.answer),
        escape(check.reason),
        escape(check.note),
        between=" – ",
    )
