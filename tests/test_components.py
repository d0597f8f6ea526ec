"""The rows of a composition against published figures, and the arithmetic on compositions."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.components import (
    ACID_SLICE,
    ACIDS,
    COMPONENTS,
    ETHANOL,
    INDEX,
    NOTHING,
    OTHER_SOLIDS,
    STANDARD_DRINK_G,
    SUGAR_SLICE,
    SUGARS,
    WATER,
    Component,
    Composition,
    StandardDrink,
    acid_as_citric_g,
    acid_mass_g,
    add_scaled,
    composition,
    energy_kcal,
    energy_kj,
    scale,
    sugar_g,
)
from balancer.units import US_FLUID_OUNCE_ML
from tests.reference.facts import facts, half_digit

if TYPE_CHECKING:
    from collections.abc import Callable

ACID_ROWS = {row["acid"]: row for row in facts("acids")}
SWEETNESS_ROWS = facts("relative_sweetness")
DRINK_ROWS = {row["key"]: row for row in facts("standard_drinks")}

CITRIC_EQUIVALENT_G = 64.041
"""g per equivalent of anhydrous citric acid: a third of 192.123 g/mol."""

PURE_ETHANOL_G_PER_ML = 0.78924
"""At 20 °C: OIML R 22 (1975), International Alcoholometric Tables."""

# Standard atomic weights, abridged: IUPAC Commission on Isotopic Abundances and Atomic Weights (2021).
ATOMIC_WEIGHTS = {"H": 1.008, "C": 12.011, "O": 15.999, "P": 30.974}
FORMULAS = {
    "water": "H2O", "ethanol": "C2H6O", "sucrose": "C12H22O11", "glucose": "C6H12O6", "fructose": "C6H12O6",
    "maltose": "C12H22O11", "galactose": "C6H12O6", "lactose": "C12H22O11",
} | {name: row["formula"] for name, row in ACID_ROWS.items()}  # fmt: skip


def row_of(name: str) -> Component:
    return COMPONENTS[INDEX[name]]


# Rows


def test_rows_of_a_kind_stand_together() -> None:
    assert {index for index, row in enumerate(COMPONENTS) if row.kind == "sugar"} == {
        *range(len(COMPONENTS))[SUGAR_SLICE]
    }
    assert {index for index, row in enumerate(COMPONENTS) if row.kind == "acid"} == {
        *range(len(COMPONENTS))[ACID_SLICE]
    }
    assert [row.name for row in COMPONENTS[SUGAR_SLICE]] == list(SUGARS)
    assert [row.name for row in COMPONENTS[ACID_SLICE]] == list(ACIDS)
    assert [COMPONENTS[index].name for index in (WATER, ETHANOL, OTHER_SOLIDS)] == ["water", "ethanol", "other solids"]


def test_every_name_is_there_once() -> None:
    assert [row.name for row in COMPONENTS] == list(INDEX)


@pytest.mark.parametrize("name", FORMULAS)
def test_molar_masses_follow_from_the_atomic_weights(name: str) -> None:
    """To 0.0015: tables made with the older weights (C 12.0107, O 15.9994) differ in the third decimal."""
    parts = re.findall(r"([A-Z])([0-9]*)", FORMULAS[name])
    expected = sum(ATOMIC_WEIGHTS[element] * int(count or 1) for element, count in parts)
    assert row_of(name).molar_mass == pytest.approx(expected, rel=0.0, abs=0.0015)


def test_every_row_with_a_molar_mass_is_checked() -> None:
    assert {row.name for row in COMPONENTS if row.molar_mass} == set(FORMULAS)


# Acids


@pytest.mark.parametrize("name", ACIDS)
def test_molar_mass_of_an_acid(name: str) -> None:
    printed = ACID_ROWS[name]["molar_mass_g_per_mol"]
    assert row_of(name).molar_mass == pytest.approx(float(printed), rel=0.0, abs=half_digit(printed))


@pytest.mark.parametrize("name", [name for name in ACIDS if ACID_ROWS[name]["as_citric"]])
def test_an_acid_as_citric(name: str) -> None:
    row, ours = ACID_ROWS[name], row_of(name).as_citric
    for printed, value in (
        (row["as_citric"], ours),
        (row["g_per_g_citric"], 1.0 / ours),
        (row["equivalent_mass_g"], CITRIC_EQUIVALENT_G / ours),
    ):
        assert value == pytest.approx(float(printed), rel=0.0, abs=1.0001 * half_digit(printed))


@pytest.mark.parametrize("name", [name for name in ACIDS if ACID_ROWS[name]["trade_g_per_g_citric"]])
def test_an_acid_as_citric_by_the_figures_of_the_juice_trade(name: str) -> None:
    printed = ACID_ROWS[name]["trade_g_per_g_citric"]
    one_gram = composition({name: float(printed)})
    assert acid_as_citric_g(one_gram) == pytest.approx(1.0, rel=half_digit(printed) / float(printed))


@pytest.mark.parametrize("name", ACIDS)
def test_the_protons_counted_are_those_that_a_titration_takes_up(name: str) -> None:
    """At pH 8.1 (ISO 750) an acid of constant pKa has given up 1/(1 + 10^(pKa - pH)) of a proton."""
    row = ACID_ROWS[name]
    given_up = sum(1.0 / (1.0 + 10.0 ** (float(row[pka]) - 8.1)) for pka in ("pka1", "pka2", "pka3") if row[pka])
    counted = row_of(name).as_citric * row_of(name).molar_mass / CITRIC_EQUIVALENT_G
    assert counted == pytest.approx(round(given_up), rel=1e-12)
    # Whole protons are right to 2 %; phosphoric acid, with 1.89, to 6 %.
    assert given_up == pytest.approx(counted, rel=0.06 if name == "phosphoric" else 0.02)


def test_only_acids_are_acid() -> None:
    assert [row.name for row in COMPONENTS if row.as_citric] == list(ACIDS)


# Energy


def factors(name: str) -> tuple[float, float]:
    """kcal and kJ per gram of a component, by the regulation."""
    found = [row for row in facts("energy_factors") if row_of(name).kind in row["kinds"].split()]
    if not found or name == "phosphoric":  # the regulation has factors for organic acids only
        return 0.0, 0.0
    return float(found[0]["kcal_per_g"]), float(found[0]["kj_per_g"])


@pytest.mark.parametrize("name", INDEX)
def test_energy_factors_of_the_regulation(name: str) -> None:
    kcal, kj = factors(name)
    assert (row_of(name).kcal, row_of(name).kj) == (kcal, kj)
    ten_grams = composition({name: 10.0})
    assert (energy_kcal(ten_grams), energy_kj(ten_grams)) == (10.0 * kcal, 10.0 * kj)


def test_each_factor_is_used() -> None:
    kinds = {kind for row in facts("energy_factors") for kind in row["kinds"].split()}
    assert kinds == {row.kind for row in COMPONENTS} - {"water"}


def test_the_energy_of_a_drink_adds_up() -> None:
    """16 g alcohol, 20 g sugar, 1 g acid: 112 + 80 + 3 kcal, 464 + 340 + 13 kJ, by Annex XIV by hand."""
    drink = composition({"water": 90.0, "ethanol": 16.0, "sucrose": 12.0, "fructose": 8.0, "citric": 1.0})
    assert energy_kcal(drink) == pytest.approx(195.0, rel=1e-12)
    assert energy_kj(drink) == pytest.approx(817.0, rel=1e-12)


# Sweetness


def printed_range(row: dict[str, str]) -> tuple[float, float]:
    return float(row["low"] or row["typical"]), float(row["high"] or row["typical"])


@pytest.mark.parametrize("name", SUGARS)
def test_the_sweetness_of_a_sugar_spans_what_is_published(name: str) -> None:
    ranges = [printed_range(row) for row in SWEETNESS_ROWS if row["component"] == name and row["use"] == "range"]
    low, usual, high = row_of(name).sweetness
    assert (low, high) == (min(low for low, _ in ranges), max(high for _, high in ranges))
    assert low <= usual <= high


def test_the_usual_sweetness() -> None:
    """Fructose: its equilibrated solution. Weak sugars: the middle of their range. Glucose: printed 0.69, rounded."""
    (solution,) = [row["typical"] for row in SWEETNESS_ROWS if row["row"] == "fructose_liquid"]
    assert row_of("fructose").sweetness[1] == float(solution)
    assert row_of("sucrose").sweetness == (1.0, 1.0, 1.0)
    for name in ("maltose", "galactose", "lactose"):
        low, usual, high = row_of(name).sweetness
        assert usual == pytest.approx((low + high) / 2.0, rel=1e-12)
    (glucose,) = [row["typical"] for row in SWEETNESS_ROWS if row["row"] == "glucose_belitz_type"]
    assert row_of("glucose").sweetness[1] == round(float(glucose), 1)


@pytest.mark.parametrize("row", [row for row in SWEETNESS_ROWS if row["use"] == "mixture"], ids=lambda row: row["row"])
def test_invert_sugar_is_as_sweet_as_published(row: dict[str, str]) -> None:
    """Half glucose, half fructose: every published figure lies in our range, and the handbook's is our usual one."""
    low, usual, high = (
        (glucose + fructose) / 2.0
        for glucose, fructose in zip(row_of("glucose").sweetness, row_of("fructose").sweetness, strict=True)
    )
    assert low <= float(row["typical"]) <= high + 1e-12
    if row["row"] == "invert_belitz":
        assert usual == pytest.approx(float(row["typical"]), rel=1e-12)


