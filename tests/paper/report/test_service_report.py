"""The service report: everything of the snapshot on paper, the internal note never."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from desk.base.texts import message
from desk.paper.kit.id_words import WORKING_CAUTIONS
from desk.paper.report.service_report import service_report
from desk.records.views.parties import PaperSize, UnitSystem
from desk.records.views.report import MistakeLine, SignatureLine, VisitReport
from desk.trade.content.loader import load_content
from tests.every_day import every_day, share_of_examples
from tests.paper import reading_back
from tests.paper.reading_back import bare, pages_of, text_of
from tests.paper.snapshots import (
    FINGERPRINT,
    NO_MONITOR,
    SEALED_AT,
    at,
    bare_report,
    extreme_report,
    flow,
    full_report,
    signature_picture,
)


def sealed(report: VisitReport, paper: PaperSize | None = None) -> bytes:
    return service_report(report, fingerprint=FINGERPRINT, sealed_at=SEALED_AT, paper=paper)


@pytest.fixture(scope="module")
def usual() -> bytes:
    return sealed(full_report())


@pytest.fixture(scope="module")
def said(usual: bytes) -> str:
    return text_of(usual)


def _texts(report: VisitReport) -> list[str]:
    """Return every text of a report that a customer's copy must carry."""
    assert report.customer
    assert report.premises
    assert report.appliance
    assert report.technician
    assert report.cause
    assert report.signature
    shop = report.letterhead
    return [
        shop.name, *shop.address, shop.phone, shop.email, shop.licence,
        report.customer.name, *report.customer.address, *report.customer.phones,
        *report.customer.emails, *report.premises.address,
        report.appliance.number, report.appliance.maker, report.appliance.model,
        report.appliance.serial, report.technician.name, report.technician.licence_class,
        report.technician.licence_number, str(report.complaint_text), report.complaint_words,
        report.cause.name, report.cause.explanation, report.work_done, report.advice,
        report.advice_refused, report.next_step, report.allowed_by, report.number,
        report.revision_reason, report.signature.name,
        *(caution.text for caution in report.cautions),
        *(text for check in report.checks for text in (check.question, check.answer_text,
                                                       check.reason, check.note)),
        *(text for part in report.parts for text in (part.number, part.name, part.new_serial)),
        *(fill.typed for flow in report.flows for fill in flow.fills),
        *(str(reading.label) for reading in report.readings),
        *(reading.typed for reading in report.readings),
    ]  # fmt: skip


def test_every_text_of_the_visit_is_on_the_report(said: str) -> None:
    assert [text for text in _texts(full_report()) if bare(text) not in said] == []


@pytest.mark.parametrize("paper", every_day(["letter", "a4"], ["letter"]))
@pytest.mark.parametrize("system", every_day(["us", "si"], ["si"]))
def test_every_text_is_there_when_everything_is_too_long(
    system: UnitSystem, paper: PaperSize
) -> None:
    report = extreme_report(system, paper)
    # What is set over several pages has their heads and feet in between.
    pages = [
        page.split("Visit K-0142", 1)[-1].rsplit("■ Sealed", 1)[0]
        for page in pages_of(sealed(report))
    ]
    text = bare("".join(pages))
    for part in report.parts:
        assert bare(part.name) in text
        assert part.new_serial in text
    assert text.count(bare("Łucja Żółć: the pipe behind the panel is older")) >= 40


def test_what_is_not_proven_is_told_with_its_reason_and_what_is_proven_is_not_told_again() -> None:
    told = bare(text_of(sealed(full_report())))
    reason = f"Not measured or seen, and why carbon monoxide in the room: {NO_MONITOR}"
    assert bare(reason) in told
    assert bare("hot water temperature:") not in told
    owed = tuple(replace(line, state="missing", reason="") for line in full_report().proof)
    assert bare("Not measured or seen") not in bare(
        text_of(sealed(replace(full_report(), proof=owed)))
    )


def test_the_internal_note_is_never_printed(said: str) -> None:
    assert "Dog" not in said
    assert "daughter" not in said


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("system", ["us", "si"])
def test_a_usual_visit_takes_two_pages_before_the_appendix(
    system: UnitSystem, paper: PaperSize
) -> None:
    pages = pages_of(sealed(full_report(system, paper)))
    assert "Appendix: how the numbers came about" in pages[2]


