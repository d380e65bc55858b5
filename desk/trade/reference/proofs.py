"""What a mended appliance owes before a visit may end as mended: each measured, seen or reasoned.

What is owed is common practice, no source. Single jobs call for more (a leak test of gas pipes, a
combustion check); what the licence, the local code and the maker ask for comes first.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Literal, get_args

from desk.base.texts import Message, message

type Proof = Literal["outlet_temperature", "tightness", "co_in_room", "relief_valve"]
type ProofState = Literal["measured", "seen", "reason", "missing", "dangerous"]

PROOFS: tuple[Proof, ...] = get_args(Proof.__value__)
"""What may be owed, in the order in which it is asked for."""

PROOF_LABELS: Mapping[Proof, Message] = {
    "outlet_temperature": message("hot water temperature at the outlet"),
    "tightness": message("tightness of what was opened"),
    "co_in_room": message("carbon monoxide in the room"),
    "relief_valve": message("relief valve, seen"),
}

PROVING: Mapping[Proof, tuple[str, ...]] = {
    "outlet_temperature": ("tap_temperature", "outlet_temperature"),
    "tightness": ("leak_test",),
    "co_in_room": ("co_in_room",),
    "relief_valve": ("relief_valve",),
}
"""The kinds of reading that prove it, where one is taken after the work."""

_LOOKED_AT: tuple[Proof, ...] = ("relief_valve",)
"""What a reading tells in words only, because it is looked at and not measured."""


@dataclass(frozen=True, slots=True)
class Work:
    """What is known about the work, as far as it decides what is owed.

    Attributes:
        burns: whether the appliance burns gas or oil; None where nobody knows, which owes the
            proof until somebody says.
        opened: what was opened, of water, cabinet and gas; None where nobody knows.
        measured: the kinds of reading that were taken after the work.
        seen: what answers to the checks say was seen.
        reasons: why something is neither measured nor seen, in the technician's words.
        dangers: what was read or seen that may hurt somebody (:mod:`desk.trade.readings.dangers`);
            no reason and no other reading stands against it.
    """

    burns: bool | None
    opened: Collection[str] | None
    measured: Collection[str] = ()
    seen: Collection[str] = ()
    reasons: Mapping[str, str] = field(default_factory=dict)
    dangers: Mapping[Proof, Message] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Owed:
    """One proof that is owed, and how far it is given; ``reason`` stands in words typed.

    ``danger`` is what was read or seen that forbids to call it mended.
    """

    proof: Proof
    state: ProofState
    reason: str = ""
    danger: Message | None = None


def owed_proofs(work: Work) -> tuple[Owed, ...]:
    """Return what a visit owes to end as mended, each with how far it is given.

    The temperature of the hot water and a look at the relief valve are always owed; tightness
    where water or gas was opened, CO in the room where something burns. A gas joint is not proven
    by looking at it, nor a burner's room by saying that there is no burner. What is dangerous is
    owed whatever was opened and burns.
    """
    is_owed = {
        "outlet_temperature": True,
        "tightness": work.opened is None or bool({"water", "gas"} & set(work.opened)),
        "co_in_room": work.burns is not False,
        "relief_valve": True,
    }
    return tuple(_given(work, proof) for proof in PROOFS if is_owed[proof] or proof in work.dangers)


def what_is_dangerous(dangers: Mapping[Proof, Message]) -> tuple[Owed, ...]:
    """Return what is owed where nothing but dangers forbids to call it mended."""
    return tuple(
        Owed(proof, "dangerous", danger=dangers[proof]) for proof in PROOFS if proof in dangers
    )


def missing_proofs(owed: Collection[Owed]) -> tuple[Proof, ...]:
    """Return what is neither measured nor seen and has no reason."""
    return tuple(one.proof for one in owed if one.state == "missing")


def _given(work: Work, proof: Proof) -> Owed:
    reason = work.reasons.get(proof, "").strip()
    if proof in work.dangers:
        return Owed(proof, "dangerous", danger=work.dangers[proof])
    if any(kind in work.measured for kind in PROVING[proof]):
        return Owed(proof, "seen" if proof in _LOOKED_AT else "measured")
    if proof in work.seen and _seeing_proves(work, proof):
        return Owed(proof, "seen")
    return Owed(proof, "reason" if reason else "missing", reason)


def _seeing_proves(work: Work, proof: Proof) -> bool:
    if proof == "tightness":
        return "gas" not in (work.opened or ())
    if proof == "co_in_room":
        return not work.burns
    return proof == "relief_valve"
