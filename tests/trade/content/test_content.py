"""The content that travels with the program is sound, and unsound content is refused by name."""

from __future__ import annotations

import dataclasses
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from desk.base.errors import ContentError
from desk.base.texts import say
from desk.trade.content import loader
from desk.trade.content.checklist import Checklist, reachable, read_edition
from desk.trade.content.loader import load_content
from desk.trade.content.model import DEFAULT, in_language
from desk.trade.diagnosis.walk import Given, cautions_for, walk
from desk.trade.reference.sensing_kinds import NOT_KNOWN, SENSING_KINDS

CONTENT = load_content()
LIST = CONTENT.checklists["hot-water"]
every_list = pytest.mark.parametrize("made", CONTENT.checklists.values(), ids=CONTENT.checklists)

WATER = [
    "outlet_restricted",
    "low_demand",
    "service_valve_closed",
    "supply_strainer_blocked",
    "inlet_screen_blocked",
    "supply_pressure_low",
    "pipe_frozen",
    "cross_connection",
    "mixing_valve_failed",
    "pipes_reversed",
    "set_too_hot_mixing",
    "treatment_blocked",
    "check_valve_stuck",
    "flow_control_stuck",
    "bypass_stuck_open",
    "recirculation_fault",
    "unwanted_flow",
    "well_supply_fault",
    "other_draw",
    "exchanger_blocked",
    "backflow_preventer_blocked",
    "parallel_share_wrong",
    "pipe_run_long",
]
SENSING = [
    "element_stuck",
    "element_broken",
    "sense_port_blocked",
    "diaphragm_torn",
    "wrong_part_fitted",
    "sensor_supply_fault",
    "settings_wrong",
    "sensor_unseated",
    "sensor_dead",
    "sensor_stuck_on",
    "harness_fault",
    "control_input_dead",
]
RESPONSE = [
    "no_power",
    "control_dead",
    "water_in_cabinet",
    "hot_water_disabled",
    "lockout",
    "ignition_failure",
    "flue_or_condensate_blocked",
    "diverter_stuck",
    "pump_failed",
    "system_pressure_low",
    "outlet_sensor_fault",
    "inlet_prewarmed",
    "gas_supply_insufficient",
    "flame_sensing_or_earth",
    "wrong_gas_setup",
    "external_lockout",
    "high_limit_tripped",
    "dip_tube_broken",
    "demand_exceeds_storage",
    "exchanger_scaled",
    "expansion_tank_flat",
    "heating_element_failed",
    "heat_pump_fault",
]


def test_the_catalogue_holds_every_cause_in_its_zone() -> None:
    zones = {cause.id: cause.zone for cause in CONTENT.causes.values()}
    assert zones == (
        dict.fromkeys(WATER, "water")
        | dict.fromkeys(SENSING, "sensing")
        | dict.fromkeys(RESPONSE, "response")
        | {"no_fault_found": "none"}
    )


def test_three_lists_travel_with_the_program() -> None:
    assert set(CONTENT.checklists) == {"hot-water", "too-cool", "yearly-service"}


@every_list
def test_a_list_covers_every_stage_ending_and_sensing_kind(made: Checklist) -> None:
    checks = made.checks.values()
    assert len(checks) >= 40
    assert {one.stage for one in checks} == {"arrive", "check", "measure", "repair", "prove"}
    endings = {way.ending for one in checks for way in one.ways()} - {None}
    # A service without a finding is done, not a fault that hid.
    assert {"mended", "to_continue", "referred", "left"} <= endings
    assert ("no_fault_found" in endings) == (made.id != "yearly-service")
    found_on_site = {answer.sets_sensing for one in checks for answer in one.answers}
    assert found_on_site - {None} == set(SENSING_KINDS) - {NOT_KNOWN}


@every_list
@pytest.mark.parametrize("kind", SENSING_KINDS)
def test_every_sensing_kind_has_checks_of_its_own(kind: str, made: Checklist) -> None:
    mine = reachable(made, kind, kind_is_sure=True)
    others = (
        reachable(made, other, kind_is_sure=True)
        for other in SENSING_KINDS
        if other not in {kind, NOT_KNOWN}  # a kind not known yet may turn out to be any of them
    )
    assert mine - set[str]().union(*others)


