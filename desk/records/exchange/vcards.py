"""Customers as vCards: 3.0 (RFC 2426), 4.0 (RFC 6350), and 2.1 as it is still written.

A card becomes a row under our own headings, so that all that follows is the same as for CSV.
"""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import unquote

from desk.base.texts import Message, message
from desk.records.exchange.customer_fields import HEADINGS, SEVERAL
from desk.records.exchange.premises_of_rows import ADDRESS
from desk.records.exchange_kit.csv_read import Refusal, Sheet, SheetRow

_SINGLE = ("name", *ADDRESS, "note")
"""What a card can say of a customer once."""
_BEGIN, _END = "BEGIN:VCARD", "END:VCARD"
_TOLD_EVERY = 200
_QUOTED = re.compile("quoted-printable(?=[;:])", re.IGNORECASE)
_ESCAPED = re.compile(r"\\([nN,;:\\])")
_SIGNS = {"n": "\n", "N": "\n"}
_PARTED = re.compile(r"(?:^|(?<=;))(?:\\.|[^;\\]|\\$)*", re.DOTALL)
_LISTED = re.compile(r"(?:^|(?<=,))(?:\\.|[^,\\]|\\$)*", re.DOTALL)
"""What stands between semicolons, or commas, that are not escaped."""
_LEAST_WANTED = 101
"""Below every PREF, which runs from 1, the most wanted, to 100 (RFC 6350, 5.3)."""


@dataclass(frozen=True, slots=True)
class _Card:
    line: int
    lines: tuple[str, ...]
    is_whole: bool


def are_vcards(text: str) -> bool:
    """Return whether a text begins as vCards do."""
    return text.lstrip("\ufeff \t\r\n")[: len(_BEGIN)].upper() == _BEGIN


def sheet_of_vcards(text: str, watch: Callable[[int, int], None]) -> Sheet:
    """Take a text of vCards apart, a row for each card.

    A card that cannot be read is refused with the line on which it begins. What has no field of
    its own (a firm beside a name, more addresses) goes into the note.
    """
    cards = tuple(_cards(text))
    rows: list[tuple[int, dict[str, list[str]]]] = []
    refused: list[Refusal] = []
    for count, card in enumerate(cards):
        if count % _TOLD_EVERY == 0:
            watch(count, len(cards))
        found = _values_of(card)
        if isinstance(found, Message):
            refused.append(Refusal(card.line, found))
        else:
            rows.append((card.line, found))
    most = {field: max((len(row[field]) for _line, row in rows), default=1) for field in SEVERAL}
    columns = [*_SINGLE, *(field for field in SEVERAL for _each in range(max(most[field], 1)))]
    return Sheet(
        tuple(HEADINGS[field] for field in columns),
        tuple(SheetRow(line, tuple(_cells(row, columns))) for line, row in rows),
        tuple(refused),
    )


def _cells(row: dict[str, list[str]], columns: Sequence[str]) -> Iterator[str]:
    left = {field: iter(texts) for field, texts in row.items()}
    return (next(left[field], "") for field in columns)


def _cards(text: str) -> Iterator[_Card]:
    """Give the cards, each with the line on which it begins; a card within one belongs to it."""
    begun, depth, lines = 0, 0, list[str]()
    for number, line in enumerate(re.split("\r\n|\r|\n", text.lstrip("\ufeff")), 1):
        said = line.strip().upper()
        if said == _BEGIN:
            begun = begun or number
            depth += 1
        if begun:
            lines.append(line)
        if said == _END and begun:
            depth -= 1
            if depth == 0:
                yield _Card(begun, tuple(lines), is_whole=True)
                begun, lines = 0, []
    if begun:
        yield _Card(begun, tuple(lines), is_whole=False)


def _values_of(card: _Card) -> dict[str, list[str]] | Message:
    """Return what stands in each field of a card, or why it cannot be read."""
    if not card.is_whole:
        return message("the card that begins here has no end")
    try:
        return _fields_of(_contents("\r\n".join(card.lines)))
    except (ValueError, LookupError):
        return message("the card that begins here cannot be read")


def _contents(card: str) -> dict[str, list[Any]]:
    """Return the lines of a card, unfolded, by the name of their property.

    The values stay as they stand, but for quoted-printable: whoever reads all of them as vCard 3.0
    takes an unescaped comma for the end of a text.

    Raises:
        ValueError, LookupError: a line is no property, or its characters cannot be read.
    """
    from vobject import base

    contents: dict[str, list[Any]] = {}
    depth = 0
    text = io.StringIO(_QUOTED.sub("QUOTED-PRINTABLE", card))
    try:
        for line, number in base.getLogicalLines(text, allowQP=True):
            read = base.textLineToContentLine(line, number)
            depth += (read.name == "BEGIN") - (read.name == "END")
            if depth == 1:  # a card within a card is somebody else
                contents.setdefault(read.name.lower(), []).append(read)
    except base.ParseError as error:
        raise ValueError("no property") from error
    return contents


