"""What the sheet of allergens may say of a drink: unknown is never blank, and nothing is ever "free from"."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.drink.allergens import AllergenTable, allergen_table
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.card import card
from balancer.engine.drink.totals import totals
from balancer.files.house.load import load
from balancer.models.drink import Drink
from tests.cli.runner import copy_of_house
from tests.engine.builders import BERRY, LIME, RUM, Entry, bar, drink, ingredient, syrup

FOAM = ingredient("foam", sugar="0 g/l", allergens=["eggs"])
NUTS = syrup("nut syrup", allergens=["tree nuts", "Sesame"])
BITTERS = ingredient("bitters", abv="44 %", sugar="0 g/l")
CREAM = ingredient("cream", sugar="0 g/l", allergens=["milk"])  # on the shelf, poured in nothing


def table(*drinks: Drink) -> AllergenTable:
    entries: tuple[Entry, ...] = (RUM, LIME, BERRY, FOAM, NUTS, BITTERS, CREAM, *drinks)
    return allergen_table(bar(*entries), drinks)


def test_columns_are_all_that_the_house_keeps_sorted() -> None:
    assert table().allergens == ("eggs", "milk", "sesame", "tree nuts")


def test_drinks_stand_by_name_whatever_the_case() -> None:
    names = [row.drink.name for row in table(drink("b", "60 ml foam"), drink("C", "60 ml foam"), drink("A")).drinks]
    assert names == ["A", "b", "C"]


def test_what_is_listed() -> None:
    (row,) = table(drink("Flip", "60 ml gold rum", "20 ml nut syrup", "20 ml foam")).drinks
    assert row.contains == ("eggs", "sesame", "tree nuts")
    assert row.unknown == ()
    assert [row.mark(name) for name in ("eggs", "milk")] == ["contains", "not listed"]


def test_one_unlisted_pour_makes_every_blank_a_question() -> None:
    (row,) = table(drink("Sour", "60 ml gold rum", "20 ml foam", "1 dash bitters")).drinks
    assert [(item.id, item.name) for item in row.unknown] == [("bitters", "bitters")]
    assert [row.mark(name) for name in ("eggs", "milk", "sesame", "tree nuts")] == ["contains", *["unknown"] * 3]


def test_a_rinse_counts() -> None:
    (row,) = table(drink("Rinsed", "60 ml gold rum", "rinse bitters")).drinks
    assert [item.name for item in row.unknown] == ["bitters"]


def test_extras_have_no_list_and_garnishes_are_not_looked_at() -> None:
    (row,) = table(drink("Swizzle", "60 ml gold rum", extras=["8 mint leaves"], garnish="almonds")).drinks
    assert [(item.id, item.name) for item in row.unknown] == [(None, "8 mint leaves")]
    assert row.contains == ()


def test_with_unknown_holds_only_those() -> None:
    found = table(drink("Known", "60 ml gold rum"), drink("Unknown", "60 ml bitters")).with_unknown
    assert [row.drink.name for row in found] == ["Unknown"]


@given(st.lists(st.sampled_from(["gold rum", "lime juice", "foam", "nut syrup", "bitters", "cream"]), unique=True))
def test_it_agrees_with_totals_and_unknown_is_never_not_listed(names: list[str]) -> None:
    one = drink("Any", *(f"20 ml {name}" for name in names or ["foam"]))
    entries: tuple[Entry, ...] = (RUM, LIME, BERRY, FOAM, NUTS, BITTERS, CREAM, one)
    found = allergen_table(bar(*entries), [one])
    (row,) = found.drinks
    worked = totals(bar(*entries), one)
    assert row.contains == worked.allergens
    assert [item.id for item in row.unknown] == [u.ingredient for u in worked.unknown if u.what == "allergens"]
    marks = {row.mark(name) for name in found.allergens}
    assert ("not listed" in marks) is (not row.unknown and row.contains != found.allergens)


RECIPES = """
- {syrup: paste, standard: 50 °Bx, recipe: [100 g ground nuts, 100 g water], allergens: []}
- {syrup: nut syrup, standard: 50 °Bx, recipe: [100 g paste, 100 g water], allergens: [milk]}
- {syrup: round, standard: 50 °Bx, recipe: [100 g round, 100 g nut syrup], allergens: []}
- {syrup: unsaid, standard: 50 °Bx, recipe: [100 g ground nuts]}
- {syrup: doubtful, standard: 50 °Bx, recipe: [100 g extract, 100 g water], allergens: []}
- {syrup: plain, standard: 50 °Bx, recipe: [100 g water, 100 g something], allergens: []}
- {syrup: mixed, standard: 50 °Bx, recipe: [500 g extract, 100 g ground nuts], allergens: []}
- {syrup: mixed again, standard: 50 °Bx, recipe: [500 g mixed, 100 g water], allergens: []}
- {syrup: own list, standard: 50 °Bx, recipe: [500 g extract, 100 g ground nuts], allergens: [soya]}
"""
PARTS = """
- {ingredient: ground nuts, sugar: 0 g/kg, allergens: [tree nuts]}
- {ingredient: extract, sugar: 0 g/kg}
"""

UNLISTED_PART = {"unsaid", "doubtful", "mixed", "mixed-again"}


def test_a_syrup_has_the_allergens_of_its_recipe_whatever_its_own_list_leaves_out(tmp_path: Path) -> None:
    syrups = load(copy_of_house(tmp_path, syrups__new=RECIPES, ingredients__new=PARTS)).specs.syrups
    expected = {
        "paste": ("tree nuts",),
        "nut-syrup": ("milk", "tree nuts"),
        "round": ("milk", "tree nuts"),
        "doubtful": None,  # its empty list says nothing of the extract
        "unsaid": ("tree nuts",),  # no list of its own: unknown beside what its recipe lists
        "plain": (),
        "mixed": ("tree nuts",),  # and what the extract brings, which nobody knows
        "mixed-again": ("tree nuts",),
        "own-list": ("soya", "tree nuts"),  # who wrote it has looked at the extract
    }
    assert {name: syrups[name].allergens for name in expected} == expected
    assert {name for name in expected if syrups[name].allergens_unknown} == UNLISTED_PART


def test_a_listed_part_does_not_make_an_unlisted_one_known(tmp_path: Path) -> None:
    drinks = "- {drink: Flip, method: stirred, pours: [60 ml gin, 20 ml mixed]}\n"
    house = Bar(load(copy_of_house(tmp_path, syrups__new=RECIPES, ingredients__new=PARTS, drinks__new=drinks)).specs)
    flip = house.specs.drinks["flip"]
    (row,) = allergen_table(house, [flip]).drinks
    assert row.contains == ("tree nuts",)
    assert "mixed" in [item.id for item in row.unknown]
    assert row.mark("sesame") == "unknown"
    told = card(house, flip)
    assert told.allergens == ("tree nuts",)
    assert "mixed" in told.unknown
