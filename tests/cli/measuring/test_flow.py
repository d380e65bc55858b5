"""``drawoff flow``: fields that scripts rely on, sentences that people read."""

from __future__ import annotations

import json
import math
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from desk.base.errors import InputError
from desk.cli import drawoff, main
from desk.records.actions.shop import MendShop
from desk.records.office.office import Office
from tests.conftest import StillClock

BUCKET = ("--container", "5 gal", "--graduation", "0.5 gal", "--timing", "0.3 s")
CLEAR = (*BUCKET, "--fill", "38.2s", "--fill", "38.9s", "--activation", "0.5 gpm")
CLOSE = (
    "--container", "1 gal", "--graduation", "0.1 gal", "--fill", "1:58", "--fill", "1:58",
    "--activation", "0.5 gpm",
)  # fmt: skip


def said(*options: str) -> str:
    return CliRunner().invoke(drawoff, ["flow", *options], catch_exceptions=False).stdout


def answered(*options: str) -> dict[str, Any]:
    answer: dict[str, Any] = json.loads(said(*options, "--json"))
    return answer


def refused(*options: str) -> InputError:
    with pytest.raises(InputError) as caught:
        said(*options)
    return caught.value


def test_a_bucket_and_two_fills_answer_in_every_field() -> None:
    answer = answered(*CLEAR)
    assert answer["flow"]["unit"] == "L/min"
    assert answer["flow"]["value"] == pytest.approx(5 * 3.785411784 / (38.55 / 60))
    u = answer["standard_uncertainty"]["value"]
    parts = [part["standard_uncertainty"]["value"] for part in answer["contributions"]]
    assert u == pytest.approx(math.hypot(*parts))
    instruments = math.hypot(0.25 / 5, 0.3 / math.sqrt(2) / 38.55) / math.sqrt(3)
    assert math.hypot(*parts[:2]) == pytest.approx(answer["flow"]["value"] * instruments)
    assert answer["expanded_uncertainty"]["value"] == pytest.approx(answer["coverage_factor"] * u)
    freedoms = [part["degrees_of_freedom"] for part in answer["contributions"]]
    assert freedoms == [None, None, 5]
    assert answer["degrees_of_freedom"] > 5
    assert answer["probability_reached"] > 0.999
    assert answer["verdict"] == "enough"
    assert answer["settle"] == {"advice": "Nothing more is needed.", "options": []}
    assert any("JCGM 106" in source for source in answer["sources"])


