"""A visit under way as an office has it that was upgraded since: begun before the safety rules."""

from __future__ import annotations

from dataclasses import replace

from desk.records.journal.journal import keep
from desk.records.office.office import Office
from desk.records.tables import Acknowledgement, ChecklistEdition, CheckResult, Visit
from desk.trade.content.checklist import Checklist
from desk.trade.content.loader import load_content
from desk.trade.content.model import Check
from desk.trade.diagnosis.walk import cautions_for
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, begin_job

YOUNGER = frozenset({"co_monitor", "dry_fire"})
"""Cautions that the checks of the earlier list have not."""

WORDED_SINCE = "live_parts"
GIVEN = {"danger": "none", "flooding": "dry", "allowed": "yes"}
EARLIER_WORDS = "There is mains voltage inside the cabinet."


def earlier_list() -> Checklist:
    """Return the list for hot water as it was kept then: nothing binds, and it warns of less."""
    today = load_content().checklists["hot-water"]
    cautions = {key: one for key, one in today.cautions.items() if key != "dry_fire"}
    cautions[WORDED_SINCE] = replace(cautions[WORDED_SINCE], text={"en": EARLIER_WORDS})
    return replace(
        today,
        binding=False,
        checks={key: _earlier(check) for key, check in today.checks.items()},
        causes={key: replace(cause, repair=None) for key, cause in today.causes.items()},
        cautions=cautions,
    )


def _earlier(check: Check) -> Check:
    warned = tuple(one for one in check.cautions if one not in YOUNGER)
    return replace(check, cautions=warned, mends=False, powered_open=False, undoes=())


def begin_before(office: Office, clock: StillClock) -> Job:
    """Begin a job with the earlier list, before proof was asked for, and answer as far as GIVEN.

    The rows are written as that program wrote them: its cautions were read, the younger were not.
    """
    job = begin_job(office, clock)
    kept = earlier_list()
    read = {one.id for check in GIVEN for one in cautions_for(kept, check)} | {WORDED_SINCE}
    clock.pass_minutes(5)
    with office.unit_of_work(ACT) as session:
        edition = keep(
            session,
            ChecklistEdition(checklist=kept.id, edition=kept.edition, content=kept.edition_text),
        )
        visit = session.get_one(Visit, job.visit)
        visit.edition_id, visit.owes_proof = edition.id, False
        for caution in sorted(read):
            keep(
                session,
                Acknowledgement(
                    visit_id=visit.id, caution=caution, person_id=job.technician, at=clock()
                ),
            )
        for check, answer in GIVEN.items():
            keep(
                session,
                CheckResult(
                    visit_id=visit.id, check_id=check, answer=answer, reason="", note="",
                    mistake="", answered_at=clock(),
                ),
            )  # fmt: skip
    return job
