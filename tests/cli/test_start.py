"""Start-up counts: nothing heavy is imported before it is needed."""

from __future__ import annotations

import subprocess
import sys

import pytest

HEAVY = (
    "alembic", "numpy", "phonenumbers", "pint", "psycopg", "pydantic", "reportlab", "scipy",
    "sqlalchemy", "PySide6", "sqlcipher3",
)  # fmt: skip


def _imported_by(code: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport sys; print(*sys.modules)"],
        capture_output=True,
        check=True,
        text=True,
    )
    return {name.partition(".")[0] for name in done.stdout.split()}


@pytest.mark.parametrize(
    ("code", "allowed"),
    [
        ("import desk.cli", set()),
        (
            "import desk.trade.diagnosis.posterior, desk.trade.flow.timed_flow",
            set(),
        ),
        ("import desk.trade.quantities.typed_quantity, desk.trade.recurrence", set()),
        ("import desk.records.views.report", set()),
        ("import desk.records.office.office, desk.records.visits.lifecycle", {"sqlalchemy"}),
        (
            "import desk.records.visits.checks, desk.records.documents.report_snapshot",
            {"sqlalchemy"},
        ),
    ],
)
def test_a_module_brings_no_heavy_one_with_it(code: str, allowed: set[str]) -> None:
    assert _imported_by(code) & set(HEAVY) <= allowed
