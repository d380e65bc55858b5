"""Names of files that come from what somebody typed."""

from __future__ import annotations

from unicodedata import normalize

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from desk.base.files import safe_name, write_file


@pytest.mark.parametrize(
    ("name", "safe"),
    [
        ("Service report A-00005.pdf", "Service report A-00005.pdf"),
        ("Service report 2024/118.pdf", "Service report 2024%2F118.pdf"),
        ("Service report ..\\..\\x.pdf", "Service report ..%5C..%5Cx.pdf"),
        ("Service report 7\r\n.pdf", "Service report 7%0D%0A.pdf"),
        ("Service report 7\u202efdp.pdf", "Service report 7%202Efdp.pdf"),
        ("Απόδειξη ά.pdf", "Απόδειξη ά.pdf"),
    ],
)
def test_a_name_that_every_system_takes(name: str, safe: str) -> None:
    assert safe_name(name) == safe


@given(st.text(max_size=300))
def test_whatever_the_number_the_file_stays_in_its_folder(
    tmp_path_factory: pytest.TempPathFactory, number: str
) -> None:
    folder = tmp_path_factory.getbasetemp() / "names"
    folder.mkdir(exist_ok=True)
    path = folder / safe_name(f"Service report {number}.pdf")
    write_file(path, b"%PDF")
    assert path.resolve().parent == folder.resolve()
    assert path.suffix == ".pdf"
    assert [one.name for one in folder.iterdir()] == [path.name]
    path.unlink()


@given(st.text(max_size=200), st.text(max_size=200))
def test_two_names_never_become_one(one: str, other: str) -> None:
    first, second = (normalize("NFC", f"Report {number}.pdf") for number in (one, other))
    assume(first != second)
    assert safe_name(first) != safe_name(second)