@every_list
def test_whatever_is_opened_is_guarded_by_a_caution(made: Checklist) -> None:
    opening = [one for one in made.checks.values() if one.opens]
    assert opening
    for one in opening:
        shown = {guarded for caution in cautions_for(made, one.id) for guarded in caution.guards}
        assert set(one.opens) <= shown, one.id


@every_list
def test_danger_comes_first_and_doubt_counts_as_danger(made: Checklist) -> None:
    assert made.start == "danger"
    danger = made.check("danger")
    assert danger.could_not.ending == danger.answer("danger").ending == "left"
    assert made.check("flooding").answer("standing_water").ending == "left"


def test_a_crossing_is_found_only_with_the_hot_isolating_valve_shut_as_well() -> None:
    finders = {
        one.id: " ".join(in_language(one.how)) for one in LIST.checks.values()
        for answer in one.answers if "cross_connection" in answer.finds
    }  # fmt: skip
    assert set(finders) == {"crossing_confirm", "lost_in_pipes"}
    assert all("hot isolating valve" in how for how in finders.values())
    first = LIST.check("crossing_test")
    assert first.answer("keeps_running").leads_to(NOT_KNOWN) == "crossing_confirm"
    assert not any(answer.finds for answer in first.answers)


def test_electronic_elements_are_never_measured_by_resistance() -> None:
    for check_id in ("hall_supply", "hall_pulses", "signal_after", "vortex_signal"):
        asked = LIST.check(check_id)
        assert "no_ohms_on_electronics" in asked.cautions
        assert not {"contact_resistance", "sensor_resistance"} & set(asked.records)


def test_a_sensor_is_worked_by_hand_only_with_water_running() -> None:
    for check_id in ("reed_actuate", "dp_actuate"):
        asked = LIST.check(check_id)
        assert "by_hand" in asked.cautions
        assert "water runs at a hot tap" in in_language(asked.how)[0]


@every_list
def test_whatever_opens_gas_needs_a_gas_licence(made: Checklist) -> None:
    opening = [one for one in made.checks.values() if "gas" in one.opens]
    assert opening
    assert {one.needs for one in opening} == {"gas"}


@every_list
def test_every_way_to_mended_proves_the_outlet_temperature(made: Checklist) -> None:
    """Without the answers of the scald check no walk can end mended."""
    without = {key: one for key, one in made.checks.items() if key != "prove_outlet"}
    todo, seen = [made.start], set[str]()
    while todo:
        check_id = todo.pop()
        if check_id in seen or check_id not in without:
            continue
        seen.add(check_id)
        for way in without[check_id].ways():
            assert way.ending != "mended"
            todo += way.next.values()
    assert "prove_rise" in seen


@every_list
def test_the_taps_are_proved_safe_after_the_store_was_set(made: Checklist) -> None:
    """A store set hotter after the taps were measured would leave them unproven."""
    ways = made.check("prove_storage").ways()
    assert {after for way in ways for after in way.next.values()} == {"prove_outlet"}


@every_list
def test_a_tank_is_never_raised_before_a_proven_mixing_valve(made: Checklist) -> None:
    """A raised tank needs an hour: the tap reads safe today and scalds tonight."""
    raising = re.compile(r"(raise|set (it )?(no )?hotter|set right|60 °C).*", re.IGNORECASE)
    for check in made.checks.values():
        told = [*in_language(check.how), *(in_language(one.text) for one in check.answers)]
        for text in told:
            if raising.search(text) and check.stage != "measure" and "60 °C" in text:
                assert "mixing valve" in text or check.id == "prove_storage", (check.id, text)
    how = " ".join(in_language(made.check("prove_storage").how))
    assert "Raise a tank only where a mixing valve guards every tap and is proven" in how


INLET = re.compile(r"shut (the appliance's (own )?|its |the cold )cold inlet valve", re.IGNORECASE)


@every_list
def test_no_inlet_is_shut_on_an_appliance_that_is_on(made: Checklist) -> None:
    shutting = 0
    for check in made.checks.values():
        so_far = ""
        for step in in_language(check.how):
            so_far += step
            if INLET.search(step):
                shutting += 1
                before = so_far[: len(so_far) - len(step) + INLET.search(step).end()]  # type: ignore[union-attr]
                assert re.search(r"\boff\b", before), (check.id, step)
    assert shutting


