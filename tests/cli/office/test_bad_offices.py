"""Whatever is given as the office: one sentence and a status, never a mistake of the program's."""

from __future__ import annotations

import pytest

from tests.cli.conftest import Run

SERVER = "postgresql+psycopg://"


@pytest.mark.parametrize(
    ("rest", "status", "said"),
    [
        ("nonsense", 2, "names no database"),
        ("", 2, "names no database"),
        ("/", 2, "names no database"),
        ("desk@127.0.0.1/", 2, "names no database"),
        ("desk@127.0.0.1/a\0b", 2, "names no database"),
        ("desk@127.0.0.1:99999/office", 2, "no server's address"),
        ("desk@127.0.0.1:port/office", 2, "no server's address"),
        ("desk@127.0.0.1:-5/office", 2, "no server's address"),
        ("[::1/office", 2, "no server's address"),
        ("desk@127.0.0.1/\udc80", 2, "no server's address"),
        ("desk@127.0.0.1/office?foo=bar", 2, "does not know"),
        ("desk@127.0.0.1/office?sslmode=maybe", 1, "does not know"),
        ("desk@127.0.0.1:1/office", 1, "does not answer"),
        ("desk%00@127.0.0.1:1/office", 1, "does not answer"),
        ("%zz@127.0.0.1:1/%zz", 1, "does not answer"),
        ("desk:a:b@127.0.0.1:1/office?options=-c%20x", 1, "does not answer"),
        ("desk@/office?host=/no/such/folder", 1, "does not answer"),
        ("desk@no-such-host.invalid/office", 1, "is not found"),
        ("a@b@no-such-host.invalid/office", 1, "is not found"),
    ],
)
def test_a_bad_server_is_told_in_one_sentence(run: Run, rest: str, status: int, said: str) -> None:
    answered, out, err = run("export", "customers", "-", "--office", SERVER + rest)
    assert (answered, out) == (status, "")
    assert said in err
    assert err.count("\n") == 1


@pytest.mark.parametrize(
    "office",
    [
        "", " ", "://", "postgresql://desk@h/office", "mysql://h/x", "http://a/b", "file:///x",
        "sqlite:///x", "/no/such/folder/x", "/", ".", "..", "-", "/dev/null", "~/x", "{file}",
        "C:\\x\\y", "x\0y", "\udc80", "a" * 300, "/etc/passwd", "/etc/passwd/x",
    ],
)  # fmt: skip
def test_a_bad_file_is_told_in_one_sentence(run: Run, office: str) -> None:
    status, out, err = run("export", "customers", "-", "--office", office)
    assert status in {1, 2}
    assert out == ""
    assert err.count("\n") == 1
    assert "mistake" not in err
    assert not err.startswith("- ")


def test_a_file_that_the_system_refuses_is_named_and_not_standard_output(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(**_asked: object) -> int:
        raise PermissionError(13, "Permission denied", "/shop/papers")

    monkeypatch.setattr("desk.cli.drawoff.main", refuse)
    assert run() == (1, "", "This account may not use /shop/papers.\n")


def test_output_that_fails_is_called_by_its_name(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(**_asked: object) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("desk.cli.drawoff.main", refuse)
    assert run() == (1, "", "The disk is full; standard output was not written.\n")