def test_the_shop_s_units_come_first_and_the_others_beside() -> None:
    american, metric = text_of(sealed(full_report("us"))), text_of(sealed(full_report("si")))
    assert "2.17gpm8.2L/min" in american
    assert "8.2L/min2.17gpm" in metric
    assert "119.5±1.1°F48.6°C" in american


def test_the_range_is_told_in_plain_words(said: str) -> None:
    assert bare("lies between 2.05 and 2.29 gpm (7.7 and 8.7 L/min).") in said
    assert bare("A range found this way is right about 95 times in 100.") in said


def test_the_coverage_factor_stands_in_the_appendix_only(usual: bytes) -> None:
    body, rest = bare("".join(pages_of(usual))).split("Appendix:how")
    for term in ("Coveragefactor", "Standarduncertainty", "degreesoffreedom", "JCGM"):
        assert term not in body
        assert term in rest


def test_the_appendix_tells_which_flow_was_weighed_and_which_filled_to_a_mark() -> None:
    report = full_report()
    formulas = {"volume": "Q = V / mean(t)", "weight": "Q = sum(m) / (rho(T) sum(t))"}
    said_of = {
        "volume": "timed filling of a container of known volume",
        "weight": "timed filling of a container, weighed",
    }
    for method, formula in formulas.items():
        flows = tuple(replace(one, method=method, formula=formula) for one in report.flows)
        appendix = text_of(sealed(replace(report, flows=flows))).split("Appendix:how")[1]
        for other, its_own in formulas.items():
            assert (bare(said_of[other]) in appendix) is (other == method)
            assert (bare(its_own) in appendix) is (other == method)


def test_a_replaced_answer_stands_in_the_appendix_only(usual: bytes) -> None:
    body, rest = bare("".join(pages_of(usual))).split("Appendix:how")
    assert bare("Could not check") not in body
    assert bare("Could not check") in rest


def test_cautions_for_the_household_come_first_and_all_stand_in_the_appendix(usual: bytes) -> None:
    body, rest = bare("".join(pages_of(usual))).split("Appendix:how")
    scald, live = bare("Scald: water at 60 °C"), bare("Live parts: inside the cabinet")
    assert scald in body
    assert live not in body
    assert scald in rest
    assert live in rest
    assert bare("3 cautions were shown and acknowledged by Ida Marchetti") in body


def test_a_caution_read_anew_is_told_the_household_as_it_is_worded_now() -> None:
    """The visit was begun before the wording; both, as they were read, stand in the appendix."""
    report = full_report()
    live, _pressure, scald = report.cautions
    anew = tuple(
        replace(one, id=f"{one.id}~2", text=f"Since then: {one.id}.") for one in (live, scald)
    )
    printed = sealed(replace(report, cautions=(*report.cautions, *anew)))
    body, rest = bare("".join(pages_of(printed))).split("Appendix:how")
    assert bare(anew[1].text) in body
    assert bare(scald.text) not in body
    assert bare(anew[0].text) not in body, "it speaks to whoever does the work"
    for one in (*report.cautions, *anew):
        assert bare(one.text) in rest


def test_cautions_kept_for_the_appendix_are_ones_that_the_content_knows() -> None:
    assert set(load_content().cautions) >= WORKING_CAUTIONS


def test_what_comes_first_is_said(said: str) -> None:
    assert bare("maker's instructions, local codes and the licensed person on site come") in said


def test_a_sealed_page_carries_its_fingerprint(usual: bytes) -> None:
    for page in pages_of(usual):
        assert "Fingerprint 3fa9 c01b 77de 0042" in page
        assert "Sealed, revision 2, 12 Nov 2026, 15:42 EST" in page
        assert "Not sealed" not in page
    assert bare(FINGERPRINT) in text_of(usual)


def test_a_page_that_is_not_sealed_says_so() -> None:
    for page in pages_of(service_report(full_report())):
        assert "Not sealed: may still change" in page
        assert "Fingerprint 3" not in page


def test_pages_are_counted(usual: bytes) -> None:
    pages = pages_of(usual)
    for number, page in enumerate(pages, 1):
        assert f"Page {number} of {len(pages)}" in page


def test_stop_and_leave_is_said_at_the_top() -> None:
    first = pages_of(sealed(extreme_report()))[0]
    assert first.index("STOPPED FOR SAFETY") < first.index("What was wrong")
    assert "Danger was reported" in first


