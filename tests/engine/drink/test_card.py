"""What a card tells, worked out from the specs."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.card import Card, CardCaution, card
from balancer.engine.drink.cautions import STRONG_ACID
from balancer.engine.drink.written import kitchen_ounces
from balancer.files.house.load import load
from tests.cli.runner import copy_of_house


def made(folder: Path, drink: str, *, ingredients: str = "") -> Card:
    bar = Bar(load(copy_of_house(folder, drinks__new=drink, ingredients__new=ingredients)).specs)
    return card(bar, bar.specs.drinks["new"])


@pytest.mark.parametrize(
    ("ml", "ounce", "ounces"),
    [  # by hand; 29.5735295625 ml is the US fluid ounce (NIST Handbook 44, Appendix C)
        (22.5, 30.0, 0.75),
        (20.0, 30.0, 2 / 3),
        (22.5, 29.5735295625, 0.75),
        (60.0, 29.5735295625, 2.0),
        (29.5735295625, 29.5735295625, 1.0),
        (12.5, 30.0, 12.5 / 30.0),  # five twelfths is on no jigger
        (2.0, 30.0, 2.0 / 30.0),
        (3.75, 30.0, 0.125),
    ],
)
def test_ounces_as_a_kitchen_measures_them(ml: float, ounce: float, ounces: float) -> None:
    assert kitchen_ounces(ml, ounce) == pytest.approx(ounces, abs=1e-12)


@given(st.floats(0.1, 1000.0), st.sampled_from([25.0, 28.4130625, 29.5735295625, 30.0]))
def test_ounces_are_never_far_off(ml: float, ounce: float) -> None:
    assert kitchen_ounces(ml, ounce) * ounce == pytest.approx(ml, rel=0.02 + 1e-9)


def test_pours_keep_the_order_of_the_file_and_their_standards(tmp_path: Path) -> None:
    found = made(tmp_path, "drink: New\nmethod: shaken\npours: [22.5 ml berry syrup, 60 ml gold rum, 2 dashes water]\n")
    assert [(line.liquid.name, line.ml, line.oz) for line in found.pours] == [
        ("berry syrup", 22.5, 0.75),
        ("gold rum", 60.0, 2.0),
        ("water", None, None),  # a dash stays a dash
    ]
    assert [line.standard_brix for line in found.pours] == [50.0, None, None]


def test_an_amount_written_in_ounces_is_not_rounded(tmp_path: Path) -> None:
    found = made(tmp_path, "drink: New\nmethod: shaken\npours: [5/16 oz gold rum]\n")
    assert found.pours[0].oz == 5 / 16


def test_what_nobody_listed_is_named_and_extras_too(tmp_path: Path) -> None:
    drink = "drink: New\nmethod: shaken\npours: [60 ml gold rum, 5 ml mystery]\nextras: [8 mint leaves]\n"
    found = made(tmp_path, drink, ingredients="ingredient: mystery\nsugar: 0 g/l\n")
    assert found.unknown == ("mystery", "8 mint leaves")


EGG = "- {{ingredient: foamer, sugar: 0 g/l, allergens: [{allergen}]{more}}}\n"


@pytest.mark.parametrize(
    ("line", "cautions"),
    [
        (EGG.format(allergen="eggs", more=""), [CardCaution("foamer", "raw egg")]),
        (EGG.format(allergen="egg", more=", cautions: [holds hen's egg]"), [CardCaution("foamer", "holds hen's egg")]),
        (
            "- {ingredient: foamer, sugar: 0 g/l, allergens: [], acid: 300 g/l}\n",
            [CardCaution("foamer", STRONG_ACID)],
        ),
        ("- {ingredient: foamer, sugar: 0 g/l, allergens: [], acid: 60 g/l}\n", []),  # as sour as lemon juice
    ],
)
def test_egg_and_strong_acid_are_told_even_where_the_file_does_not(
    tmp_path: Path, line: str, cautions: list[CardCaution]
) -> None:
    found = made(tmp_path, "drink: New\nmethod: shaken\npours: [60 ml gold rum, 20 ml foamer]\n", ingredients=line)
    assert list(found.cautions) == cautions


def test_egg_is_told_whoever_names_it(tmp_path: Path) -> None:
    drink = "drink: New\nmethod: shaken\npours: [60 ml gold rum, 20 ml foamer]\nextras: [1 raw egg white]\n"
    line = '- {ingredient: foamer, sugar: 0 g/l, allergens: ["hen\'s egg"], cautions: [from the Veggie Farm]}\n'
    texts = [(one.name, one.text) for one in made(tmp_path, drink, ingredients=line).cautions]
    assert ("foamer", "raw egg") in texts
    assert ("1 raw egg white", "raw egg") in texts
