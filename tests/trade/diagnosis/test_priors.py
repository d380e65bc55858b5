"""What the shop has met moves the trade's figures, as far as it has met anything."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from desk.base.texts import say
from desk.trade.diagnosis.priors import CONCENTRATION_VISITS, Learnt, Level, Scope, learn

TRADE = {"grit": 3.0, "wire": 1.0}
CAUSES = ("grit", "wire", "float", "valve")
weights = st.fixed_dictionaries({cause: st.integers(1, 30).map(float) for cause in CAUSES})
found = st.dictionaries(st.sampled_from(CAUSES), st.integers(0, 50))


def levels(*counts: dict[str, int]) -> list[Level]:
    return [Level(scope, count) for scope, count in zip(Scope, counts, strict=False)]


def test_a_shop_without_visits_has_the_figures_of_the_trade() -> None:
    learnt = learn(TRADE, levels({}, {}, {}))
    assert learnt.priors == {"grit": 0.75, "wire": 0.25}
    assert say(learnt.basis("grit")) == "the trade's own figures"


def test_three_levels_worked_by_hand() -> None:
    """Each level's mean is the next one's prior, worth twenty visits."""
    learnt = learn(TRADE, levels({"wire": 30, "grit": 10}, {"wire": 12}, {"wire": 4, "grit": 1}))
    of_all = (20 * Fraction(1, 4) + 30) / (20 + 40)
    of_kind = (20 * of_all + 12) / (20 + 12)
    of_model = (20 * of_kind + 4) / (20 + 5)
    assert learnt.priors["wire"] == pytest.approx(float(of_model))
    assert CONCENTRATION_VISITS == 20


@pytest.mark.parametrize(
    ("counts", "words"),
    [
        (({"grit": 40}, {"grit": 35}, {"grit": 9, "wire": 22}), "9 of 31 finished visits to this "),
        (({"grit": 40}, {"grit": 2, "wire": 1}, {}), "2 of 3 finished visits with this kind of "),
        (({"wire": 7}, {}, {}), "0 of 7 finished visits for such a call"),
        (({"mice": 7}, {}, {}), "the trade's own figures"),
    ],
)
def test_the_basis_names_the_nearest_visits_there_are(
    counts: tuple[dict[str, int], ...], words: str
) -> None:
    assert say(learn(TRADE, levels(*counts)).basis("grit")).startswith(words)


@given(weights=weights, counts=st.tuples(found, found, found))
def test_priors_sum_to_one_and_none_is_ever_nothing(
    weights: dict[str, float], counts: tuple[dict[str, int], ...]
) -> None:
    priors = learn(weights, levels(*counts)).priors
    assert sum(priors.values()) == pytest.approx(1)
    assert set(priors) == set(CAUSES)
    assert min(priors.values()) > 0


@given(weights=weights, counts=st.fixed_dictionaries(dict.fromkeys(CAUSES, st.integers(1, 9))))
def test_many_visits_bring_the_share_of_the_shop(
    weights: dict[str, float], counts: dict[str, int]
) -> None:
    many = {cause: count * 1_000_000 for cause, count in counts.items()}
    priors = learn(weights, levels(many)).priors
    for cause, count in counts.items():
        assert priors[cause] == pytest.approx(count / sum(counts.values()), abs=1e-4)


@given(
    weights=weights,
    counts=st.tuples(found, found, found),
    cause=st.sampled_from(CAUSES),
    reach=st.integers(1, 3),
)
def test_one_more_visit_makes_its_cause_likelier_and_the_others_less(
    weights: dict[str, float], counts: tuple[dict[str, int], ...], cause: str, reach: int
) -> None:
    """Whether it was to this model, only to this kind, or to neither."""
    more = [
        {**count, cause: count.get(cause, 0) + 1} if level < reach else count
        for level, count in enumerate(counts)
    ]
    before, after = (learn(weights, levels(*each)).priors for each in (counts, more))
    assert after[cause] > before[cause]
    assert all(after[other] < before[other] for other in CAUSES if other != cause)


@given(weights=weights, visits=st.lists(st.sampled_from(CAUSES)), data=st.data())
def test_the_order_of_visits_does_not_matter(
    weights: dict[str, float], visits: list[str], data: st.DataObject
) -> None:
    def learnt(order: list[str]) -> Learnt:
        counts: dict[str, int] = {}
        for cause in order:
            counts[cause] = counts.get(cause, 0) + 1
        return learn(weights, levels(counts))

    assert learnt(visits).priors == learnt(data.draw(st.permutations(visits))).priors
