"""Writing a shop's own checks: comments kept, drafts kept apart, every change taken back."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from desk.base.errors import ContentError
from desk.base.texts import say
from desk.trade.content.findings import ContentItem
from desk.trade.content.loader import load_content
from desk.trade.content.shop_overlay import read_over
from desk.trade.content.shop_store import OwnFolder, raw_of
from tests.trade.content.own_texts import CAUSE, FINDS, NEW

SHIPPED = load_content()
LIST = SHIPPED.checklists["hot-water"]
DANGER = ContentItem("check", "danger", "hot-water")
FILTER = ContentItem("check", "van_filter", "hot-water")
FLOODING = ContentItem("check", "flooding", "hot-water")


@pytest.fixture
def shop(tmp_path: Path) -> OwnFolder:
    return OwnFolder(tmp_path / "office.checks", SHIPPED)


@pytest.fixture
def used(shop: OwnFolder) -> Callable[[str], str]:
    """Return the title that technicians read now."""

    def _used(check: str) -> str:
        checks = read_over(SHIPPED, shop.folder).content.checklists["hot-water"].checks
        return checks[check].title["en"] if check in checks else ""

    return _used


def new() -> dict[str, Any]:
    raw: dict[str, Any] = tomllib.loads(NEW)["check"]["van_filter"]
    return raw


def titled(raw: dict[str, Any], title: str) -> dict[str, Any]:
    return {**raw, "title": {"en": title}}


@pytest.mark.parametrize("list_id", SHIPPED.checklists)
def test_every_shipped_check_is_written_and_read_as_it_was(list_id: str, shop: OwnFolder) -> None:
    checklist = SHIPPED.checklists[list_id]
    check = checklist.check(checklist.start)
    item = ContentItem("check", check.id, list_id)
    assert shop.put(item, titled(raw_of(check), "Ours")).is_used
    kept = shop.read().content.checklists[list_id]
    assert kept.check(check.id).title["en"] == "Ours"
    assert shop.put(item, raw_of(check)).is_used
    assert shop.read().content.checklists[list_id].edition == checklist.edition


def test_what_is_as_usual_is_not_written() -> None:
    for checklist in SHIPPED.checklists.values():
        for check in checklist.checks.values():
            raw = raw_of(check)
            assert raw.get("needs") != "none"
            assert all(raw.values()), check.id


def test_a_sound_check_is_used_at_once(shop: OwnFolder, used: Callable[[str], str]) -> None:
    kept = shop.put(FILTER, new())
    assert kept.is_used
    assert kept.findings == ()
    assert used("van_filter") == "Is the drain hose at hand?"
    assert (shop.folder / "README.txt").exists()


def test_an_unsound_check_is_a_draft_until_it_is_sound(
    shop: OwnFolder, used: Callable[[str], str]
) -> None:
    shop.put(FILTER, new())
    kept = shop.put(FILTER, titled(new(), "Half") | {"minutes": "ab"})
    assert not kept.is_used
    [finding] = kept.findings
    assert (finding.item, finding.key) == (FILTER, ("minutes",))
    assert shop.drafts() == (FILTER,)
    assert shop.raw_of(FILTER)["minutes"] == "ab"
    assert used("van_filter") == "Is the drain hose at hand?"
    assert shop.put(FILTER, titled(new(), "Whole") | {"minutes": "2.5"}).is_used
    assert shop.drafts() == ()
    assert used("van_filter") == "Whole"


def test_drafts_that_need_one_another_are_used_together(
    shop: OwnFolder, used: Callable[[str], str]
) -> None:
    alone = new()
    del alone["before"]
    alone["answers"] = [{"id": "yes", "text": {"en": "Yes"}, "next": "flooding"}]
    alone["could_not"] = {"next": "flooding"}
    assert not shop.put(FILTER, alone).is_used, "nothing leads to it"
    danger = raw_of(LIST.check("danger"))
    danger["answers"][0]["next"] = "van_filter"
    assert shop.put(DANGER, danger).is_used
    assert shop.drafts() == ()
    assert used("van_filter")


def test_a_slip_in_a_file_written_by_hand_does_not_hold_up_the_rest(shop: OwnFolder) -> None:
    place = shop.folder / "checklists" / "hot-water"
    place.mkdir(parents=True)
    (place / "hand.toml").write_text("[check.flooding\n")
    kept = shop.put(FILTER, new())
    assert kept.is_used
    [finding] = kept.findings
    assert say(finding.sentence).startswith("checklists/hot-water/hand.toml, line 1: ")


def test_comments_and_order_of_what_was_written_by_hand_stay(shop: OwnFolder) -> None:
    place = shop.folder / "checklists" / "hot-water"
    place.mkdir(parents=True)
    hand = place / "hand.toml"
    hand.write_text("# ours\n" + NEW.replace("minutes = 1", "minutes = 1 # in the rain 2"))
    shop.put(FILTER, titled(new(), "Hose?"))
    was = '{ en = "Is the drain hose at hand?" }'
    before = NEW.replace("minutes = 1", "minutes = 1 # in the rain 2")
    assert hand.read_text() == "# ours\n" + before.replace(was, '{en = "Hose?"}')


def test_a_file_broken_by_hand_is_left_alone(shop: OwnFolder) -> None:
    place = shop.folder / "checklists" / "hot-water"
    place.mkdir(parents=True)
    broken = place / "van_filter.toml"
    broken.write_text("[check.van_filter\n")
    with pytest.raises(ContentError, match=r"van_filter\.toml was broken by hand"):
        shop.put(FILTER, new())
    assert broken.read_text() == "[check.van_filter\n"


def test_every_change_is_taken_back_and_done_again(
    shop: OwnFolder, used: Callable[[str], str]
) -> None:
    shipped = raw_of(LIST.check("danger"))
    for title in ("One", "Two", "Three"):
        shop.put(DANGER, titled(shipped, title))
    again = OwnFolder(shop.folder, SHIPPED)  # the program was closed in between
    seen = []
    while again.take_back(DANGER):
        seen.append(used("danger"))
    assert seen == ["Two", "One", LIST.check("danger").title["en"]]
    assert not list(shop.folder.glob("checklists/*/*.toml"))
    seen = []
    while again.do_again(DANGER):
        seen.append(used("danger"))
    assert seen == ["One", "Two", "Three"]


def test_after_another_change_there_is_nothing_to_do_again(shop: OwnFolder) -> None:
    shop.put(FILTER, new())
    shop.put(FILTER, titled(new(), "Two"))
    shop.take_back(FILTER)
    shop.put(FILTER, titled(new(), "Other"))
    assert shop.do_again(FILTER) is None


def test_a_draft_is_taken_back_as_well(shop: OwnFolder) -> None:
    shop.put(FILTER, new())
    shop.put(FILTER, new() | {"minutes": "x"})
    assert shop.take_back(FILTER) is not None
    assert shop.drafts() == ()
    shop.do_again(FILTER)
    assert shop.raw_of(FILTER)["minutes"] == "x"


def test_a_check_is_taken_out_and_back_in(shop: OwnFolder, used: Callable[[str], str]) -> None:
    shop.put(FILTER, new())
    assert shop.take_out(FILTER).is_used
    assert used("van_filter") == ""
    shop.take_back(FILTER)
    assert used("van_filter")


def test_a_check_that_others_lead_to_is_not_taken_out(
    shop: OwnFolder, used: Callable[[str], str]
) -> None:
    shop.put(FILTER, new())
    danger = raw_of(LIST.check("danger"))
    danger["answers"][0]["next"] = "van_filter"
    shop.put(DANGER, danger)
    refused = shop.take_out(FILTER)
    assert not refused.is_used
    assert refused.findings
    assert used("van_filter")
    assert shop.raw_of(FLOODING)["title"] == LIST.check("flooding").title


MOUSE = ContentItem("cause", "mouse")


def test_a_cause_is_a_draft_until_an_answer_finds_it_and_both_are_used(shop: OwnFolder) -> None:
    cause = tomllib.loads(CAUSE)["cause"]["mouse"]
    assert not shop.put(MOUSE, cause).is_used
    assert shop.drafts() == (MOUSE,)
    assert shop.put(FILTER, tomllib.loads(FINDS)["check"]["van_filter"]).is_used
    assert shop.drafts() == ()
    assert "mouse" in shop.read().content.checklists["hot-water"].causes
    assert shop.raw_of(MOUSE) == cause


def test_a_draft_that_stays_unsound_does_not_hold_up_another(shop: OwnFolder) -> None:
    assert not shop.put(FLOODING, raw_of(LIST.check("flooding")) | {"minutes": "x"}).is_used
    cause = tomllib.loads(CAUSE)["cause"]["mouse"]
    shop.put(MOUSE, cause)
    assert shop.put(FILTER, tomllib.loads(FINDS)["check"]["van_filter"]).is_used
    assert shop.drafts() == (FLOODING,)


def test_the_words_of_a_caution_are_written_to_its_file(shop: OwnFolder) -> None:
    wet = ContentItem("caution", "flooding")
    raw = raw_of(SHIPPED.cautions["flooding"]) | {"text": {"en": "Stay dry."}}
    assert shop.put(wet, raw).is_used
    assert shop.read().content.cautions["flooding"].text["en"] == "Stay dry."
    assert not shop.put(wet, raw | {"serious": False}).is_used
    assert shop.take_out(wet).is_used
    assert shop.read().content == SHIPPED


def test_what_others_need_by_now_is_not_taken_back(
    shop: OwnFolder, used: Callable[[str], str]
) -> None:
    shop.put(FILTER, new())
    danger = raw_of(LIST.check("danger"))
    danger["answers"][0]["next"] = "van_filter"
    shop.put(DANGER, danger)
    refused = shop.take_back(FILTER)
    assert refused is not None
    assert not refused.is_used
    assert used("van_filter")


def test_an_id_that_leads_out_of_the_folder_is_refused(shop: OwnFolder) -> None:
    with pytest.raises(ContentError, match="is no name"):
        shop.put(ContentItem("check", "../../x", "hot-water"), new())
    place = shop.folder / "checklists" / "hot-water"
    place.mkdir(parents=True)
    (place / "a.toml").write_text(NEW.replace("[check.van_filter]", '[check."../x"]'))
    assert any("is no name" in say(one.sentence) for one in shop.read().findings)
