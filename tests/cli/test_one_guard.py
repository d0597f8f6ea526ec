"""Whatever a command writes by a name that a person gave goes through one guard."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import balancer.cli

CLI = Path(balancer.cli.__file__).parent
WRITERS = {"save", "save_new", "append"}
METHODS = {"write_text", "write_bytes", "rename", "touch", "open"}


def nodes() -> Iterator[tuple[str, ast.AST]]:
    for path in sorted(CLI.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            yield path.relative_to(CLI).as_posix(), node


def test_only_the_guard_writes() -> None:
    """`pages.py` asks what may be written over; a template is only copied where nothing is."""
    users = {
        path
        for path, node in nodes()
        if isinstance(node, ast.ImportFrom)
        and node.module == "balancer.files.save"
        and WRITERS & {alias.name for alias in node.names}
    }
    assert users == {"pages.py", "commands/cards.py"}


def test_nothing_is_written_by_hand() -> None:
    """The one file opened is the device that output goes to when nobody reads it any more."""
    found = [
        f"{path}: {ast.unparse(node)}"
        for path, node in nodes()
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in METHODS
    ]
    assert found == ["terminal.py: os.open(os.devnull, os.O_WRONLY)"]
