"""What the figures of what comes back mean, in one place, and what is done with odd records."""

from __future__ import annotations

from desk.base.texts import Message, fixed, message
from desk.records.views.recurrence import GRACE_DAYS, RepeatChoice

_ALIKE = {
    "same": message(
        "A job came back when a later call for the same appliance and the same complaint, not one"
        " to finish it, was received after the finish and up to the end of day {days} after it."
    ),
    "any": message(
        "A job came back when a later call for the same appliance with any complaint, not one to"
        " finish it and no planned service, was received after the finish and up to the end of"
        " day {days} after it."
    ),
}
_ALWAYS = (
    message(
        "Days go by the office's calendar. A call received before the finish is the same trouble;"
        " a call that was called off repeats nothing; a job counts as repeated at most once, and"
        " the call that repeats it begins a job of its own."
    ),
    message(
        "A job whose {days} days are not over is left out on both sides, repeated or not. Jobs"
        " that were stopped and left, planned services without a complaint, jobs that were called"
        " off and open jobs start no window."
    ),
    message(
        "The rate stands with Wilson's 95 % interval; groups are ranked by its lower end, so that"
        " one unlucky job does not top the list."
    ),
)
_BY = {
    "part": message("A job on which several parts were fitted stands in the row of each of them."),
    "hardness_class": message(
        "The hardness is that of the newest reading found at the premises; without one, what is"
        " written down for them."
    ),
    "month": message("The month is that of the finish."),
    "technician": message(
        "People get different work. Beside each stands how many jobs would have come back if jobs"
        " of the same complaint and cause came back as often as in the whole office (indirect"
        " standardisation); compare with that and not with each other."
    ),
}


def definitions_of(choice: RepeatChoice) -> tuple[Message, ...]:
    """Return what the figures of a choice mean, fixed in the words of the language in use."""
    texts = (
        message("A job is a visit with the visits that were booked to finish it."),
        message(
            "A job is finished when its last visit is; its cause and its technician are the last"
            " visit's. The period goes by that day."
        ),
        _ALIKE[choice.complaint],
        *_ALWAYS,
        *(_BY[name] for name in (choice.by,) if name in _BY),
    )
    return tuple(fixed(Message(text.id, {"days": choice.within_days})) for text in texts)


def history_definitions(choice: RepeatChoice) -> tuple[Message, ...]:
    """Return what failures against age and lives of parts mean, fixed in the language in use."""
    texts = [
        message(
            "A failure is a call about a complaint that was not called off and is none to finish"
            " another visit; its age is in days since the appliance was installed."
        ),
        message(
            "An appliance is watched from its first visit; the call that brought it in is not"
            " counted. It is watched to the day on which it was replaced, to {grace} days after"
            " its last visit, or to the day of the summary, whichever comes first.",
            grace=GRACE_DAYS,
        ),
        message(
            "A part lasts from the visit on which it was fitted to the next visit with the same"
            " part on the same appliance; where there is none, it still ran on the last day on"
            " which its appliance was watched."
        ),
    ]
    if choice.since or choice.until:
        texts.append(
            message(
                "Of a period, failures within it are counted against the ages that appliances had"
                " in it, and parts that were fitted in it."
            )
        )
    return tuple(fixed(text) for text in texts)
