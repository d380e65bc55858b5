"""A command run in the test's own process: its status, and what it said and complained of."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from desk.cli import main

type Said = tuple[int, str, str]
type Run = Callable[..., Said]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    def command(*arguments: object) -> Said:
        status = main([str(argument) for argument in arguments])
        said = capsys.readouterr()
        return status, said.out, said.err

    return command
