"""Ingredients and syrups as liquids: composition and density against published values, and what cannot be."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from balancer.components import COMPONENTS, INDEX, acid_as_citric_g, acid_mass_g, scale, sugar_g
from balancer.engine.drink.liquid import Liquid, ingredient_liquid, standard_strength, syrup_liquid
from balancer.errors import BalancerError, CannotError, OutOfRangeError
from balancer.properties import mixture
from balancer.units import Quantity
from tests.engine.builders import BERRY, LIME, PLAIN, ingredient, syrup

# Standard sucrose tables at 20 °C (US Bureau of Standards Circular C440, 1942), g/ml, from memory
PRINTED_G_PER_ML = {40.0: 1.1764, 46.0: 1.2079, 50.0: 1.2296, 54.0: 1.2519, 60.0: 1.2865, 66.67: 1.3265}


def grams(liquid: Liquid, name: str) -> float:
    """Grams of one component in a gram."""
    return liquid.per_g[INDEX[name]]


def model_ml(liquid: Liquid) -> float:
    """What the volume model gives for what is said to be one ml."""
    per_ml = liquid.per_ml
    assert per_ml is not None
    solids = sugar_g(per_ml) + per_ml[INDEX["other solids"]]
    return mixture.volume_ml(per_ml[INDEX["water"]], per_ml[INDEX["ethanol"]], solids, acid_mass_g(per_ml))


@pytest.mark.parametrize(
    ("abv_percent", "kg_m3"), [(10, 984.71), (30, 962.21), (40, 948.05), (60, 909.11), (100, 789.24)]
)
def test_a_spirit_weighs_what_the_alcohol_table_says(abv_percent: float, kg_m3: float) -> None:
    """Alcoholometric table at 20 °C, % vol to density: the only thing known of a spirit is its strength."""
    liquid = ingredient_liquid(ingredient("spirit", abv=f"{abv_percent} %", sugar="0 g/l"))

    assert liquid.density == pytest.approx(kg_m3 / 1000.0, abs=0.000006)


def test_forty_percent_by_volume_is_a_third_by_weight() -> None:
    """OIML R 22: 40 % vol is 33.30 % by mass."""
    liquid = ingredient_liquid(ingredient("spirit", abv="40 %", sugar="0 g/l"))

    assert 100.0 * grams(liquid, "ethanol") == pytest.approx(33.30, abs=0.005)
    assert grams(liquid, "water") == pytest.approx(1.0 - grams(liquid, "ethanol"), abs=1e-12)


@pytest.mark.parametrize(("brix", "g_per_ml"), PRINTED_G_PER_ML.items())
def test_a_syrup_weighs_what_the_sugar_table_says(brix: float, g_per_ml: float) -> None:
    """Printed densities of sucrose solutions; the formula is newer and 0.2 kg/m3 heavier at 66.67 °Bx."""
    liquid = syrup_liquid(PLAIN, brix)

    assert liquid.density == pytest.approx(g_per_ml, abs=0.0003)
    assert liquid.sugar_g_per_ml == pytest.approx(brix / 100.0 * g_per_ml, abs=0.0002)


@pytest.mark.parametrize(("brix", "g_per_ml"), PRINTED_G_PER_ML.items())
def test_sugar_by_volume_finds_the_strength(brix: float, g_per_ml: float) -> None:
    """A label that says 615 g/l means 50 °Bx; strong syrups, too, printed densities of sucrose solutions."""
    liquid = ingredient_liquid(ingredient("bought syrup", sugar=f"{10.0 * brix * g_per_ml} g/l"))

    assert 100.0 * liquid.sugar_per_g == pytest.approx(brix, abs=0.02)
    assert liquid.density == pytest.approx(g_per_ml, abs=0.0003)


@pytest.mark.parametrize(
    ("abv_percent", "table_g_per_ml", "g_per_l", "sugar_g_per_ml"),
    [(10, 0.98471, 10.06, 1.0021), (10, 0.98471, 40.556, 1.0139)],
)
def test_a_light_wine_agrees_with_tabarie(
    abv_percent: float, table_g_per_ml: float, g_per_l: float, sugar_g_per_ml: float
) -> None:
    """Tabarié's rule (OIV-MA-AS2-03B): d = d of the alcohol + d of the residue - 1, at equal amounts per volume.

    Alcohol from the alcoholometric table; 1 and 4 % sucrose from the CRC Handbook, here per litre of it.
    The rule holds below 5 % sucrose and 18 % ethanol by weight (Hackbarth 2009); 0.0003 is the rounding of
    the printed densities and what the two sugar tables differ.
    """
    liquid = ingredient_liquid(ingredient("wine", abv=f"{abv_percent} %", sugar=f"{g_per_l} g/l"))

    assert liquid.density == pytest.approx(table_g_per_ml + sugar_g_per_ml - 0.9982, abs=0.0003)


@pytest.mark.parametrize(
    ("abv_percent", "g_per_l", "g_per_ml"),
    [
        (10, 50, 1.0040), (15, 80, 1.0099), (20, 300, 1.0883), (24, 240, 1.0610),
        (30, 250, 1.0568), (40, 100, 0.9854), (40, 250, 1.0400), (45, 400, 1.0812),
    ],
)  # fmt: skip
def test_a_liqueur_is_solved_from_strength_and_sugar(abv_percent: float, g_per_l: float, g_per_ml: float) -> None:
    """The volume model worked out elsewhere, with the apparent volume of sucrose fitted to the CRC Handbook.

    A check of the solving only: no table of densities with ethanol and sugar together is known.
    """
    liquid = ingredient_liquid(ingredient("liqueur", abv=f"{abv_percent} %", sugar=f"{g_per_l} g/l"))
    per_ml = liquid.per_ml

    assert liquid.density == pytest.approx(g_per_ml, abs=0.0003)
    assert per_ml is not None
    assert 1000.0 * sugar_g(per_ml) == pytest.approx(g_per_l, abs=1e-6)
    assert per_ml[INDEX["ethanol"]] == pytest.approx(0.0078924 * abv_percent, rel=1e-5)


@pytest.mark.parametrize(("acid_percent", "g_per_ml"), [(1, 1.0022), (5, 1.0189), (10, 1.0402)])
def test_acid_adds_weight(acid_percent: float, g_per_ml: float) -> None:
    """CRC Handbook, density of citric acid in water at 20 °C; the model takes one volume per gram: 0.0006."""
    liquid = ingredient_liquid(ingredient("acid solution", sugar="0 g/kg", acid=f"{10 * acid_percent} g/kg"))

    assert liquid.density == pytest.approx(g_per_ml, abs=0.0006)


def test_juice_by_weight_and_by_volume() -> None:
    """Lime at 16.9 g/kg sugar and 46 g/l acid keeps both; 242 g to a US cup (USDA SR28 NDB 09160), within 1 %."""
    liquid = ingredient_liquid(LIME)
    per_ml = liquid.per_ml

    assert per_ml is not None
    assert 1000.0 * liquid.sugar_per_g == pytest.approx(16.9, abs=1e-9)
    assert 1000.0 * acid_as_citric_g(per_ml) == pytest.approx(46.0, abs=1e-9)
    assert liquid.density == pytest.approx(242.0 / 236.588, rel=0.01)


def test_kinds_of_sugar_and_acid_are_kept_apart() -> None:
    """Shares of sugar are by weight; shares of acid are of the titre, so malic weighs 1.047 of its citric.

    1.047 g of malic acid to 1 g of citric: technical note of the juice trade.
    """
    juice = ingredient(
        "apple",
        sugar="100 g/kg",
        sugars={"fructose": "60 %", "sucrose": "40 %"},
        acid="10 g/kg",
        acids={"malic": "80 %", "citric": "20 %"},
    )
    liquid = ingredient_liquid(juice)

    assert grams(liquid, "fructose") == pytest.approx(0.06)
    assert grams(liquid, "sucrose") == pytest.approx(0.04)
    assert grams(liquid, "malic") == pytest.approx(0.008 * 1.047, rel=1e-3)
    assert grams(liquid, "citric") == pytest.approx(0.002)
    assert acid_as_citric_g(liquid.per_g) == pytest.approx(0.010)


def test_a_stated_density_is_taken_as_it_is() -> None:
    """Egg white at 1.03 g/ml (USDA SR28 NDB 01124): its protein is not in any model."""
    liquid = ingredient_liquid(ingredient("egg white", sugar="7.1 g/kg", density="1.03 g/ml"))

    assert liquid.density == 1.03
    assert sum(liquid.per_ml or ()) == pytest.approx(1.03, abs=1e-12)


def test_dry_sugar_is_weighed_only() -> None:
    """998 g/kg (USDA SR28 NDB 19335): no volume model holds for crystals, and none is invented."""
    liquid = ingredient_liquid(ingredient("granulated sugar", sugar="998 g/kg"))

    assert liquid.density is None
    assert liquid.per_ml is None
    assert liquid.sugar_g_per_ml == 0.0
    assert liquid.sugar_per_g == pytest.approx(0.998)
    assert grams(liquid, "water") == pytest.approx(0.002)


def test_unknown_sugar_is_not_taken_for_none() -> None:
    """Nothing written means unknown; 0 g/l means none."""
    assert ingredient_liquid(ingredient("bitter", abv="24 %")).sugar_unknown
    assert not ingredient_liquid(ingredient("gin", abv="43 %", sugar="0 g/l")).sugar_unknown


@pytest.mark.parametrize(
    "keys",
    [
        {"abv": "50 %", "sugar": "900 g/l"},
        {"sugar": "1300 g/l"},
        {"sugar": "700 g/kg", "acid": "500 g/kg"},
        {"abv": "96 %", "sugar": "300 g/l"},
        {"abv": "40 %", "sugar": "800 g/kg", "density": "1 g/ml"},
    ],
    ids=str,
)
def test_what_leaves_no_room_for_water_is_refused(keys: dict[str, str]) -> None:
    """A slip in a file must not become a density."""
    with pytest.raises((CannotError, OutOfRangeError)):
        ingredient_liquid(ingredient("slip", **keys))


@pytest.mark.parametrize("brix", [99.0, 86.0])
def test_a_syrup_beyond_the_density_table_is_refused(brix: float) -> None:
    """85 °Bx is where the density formula ends."""
    with pytest.raises(BalancerError):
        syrup_liquid(PLAIN, brix)


def test_part_of_a_strength_need_not_be_sugar() -> None:
    """Maple at 66.9 °Bx of which 90 % is sugar: the rest adds weight and no sugar (USDA SR28 NDB 19353: 60.5 %)."""
    liquid = syrup_liquid(syrup("maple", standard="66.9 °Bx", sugar_share="90 %"), 66.9)

    assert 100.0 * liquid.sugar_per_g == pytest.approx(60.5, abs=0.5)
    assert grams(liquid, "other solids") == pytest.approx(0.0669)
    assert liquid.density == pytest.approx(syrup_liquid(PLAIN, 66.9).density or 0.0, rel=1e-9)


def test_acid_of_a_syrup_is_not_counted_in_its_strength() -> None:
    """Strength is sweetener solids; 34 g/kg acid takes the place of water."""
    liquid = syrup_liquid(syrup("cordial", acid="34 g/kg"), 50.0)

    assert liquid.sugar_per_g == pytest.approx(0.5)
    assert grams(liquid, "citric") == pytest.approx(0.034)
    assert grams(liquid, "water") == pytest.approx(1.0 - 0.5 - 0.034)


def test_alcohol_in_a_syrup_thins_it() -> None:
    """5 % vol in a 50 °Bx syrup is 39.46 g ethanol in a litre (0.78924 g/ml), and the litre weighs less."""
    liquid = syrup_liquid(syrup("spiked", abv="5 %"), 50.0)
    per_ml = liquid.per_ml

    assert per_ml is not None
    assert 1000.0 * per_ml[INDEX["ethanol"]] == pytest.approx(39.46, abs=0.005)
    assert liquid.density is not None
    assert liquid.density < 1.2296


amounts = st.floats(min_value=0.0, max_value=300.0)


@given(
    abv=st.floats(min_value=0.0, max_value=60.0),
    sugar=amounts,
    sugar_unit=st.sampled_from(["g/kg", "g/l"]),
    acid=st.floats(min_value=0.0, max_value=80.0),
    acid_unit=st.sampled_from(["g/kg", "g/l"]),
    kind=st.sampled_from([component.name for component in COMPONENTS if component.kind == "acid"]),
)
def test_a_gram_is_a_gram_and_a_litre_a_litre(
    abv: float, sugar: float, sugar_unit: str, acid: float, acid_unit: str, kind: str
) -> None:
    """Whatever is stated how: components sum to the gram, none is negative, and the model fills the ml again."""
    made = ingredient(
        "any",
        abv=abv,
        sugar=Quantity(sugar, sugar_unit),
        acid=Quantity(acid, acid_unit),
        acids={kind: "100 %"},
    )
    try:
        liquid = ingredient_liquid(made)
    except OutOfRangeError:
        assume(False)
    assume(liquid.density is not None)  # else more acid of one proton than its water holds

    assert sum(liquid.per_g) == pytest.approx(1.0, abs=1e-9)
    assert min(liquid.per_g) >= 0.0
    assert model_ml(liquid) == pytest.approx(1.0, abs=1e-9)
    stated = sugar_g(liquid.per_g if sugar_unit == "g/kg" else liquid.per_ml or ())
    assert 1000.0 * stated == pytest.approx(sugar, abs=1e-8)
    titre = acid_as_citric_g(liquid.per_g if acid_unit == "g/kg" else liquid.per_ml or ())
    assert 1000.0 * titre == pytest.approx(acid, abs=1e-8)


@given(st.floats(min_value=1.0, max_value=1226.0))
def test_sugar_by_volume_is_solved_up_to_the_end_of_the_table(g_per_l: float) -> None:
    """85 °Bx at 1.4444 g/ml is 1227 g/l; nothing below is refused on the way to the answer."""
    liquid = ingredient_liquid(ingredient("bought syrup", sugar=Quantity(g_per_l, "g/l")))

    assert 1000.0 * liquid.sugar_g_per_ml == pytest.approx(g_per_l, rel=1e-9)
    assert model_ml(liquid) == pytest.approx(1.0, abs=1e-9)


@given(st.floats(min_value=0.1, max_value=80.0), st.floats(min_value=0.0, max_value=40.0))
def test_a_syrup_is_a_gram_and_a_litre_too(brix: float, acid: float) -> None:
    """The same for syrups, whose strength is by weight and whose acid may be by volume."""
    liquid = syrup_liquid(syrup("any", acid=Quantity(acid, "g/l"), sugar_share="95 %"), brix)

    assert sum(liquid.per_g) == pytest.approx(1.0, abs=1e-9)
    assert model_ml(liquid) == pytest.approx(1.0, abs=1e-9)
    assert 100.0 * (liquid.sugar_per_g + grams(liquid, "other solids")) == pytest.approx(brix, abs=1e-9)


def test_parts_are_the_rows_that_are_there() -> None:
    """The short form of a composition holds all of it."""
    liquid = ingredient_liquid(LIME)
    rebuilt = [0.0] * len(COMPONENTS)
    for row, per_g in liquid.parts:
        rebuilt[row] = per_g

    assert tuple(rebuilt) == liquid.per_g
    assert liquid.per_ml == scale(liquid.density or 0.0, liquid.per_g)


def test_standard_is_taken_as_written() -> None:
    """A stated strength needs no instrument."""
    assert standard_strength(BERRY) == 50.0


@pytest.mark.parametrize(("acid_g_per_kg", "table_correction"), [(24, 0.47), (34, 0.66), (46, 0.89), (60, 1.15)])
def test_a_standard_reading_loses_its_acid(acid_g_per_kg: float, table_correction: float) -> None:
    """Citrus table (Kimball 1991, app. A), 2.4 % to +0.47 and so on; then the acid itself is taken off."""
    made = syrup("cordial", standard_reading="53 °Bx", acid=f"{acid_g_per_kg} g/kg")

    assert standard_strength(made) == pytest.approx(53.0 + table_correction - acid_g_per_kg / 10.0, abs=0.016)


def test_acid_by_volume_counts_by_weight() -> None:
    """41.8 g/l in a syrup of 50 °Bx, 1.2296 g/ml, is 3.4 % by weight: the table gives +0.66."""
    made = syrup("cordial", standard_reading="52.74 °Bx", acid="41.8 g/l")

    assert standard_strength(made) == pytest.approx(52.74 + 0.66 - 3.40, abs=0.02)


@pytest.mark.parametrize(("reads", "solids"), [(27.61, 28.0), (33.48, 34.0), (39.32, 40.0), (45.16, 46.0)])
def test_a_standard_reading_of_invert_sugar_reads_low(reads: float, solids: float) -> None:
    """CRC Handbook: half glucose, half fructose at 28 % has n = 1.3769, which a sucrose scale shows as 27.61.

    The scale is that of ICUMSA 1974, interpolated between its printed rows; 0.05 for that and for the fit.
    """
    made = syrup("invert", standard_reading=f"{reads} °Bx", sugars={"glucose": "50 %", "fructose": "50 %"})

    assert standard_strength(made) == pytest.approx(solids, abs=0.05)


def test_only_the_sugar_part_of_the_solids_is_inverted() -> None:
    """Half sugar, half gum: half the correction of the same reading, AOAC's 0.022 per °Bx from 59 °Bx on."""
    kinds = {"glucose": "50 %", "fructose": "50 %"}
    pure = syrup("invert", standard_reading="65 °Bx", sugars=kinds)
    half = syrup("gum", standard_reading="65 °Bx", sugars=kinds, sugar_share="50 %")

    assert standard_strength(pure) == pytest.approx(65.0 + 65.0 * 0.022, abs=1e-9)
    assert standard_strength(half) == pytest.approx(65.0 + 65.0 * 0.022 / 2.0, abs=1e-9)


def test_alcohol_makes_a_reading_meaningless() -> None:
    """Above 1 % vol no strength is made out of what the instrument shows."""
    with pytest.raises(CannotError, match="alcohol reads like sugar"):
        standard_strength(syrup("spiked", standard_reading="50 °Bx", abv="5 %"))


def test_a_syrup_without_any_standard_is_refused() -> None:
    """Neither a strength nor a reading: nothing is assumed."""
    with pytest.raises(CannotError, match="no standard"):
        standard_strength(syrup("blank", standard=None))
