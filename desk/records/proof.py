"""What a visit owes before it may end as mended, from its rows; every such ending passes here."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from sqlalchemy.orm import Session

from desk.errors import RuleError
from desk.records.checks import results_of, standing, standing_results
from desk.records.readings import inputs_of, readings_of
from desk.records.tables import Appliance, CheckResult, Visit
from desk.records.visits import checklist_of
from desk.trade.checklist import Walk
from desk.trade.content import COULD_NOT, Checklist
from desk.trade.measurements import MEASUREMENTS
from desk.trade.proof import (
    PROOF_LABELS,
    PROOFS,
    Owed,
    Work,
    missing_proofs,
    owed_proofs,
)
from desk.wording import message, say

_BURNING_KINDS = frozenset({"combination_boiler"})
"""Kinds of appliance that burn something whatever else is known of them."""


def proof_of(
    session: Session, visit: Visit, results: Sequence[CheckResult] | None = None
) -> tuple[Owed, ...]:
    """Return what a visit owes to end as mended, and how far it is given.

    Args:
        session: looking, or in a deed.
        visit: any; a planned service owes nothing, nor does a visit that has not begun, that
            was begun before proof was asked for, or whose history was taken in.
        results: its answers, where they were read already.
    """
    if not visit.owes_proof or visit.edition_id is None:
        return ()
    checklist = checklist_of(session, visit)
    results = results_of(session, visit.id) if results is None else results
    walked = standing(session, visit, results)
    answers = standing_results(results, walked)
    return owed_proofs(
        Work(
            burns=_burns(session, visit),
            opened=_opened(visit, checklist, walked, answers),
            measured=frozenset(_measured(session, visit)),
            seen=frozenset(_seen(checklist, walked)),
            reasons={proof: getattr(visit, f"unproven_{proof}") for proof in PROOFS},
        )
    )


def need_proof(session: Session, visit: Visit) -> None:
    """Refuse to let a visit end as mended, or be sealed so, before it is proven.

    Raises:
        RuleError: something is neither measured nor seen, and no reason is written.
    """
    missing = missing_proofs(proof_of(session, visit))
    if missing:
        raise RuleError(
            message(
                "Visit {number} is not proven yet: {missing}. Measure it on Prove, or write "
                "there why not.",
                number=visit.number,
                missing=", ".join(say(PROOF_LABELS[proof]) for proof in missing),
            ),
            field=f"unproven_{missing[0]}",
        )


def _burns(session: Session, visit: Visit) -> bool | None:
    appliance = session.get(Appliance, visit.appliance_id) if visit.appliance_id else None
    if appliance is None:
        return None
    return True if appliance.gas_kind.strip() or appliance.kind in _BURNING_KINDS else None


def _opened(
    visit: Visit, checklist: Checklist, walked: Walk, answers: Collection[CheckResult]
) -> frozenset[str] | None:
    """Return what the checks and the repair of what was wrong opened; None where nothing tells."""
    named = tuple(cause for cause in (visit.cause, visit.second_cause) if cause)
    opened: set[str] = set()
    checks = [checklist.check(row.check_id) for row in answers if row.answer != COULD_NOT]
    repaired = sum(check.mends for check in checks)
    causes = (named or walked.to_mend) if repaired < 2 else ()  # noqa: PLR2004 - not each is known
    for check in checks:
        opened.update(checklist.opened_by(check, causes))
    is_told = bool(repaired)
    repairs = [checklist.causes[cause].repair for cause in named if cause in checklist.causes]
    for repair in repairs:
        if repair is not None:
            opened.update(repair.opens)
    in_own_words = bool(visit.cause_words or visit.second_cause_words)
    is_told |= bool(repairs) and None not in repairs and not in_own_words
    return frozenset(opened) if opened or is_told else None


def _measured(session: Session, visit: Visit) -> Iterator[str]:
    """Give the kinds of reading taken after the work, also those typed into a card."""
    for reading in readings_of(session, visit):
        if reading.moment != "left":
            continue
        yield reading.kind
        if reading.kind in MEASUREMENTS:
            typed = inputs_of(session, reading)
            for entry in MEASUREMENTS[reading.kind].entries:
                if entry.name in typed and entry.taken_from:
                    yield entry.taken_from


def _seen(checklist: Checklist, walked: Walk) -> Iterator[str]:
    """Give what was seen and not undone since by work that was done again."""
    for check_id, answer in walked.answers.items():
        if answer != COULD_NOT:
            yield from checklist.check(check_id).answer(answer).proves
