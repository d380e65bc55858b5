"""Pocket cards: what a card says is what the list says, and nothing is lost at an edge."""

from __future__ import annotations

import dataclasses
import re
from collections import defaultdict
from functools import cache

import pypdfium2
import pytest

from desk.base.errors import InputError
from desk.base.texts import say
from desk.paper.documents.pocket_card_text import leads_to
from desk.paper.documents.pocket_cards import pocket_cards
from desk.paper.kit.page import SIZES
from desk.records.views.parties import PaperSize
from desk.trade.content.checklist import Checklist
from desk.trade.content.loader import load_content
from desk.trade.content.model import Answer, Way, in_language
from desk.trade.diagnosis.walk import cautions_for
from desk.trade.reference.drawing_index import DRAWINGS
from tests.every_day import every_day
from tests.paper.reading_back import bare, fonts_of, metadata_of, outline_of, text_of

LISTS = ("hot-water", "too-cool", "yearly-service")
FIRST = "The maker's instructions, local codes and the licensed person on site come first."
HOLD = "▲ The cautions on the part before hold here too."
SHOP = "Fernhollow Heating"


def the_list(list_id: str) -> Checklist:
    return load_content().checklists[list_id]


@cache
def printed(list_id: str, paper: PaperSize = "letter") -> bytes:
    return pocket_cards(the_list(list_id), author=SHOP, paper=paper)


@cache
def quarters(list_id: str) -> list[str]:
    """Return the text of each card, read out of its quarter of the sheet."""
    found = []
    document = pypdfium2.PdfDocument(printed(list_id))
    for page in document:
        layer = page.get_textpage()
        width, height = page.get_size()
        for bottom in (height / 2, 0):
            for left in (0, width / 2):
                text = layer.get_text_bounded(left, bottom, left + width / 2, bottom + height / 2)
                found.append(bare(text.replace("￾", "-").replace("\x02", "-")))
        layer.close()
        page.close()
    document.close()
    return [card for card in found if card]


@cache
def cards(list_id: str) -> dict[int, list[str]]:
    """Return the cards of each check by its number in the list."""
    by_number = defaultdict(list)
    for card in quarters(list_id):
        head = re.search(r"Card(\d+?)(?:,part\d+of\d+|(?=\D))", card)
        assert head is not None, card
        by_number[int(head[1])].append(card)
    return by_number


@pytest.mark.parametrize("list_id", every_day(LISTS, ["too-cool"]))
def test_every_check_has_its_card_and_no_card_is_without(list_id: str) -> None:
    assert sorted(cards(list_id)) == list(range(1, len(the_list(list_id).checks) + 1))


@pytest.mark.parametrize("list_id", every_day(LISTS, ["too-cool"]))
def test_a_card_says_title_why_steps_tools_and_answers_of_its_check(list_id: str) -> None:
    for number, check in enumerate(the_list(list_id).checks.values(), 1):
        said = said_of(list_id, number)
        texts = [in_language(check.title), in_language(check.why), *in_language(check.how)]
        texts += [in_language(answer.text) for answer in check.answers]
        texts += in_language(check.tools) if check.tools else ()
        for text in texts:
            assert bare(text) in said, (check.id, text)


def said_of(list_id: str, number: int) -> str:
    """Return what the cards of a check say, without what every card carries at head and foot."""
    title = in_language([*the_list(list_id).checks.values()][number - 1].title)
    inner = [
        re.sub(r"^.*?Card\d+,part\d+of\d+", "", card).split(bare(FIRST))[0]
        for card in cards(list_id)[number]
    ]
    begun = [text.removeprefix(bare(title)).removeprefix(bare(HOLD)) for text in inner[1:]]
    return "".join((inner[0], *begun))


@pytest.mark.parametrize("list_id", LISTS)
def test_every_caution_of_a_check_stands_before_its_steps_the_serious_first(list_id: str) -> None:
    checklist = the_list(list_id)
    for number, check in enumerate(checklist.checks.values(), 1):
        said = said_of(list_id, number)
        places = [
            said.index(bare(f"{'▲' if one.serious else '△'} {in_language(one.text)}"))
            for one in cautions_for(checklist, check.id)
        ]
        assert places == sorted(places)
        assert all(place < said.index(bare(in_language(check.how)[0])) for place in places)
        if places:
            assert all(bare(HOLD) in card for card in cards(list_id)[number][1:])


@pytest.mark.parametrize("list_id", LISTS)
def test_every_card_defers_and_names_its_list_and_edition(list_id: str) -> None:
    checklist = the_list(list_id)
    for card in quarters(list_id):
        assert bare(FIRST) in card
        assert card.startswith(bare(in_language(checklist.title)))
        assert bare(f"Edition {checklist.edition[:12]}") in card


@pytest.mark.parametrize("list_id", LISTS)
def test_each_answer_says_where_it_leads(list_id: str) -> None:
    checklist = the_list(list_id)
    for number, check in enumerate(checklist.checks.values(), 1):
        said = said_of(list_id, number)
        for way in check.ways():
            text = in_language(way.text) if isinstance(way, Answer) else "Could not check"
            assert bare(f"{text} {leads_to(checklist, way)}") in said, (check.id, text)


