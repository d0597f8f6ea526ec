"""The table of systems is about what the package says of itself. What it tells was resolved by `tests.platforms`."""

from __future__ import annotations

import re
import tomllib

from tests.cli.runner import CHECKOUT
from tests.platforms import BEGIN, END, PAGE, PYTHONS, TARGETS, extras, requirements

PROJECT = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
TOLD = PAGE.read_text(encoding="utf-8").partition(BEGIN)[2].partition(END)[0]


def test_every_python_that_the_package_names_is_resolved() -> None:
    named = [each.rpartition(" ")[2] for each in PROJECT["classifiers"] if re.search(r":: 3\.\d", each)]
    assert list(PYTHONS) == named
    assert PROJECT["requires-python"] == f">={PYTHONS[0]}"


def test_the_page_has_every_system_and_python_and_extra() -> None:
    rows = {line.split(" | ")[0].removeprefix("| "): line.count(" | ") for line in TOLD.splitlines()}
    assert {target.name: rows.get(target.name) for target in TARGETS} == {
        target.name: len(PYTHONS) for target in TARGETS
    }
    assert [extra for extra in extras() if f"`{extra}`" not in TOLD] == []
    assert re.search(r"Resolved on (\d{4}-\d\d-\d\d) ", TOLD)


def test_the_page_names_every_package_that_is_asked_for() -> None:
    """A new dependency is resolved before it is released."""
    named = [re.split(r"[\[><=~! ]", each)[0].replace(".", "-") for each in requirements(extras())]
    assert [name for name in named if f"\n| {name} | " not in TOLD] == []
