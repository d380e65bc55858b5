"""Whether an office file that is open is still the one that its name leads to.

SQLite goes on writing into a file that was taken away or replaced, and says that it is kept. Its
name is therefore looked up before a unit of work and after the commit, by the numbers that the
disk gives a file; nothing is opened for it.
"""

from __future__ import annotations

import logging
from pathlib import Path

from desk.base.errors import OfficeGone
from desk.base.office_files import beside, file_numbers, has_log, size_of
from desk.base.texts import Message, message
from desk.records.database.engine import LONGEST_LOG
from desk.records.journal import heads

log = logging.getLogger(__name__)


class Identity:
    """What was found under an office's name when it was opened: the file, and its log if any.

    Attributes:
        is_gone: it was found to be another.
    """

    def __init__(self, path: Path) -> None:
        """Look at an office that has just been opened, and read from once."""
        self._path = path.resolve()
        self._log = beside(self._path, "-wal")
        names = (self._path, self._log)
        self._known = {name: found for name in names if (found := file_numbers(name)) is not None}
        self._written = _written(self._path)
        self.is_gone = False
        self._found: tuple[int, int] | None = None

    def check(self) -> None:
        """See that the names still lead to the same office and the same log.

        Once they did not they never do again: something may have been written in between.

        Raises:
            OfficeGone: they do not.
        """
        for name, known in self._known.items():
            if not self.is_gone and (found := file_numbers(name)) != known:
                self.is_gone, self._found = True, found
                log.warning("%s is gone: %s instead of %s", name.suffix, found, known)
        if not self.is_gone and (now := _written(self._path)) != self._written:
            self._see_content(now)
        if self.is_gone:
            raise self._refusal()

    def _see_content(self, now: tuple[int, int] | None) -> None:
        """See, where the file was written, that it was by folding back its log and not from afar.

        That is seldom, once in some hundred change sets.
        """
        kind = heads.wrong(self._path, is_open=True)
        if kind is None:
            self._written = now
        elif kind != heads.HALF_FOLDED:  # which is looked at again at the next change set
            self.is_gone, self._found = True, now
            log.warning("another content: %s", kind)

    def log_is_empty(self) -> bool:
        """Return whether the next write begins the log anew."""
        return not has_log(self._path)

    def log_is_long(self) -> bool:
        """Return whether the log should be folded back into the file."""
        return size_of(self._log) > LONGEST_LOG

    def _refusal(self) -> OfficeGone:
        sentence: Message = message(
            "{file} was taken away while it was open. Nothing is kept any more; "
            "what stands typed is on this screen alone. Put the file back under its old name, "
            "then close this window and open it again.",
            file=self._path.name,
        )
        if self._found is not None:
            sentence = message(
                "Another file was put in the place of {file} while it was open. Nothing is kept "
                "any more; what stands typed is on this screen alone.",
                file=self._path.name,
            )
        return OfficeGone(sentence, found=self._found)


def _written(path: Path) -> tuple[int, int] | None:
    """Return the size of a file and when it was last written."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_size, found.st_mtime_ns
