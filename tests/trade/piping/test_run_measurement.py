"""The pipe run to the outlet: volume, wait, friction, and what they allow to be said."""

from __future__ import annotations

import math
import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.base.texts import message, say
from desk.trade.measuring.estimate import Error, Estimate
from desk.trade.measuring.measurement import MeasurementOutcome
from desk.trade.piping.pipe_table import MATERIALS, SIZES, pipe_of
from desk.trade.piping.run_measurement import PIPE
from desk.trade.piping.run_model import LAMINAR_BELOW, PipeRun, friction_factor, pipe_run
from desk.trade.reference.reference_values import table

L_PER_MIN = 1e-3 / 60
WARM_K = 322.0
NAME = message("a source")
HALF_INCH = pipe_of("copper-L", "1/2")


def run(length_m: float = 12.0, l_per_min: float = 6.0, temperature_k: float = WARM_K) -> PipeRun:
    return pipe_run(HALF_INCH, Estimate(length_m), Estimate(l_per_min * L_PER_MIN), temperature_k)


def outcome(**typed: str) -> MeasurementOutcome:
    usual = {"material": "copper-L", "size": "1/2", "length": "40 ft", "flow": "1.5 gpm"}
    return PIPE.outcome(PIPE.understand(usual | typed))


def said(found: MeasurementOutcome) -> str:
    return " ".join(say(sentence) for sentence in found.says)


def figure(found: MeasurementOutcome, name: str) -> Estimate:
    return next(each.estimate for each in found.figures if each.name == name)


def test_every_choice_is_in_the_table_and_the_table_in_the_choices() -> None:
    pipes = table("pipes")
    materials = [name for name, row in pipes.items() if "inside_diameter" in row]
    assert sorted(materials) == sorted(name for name, _ in MATERIALS)
    sizes = {size for name in materials for size in pipes[name]["inside_diameter"]}
    assert sizes == {size for size, _ in SIZES}
    for name in materials:
        assert set(pipes[name].get("code_ounces_per_foot", {})) <= set(
            pipes[name]["inside_diameter"]
        )
        assert pipes[name]["source"]


@pytest.mark.parametrize(("material", "_words"), MATERIALS)
def test_a_larger_size_has_a_wider_bore(material: str, _words: object) -> None:
    if material != "copper-EN1057":  # there a size names its wall too
        bores = table("pipes")[material]["inside_diameter"]
        in_order = [bores[size] for size, _ in SIZES if size in bores]
        assert in_order == sorted(in_order)


def test_the_wait_is_the_volume_over_the_flow() -> None:
    found = run()
    assert found.wait_s.value == pytest.approx(found.volume_m3.value / (6 * L_PER_MIN))
    assert found.wait_s.value == pytest.approx(12 / found.velocity_m_per_s.value)


lengths = st.floats(0.1, 80)
flows = st.floats(0.01, 40)
factors = st.floats(1.01, 10)


@given(lengths, flows, factors)
def test_volume_wait_and_loss_scale_with_the_length(
    length: float, flow: float, factor: float
) -> None:
    short, long = run(length, flow), run(length * factor, flow)
    for name in ("volume_m3", "wait_s", "pressure_loss_pa"):
        assert getattr(long, name).value == pytest.approx(factor * getattr(short, name).value)
    assert long.velocity_m_per_s == short.velocity_m_per_s


@given(flows, factors)
def test_more_flow_comes_sooner_and_costs_more(flow: float, factor: float) -> None:
    little, much = run(l_per_min=flow), run(l_per_min=flow * factor)
    assert much.wait_s.value == pytest.approx(little.wait_s.value / factor)
    assert much.pressure_loss_pa.value > little.pressure_loss_pa.value


@given(st.floats(0.001, 0.3), factors)
def test_laminar_loss_is_proportional_to_the_flow(flow: float, factor: float) -> None:
    little, much = run(l_per_min=flow), run(l_per_min=flow * factor)
    if much.reynolds < LAMINAR_BELOW:
        assert much.pressure_loss_pa.value == pytest.approx(factor * little.pressure_loss_pa.value)
        assert "64 / Re" in much.formula


@given(st.floats(LAMINAR_BELOW, 1e8), st.floats(0, 0.05))
def test_a_turbulent_friction_factor_solves_colebrook(reynolds: float, rough: float) -> None:
    root = 1 / math.sqrt(friction_factor(reynolds, rough))
    assert root == pytest.approx(-2 * math.log10(rough / 3.7 + 2.51 * root / reynolds), rel=1e-10)


@given(st.floats(275, 370), st.floats(275, 370))
def test_colder_water_costs_more_in_turbulent_flow(first: float, second: float) -> None:
    cold, hot = sorted((first, second))
    losses = [run(l_per_min=10, temperature_k=each).pressure_loss_pa.value for each in (cold, hot)]
    assert losses[0] >= losses[1]


