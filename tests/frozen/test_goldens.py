"""What the program puts out, from one invented office, stays as it is to the byte.

Each golden in ``goldens/`` holds some commands, what they said, and every file that they wrote as
:mod:`tests.frozen.told` tells it. The office is the shared sample, which ends on a fixed day, and
every command is given its days; the clock stands still on that day, since what is taken in may not
be still to come. Floats of 10 places and more are held to 12 digits; nothing else is masked.

Where an output is *meant* to change, ``DRAWOFF_REWRITE_GOLDENS=1`` writes the goldens anew (with
``-m ""`` also those of the long proofs), and the commit shows what came of it.
"""

from __future__ import annotations

import shlex
import shutil
from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path

import click
import pytest
import sqlalchemy as sa

from desk.cli import drawoff, main
from desk.records.actions.entering import AddPerson
from desk.records.actions.shop import MendShop
from desk.records.fields.person_fields import PersonDetails
from desk.records.office.office import Office
from desk.records.tables import Visit
from tests.conftest import StillClock
from tests.frozen.told import hold, steady, text_lines, told
from tests.records.sealed_visits import seal_a_full_visit
from tests.samples import own_office

GOLDENS = Path(__file__).parent / "goldens"
NOW = datetime(2026, 11, 24, 18, 0, tzinfo=UTC)

MENDED, NOT_SEALED, UNDER_WAY, BOOKED = "A-00584", "A-00583", "A-00585", "A-00596"
DANGER, SERVICE, TO_CONTINUE, NOT_FOUND = "A-00569", "A-00554", "A-00577", "A-00528"
"""Visits of the sample, each named by how it stands or ended."""
STANDS = {
    MENDED: ("sealed", "mended", "comes_and_goes"),
    NOT_SEALED: ("finished", "mended", "comes_and_goes"),
    UNDER_WAY: ("under_way", "", "too_little_flow"),
    BOOKED: ("booked", "", "too_little_flow"),
    DANGER: ("sealed", "left", "noticed_no_heat"),
    SERVICE: ("sealed", "mended", ""),
    TO_CONTINUE: ("sealed", "to_continue", "too_cool"),
    NOT_FOUND: ("sealed", "no_fault_found", "too_cool"),
}
"""State, ending and complaint of each. Where the sample becomes another, choose anew."""

PERIOD = "--since 2026-01-01 --until 2026-10-31"

PAPERS = {
    "report-sealed": (
        f"report {MENDED} --pdf letter.pdf",
        f"report {MENDED} --paper a4 --pdf a4.pdf",
    ),
    "report-not-sealed": (f"report {NOT_SEALED} --pdf report.pdf",),
    "report-under-way": (f"report {UNDER_WAY} --pdf report.pdf",),
    "report-booked": (f"report {BOOKED} --pdf report.pdf",),
    "report-danger": (f"report {DANGER} --pdf report.pdf",),
    "report-yearly-service": (f"report {SERVICE} --pdf report.pdf",),
    "report-too-cool-to-continue": (f"report {TO_CONTINUE} --pdf report.pdf",),
    "report-no-fault-found": (f"report {NOT_FOUND} --pdf report.pdf",),
    "report-mail": (f"report {DANGER} --eml report.eml",),
    "reports-of-a-day": ("reports --day 2026-11-09 --out .",),
    "office-copy": (f"report {MENDED} --office-copy --pdf copy.pdf",),
    "office-copy-under-way": (f"report {UNDER_WAY} --office-copy --pdf copy.pdf",),
    "day-sheet": (
        "day 2026-11-24 --pdf all.pdf",
        "day 2026-11-25 --technician 'Maren Tolliver' --paper a4 --pdf one.pdf",
    ),
    "history": ("history A-H0018 --pdf history.pdf", "history A-H0005 --json"),
    "labels": (
        "labels A-H0018 A-H0005 A-H0001 --used 3 --pdf letter.pdf",
        "labels A-H0018 --sheet a4-21 --pdf a4.pdf",
    ),
    "cards": ("cards too-cool --check allowed --check danger --pdf cards.pdf",),
    "parts-used": (
        f"parts-used {PERIOD} --pdf parts.pdf --csv parts.csv",
        f"parts-used {PERIOD} --json",
    ),
}
KINDS = ("customers", "appliances", "parts", "visits")
NEW = "--office new/office.drawoff"
"""An office with nobody but its technicians, into which the exports of the sample are taken in."""

