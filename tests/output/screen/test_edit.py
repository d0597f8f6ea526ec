"""A change of a file as a unified diff."""

from __future__ import annotations

import difflib
from datetime import date
from pathlib import Path

import pytest

from balancer.files.house.edit import edit_drink
from balancer.files.house.load import load
from balancer.models.changes import PourChange
from balancer.output.words.edit import FileChange
from balancer.units import Quantity
from tests.files.folders import write

FILE = "drinks/slipway-sour.yaml"
SOUR = "drink: Slipway Sour\nmethod: shaken\npours:\n  - 60 ml gold rum\n  - {line}\ngarnish: lime\nglass: coupe\n"


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
@pytest.mark.parametrize(
    ("line", "taken"),
    [
        ("22.5 ml raspberry syrup", 1),
        ("22.5 ml\n    raspberry syrup", 1),
        ("22.5\n    ml raspberry syrup", 2),
        ("22.5\n\n    ml\n    raspberry syrup", 3),
    ],
)
def test_it_is_what_a_search_for_differences_finds(tmp_path: Path, line: str, taken: int, ends: str) -> None:
    """The same as the standard library's, for values in one line and over several."""
    write(tmp_path, {FILE: SOUR.replace("{line}", line).replace("\n", ends)})
    loaded = load(tmp_path)
    drink = loaded.specs.drinks["slipway-sour"]
    change = PourChange(drink.pours[1], drink.pours[1].of, Quantity(20.0, "ml"))
    edit = edit_drink(tmp_path, loaded, drink, [change], date(2026, 11, 25))

    shown = FileChange(FILE, edit.old, edit.new).diff()

    old, new = edit.old.splitlines(), edit.new.splitlines()
    assert shown == list(difflib.unified_diff(old, new, FILE, FILE, n=0, lineterm=""))
    assert sum(row.startswith("-") for row in shown[3:]) == taken
    assert [row for row in shown if row.startswith("+")][-2:] == ["+version: 2", "+date: 2026-11-25"]
