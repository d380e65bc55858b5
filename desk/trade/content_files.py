"""Reads the content's files and checks their shape; imported only when content is loaded.

A file of a checklist holds ``[check.<id>]`` tables; where a way leads may be written short,
``next = "check_id"``, and is made the table keyed by sensing kind here.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter, ValidationError

from desk.trade.content import DEFAULT, Cause, Caution, Check, Checklist, Content
from desk.wording import Message, message

_LIST_FILE = "list.toml"


type Files = dict[tuple[str, str], str]


def read(folder: Path) -> tuple[Content, Files, list[Message]]:
    """Read every file below a folder.

    Returns:
        What could be read; the file of each (checklist, check); and a finding for each item that
        could not be read, naming file and item.
    """
    findings: list[Message] = []
    files: Files = {}
    causes = _items(folder / "causes.toml", "cause", Cause, findings)
    cautions = _items(folder / "cautions.toml", "caution", Caution, findings)
    checklists: dict[str, Checklist] = {}
    for place in sorted((folder / "checklists").glob("*/")):
        checklist = _checklist(place, causes, cautions, files, findings)
        if checklist is not None:
            checklists[checklist.id] = checklist
    if not checklists:
        findings.append(message("checklists: no list can be read; write list.toml in a folder."))
    return Content(causes=causes, cautions=cautions, checklists=checklists), files, findings


def _checklist(
    place: Path,
    causes: Mapping[str, Cause],
    cautions: Mapping[str, Caution],
    files: Files,
    findings: list[Message],
) -> Checklist | None:
    checks: dict[str, Check] = {}
    for file in sorted(place.glob("*.toml")):
        if file.name == _LIST_FILE:
            continue
        for check_id, check in _items(file, "check", Check, findings).items():
            if check_id in checks:
                findings.append(
                    message(
                        "{file}: check {item} is in another file too; rename one of them.",
                        file=file.name,
                        item=check_id,
                    )
                )
            checks[check_id] = check
            files[place.name, check_id] = file.name
    used = {caution for check in checks.values() for caution in check.cautions}
    head = _table(place / _LIST_FILE, findings)
    whole = {
        **head,
        "id": place.name,
        "checks": checks,
        "causes": causes,
        "cautions": {key: caution for key, caution in cautions.items() if key in used},
    }
    return _shaped(Checklist, whole, place / _LIST_FILE, place.name, findings)


def _items[T](file: Path, kind: str, shape: type[T], findings: list[Message]) -> dict[str, T]:
    items: dict[str, T] = {}
    table = _table(file, findings)
    held = table.pop(kind, {})
    rows = held if isinstance(held, dict) else {kind: held}
    unread = [*table, *(key for key, raw in rows.items() if not isinstance(raw, dict))]
    findings.extend(
        message(
            "{file}: nobody reads {item}; write [{kind}.id] tables only.",
            file=file.name,
            item=key,
            kind=kind,
        )
        for key in unread
    )
    for item_id, raw in rows.items():
        if isinstance(raw, dict):
            item = _shaped(shape, _long_form({**raw, "id": item_id}), file, item_id, findings)
            if item is not None:
                items[item_id] = item
    return items


def _table(file: Path, findings: list[Message]) -> dict[str, Any]:
    try:
        return tomllib.loads(file.read_text("utf-8"))
    except (OSError, ValueError) as error:
        findings.append(
            message(
                "{file} cannot be read ({reason}); mend the file.", file=file.name, reason=error
            )
        )
        return {}


def _shaped[T](
    shape: type[T], raw: Mapping[str, Any], file: Path, item: str, findings: list[Message]
) -> T | None:
    try:
        return TypeAdapter(shape).validate_python(raw)
    except ValidationError as error:
        findings.extend(_refusals(error, file, item))
        return None


def _refusals(error: ValidationError, file: Path, item: str) -> Iterator[Message]:
    for refusal in error.errors(include_url=False):
        yield message(
            "{file}: {item}, {place}: {reason}; put this right.",
            file=file.name,
            item=item,
            place=".".join(str(part) for part in refusal["loc"]),
            reason=refusal["msg"],
        )


def _long_form(raw: dict[str, Any]) -> dict[str, Any]:
    """Write out where each way leads; whatever has another shape is left for the shape check."""
    ways = [raw.get("could_not"), *_list(raw.get("answers"))]
    for way in ways:
        if isinstance(way, dict) and isinstance(way.get("next"), str):
            way["next"] = {DEFAULT: way["next"]}
    return raw


def _list(value: object) -> list[Any]:
    return value if isinstance(value, list) else []
