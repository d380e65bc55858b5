"""What a visit owes before it may end as mended, from its rows; every such ending passes here."""

from __future__ import annotations

import uuid
from collections.abc import Collection, Iterator, Sequence
from typing import NamedTuple

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import RuleError
from desk.base.texts import Message, message, say
from desk.records.measured.taken import Taken, taken_on
from desk.records.shop.settings import thresholds_of
from desk.records.tables import Appliance, ChangeSet, CheckResult, Visit
from desk.records.visits.checks import Answered, answered_of
from desk.records.visits.editions import checklist_of
from desk.trade.content.checklist import Checklist
from desk.trade.content.model import COULD_NOT, in_language
from desk.trade.diagnosis.walk import Walk
from desk.trade.measurement_registry import MEASUREMENTS
from desk.trade.measuring.estimate import Estimate
from desk.trade.readings.dangers import DANGEROUS, EACH_COUNTS, danger_in
from desk.trade.readings.reading_kinds import READING_KINDS, reading_estimate
from desk.trade.reference.complaints import PLANNED_SERVICE
from desk.trade.reference.proofs import (
    PROOF_LABELS,
    PROOFS,
    Owed,
    Proof,
    Work,
    missing_proofs,
    owed_proofs,
    what_is_dangerous,
)

_BURNING_KINDS = frozenset({"combination_boiler"})
"""Kinds of appliance that burn something whatever else is known of them."""

_NO_FAULT = "no_fault_found"


def proof_of(
    session: Session,
    visit: Visit,
    answered: Answered | None = None,
    taken: Sequence[Taken] | None = None,
) -> tuple[Owed, ...]:
    """Return what a visit owes to end as mended, and how far it is given.

    Args:
        session: reading, or of a unit of work.
        visit: any; a planned service under way owes that nothing is dangerous; nothing is owed by
            a visit that has not begun, that was begun before proof was asked for, or whose history
            was taken in.
        answered: its answers, where they were read already.
        taken: what was taken on it in order, where that was read already.
    """
    is_service = visit.complaint == PLANNED_SERVICE and visit.state == "under_way"
    if visit.edition_id is None or not (visit.owes_proof or is_service):
        return ()
    checklist = checklist_of(session, visit)
    answered = answered or answered_of(session, visit)
    walked, left = answered.walk, _left(taken_on(session, visit) if taken is None else taken)
    ceiling_k = thresholds_of(session).ceiling_k
    dangers = _seen_dangers(checklist, walked) | _read_dangers(left, ceiling_k)
    if not visit.owes_proof:
        return what_is_dangerous(dangers)
    answers = answered.standing
    return owed_proofs(
        Work(
            burns=_burns(session, visit),
            opened=_opened(visit, checklist, walked, answers),
            measured=_measured(session, _proving(left, ceiling_k), _in_vain(checklist, answers)),
            dangers=dangers,
            seen=frozenset(_seen(checklist, walked)),
            reasons={proof: getattr(visit, f"unproven_{proof}") for proof in PROOFS},
        )
    )


def _need_proof(visit: Visit, owed: Collection[Owed]) -> None:
    """Refuse to let a visit end as mended, or be sealed so, before it is proven.

    Raises:
        RuleError: something that was read or seen after the work may hurt somebody; or something
            is neither measured nor seen, and no reason is written.
    """
    for one in owed:
        if one.danger is not None:
            raise RuleError(
                message(
                    "Visit {number} is not mended – {what}: {danger}; put it right, measure again, "
                    "and take out on Prove what no longer holds.",
                    number=visit.number,
                    what=PROOF_LABELS[one.proof],
                    danger=one.danger,
                ),
                field=f"unproven_{one.proof}",
            )
    missing = missing_proofs(owed)
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


