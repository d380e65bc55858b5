"""A shop's own checks: laid over the shipped ones, and never at the price of a caution."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.base import paths
from desk.base.texts import say
from desk.trade.content.checklist import Content, read_edition
from desk.trade.content.findings import ContentItem
from desk.trade.content.loader import load_content
from desk.trade.content.model import DEFAULT, Check
from desk.trade.content.shop_overlay import OwnContent, read_over
from desk.trade.diagnosis.walk import Given as Answered
from desk.trade.diagnosis.walk import walk
from tests.trade.content.own_texts import CAUSE, FINDS, NEW

SHIPPED = load_content()
LIST = SHIPPED.checklists["hot-water"]
OWN = Path("checklists/hot-water/10-own.toml")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / OWN).parent.mkdir(parents=True)
    return tmp_path


@pytest.fixture
def own(folder: Path) -> Callable[[str], OwnContent]:
    def _own(text: str, file: str | Path = OWN) -> OwnContent:
        (folder / file).write_text(text, "utf-8")
        return read_over(SHIPPED, folder)

    return _own


def shipped(check: str, checklist: str = "hot-water") -> dict[str, Any]:
    """Return a shipped check as a shop would copy it out, to be changed."""
    file = next(
        file
        for file in paths.bundled("shared", "checklists", checklist).glob("*.toml")
        if f"[check.{check}]" in file.read_text("utf-8")
    )
    raw: dict[str, Any] = tomllib.loads(file.read_text("utf-8"))["check"][check]
    return raw


def written(check: str, raw: dict[str, Any]) -> str:
    return tomlkit.dumps({"check": {check: raw}})


def told(found: OwnContent) -> list[str]:
    return [say(finding.sentence) for finding in found.findings]


def test_without_a_folder_the_shipped_content_is_used(tmp_path: Path) -> None:
    assert read_over(SHIPPED, tmp_path / "none") == OwnContent(SHIPPED)


def test_a_check_of_the_same_id_stands_in_the_place_of_the_shipped_one(
    own: Callable[[str], OwnContent],
) -> None:
    raw = shipped("danger")
    raw["title"]["en"] = "Sniff first"
    found = own(written("danger", raw))
    assert told(found) == []
    mine = found.content.checklists["hot-water"]
    assert mine.check("danger").title["en"] == "Sniff first"
    assert list(mine.checks) == list(LIST.checks)
    assert mine.edition != LIST.edition
    assert found.own == (ContentItem("check", "danger", "hot-water"),)
    assert found.content.checklists["too-cool"] == SHIPPED.checklists["too-cool"]


def test_a_new_check_stands_directly_before_another(own: Callable[[str], OwnContent]) -> None:
    found = own(NEW)
    assert told(found) == []
    mine = found.content.checklists["hot-water"]
    order = list(mine.checks)
    assert order[order.index("flooding") - 1] == "van_filter"
    assert mine.check("danger").answer("none").next == {DEFAULT: "van_filter"}
    assert mine.check("van_filter").answer("no").next == {DEFAULT: "flooding"}
    assert mine.check("van_filter").could_not.next == {DEFAULT: "flooding"}
    assert type(mine.check("van_filter")) is Check


def test_two_before_the_same_check_come_as_they_are_written(
    own: Callable[[str], OwnContent],
) -> None:
    found = own(NEW + NEW.replace("van_filter", "second"))
    mine = found.content.checklists["hot-water"]
    answered = {one: Answered(answer) for one, answer in
                (("danger", "none"), ("van_filter", "no"), ("second", "yes"))}  # fmt: skip
    walked = walk(mine, answered, "not_known")
    assert [step.check for step in walked.path] == ["danger", "van_filter", "second"]
    assert walked.next == "flooding"


def test_a_list_may_begin_with_a_new_check_that_opens_nothing(
    own: Callable[[str], OwnContent],
) -> None:
    found = own(NEW.replace('"flooding"', '"danger"'))
    assert told(found) == []
    assert found.content.checklists["hot-water"].start == "van_filter"


def test_another_text_on_a_shipped_answer_is_not_belied_by_the_short_of_the_old_one(
    own: Callable[[str], OwnContent],
) -> None:
    raw = shipped("flooding")
    (wet,) = [one for one in raw["answers"] if one["id"] == "wet_spot"]
    wet["short"] = {"en": "Drip, away from electrics"}
    assert labels(own(written("flooding", raw)))["wet_spot"] == "Drip, away from electrics"
    wet["text"] = {"en": "A bucket of water was spilt"}
    assert labels(own(written("flooding", raw)))["wet_spot"] == "A bucket of water was spilt"


def test_other_steps_in_a_shipped_check_are_not_belied_by_its_short_ones(
    own: Callable[[str], OwnContent],
) -> None:
    raw = shipped("allowed")
    assert steps(own(written("allowed", raw))) == tuple(raw["short_how"]["en"])
    raw["how"]["en"].append("Ask the neighbour.")
    assert steps(own(written("allowed", raw)))[-1] == "Ask the neighbour."


def steps(found: OwnContent) -> tuple[str, ...]:
    assert told(found) == []
    return found.content.checklists["hot-water"].check("allowed").short_steps["en"]


def labels(found: OwnContent) -> dict[str, str]:
    assert told(found) == []
    answers = found.content.checklists["hot-water"].check("flooding").answers
    return {one.id: one.label["en"] for one in answers}


def test_a_list_with_own_checks_is_kept_and_read_again(own: Callable[[str], OwnContent]) -> None:
    mine = own(NEW).content.checklists["hot-water"]
    assert read_edition(mine.edition_text) == mine


def test_a_cause_of_the_shops_own_is_in_the_lists_that_name_it(
    folder: Path, own: Callable[..., OwnContent]
) -> None:
    (folder / "causes.toml").write_text(CAUSE)
    found = own(FINDS)
    assert told(found) == []
    lists = found.content.checklists
    assert "mouse" in lists["hot-water"].causes
    assert "mouse" not in lists["too-cool"].causes
    assert found.content.causes["mouse"].weight == 0.5


def test_a_cause_that_no_answer_finds_is_named(own: Callable[..., OwnContent]) -> None:
    [sentence] = told(own(CAUSE, "causes.toml"))
    assert sentence.startswith("causes.toml, line 2: no answer finds the cause mouse;")


def test_the_text_of_a_caution_may_be_the_shops_own(own: Callable[..., OwnContent]) -> None:
    caution = SHIPPED.cautions["flooding"]
    raw = asdict(caution) | {"text": {"en": "Stay dry."}}
    del raw["id"]
    found = own(tomlkit.dumps({"caution": {"flooding": raw}}), "cautions.toml")
    assert told(found) == []
    kept = found.content.checklists["hot-water"].cautions["flooding"]
    assert kept.text["en"] == "Stay dry."
    assert kept.serious == caution.serious


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ("serious = true", "serious = false", "is serious and stays so"),
        ('guards = ["gas"]', 'guards = ["water"]', "no longer guards gas"),
    ],
)
def test_a_caution_stays_as_serious_as_it_was(
    own: Callable[..., OwnContent], old: str, new: str, sentence: str
) -> None:
    name = next(key for key, one in SHIPPED.cautions.items() if one.serious and "gas" in one.guards)
    text = (
        f'[caution.{name}]\nserious = true\nguards = ["gas"]\n'
        'text = { en = "Careful." }\nsources = ["ours"]\n'
    )
    found = own(text.replace(old, new), "cautions.toml")
    assert any(sentence in one for one in told(found))
    assert found.content is SHIPPED


GUARDED = [
    (list_id, check.id, caution)
    for list_id, checklist in SHIPPED.checklists.items()
    for check in checklist.checks.values()
    for caution in check.cautions
]


@settings(deadline=None)
@given(which=st.sampled_from(GUARDED), keep=st.randoms(use_true_random=False))
def test_no_caution_is_ever_taken_from_a_step(
    tmp_path_factory: pytest.TempPathFactory, which: tuple[str, str, str], keep: Any
) -> None:
    list_id, check, caution = which
    folder = tmp_path_factory.mktemp("shop")
    raw = shipped(check, list_id)
    left = [one for one in raw["cautions"] if one != caution and keep.random() < 0.7]
    raw["cautions"] = left
    place = folder / "checklists" / list_id / "own.toml"
    place.parent.mkdir(parents=True)
    place.write_text(written(check, raw), "utf-8")
    found = read_over(SHIPPED, folder)
    assert found.content is SHIPPED
    line = place.read_text().splitlines().index(f"cautions = {tomlkit.item(left).as_string()}") + 1
    lacking = f"line {line}: check {check} lacks the caution {caution} "
    assert any(lacking in sentence for sentence in told(found))


@settings(deadline=None)
@given(check=st.sampled_from(sorted(LIST.checks)))
def test_a_copy_of_any_shipped_check_is_sound_and_changes_no_edition(
    tmp_path_factory: pytest.TempPathFactory, check: str
) -> None:
    folder = tmp_path_factory.mktemp("shop")
    (folder / OWN).parent.mkdir(parents=True)
    (folder / OWN).write_text(written(check, shipped(check)), "utf-8")
    found = read_over(SHIPPED, folder)
    assert told(found) == []
    assert found.content.checklists["hot-water"].edition == LIST.edition


def first(wanted: Callable[[Check], bool]) -> str:
    return next(check.id for check in LIST.checks.values() if wanted(check))


def test_a_replaced_check_needs_and_opens_what_it_did(own: Callable[[str], OwnContent]) -> None:
    opening = first(lambda check: bool(check.opens) and check.needs != "none")
    raw = shipped(opening) | {"opens": [], "needs": "none"}
    sentences = " ".join(told(own(written(opening, raw))))
    assert f"check {opening} opens {LIST.check(opening).opens[0]} in the check it repl" in sentences
    assert f"check {opening} needs {LIST.check(opening).needs} in the check it repl" in sentences


def test_a_replaced_check_waits_for_what_it_waited_for(own: Callable[[str], OwnContent]) -> None:
    waiting = first(lambda check: bool(check.after))
    raw = shipped(waiting)
    del raw["after"]
    [earlier, *_more] = LIST.check(waiting).after
    sentences = told(own(written(waiting, raw)))
    assert any(f"check {waiting} waits for {earlier} in the check" in one for one in sentences)


@pytest.mark.parametrize("check", ["draw_one", "prove_tight", "retest_response"])
def test_a_replaced_check_undoes_and_disproves_what_it_did(
    own: Callable[[str], OwnContent], check: str
) -> None:
    """A shop that wrote its own before there was a word for it loses nothing of it."""
    raw = shipped(check)
    raw.pop("undoes", None)
    for answer in raw["answers"]:
        answer.pop("disproves", None)
    found = own(written(check, raw))
    assert told(found) == []
    assert found.content.checklists["hot-water"].check(check) == LIST.check(check)


def test_a_new_check_that_runs_it_open_undoes_what_readied_it(
    own: Callable[[str], OwnContent],
) -> None:
    raw = shipped("hall_supply") | {"before": "hall_pulses"}
    del raw["undoes"]
    raw["answers"] = [{"id": "seen", "text": {"en": "Seen"}}]
    raw["could_not"] = {}
    del raw["likelihood"]
    found = own(written("van_meter", raw))
    assert told(found) == []
    assert found.content.checklists["hot-water"].check("van_meter").undoes == ("cabinet_ready",)


def test_stop_and_leave_stays_where_it_is_said(own: Callable[[str], OwnContent]) -> None:
    raw = shipped("danger")
    raw["answers"][1] = {"id": "danger", "text": {"en": "Yes"}, "next": "flooding"}
    raw["could_not"] = {"next": "flooding"}
    sentences = told(own(written("danger", raw)))
    assert any("stop and leave at the answer danger;" in one for one in sentences)
    assert any("stop and leave at the answer could_not_check;" in one for one in sentences)


def test_no_way_leads_round_the_question_of_danger(own: Callable[[str], OwnContent]) -> None:
    shortcut = NEW.replace('"flooding"', '"danger"').replace(
        '{ en = "Yes" }', '{ en = "Yes" }, next = "flooding"'
    )
    [sentence, *_more] = told(own(shortcut))
    assert sentence.startswith(f"{OWN.as_posix()}, line 2: the check flooding is reached without ")


def test_what_a_new_check_opens_is_guarded(own: Callable[[str], OwnContent]) -> None:
    found = own(NEW.replace("minutes = 1", 'minutes = 1\nopens = ["cabinet"]'))
    sentence, not_dead, round_a_guard = told(found)
    assert "opens the cabinet before it is proven dead" in not_dead
    assert "work that opens cabinet is reached without the check flooding" in round_a_guard
    assert sentence == (
        f"{OWN.as_posix()}, line 9: check van_filter opens cabinet without a caution that guards "
        "it; name one."
    )
    finding = found.findings[0]
    assert finding.item == ContentItem("check", "van_filter", "hot-water")
    assert finding.key == ("opens",)


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ("minutes = 1", "minutes = 0", "line 8: check van_filter takes 0.0 minutes"),
        ("minutes = 1", "minutes = ", "line 8: this cannot be read"),
        ("minutes = 1", "minuets = 1", "line 8: van_filter, minuets:"),
        ('"arrive"', '"hall"', "line 4: van_filter, stage:"),
        ('{ en = "No" }', '{ fr = "Non" }', "line 9: van_filter lacks a text in English"),
        ('"flooding"', '"floding"', "line 3: check van_filter stands before floding"),
        ("van_filter", "danger", "line 3: check danger replaces one of the list"),
        ('before = "flooding"', "", "line 2: nothing leads to check van_filter"),
        ("could_not = {}", 'could_not = { next = "flood" }', "line 10: check van_filter leads"),
    ],
)
def test_what_is_wrong_is_named_with_file_line_and_mend(
    own: Callable[[str], OwnContent], old: str, new: str, sentence: str
) -> None:
    found = own(NEW.replace(old, new))
    assert found.content is SHIPPED
    assert any(one.startswith(f"{OWN.as_posix()}, {sentence}") for one in told(found)), told(found)
    assert all(one.endswith(".") for one in told(found))


@pytest.mark.parametrize(
    ("file", "sentence"),
    [
        ("cause.toml", "cause.toml: nobody reads this; name it one of causes.toml, cautions.toml"),
        ("checklists/own.toml", "checklists/own.toml: nobody reads this"),
        ("checklists/hot-water/list.toml", "checklists/hot-water/list.toml: nobody reads this"),
        ("checklists/hotwater/a.toml", "checklists/hotwater: nobody reads this; name it one of"),
    ],
)
def test_a_file_that_nobody_would_read_is_named(
    folder: Path, own: Callable[..., OwnContent], file: str, sentence: str
) -> None:
    (folder / file).parent.mkdir(exist_ok=True)
    [said] = told(own("", file))
    assert said.startswith(sentence)


def test_a_text_is_tried_before_it_stands_in_a_file(folder: Path) -> None:
    tried = read_over(SHIPPED, folder, {folder / OWN: NEW})
    assert "van_filter" in tried.content.checklists["hot-water"].checks
    assert read_over(SHIPPED, folder).content == SHIPPED


def test_the_shipped_content_is_left_as_it_was(own: Callable[[str], OwnContent]) -> None:
    before: Content = load_content()
    own(NEW)
    assert load_content() is before
    assert "van_filter" not in before.checklists["hot-water"].checks


def test_what_a_shipped_check_lacks_by_ours_is_told_of_ours(
    own: Callable[[str], OwnContent],
) -> None:
    waiting = first(lambda check: bool(check.after))
    [earlier, *_more] = LIST.check(waiting).after
    raw = shipped(earlier)
    wanted = LIST.check(waiting).after[earlier][0]
    for answer in raw["answers"]:
        answer["id"] = f"other_{answer['id']}" if answer["id"] == wanted else answer["id"]
    found = own(written(earlier, raw))
    [finding] = [
        one for one in found.findings if f"comes after {wanted} of {earlier}" in say(one.sentence)
    ][:1]
    assert finding.item == ContentItem("check", earlier, "hot-water")
    assert say(finding.sentence).startswith(f"{OWN.as_posix()}, line ")


def test_a_cause_that_only_the_replaced_check_found_is_told_of_the_one_in_its_place(
    own: Callable[[str], OwnContent],
) -> None:
    finders = {
        cause: [one.id for one in LIST.checks.values() for a in one.answers if cause in a.finds]
        for cause in LIST.causes
    }
    cause, [check, *_same] = next(
        (cause, ids) for cause, ids in finders.items() if len(set(ids)) == 1
    )
    raw = shipped(check)
    for answer in raw["answers"]:
        answer["finds"] = [one for one in answer.get("finds", ()) if one != cause]
    found = own(written(check, raw))
    assert any(
        say(one.sentence).startswith(f"{OWN.as_posix()}, line ")
        and f"no answer of hot-water finds the cause {cause}" in say(one.sentence)
        and one.item == ContentItem("check", check, "hot-water")
        for one in found.findings
    ), told(found)


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-8"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_a_file_of_any_editor_is_read(folder: Path, encoding: str, end: str) -> None:
    text = NEW.replace("minutes = 1", "minutes = 0").replace("\n", end)
    (folder / OWN).write_bytes(text.encode(encoding))
    [sentence] = told(read_over(SHIPPED, folder))
    assert sentence.startswith(f"{OWN.as_posix()}, line 8: check van_filter takes 0.0 minutes")
