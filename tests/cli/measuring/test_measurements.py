"""The commands of the computed measurements: what is asked, answered and refused."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

import pint
import pytest
from click.testing import CliRunner, Result

from desk.cli import _MEASURED, drawoff, main
from desk.trade.measurement_registry import MEASUREMENTS

PRESSURE = ("pressure", "--static", "60 psi", "--running", "40 psi", "--flow", "3 gpm")


def run(*words: str) -> Result:
    return CliRunner().invoke(drawoff, words, catch_exceptions=True)


def answer(*words: str) -> Mapping[str, Any]:
    done = run(*words, "--json")
    assert done.exit_code == 0, done.output
    answered: dict[str, Any] = json.loads(done.stdout)
    return answered


def test_every_measurement_has_its_command() -> None:
    assert set(_MEASURED) == set(MEASUREMENTS)


@pytest.mark.parametrize("kind", MEASUREMENTS)
def test_help_tells_every_entry_and_defers_to_the_maker(kind: str) -> None:
    said = run(kind, "--help").output
    for entry in MEASUREMENTS[kind].entries:
        assert f"--{entry.name.replace('_', '-')}" in said
    assert "maker" in said


def test_pressure_answers_with_units_that_pint_reads() -> None:
    answered = answer(*PRESSURE)
    assert answered["kv"]["value"] == pytest.approx(0.5802, abs=1e-4)
    quantity = pint.UnitRegistry().Quantity(answered["kv"]["value"], answered["kv"]["unit"])
    assert quantity.check("[length]**3/[time]")
    assert answered["standard_uncertainty"]["kv"]["unit"] == "m^3/h"


def test_another_unit_is_answered_where_it_fits() -> None:
    answered = answer(*PRESSURE, "--unit", "psi")
    assert answered["drop"] == {"value": 20.0, "unit": "psi"}
    assert answered["kv"]["unit"] == "m^3/h"


def test_people_read_the_units_they_typed() -> None:
    said = run(*PRESSURE, "--residual", "20 psi").output
    assert "Flow at the residual pressure: 4.4 ± 0.4\N{NO-BREAK SPACE}gpm" in said
    assert "Formula: Kv = Q" in said


def test_the_office_is_accepted_and_not_opened() -> None:
    assert run(*PRESSURE, "--office", "nowhere/at-all.drawoff").exit_code == 0


EXAMPLES: dict[str, dict[str, str]] = {
    "contact": {"open_reads": "open_circuit", "actuated_resistance": "0.4 ohm"},
    "gas": {"dial": "2 ft3", "seconds": "41.5", "heat": "120000 BTU/h"},
    "heat": {"flow": "2 gpm", "inlet": "52 F", "outlet": "119 F"},
    "pipe": {"material": "copper-L", "size": "1/2", "length": "40 ft", "flow": "1.5 gpm"},
    "pressure": {"static": "60 psi", "running": "40 psi", "flow": "3 gpm"},
    "pulses": {"frequency": "45 Hz", "flow": "1.5 gpm", "maker": "450", "maker_per": "litre"},
    "sensor": {
        "resistance": "10.2 kohm",
        "temperature": "25 C",
        "table": "20 C 12.5 kohm; 25 C 10 kohm; 30 C 8.1 kohm",
    },
    "water": {"hardness": "12 gpg"},
}
NONSENSE = ("nan", "inf", "-inf", "12 bananas", "1 2 3", "--5", "10²", "1e400 psi", "5 psi 3 s")


def options(typed: Mapping[str, str]) -> list[str]:
    return [part for name, text in typed.items() for part in (f"--{name.replace('_', '-')}", text)]


def test_there_is_an_example_of_every_measurement() -> None:
    assert set(EXAMPLES) == set(MEASUREMENTS)


@pytest.mark.parametrize("kind", MEASUREMENTS)
def test_the_example_answers(kind: str) -> None:
    answered = answer(kind, *options(EXAMPLES[kind]))
    assert answered["formula"]
    assert answered["sources"]
    assert set(answered["standard_uncertainty"]) <= set(answered)


@pytest.mark.parametrize(
    ("kind", "name"),
    [
        (kind, entry.name)
        for kind, measurement in MEASUREMENTS.items()
        for entry in measurement.entries
        if not entry.choices and not entry.free
    ],
)
def test_nonsense_is_refused_in_one_sentence_that_names_it(
    kind: str, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    for nonsense in NONSENSE:
        status = main([kind, *options(EXAMPLES[kind] | {name: nonsense})])
        said = capsys.readouterr()
        assert (status, said.out) == (2, "")
        assert said.err.count("\n") == 1
        assert "Traceback" not in said.err


@pytest.mark.parametrize(
    ("option", "typed", "words"),
    [
        ("--atmospheric-pressure", "14.7 psig", "gauge pressure"),
        ("--meter-accuracy", "1", "needs its sign"),
        ("--heating-value-accuracy", "0.5", "needs its sign"),
        ("--altitude", "20000 m", "out of range"),
    ],
)
def test_what_is_easily_mistaken_is_asked_back_in_one_sentence(
    option: str, typed: str, words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["gas", *options(EXAMPLES["gas"]), option, typed]) == 2
    said = capsys.readouterr().err
    assert words in said
    assert said.count("\n") == 1


@pytest.mark.parametrize(
    ("plain", "otherwise"),
    [("60 psi", "６０ psi"), ("60.5 psi", "60,5 psi"), ("60 psi", " 60psi ")],
)
def test_other_digits_and_decimal_commas_are_read(plain: str, otherwise: str) -> None:
    rest = ("--running", "40 psi", "--flow", "3 gpm")
    assert answer("pressure", "--static", plain, *rest) == answer(
        "pressure", "--static", otherwise, *rest
    )


def test_gas_answers_null_for_what_the_place_would_tell() -> None:
    clocked = ("gas", "--dial", "2 ft3", "--seconds", "41.5", "--rated-input", "150000 BTU/h")
    unknown = answer(*clocked)
    assert unknown["altitude"] is unknown["share_of_rated"] is unknown["derated_input"] is None
    known = answer(*clocked, "--altitude", "5249.3 ft")
    assert known["altitude"] == {"value": pytest.approx(1600, abs=0.1), "unit": "m"}
    assert known["derated_input"]["unit"] == "kW"
    assert known["share_of_rated"] == pytest.approx(
        known["input"]["value"] / known["derated_input"]["value"]
    )


@pytest.mark.parametrize("kind", MEASUREMENTS)
def test_what_is_missing_is_asked_for(kind: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([kind]) == 2
    said = capsys.readouterr().err
    assert said.startswith("Enter ")
    assert said.count("\n") == 1
