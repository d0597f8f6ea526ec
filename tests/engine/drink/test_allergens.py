"""What the sheet of allergens may say of a drink: unknown is never blank, and nothing is ever "free from"."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.drink.allergens import AllergenTable, allergen_table
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
"""
PARTS = """
- {ingredient: ground nuts, sugar: 0 g/kg, allergens: [tree nuts]}
- {ingredient: extract, sugar: 0 g/kg}
"""

ASKED = ("paste", "nut-syrup", "round", "unsaid", "doubtful", "plain")


def test_a_syrup_has_the_allergens_of_its_recipe_whatever_its_own_list_leaves_out(tmp_path: Path) -> None:
    syrups = load(copy_of_house(tmp_path, syrups__new=RECIPES, ingredients__new=PARTS)).specs.syrups
    assert {
        name: syrups[name].allergens for name in ("paste", "nut-syrup", "round", "unsaid", "doubtful", "plain")
    } == {
        "paste": ("tree nuts",),
        "nut-syrup": ("milk", "tree nuts"),
        "round": ("milk", "tree nuts"),
        "doubtful": None,  # its empty list says nothing of the extract
        "unsaid": None,  # no list of its own: unknown, and never less
        "plain": (),
    }