@every_list
def test_thawing_begins_with_water_and_power_off(made: Checklist) -> None:
    for check in made.checks.values():
        for step in in_language(check.how):
            if re.search(r"\b[Tt]haw", step):
                assert "power off first" in step, (check.id, step)
                assert "splits before the water is put back" in step, (check.id, step)


@every_list
def test_soot_scorching_and_a_sounding_monitor_have_one_rule(made: Checklist) -> None:
    for check in made.checks.values():
        for answer in check.answers:
            if re.search(r"\b[Ss]oot", in_language(answer.text)):
                assert answer.ending == "left", check.id
        for step in in_language(check.how):
            if re.search(r"\b[Ss]oot\b.*(stop|leave)", step):
                assert "stop and leave" in step, (check.id, step)


@every_list
def test_any_smell_of_gas_is_stop_and_leave_and_is_sniffed_for_low(made: Checklist) -> None:
    asked = [one for one in ("danger", "gas_present", "pilot") if one in made.checks]
    for check_id in asked:
        how = " ".join(in_language(made.check(check_id).how))
        assert "Any smell of gas" in how
        assert "stop and leave" in how
        assert "bottled gas sinks" in how
    assert "outdoors" in in_language(made.check("danger").how)[0]


@every_list
def test_no_tool_burns_that_only_gives_light(made: Checklist) -> None:
    assert "torch" not in made.edition_text


def test_a_crossing_test_that_ends_leaves_no_valve_shut() -> None:
    for check_id in ("crossing_test", "crossing_confirm"):
        assert "again before" in in_language(LIST.check(check_id).how)[-1]


@every_list
def test_whatever_opens_a_hot_tap_warns_of_scalding(made: Checklist) -> None:
    hot = re.compile(r"[Oo]pen (the|a|the nearest|the lowest) hot tap|draw test (again|once more)")
    drawing = [
        one
        for one in made.checks.values()
        if any(hot.search(step) for step in in_language(one.how)) and not one.opens
    ]
    assert len(drawing) > 5
    assert [one.id for one in drawing if "scald" not in one.cautions] == []


@every_list
def test_no_cabinet_is_opened_before_the_warning_of_a_sealed_chamber(made: Checklist) -> None:
    todo, seen = [made.start], set[str]()
    while todo:
        check_id = todo.pop()
        if check_id in seen or check_id == "cabinet_ready":
            continue
        seen.add(check_id)
        todo += [after for way in made.check(check_id).ways() for after in way.next.values()]
    opening = [made.check(key) for key in seen if "cabinet" in made.check(key).opens]
    # Behind the covers of electric elements there is no combustion chamber.
    opening = [one for one in opening if one.id not in {"electric_elements", "repair_electric"}]
    # The service comes by that warning on every way; the others may go past it to a refusal.
    assert bool(opening) == (made.id != "yearly-service")
    assert [one.id for one in opening if "gas_and_flue" not in one.cautions] == []


def test_an_edition_keeps_the_list_as_it_was_used() -> None:
    again = read_edition(LIST.edition_text)
    assert again == LIST
    assert again.edition == LIST.edition
    assert walk(again, {"danger": Given("none")}, NOT_KNOWN).next == "flooding"


def test_another_wording_is_another_edition() -> None:
    title = {"en": "Another title"}
    assert dataclasses.replace(LIST, title=title).edition != LIST.edition


@pytest.mark.parametrize("text", ["", "[]", "{}", LIST.edition_text.replace('"stage"', '"page"')])
def test_an_edition_that_was_damaged_is_refused(text: str) -> None:
    with pytest.raises(ContentError):
        read_edition(text)


def test_a_text_is_said_in_english_where_a_language_is_missing() -> None:
    text = {"en": "water", "fr": "eau"}
    assert [in_language(text, code) for code in ("fr", "fr_CA", "de")] == ["eau", "eau", "water"]
    with pytest.raises(ContentError):
        in_language({"fr": "eau"}, "de")


def test_the_counts_are_printed(capsys: pytest.CaptureFixture[str]) -> None:
    assert loader.main() == 0
    printed = capsys.readouterr().out
    assert f"{len(LIST.checks)} checks" in printed
    assert "reed_float: " in printed