@given(st.floats(0, 0.5), st.floats(1e-3, 0.5))
def test_another_source_never_shrinks_the_standard_uncertainty(
    known: float, further: float
) -> None:
    flow = Estimate(6 * L_PER_MIN)
    less, more = (
        pipe_run(HALF_INCH, Estimate(12.0, errors), flow, WARM_K)
        for errors in (
            (Error("known", NAME, known),),
            (Error("known", NAME, known), Error("further", NAME, further)),
        )
    )
    for name in ("volume_m3", "wait_s", "pressure_loss_pa"):
        least = getattr(less, name).standard_uncertainty
        assert getattr(more, name).standard_uncertainty >= least * (1 - 1e-9)


def test_the_uncertainty_does_not_leap_where_the_law_of_friction_changes() -> None:
    reynolds = run(l_per_min=1.0).reynolds
    flow = LAMINAR_BELOW / reynolds * L_PER_MIN
    for just in (1 - 1e-5, 1 + 1e-5):
        estimate = Estimate(flow * just, (Error("meter", NAME, 0.05 * flow),))
        loss = pipe_run(HALF_INCH, Estimate(12.0), estimate, WARM_K).pressure_loss_pa
        assert 0.05 < loss.standard_uncertainty / loss.value < 0.12


def test_the_loss_carries_what_friction_factors_are_off_by() -> None:
    loss = run().pressure_loss_pa
    assert loss.standard_uncertainty / loss.value == pytest.approx(0.1 / math.sqrt(3), rel=1e-6)


@settings(deadline=None)  # the first unit loads their registry
@given(st.floats(0.5, 90), st.floats(1, 20))
def test_units_commute(length_m: float, l_per_min: float) -> None:
    metric = outcome(length=f"{length_m!r} m", flow=f"{l_per_min!r} L/min")
    other = outcome(length=f"{length_m * 1000!r} mm", flow=f"{l_per_min * 60!r} L/h")
    for name in ("volume", "wait", "pressure_loss", "velocity"):
        assert figure(metric, name).value == pytest.approx(figure(other, name).value, rel=1e-9)


@pytest.mark.parametrize(
    ("length", "flow", "temperature", "field"),
    [
        (0.0, 6.0, WARM_K, "length"),
        (-1.0, 6.0, WARM_K, "length"),
        (math.nan, 6.0, WARM_K, "length"),
        (math.inf, 6.0, WARM_K, "length"),
        (12.0, 0.0, WARM_K, "flow"),
        (12.0, math.nan, WARM_K, "flow"),
        (12.0, 6.0, 263.15, "water_temperature"),
        (12.0, 6.0, 400.0, "water_temperature"),
    ],
)
def test_what_cannot_be_is_refused(
    length: float, flow: float, temperature: float, field: str
) -> None:
    with pytest.raises(InputError) as caught:
        run(length, flow, temperature)
    assert caught.value.field == field


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"material": "lead"}, "material"),
        ({"material": ""}, "material"),
        ({"size": "7/8"}, "size"),
        ({"length": "40"}, "length"),
        ({"length": "40 gal"}, "length"),
        ({"length": "nan ft"}, "length"),
        ({"flow": "-1 gpm"}, "flow"),
        ({"length_accuracy": "300 %"}, "length_accuracy"),
    ],
)
def test_what_cannot_be_read_names_its_field(typed: dict[str, str], field: str) -> None:
    with pytest.raises(InputError) as caught:
        outcome(**typed)
    assert caught.value.field == field


def test_a_size_that_the_material_does_not_come_in_names_those_it_does() -> None:
    with pytest.raises(InputError, match=r"PEX does not come.*3/8, 1/2, 5/8, 3/4, 1\.") as caught:
        outcome(material="pex", size="1-1/2")
    assert caught.value.field == "size"
    with pytest.raises(InputError) as caught:
        pipe_of("glass", "1/2")
    assert caught.value.field == "material"


def test_a_size_is_found_by_its_words_and_other_digits_are_read() -> None:
    worded = outcome(material="Copper, type L", size="1/2 in", length="４０ ft", flow="1,5 gpm")
    assert figure(worded, "volume").value == figure(outcome(), "volume").value


