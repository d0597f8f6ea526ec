"""How much to add at first, and what an addition does to a batch."""

from __future__ import annotations

from math import sqrt

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import norm

from balancer.engine.drink.blend import addition_g
from balancer.engine.drink.liquid import syrup_liquid
from balancer.engine.prep.correct import (
    SUGAR,
    WATER,
    Additive,
    Contents,
    Correction,
    PrepStation,
    additive_of,
    correct_with,
    first_addition_g,
    fluid_ounces_weighed,
    full_addition,
    plain,
)
from balancer.engine.prep.measure import measure
from balancer.engine.prep.readings import Readings
from balancer.errors import CannotError
from balancer.measured import Measured
from balancer.models.house import Instrument
from balancer.models.syrup import Syrup
from balancer.properties import sucrose
from balancer.units import US_FLUID_OUNCE_ML, Quantity
from tests.engine.builders import LIME, PLAIN, RUM, bar, ingredient, syrup

BENCH = PrepStation(Instrument.model_validate({"scale": "0-90 °Bx"}), 4.0, None)
FRUIT = syrup("fruit", acid="9 g/kg", sugars={"sucrose": "60 %", "glucose": "20 %", "fructose": "20 %"})
strengths = st.floats(min_value=5.0, max_value=75.0)


def contents(
    brix: float, mass_g: float = 1000.0, of: Syrup = PLAIN, *, u_brix: float = 0.0, u_g: float = 0.0
) -> Contents:
    liquid = syrup_liquid(of, brix)
    assert liquid.density is not None
    mass, strength = Measured(mass_g, {"mass": u_g}), Measured(brix, {"brix": u_brix})
    return Contents(liquid.per_g, liquid.density, mass, strength, of.flavour != "none")


def corrected(batch: Contents, target: float, additive: Additive = WATER, bench: PrepStation = BENCH) -> Correction:
    found = correct_with(batch, target, additive, bench)
    assert found is not None
    return found


# The first addition


def test_two_standard_uncertainties_short() -> None:
    """2 kg at 54 ± 1, 100 g either way: 160 g, off by 2000/50 = 40 g and by 160 × 100/2000 = 8 g."""
    full = full_addition(Measured(2000.0, {"mass": 100.0}), Measured(54.0, {"brix": 1.0}), 50.0, 0.0)
    assert full.value == pytest.approx(160.0)
    assert full.uncertainty == pytest.approx(sqrt(40.0**2 + 8.0**2), rel=1e-6)
    assert first_addition_g(full) == pytest.approx(160.0 - 2.0 * sqrt(1664.0), rel=1e-6)


def test_it_hardly_ever_goes_past() -> None:
    """It is all that a batch two standard uncertainties weaker needs, and 2.3 in 100 are: scipy's normal tail."""
    assert norm.sf(2.0) < 0.05
    full = full_addition(Measured(2000.0), Measured(54.0, {"brix": 0.5}), 50.0, 0.0)
    assert first_addition_g(full) == pytest.approx(addition_g(2000.0, 54.0 - 2.0 * 0.5, 50.0, 0.0), rel=1e-6)


def test_what_is_certain_is_added_at_once() -> None:
    full = full_addition(Measured(2000.0), Measured(54.0), 50.0, 0.0)
    assert first_addition_g(full) == full.value == pytest.approx(160.0)


def test_what_may_be_right_already_is_read_again_first() -> None:
    full = full_addition(Measured(2000.0), Measured(51.0, {"brix": 0.6}), 50.0, 0.0)
    assert first_addition_g(full) == 0.0


@given(
    brix=strengths,
    target=strengths,
    u_brix=st.floats(min_value=0.0, max_value=3.0),
    u_mass=st.floats(min_value=0.0, max_value=0.1),
)
def test_it_is_never_negative_and_never_more_than_all(brix: float, target: float, u_brix: float, u_mass: float) -> None:
    assume(abs(brix - target) > 0.01)
    mass = Measured(1000.0, {"mass": 1000.0 * u_mass})
    full = full_addition(mass, Measured(brix, {"brix": u_brix}), target, 0.0 if brix > target else 100.0)
    assert 0.0 <= first_addition_g(full) <= full.value


def test_numbers_that_are_none_are_told() -> None:
    for numbers in ((float("nan"), 54.0, 50.0, 0.0), (1000.0, float("inf"), 50.0, 0.0)):
        with pytest.raises(CannotError, match="not a number"):
            addition_g(*numbers)


# What it does


def test_water_for_a_strong_batch() -> None:
    """WE-24, WE-25: 2000 g at 54 to 50 takes 160 g; its volume by the densities 1.2519 and 1.2296 g/ml."""
    found = corrected(contents(54.0, 2000.0), 50.0)
    assert found.additive is WATER
    assert found.add_g == pytest.approx(160.0, abs=0.5)
    assert found.add_ml == pytest.approx(160.0 / 0.9982, abs=0.1)
    assert found.final_mass_g == pytest.approx(2160.0, abs=0.5)
    assert found.final_volume_ml == pytest.approx(2160.0 / 1.2296, abs=0.5)
    assert found.final_brix == pytest.approx(50.0, abs=1e-9)