def test_other_solids_are_at_most_as_sweet_as_maltodextrin() -> None:
    (row,) = [row for row in SWEETNESS_ROWS if row["component"] == "other solids" and row["use"] == "range"]
    assert row_of("other solids").sweetness == (0.0, 0.0, float(row["typical"]))


def test_rows_left_out_of_the_range_say_why() -> None:
    left_out = [row for row in SWEETNESS_ROWS if row["use"] == "excluded"]
    assert all(row["why_excluded"] for row in left_out)
    assert {row["row"] for row in SWEETNESS_ROWS if row["why_excluded"]} == {row["row"] for row in left_out}


def test_only_sugars_and_other_solids_are_sweet() -> None:
    assert {row.name for row in COMPONENTS if any(row.sweetness)} == {*SUGARS, "other solids"}


# Standard drinks


@pytest.mark.parametrize("key", get_args(StandardDrink))
def test_a_standard_drink_is_what_its_body_says(key: StandardDrink) -> None:
    assert STANDARD_DRINK_G[key] == float(DRINK_ROWS[key]["ethanol_g"])


def test_every_standard_drink_is_checked() -> None:
    assert set(STANDARD_DRINK_G) == set(get_args(StandardDrink)) == set(DRINK_ROWS)


@pytest.mark.parametrize("key", [key for key, row in DRINK_ROWS.items() if row["ethanol_ml"]])
def test_grams_and_millilitres_of_a_standard_drink_agree(key: str) -> None:
    """To the rounding of the body's two figures."""
    row = DRINK_ROWS[key]
    grams = float(row["ethanol_ml"]) * PURE_ETHANOL_G_PER_ML
    rounding = half_digit(row["ethanol_g"]) + half_digit(row["ethanol_ml"]) * PURE_ETHANOL_G_PER_ML
    assert grams == pytest.approx(float(row["ethanol_g"]), rel=0.0, abs=rounding)


