"""docs/reference/python.md: its examples run as they stand, and it names all that is public."""

from __future__ import annotations

import doctest
import inspect
import re

import pytest

import balancer
from tests.docs.pages import DOCS

PAGE = DOCS / "reference" / "python.md"
TEXT = PAGE.read_text(encoding="utf-8")


@pytest.mark.parametrize("moment", [None, "2026-11-26T03:30+01:00", "2020-01-01T12:00+00:00", "2031-07-02T12:00+00:00"])
def test_every_example_runs_as_it_stands(moment: str | None, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever clock the reader's shell has set."""
    if moment is None:
        monkeypatch.delenv("BALANCER_NOW", raising=False)
    else:
        monkeypatch.setenv("BALANCER_NOW", moment)
    found = doctest.testfile(str(PAGE), module_relative=False)
    assert found.failed == 0
    assert found.attempted > 15


def test_every_block_is_an_example() -> None:
    """What is only shown may be wrong for years."""
    blocks = re.findall(r"^```(\w*)\n(.*?)^```$", TEXT, re.MULTILINE | re.DOTALL)
    assert blocks
    assert [(info, body) for info, body in blocks if info != "pycon" or not body.startswith(">>> ")] == []


METHODS = [name for name, _ in inspect.getmembers(balancer.BarFolder, inspect.isfunction) if not name.startswith("_")]


@pytest.mark.parametrize("name", METHODS)
def test_every_method_is_on_the_page(name: str) -> None:
    assert f"`{name}(" in TEXT or f"`bar.{name}(" in TEXT


@pytest.mark.parametrize("name", [name for name in balancer.__all__ if name.endswith("Error")])
def test_every_error_is_on_the_page(name: str) -> None:
    assert name in TEXT


def test_every_method_and_class_says_what_it_is() -> None:
    """`help(balancer.BarFolder)` is where the arguments are told."""
    public = [
        balancer.load,
        balancer.BarFolder,
        balancer.Reply,
        *(getattr(balancer.BarFolder, name) for name in METHODS),
    ]
    assert [each for each in public if not (each.__doc__ or "").strip()] == []
