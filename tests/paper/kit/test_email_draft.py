"""A letter that is not sent yet: what it carries, and what no name can do to it."""

from __future__ import annotations

import email
import email.policy
from email.message import EmailMessage

from hypothesis import given
from hypothesis import strategies as st

from desk.paper.kit.email_draft import Letter, mail_file

PDF = b"%PDF-1.4 invented"


def letter(
    *,
    to: tuple[str, ...] = ("ada@example.org",),
    name: str = "Ada Fenwick",
    subject: str = "Your report",
    text: str = "Good morning.",
) -> Letter:
    return Letter(
        name, to, "Fernhollow Heating", "desk@example.org", subject, text, "Report F-1.pdf"
    )


def read(file: bytes) -> EmailMessage:
    found = email.message_from_bytes(file, policy=email.policy.default)
    assert isinstance(found, EmailMessage)
    return found


def test_it_is_a_draft_with_the_document_in_it() -> None:
    mail = read(mail_file(letter(), PDF))

    assert mail["X-Unsent"] == "1"
    assert mail["From"] == "Fernhollow Heating <desk@example.org>"
    assert mail["Subject"] == "Your report"
    body = mail.get_body()
    assert body is not None
    assert body.get_content().strip() == "Good morning."
    (attached,) = mail.iter_attachments()
    assert attached.get_filename() == "Report F-1.pdf"
    assert attached.get_content_type() == "application/pdf"
    assert attached.get_content() == PDF


def test_the_same_letter_gives_the_same_bytes() -> None:
    assert mail_file(letter(), PDF) == mail_file(letter(), PDF)
    assert b"\nDate:" not in mail_file(letter(), PDF)


def test_every_address_is_written_to_and_what_is_none_is_left_out() -> None:
    mail = read(mail_file(letter(to=("ada@example.org", "", "no address", "b@c@d", "x@y.z")), PDF))

    assert [one.addr_spec for one in mail["To"].addresses] == ["ada@example.org", "x@y.z"]


def test_without_an_address_the_person_fills_it_in() -> None:
    assert read(mail_file(letter(to=()), PDF))["To"] is None


def test_names_in_any_script_come_back() -> None:
    mail = read(mail_file(letter(name="Νίκος Łukasz Nguyễn", subject="Звіт 5 °C"), PDF))

    assert mail["To"].addresses[0].display_name == "Νίκος Łukasz Nguyễn"
    assert mail["Subject"] == "Звіт 5 °C"


@given(st.text(), st.text(), st.text(), st.text())
def test_no_text_begins_another_header(name: str, address: str, subject: str, text: str) -> None:
    file = mail_file(letter(name=name, to=(address,), subject=subject, text=text), PDF)

    mail = read(file)
    assert {*mail.keys()} <= {
        "X-Unsent", "From", "To", "Subject", "MIME-Version", "Content-Type",
    }  # fmt: skip
    (attached,) = mail.iter_attachments()
    assert attached.get_content() == PDF


def test_a_name_that_steers_is_a_name() -> None:
    mail = read(mail_file(letter(name="Ada\r\nBcc: all@example.org", subject="A\nB"), PDF))

    assert mail["Bcc"] is None
    assert mail["Subject"] == "A B"