TECHNICIANS = ("Maren Tolliver", "Casimir Oyelaran", "Thuy Lindqvist", "Bram Castellane")

EXPORTS = {
    "export-and-import": (
        "export appliances appliances.csv",
        "export customers customers.csv",
        "export parts parts.csv",
        "export visits visits.csv",
        "export day all.ics --date 2026-11-24",
        "export day one.ics --date 2026-11-24 --technician 'Maren Tolliver'",
        "export parts -",
        "import appliances appliances.csv --dry-run",
        "import customers customers.csv --dry-run",
        "import parts parts.csv --dry-run",
        "import visits visits.csv --dry-run",
        *(f"import {kind} {kind}.csv {NEW}" for kind in KINDS),
        *(f"export {kind} {kind}-again.csv {NEW}" for kind in KINDS),
        f"repeats --as-of 2026-11-24 --json {NEW}",
    ),
    "export-everything": ("export everything everything.jsonl",),
    "check-up": ("check-up --json",),
    "rank-by-office": (
        "rank --answers answers.json",
        "rank --answers answers.json --json --sensing-kind reed_float",
    ),
}
GROUPS = (
    "appliance", "cause", "complaint", "hardness_class", "install_year", "kind", "maker", "model",
    "month", "part", "sensing_kind", "supply_area", "technician",
)  # fmt: skip
REPEATS = {
    f"repeats-{view}": (
        f"repeats --view {view} --pdf {view}.pdf --csv {view}.csv",
        f"repeats --view {view} --json",
        f"repeats --view {view} --within 30 --complaint any --since 2025-01-01 --until 2026-06-30",
    )
    for view in ("rate", "cumulative", "trend", "life", "look")
} | {
    "repeats-groups": (
        *(f"repeats --by {group}" for group in GROUPS),
        *(f"repeats --by {group} --json" for group in ("technician", "month", "supply_area")),
        "repeats --view cumulative --by maker",
        "repeats --view trend --by kind",
        "repeats --view life --by part --json",
        "repeats --as-of 2026-01-01",
        "repeats --by cause --only maker=Quorrin --json",
    ),
}
CHARGED = {
    "report-charged": (
        "report A-00001 --pdf report.pdf",
        "report A-00001 --office-copy --paper a4 --pdf copy.pdf",
        "parts-used --since 2026-11-24 --until 2026-11-24 --json",
        "history A-H0001 --pdf history.pdf",
        "export visits -",
        "repeats --as-of 2026-11-24 --json",
    ),
}
"""Of an office with one visit that has photographs, charges, and reasons for what is unproven."""

METRIC = {
    "metric-shop": (
        f"report {NOT_SEALED} --pdf report.pdf",
        f"report {UNDER_WAY} --office-copy --pdf copy.pdf",
        "day 2026-11-24 --pdf day.pdf",
        "history A-H0018 --pdf history.pdf",
        "labels A-H0018 --pdf labels.pdf",
        "cards hot-water --check allowed --pdf cards.pdf",
        "parts-used --since 2026-10-01 --until 2026-10-31 --csv parts.csv --pdf parts.pdf",
        "export day day.ics --date 2026-11-24",
        "export appliances appliances.csv",
        "export visits visits.csv",
        "repeats --by hardness_class --as-of 2026-11-24 --pdf repeats.pdf",
        "flow --container '10 L' --graduation '0.5 L' --fill '40 s' --fill '41 s'",
    ),
}
"""Of a shop that reckons in SI units and euros, prints on A4, and lies in another zone."""

METRIC_SHOP = {
    "system": "si",
    "paper": "a4",
    "zone": "Europe/Warsaw",
    "currency": "EUR",
    "usual_activation": "2.1 L/min",
    "ceiling": "45 C",
}

