"""What is told of a glass, a date or a recipe, and stops nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from balancer.files.house.load import Loaded
from tests.files.folders import load_with

SYRUP = "syrup: vanilla syrup\nstandard: 50 °Bx\nrecipe: [{}]\n"
DRINK = "drink: New Drink\nmethod: shaken\npours: [60 ml gold rum, 22.5 ml raspberry syrup]\n"


def told(loaded: Loaded) -> list[tuple[str, str]]:
    """Code and remedy of every problem; nothing is left out for it, and no answer is touched."""
    assert (loaded.broken, dict(loaded.doubts), loaded.house_problems, loaded.missing) == ((), {}, (), ())
    return [(problem.code, problem.remedy) for problem in loaded.problems]


@pytest.mark.parametrize("glass", ["coupe", "Coupe", "Coupe glass", "ROCKS", "rocks-glass"])
def test_a_glass_of_the_house_however_it_is_spelt(tmp_path: Path, glass: str) -> None:
    assert told(load_with(tmp_path, {"drinks/new.yaml": f"{DRINK}glass: {glass}\n"})) == []


@pytest.mark.parametrize("listed", ["nick and nora", "Nick & Nora", "nick-and-nora glass", "Nick n Nora"])
@pytest.mark.parametrize("glass", ["Nick & Nora", "nick and nora", "NICK-AND-NORA"])
def test_two_spellings_of_one_glass(tmp_path: Path, listed: str, glass: str) -> None:
    house = f'format: 1\nhouse: A\nglasses: {{"{listed}": 60 ml, coupe: 180 ml, rocks: 300 ml}}\n'
    loaded = load_with(tmp_path, {"house.yaml": house, "drinks/new.yaml": f"{DRINK}glass: {glass}\n"})
    assert [problem.code for problem in loaded.problems] == ["doubt"], "its 60 ml are compared with the drink"


@pytest.mark.parametrize(
    ("glass", "hint"), [("coup", 'did you mean "coupe"?'), ("rox", "take one of coupe, rocks"), ("tiki", "take one of")]
)
def test_a_glass_that_the_house_lacks(tmp_path: Path, glass: str, hint: str) -> None:
    ((code, remedy),) = told(load_with(tmp_path, {"drinks/new.yaml": f"{DRINK}glass: {glass}\n"}))
    assert code == "glass"
    assert hint in remedy
    assert "add it to glasses: in house.yaml" in remedy


def test_a_house_that_lists_no_glasses_is_not_bothered(tmp_path: Path) -> None:
    files = {"house.yaml": "format: 1\nhouse: A\n", "drinks/new.yaml": f"{DRINK}glass: coup\n"}
    assert told(load_with(tmp_path, files)) == []


@pytest.mark.parametrize(
    ("date", "code"),
    [
        ("21 Nov", "date"),
        ("Nov 21", "date"),
        ("21/11", "date-ambiguous"),
        ("5/11/2026", "date-ambiguous"),
        ("31 Nov 2026", "date"),
        ("2026-11-21", None),
        ("21 Nov 2026", None),
        ("spring 2026", None),
        ("v3", None),
    ],
)
def test_a_date_that_says_no_year(tmp_path: Path, date: str, code: str | None) -> None:
    found = told(load_with(tmp_path, {"drinks/new.yaml": f"{DRINK}date: {date}\n"}))
    assert [each for each, _ in found] == ([code] if code else [])


@pytest.mark.parametrize(
    ("recipe", "codes", "hint"),
    [
        ("500 g granulated sugar, 500 g water", [], ""),
        ("500 g Granulated Sugar, 500 g boiling water, 5 g citric acid", [], ""),
        ("500 g granulated suger, 500 g water", ["unknown-name"], 'did you mean "granulated sugar"?'),
        ("500 g granulated sugar, 500 g watter", ["unknown-name"], 'did you mean "water"?'),
        ("500 g granulated, 500 g water", ["unknown-name"], 'did you mean "granulated sugar"?'),
        ("500 g granulated sugar, 500 g water, 20 g vanilla", ["unknown-name"], "add it to ingredients/"),
        ("500 kg granulated sugar, 500 kg water", ["recipe", "recipe"], "correct it"),
        ("50 g granulated sugar, 500 g water", ["recipe"], "correct an amount or the standard"),
        ("500 g granulated sugar, 350 g water", [], ""),  # 58.8 °Bx: boiled less, not another syrup
        ("800 g granulated sugar, 400 g water", ["recipe"], "correct an amount"),  # 66.7 °Bx, a third more sugar
        ("2 handfuls granulated sugar, 500 g water", ["unit"], "each"),
        ("2 cups granulated sugar, 500 g water", [], ""),  # make asks what a cup weighs
    ],
)
def test_a_recipe(tmp_path: Path, recipe: str, codes: list[str], hint: str) -> None:
    """Strengths by hand: g of sugar in 100 g of sugar and water."""
    loaded = load_with(tmp_path, {"syrups/new.yaml": SYRUP.format(recipe)})
    assert [code for code, _ in told(loaded)] == codes
    assert all(hint in remedy for _, remedy in told(loaded))
    assert "vanilla-syrup" in loaded.specs.syrups


def test_what_is_strained_or_boiled_is_not_judged(tmp_path: Path) -> None:
    text = SYRUP.format("100 g granulated sugar, 500 g water") + "yield: 200 g\n"
    assert told(load_with(tmp_path, {"syrups/new.yaml": text})) == []


def test_no_syrup_is_meant_to_be_made_of_itself(tmp_path: Path) -> None:
    ((code, remedy),) = told(load_with(tmp_path, {"syrups/new.yaml": SYRUP.format("500 g vanilla, 500 g water")}))
    assert (code, remedy) == ("unknown-name", "add it to ingredients/; leave its sugar out when you do not know it")
