"""Ways of writing that mean the same."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from desk.records.search.matching_keys import is_same_number, serial_key, street_key


@pytest.mark.parametrize(
    "written",
    ["12 Weir Street", "12 weir st.", "12  WEIR  ST", "12 Weir Str", "12 Wéir Street,"],
)
def test_one_street_has_one_key(written: str) -> None:
    assert street_key(written) == street_key("12 Weir St")


@pytest.mark.parametrize("written", ["#4", ", Apt. 4", " Unit 4", ", Suite 4", " no. 4"])
def test_what_a_unit_is_called_says_nothing(written: str) -> None:
    assert street_key(f"12 Weir Street{written}") == street_key("12 Weir St 4")


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("12 Weir Street", "13 Weir Street"),
        ("12 Weir Street", "12 Weir Avenue"),
        ("12 Weir Street", "12 Weir Street Apt 4"),
        ("12 North Street", "12 South Street"),
    ],
)
def test_other_houses_have_other_keys(one: str, other: str) -> None:
    assert street_key(one) != street_key(other)


def test_a_saint_and_a_street_are_written_alike() -> None:
    assert street_key("9 Saint Orin's Street") == street_key("9 St. Orins St")


@pytest.mark.parametrize("written", ["k24-0311", "K24 0311", "K240311", "K24/0311."])
def test_a_serial_is_its_letters_and_digits(written: str) -> None:
    assert serial_key(written) == serial_key("K24-0311")


@given(st.text())
def test_a_key_is_its_own_key(text: str) -> None:
    assert serial_key(serial_key(text)) == serial_key(text)


@pytest.mark.parametrize(
    "written",
    ["(212) 555-0142", "212.555.0142", "1 212 555 0142", "+1-212-555-0142", "555 0142"],
)
def test_a_number_is_the_same_in_any_way_of_writing(written: str) -> None:
    assert is_same_number(written, "+12125550142")


@pytest.mark.parametrize("written", ["212 555 0143", "2125550", "", "call the office"])
def test_other_numbers_are_not(written: str) -> None:
    assert not is_same_number(written, "+12125550142")