def test_the_us_standard_drink_is_0_6_fluid_ounces() -> None:
    """NIAAA: about 14 g, 0.6 US fl oz of pure alcohol."""
    assert round(0.6 * US_FLUID_OUNCE_ML * PURE_ETHANOL_G_PER_ML) == STANDARD_DRINK_G["us"]


# Arithmetic

GRAMS = st.floats(0.0, 1e4)
COMPOSITIONS = st.tuples(*[GRAMS] * len(COMPONENTS))
FACTORS = st.floats(0.0, 1e3)
SUMS: list[Callable[[Composition], float]] = [sum, sugar_g, acid_as_citric_g, acid_mass_g, energy_kcal, energy_kj]
FUZZ = settings(deadline=None)


def test_a_composition_is_in_the_order_of_the_rows() -> None:
    grams = {row.name: float(index) for index, row in enumerate(COMPONENTS)}
    assert composition(grams) == tuple(float(index) for index in range(len(COMPONENTS)))
    assert composition({}) == NOTHING == (0.0,) * len(COMPONENTS)
    assert composition({"ethanol": 3.0})[ETHANOL] == 3.0


def test_an_unknown_component_is_an_error() -> None:
    with pytest.raises(KeyError, match="salt"):
        composition({"salt": 1.0})


def test_a_composition_of_another_length_is_an_error() -> None:
    with pytest.raises(ValueError, match="zip"):
        add_scaled(NOTHING, 1.0, (1.0,))


@pytest.mark.parametrize("total", SUMS)
@FUZZ
@given(a=COMPOSITIONS, factor=FACTORS, b=COMPOSITIONS)
def test_sums_are_linear(total: Callable[[Composition], float], a: Composition, factor: float, b: Composition) -> None:
    expected = total(a) + factor * total(b)
    assert total(add_scaled(a, factor, b)) == pytest.approx(expected, rel=1e-12, abs=1e-9)
    assert total(scale(factor, b)) == pytest.approx(factor * total(b), rel=1e-12, abs=1e-9)


@FUZZ
@given(COMPOSITIONS, FACTORS, COMPOSITIONS)
def test_adding_and_scaling_agree(a: Composition, factor: float, b: Composition) -> None:
    assert add_scaled(a, 1.0, b) == add_scaled(b, 1.0, a)
    assert add_scaled(NOTHING, factor, b) == scale(factor, b)
    assert add_scaled(a, factor, NOTHING) == scale(1.0, a) == a
    assert scale(0.0, a) == NOTHING


@FUZZ
@given(COMPOSITIONS)
def test_kinds_add_up_to_the_whole(grams: Composition) -> None:
    parts = grams[WATER] + grams[ETHANOL] + sugar_g(grams) + grams[OTHER_SOLIDS] + acid_mass_g(grams)
    assert parts == pytest.approx(sum(grams), rel=1e-12)
    assert sugar_g(grams) == pytest.approx(sum(grams[INDEX[name]] for name in SUGARS), rel=1e-12)
