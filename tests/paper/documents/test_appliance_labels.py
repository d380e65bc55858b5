"""Labels for appliances: every code scans to the number beside it."""

from __future__ import annotations

import pypdfium2
import pytest
import zxingcpp
from PIL import Image

from desk.base.errors import InputError
from desk.paper.documents.appliance_labels import SHEETS, LabelSheet, appliance_labels
from desk.records.views.parties import ApplianceLabel
from tests.every_day import every_day
from tests.paper.reading_back import bare, text_of


def labels(count: int) -> list[ApplianceLabel]:
    return [
        ApplianceLabel(
            f"A-H{turn:04d}", "Brackwater Rill 24", f"S-{turn}", "Fernhollow Heating", "555-0142"
        )
        for turn in range(1, count + 1)
    ]


def pictures(pdf: bytes) -> list[Image.Image]:
    document = pypdfium2.PdfDocument(pdf)
    drawn = [page.render(scale=200 / 72).to_pil() for page in document]
    document.close()
    return drawn


def scanned(pdf: bytes) -> list[str]:
    return sorted(
        code.text for picture in pictures(pdf) for code in zxingcpp.read_barcodes(picture)
    )


@pytest.mark.parametrize("sheet", every_day(SHEETS, [*SHEETS][:1]))
def test_every_code_of_full_sheets_scans_to_its_number(sheet: str) -> None:
    made = labels(SHEETS[sheet].places + 2)
    pdf = appliance_labels(made, sheet)
    assert len(pictures(pdf)) == 2
    assert scanned(pdf) == [label.number for label in made]


@pytest.mark.parametrize("sheet", SHEETS)
def test_a_label_stays_within_its_place(sheet: str) -> None:
    """Only the last place of the sheet is printed on; nothing of it lies outside."""
    layout = SHEETS[sheet]
    long = ApplianceLabel("A-H0001", "Wolfeschlegelsteinhausen " * 9, "S" * 90, "Shop " * 60, "5")
    pdf = appliance_labels([long], sheet, used=layout.places - 1)
    (page,) = pictures(pdf)
    ink = Image.eval(page.convert("L"), lambda tone: 255 if tone < 200 else 0).getbbox()
    assert ink is not None
    scale = 200 / 72
    left = (layout.first[0] + (layout.columns - 1) * layout.pitch[0]) * scale
    top = (layout.first[1] + (layout.rows - 1) * layout.pitch[1]) * scale
    assert left <= ink[0]
    assert top <= ink[1]
    assert ink[2] <= left + layout.label[0] * scale + 1
    assert ink[3] <= top + layout.label[1] * scale + 1


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
def test_a_sheet_fits_its_paper(sheet: LabelSheet) -> None:
    layout = sheet
    right = layout.first[0] + (layout.columns - 1) * layout.pitch[0] + layout.label[0]
    bottom = layout.first[1] + (layout.rows - 1) * layout.pitch[1] + layout.label[1]
    assert right <= layout.page[0] + 0.01
    assert bottom <= layout.page[1] + 0.01


def test_a_label_says_what_it_is_and_whom_to_call() -> None:
    text = text_of(appliance_labels(labels(1), "letter-30"))
    for said in ("A-H0001", "Brackwater Rill 24", "serial S-1", "Fernhollow Heating", "555-0142"):
        assert bare(said) in text


def test_what_a_person_typed_is_text() -> None:
    odd = ApplianceLabel("A-H0001", "<b>Rill</b> & {name}", "", "", "")
    assert bare("<b>Rill</b> & {name}") in text_of(appliance_labels([odd], "a4-21"))


def test_the_same_labels_give_the_same_bytes() -> None:
    assert appliance_labels(labels(31), "letter-30") == appliance_labels(labels(31), "letter-30")


@pytest.mark.parametrize(
    ("count", "sheet", "used", "field"),
    [(0, "a4-24", 0, "appliance"), (1, "a5-2", 0, "sheet"), (1, "a4-24", 24, "used"),
     (1, "a4-24", -1, "used")],
)  # fmt: skip
def test_what_cannot_be_printed_is_refused(count: int, sheet: str, used: int, field: str) -> None:
    with pytest.raises(InputError) as refused:
        appliance_labels(labels(count), sheet, used=used)
    assert refused.value.field == field
