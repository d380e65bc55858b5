"""Every document, held against checkers that are none of ours: qpdf's program and its library.

What has to be so of each: sound in its syntax; a title, an author, a language and an outline; every
font carried, cut down to the letters used and known by its letters; nothing that runs, opens or
fetches; no picture that tells where or with what it was taken.
"""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
from PIL import Image

from tests.every_day import every_day
from tests.paper.reading_back import bare, outline_of, pages_of
from tests.shots import documents

SUBSET = re.compile(r"/[A-Z]{6}\+")
"""Begins the name of a font that is carried in part (ISO 32000-1, 9.6.4)."""
RUNS_OR_FETCHES = {
    *("/JavaScript", "/JS", "/Launch", "/URI", "/GoToR", "/SubmitForm", "/ImportData"),
    *("/EmbeddedFile", "/Filespec", "/RichMedia", "/Movie", "/Sound", "/AA"),
}
"""Names of what acts by itself or leads out of the file (ISO 32000-1, 12.6.4 and 7.11)."""
TELLING_MARKERS = {0xE1, 0xED, 0xFE}
"""Segments of a JPEG that hold Exif or XMP, IPTC and comments (CIPA DC-008, ISO/IEC 10918-1)."""
END_OF_HEADER = 0xDA

SHOPLESS = re.compile("bare|nothing-filled-in")
"""Documents of a shop without a name, which nobody can be the author of."""

ONE_OF_EACH = re.compile(
    "report-(usual-letter|bare|measured|charges-letter|forty-photographs-letter|hostile-text-letter)"
    "|repeats-letter|recurrence|day-letter|(history|parts-used|office-copy)-usual-letter|cards-a4"
)
"""Documents are made of the same pieces on either paper, and however much stands on them."""

type Documents = dict[str, bytes]


@pytest.fixture(scope="module", params=every_day(["one of each", "others"], ["one of each"]))
def made(request: pytest.FixtureRequest) -> Documents:
    wanted = request.param == "one of each"
    bare = "report-bare"  # the one that a test breaks
    return {
        name: make()
        for name, make in documents()
        if name == bare or bool(ONE_OF_EACH.match(name)) is wanted
    }


def objects(pdf: pikepdf.Pdf) -> Iterator[pikepdf.Object]:
    """Return every dictionary and stream of a file, also those that stand in others."""
    waiting = list(pdf.objects)
    while waiting:
        one = waiting.pop()
        if isinstance(one, pikepdf.Array):
            waiting += [inner for inner in one if not _is_elsewhere(inner)]
        elif isinstance(one, pikepdf.Dictionary | pikepdf.Stream):
            yield one
            waiting += [inner for inner in dict(one.items()).values() if not _is_elsewhere(inner)]


def _is_elsewhere(one: object) -> bool:
    """Say whether a value stands for itself among the file's objects."""
    return not isinstance(one, pikepdf.Object) or one.is_indirect


def wrong(made: Documents, look: object) -> dict[str, object]:
    """Return what a look finds in each document; nothing where nothing is found."""
    found = {}
    for name, content in made.items():
        with pikepdf.open(io.BytesIO(content)) as pdf:
            said = look(pdf)  # type: ignore[operator]
        if said:
            found[name] = said
    return found


def test_the_program_finds_no_error(made: Documents, tmp_path: Path) -> None:
    program = shutil.which("qpdf")
    if program is None:
        pytest.skip("qpdf is not on this machine; its library has its own test")
    found = {}
    for name, content in made.items():
        place = tmp_path / f"{name}.pdf"
        place.write_bytes(content)
        ran = subprocess.run(
            [program, "--check", str(place)], capture_output=True, text=True, check=False
        )
        if ran.returncode:
            found[name] = ran.stdout + ran.stderr
    assert found == {}


def test_the_library_finds_no_error(made: Documents) -> None:
    assert wrong(made, lambda pdf: pdf.check_pdf_syntax()) == {}


def test_a_broken_file_is_an_error_to_both(made: Documents) -> None:
    """What never finds anything would be no check."""
    broken = re.sub(rb"/Length (\d)", rb"/Length 9\1", made["report-bare"], count=1)
    assert wrong({"broken": broken}, lambda pdf: pdf.check_pdf_syntax()) != {}


