"""Fifty spreadsheets with planted faults: every fault is named with its row, and nothing else is."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from balancer.files.house.load import load
from balancer.files.log.batch_log import LOCK
from tests.cli.runner import HOUSE, copy_of_house, run
from tests.files.spreadsheets import COUNT, spreadsheet

pytestmark = pytest.mark.slow


def tree(folder: Path) -> dict[str, bytes]:
    """Every file, but for the lock of the folder, which holds nothing."""
    files = (path for path in folder.rglob("*") if path.is_file() and path.name != LOCK)
    return {str(path.relative_to(folder)): path.read_bytes() for path in files}


@pytest.mark.parametrize("number", range(COUNT))
def test_every_planted_fault_is_named_with_its_row(tmp_path: Path, number: int) -> None:
    planted = spreadsheet(number)
    sheet = tmp_path / f"menu-{number}.csv"
    sheet.write_bytes(planted.raw)
    before = tree(HOUSE)

    done = run("import", str(sheet), *planted.options, "--json")

    told = Counter((problem["line"], problem["code"]) for problem in done.data["problems"])
    assert told == Counter(planted.faults)
    assert all(f"row {problem['line']}" in problem["message"] for problem in done.data["problems"])
    assert {drink["name"] for drink in done.data["drinks"] if drink["state"] == "ready"} == planted.sound
    assert done.code == bool(planted.faults)
    assert tree(HOUSE) == before


def test_the_plants_are_many() -> None:
    """All kinds of faults, sheets with none and with several, and many sound drinks."""
    sheets = [spreadsheet(number) for number in range(COUNT)]
    codes = {code for sheet in sheets for _, code in sheet.faults}
    assert len(codes) >= 20
    assert max(len(sheet.faults) for sheet in sheets) >= 5
    assert sum(len(sheet.sound) for sheet in sheets) > 200


@pytest.mark.parametrize("number", range(0, COUNT, 4))
def test_what_is_sound_is_written_and_loads(tmp_path: Path, number: int) -> None:
    planted = spreadsheet(number)
    sheet = tmp_path / "menu.csv"
    sheet.write_bytes(planted.raw)
    specs = copy_of_house(tmp_path)

    done = run("import", str(sheet), *planted.options, "--write", "--json", specs=specs)

    after = load(specs)
    assert after.problems == ()
    assert {drink.name for drink in after.specs.drinks.values()} == planted.sound | {
        drink.name for drink in load(HOUSE).specs.drinks.values()
    }
    read = {
        drink.name: [(pour.amount.value, pour.amount.unit) for pour in drink.pours]
        for drink in after.specs.drinks.values()
        if drink.name in planted.sound
    }
    assert read == planted.amounts
    assert sorted(done.data["files"]) == sorted(str(specs / name) for name in tree(specs).keys() - tree(HOUSE).keys())
