"""The visits of an office as columns of numbers, put together from the pieces that were read.

Words become small codes, keys become bytes, and times become microseconds since 1970, so that a
million visits take some fifty megabytes and not a thousand.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Sequence, Set
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from desk.base.progress import Watch, unwatched
from desk.trade.recurrence.repeat_rule import root_of

type Ints = NDArray[np.int64]
type Codes = NDArray[np.int32]
type Flags = NDArray[np.bool_]
type Keys = NDArray[np.void]
NEVER = int(np.iinfo(np.int64).max)
"""Stands for a time that has not come."""
NOBODY = bytes(16)
"""Stands for a key where none is named."""
KEY = np.dtype("V16")
CALLED_OFF, LEFT, WITHDRAWN, LATER = 1, 2, 3, 4
_LOOKED_AT = 20_000
"""So many keys at once are made objects of Python's."""


class Coder:
    """Gives every value that it meets a code: 0, 1, 2, and so on."""

    def __init__(self, *first: Hashable) -> None:
        self._codes: defaultdict[Any, int] = defaultdict()
        self._codes.default_factory = self._codes.__len__
        self.codes(first)

    def codes(self, values: Sequence[Any]) -> Codes:
        """Return the codes of some values."""
        return np.fromiter(map(self._codes.__getitem__, values), np.int32, len(values))

    @property
    def values(self) -> list[Any]:
        """Return what was met, by its code."""
        return list(self._codes)


@dataclass(frozen=True, slots=True)
class Coded:
    """Values of some rows: a code for each row, and what the codes stand for."""

    codes: Codes
    values: list[Any]


@dataclass(frozen=True, slots=True)
class VisitColumns:
    """Visits that are not withdrawn, in the order of their calls.

    Attributes:
        keys: of the visits.
        root: place of the visit that began the job; its own unless it continues another.
        appliance: code of the appliance; those without one have a code of their own each, past
            those of the appliances.
        complaint: code; 0 is planned service.
        cause: code.
        called_off: nobody came.
        left: ended with stop-and-leave.
        received: microseconds since 1970.
        finished: microseconds since 1970, :data:`NEVER` while it is not.
        withdrawn: how many were not taken because they are withdrawn.
        later: how many were not taken because their call came later.
        go_on_from_nothing: how many continue a visit that is none of these.
        appliances: keys by code.
        complaints: ids by code.
        causes: ids by code.
        also: the further columns that were asked for, in their order.
    """

    keys: Keys
    root: Codes
    appliance: Codes
    complaint: Codes
    cause: Codes
    called_off: Flags
    left: Flags
    received: Ints
    finished: Ints
    withdrawn: int
    later: int
    go_on_from_nothing: int
    appliances: Keys
    complaints: list[str]
    causes: list[str]
    also: tuple[Coded, ...]

    @property
    def unnamed(self) -> Flags:
        """Return which visits name no appliance."""
        return self.appliance >= len(self.appliances)

    def __len__(self) -> int:
        return len(self.keys)


@dataclass(slots=True)
class ReadPieces:
    """What was read, column by column in pieces; a column is let go of when it is joined."""

    words: list[list[Codes]]
    keys: list[bytes] = field(default_factory=list)
    appliances: list[bytes] = field(default_factory=list)
    marks: list[NDArray[np.int8]] = field(default_factory=list)
    received: list[Ints] = field(default_factory=list)
    finished: list[Ints] = field(default_factory=list)
    goes_on: dict[bytes, bytes] = field(default_factory=dict)

    def take(self, rows: Sequence[Sequence[Any]], coders: Sequence[Coder]) -> None:
        """Take a piece: rows of the statement, whose columns from the seventh on are words."""
        key, before, appliance, marks, received, finished, *words = zip(*rows, strict=True)
        self.goes_on |= {one: other for one, other in zip(key, before, strict=True) if other}
        self.keys.append(b"".join(key))
        self.appliances.append(b"".join(appliance))
        self.marks.append(np.array(marks, np.int8))
        self.received.append(np.array(received, np.int64))
        self.finished.append(np.array(finished, np.int64))
        for kept, coder, values in zip(self.words, coders, words, strict=True):
            kept.append(coder.codes(values))