@pytest.mark.parametrize(
    ("typed", "size"),
    [
        ('1/2"', "1/2"),
        ("½", "1/2"),
        ("½ in", "1/2"),
        ("0.5", "1/2"),
        ("0,75 inch", "3/4"),
        ("1 1/4", "1-1/4"),
        ("1-1/4 in", "1-1/4"),
        ("1¼″", "1-1/4"),
        ("1.25", "1-1/4"),
        ("2", "2"),
        ("22 x 1", "22x1"),
        ("22×1 mm", "22x1"),
        ("12", "12x1"),
        ("18 mm", "18x1"),
    ],
)
def test_a_size_is_read_however_it_is_typed(typed: str, size: str) -> None:
    assert PIPE.understand({"size": typed})["size"].typed == size


@pytest.mark.parametrize("typed", ["15", "15 mm", "28"])
def test_a_tube_that_comes_with_several_walls_asks_which(typed: str) -> None:
    with pytest.raises(InputError, match="several walls; choose one of") as caught:
        PIPE.understand({"size": typed})
    assert caught.value.field == "size"


def test_the_real_wait_is_said_to_be_longer() -> None:
    assert "would take about 19 s" in said(outcome())
    assert "rather 23 s or more" in said(outcome())


def test_pex_has_two_volumes_and_it_is_said_which_is_which() -> None:
    found = outcome(material="pex")
    geometry, code = (figure(found, name).value for name in ("volume", "volume_by_code_table"))
    assert geometry / code == pytest.approx(1.04, abs=0.005)
    assert "differs by +4 %" in said(found)
    assert "the wait uses geometry" in said(found)
    assert "differs" not in said(outcome())


def test_without_a_row_in_the_code_there_is_no_second_volume() -> None:
    assert [each.name for each in outcome(material="steel-40").figures] == [
        "volume",
        "wait",
        "pressure_loss",
        "velocity",
    ]


def test_a_long_wait_is_laid_to_the_pipe_only_where_much_stands_in_it() -> None:
    assert "WaterSense" not in said(outcome(length="40 ft"))
    assert "WaterSense" in said(outcome(length="80 ft"))


def test_a_small_flow_may_not_start_the_heater() -> None:
    assert "may not start" in said(outcome(flow="0.5 gpm"))
    assert "may not start" not in said(outcome(flow="1.5 gpm"))


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"flow": "1.5 gpm"}, "is within the 5 ft/s"),
        ({"flow": "3.64 gpm"}, "5 ft/s (1.5 m/s) recommended for hot water in copper cannot"),
        ({"flow": "6 gpm"}, "faster than the 5 ft/s"),
        ({"flow": "4.5 gpm", "water_temperature": "50 F"}, "is within the 8 ft/s"),
        ({"flow": "4.5 gpm", "water_temperature": "140 F"}, "faster than the 5 ft/s"),
        ({"flow": "3.3 gpm", "water_temperature": "160 F"}, "faster than the 3 ft/s"),
    ],
)
def test_the_velocity_in_copper_is_judged_by_probability(typed: dict[str, str], words: str) -> None:
    assert words in said(outcome(**typed))


def test_the_small_flow_of_public_lavatories_has_its_source() -> None:
    assert any("ASME A112.18.1" in say(source) for source in outcome().sources)


def test_no_limit_for_copper_is_held_against_plastic() -> None:
    assert "ft/s" not in said(outcome(material="pex", flow="4 gpm"))


@pytest.mark.parametrize(
    ("typed", "slip"),
    [
        ({"length": "40 yd", "flow": "20 gpm"}, "more than a tap gives"),
        ({"length": "400 ft"}, "its unit, ft or m"),
        ({"size": "3/8", "flow": "10 gpm"}, "look at the size"),
    ],
)
def test_what_is_hardly_possible_is_computed_flagged_and_rests_nothing(
    typed: dict[str, str], slip: str
) -> None:
    found = outcome(**typed)
    assert figure(found, "wait").value > 0
    assert any(slip in say(warning) for warning in found.warnings)
    assert "doubtful" in said(found)
    assert "Hot water takes" not in said(found)


def test_a_loss_that_no_supply_covers_is_doubted() -> None:
    found = outcome(size="3/8", length="300 ft", flow="6 gpm")
    assert any("than a supply has" in say(each) for each in found.warnings)
    assert "doubtful" in said(found)
    assert "would take" not in said(found)


def test_between_smooth_and_turbulent_the_loss_is_known_badly() -> None:
    cold = outcome(flow="0.5 gpm", water_temperature="50 F")
    assert any("between smooth and turbulent" in say(each) for each in cold.warnings)


def test_importing_it_loads_no_numbers_library() -> None:
    told = subprocess.run(
        [
            sys.executable,
            "-c",
            "import sys, desk.trade.piping.run_measurement, desk.trade.piping.pressure_measurement;"
            "print(sorted({'numpy', 'scipy', 'pint', 'fluids'} & set(sys.modules)))",
        ],
        capture_output=True,
        text=True,
        check=True,
    )
    assert told.stdout.strip() == "[]"
