"""Every id that a report can carry has its word, and every state a shape beside it."""

from __future__ import annotations

from desk.paper.kit.id_words import VERDICTS
from desk.trade.flow.timed_flow import FlowAnswer


def test_every_verdict_has_a_shape_of_its_own() -> None:
    ids = {answer.value for answer in FlowAnswer}
    ids |= {f"{answer.value}_at_outlet" for answer in (FlowAnswer.ENOUGH, FlowAnswer.TOO_LITTLE)}
    assert VERDICTS.keys() == ids
    assert len({shape for shape, _words in VERDICTS.values()}) == len(ids)
