"""A name of a class or of a type stands for one thing in the whole package."""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

import balancer

ROOT = Path(balancer.__file__).parent

_OF_TYPES = {"Annotated", "Callable", "Literal", "Union", "dict", "frozenset", "list", "set", "tuple"}


def public_types(source: str) -> Iterator[str]:
    """The public classes and type aliases at the top of a module. An alias is a capitalised name for a type."""
    tree = ast.parse(source)
    imports = [node for node in tree.body if isinstance(node, ast.ImportFrom)]
    known = {alias.asname or alias.name for node in imports for alias in node.names}
    known |= {node.name for node in tree.body if isinstance(node, ast.ClassDef)}
    for node in tree.body:
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            yield node.name
        elif isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
            name = node.targets[0].id
            is_type_name = name[0].isupper() and not name.isupper()
            if is_type_name and _is_type(node.value, known):
                yield name


def _is_type(node: ast.expr, known: set[str]) -> bool:
    """Whether an expression is a type: one subscripted, a union, or a known class under another name."""
    if isinstance(node, ast.Subscript):
        return isinstance(node.value, ast.Name) and (node.value.id in _OF_TYPES or node.value.id in known)
    if isinstance(node, ast.BinOp):
        return isinstance(node.op, ast.BitOr)
    return isinstance(node, ast.Name) and node.id in known


def test_no_name_stands_for_two_things() -> None:
    found = Counter(name for path in ROOT.rglob("*.py") for name in public_types(path.read_text(encoding="utf-8")))
    assert {name for name, times in found.items() if times > 1} == set()


@pytest.mark.parametrize(
    ("source", "names"),
    [
        ("class Amount: ...", ["Amount"]),
        ("class _Slot: ...", []),
        ("Unit = Literal['ml', 'g']", ["Unit"]),
        ("Failed = tuple[str, int]", ["Failed"]),
        ("from a import Drink\nEntry = Drink | None", ["Entry"]),
        ("from a import Drink\nSpec = Drink", ["Spec"]),
        ("ROWS = 8\nPi = 3.14\nname = Literal['a']", []),
    ],
)
def test_what_counts_as_a_type(source: str, names: list[str]) -> None:
    assert list(public_types(source)) == names