def need_safe_end(
    session: Session,
    visit: Visit,
    ending: str,
    answered: Answered | None = None,
    taken: Sequence[Taken] | None = None,
) -> None:
    """Refuse an ending that leaves standing what was read or seen to be dangerous after the work.

    A tap that is too hot keeps no appliance off; it is warned of and put right another day.

    Args:
        session: of a unit of work.
        visit: the visit.
        ending: how it is to end.
        answered: its answers, as for :func:`proof_of`.
        taken: what was taken on it, as for :func:`proof_of`.

    Raises:
        RuleError: something dangerous is called no fault, or the appliance is left on with it; or
            what is mended is not proven.
    """
    if ending == "mended":
        _need_proof(visit, proof_of(session, visit, answered, taken))
        return
    if ending == "left":
        return
    for one in proof_of(session, visit, answered, taken):
        if one.danger is None:
            continue
        told = {"number": visit.number, "what": PROOF_LABELS[one.proof], "danger": one.danger}
        if ending == _NO_FAULT:
            raise RuleError(
                message("Visit {number} found a fault – {what}: {danger}.", **told),
                field=f"unproven_{one.proof}",
            )
        if visit.left_state == "on" and one.proof != "outlet_temperature":
            raise RuleError(
                message(
                    "The appliance of visit {number} is not left on – {what}: {danger}; leave it"
                    " off, or off and tagged.",
                    **told,
                ),
                field="left_state",
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


class _Read(NamedTuple):
    """What was read after the work; ``estimate`` is in SI, with its errors, and None for words."""

    made_in: uuid.UUID
    kind: str
    typed: str
    estimate: Estimate | None


def _left(all_taken: Sequence[Taken]) -> tuple[_Read, ...]:
    """Return what was read after the work, in order, also what was typed into a card."""
    after = (one for one in all_taken if one.reading.moment == "left")
    return tuple(read for one in after for read in _read(one))


def _read(taken: Taken) -> Iterator[_Read]:
    reading, typed = taken.reading, taken.inputs
    estimate = _estimate(reading.kind, reading.si_value, reading.instrument)
    yield _Read(reading.made_in, reading.kind, reading.typed, estimate)
    if reading.kind in MEASUREMENTS:
        for entry in MEASUREMENTS[reading.kind].entries:
            if entry.name in typed and entry.taken_from:
                one, kind = typed[entry.name], entry.taken_from
                yield _Read(reading.made_in, kind, one.typed, _estimate(kind, one.si_value))


def _estimate(kind: str, si: float | None, instrument: str = "") -> Estimate | None:
    if si is None or kind not in READING_KINDS:
        return None
    return reading_estimate(kind, si, instrument=instrument)


def _in_vain(checklist: Checklist, answers: Sequence[CheckResult]) -> CheckResult | None:
    """Return the last retest that stands and says that the work before it did not help."""
    retests = [
        row
        for row in answers
        if row.answer != COULD_NOT and checklist.check(row.check_id).answer(row.answer).goes_on
    ]
    return retests[-1] if retests else None


def _proving(left: Sequence[_Read], ceiling_k: float) -> list[_Read]:
    """Leave out an outlet too hot for a tap: behind a mixing valve only the tap proves itself."""
    return [
        one
        for one in left
        if one.kind != "outlet_temperature"
        or danger_in("tap_temperature", one.typed, one.estimate, ceiling_k=ceiling_k) is None
    ]


def _measured(session: Session, left: Sequence[_Read], since: CheckResult | None) -> frozenset[str]:
    """Return the kinds of reading taken after the work, none before a retest in vain."""
    if since is None:
        return frozenset(one.kind for one in left)
    then = sa.select(ChangeSet.clock).where(ChangeSet.id == since.made_in).scalar_subquery()
    sets = {one.made_in for one in left}
    later = session.scalars(
        sa.select(ChangeSet.id).where(ChangeSet.id.in_(sets), ChangeSet.clock >= then)
    ).all()
    return frozenset(one.kind for one in left if one.made_in in later)


def _read_dangers(left: Sequence[_Read], ceiling_k: float) -> dict[Proof, Message]:
    """Return what the readings after the work tell of danger; of most kinds the latest counts."""
    latest = {one.kind: place for place, one in enumerate(left)}
    found: dict[Proof, Message] = {}
    for place, one in enumerate(left):
        if one.kind in DANGEROUS and (one.kind in EACH_COUNTS or latest[one.kind] == place):
            danger = danger_in(one.kind, one.typed, one.estimate, ceiling_k=ceiling_k)
            if danger is not None:
                found.setdefault(DANGEROUS[one.kind], danger)
    return found


def _seen_dangers(checklist: Checklist, walked: Walk) -> dict[Proof, Message]:
    return {
        proof: message("“{answer}”", answer=in_language(answer.text))
        for check_id, said in walked.answers.items()
        if said != COULD_NOT
        for answer in (checklist.check(check_id).answer(said),)
        for proof in answer.disproves
    }


def _seen(checklist: Checklist, walked: Walk) -> Iterator[str]:
    """Give what was seen and not undone since by work that was done again."""
    for check_id, answer in walked.answers.items():
        if answer != COULD_NOT:
            yield from checklist.check(check_id).answer(answer).proves
