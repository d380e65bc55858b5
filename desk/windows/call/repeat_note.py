"""What is said, while the phone is at the ear, of the job that a call is about already."""

from __future__ import annotations

from desk.base.texts import _, plural
from desk.records.views.call import JobBefore
from desk.trade.scheduling.booking_text import say_day
from desk.windows.kit.words import state_words


def say_job_before(job: JobBefore) -> str:
    """Say which job it is: what was found and fitted on it, or that it is still open."""
    if job.days is None:
        return _still_open(job)
    done = "; ".join(part for part in (job.cause, ", ".join(job.parts)) if part)
    return plural(
        "↺ This was called in before: {number} on {day}, {count} day ago. {done}",
        "↺ This was called in before: {number} on {day}, {count} days ago. {done}",
        job.days,
        number=job.number,
        day=say_day(job.day),
        done=done or _("No cause was written down."),
    )


def _still_open(job: JobBefore) -> str:
    said = {"state": state_words(job.state), "number": job.number, "day": say_day(job.day)}
    if job.state == "booked":
        return _("{state}: {number} is about this already, for {day}.", **said)
    return _("{state}: {number} is about this already, since {day}.", **said)