def test_the_command_validates_what_travels_with_the_program() -> None:
    command = [sys.executable, "-m", "desk.trade.content"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    assert f"{len(CONTENT.causes)} causes" in done.stdout


SMALL = {
    "causes.toml": """
[cause.grit]
zone = "water"
weight = 2.0
name = { en = "Grit" }
explanation = { en = "Grit" }
remedy = { en = "Rinse" }
failure_mode = { en = "No flow" }
failure_mechanism = { en = "Plugging" }
failure_cause = { en = "Debris" }
corrective_maintenance = { en = "Clean" }
""",
    "cautions.toml": """
[caution.pressure]
serious = true
guards = ["water"]
text = { en = "Relieve the pressure." }
sources = ["common practice, no source"]
""",
    "list.toml": """
title = { en = "Small" }
start = "look"
basis = { en = "Ours" }
complaints = ["no_response", "noticed_no_heat", "comes_and_goes", "too_cool", "too_little_flow",
  "call_with_taps_shut", "slow_to_arrive", "other", ""]
weights = { grit = 3.0 }
""",
    "10-checks.toml": """
[check.look]
stage = "check"
title = { en = "Is it blocked?" }
why = { en = "To know." }
how = { en = ["Open it.", "Look."] }
minutes = 3
opens = ["water"]
cautions = ["pressure"]
records = ["note"]
answers = [
  { id = "yes", text = { en = "Yes" }, finds = ["grit"], next = "mend" },
  { id = "no", text = { en = "No" }, ending = "no_fault_found" },
]
could_not = { ending = "to_continue" }

[check.look.likelihood]
default = [0.1, 0.9]
grit = [0.9, 0.1]

[check.mend]
stage = "repair"
title = { en = "Is it mended?" }
why = { en = "To be sure." }
how = { en = ["Rinse.", "Try."] }
minutes = 5
after = { look = ["yes"] }
answers = [{ id = "yes", text = { en = "Yes" }, ending = "mended" }]
could_not = { ending = "to_continue" }
""",
}


@pytest.fixture
def write(tmp_path: Path) -> Callable[..., Path]:
    def _write(file: str = "", old: str = "", new: str = "") -> Path:
        place = tmp_path / "checklists" / "small"
        place.mkdir(parents=True)
        for name, text in SMALL.items():
            assert name != file or old in text
            folder = tmp_path if name.startswith("cau") else place
            (folder / name).write_text(text.replace(old, new) if name == file else text)
        return tmp_path

    return _write


def test_small_content_is_sound(write: Callable[..., Path]) -> None:
    small = load_content(write()).checklists["small"]
    assert small.check("look").answer("yes").next == {DEFAULT: "mend"}
    assert list(small.checks) == ["look", "mend"]


def test_the_command_fails_on_unsound_content(
    write: Callable[..., Path], capsys: pytest.CaptureFixture[str]
) -> None:
    assert loader.main(write("list.toml", '"look"', '"lok"')) == ContentError.exit_status
    said = capsys.readouterr()
    assert said.out == ""
    assert "starts with lok" in said.err


CHECKS = "10-checks.toml"


@pytest.mark.parametrize(
    ("file", "old", "new", "found"),
    [
        (CHECKS, 'next = "mend"', 'next = "mnd"', "look leads from yes to mnd"),
        (CHECKS, 'next = "mend"', 'next = { reed = "mend" }', "no sensing kind reed"),
        (CHECKS, ', next = "mend"', "", "both or neither"),
        (CHECKS, 'ending = "mended"', 'next = "look"', "look, mend, look go round in a circle"),
        (CHECKS, "after = { look", "after = { mend", "mend, mend wait for one another"),
        (CHECKS, 'next = "mend"', 'ending = "left"', "nothing leads to check mend"),
        (CHECKS, 'finds = ["grit"], ', "", "no answer of small finds the cause grit"),
        (CHECKS, 'finds = ["grit"]', 'finds = ["mice"]', "finds mice, which is no cause"),
        (CHECKS, 'cautions = ["pressure"]', "", "opens water without a caution"),
        (CHECKS, 'opens = ["water"]', 'opens = ["gas"]', "set needs to gas"),
        (CHECKS, '["pressure"]', '["pressure", "dogs"]', "names the caution dogs"),
        (CHECKS, 'records = ["note"]', 'records = ["mood"]', "records mood"),
        (CHECKS, '{ id = "no",', '{ id = "yes",', "uses the answer yes twice"),
        (CHECKS, '{ id = "no",', '{ id = "could_not_check",', "the answer could_not_check twice"),
        (CHECKS, 'finds = ["grit"]', 'sets_sensing = "reed"', "sets the sensing kind reed"),
        (CHECKS, 'next = "mend"', 'next = { reed_float = "mend" }', "without default from yes"),
        (CHECKS, '"No" }', f'"No" }}, short = {{ en = "{"n" * 29}" }}', "write 28 characters at"),
        (
            CHECKS,
            "minutes = 3",
            'minutes = 3\nshort_how = { en = ["a"] }',
            "more or fewer short steps",
        ),
        (
            CHECKS,
            "minutes = 5",
            f"minutes = 5\nshort_how = {{ en = ['a', '{'b' * 37}'] }}",
            "write 36",
        ),
        (
            CHECKS,
            "minutes = 5",
            'minutes = 5\nshort_how = { fr = ["a", "b"] }',
            "mend lacks a text",
        ),
        (CHECKS, '"No" }', '"No" }, short = { fr = "Non" }', "look lacks a text in English"),
        (CHECKS, "default = [0.1, 0.9]", "", "likelihoods without default"),
        (CHECKS, "[0.9, 0.1]", "[0.9, 0.2]", "sums to 1.1"),
        (CHECKS, "[0.9, 0.1]", "[1.5, -0.5]", "none below 0"),
        (CHECKS, "[0.9, 0.1]", "[1.0]", "1 numbers in the row grit"),
        (CHECKS, "grit = [0", "mice = [0", "likelihood for mice"),
        (CHECKS, '["Rinse.", "Try."]', '["Rinse."]', "has 1 steps"),
        (CHECKS, "minutes = 3", "minutes = 0", "takes 0.0 minutes"),
        (CHECKS, 'after = { look = ["yes"] }', 'after = { look = ["aye"] }', "after aye of look"),
        (CHECKS, 'after = { look = ["yes"] }', 'after = { lock = ["yes"] }', "comes after lock"),
        (CHECKS, "minutes = 3", 'minutes = 3\nmintues = "4"', "look, mintues"),
        (CHECKS, 'stage = "check"', 'stage = "chek"', "look, stage"),
        (CHECKS, '{ en = "To know." }', '{ fr = "Savoir." }', "look lacks a text in English"),
        (CHECKS, '"Open it."', '" "', "look lacks a text in English"),
        (CHECKS, '{ en = ["Rinse.", "Try."] }', "{}", "mend lacks a text in English"),
        (CHECKS, "minutes = 3", 'minutes = 3\ntools = { fr = ["Clef"] }', "look lacks a text"),
        (CHECKS, "minutes = 3", "minutes = inf", "takes inf minutes"),
        (CHECKS, "[check.mend]", "[check]\nmood = 3\n[check.mend]", "nobody reads mood"),
        (CHECKS, "[check.mend]", "[chek.mend]", "nobody reads chek"),
        (CHECKS, "[check.mend]", "[check.mend", "10-checks.toml, line 21: this cannot be read"),
        ("causes.toml", "weight = 2.0", "weight = 0.0", "grit has a weight of 0.0"),
        ("causes.toml", 'zone = "water"', 'zone = "air"', ": grit, zone"),
        ("cautions.toml", '["common practice, no source"]', "[]", "pressure names no source"),
        ("cautions.toml", "[caution.pressure]", "[caution.dogs]", "no check shows dogs"),
        ("causes.toml", SMALL["causes.toml"], "cause = 3", "nobody reads cause"),
        ("list.toml", '{ en = "Small" }', '{ fr = "Petit" }', "small lacks a text in English"),
        ("list.toml", '{ en = "Ours" }', '{ fr = "A nous" }', "small lacks a text in English"),
        ("list.toml", 'start = "look"', "", ": small, start"),
        ("list.toml", 'start = "look"', 'start = "lok"', "starts with lok"),
        ("list.toml", '"other", ""', '"other"', "0 lists are worked for the complaint “”"),
        ("list.toml", '"other"', '"other", "leaks"', "leaks is no complaint"),
        (
            "list.toml",
            '"other"',
            '"other", "other"',
            "2 lists are worked for the complaint “other”",
        ),
        (CHECKS, '{ id = "no",', '{ id = "soot",', "goes on after the answer soot"),
        (
            CHECKS,
            "minutes = 5",
            'minutes = 5\nneeds = "gas"\nopens = ["gas"]\ncautions = ["pressure"]',
            "may leave it on after yes",
        ),
        ("list.toml", "grit = 3.0", "gritt = 3.0", "it weighs gritt, which is no cause"),
        ("list.toml", "grit = 3.0", "grit = 0.0", "grit has a weight of 0.0"),
    ],
)
def test_unsound_content_is_refused_with_file_item_and_mend(
    write: Callable[..., Path], file: str, old: str, new: str, found: str
) -> None:
    with pytest.raises(ContentError) as refused:
        load_content(write(file, old, new))
    findings = refused.value.facts["findings"]
    assert isinstance(findings, tuple)
    (told,) = [say(finding) for finding in findings if found in say(finding)]
    assert told.startswith(tuple(SMALL)), "the file comes first"
    assert told.endswith(".")
    assert "\n" not in told
    assert told in str(refused.value)


def test_a_danger_that_comes_with_opening_is_not_acknowledged_before(
    write: Callable[..., Path],
) -> None:
    folder = write(CHECKS, 'opens = ["water"]', "")
    cautions = folder / "cautions.toml"
    cautions.write_text(cautions.read_text() + "only_where_opened = true\n")
    with pytest.raises(ContentError, match="look shows pressure and opens nothing of it"):
        load_content(folder)


def test_a_list_weighs_a_cause_for_itself(write: Callable[..., Path]) -> None:
    small = load_content(write()).checklists["small"]
    assert small.causes["grit"].weight == 2.0
    assert small.cause_weights["grit"] == 3.0


@pytest.mark.parametrize(
    ("complaint", "checklist"),
    [("no_response", "hot-water"), ("too_cool", "too-cool"), ("", "yearly-service")],
)
def test_each_complaint_has_its_list(complaint: str, checklist: str) -> None:
    assert CONTENT.checklist_for(complaint).id == checklist


def test_a_complaint_of_a_newer_program_is_worked_as_something_else() -> None:
    assert CONTENT.checklist_for("smells_odd") is CONTENT.checklist_for("other")


@pytest.mark.parametrize("file", ["causes.toml", "cautions.toml", "list.toml"])
def test_a_missing_file_is_named(write: Callable[..., Path], file: str) -> None:
    folder = write()
    next(folder.rglob(file)).unlink()
    with pytest.raises(ContentError, match=f"{file} cannot be read"):
        load_content(folder)


def test_a_file_that_is_no_text_is_named(write: Callable[..., Path]) -> None:
    folder = write()
    (folder / "checklists" / "small" / "20-more.toml").write_bytes(b"\xff\xfe")
    with pytest.raises(ContentError, match=r"20-more\.toml cannot be read"):
        load_content(folder)


def test_content_without_a_list_is_refused(tmp_path: Path) -> None:
    (tmp_path / "causes.toml").write_text(SMALL["causes.toml"])
    (tmp_path / "cautions.toml").write_text("")
    with pytest.raises(ContentError, match="no list can be read"):
        load_content(tmp_path)


def test_every_finding_is_named_at_once(write: Callable[..., Path]) -> None:
    folder = write(CHECKS, '"mend"', '"mnd"')
    causes = folder / "causes.toml"
    causes.write_text(causes.read_text().replace("weight = 2.0", "weight = -1.0"))
    with pytest.raises(ContentError, match=r"(?s)weight of -1.0.*leads from yes to mnd"):
        load_content(folder)


def test_a_check_in_two_files_is_refused(write: Callable[..., Path]) -> None:
    folder = write()
    place = folder / "checklists" / "small"
    (place / "20-again.toml").write_text(SMALL[CHECKS])
    with pytest.raises(ContentError, match="is in another file too"):
        load_content(folder)


@every_list
def test_carbon_monoxide_while_proving_ends_with_everybody_outside(made: Checklist) -> None:
    check = made.check("prove_exhaust")
    assert check.answer("co").ending == "left"
    assert any("everybody out" in step for step in check.how["en"])


@pytest.mark.parametrize("check_id", ["reed_actuate", "dp_actuate"])
def test_a_sensor_is_not_worked_by_hand_with_a_sealed_chamber_open(check_id: str) -> None:
    check = LIST.check(check_id)
    assert "gas_and_flue" in check.cautions
    steps = check.how["en"]
    [sealed] = [n for n, step in enumerate(steps) if "seals the combustion chamber" in step]
    [powered] = [n for n, step in enumerate(steps) if "put the power back" in step]
    assert sealed < powered


@pytest.mark.parametrize(
    ("list_id", "check_id"),
    [
        *(("hot-water", one) for one in ("crossing_test", "crossing_confirm", "recirculation")),
        *(("too-cool", one) for one in ("crossing_test", "crossing_confirm", "recirculation")),
        ("too-cool", "water_supply"),
        *(("yearly-service", one) for one in ("crossing_test", "pipes_and_frost")),
    ],
)
def test_a_stiff_valve_is_not_forced(list_id: str, check_id: str) -> None:
    check = CONTENT.checklists[list_id].check(check_id)
    assert any("force no stiff" in step.casefold() for step in check.how["en"])


@pytest.mark.parametrize("list_id", ["too-cool", "yearly-service"])
def test_electronics_are_read_in_volts_in_every_list(list_id: str) -> None:
    asked = CONTENT.checklists[list_id].checks.values()
    electronic = [one for one in asked if {"pulse_rate", "sensor_voltage"} & set(one.records)]
    assert electronic
    for one in electronic:
        assert "no_ohms_on_electronics" in one.cautions
        assert not {"contact_resistance", "sensor_resistance"} & set(one.records)


def test_a_plugged_relief_valve_ends_the_service_with_a_referral() -> None:
    check = CONTENT.checklists["yearly-service"].check("relief_valve")
    assert "relief_valve" in check.cautions
    assert check.answer("plugged").leads_to(NOT_KNOWN) == "shut_off"


@every_list
def test_a_plugged_relief_valve_is_never_left_on(made: Checklist) -> None:
    assert made.check("prove_tight").answer("plugged").leads_to(NOT_KNOWN) == "shut_off"
    shut = made.check("shut_off")
    assert shut.shuts_off
    assert {way.ending for way in shut.ways()} == {"referred", "to_continue"}
    assert all("Shut off and tagged" in in_language(one.text) for one in shut.answers)


def test_combustion_is_left_to_a_licensed_person_and_is_not_passed_over() -> None:
    service = CONTENT.checklists["yearly-service"]
    combustion = service.check("combustion")
    assert combustion.needs == "gas"
    due = service.check(combustion.could_not.leads_to(NOT_KNOWN) or "")
    assert due.answer("co").ending == "left"
    assert due.could_not.leads_to(NOT_KNOWN) == "shut_off"


@pytest.mark.parametrize("list_id", ["hot-water", "yearly-service"])
def test_what_does_not_get_tight_is_shut_off_and_not_left_on(list_id: str) -> None:
    checks = load_content().checklists[list_id].checks
    [answer] = [one for check in checks.values() for one in check.answers if one.id == "not_tight"]
    assert {checks[to].shuts_off for to in answer.next.values()} == {True}
    assert answer.disproves == ("tightness",)


@pytest.mark.parametrize("list_id", ["hot-water", "too-cool"])
def test_a_burner_that_gets_too_much_gas_has_an_answer_and_is_off(list_id: str) -> None:
    answer = load_content().checklists[list_id].check("gas_clock").answer("too_much")
    assert "its gas is shut, and it is off" in in_language(answer.text)
    assert answer.finds == ("wrong_gas_setup",)
    assert set(answer.next.values()) == {"repair_gas"}


@pytest.mark.parametrize("list_id", ["hot-water", "too-cool", "yearly-service"])
def test_the_tester_is_tried_before_and_after_it_proves_dead(list_id: str) -> None:
    how = in_language(load_content().checklists[list_id].check("cabinet_ready").how)
    [proving] = [step for step in how if step.startswith("Prove dead")]
    assert "just tried on a live part, and try it there again" in proving
