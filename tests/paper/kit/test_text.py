"""Stored text comes onto paper as it was typed, and never as markup."""

from __future__ import annotations

import io
from pathlib import Path
from unicodedata import category, normalize
from unicodedata import name as name_of

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from reportlab.platypus import SimpleDocTemplate

from desk.base.texts import message
from desk.paper.kit.page import BODY
from desk.paper.kit.text import BOX, REPLACEMENT, aside, escape, join, paragraph, plain, strong
from tests.paper.reading_back import bare, text_of

MARKUP = "<b>bold</b> & <img src='/etc/passwd'/> &amp; &#65; {} {name} </para> <br/> <a href='x'>"


def printed(*markups: str) -> str:
    target = io.BytesIO()
    SimpleDocTemplate(target, invariant=1).build([paragraph(m, BODY) for m in markups])
    return text_of(target.getvalue())


BLOCKS = [
    ("Latin, Greek and Cyrillic", 0x21, 0x52F),
    ("Vietnamese and old Greek", 0x1E00, 0x1FFF),
]
PRINTED_KINDS = ("L", "M", "N", "P", "S")
# Marks stand with their letters in the test above: PDFium reads two like marks on one spot as one.
writable = st.text(
    st.one_of(
        st.characters(
            categories=("L", "N", "P", "S", "Zs"), min_codepoint=first, max_codepoint=last
        ).filter(lambda character: BOX not in plain(character))
        for _name, first, last in BLOCKS
    )
)


@pytest.mark.parametrize(("_name", "first", "last"), BLOCKS)
def test_every_sign_of_a_block_is_drawn_by_an_embedded_font(
    _name: str, first: int, last: int
) -> None:
    signs = [
        chr(code) for code in range(first, last + 1) if category(chr(code))[0] in PRINTED_KINDS
    ]
    drawn = [sign for sign in signs if plain(sign) == sign]
    assert printed(*(escape(f"a{sign}b") for sign in drawn)) == "".join(
        plain(f"a{sign}b") for sign in drawn
    )
    # Coptic letters among the Greek, and the Armenian of a later Unicode, are no Greek.
    assert all(name_of(sign).startswith("COPTIC") for sign in signs if plain(sign) != sign)


@given(writable)
@example(MARKUP)
@example("Ελευθερία Παπαδοπούλου, Юрій Ґалаґан, Łucja Żółć, Nguyễn Thị Ngọc Ánh")
@example("→ 5 ≥ 3 − 2 ≈ 1")
@settings(deadline=None)
def test_text_comes_out_of_the_file_as_it_went_in(text: str) -> None:
    assert printed(escape(f"[{text}]")) == bare(f"[{text}]")


@given(st.text())
@settings(deadline=None)
def test_any_text_at_all_prints_and_what_cannot_print_is_seen(text: str) -> None:
    printed(escape(text))
    assert len(plain(text)) <= len(text)
    assert plain(plain(text)) == plain(text)


def test_markup_is_printed_in_bold_and_small_too() -> None:
    assert printed(join(strong(MARKUP), aside(MARKUP))) == bare(MARKUP) * 2


def test_the_value_in_a_message_is_neither_markup_nor_template() -> None:
    said = message("Referred to {name}.", name="<i>{0}</i> & Sons")
    assert printed(escape(said)) == "Referredto<i>{0}</i>&Sons."


@pytest.mark.parametrize("character", ["\0", "\x1b", "\u202e", "\u2066", "\u200f", "\ud800"])
def test_what_would_hide_or_reorder_text_is_seen_instead(character: str) -> None:
    assert plain(f"a{character}b") == f"a{REPLACEMENT}b"
    assert printed(escape(f"a{character}b")) == f"a{REPLACEMENT}b"


@pytest.mark.parametrize("character", ["漢", "ש", "ع", "\U0001f600", "\ufffe"])
def test_what_no_font_has_prints_as_a_box(character: str) -> None:
    assert printed(escape(f"a{character}b")) == f"a{BOX}b"


@pytest.mark.parametrize(
    "name",
    ["Nguyễn Thị Ngọc Ánh", "Łucja Żółć", "Ελευθερία Παπαδοπούλου", "Йосип Їжак", "Åse Müller"],
)
def test_a_name_typed_letter_and_mark_prints_as_its_letters(name: str) -> None:
    apart = normalize("NFD", name)
    assert apart != name
    assert plain(apart) == name
    assert printed(escape(apart)) == bare(name)


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r", "\u2028", "\x85", "\v"])
def test_line_ends_stay_line_breaks(end: str) -> None:
    assert escape(f"one{end}two") == "one<br/>two"


def test_marks_that_only_steer_joining_are_left_out() -> None:
    assert plain("so\u00adft\u200bly\ufeff") == "softly"


def test_a_word_of_ten_thousand_letters_is_broken_over_lines_and_kept_whole() -> None:
    assert printed(escape("W" * 10_000)) == "W" * 10_000


def test_a_picture_named_in_text_is_not_opened(tmp_path: Path) -> None:
    picture = tmp_path / "no.png"
    picture.write_bytes(b"not a picture: opening it would raise")
    tag = f'<img src="{picture}" width="9" height="9"/>'
    assert printed(escape(tag)) == bare(tag)


def test_nothing_stays_nothing_so_that_no_empty_label_is_left() -> None:
    assert strong("") == aside("") == join(strong(""), escape("")) == ""
