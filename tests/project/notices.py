"""Write the table of THIRD_PARTY_NOTICES.md anew: ``python -m tests.project.notices``."""

from __future__ import annotations

import importlib.metadata
import tomllib
from collections.abc import Iterator
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

TOP = Path(__file__).parents[2]
NOTICES = TOP / "THIRD_PARTY_NOTICES.md"
BEGIN, END = "<!-- table: begin -->", "<!-- table: end -->"

READ_BY_HAND = {"sqlcipher3": "Zlib (its LICENSE; the metadata names none)"}
"""What the package's own licence file says, where its metadata says nothing."""


def licence_of(package: str) -> str:
    """Return the licence that an installed package's metadata names.

    The SPDX expression comes first; a *License* field that holds a whole text gives way to the
    classifier.
    """
    told = importlib.metadata.metadata(package)
    classifiers = [
        line.rpartition(" :: ")[2]
        for line in told.get_all("Classifier") or []
        if line.startswith("License ::")
    ]
    text = told.get("License") or ""
    short = [text] if 0 < len(text) <= 60 else []
    named = [told.get("License-Expression") or "", *short, *classifiers]
    return next(filter(None, named), "") or READ_BY_HAND[package]


def needed() -> dict[str, set[str]]:
    """Return each package that running needs, with what asks for it (*Drawoff* or packages)."""
    project = tomllib.loads((TOP / "pyproject.toml").read_text())["project"]
    asked_by: dict[str, set[str]] = {}
    open_ones = [(Requirement(line), "Drawoff") for line in project["dependencies"]]
    while open_ones:
        wanted, by = open_ones.pop()
        name = canonicalize_name(wanted.name)
        if name not in asked_by:
            open_ones += [(found, name) for found in _needs(name, wanted.extras)]
        asked_by.setdefault(name, set()).add(by)
    return asked_by


def _needs(package: str, extras: set[str]) -> Iterator[Requirement]:
    for line in importlib.metadata.requires(package) or []:
        found = Requirement(line)
        if found.marker is None or any(
            found.marker.evaluate({"extra": extra}) for extra in extras or {""}
        ):
            yield found


def table() -> str:
    """Return the table in Markdown: what Drawoff names itself first, then what that brings."""
    asked_by = needed()
    rows = ["| package | licence | asked for by |", "| --- | --- | --- |"]
    for name in sorted(asked_by, key=lambda each: ("Drawoff" not in asked_by[each], each)):
        by = "Drawoff" if "Drawoff" in asked_by[name] else ", ".join(sorted(asked_by[name]))
        rows.append(f"| {name} | {licence_of(name)} | {by} |")
    return "\n".join(rows)


def main() -> None:
    """Write the table anew between its marks."""
    before, rest = NOTICES.read_text().split(BEGIN)
    NOTICES.write_text(f"{before}{BEGIN}\n{table()}\n{END}{rest.split(END)[1]}")


if __name__ == "__main__":
    main()