def test_sugar_for_juice() -> None:
    """WE-29: 1 kg of juice at 12.8 °Bx takes 744 g; sugar is weighed, never poured."""
    found = corrected(contents(12.8), 50.0, SUGAR)
    assert found.add_g == pytest.approx(744.0, abs=0.5)
    assert (found.add_ml, found.first_add_ml) == (None, None)


def test_water_for_honey() -> None:
    """WE-31: 64 g to 100 g of honey at 82 °Bx."""
    assert corrected(contents(82.0, 100.0), 50.0).add_g == pytest.approx(64.0, abs=0.5)


def test_juice_for_a_strong_batch() -> None:
    """WE-70: 215 g of juice at 12.8 °Bx to 2 kg at 54."""
    assert corrected(contents(54.0, 2000.0), 50.0, plain(12.8)).add_g == pytest.approx(215.0, abs=0.5)


def test_a_pearson_square() -> None:
    """WE-23, Practical Action KnO 100231: 45 parts of juice at 10 to 5 of syrup at 60 make 15 °Bx."""
    assert corrected(contents(10.0, 45.0), 15.0, plain(60.0)).add_g == pytest.approx(5.0, abs=1e-9)


def test_the_syrup_of_the_pharmacopoeia() -> None:
    """USP 32-NF 27: 850 g of sucrose in 1000 ml of specific gravity 1.313 (WE-06): 64.7 °Bx and 463 g of water."""
    strength = 100.0 * 850.0 / 1313.0
    assert strength == pytest.approx(64.74, abs=0.005)
    assert addition_g(850.0, 100.0, strength, 0.0) == pytest.approx(463.0, abs=0.5)
    assert sucrose.density(strength) == pytest.approx(1313.0, abs=3.0)
    assert corrected(contents(64.74), 50.0).add_g == pytest.approx(1000.0 * 14.74 / 50.0, abs=0.1)


def test_half_and_half_by_weight() -> None:
    """WE-68: 60 °Bx with as much water is 30.0."""
    assert corrected(contents(60.0, 100.0), 30.0).add_g == pytest.approx(100.0)


def test_what_cannot_help_gives_nothing() -> None:
    assert correct_with(contents(46.0), 50.0, WATER, BENCH) is None
    assert correct_with(contents(54.0), 50.0, SUGAR, BENCH) is None
    assert correct_with(contents(54.0), 50.0, plain(50.0), BENCH) is None


def test_a_batch_at_its_target_takes_nothing() -> None:
    found = corrected(contents(50.0, u_brix=0.5), 50.0)
    assert (found.additive, found.add_g, found.first_add_g) == (None, 0.0, 0.0)
    assert found.final_brix == pytest.approx(50.0)


@given(brix=strengths, target=strengths, of=st.sampled_from([PLAIN, FRUIT]))
def test_what_the_scale_should_show_is_what_it_measures(brix: float, target: float, of: Syrup) -> None:
    """The reading announced, measured with the corrected acid and sugars, is the target."""
    assume(abs(brix - target) > 0.01)
    found = corrected(contents(brix, of=of), target, WATER if brix > target else SUGAR)
    assert found.final_reading_brix is not None
    inverted = 0.4 * min(1.0, brix / target * 1000.0 / found.final_mass_g) if of is FRUIT else 0.0
    acid = Quantity(9.0 * 1000.0 / found.final_mass_g, "g/kg") if of is FRUIT else None
    again = Readings((found.final_reading_brix,), BENCH.instrument, acid=acid, inverted_fraction=inverted)
    assert measure(again).strength.value == pytest.approx(target, abs=1e-6)


def test_the_scale_ends_before() -> None:
    """66.7 °Bx is read as 100 g with 25 g of water: 53.4 on a scale to 55."""
    hand = BENCH._replace(instrument=Instrument.model_validate({"scale": "0-55 °Bx"}))
    found = corrected(contents(70.0), 66.7, bench=hand)
    assert found.final_diluted is not None
    assert found.final_diluted.reads_brix == pytest.approx(66.7 / 1.25, abs=1e-6)
    assert corrected(contents(70.0), 66.7).final_diluted is None


def test_water_thins_acid_and_flavour() -> None:
    """1000 g at 54 with 9 g/kg: 80 g of water leave 9/1.08 g/kg, and as much flavour in more millilitres."""
    found = corrected(contents(54.0, of=FRUIT), 50.0)
    assert found.acid_g_per_kg == pytest.approx((9.0, 9.0 / 1.08), abs=1e-9)
    ml_before = 1000.0 / (syrup_liquid(FRUIT, 54.0).density or 0.0)
    assert found.acid_percent == pytest.approx(100.0 * (ml_before / found.final_volume_ml - 1.0), abs=1e-9)
    assert found.flavour_percent == pytest.approx(found.acid_percent, abs=1e-9)
    unflavoured = corrected(contents(54.0), 50.0)
    assert (unflavoured.acid_percent, unflavoured.flavour_percent) == (None, None)