def _fields_of(contents: dict[str, list[Any]]) -> dict[str, list[str]]:
    address, *others = [*_in_order(contents, "adr", _address_of)] or [[""] * 5]
    firms = [
        ", ".join(part for part in _parts_of(line) if part) for line in contents.get("org", ())
    ]
    if not any(address):
        address[0] = next(_in_order(contents, "label", _text_of), "")
    names = [*_in_order(contents, "fn", _text_of), *_in_order(contents, "n", _name_of), *firms]
    name = next((name for name in names if name), "")
    notes = [
        *_in_order(contents, "note", lambda line: _plain(line.value).strip()),
        *(firm for firm in firms if firm != name),
        *(", ".join(part for part in other if part) for other in others),
    ]
    return {
        "name": [name],
        **{part: [text] for part, text in zip(ADDRESS, address, strict=False)},
        "note": ["\n".join(note for note in notes if note)],
        "phone": _each_once(_in_order(contents, "tel", _number_of)),
        "email": _each_once(_in_order(contents, "email", _text_of)),
    }


def _in_order[T](
    contents: dict[str, list[Any]], name: str, read: Callable[[Any], T]
) -> Iterator[T]:
    """Give what the lines of a name hold, the most wanted first."""
    return (read(line) for line in sorted(contents.get(name, ()), key=_rank))


def _rank(line: Any) -> int:  # noqa: ANN401 - the library has no types
    said = {word.upper() for word in line.singletonparams}
    for words in line.params.get("TYPE", ()):
        said |= set(words.upper().split(","))
    wanted = next(iter(line.params.get("PREF", ())), "")
    if wanted.isdecimal():
        return int(wanted)
    return 1 if "PREF" in said else _LEAST_WANTED


def _text_of(line: Any) -> str:  # noqa: ANN401
    return _flat(_plain(line.value))


def _flat(text: str) -> str:
    """Return a text of several lines in one."""
    lines = (" ".join(line.split()) for line in text.splitlines())
    return ", ".join(line for line in lines if line)


def _plain(value: str) -> str:
    """Return a text without the strokes that keep signs from being read as punctuation."""
    return _ESCAPED.sub(lambda found: _SIGNS.get(found[1], found[1]), value).replace("\r\n", "\n")


def _parts_of(line: Any) -> list[str]:  # noqa: ANN401
    """Return the parts of a value between semicolons; where a part is a list, in one line."""
    parts = (_LISTED.findall(part) for part in _PARTED.findall(line.value))
    return [", ".join(filter(None, (_flat(_plain(text)) for text in each))) for each in parts]


def _name_of(line: Any) -> str:  # noqa: ANN401
    family, given, additional, before, after = (*_parts_of(line), *[""] * 5)[:5]
    return " ".join(part for part in (before, given, additional, family, after) if part)


def _number_of(line: Any) -> str:  # noqa: ANN401
    """Return a telephone number as it is typed, also where it is written as a URI (RFC 3966)."""
    text = _text_of(line)
    if text[:4].lower() != "tel:":
        return text
    number, *parts = unquote(text[4:]).split(";")
    extension = next((part[4:] for part in parts if part.lower().startswith("ext=")), "")
    return f"{number} ext. {extension}" if extension else number


def _address_of(line: Any) -> list[str]:  # noqa: ANN401
    """Return street with what belongs to it, locality, region, postcode and country."""
    box, extended, street, *rest = (*_parts_of(line), *[""] * 7)[:7]
    return [", ".join(part for part in (street, extended, box) if part), *rest]


def vcard_of(values: Mapping[str, tuple[str, ...]]) -> bytes:
    """Return a customer as a vCard 3.0.

    Args:
        values: what each field of a customer holds, () where it is empty.
    """
    import vobject

    single = {field: "".join(values[field]) for field in _SINGLE}
    card = vobject.vCard()
    card.add("fn").value = single["name"]
    card.add("n").value = vobject.vcard.Name(family=single["name"])  # it is asked for
    for number in values["phone"]:
        card.add("tel").value = number
    for address in values["email"]:
        card.add("email").value = address
    where = [single[part] for part in ADDRESS]
    if any(where):
        card.add("adr").value = vobject.vcard.Address(*where)
    if single["note"]:
        card.add("note").value = single["note"]
    return str(card.serialize()).encode()


def _each_once(texts: Iterable[str]) -> list[str]:
    return [text for text in dict.fromkeys(texts) if text]
