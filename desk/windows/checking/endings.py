"""What is said where a list has ended, and on the button that finishes the visit."""

from __future__ import annotations

from desk.base.texts import Message, _, message, say

ENDINGS: dict[str, tuple[Message, Message]] = {
    "mended": (
        message("The list is done: mended."),
        message("Write down cause and work, let the customer see the pages, and finish."),
    ),
    "to_continue": (
        message("The list is done: to be continued."),
        message("Say what comes next and how the appliance was left, then finish."),
    ),
    "no_fault_found": (
        message("The list is done: no fault was found."),
        message("Say so on the report, agree on a second look, and finish."),
    ),
    "referred": (
        message("The list is done: somebody else has to do this work."),
        message("Say to whom it is referred and how the appliance was left, then finish."),
    ),
    "left": (
        message("STOP AND LEAVE"),
        message(
            "Touch no switch, flame or phone inside. Leave with everybody. Call the emergency "
            "number and the gas supplier from outside. Write the record afterwards."
        ),
    ),
}

SERVICED = (
    message("The list is done: serviced."),
    message("Write down what was done, let the customer see the pages, and finish."),
)


def ending_told(ending: str, *, planned: bool) -> tuple[Message, Message]:
    """Return what is said at the end of a list, and what to do; a planned service is serviced."""
    return SERVICED if planned and ending == "mended" else ENDINGS[ending]


def finish_words(ending: str, *, planned: bool) -> str:
    """Return the words on the button that finishes a visit."""
    return _("Finish: serviced") if planned and ending == "mended" else say(FINISH[ending])


FINISH = {
    "mended": message("Finish: mended"),
    "to_continue": message("Finish: to be continued"),
    "no_fault_found": message("Finish: no fault found"),
    "referred": message("Finish: referred"),
    "left": message("Finish: stopped and left"),
}