LONG = {
    "reports-of-a-month": ("reports --month 2026-11 --pdf month.pdf",),
    "cards-whole": tuple(
        f"cards {name} --pdf {name}.pdf" for name in ("hot-water", "too-cool", "yearly-service")
    ),
    "import-everything": (
        "export everything everything.jsonl",
        "import everything everything.jsonl --dry-run",
    ),
    "check-up-said": ("check-up",),
}
MEASURED = {
    "contact": (
        "--open-reads open_circuit --actuated-resistance '0.4 ohm'",
        "--open-resistance '0.9 ohm' --actuated-resistance '0.5 ohm'",
        "--open-reads open_circuit --actuated-reads open_circuit",
    ),
    "gas": (
        "--dial '2 ft3' --seconds 41.5 --heat '120000 BTU/h'",
        "--dial '2 ft3' --seconds 41.5 --rated-input '150000 BTU/h' --altitude '5249.3 ft'"
        " --gas-pressure-at-meter '7 inH2O' --gas-temperature '60 F'",
        "--dial '10 L' --turns 2 --seconds 1:12 --heating-value '38.4 MJ/m3' --basis net"
        " --atmospheric-pressure '95 kPa' --rated-input '24 kW' --unit kW",
    ),
    "heat": (
        "--flow '2 gpm' --inlet '52 F' --outlet '119 F'",
        "--flow '7.5 L/min' --inlet '10 C' --outlet '48 C' --rated-output '24 kW'"
        " --smallest-input '9 kW' --wanted-rise '35 C'",
    ),
    "pipe": (
        "--material copper-L --size 1/2 --length '40 ft' --flow '1.5 gpm'",
        "--material copper-EN1057 --size 22x1 --length '18 m' --flow '12 L/min'",
    ),
    "pressure": (
        "--static '60 psi' --running '40 psi' --flow '3 gpm'",
        "--static '4.1 bar' --running '1.2 bar' --flow '9 L/min' --residual '1 bar'"
        " --earlier-kv '1.2 m3/h' --unit bar",
    ),
    "pulses": (
        "--frequency '45 Hz' --flow '1.5 gpm' --maker 450 --maker-per litre",
        "--frequency '12 Hz' --flow '1.5 gpm' --maker 1700 --maker-per gallon",
    ),
    "sensor": (
        "--resistance '10.2 kohm' --temperature '25 C'"
        " --table '20 C 12.5 kohm; 25 C 10 kohm; 30 C 8.1 kohm'",
        "--reads open_circuit --temperature '25 C'"
        " --table '20 C 12.5 kohm; 25 C 10 kohm; 30 C 8.1 kohm'",
    ),
    "water": (
        "--hardness '12 gpg'",
        "--calcium '180 mg/L' --hardness '240 mg/L' --alkalinity '180 mg/L' --ph 7.6"
        " --tds '350 mg/L' --temperature '140 F'",
        "--calcium-ion '72 mg/L' --magnesium-ion '14 mg/L'",
    ),
    "flow": (
        "--container '5 gal' --graduation '0.5 gal' --timing '0.3 s' --fill 38.2s --fill 38.9s"
        " --activation '0.5 gpm'",
        "--container '1 gal' --graduation '0.1 gal' --fill 1:58 --fill 1:58 --activation '0.5 gpm'"
        " --full-hot --no-mixing-valve --crossing-passed --others-shut --unit gpm",
        "--mass '4.1 kg' --mass '4.0 kg' --fill '60 s' --fill '61 s' --water-temperature '45 C'"
        " --activation '2 L/min' --activation-accuracy '0.2 L/min'",
    ),
}
"""What is typed for each computed measurement; it is asked in words and in JSON."""

ANSWERS = {
    "rank": (
        "rank --answers answers.json",
        "rank --answers answers.json --json",
        "rank --answers none.json --json --sensing-kind turbine_hall",
        "rank --answers none.json --json --checklist too-cool",
        "rank --answers none.json --checklist yearly-service",
    ),
    "help": ("--help", *(f"{name} --help" for name in MEASURED), *(
        f"{name} --help" for name in
        ("cards", "check-up", "day", "export", "history", "import", "labels", "parts-used", "rank",
         "repeats", "report", "reports", "sample", "try")
    )),
} | {
    kind: tuple(f"{kind} {typed}{form}" for typed in typed_ones for form in ("", " --json"))
    for kind, typed_ones in MEASURED.items()
}  # fmt: skip


type Hold = Callable[..., None]


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return own_office(tmp_path_factory)


