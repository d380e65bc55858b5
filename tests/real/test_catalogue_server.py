"""What goes a way of its own on each engine, on the server: each in a process of its own."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from desk.records.office.office import Office
from desk.records.whole_office.dump import export_everything
from desk.records.whole_office.load import import_everything
from tests import server
from tests.conftest import StillClock
from tests.real.catalogue import COMMANDS, QUERIES, Alone, alone, keys_of, sample_office

__all__ = ["alone", "sample_office"]
BOTH = [name for name, example in (QUERIES | COMMANDS).items() if example.both]


@pytest.fixture(scope="session")
def sample_on_server(
    cluster: server.Cluster, sample_office: Path, tmp_path_factory: pytest.TempPathFactory
) -> str:
    """The name of a database that holds the sample office, taken over row by row."""
    lines = tmp_path_factory.mktemp("catalogue") / "office.jsonl"
    with Office.open(sample_office, now=StillClock()) as office:
        export_everything(office, lines)
    cluster.say("CREATE DATABASE catalogue TEMPLATE template0")
    import_everything(cluster.url("catalogue"), lines)
    return "catalogue"


@pytest.fixture
def place(cluster: server.Cluster, sample_on_server: str) -> Iterator[str]:
    with cluster.database(sample_on_server) as url:
        yield url


@pytest.mark.parametrize("name", BOTH)
def test_it_goes_on_the_server_too(
    name: str, place: str, sample_office: Path, alone: Alone
) -> None:
    alone(name, place, keys_of(sample_office))
