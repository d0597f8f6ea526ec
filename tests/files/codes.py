"""Every problem code that reading a folder can give, collected from the source that reads it."""

from __future__ import annotations

import ast
import functools
import importlib.util
from pathlib import Path

CARRIERS = {"report", "_cut", "_refuse_token", "fail", "Complaint", "_Row", "Problem", "CannotError", "QuantityError"}
"""What takes a code as its first argument."""

SOURCES = (
    *("balancer.errors", "balancer.files", "balancer.models", "balancer.units"),
    *("balancer.engine.drink.bar", "balancer.engine.drink.liquid"),
)
"""Where the loader's problems come from. Of the engine, it asks only a bar and its liquids."""


def loader_modules() -> dict[str, ast.Module]:
    """The loader and the modules whose refusals come through it, as syntax trees by name."""
    found: dict[str, ast.Module] = {}
    waiting = ["balancer.files.house.load"]
    while waiting:
        name = waiting.pop()
        spec = importlib.util.find_spec(name)
        if name in found or spec is None or spec.origin is None:
            continue
        tree = found[name] = ast.parse(Path(spec.origin).read_text(encoding="utf-8"))
        imported = [node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
        waiting.extend(module for module in imported if module.startswith(SOURCES))
    return found


def codes_in(tree: ast.Module) -> set[str]:
    """The codes written in one module."""
    found = set()
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        first = node.args[0] if node.args else next((word.value for word in node.keywords if word.arg == "code"), None)
        if name in CARRIERS and isinstance(first, ast.Constant) and isinstance(first.value, str):
            found.add(first.value)
    return found


@functools.cache
def loader_codes() -> dict[str, set[str]]:
    """The modules each code is written in."""
    found: dict[str, set[str]] = {}
    for name, tree in loader_modules().items():
        for code in codes_in(tree):
            found.setdefault(code, set()).add(name)
    return found