def test_juice_brings_its_acid() -> None:
    """100 g of juice with 9 g/kg acid in 1100 g of plain syrup: 0.9/1.1."""
    pineapple = ingredient("pineapple juice", sugar="100 g/kg", acid="9 g/kg")
    juice = additive_of(bar(pineapple), "pineapple-juice", {})
    assert juice.brix == pytest.approx(10.0)
    batch = contents(54.0)
    found = corrected(batch, (1000.0 * 54.0 + 100.0 * 10.0) / 1100.0, juice)
    assert found.add_g == pytest.approx(100.0)
    assert found.acid_g_per_kg == pytest.approx((0.0, 0.9 / 1.1), abs=1e-9)


@pytest.mark.parametrize(("storage", "brix", "crystals"), [(0, 64.2, 64.2), (5, 64.9, 64.9), (10, 65.6, 65.6)])
def test_saturation_by_the_old_tables(storage: float, brix: float, crystals: float) -> None:
    """WE-67 (Mohos 2010, A2.2 and A2.3), within its 0.4: half a °Bx more grows crystals, a °Bx less does not."""
    bench = BENCH._replace(storage_c=float(storage))
    over = corrected(contents(80.0), brix + 0.5, bench=bench)
    assert over.saturated_brix == pytest.approx(crystals, abs=0.4)
    assert corrected(contents(80.0), brix - 1.0, bench=bench).saturated_brix is None


def test_a_two_to_one_grows_crystals_in_the_fridge_but_honey_does_not() -> None:
    """WE-67: 66.7 °Bx is over-saturated in a refrigerator. Only sucrose crystallises."""
    assert corrected(contents(70.0), 66.7).saturated_brix is not None
    assert corrected(contents(70.0), 66.7, bench=BENCH._replace(storage_c=-18.0)).saturated_brix is not None
    honey = syrup("honey", sugars={"fructose": "55 %", "glucose": "45 %"})
    assert corrected(contents(70.0, of=honey), 66.7).saturated_brix is None


@pytest.mark.parametrize(("container_ml", "fits"), [(1800.0, True), (1700.0, False)])
def test_the_container(container_ml: float, fits: bool) -> None:
    """2160 g of 50 °Bx fill 2160/1.2296 = 1757 ml."""
    assert corrected(contents(54.0, 2000.0), 50.0, bench=BENCH._replace(container_ml=container_ml)).fits is fits


def test_after_the_first_addition() -> None:
    """1000 g at 54 ± 0.5: 80 - 2 × 10 = 60 g of water, and 54/1.06 °Bx to expect."""
    found = corrected(contents(54.0, u_brix=0.5), 50.0)
    assert found.first_add_g == pytest.approx(60.0, rel=1e-6)
    assert found.first_mass_g == pytest.approx(1060.0, rel=1e-6)
    assert found.first_brix == pytest.approx(54.0 / 1.06, rel=1e-6)
    weak = corrected(contents(46.0, u_brix=0.5), 50.0, SUGAR)
    assert weak.first_brix == pytest.approx((46.0 + 6.0) / 1.06, rel=1e-6)


def test_alcohol_leaves_nothing_to_read() -> None:
    spirited = syrup("spirited", abv="10 %")
    assert corrected(contents(54.0, of=spirited), 50.0).final_reading_brix is None


# What to add


def test_a_strength_as_additive() -> None:
    assert plain(12.8).name == "liquid of 12.8 °Bx"
    assert plain(0.0).density == pytest.approx(0.9982, abs=1e-4)
    assert plain(90.0).density is None
    for wrong in (-1.0, 101.0, float("nan")):
        with pytest.raises(CannotError, match="no strength"):
            plain(wrong)


def test_a_syrup_at_standard_or_as_it_was_read() -> None:
    rich = syrup("rich", standard="66.7 °Bx")
    assert additive_of(bar(rich), "rich", {}).brix == pytest.approx(66.7)
    assert additive_of(bar(rich), "rich", {"rich": 64.0}).brix == pytest.approx(64.0)


def test_what_nobody_knows_cannot_be_added() -> None:
    house = bar(RUM, LIME, ingredient("mystery"))
    with pytest.raises(CannotError, match="how much sugar mystery holds"):
        additive_of(house, "mystery", {})
    with pytest.raises(CannotError, match="gold rum brings alcohol"):
        additive_of(house, "gold-rum", {})
    assert additive_of(house, "lime-juice", {}).brix == pytest.approx(1.69)


def test_fluid_ounces_on_a_scale() -> None:
    """WE-58: 16 oz of 50 °Bx on a scale are 12.5 US fluid ounces, 22 % short."""
    got = fluid_ounces_weighed(16.0, 50.0, US_FLUID_OUNCE_ML)
    assert got == pytest.approx(12.5, abs=0.1)
    assert 100.0 * (1.0 - got / 16.0) == pytest.approx(22.0, abs=0.6)
