"""Acids entered in grams of themselves: what a label of a pure acid says."""

from __future__ import annotations

import pytest

from balancer.components import ACID_SLICE, ACIDS, INDEX, WATER, acid_as_citric_g
from balancer.engine.drink.liquid import Liquid, ingredient_liquid
from balancer.models.acids import own_grams
from balancer.models.ingredient import Ingredient
from balancer.models.syrup import Syrup
from tests.engine.builders import ingredient
from tests.reference.facts import facts

# Equivalent masses: molar mass, by IUPAC's abridged standard atomic weights (CIAAW, 2021), over the protons that a
# titration to pH 8.1 takes up; citric 192.123 / 3.
CITRIC_G = 64.041
EQUIVALENTS_G = {
    "malic": 134.087 / 2,  # C4H6O5
    "tartaric": 150.086 / 2,  # C4H6O6
    "lactic": 90.078 / 1,  # C3H6O3
    "phosphoric": 97.994 / 2,  # H3PO4; 1.9 of its three protons are taken up, two are counted
}


def liquid(**keys: object) -> Liquid:
    return ingredient_liquid(ingredient("new acid", kind="seasoning", sugar="0 g/kg", allergens=[], **keys))


@pytest.mark.parametrize("kind", EQUIVALENTS_G)
@pytest.mark.parametrize("written", ["own grams", "acid and its only kind"])
def test_a_pure_acid_is_a_thousand_grams_of_itself(kind: str, written: str) -> None:
    pure: dict[str, object] = {"acids": {kind: "1000 g/kg"}}
    if written != "own grams":
        pure = {"acid": "1000 g/kg", "acids": {kind: "100 %"}}
    found = liquid(**pure)

    assert found.per_g[INDEX[kind]] == pytest.approx(1.0, abs=1e-9)
    assert found.per_g[WATER] == pytest.approx(0.0, abs=1e-9)
    assert found.acid_per_g == pytest.approx(CITRIC_G / EQUIVALENTS_G[kind], rel=1e-4)


@pytest.mark.parametrize("row", [row for row in facts("acids") if row["as_citric"]], ids=lambda row: row["acid"])
def test_every_acid_counts_as_its_published_equivalent(row: dict[str, str]) -> None:
    found = liquid(acids={row["acid"]: "1000 g/kg"})

    assert found.acid_per_g == pytest.approx(float(row["as_citric"]), abs=0.0006)


def test_a_solution_is_what_its_label_says() -> None:
    """Lactic acid of 80 %, by weight: 800 g and 200 g of water in a kilogram; 711 g/kg of it as citric, by 0.7109."""
    found = liquid(acids={"lactic": "800 g/kg"})

    assert found.per_g[INDEX["lactic"]] == pytest.approx(0.8)
    assert found.per_g[WATER] == pytest.approx(0.2)
    assert found.acid_per_g == pytest.approx(0.8 * 0.7109, abs=0.0001)


def test_several_acids_in_grams_by_the_litre() -> None:
    """40 g/l citric and 6 g/l malic: 40 + 6 × 64.041 / 67.0435 = 45.73 g/l as citric."""
    made = ingredient("juice", kind="juice", sugar="16.9 g/kg", acids={"citric": "40 g/l", "malic": "6 g/l"})

    assert made.acid is not None
    assert made.acid.unit == "g/l"
    assert made.acid.value == pytest.approx(40.0 + 6.0 * 64.041 / 67.0435, rel=1e-5)
    per_ml = ingredient_liquid(made).per_ml
    assert per_ml is not None
    assert per_ml[ACID_SLICE][ACIDS.index("citric")] == pytest.approx(0.040, rel=1e-6)
    assert per_ml[ACID_SLICE][ACIDS.index("malic")] == pytest.approx(0.006, rel=1e-6)
    assert acid_as_citric_g(per_ml) == pytest.approx(0.04573, rel=1e-4)


def test_a_syrup_too() -> None:
    made = Syrup.model_validate({"syrup": "oleo", "id": "oleo", "standard": "50 °Bx", "acids": {"malic": "20 g/kg"}})

    assert made.acids == {"malic": 1.0}
    assert made.acid is not None
    assert made.acid.value == pytest.approx(20.0 * 64.041 / 67.0435, rel=1e-4)


def test_acid_with_shares_means_what_it_meant() -> None:
    """46 g/l as citric, a tenth of it malic; and 955 g/kg as citric is pure malic acid, as before."""
    lime = ingredient("lime", sugar="16.9 g/kg", acid="46 g/l", acids={"citric": "90 %", "malic": "10 %"})

    assert str(lime.acid) == "46 g/l"
    assert lime.acids == {"citric": 0.9, "malic": 0.1}
    assert liquid(acid="955 g/kg", acids={"malic": "100 %"}).per_g[INDEX["malic"]] == pytest.approx(1.0, abs=0.001)


@pytest.mark.parametrize(
    "keys",
    [
        {"acid": "46 g/l", "acids": {"citric": "40 g/l", "malic": "6 g/l"}},
        {"acids": {"citric": "40 g/l", "malic": "6 g/kg"}},
        {"acids": {"citric": "40 g/l", "malic": "10 %"}},
        {"acids": {"citric": "0 g/l"}},
        {"acids": {"formic": "40 g/l"}},
        {"acids": {"citric": ["40 g/l"]}},
        {"acids": "40 g/l"},
    ],
)
def test_what_could_mean_two_things_is_refused(keys: dict[str, object]) -> None:
    with pytest.raises(ValueError, match="validation error"):
        Ingredient.model_validate({"ingredient": "new", "id": "new"} | keys)


@pytest.mark.parametrize("data", [None, [], "acids", {"acids": None}, {"acids": {}}, {"ingredient": "x"}])
def test_what_holds_no_acids_is_left_alone(data: object) -> None:
    assert own_grams(data) is data