@pytest.fixture(scope="module")
def charged(empty_office: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("charged") / "office.drawoff"
    shutil.copyfile(empty_office, path)
    seal_a_full_visit(path, StillClock())
    return path


@pytest.fixture(scope="module")
def metric(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = own_office(tmp_path_factory)
    with Office.open(path, now=StillClock(NOW)) as office:
        office.carry_out(MendShop(METRIC_SHOP))
    return path


@pytest.fixture(scope="module")
def staffed_office(empty_office: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("staffed") / "office.drawoff"
    shutil.copyfile(empty_office, path)
    with Office.open(path, now=StillClock()) as office:
        for name in TECHNICIANS:
            office.carry_out(AddPerson(PersonDetails(name, is_technician=True)))
    return path


@pytest.fixture
def hold_commands(
    tmp_path: Path,
    staffed_office: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> Hold:
    """Return what runs commands in a folder of their own and holds what came of them."""
    place = tmp_path / "outputs"
    (place / "new").mkdir(parents=True)
    shutil.copyfile(staffed_office, place / "new" / "office.drawoff")
    (place / "answers.json").write_text('{"danger": "none", "flooding": "dry", "allowed": "yes"}')
    (place / "none.json").write_text("{}")
    monkeypatch.chdir(place)
    monkeypatch.setenv("COLUMNS", "100")
    opens = Office.open
    monkeypatch.setattr(Office, "open", lambda place: opens(place, now=StillClock(NOW)))

    def run(command: str) -> Iterator[str]:
        before = set(place.iterdir())
        status = main(shlex.split(command))
        said = capsys.readouterr()
        yield f"$ drawoff {command}"
        yield from text_lines(steady(said.out))
        if status or said.err:
            yield f"status {status}"
            yield from said.err.splitlines()
        for path in sorted(set(place.iterdir()) - before):
            yield from told(path)
        yield ""

    def hold_them(name: str, commands: Sequence[str], office: Path | None = None) -> None:
        if office is not None:
            (place / "office.drawoff").symlink_to(office)
            commands = [
                command if NEW in command else f"{command} --office office.drawoff"
                for command in commands
            ]
        lines = [line for command in commands for line in run(command)]
        hold(GOLDENS / f"{name}.txt", lines)

    return hold_them


@pytest.mark.parametrize("name", [*PAPERS, *EXPORTS, *REPEATS])
def test_what_the_office_puts_out_is_frozen(name: str, sample: Path, hold_commands: Hold) -> None:
    hold_commands(name, (PAPERS | EXPORTS | REPEATS)[name], sample)


def test_every_visit_that_is_named_stands_as_its_name_says(sample: Path) -> None:
    with Office.open(sample, now=StillClock(NOW)) as office, office.read() as session:
        found = session.scalars(sa.select(Visit).where(Visit.number.in_(STANDS)))
        stands = {visit.number: (visit.state, visit.ending, visit.complaint) for visit in found}
    assert stands == STANDS


@pytest.mark.parametrize("name", CHARGED)
def test_charges_and_photographs_are_frozen(name: str, charged: Path, hold_commands: Hold) -> None:
    hold_commands(name, CHARGED[name], charged)


@pytest.mark.parametrize("name", METRIC)
def test_si_units_a4_and_another_zone_are_frozen(
    name: str, metric: Path, hold_commands: Hold
) -> None:
    hold_commands(name, METRIC[name], metric)


@pytest.mark.fault
@pytest.mark.parametrize("name", LONG)
def test_what_takes_longer_is_frozen(name: str, sample: Path, hold_commands: Hold) -> None:
    hold_commands(name, LONG[name], sample)


@pytest.mark.parametrize("name", ANSWERS)
def test_what_is_answered_without_an_office_is_frozen(name: str, hold_commands: Hold) -> None:
    _forget_help()
    hold_commands(name, ANSWERS[name])


def _forget_help() -> None:
    """Have click make the help options anew: it keeps those of a command that ran by itself."""
    context = click.Context(drawoff)
    for name in drawoff.list_commands(context):
        command = drawoff.get_command(context, name)
        inner = command.commands.values() if isinstance(command, click.Group) else ()
        for one in (command, *inner):
            assert one is not None
            one._help_option = None


def test_every_golden_has_its_commands() -> None:
    named = {
        f"{name}.txt" for name in (PAPERS | EXPORTS | REPEATS | CHARGED | METRIC | LONG | ANSWERS)
    }
    assert {path.name for path in GOLDENS.iterdir()} == named
