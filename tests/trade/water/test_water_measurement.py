"""Water quality: what can be said of it, and what is not guessed."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.base.texts import message, say
from desk.trade.measuring.estimate import Error, Estimate
from desk.trade.measuring.measurement import Entered, MeasurementOutcome
from desk.trade.quantities.typed_quantity import QuantityKind, parse
from desk.trade.water.quality_model import (
    MG_PER_L,
    HardnessClass,
    Sample,
    ScaleIndices,
    class_probabilities,
    hardness_class,
    scale_indices,
)
from desk.trade.water.water_measurement import WATER

WHOLE = {
    "hardness": "12 gpg",
    "calcium": "150 mg/L",
    "alkalinity": "180 mg/L",
    "ph": "7.6",
    "tds": "400 mg/L",
    "temperature": "140 F",
}
NAME = message("a source")


def outcome(**typed: str) -> MeasurementOutcome:
    return WATER.outcome(WATER.understand(typed))


def figure(found: MeasurementOutcome, name: str) -> Estimate:
    return next(each.estimate for each in found.figures if each.name == name)


def said(found: MeasurementOutcome) -> str:
    return " ".join(say(sentence) for sentence in found.says)


def sources(found: MeasurementOutcome) -> str:
    return " ".join(say(source) for source in found.sources)


def indices(
    ph: float = 7.6,
    calcium: float = 200.0,
    alkalinity: float = 180.0,
    solids: float = 400.0,
    temperature_k: float = 333.15,
) -> ScaleIndices:
    mg_per_l = [Estimate(each * MG_PER_L) for each in (calcium, alkalinity, solids)]
    return scale_indices(Sample(Estimate(ph), *mg_per_l), Estimate(temperature_k))


@pytest.mark.parametrize(
    ("mg_per_l", "class_"),
    [
        (0, HardnessClass.SOFT),
        (60, HardnessClass.SOFT),
        (60.1, HardnessClass.MODERATELY_HARD),
        (120, HardnessClass.MODERATELY_HARD),
        (120.1, HardnessClass.HARD),
        (180, HardnessClass.HARD),
        (180.1, HardnessClass.VERY_HARD),
    ],
)
def test_a_bound_belongs_to_the_softer_class(mg_per_l: float, class_: HardnessClass) -> None:
    assert hardness_class(mg_per_l * MG_PER_L) is class_
    assert outcome(hardness=f"{mg_per_l} mg/L").words["class"] == class_


@given(st.floats(0, 0.5), st.floats(0, 0.1))
def test_the_probabilities_of_the_classes_add_up_to_one(hardness: float, u: float) -> None:
    errors = (Error("kit", NAME, u),) if u else ()
    probabilities = class_probabilities(Estimate(hardness, errors))
    assert sum(probabilities.values()) == pytest.approx(1)
    assert min(probabilities.values()) >= 0


def test_hardness_is_told_in_the_usual_units() -> None:
    found = outcome(hardness="12 gpg")
    for name, unit in (
        ("hardness_gpg", "gpg"),
        ("hardness_dh", "°dH"),
        ("hardness_fh", "°fH"),
        ("hardness_clark", "Clark"),
        ("hardness_mmol", "mmol/L"),
    ):
        back = parse(f"{figure(found, name).value!r} {unit}", QuantityKind.HARDNESS, field="").si
        assert back == pytest.approx(figure(found, "hardness").value, rel=1e-9)


@settings(deadline=None)  # the first unit loads their registry
@given(st.floats(1, 50))
def test_units_commute(gpg: float) -> None:
    in_mg = gpg * 64.79891 / 3.785411784
    first, second = outcome(hardness=f"{gpg!r} gpg"), outcome(hardness=f"{in_mg!r} mg/L")
    assert figure(first, "hardness_dh").value == pytest.approx(figure(second, "hardness_dh").value)


@pytest.mark.parametrize(
    ("typed", "mg_per_l"),
    [("10 gpg", 171.18), ("10 dKH", 178.48), ("3.6 meq/L", 180.16), ("180 ppm", 180.0)],
)
def test_alkalinity_is_read_in_the_units_of_its_kits(typed: str, mg_per_l: float) -> None:
    read = WATER.understand({"alkalinity": typed})["alkalinity"]
    assert read.si == pytest.approx(mg_per_l * MG_PER_L, rel=1e-4)


def test_a_mole_of_alkalinity_is_not_guessed() -> None:
    with pytest.raises(InputError, match="two meanings"):
        WATER.understand({"alkalinity": "3.6 mmol/L"})


def test_a_class_that_the_kit_can_tell_is_said_plainly() -> None:
    assert "The water is very hard." in said(outcome(hardness="14 gpg"))


def test_near_a_bound_two_classes_are_named_and_the_harder_planned_for() -> None:
    found = outcome(hardness="7 gpg")
    assert found.words == {"class": "moderately_hard", "class_certain": "cannot_tell"}
    assert "moderately hard or hard; this test cannot tell which" in said(found)
    assert "%" not in said(found)
    assert "treating the water" in said(found)


def test_a_kit_that_tells_nothing_says_so() -> None:
    assert "anything from soft to very hard" in said(
        outcome(hardness="7 gpg", hardness_accuracy="9 gpg")
    )


def test_with_a_better_test_the_same_water_has_a_class() -> None:
    found = outcome(hardness="7 gpg", hardness_accuracy="0 gpg")
    assert found.words["class_certain"] == "yes"
    assert figure(found, "hardness").standard_uncertainty == 0


def test_without_calcium_there_is_no_index_and_that_is_said() -> None:
    typed = {name: text for name, text in WHOLE.items() if name != "calcium"}
    found = outcome(**typed)
    assert {each.name for each in found.figures}.isdisjoint({"langelier", "ryznar"})
    assert "calcium was not entered, and it is not guessed" in said(found)


@pytest.mark.parametrize("name", ["alkalinity", "ph", "tds"])
def test_what_the_index_still_needs_is_named(name: str) -> None:
    found = outcome(**{key: text for key, text in WHOLE.items() if key != name})
    assert say(WATER.entry(name).label) in said(found)
    assert "langelier" not in {each.name for each in found.figures}


def test_the_index_is_that_at_the_usual_setting_where_no_temperature_is_entered() -> None:
    typed = {name: text for name, text in WHOLE.items() if name != "temperature"}
    assert figure(outcome(**typed), "langelier").value == pytest.approx(
        figure(outcome(**typed, temperature="120 F"), "langelier").value
    )
    assert "120 F" in sources(outcome(**typed))


def test_only_what_was_used_is_told_as_assumed() -> None:
    told = sources(outcome(hardness="12 gpg"))
    assert "drop-count kit" in told
    assert "pocket meter" not in told
    assert "120 F" not in told


def test_calcium_as_the_ion_is_told_as_carbonate() -> None:
    typed = WHOLE | {"calcium": "", "calcium_ion": "60 mg/L"}
    assert figure(outcome(**typed), "langelier").value == pytest.approx(
        figure(outcome(**WHOLE | {"calcium": "149.838 mg/L"}), "langelier").value, abs=1e-4
    )


def test_hotter_water_lays_down_more_scale() -> None:
    cold, hot = indices(temperature_k=283.15), indices(temperature_k=333.15)
    assert hot.langelier.value > cold.langelier.value
    assert hot.ryznar.value < cold.ryznar.value


@given(st.floats(1.01, 10), st.sampled_from(["calcium", "alkalinity"]))
def test_more_calcium_or_alkalinity_moves_the_index_by_its_logarithm(
    factor: float, name: str
) -> None:
    less = indices()
    more = indices(**{name: {"calcium": 200.0, "alkalinity": 180.0}[name] * factor})
    assert more.langelier.value - less.langelier.value == pytest.approx(math.log10(factor))
    assert less.ryznar.value - more.ryznar.value == pytest.approx(2 * math.log10(factor))


@given(st.floats(6, 9), st.floats(6, 9))
def test_the_two_indices_of_one_water_hang_together(ph: float, other: float) -> None:
    for each in (ph, other):
        found = indices(ph=each)
        assert found.ryznar.value == pytest.approx(each - 2 * found.langelier.value)


@given(st.floats(0.001, 0.5), st.floats(0.001, 0.5))
def test_another_source_never_shrinks_the_standard_uncertainty(
    known: float, further: float
) -> None:
    less, more = (
        scale_indices(
            Sample(Estimate(7.6, errors), Estimate(0.2), Estimate(0.18), Estimate(0.4)),
            Estimate(333.15),
        ).langelier.standard_uncertainty
        for errors in (
            (Error("known", NAME, known),),
            (Error("known", NAME, known), Error("further", NAME, further)),
        )
    )
    assert more >= less * (1 - 1e-9)


def test_ryznar_carries_the_error_of_saturation_twice_and_that_of_ph_once() -> None:
    sample = Sample(
        Estimate(7.6, (Error("ph", NAME, 0.3),)), Estimate(0.2), Estimate(0.18), Estimate(0.4)
    )
    found = scale_indices(sample, Estimate(333.15), Estimate(0.0, (Error("law", NAME, 0.4),)))
    assert found.langelier.standard_uncertainty == pytest.approx(0.5)
    assert found.ryznar.standard_uncertainty == pytest.approx(math.hypot(0.8, 0.3))


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"ph": "8.6"}, "the water lays down scale"),
        ({"ph": "7.6"}, "rather lays down scale"),
        ({"ph": "6.8"}, "cannot be told from these tests"),
        ({"ph": "6.2"}, "rather dissolves scale"),
        ({"ph": "5.2"}, "dissolves scale and may attack"),
    ],
)
def test_what_the_index_means_is_said_by_probability(typed: dict[str, str], words: str) -> None:
    assert words in said(outcome(**WHOLE | typed))


def test_a_water_known_well_can_be_balanced() -> None:
    exact = dict.fromkeys(("calcium_accuracy", "alkalinity_accuracy"), "1 mg/L") | {
        "ph_accuracy": "0.02",
        "index_accuracy": "0.05",
        "tds_accuracy": "1 %",
    }
    assert "neither lays down nor dissolves" in said(outcome(**WHOLE | {"ph": "6.8"} | exact))


def test_what_it_means_is_called_guidance_and_the_maker_comes_first() -> None:
    found = outcome(**WHOLE)
    notes = " ".join(say(note) for note in found.notes)
    assert "guidance from common practice" in notes
    assert "maker's limits" in notes
    assert {"acid", "descaling", "deferral"} <= set(WATER.cautions)


@pytest.mark.parametrize(
    ("typed", "slip"),
    [
        ({"hardness": "200 gpg"}, "gpg or mg/L"),
        ({"hardness": "3 gpg", "calcium": "250 mg/L"}, "more calcium than hardness"),
        ({"ph": "11.5"}, "its buffers"),
        ({"tds": "40 mg/L"}, "unit of the dissolved solids"),
        ({"tds": "40 g/L"}, "unit of the dissolved solids"),
        ({"alkalinity": "5 g/L"}, "unit of the alkalinity"),
        ({"alkalinity": "10 mg/L"}, "index is rough"),
    ],
)
def test_what_is_hardly_possible_is_computed_flagged_and_rests_nothing(
    typed: dict[str, str], slip: str
) -> None:
    found = outcome(**WHOLE | typed)
    assert any(slip in say(warning) for warning in found.warnings)
    assert "index is doubtful" in said(found)
    assert math.isfinite(figure(found, "langelier").value)


def test_a_doubtful_hardness_carries_no_advice() -> None:
    assert "exchanger" not in said(outcome(hardness="200 gpg"))


def test_a_report_that_contradicts_the_test_is_flagged() -> None:
    ions = {"calcium_ion": "50 mg/L", "magnesium_ion": "10 mg/L"}
    assert not outcome(hardness="166 mg/L", **ions).warnings
    assert any("differ" in say(each) for each in outcome(hardness="60 mg/L", **ions).warnings)


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"hardness": ""}, "hardness"),
        ({"hardness": "twelve"}, "hardness"),
        ({"hardness": "12"}, "hardness"),
        ({"hardness": "nan gpg"}, "hardness"),
        ({"hardness": "-3 gpg"}, "hardness"),
        ({"hardness": "12 psi"}, "hardness"),
        ({"hardness": "1,030 mg/L"}, "hardness"),
        ({"ph": "15"}, "ph"),
        ({"ph": "-1"}, "ph"),
        ({"calcium": "0 mg/L"}, "calcium"),
        ({"alkalinity": "0 mg/L"}, "alkalinity"),
        ({"alkalinity": "3 mmol/L"}, "alkalinity"),
        ({"tds": "0 mg/L"}, "tds"),
        ({"temperature": "250 F"}, "temperature"),
        ({"calcium_ion": "60 mg/L"}, "calcium_ion"),
    ],
)
def test_what_cannot_be_is_refused_by_its_field(typed: dict[str, str], field: str) -> None:
    with pytest.raises(InputError) as caught:
        outcome(**WHOLE | typed)
    assert caught.value.field == field


@pytest.mark.parametrize("ph", [math.nan, math.inf, -0.1, 14.1])
def test_a_ph_that_cannot_be_is_refused(ph: float) -> None:
    with pytest.raises(InputError) as caught:
        indices(ph=ph)
    assert caught.value.field == "ph"


@pytest.mark.parametrize(
    ("name", "field"), [("calcium", "calcium"), ("alkalinity", "alkalinity"), ("solids", "tds")]
)
@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf])
def test_nothing_of_a_substance_is_refused(name: str, field: str, value: float) -> None:
    with pytest.raises(InputError) as caught:
        indices(**{name: value})
    assert caught.value.field == field


def test_other_digits_and_commas_are_read() -> None:
    assert figure(outcome(hardness="１２,０ gpg"), "hardness_gpg").value == pytest.approx(12)


def test_what_was_measured_on_this_visit_brings_its_own_errors() -> None:
    typed = WATER.understand(WHOLE | {"alkalinity": "", "temperature": ""})
    measured = Entered("", "", 0.18, Estimate(0.18, (Error("kit", NAME, 0.001),)))
    found = WATER.outcome(typed | {"alkalinity": measured})
    assert "Accuracy of the alkalinity" not in sources(found)
    assert "120 F" in sources(found)
    assert "langelier" in {each.name for each in found.figures}
