"""Rounding of tax against the documents that define it.

That a shop's own tax is reckoned so is local law, which the shop sets: common practice, no source.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from desk.trade.charging.charges import ChargeItem, ChargingRule, Tax, half_up, reckon


@pytest.mark.parametrize(
    ("exact", "rounded"), [("2.5", 3), ("-2.5", -3), ("0.5", 1), ("2.4", 2), ("-2.6", -3)]
)
def test_ties_go_away_from_nothing(exact: str, rounded: int) -> None:
    # IEEE 754-2019, 4.3.1, roundTiesToAway; Python's decimal, ROUND_HALF_UP: "to nearest with
    # ties going away from zero" (the figures are ours, chosen on and beside the ties).
    assert half_up(Decimal(exact)) == rounded


def test_two_taxes_on_a_hundred_dollars() -> None:
    # Revenu Quebec, "Calculating the Taxes": 100.00, GST of 5 % 5.00, QST of 9.975 % 9.98, total
    # 114.98; a fraction of half a cent or more counts as a whole cent. 9.975 is such a tie.
    rule = ChargingRule(taxes=(Tax("GST", 50_000), Tax("QST", 99_750)))
    reckoned = reckon([ChargeItem("part", each_cents=10_000)], rule)
    assert [one.cents for one in reckoned.taxes] == [500, 998]
    assert reckoned.total_cents == 11_498


def test_the_same_two_taxes_on_the_total_of_several_lines() -> None:
    # The same page: with several goods, the taxes may be reckoned on their total before rounding.
    rule = ChargingRule(taxes=(Tax("GST", 50_000), Tax("QST", 99_750)))
    reckoned = reckon([ChargeItem("part", each_cents=cents) for cents in (3333, 3333, 3334)], rule)
    assert reckoned.total_cents == 11_498