def columns_of(read: ReadPieces, known: list[list[Any]], watch: Watch) -> VisitColumns:
    """Put pieces together in the order of the calls; of one moment, in the order of the keys.

    Args:
        read: the pieces; they are let go of as they are joined.
        known: the words by code, of each column of words in turn.
        watch: told between two pieces of the work; what it raises stops it.
    """
    keys, received = _joined_keys(read.keys), _joined(read.received, np.int64)
    marks = _joined(read.marks, np.int8)
    there = np.flatnonzero((marks != WITHDRAWN) & (marks != LATER))
    order = there[in_order(received[there], keys[there])]
    withdrawn, later = (int((marks == mark).sum()) for mark in (WITHDRAWN, LATER))
    watch(0, 0)
    keys, received, marks = keys[order], received[order], marks[order]
    of_appliances = _joined_keys(read.appliances)[order]
    watch(0, 0)
    root, lost = _roots(keys, read.goes_on, watch)
    watch(0, 0)
    appliance, appliances = _appliance_codes(of_appliances)
    watch(0, 0)
    complaint, cause, *others = (
        Coded(_joined(codes, np.int32)[order], values)
        for codes, values in zip(read.words, known, strict=True)
    )
    return VisitColumns(
        keys=keys,
        root=root,
        appliance=appliance,
        complaint=complaint.codes,
        cause=cause.codes,
        called_off=marks == CALLED_OFF,
        left=marks == LEFT,
        received=received,
        finished=_joined(read.finished, np.int64)[order],
        withdrawn=withdrawn,
        later=later,
        go_on_from_nothing=lost,
        appliances=appliances,
        complaints=complaint.values,
        causes=cause.values,
        also=tuple(others),
    )


def _joined(parts: list[NDArray[Any]], kind: type) -> NDArray[Any]:
    joined = np.concatenate(parts) if parts else np.empty(0, kind)
    parts.clear()
    return joined


def _joined_keys(parts: list[bytes]) -> Keys:
    joined = np.frombuffer(b"".join(parts), KEY)
    parts.clear()
    return joined


def halves(keys: Keys) -> tuple[NDArray[np.uint64], NDArray[np.uint64]]:
    """Return the two halves of keys as numbers, which sort as the keys do."""
    pair = np.ascontiguousarray(keys).view(">u8").reshape(-1, 2)
    return pair[:, 0].astype(np.uint64), pair[:, 1].astype(np.uint64)


def in_order(times: Ints, keys: Keys) -> Ints:
    """Return the places of rows by time; of one moment, by key."""
    order = np.argsort(times, kind="stable")
    sorted_times = times[order]
    if (sorted_times[1:] == sorted_times[:-1]).any():
        high, low = halves(keys)
        return np.lexsort((low, high, times))
    return order


def key_codes(keys: Keys) -> tuple[Codes, Keys]:
    """Return a code for every key, and the keys by their codes."""
    high, low = halves(keys)
    mixed = high * np.uint64(0x9E37_79B9_7F4A_7C15) ^ low
    _values, first, codes = np.unique(mixed, return_index=True, return_inverse=True)
    if (high[first][codes] != high).any() or (low[first][codes] != low).any():
        pairs = np.stack((high, low), axis=1)  # two keys mix to one: seen only where it is sought
        _pairs, first, codes = np.unique(pairs, axis=0, return_index=True, return_inverse=True)
    return codes.reshape(-1).astype(np.int32), keys[first]


def _appliance_codes(keys: Keys) -> tuple[Codes, Keys]:
    """Return codes of appliances and their keys; who names none has a code past all of those."""
    codes, known = key_codes(keys)
    high, low = halves(known)
    nobody = np.flatnonzero((high == 0) & (low == 0))
    if len(nobody):
        last = len(known) - 1  # the code of nobody is given to the last appliance instead
        unnamed, moved = codes == nobody[0], codes == last
        codes[moved] = nobody[0]
        codes[unnamed] = last + np.arange(int(unnamed.sum()), dtype=np.int32)
        known = known.copy()
        known[nobody[0]] = known[last]
        known = known[:last]
    return codes, known


def places_of(keys: Keys, wanted: Set[bytes], watch: Watch = unwatched) -> dict[bytes, int]:
    """Return where some keys stand; those that are not there are left out.

    Args:
        keys: all of them.
        wanted: those that are looked for.
        watch: told between two pieces of the work; what it raises stops it.
    """
    places: dict[bytes, int] = {}
    for begin in range(0, len(keys), _LOOKED_AT):
        some = keys[begin : begin + _LOOKED_AT].tolist()
        places |= {key: begin + at for at, key in enumerate(some) if key in wanted}
        watch(0, 0)
    return places


def _roots(keys: Keys, goes_on: dict[bytes, bytes], watch: Watch) -> tuple[Codes, int]:
    """Return where the visit stands that began each visit's job, and how many lost theirs."""
    root = np.arange(len(keys), dtype=np.int32)
    if not goes_on:
        return root, 0
    place = places_of(keys, goes_on.keys() | set(goes_on.values()), watch)
    before = {
        place[one]: place[other]
        for one, other in goes_on.items()
        if one in place and other in place
    }
    for at in before:
        root[at] = root_of(at, before)
    return root, sum(one in place for one in goes_on) - len(before)
