"""Sheets as bars keep them: 25 drinks a layout come in with a map, or are told; nothing comes in changed."""

from __future__ import annotations

from pathlib import Path

import pytest

from balancer.files.house.load import load
from balancer.models.drink import Drink
from balancer.models.names import glass_key
from tests.cli.runner import HOUSE, copy_of_house, run
from tests.files.layouts import COUNT, GLASSES, LAYOUTS, SPOILT, sheet
from tests.files.layouts import Drink as Written

pytestmark = pytest.mark.slow


def pours_of(drink: Drink) -> list[tuple[float, str, str, bool]]:
    return [(pour.amount.value, pour.amount.unit, pour.of, bool(pour.top)) for pour in drink.pours]


@pytest.mark.parametrize("number", [0, *(pytest.param(more, marks=pytest.mark.slow) for more in range(1, 12))])
@pytest.mark.parametrize("layout", LAYOUTS)
def test_twenty_five_drinks_come_in_or_are_told(tmp_path: Path, layout: str, number: int) -> None:
    """At least 23 of 25, all that can be read: amount, unit, name, order, method and glass are those of the source."""
    made = sheet(layout, number)
    specs = copy_of_house(tmp_path)
    with (specs / "house.yaml").open("a", encoding="utf-8") as house:
        house.write(GLASSES)
    path = tmp_path / "menu.csv"
    path.write_text(made.text, encoding="utf-8", newline="")
    (tmp_path / "map.yaml").write_text(made.map, encoding="utf-8")

    done = run("import", str(path), "--map", str(tmp_path / "map.yaml"), "--write", "--json", specs=specs)

    after = load(specs)
    assert after.problems == ()
    before = {drink.name for drink in load(HOUSE).specs.drinks.values()}
    came = {drink.name: drink for drink in after.specs.drinks.values() if drink.name not in before}
    assert len(made.drinks) == COUNT
    assert len(came) >= COUNT - SPOILT
    assert came.keys() == {drink.name for drink in made.drinks if drink.is_sound}, done.out
    for drink in made.drinks:
        if drink.is_sound:
            assert_same(came[drink.name], drink)
        else:
            assert_told(done.data, drink)
    assert done.data["ingredients"] == [], "every name is in the house or in the map"


def assert_same(found: Drink, written: Written) -> None:
    assert pours_of(found) == [pour.expected for pour in written.pours], written.name
    assert (found.way, found.method) == written.method[1:], written.name
    glass = written.glass[1]
    assert glass_key(found.glass or "") == glass_key(glass or ""), written.name
    assert (found.garnish or "") == written.garnish, written.name


def assert_told(data: dict[str, object], written: Written) -> None:
    """A drink that cannot be read has a problem in one of its own rows."""
    state = next(one for one in data["drinks"] if one["name"] == written.name)  # type: ignore[attr-defined]
    assert state["state"] == "faulty"
    assert {problem["line"] for problem in data["problems"]} & set(state["rows"]), written.name  # type: ignore[attr-defined]


@pytest.mark.parametrize("layout", LAYOUTS)
def test_without_a_map_nothing_is_guessed(tmp_path: Path, layout: str) -> None:
    """No amount without its unit and no name is made into something of the house: they are told, or listed as new."""
    made = sheet(layout, 0)
    path = tmp_path / "menu.csv"
    path.write_text(made.text, encoding="utf-8", newline="")
    specs = copy_of_house(tmp_path)
    done = run("import", str(path), "--write", "--json", specs=specs)
    after = load(specs)
    new = {one["ingredient"] for one in done.data["ingredients"]}
    meant = {drink.name: drink for drink in made.drinks}
    for drink in after.specs.drinks.values():
        if drink.name not in meant:
            continue
        assert meant[drink.name].is_sound
        for (value, unit, of, _), pour in zip(pours_of(drink), meant[drink.name].pours, strict=True):
            assert pour.value is not None, "how much tops a drink is said by nobody"
            assert (value, unit) == pour.expected[:2]
            assert of == pour.expected[2] or of in new
