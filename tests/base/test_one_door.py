"""No module but the door's own opens a file for writing."""

from __future__ import annotations

import ast
from collections.abc import Iterator

from desk.base import paths

DOOR = tuple(
    f"desk/base/{name}.py"
    for name in ("files", "office_files", "unfinished_files", "written_files")
)
ALLOWED = {
    ("desk/base/log.py", "FileHandler"): "the log of mistakes, which no person names",
    ("desk/base/log.py", "open"): "the same",
    ("desk/base/log.py", "replace"): "the same, begun anew",
    ("desk/cli/__init__.py", "os.open"): "the null device, where standard output is gone",
    ("desk/cli/kit/streams.py", "open"): "the null device, where there is no console",
    ("desk/records/office/migrate.py", "os.replace"): "the upgraded office takes its own place",
    ("desk/records/office/migrate.py", "rename"): "a safety copy takes its name, which nothing has",
    ("desk/records/office/migrate.py", "open"): "to bring a copy that SQLite wrote onto the disk",
    (
        "desk/records/journal/heads.py",
        "os.open",
    ): "the head beside an office, hidden, under its own name",
    ("desk/records/journal/heads.py", "replace"): "the same, in place of the one before",
    ("desk/records/office/sound_part.py", "copy2"): "a copy aside, under a name that nothing has",
    ("desk/records/check_up/file.py", "TemporaryDirectory"): "a copy to look at, gone afterwards",
    ("desk/records/check_up/file.py", "copyfile"): "the same",
    ("desk/windows/documents/printer.py", "QPrinter"): "its file passes `see_target`",
}
"""Who writes by another way, and why that harms nothing."""

NAMES = {
    "write_bytes", "write_text", "touch", "mkstemp", "mkdtemp", "NamedTemporaryFile",
    "TemporaryFile", "SpooledTemporaryFile", "TemporaryDirectory", "copy", "copy2", "copyfile",
    "copytree", "move", "symlink_to", "hardlink_to", "FileHandler", "RotatingFileHandler",
    "ZipFile", "QSaveFile", "QFile", "QTemporaryFile", "QPdfWriter", "QPrinter", "savefig",
}  # fmt: skip
"""Calls that make a file, whatever they are given."""
OF_SHUTIL = {"copy", "copy2", "copyfile", "copytree", "move"}
OF_OS = {"open", "replace", "rename", "renames", "link", "symlink", "mkfifo", "truncate", "fdopen"}
OF_PATHS = {"rename", "replace"}


def _called(node: ast.Call) -> tuple[str, str]:
    """Return what a call is asked of, where that is a plain name, and its own name."""
    match node.func:
        case ast.Attribute(value=ast.Name(id=of), attr=name):
            return of, name
        case ast.Attribute(attr=name):
            return ".", name
        case ast.Name(id=name):
            return "", name
    return "", ""


def _writes(node: ast.Call) -> str:
    """Return the name of a call that may write a file, "" where it does not."""
    of, name = _called(node)
    if of == "os":
        return f"os.{name}" if name in OF_OS else ""
    if name == "open":
        said = node.args if of else node.args[1:]  # the built-in one is told the file first
        modes = (*said, *(word.value for word in node.keywords))
        return name if any(_is_for_writing(one) for one in modes) else ""
    if name in OF_SHUTIL:
        return name if of in {"shutil", ""} else ""
    if name in OF_PATHS:
        return name if of and len(node.args) == 1 and not node.keywords else ""
    return name if name in NAMES else ""


def _is_for_writing(mode: ast.expr) -> bool:
    return (
        isinstance(mode, ast.Constant)
        and isinstance(mode.value, str)
        and len(mode.value) <= 3
        and bool(set("wax+") & set(mode.value))
        and set(mode.value) <= set("rwaxbt+")
    )


def _found(code: str) -> Iterator[str]:
    for node in ast.walk(ast.parse(code)):
        if isinstance(node, ast.Call) and _writes(node):
            yield _writes(node)


def test_no_other_module_opens_a_file_for_writing() -> None:
    top = paths.bundled()
    used = {
        (str(module.relative_to(top)), call)
        for package in ("desk", "sample_db")
        for module in sorted((top / package).rglob("*.py"))
        if not str(module.relative_to(top)).startswith(DOOR)
        for call in _found(module.read_text("utf-8"))
    }
    assert used == set(ALLOWED)


def test_what_would_write_is_found() -> None:
    code = """
open("a", "w"); path.open("ab"); path.open(mode="r+b"); path.write_text("a"); path.touch()
os.replace(a, b); made.rename(b); shutil.copyfile(a, b); QPdfWriter("a"); tempfile.mkstemp()
"""
    assert len(list(_found(code))) == 10
    reads = 'open("a"); path.open("rb"); text.replace("w", "a"); row.copy(); f("w")'
    assert not list(_found(reads))
