"""Numbers on paper: the shop's units, the other system beside, and no figure without meaning."""

from __future__ import annotations

import pytest

from desk.paper.kit.quantity_text import Amount, amount, half_width, interval, kind_of, measured
from desk.trade.quantities.typed_quantity import QuantityKind

GPM = 231 * 0.0254**3 / 60  # NIST SP 811, appendix B: one US gallon is 231 cubic inches
LPM = 1e-3 / 60


def shown(pair: Amount) -> tuple[str, str]:
    return pair.main.replace("\u00a0", " "), pair.other.replace("\u00a0", " ")


def test_the_shop_s_unit_stands_first_and_the_other_beside() -> None:
    assert shown(amount(1.93 * LPM, QuantityKind.VOLUME_RATE, "si")) == ("1.93 L/min", "0.51 gpm")
    assert shown(amount(0.5 * GPM, QuantityKind.VOLUME_RATE, "us")) == ("0.5 gpm", "1.89 L/min")
    assert shown(amount(322.04, QuantityKind.TEMPERATURE, "us")) == ("120 °F", "48.9 °C")
    assert shown(amount(263.15, QuantityKind.TEMPERATURE, "si")) == ("−10 °C", "14 °F")


def test_a_unit_common_to_both_systems_is_said_once() -> None:
    assert shown(amount(120.0, QuantityKind.VOLTAGE, "us")) == ("120 V", "")


def test_an_interval_is_rounded_to_where_its_width_has_meaning() -> None:
    reach = interval(1.93 * LPM, 0.14 * LPM, QuantityKind.VOLUME_RATE, "si")
    assert shown(reach) == ("1.79 and 2.07 L/min", "0.47 and 0.55 gpm")


def test_a_flow_s_interval_does_not_reach_below_nothing() -> None:
    reach = interval(0.1 * LPM, 0.2 * LPM, QuantityKind.VOLUME_RATE, "si")
    assert shown(reach)[0] == "0.00 and 0.30 L/min"


def test_a_temperature_s_interval_may() -> None:
    assert shown(interval(273.15, 1.2, QuantityKind.TEMPERATURE, "si"))[0] == "−1.2 and 1.2 °C"


def test_a_difference_of_temperature_has_no_zero_point() -> None:
    assert shown(half_width(0.6, QuantityKind.TEMPERATURE, "si")) == ("0.6 °C", "1.1 °F")


def test_large_numbers_keep_no_figure_that_says_nothing() -> None:
    power = measured(20_900.0, 1_200.0, QuantityKind.POWER, "us")
    assert shown(power) == ("71\u202f000 BTU/h", "20.9 kW")


def test_the_appendix_keeps_two_figures_of_an_uncertainty() -> None:
    assert (
        shown(half_width(0.0912 * LPM, QuantityKind.VOLUME_RATE, "si", figures=2))[0]
        == "0.091 L/min"
    )


@pytest.mark.parametrize("name", ["", "no such quantity"])
def test_a_quantity_without_a_kind_is_shown_as_typed(name: str) -> None:
    assert kind_of(name) is None