@pytest.mark.parametrize("list_id", LISTS)
def test_a_drawing_stands_with_its_legend(list_id: str) -> None:
    for number, check in enumerate(the_list(list_id).checks.values(), 1):
        said = "".join(cards(list_id)[number])
        if check.drawing:
            shown = DRAWINGS[check.drawing]
            assert bare(say(shown.caption)) in said
            assert all(bare(say(meaning)) in said for meaning in shown.legend.values())


def test_a_drawing_is_made_of_lines_and_no_picture() -> None:
    pdf = pocket_cards(the_list("hot-water"), ["reed_meter"], author=SHOP, paper="a4")
    document = pypdfium2.PdfDocument(pdf)
    kinds = [item.type for item in document[0].get_objects()]
    document.close()
    assert pypdfium2.raw.FPDF_PAGEOBJ_IMAGE not in kinds
    assert kinds.count(pypdfium2.raw.FPDF_PAGEOBJ_PATH) > 20


def test_a_way_that_depends_on_the_sensing_kind_names_the_kinds() -> None:
    checklist = the_list("hot-water")
    way = Way(next={"reed_float": "reed_meter", "default": "wires"})
    said = leads_to(checklist, way)
    assert "reed switch and magnetic float: card" in said
    assert "otherwise card" in said


@pytest.mark.parametrize("paper", every_day(["letter", "a4"], ["a4"]))
def test_nothing_is_printed_over_the_lines_to_cut_along(paper: PaperSize) -> None:
    width, height = SIZES[paper]
    document = pypdfium2.PdfDocument(printed("yearly-service", paper))
    for page in document:
        for item in page.get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_TEXT]):
            left, bottom, right, top = item.get_bounds()
            assert not left < width / 2 < right
            assert not bottom < height / 2 < top
            assert left > 10
            assert bottom > 10
            assert right < width - 10
        page.close()
    document.close()


def test_the_same_cards_give_the_same_bytes() -> None:
    again = pocket_cards(the_list("too-cool"), author=SHOP, paper="letter")
    assert again == printed("too-cool")


def test_only_the_wanted_checks_are_printed_with_their_own_numbers() -> None:
    pdf = pocket_cards(the_list("hot-water"), ["timed_flow", "danger"], author=SHOP, paper="a4")
    assert [title.split("  ")[0] for _level, title in outline_of(pdf)] == ["28", "1"]


def test_a_check_that_is_not_there_is_refused() -> None:
    with pytest.raises(InputError, match="no check nothing"):
        pocket_cards(the_list("hot-water"), ["nothing"], author=SHOP, paper="letter")


def test_title_author_outline_and_fonts_are_real() -> None:
    pdf = printed("hot-water")
    said = metadata_of(pdf)
    assert (said["Title"], said["Author"]) == ("Pocket cards: Hot water", SHOP)
    assert len(outline_of(pdf)) == len(the_list("hot-water").checks)
    assert all(embedded for _name, embedded in fonts_of(pdf))


def test_what_a_shop_wrote_itself_is_text_and_never_markup() -> None:
    checklist = the_list("hot-water")
    odd = "<b>Fish & <img src='/etc/passwd'/> </para> {brace} <foo>"
    check = dataclasses.replace(
        checklist.checks["draw_one"],
        title={"en": odd},
        why={"en": odd},
        how={"en": (odd, odd)},
        tools={"en": (odd,)},
    )
    changed = dataclasses.replace(
        checklist, title={"en": odd}, checks=checklist.checks | {check.id: check}
    )
    said = text_of(pocket_cards(changed, [check.id], author=odd, paper="letter"))
    assert said.count(bare(odd)) == 6  # the title begins the second card, too


def test_a_very_long_check_goes_on_on_further_cards_and_says_so() -> None:
    checklist = the_list("hot-water")
    step = "Turn-and-look-again. " * 60
    check = dataclasses.replace(checklist.checks["draw_one"], how={"en": (step,) * 6})
    changed = dataclasses.replace(checklist, checks=checklist.checks | {check.id: check})
    said = text_of(pocket_cards(changed, [check.id], author=SHOP, paper="letter"))
    assert said.count("Turn-and-look-again.") == 360
    parts = int(re.findall(r"part\d+of(\d+)", said)[0])
    assert parts > 2
    assert said.count("goesononthenextcard") == parts - 1


def test_a_title_longer_than_a_card_and_a_word_wider_than_it_are_printed_whole() -> None:
    checklist = the_list("hot-water")
    title, word = "Look-there. " * 300, "W" * 400
    check = dataclasses.replace(
        checklist.checks["draw_one"], title={"en": title}, why={"en": word}, cautions=()
    )
    changed = dataclasses.replace(checklist, checks=checklist.checks | {check.id: check})
    said = text_of(pocket_cards(changed, [check.id], author=SHOP, paper="letter"))
    assert said.count("Look-there.") >= 300
    assert said.count("W") >= 400


def test_a_kept_edition_that_names_a_drawing_which_is_gone_is_printed_without() -> None:
    checklist = the_list("hot-water")
    check = dataclasses.replace(checklist.checks["reed_meter"], drawing="gone")
    changed = dataclasses.replace(checklist, checks=checklist.checks | {check.id: check})
    said = text_of(pocket_cards(changed, [check.id], author=SHOP, paper="letter"))
    assert bare(in_language(check.how)[0]) in said
    assert bare("float with a magnet inside") not in said
