"""Everything the program raises on purpose, sorted by who can mend it.

    DeskError
    ├── InputError      what was typed or asked for cannot be used; the person mends it
    │   ├── NotAnOffice     the file given is no office of this program
    │   └── NewerOffice     the file was written by a newer program
    ├── RuleError       the request breaks a rule of the work (a sealed visit is read-only)
    ├── OutageError     disk, lock or printer failed; trying again may help
    │   ├── OfficeHeld      another program has the office, or has it alone
    │   ├── OfficeGone      the office's file was replaced or taken away while it was open
    │   └── UnsoundOffice   file, log and what was last saved do not belong together
    ├── ConflictError   somebody else changed the same row in the meantime
    ├── ContentError    a file of checklists, causes or reference values is wrong
    └── MistakeError    a command or query met a bug, which the log has whole

Any other exception that gets out is a bug.
"""

from __future__ import annotations

from desk.base.texts import Message, say


class DeskError(Exception):
    """Base of every error raised on purpose: one sentence for a person, facts for the log.

    Attributes:
        sentence: what a person reads; translated when it is shown.
        facts: what a log keeps: ids, codes and numbers, never names of people.
    """

    exit_status = 1

    def __init__(self, sentence: Message, **facts: object) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.facts = facts

    def __str__(self) -> str:
        return say(self.sentence)


class InputError(DeskError):
    """What was typed or asked for cannot be used.

    Attributes:
        field: the name of the input to mark, or "".
    """

    exit_status = 2

    def __init__(self, sentence: Message, *, field: str = "", **facts: object) -> None:
        super().__init__(sentence, **facts)
        self.field = field


class NotAnOffice(InputError):
    """The file given is no office of this program."""


class NewerOffice(InputError):
    """The office was written by a newer program and is left untouched."""


class RuleError(InputError):
    """The request breaks a rule of the work; nothing was changed."""


class OutageError(DeskError):
    """The disk, a lock or the printer failed; nothing is half done."""


class OfficeHeld(OutageError):
    """Another program has the office open, or works on the whole of it."""


class OfficeGone(OutageError):
    """The office's file was replaced or taken away while it was open; nothing more is kept."""


class UnsoundOffice(OutageError):
    """An office's file, its log and the head of its journal do not belong together.

    Nothing was written; all of it can be copied aside and the sound part opened
    (:func:`desk.records.office.sound_part.keep_sound_part`).
    """


class ConflictError(DeskError):
    """Somebody else changed the same row since it was read; nothing was kept.

    Attributes:
        field: the name of the input that both changed, for a person to choose which one stays;
            "" where nothing is to be chosen and the same may be tried again.
        theirs: what the office holds in that field; never logged.
    """

    def __init__(
        self, sentence: Message, *, field: str = "", theirs: object = None, **facts: object
    ) -> None:
        super().__init__(sentence, **facts)
        self.field = field
        self.theirs = theirs


class MistakeError(DeskError):
    """A command or a query met a bug: whoever asked hears it as it hears a refusal."""


class ContentError(DeskError):
    """A file of checklists, causes, cautions or reference values is wrong."""