def test_the_banner_names_what_was_found() -> None:
    first = pages_of(sealed(replace(extreme_report(), danger_found="A smell of gas")))[0]
    assert first.index("Found: A smell of gas.") < first.index("What was wrong")
    assert "Found:" not in pages_of(sealed(extreme_report()))[0]


def test_the_banner_after_water_speaks_of_water_and_of_no_gas() -> None:
    stopped = replace(extreme_report(), danger_found="Water", stopped_for="flooding")
    first = pages_of(sealed(stopped))[0]
    banner = first[first.index("STOPPED FOR SAFETY") : first.index("What was wrong")]
    assert "Do not step into the water" in banner
    assert "gas supplier" not in banner
    assert "gas supplier" in pages_of(sealed(extreme_report()))[0]


def test_what_became_of_a_danger_stands_beside_it() -> None:
    became = replace(extreme_report(), danger_outcome="The supplier closed a loose cap.")
    told = "What became of it: The supplier closed a loose cap."
    assert bare(told) in text_of(sealed(became))


@pytest.mark.parametrize("answers", ["some", "none"])
def test_a_slip_that_stopped_the_work_is_told_with_its_reason(answers: str) -> None:
    report = full_report()
    slip = MistakeLine(
        "Any danger?", "Yes: stop and leave", "leant on the keys", report.received_at
    )
    checks = report.checks if answers == "some" else ()
    said = text_of(sealed(replace(report, checks=checks, mistakes=(slip,))))
    told = "“Any danger?” was answered “Yes: stop and leave” by mistake"
    assert bare(f"{told} and taken back: leant on the keys") in said


def test_a_visit_with_nothing_filled_in_prints_and_has_no_empty_heads() -> None:
    pdf = service_report(bare_report())
    assert [title for _level, title in reading_back.outline_of(pdf)] == [
        "Cautions",
        "The visit",
        "Appendix: how the numbers came about",
        "The record",
        "Fingerprint",
    ]
    assert len(pages_of(pdf)) == 2


def test_the_outline_leads_through_the_report(usual: bytes) -> None:
    titles = [title for level, title in reading_back.outline_of(usual) if level == 0]
    assert titles == [
        "What was wrong",
        "What we did",
        "What we measured",
        "What to do next",
        "Cautions",
        "How we found it",
        "The visit",
        "Appendix: how the numbers came about",
    ]


def test_text_is_selected_in_the_order_it_is_read(said: str) -> None:
    order = [
        "ServicereportVisit", "Customer", "Whatwaswrong", "Whatwedid", "Whatwemeasured",
        "Whattodonext", "Cautions", "Howwefoundit", "Forthecustomer", "Appendix:",
    ]  # fmt: skip
    places = [said.index(title) for title in order]
    assert places == sorted(places)


def test_the_file_says_what_it_is(usual: bytes) -> None:
    facts = reading_back.metadata_of(usual)
    assert facts["Title"] == "Service report, visit K-0142"
    assert facts["Author"] == "Fernhollow Heating & Plumbing"
    assert facts["Subject"] == "Hot-water service, 12 Nov 2026"
    assert re.search(rb"/Lang \(en\)", usual)


def test_fonts_are_embedded_and_subset(usual: bytes) -> None:
    names = re.findall(rb"/BaseFont /([A-Za-z+-]+)", usual)
    assert {name.decode() for name in names} == {
        "AAAAAA+NotoSans-Regular", "AAAAAA+NotoSans-Bold", "AAAAAA+DejaVuSans",
    }  # fmt: skip
    assert all(embedded for _name, embedded in reading_back.fonts_of(usual))
    assert len(usual) < 150_000  # four whole fonts are 2.3 MB


def test_the_same_snapshot_gives_the_same_bytes(usual: bytes) -> None:
    assert sealed(full_report()) == usual


@pytest.mark.parametrize(
    ("picture", "told"),
    [
        (b"", "No signature was drawn."),
        (b"not a picture", "The signature's picture cannot be read."),
        (signature_picture()[:200], "The signature's picture cannot be read."),
    ],
    ids=["none", "no picture", "cut off"],
)
def test_a_signature_that_cannot_be_read_is_told_in_words(picture: bytes, told: str) -> None:
    report = replace(full_report(), signature=SignatureLine("A. W.", "", picture, at(20, 10)))
    assert bare(told) in text_of(sealed(report))