def test_the_example_of_the_readme_against_figures_worked_by_hand(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """5 gal in 38.55 s on average; marks half a gallon apart, watch good to 0.3 s.

    Q = 5 x 60 / 38.55 = 7.7821 gpm = 29.4585 L/min; u(V)/V = 0.25 / 5 / sqrt(3) = 2.88675 %;
    u(t)/t = 0.3 / sqrt(3) / sqrt(2) / 38.55 = 0.31770 %. The fills scatter by 0.49497 s, which
    is 1.28398 %, and 0.17321 s or 0.44930 % of it is the watch: 1.44674 in squared per cents are
    left. With 2.2 % and 4 degrees of freedom before, s^2 = (4 x 4.84 + 1.44674) / 5 = 4.16135,
    and s / sqrt(2) = 1.44245 %. u/Q = 3.24266 %, nu = 5 (3.24266 / 1.44245)^4 = 127.7, and
    Student's t at 97.5 % for 127 is 1.97882.
    """
    assert main(["flow", *CLEAR, "--json"]) == 0
    told = capsys.readouterr()
    assert told.err == ""
    answer = json.loads(told.out)
    assert answer["flow"]["value"] == pytest.approx(29.4585, abs=1e-4)
    assert answer["standard_uncertainty"]["value"] == pytest.approx(0.95524, abs=1e-5)
    assert answer["degrees_of_freedom"] == pytest.approx(127.7, abs=0.05)
    assert answer["coverage_factor"] == pytest.approx(1.97882, abs=1e-5)
    assert answer["expanded_uncertainty"]["value"] == pytest.approx(1.89025, abs=1e-5)
    assert (answer["verdict"], answer["for_appliance"]) == ("enough", False)
    assert answer["warnings"] == []


def test_a_flow_that_is_said_to_be_steady_counts_by_its_instruments() -> None:
    """The same bucket: u/Q = 2.90418 %, and k = 1.95996.

    Apart by 0.7 s: 0.7^2 / 2 / (0.3^2 / 3) = 8.2 is beyond chi-square's 3.84.
    """
    answer = answered(*CLEAR, "--unsteadiness", "0 %")
    assert answer["standard_uncertainty"]["value"] == pytest.approx(0.85553, abs=1e-5)
    assert answer["expanded_uncertainty"]["value"] == pytest.approx(1.67680, abs=1e-5)
    assert answer["degrees_of_freedom"] is None
    assert answer["warnings"] == [
        "The fills differ by more than timing by hand and an unsteady flow explain; time 2 more."
    ]
    assert answer["verdict"] == "cannot_tell"


SMALL = ("--container", "1 gal", "--graduation", "0.02 gal", "--activation", "0.5 gpm")


def test_three_fills_that_agree_are_enough() -> None:
    answer = answered(*SMALL, "--fill", "100 s", "--fill", "100.4 s", "--fill", "99.8 s")
    assert (answer["verdict"], answer["warnings"]) == ("enough", [])


def test_two_fills_that_contradict_each_other_are_no_verdict_but_two_more_to_time() -> None:
    fills = ("--fill", "112 s", "--fill", "124 s")
    answer = answered(*SMALL, *fills)
    assert (answer["verdict"], answer["for_appliance"]) == ("cannot_tell", False)
    assert answer["probability_reached"] is None
    assert answer["settle"] == {"advice": "Time 2 more of the same fills.", "options": []}
    text = said(*SMALL, *fills)
    assert "Cannot tell: the fills contradict each other; time 2 more of the same." in text
    assert "probability of" not in text
    assert "Enough" not in text


@pytest.mark.parametrize("litres", [7, 8, 10, 20])
def test_a_fill_that_slipped_never_makes_enough(litres: int) -> None:
    answer = answered(
        "--container", f"{litres} L", "--graduation", "0.1 L", "--activation", "12 L/min",
        "--fill", "38 s", "--fill", "38.2 s", "--fill", "60 s",
    )  # fmt: skip
    assert (answer["verdict"], answer["probability_reached"]) == ("cannot_tell", None)
    assert "fill 3 is far from the others" in answer["says"]


def test_finite_degrees_of_freedom_are_a_number() -> None:
    fills = [part for time in ("38s", "40s", "37s", "41s") for part in ("--fill", time)]
    assert 3 < answered(*BUCKET, *fills)["degrees_of_freedom"] < 1000


def test_another_unit_is_answered_in() -> None:
    answer = answered(*CLEAR, "--unit", "gpm")
    assert answer["flow"]["unit"] == answer["standard_uncertainty"]["unit"] == "gallon/minute"
    assert answer["flow"]["value"] == pytest.approx(5 / (38.55 / 60))


def test_weighed_fills_stand_in_for_the_container() -> None:
    answer = answered(
        "--mass", "3.70 kg", "--fill", "1:57", "--mass", "3.75kg", "--fill", "1:59",
        "--graduation", "0.1 kg", "--water-temperature", "50 C", "--activation", "0.5 gpm",
    )  # fmt: skip
    assert answer["flow"]["value"] == pytest.approx(7.45 / 0.98804 / (236 / 60), rel=1e-4)
    assert answer["warnings"] == []


@pytest.mark.parametrize(
    ("options", "formula", "kell"),
    [
        (("--container", "1 gal", "--graduation", "0.1 gal"), "Q = V / mean(t); ", False),
        (("--mass", "3.70 kg", "--graduation", "0.1 kg", "--water-temperature", "50 C"),
         "Q = sum(m) / (rho(T) sum(t)); ", True),
    ],
    ids=["by volume", "by weight"],
)  # fmt: skip
def test_by_volume_and_by_weight_each_tell_their_own_formula(
    options: tuple[str, ...], formula: str, kell: bool
) -> None:
    answer = answered(*options, "--fill", "1:57", "--activation", "0.5 gpm")
    assert answer["formula"].startswith(formula)
    assert ("Kell 1975: density of water" in answer["sources"]) is kell
    text = said(*options, "--fill", "1:57", "--activation", "0.5 gpm")
    assert f"\nFormula: {formula}" in text
    assert ("Source: Kell 1975: density of water." in text) is kell


def test_what_was_assumed_is_said() -> None:
    answer = answered("--mass", "3.7 kg", "--fill", "117", "--water-temperature", "50C")
    assert len(answer["warnings"]) == 2


def test_an_open_verdict_says_what_would_settle_it() -> None:
    answer = answered(*CLOSE)
    assert answer["verdict"] == "cannot_tell"
    minutes = [option["added_minutes"] for option in answer["settle"]["options"]]
    assert minutes
    assert minutes == sorted(minutes)
    blurred = answered(*CLOSE, "--activation-accuracy", "0.05 gpm")
    assert "treat as marginal" in blurred["settle"]["advice"]


def test_enough_for_the_appliance_needs_the_three_proofs() -> None:
    proven = answered(*CLEAR, "--full-hot", "--no-mixing-valve", "--crossing-passed")
    assert (proven["for_appliance"], proven["unproven"]) == (True, [])
    assert len(answered(*CLEAR)["unproven"]) == 3


def test_people_read_sentences_in_the_units_they_typed() -> None:
    text = said(*CLOSE)
    assert text.startswith("Flow 0.508")
    assert "gpm" in text
    assert "Cannot tell" in text
    assert "Weigh one fill" in text


def test_doubtful_fills_are_pointed_at() -> None:
    assert "Fill 2 is far" in said(*BUCKET, "--fill", "38", "--fill", "19", "--fill", "38.1")


@pytest.mark.parametrize(
    ("options", "field"),
    [
        (("--fill", "38s"), "container"),
        (("--container", "5 gal", "--fill", "38s"), "graduation"),
        (BUCKET, "fill"),
        ((*BUCKET, "--fill", "0s"), "fill"),
        ((*BUCKET, "--fill", "soon"), "fill"),
        ((*CLEAR, "--unit", "psi"), "unit"),
        ((*CLEAR, "--mass", "5 kg"), "mass"),
        (("--mass", "5 kg", "--fill", "38s"), "water_temperature"),
        (("--mass", "5 kg", "--water-temperature", "50C"), "mass"),
        ((*CLEAR, "--activation-accuracy", "1 gpm"), "activation_accuracy"),
        ((*CLEAR, "--unsteadiness", "soon"), "unsteadiness"),
        ((*CLEAR, "--unsteadiness", "-1 %"), "unsteadiness"),
        ((*CLEAR, "--unsteadiness", "200 %"), "unsteadiness"),
    ],
)
def test_bad_input_names_its_option(options: tuple[str, ...], field: str) -> None:
    assert refused(*options).field == field


@pytest.mark.parametrize(
    ("options", "named"),
    [
        (("--container", "a big one", "--graduation", "0.5 gal", "--fill", "38s"), "a big one"),
        (("--container", "{0} gal", "--graduation", "0.5 gal", "--fill", "38s"), "{0} gal"),
        ((*BUCKET, "--fill", "0 s"), "Fill 1"),
        ((*BUCKET, "--fill", "-3 s"), "-3 s"),
        (("--fill", "38s"), "a container"),
        (BUCKET, "at least one fill"),
        ((*CLEAR, "--unit", "furlong"), "furlong"),
        ((*CLEAR, "--unit", "furlong" * 20), "furlongfurlong"),
        ((*BUCKET, "--fill", "quick\nly"), "quick ly"),
        ((*CLEAR, "--bucket"), "--bucket"),
        ((*CLEAR, "--fill"), "--fill"),
        ((*CLEAR, "soon"), "soon"),
    ],
)
def test_what_cannot_be_used_is_told_in_one_line(
    options: tuple[str, ...], named: str, capsys: pytest.CaptureFixture[str]
) -> None:
    status = main(["flow", *options])
    told = capsys.readouterr()
    assert (status, told.out) == (2, "")
    assert told.err.count("\n") == 1
    assert named in told.err
    assert "Traceback" not in told.err


def test_nothing_slow_is_loaded_before_it_is_needed() -> None:
    script = (
        "import sys, desk.cli.measuring.flow; print({'pint', 'scipy', 'numpy'} & {*sys.modules})"
    )
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "set()"


def test_an_office_says_what_it_goes_by(office_path: Path, clock: StillClock) -> None:
    with Office.open(office_path, now=clock) as office:
        office.carry_out(MendShop({"usual_activation": "0.7 gpm", "timing": "1 s"}))
    bucket = ("--container", "5 gal", "--graduation", "0.5 gal", "--fill", "38.2s")
    goes_by = ("--office", str(office_path))
    own, usual = answered(*bucket, *goes_by), answered(*bucket)
    assert any("the office goes by 0.7 gpm" in told for told in own["warnings"])
    assert any("0.5 gpm is common practice" in told for told in usual["warnings"])
    assert own["standard_uncertainty"]["value"] > usual["standard_uncertainty"]["value"]
    assert answered(*CLEAR, *goes_by) == answered(*CLEAR), "what is given holds"