def test_each_says_what_it_is_whose_and_in_which_language(made: Documents) -> None:
    named = {name: pdf for name, pdf in made.items() if not SHOPLESS.search(name)}

    def lacks(pdf: pikepdf.Pdf) -> list[str]:
        said = {
            "title": pdf.docinfo.get("/Title"),
            "author": pdf.docinfo.get("/Author"),
            "language": pdf.Root.get("/Lang"),
            "outline": pdf.Root.get("/Outlines", {}).get("/First"),
        }
        shows_title = bool(pdf.Root.ViewerPreferences.DisplayDocTitle)
        return [name for name, value in said.items() if not value] + ["shown"] * (not shows_title)

    assert wrong(named, lacks) == {}


def test_every_font_is_carried_cut_down_and_known_by_its_letters(made: Documents) -> None:
    def bad(pdf: pikepdf.Pdf) -> list[str]:
        fonts = [one for one in objects(pdf) if one.get("/Type") == pikepdf.Name.Font]
        assert fonts
        return [
            str(font.BaseFont)
            for font in fonts
            if "/FontFile2" not in font.get("/FontDescriptor", {})
            or not SUBSET.match(str(font.BaseFont))
            or "/ToUnicode" not in font
        ]

    assert wrong(made, bad) == {}


def test_nothing_runs_opens_or_leads_out_of_the_file(made: Documents) -> None:
    def leads_out(pdf: pikepdf.Pdf) -> set[str]:
        found = set()
        for one in objects(pdf):
            names = set(one.keys()) | {str(one.get(key)) for key in ("/S", "/Type", "/Subtype")}
            found |= names & RUNS_OR_FETCHES
            if isinstance(one, pikepdf.Stream) and "/F" in one:
                found.add("a stream in another file")
        return found

    assert wrong(made, leads_out) == {}


def markers(jpeg: bytes) -> Iterator[int]:
    """Return the markers of a JPEG's segments before the picture begins."""
    place = 2
    while place < len(jpeg):
        assert jpeg[place] == 0xFF
        yield jpeg[place + 1]
        if jpeg[place + 1] == END_OF_HEADER:
            return
        place += 2 + int.from_bytes(jpeg[place + 2 : place + 4])


def test_no_picture_says_where_or_with_what_it_was_taken(made: Documents) -> None:
    seen = 0

    def tells(pdf: pikepdf.Pdf) -> list[str]:
        nonlocal seen
        found = []
        for one in objects(pdf):
            if one.get("/Subtype") != pikepdf.Name.Image or "/Metadata" in one:
                found += ["metadata"] * ("/Metadata" in one)
                continue
            if one.get("/Filter") in (
                pikepdf.Name.DCTDecode,
                pikepdf.Array([pikepdf.Name.DCTDecode]),
            ):
                seen += 1
                content = one.read_raw_bytes()
                if (
                    set(markers(content)) & TELLING_MARKERS
                    or Image.open(io.BytesIO(content)).getexif()
                ):
                    found.append("a telling picture")
        return found

    assert wrong(made, tells) == {}
    assert seen >= 40


def test_every_page_has_text_that_can_be_taken_out(made: Documents) -> None:
    empty = {
        name: [number for number, text in enumerate(pages_of(pdf), 1) if not bare(text)]
        for name, pdf in made.items()
    }
    assert {name: pages for name, pages in empty.items() if pages} == {}


def test_text_comes_out_in_the_order_in_which_it_is_read(made: Documents) -> None:
    """The outline is the order of reading: each of its titles follows the one before."""
    for name, pdf in made.items():
        text = bare("".join(pages_of(pdf)))
        place = 0
        for _level, title in outline_of(pdf):
            # A card's number stands in a circle of its own.
            found = text.find(bare(title.lstrip("0123456789")), place)
            assert found >= 0, (name, title)
            place = found


def test_what_stands_lower_comes_later(made: Documents) -> None:
    """On a usual report's first page, the first letters of its sections go down the page."""
    with pypdfium2.PdfDocument(made["report-usual-letter-us"]) as document:
        layer = document[0].get_textpage()
        heights = []
        for title in ("Customer", "What was wrong", "What we did"):
            search = layer.search(title)
            index, _count = search.get_next() or (0, 0)
            search.close()
            heights.append(layer.get_charbox(index)[3])
        layer.close()
    assert heights == sorted(heights, reverse=True)