def test_nobody_there_to_sign_is_told_with_the_reason() -> None:
    signature = SignatureLine("", "gone to work", b"", at(20, 10))
    said = text_of(sealed(replace(full_report(), signature=signature)))
    assert bare("Not present: gone to work") in said


def test_what_would_settle_a_flow_too_close_to_tell_is_said() -> None:
    close = replace(
        flow("found", (121.0,), 0.496, 0.0144, "cannot_tell"),
        settle=(message("fill {volume} in one go", volume="5 gal"),),
        warnings=(message("Only one filling."),),
    )
    said = text_of(sealed(replace(full_report(), flows=(close,))))
    assert bare("◇ Too close to tell. What would settle it: fill 5 gal in one go") in said
    assert "Onlyonefilling." in said


def test_a_verdict_that_was_withdrawn_is_told_with_its_reason_and_no_probability() -> None:
    reason = "Cannot tell: the fills contradict each other; time 2 more of the same."
    withdrawn = replace(
        flow("found", (112.0, 124.0), 0.5085, 0.014, "cannot_tell"),
        probability_reached=None,
        verdict_text=message(reason),
        warnings=(message("The fills differ."),),
    )
    said = text_of(sealed(replace(full_report(), flows=(withdrawn,))))
    assert bare(f"◇ {reason}") in said
    assert said.count("Thefillsdiffer.") == 2, "on the page and in the appendix"
    assert "above0.999" not in said


def test_a_flow_without_a_filling_says_so() -> None:
    empty = replace(
        flow("found", (), 0.5, 0.1, ""),
        flow_m3_per_s=None,
        standard_uncertainty_m3_per_s=None,
        expanded_uncertainty_m3_per_s=None,
        coverage_factor=None,
        degrees_of_freedom=None,
        probability_reached=None,
    )
    said = text_of(sealed(replace(full_report(), flows=(empty,))))
    assert bare("No filling was kept: no flow to tell.") in said


hostile = st.one_of(
    st.text(max_size=60),
    st.sampled_from(["<b>" * 40, "&" * 300, "{}{0}{name}", "\u202e\0\n\n\t", "\n" * 400]),
)


@given(hostile, hostile, hostile)
@example("W" * 1_000, "<i>" * 300, "&" * 1_000)
@settings(max_examples=share_of_examples(0.1), deadline=None)
def test_no_text_whatever_breaks_a_page(one: str, two: str, three: str) -> None:
    report = full_report()
    assert report.customer
    assert report.cause
    odd = replace(
        report,
        number=one[:40],
        letterhead=replace(report.letterhead, name=one, address=(two,), licence=three),
        customer=replace(report.customer, name=two, address=(one, three)),
        cause=replace(report.cause, name=one, explanation=three),
        complaint_words=two,
        work_done=three,
        revision_reason=two,
        checks=tuple(replace(check, question=one, note=two) for check in report.checks[:2]),
        parts=tuple(replace(part, name=one, number=two, reason=three) for part in report.parts),
        flows=tuple(replace(line, outlet=one, formula=two) for line in report.flows),
        zone="no such zone",
    )
    assert sealed(odd).startswith(b"%PDF-")


def test_a_word_of_ten_thousand_letters_is_kept_whole_in_running_text_and_in_a_table() -> None:
    report = full_report()
    assert report.customer
    long = replace(
        report,
        customer=replace(report.customer, name="X" * 10_000),
        work_done="Q" * 10_000,
        checks=(replace(report.checks[0], question="Z" * 10_000),),
    )
    said = text_of(sealed(long))
    for letter in "XQZ":
        assert said.count(letter) >= 10_000


@pytest.mark.skipif(shutil.which("qpdf") is None, reason="qpdf is not here")
@pytest.mark.parametrize("make", [full_report, bare_report, extreme_report])
def test_another_program_finds_nothing_wrong_with_the_file(
    make: Callable[[], VisitReport], tmp_path: Path
) -> None:
    file = tmp_path / "report.pdf"
    file.write_bytes(sealed(make()))
    checked = subprocess.run(["qpdf", "--check", file], capture_output=True, text=True, check=False)
    assert checked.returncode == 0, checked.stdout + checked.stderr
