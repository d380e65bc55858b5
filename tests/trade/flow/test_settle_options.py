"""What would settle an open verdict."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from desk.trade.flow.settle_options import Means, Option, settle
from desk.trade.flow.timed_flow import (
    Activation,
    FillContainer,
    FlowAnswer,
    Scale,
    TimedFill,
    TimedFlow,
    timed_volume,
    verdict,
)
from desk.trade.flow.unsteadiness import STEADY, USUAL, Unsteadiness
from desk.trade.quantities.typed_quantity import System

LITRE = 1e-3
L_PER_MIN = LITRE / 60


def timed(
    seconds: float,
    fills: int,
    half_width_l: float,
    timing: float = 0.3,
    unsteadiness: Unsteadiness = STEADY,
) -> TimedFlow:
    """Time fills of 4 litres that all took the same, of a flow that is taken as steady."""
    return timed_volume(
        [TimedFill(seconds)] * fills,
        FillContainer(4 * LITRE, half_width_l * LITRE),
        timing_half_width_s=timing,
        unsteadiness=unsteadiness,
    )


def by_means(flow: TimedFlow, limit_l_per_min: float) -> dict[Means, Option]:
    return {o.means: o for o in settle(flow, Activation(limit_l_per_min * L_PER_MIN)).options}


def test_a_clear_verdict_needs_nothing_more() -> None:
    found = settle(timed(120, 1, 0.05), Activation(1.0 * L_PER_MIN))
    assert (found.needed, found.options) == (False, ())


def test_options_come_quickest_first_and_each_would_settle_it() -> None:
    found = settle(timed(118, 2, 0.2), Activation(2.0 * L_PER_MIN))
    minutes = [option.added_minutes for option in found.options]
    assert len(minutes) == 3
    assert minutes == sorted(minutes)
    assert all(option.probability_reached >= 0.95 for option in found.options)


def is_settled(fills: int, volume_l: float, half_width_l: float, timing: float = 0.3) -> bool:
    """Say whether the flow of 4 litres in 118 s, measured that way, reaches 2 L/min surely."""
    again = timed_volume(
        [TimedFill(volume_l * 29.5)] * fills,
        FillContainer(volume_l * LITRE, half_width_l * LITRE),
        timing_half_width_s=timing,
        unsteadiness=STEADY,
    )
    return verdict(again, Activation(2.0 * L_PER_MIN)).answer is FlowAnswer.ENOUGH


def test_no_more_is_asked_than_settles_it() -> None:
    larger = by_means(timed(118, 2, 0.2), 2.0)[Means.LARGER_VOLUME]
    litres = larger.volume_m3 / LITRE
    assert is_settled(1, litres, 0.2)
    assert not is_settled(1, litres * 0.98, 0.2)
    more = by_means(timed(118, 1, 0.001, timing=4.0), 2.0)[Means.MORE_FILLS]
    assert is_settled(1 + more.fills, 4, 0.001, timing=4.0)
    assert not is_settled(more.fills, 4, 0.001, timing=4.0)


def test_added_minutes_are_those_of_filling_and_emptying() -> None:
    found = by_means(timed(118, 2, 0.2), 2.0)
    larger = found[Means.LARGER_VOLUME]
    assert larger.added_minutes == pytest.approx((larger.volume_m3 / LITRE * 29.5 + 30) / 60)
    assert found[Means.FINER_MARK].added_minutes == pytest.approx(2 * (118 + 30) / 60)
    more = by_means(timed(118, 1, 0.001, timing=2.5), 2.0)[Means.MORE_FILLS]
    assert (more.fills, more.added_minutes) == (1, pytest.approx((118 + 30) / 60))


def test_more_fills_are_no_help_where_the_mark_is_the_trouble() -> None:
    assert Means.MORE_FILLS not in by_means(timed(118, 2, 0.2), 2.0)


def test_more_fills_help_where_the_timing_is_the_trouble() -> None:
    found = by_means(timed(118, 1, 0.001, timing=4.0), 2.0)
    assert found[Means.MORE_FILLS].fills >= 1
    assert "finer mark" not in str(found[Means.MORE_FILLS].sentence())


def test_weighing_keeps_the_fills_and_is_offered_for_a_coarse_mark() -> None:
    assert by_means(timed(118, 2, 0.2), 2.0)[Means.WEIGHING].fills == 0
    assert Means.WEIGHING not in by_means(timed(119.8, 1, 0.01), 2.0)


def test_weighed_fills_are_not_offered_weighing() -> None:
    weighed = timed_volume([TimedFill(118, 3.95)], Scale(0.2, 323.15))
    found = by_means(weighed, 2.0)
    assert Means.WEIGHING not in found
    assert "scale" in str(found[Means.LARGER_VOLUME].sentence())
    assert "scale" in str(found[Means.FINER_MARK].sentence())


def test_no_option_is_an_answer_too() -> None:
    blurred = Activation(2.0 * L_PER_MIN, 0.3 * L_PER_MIN)
    found = settle(timed(118, 2, 0.2), blurred)
    assert (found.needed, found.options) == (True, ())
    assert str(found.advice) == "Too close to tell with this equipment; treat as marginal."


def test_a_low_estimate_is_settled_the_other_way() -> None:
    found = settle(timed(122, 2, 0.2), Activation(2.0 * L_PER_MIN))
    assert found.options
    assert all(option.probability_reached <= 0.05 for option in found.options)


def test_scatter_once_seen_is_not_forgotten_by_a_single_larger_fill() -> None:
    calm, wild = (
        timed_volume(
            [TimedFill(time) for time in times],
            FillContainer(4 * LITRE, 0.2 * LITRE),
            unsteadiness=STEADY,
        )
        for times in ((118, 118, 118, 118), (112, 124, 115, 121))
    )
    volumes = [by_means(flow, 2.0)[Means.LARGER_VOLUME].volume_m3 for flow in (calm, wild)]
    assert volumes[0] < volumes[1]


def test_sentences_speak_the_units_asked_for() -> None:
    option = by_means(timed(118, 2, 0.2), 2.0)[Means.LARGER_VOLUME]
    assert " L," in str(option.sentence())
    assert " gal," in str(option.sentence(System.US))


def usually(*seconds: float, half_width_l: float = 0.001) -> TimedFlow:
    """Time fills of 4 litres of a flow that may be as unsteady as flows usually are."""
    return timed_volume(
        [TimedFill(time) for time in seconds], FillContainer(4 * LITRE, half_width_l * LITRE)
    )


def test_one_fill_close_by_is_settled_by_more_of_the_same_and_not_by_a_finer_mark() -> None:
    found = by_means(usually(117), 2.0)
    assert found.keys() == {Means.MORE_FILLS}
    more = found[Means.MORE_FILLS].fills
    assert verdict(usually(*[117] * (1 + more)), Activation(2.0 * L_PER_MIN)).answer is (
        FlowAnswer.ENOUGH
    )
    assert verdict(usually(*[117] * more), Activation(2.0 * L_PER_MIN)).answer is (
        FlowAnswer.CANNOT_TELL
    )


def test_a_coarse_mark_and_few_fills_are_mended_together() -> None:
    found = by_means(usually(117, 117, half_width_l=0.2), 2.0)
    assert Means.MORE_FILLS not in found
    assert str(found[Means.FINER_MARK].sentence()).startswith("Fill 3 times to a finer mark")
    assert "and time 1 more" in str(found[Means.WEIGHING].sentence())
    assert str(found[Means.LARGER_VOLUME].sentence()).startswith("Time 3 fills of at least")


def test_what_an_unsteady_flow_scattered_by_grows_with_the_volume() -> None:
    wild = usually(112, 124, 115, 121, half_width_l=0.2)
    assert Means.LARGER_VOLUME not in by_means(wild, 2.0)


def test_what_settles_a_contradiction_is_more_fills() -> None:
    found = settle(usually(112, 124), Activation(2.0 * L_PER_MIN))
    assert (found.needed, found.options) == (True, ())
    assert str(found.advice) == "Time 2 more of the same fills."


@given(
    ratio=st.floats(0.9, 1.1),
    half_width=st.floats(0.01, 0.5),
    timing=st.floats(0.1, 5),
    fills=st.integers(1, 6),
    unsteadiness=st.sampled_from([STEADY, USUAL]),
)
def test_the_larger_volume_and_the_finer_mark_keep_their_word(
    ratio: float, half_width: float, timing: float, fills: int, unsteadiness: Unsteadiness
) -> None:
    flow = timed(120 * ratio, fills, half_width, timing, unsteadiness)
    activation = Activation(2.0 * L_PER_MIN)
    assume(verdict(flow, activation).answer is FlowAnswer.CANNOT_TELL)
    for option in settle(flow, activation).options:
        half = flow.volume_half_width_m3 if option.half_width_m3 == 0 else option.half_width_m3
        kept = 0 if option.means in {Means.LARGER_VOLUME, Means.FINER_MARK} else flow.fills
        seconds = option.volume_m3 / flow.flow_m3_per_s
        again = timed_volume(
            [TimedFill(seconds)] * (kept + option.fills),
            FillContainer(option.volume_m3, half),
            timing_half_width_s=timing,
            unsteadiness=unsteadiness,
        )
        assert verdict(again, activation).answer is not FlowAnswer.CANNOT_TELL
        assert math.isfinite(option.added_minutes)
        assert verdict(again, activation).probability_reached == pytest.approx(
            option.probability_reached, abs=1e-6
        )


def test_a_doubtful_flow_is_measured_again_before_anything_settles_it() -> None:
    fast = timed_volume([TimedFill(5)], FillContainer(10 * LITRE, 0.1 * LITRE))
    found = settle(fast, Activation(2.0 * L_PER_MIN))
    assert (found.needed, found.options) == (True, ())
    assert "measure again" in str(found.advice)
