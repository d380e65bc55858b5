"""A letter with a document in it, as a file that a mail program opens to be looked over and sent.

Sources:
    Internet Message Format: RFC 5322; attachments: RFC 2045 and 2183, by Python's `email`. That
    programs open a message with ``X-Unsent: 1`` as one to be sent is common practice, no source.
"""

from __future__ import annotations

import hashlib
import unicodedata
from dataclasses import dataclass
from email.errors import MessageError
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP

_LONGEST_HEADER = 200


@dataclass(frozen=True, slots=True)
class Letter:
    """What a document is sent with.

    Attributes:
        to_name: whom it is for.
        to: their addresses; what is none is left out, and the person who sends it fills it in.
        from_name: the shop.
        from_address: the shop's address.
        subject: in a line.
        text: what stands in the letter.
        file_name: name of the document in it, with its ending.
    """

    to_name: str
    to: tuple[str, ...]
    from_name: str
    from_address: str
    subject: str
    text: str
    file_name: str


def mail_file(letter: Letter, pdf: bytes) -> bytes:
    """Return a message that is not sent yet, with a PDF attached.

    It carries no date and no number of its own, which the mail program gives it when it is sent:
    the same letter and document give the same bytes. Nothing in a name can begin another header.
    """
    mail = EmailMessage(policy=SMTP)
    mail["X-Unsent"] = "1"
    sender = _addresses(letter.from_name, (letter.from_address,))
    receivers = _addresses(letter.to_name, letter.to)
    if sender:
        mail["From"] = sender
    if receivers:
        mail["To"] = receivers
    mail["Subject"] = _line(letter.subject)
    mail.set_content(_encodable(letter.text))
    mail.add_attachment(
        pdf, maintype="application", subtype="pdf", filename=_line(letter.file_name)
    )
    # Python would make one up anew each time.
    mail.set_boundary("drawoff-" + hashlib.sha256(pdf).hexdigest()[:32])
    return mail.as_bytes()


def _addresses(name: str, addresses: tuple[str, ...]) -> list[Address]:
    found = []
    for text in addresses:
        try:
            address = Address(display_name=_line(name), addr_spec=text.strip())
            address.addr_spec.encode("ascii")
        except (MessageError, ValueError, IndexError):
            continue
        if address.username and address.domain:
            found.append(address)
    return found


def _line(text: str) -> str:
    """Return a text as a header can carry it: one line, nothing that steers."""
    kept = "".join(
        " " if unicodedata.category(one) in {"Cc", "Cs", "Zl", "Zp"} else one for one in text
    )
    return " ".join(kept.split())[:_LONGEST_HEADER]


def _encodable(text: str) -> str:
    return text.encode("utf-8", "replace").decode("utf-8").replace("\0", "")
