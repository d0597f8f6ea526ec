"""Swaps against published examples, sums done by hand, and what must always hold."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.across import stand_ins, swap_all
from balancer.engine.swaps.at import At, Strength
from balancer.engine.swaps.fits import fits
from balancer.engine.swaps.moved import Held, moved
from balancer.engine.swaps.one_for_one import one_for_one
from balancer.engine.swaps.swap import Swap, swap
from balancer.errors import CannotError
from balancer.units import Quantity
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, SOUR, bar, drink, ingredient, syrup
from tests.examples import examples
from tests.reference.facts import facts

if TYPE_CHECKING:
    from balancer.models.drink import Drink

RICH = syrup("rich syrup", standard="66.67 °Bx", allergens=[])
SUGAR = ingredient("white sugar", sugar="1000 g/kg", each={"cube": "4 g"}, allergens=[])
NUT = syrup("nut syrup", allergens=["tree nuts"])
ORANGE = ingredient("orange liqueur", abv="40 %", sugar="100 g/l")
PAIR = drink("Pair", "60 ml gold rum", "20 ml plain syrup")


def read(syrup_id: str, brix: float) -> At:
    """A night on which one batch is open and was read."""
    return At("tonight", {syrup_id: Strength(brix, "RED-1")})


def exact(result: Swap) -> dict[str, float]:
    return {pour.liquid.id: pour.exact.value for pour in result.pours}


def poured(result: Swap) -> dict[str, float]:
    return {pour.liquid.id: pour.poured.value for pour in result.pours}


def test_rich_syrup_and_water_for_simple_syrup() -> None:
    """WE-34: 20 ml of 1:1 becomes 13.9 ml of 2:1 and 6.1 ml of water, each to 0.1 ml, from the printed densities."""
    (row,) = [row for row in facts("worked_examples") if row["id"] == "WE-34"]
    assert (row["inputs"], row["expected"]) == ("spec_ml=20; standard_brix=50; batch_brix=66.67", "exact_ml=13.9")

    found = swap(bar(RUM, PLAIN, RICH, PAIR), PAIR, "plain-syrup", "rich-syrup", ("sugar", "volume"))

    assert found.feasible
    assert list(exact(found)) == ["gold-rum", "rich-syrup", "water"]
    assert exact(found)["rich-syrup"] == pytest.approx(13.9, abs=0.1)
    assert exact(found)["water"] == pytest.approx(6.1, abs=0.1)
    assert found.exact.sugar_g == pytest.approx(found.old.sugar_g, rel=1e-9)
    assert found.exact.mix.volume_ml == pytest.approx(found.old.mix.volume_ml, rel=1e-9)


def test_rich_for_simple_is_seven_tenths() -> None:
    """WE-40 by weight: 0.695 of the pour, by the printed densities 0.6148 and 0.8844 g sugar in a ml."""
    found = swap(bar(RUM, PLAIN, RICH, PAIR), PAIR, "plain-syrup", "rich-syrup")

    assert exact(found)["rich-syrup"] / 20.0 == pytest.approx(0.695, abs=0.0005)


def test_sugar_and_acid_of_a_sour_with_a_tart_syrup() -> None:
    """Two equations from g/l alone. Sugar and acid of 22.5 ml syrup at 614.8 g/l (0.5 x 1.2296 kg/l) and 22.5 ml lime:

    500 s + 16 j = 614.8 x 22.5 + 16 x 22.5 = 14193, 25 s + 60 j = 60 x 22.5 = 1350, in mg; by Cramer's rule
    s = (14193 x 60 - 16 x 1350) / 29600 and j = (500 x 1350 - 25 x 14193) / 29600.
    """
    lime = ingredient("lime", sugar="16 g/l", acid="60 g/l", allergens=[])
    tart = ingredient("tart syrup", sugar="500 g/l", acid="25 g/l", allergens=[])
    sour = drink("Sour", "60 ml gold rum", "22.5 ml lime", "22.5 ml plain syrup")

    found = swap(bar(RUM, lime, PLAIN, tart, sour), sour, "plain-syrup", "tart-syrup", ("sugar", "acid"))

    determinant = 500.0 * 60.0 - 16.0 * 25.0
    sugar, acid = 614.8 * 22.5 + 16.0 * 22.5, 60.0 * 22.5
    by_hand = (sugar * 60.0 - 16.0 * acid) / determinant, (500.0 * acid - 25.0 * sugar) / determinant
    assert by_hand == pytest.approx((28.04, 10.82), abs=0.005)
    # The printed 1.2296 is rounded to 0.00005, which is 4e-5 of it.
    assert (exact(found)["tart-syrup"], exact(found)["lime"]) == pytest.approx(by_hand, rel=1e-4)
    assert found.exact.sugar_g == pytest.approx(found.old.sugar_g, rel=1e-9)
    assert found.exact.acid_g == pytest.approx(found.old.acid_g, rel=1e-9)


@pytest.mark.parametrize(("into", "ml"), [("plain-syrup", 6.8), ("rich-syrup", 4.7)])
def test_a_spoon_of_dry_sugar_becomes_syrup(into: str, ml: float) -> None:
    """4.2 g of sugar over 0.6148 and 0.8844 g in a ml."""
    built = drink("Built", "60 ml gold rum", "4.2 g white sugar", method="built", dilution="24 %")

    found = swap(bar(RUM, PLAIN, RICH, SUGAR, built), built, "white-sugar", into)

    assert exact(found)[into] == pytest.approx(ml, abs=0.05)
    assert found.new_pour.poured.unit == "ml"
    assert found.new_pour.spec is None


def test_syrup_becomes_dry_sugar_by_weight() -> None:
    """20 ml at 0.6148 g/ml is 12.3 g; the scale of the house divides grams."""
    found = swap(bar(RUM, PLAIN, SUGAR, PAIR), PAIR, "plain-syrup", "white-sugar")

    pour = found.new_pour
    assert (pour.exact.unit, pour.exact.ml(pour.liquid)) == ("g", None)
    assert pour.exact.value == pytest.approx(20.0 * 0.6148, rel=1e-4)
    assert pour.poured == Amount(12.0, "g")


def test_a_liqueur_brings_alcohol_that_is_named() -> None:
    """60 ml of a drink without alcohol; 12.3 g sugar need 123 ml of the liqueur at 40 % vol, 0.7892 g/ml ethanol."""
    soft = drink("Soft", "60 ml lime juice", "20 ml plain syrup", dilution="20 %", zero_proof="true")
    found = swap(bar(LIME, PLAIN, ORANGE, soft), soft, "plain-syrup", "orange-liqueur")

    assert found.breaks_zero_proof
    assert found.alcohol_added_g == pytest.approx(poured(found)["orange-liqueur"] * 0.4 * 0.7892, rel=1e-3)
    assert exact(found)["orange-liqueur"] == pytest.approx(122.96, rel=1e-3)
    assert found.unknown == ("orange-liqueur",)
    assert not found.is_harmless


def test_abv_that_cannot_be_held_is_an_obstacle_not_an_error() -> None:
    ropes = drink("Ropes", "45 ml gold rum", "15 ml orange liqueur", "22.5 ml lime juice")
    found = swap(bar(RUM, LIME, PLAIN, ORANGE, ropes), ropes, "orange-liqueur", "plain-syrup", ("sugar", "abv"))

    assert found.obstacle is not None
    assert dict(found.obstacle.misses)["abv"] < 0.0
    assert exact(found)["gold-rum"] == 45.0  # spirits are not moved
    assert found.alcohol_added_g is not None
    assert found.alcohol_added_g < 0.0


def test_water_cannot_be_taken_out() -> None:
    """Simple for rich at equal volume: the 20 ml that 13.9 ml become would need 6.1 ml less than no water."""
    strong = drink("Strong", "60 ml gold rum", "13.9 ml rich syrup")
    found = swap(bar(RUM, PLAIN, RICH, strong), strong, "rich-syrup", "plain-syrup", ("sugar", "volume"))

    assert found.obstacle is not None
    (water,) = found.obstacle.below_zero
    assert water.liquid.id == "water"
    assert water.amount.value == pytest.approx(-6.1, abs=0.1)
    assert exact(found)["water"] == 0.0
    assert found.one_for_one_brix == pytest.approx(66.67, abs=1e-6)
    assert {quantity for quantity, _ in found.obstacle.misses} == {"sugar", "volume"}


def test_too_sour_a_syrup_would_take_less_than_no_juice() -> None:
    """50 g/l sugar to 60 g/l acid: equal sugar alone brings ten times the drink's acid."""
    sharp = ingredient("sharp cordial", sugar="100 g/l", acid="60 g/l", allergens=[])
    found = swap(bar(RUM, LIME, BERRY, sharp, SOUR), SOUR, "berry-syrup", "sharp-cordial", ("sugar", "acid"))

    assert found.obstacle is not None
    assert [item.liquid.id for item in found.obstacle.below_zero] == ["lime-juice"]
    assert exact(found)["lime-juice"] == 0.0
    assert found.obstacle.acid_short_g == 0.0


def test_acid_without_a_sour_pour_says_how_much_is_missing() -> None:
    """22.5 ml of a berry syrup with 9 g/kg at 1.23 g/ml bring 0.25 g acid, and the plain one brings none."""
    strong = drink("Strong", "60 ml gold rum", "22.5 ml tart berry")
    tart = syrup("tart berry", acid="9 g/kg", allergens=[])
    found = swap(bar(RUM, PLAIN, tart, strong), strong, "tart-berry", "plain-syrup", ("sugar", "acid"))

    assert found.obstacle is not None
    assert found.obstacle.no_sour_pour
    assert found.obstacle.acid_short_g == pytest.approx(22.5 * 1.2296 * 0.009, rel=0.01)


def test_a_fixed_or_strong_pour_is_not_the_sour_one() -> None:
    """The wine has less acid than the lime and is weaker than a spirit, so it is free when the lime is fixed."""
    wine = ingredient("white wine", abv="12 %", sugar="2 g/l", acid="6 g/l", allergens=[])
    sour = drink(
        "Sour",
        "45 ml white wine",
        {"pour": Quantity(22.5, "ml"), "of": "lime juice", "fixed": True},
        "20 ml berry syrup",
    )
    found = swap(bar(wine, LIME, BERRY, PLAIN, sour), sour, "berry-syrup", "plain-syrup", ("sugar", "acid"))

    assert [pour.liquid.id for pour in found.free_pours] == ["white-wine", "plain-syrup"]
    assert found.feasible


def test_water_that_the_drink_has_is_the_water_that_moves() -> None:
    long = drink("Long", "60 ml gold rum", "20 ml water", "20 ml plain syrup")
    water = ingredient("water", sugar="0 g/l", allergens=[])
    found = swap(bar(RUM, PLAIN, RICH, water, long), long, "plain-syrup", "rich-syrup", ("sugar", "volume"))

    assert list(exact(found)) == ["gold-rum", "water", "rich-syrup"]
    assert exact(found)["water"] == pytest.approx(26.1, abs=0.1)


def test_a_syrup_that_is_there_already_is_poured_once() -> None:
    both = drink("Both", "60 ml gold rum", "10 ml rich syrup", "20 ml plain syrup")
    found = swap(bar(RUM, PLAIN, RICH, both), both, "plain-syrup", "rich-syrup")

    assert list(exact(found)) == ["gold-rum", "rich-syrup"]
    assert exact(found)["rich-syrup"] == pytest.approx(10.0 + 13.9, abs=0.05)


def test_the_jigger_pours_are_the_best_of_all() -> None:
    """Against every pair of pours up to 60 ml, the cost worked straight from the rule."""
    tart = ingredient("tart syrup", sugar="500 g/l", acid="25 g/l", allergens=[])
    house = bar(RUM, LIME, PLAIN, tart, PLAIN)
    for syrup_ml in (12.5, 15.0, 17.5, 20.0, 22.5, 27.5):
        sour = drink("Sour", "60 ml gold rum", "20 ml lime juice", f"{syrup_ml} ml plain syrup")
        found = swap(house, sour, "plain-syrup", "tart-syrup", ("sugar", "acid"))

        def cost(syrup_ml: float, lime_ml: float, sour: Drink = sour, found: Swap = found) -> float:
            new = drink("New", "60 ml gold rum", f"{lime_ml} ml lime juice", f"{syrup_ml} ml tart syrup")
            sugar, acid = _sugar_and_acid(house, new)
            before = _sugar_and_acid(house, sour)
            spec = found.new_pour.spec
            assert spec is not None
            steps = ((lime_ml - 20.0) / 2.5) ** 2 + ((syrup_ml - spec.value) / 2.5) ** 2
            change = (100.0 * (sugar / before[0] - 1.0) / 5.0) ** 2 + (100.0 * (acid / before[1] - 1.0) / 10.0) ** 2
            return change + 0.01 * steps

        counts = [2.5 * count for count in range(1, 25)]
        best = min((cost(s, j), s, j) for s in counts for j in counts)
        assert (poured(found)["tart-syrup"], poured(found)["lime-juice"]) == best[1:]


def _sugar_and_acid(house: Bar, spec: Drink) -> tuple[float, float]:
    """Grams by the liquids' own grams in a ml."""
    pours = [(pour.amount.value, house.liquid(pour.of)) for pour in spec.pours]
    return sum(ml * of.sugar_g_per_ml for ml, of in pours), sum(ml * of.acid_g_per_ml for ml, of in pours)


def test_a_free_pouring_house_keeps_its_pours_and_a_weighing_one_gets_grams() -> None:
    free = swap(bar(RUM, PLAIN, RICH, PAIR, pour_style="free"), PAIR, "plain-syrup", "rich-syrup")
    assert poured(free)["rich-syrup"] == 20.0
    assert exact(free)["rich-syrup"] == pytest.approx(13.9, abs=0.05)

    weighed = swap(bar(RUM, PLAIN, RICH, PAIR, pour_style="scale"), PAIR, "plain-syrup", "rich-syrup")
    pour = weighed.new_pour
    assert pour.spec is not None
    assert (pour.spec.unit, pour.exact.unit, pour.poured.unit) == ("g", "g", "g")
    assert pour.spec.value == pytest.approx(20.0 * 1.2296, rel=1e-4)
    assert pour.poured.value == pytest.approx(18.0)  # 12.3 g sugar over 0.6667 is 18.4 g
    assert pour.written == Amount(20.0)
    fine = bar(RUM, PLAIN, RICH, PAIR, pour_style="scale", scale={"division": "0.1 g"})
    pour = swap(fine, PAIR, "plain-syrup", "rich-syrup").new_pour
    assert pour.poured.value == pytest.approx(18.4, abs=0.15)


def test_allergens_gained_lost_and_unknown() -> None:
    house = bar(RUM, LIME, BERRY, NUT, ORANGE, SOUR)
    assert swap(house, SOUR, "berry-syrup", "nut-syrup").gained == ("tree nuts",)
    assert swap(house, SOUR, "berry-syrup", "orange-liqueur").unknown == ("orange-liqueur",)

    nutty = drink("Nutty", "60 ml gold rum", "20 ml nut syrup")
    assert swap(house, nutty, "nut-syrup", "berry-syrup").lost == ("tree nuts",)


def test_the_measured_strength_counts() -> None:
    """A 2:1 that reads 60 °Bx pours 12.296 g / (0.6 x 1.2865 g/ml)."""
    found = swap(bar(RUM, PLAIN, RICH, PAIR), PAIR, "plain-syrup", "rich-syrup", at=read("rich-syrup", 60.0))

    assert exact(found)["rich-syrup"] == pytest.approx(20.0 * 0.6148 / (0.6 * 1.2865), rel=1e-4)
    assert found.strength == Strength(60.0, "RED-1")


def test_at_the_strength_it_names_a_syrup_pours_one_for_one() -> None:
    orange = bar(RUM, PLAIN, BERRY, SOUR, LIME)
    strength = one_for_one(BERRY, orange.liquid("plain-syrup"))
    assert strength is not None

    spec = drink("Spec", "60 ml gold rum", "20 ml plain syrup")
    found = swap(orange, spec, "plain-syrup", "berry-syrup", at=read("berry-syrup", strength))

    assert exact(found)["berry-syrup"] == pytest.approx(20.0, rel=1e-9)


def test_no_syrup_is_as_sweet_as_dry_sugar_by_the_ml() -> None:
    assert one_for_one(BERRY, bar(SUGAR).liquid("white-sugar")) is None


@pytest.mark.parametrize(
    ("out", "into", "held", "code"),
    [
        ("plain-syrup", "berry-syrup", ("sugar",), "not-poured"),
        ("gold-rum", "plain-syrup", ("sugar",), "no-sugar"),
        ("berry-syrup", "gold-rum", ("sugar",), "no-sugar"),
        ("berry-syrup", "bitter", ("sugar",), "sugar-unknown"),
    ],
)
def test_what_has_no_answer_is_a_named_error(out: str, into: str, held: tuple[Held, ...], code: str) -> None:
    bitter = ingredient("bitter", abv="20 %")
    with pytest.raises(CannotError) as caught:
        swap(bar(RUM, LIME, PLAIN, BERRY, bitter, SOUR), SOUR, out, into, held)
    assert caught.value.code == code


def test_a_fixed_pour_is_not_swapped_and_nothing_is_held_of_nothing() -> None:
    fixed = drink("Fixed", "60 ml gold rum", {"pour": Quantity(20.0, "ml"), "of": "plain syrup", "fixed": True})
    house = bar(RUM, PLAIN, RICH, fixed, PAIR)
    with pytest.raises(CannotError, match="is fixed"):
        swap(house, fixed, "plain-syrup", "rich-syrup")
    with pytest.raises(CannotError, match="no acid to hold"):
        swap(house, PAIR, "plain-syrup", "rich-syrup", ("sugar", "acid"))


def test_what_comes_does_not_add_to_a_pour_that_is_fixed() -> None:
    """It is portioned ahead: the vial of 10 ml cannot become 30."""
    vial = {"pour": Quantity(10.0, "ml"), "of": "plain syrup", "fixed": True}
    fixed = drink("Vial", "60 ml gold rum", vial, "20 ml rich syrup")
    house = bar(RUM, PLAIN, RICH, fixed)
    with pytest.raises(CannotError, match="the pour of plain syrup in Vial is fixed"):
        swap(house, fixed, "rich-syrup", "plain-syrup")
    assert [misfit.into.id for misfit in fits(house, fixed, "rich-syrup", ["plain-syrup"]).misfits] == ["plain-syrup"]


def test_the_whole_menu_answers_what_it_can() -> None:
    fixed = drink("Fixed", "60 ml gold rum", {"pour": Quantity(20.0, "ml"), "of": "plain syrup", "fixed": True})
    found, failed = swap_all(bar(RUM, PLAIN, RICH, BERRY, LIME, PAIR, SOUR, fixed), "plain-syrup", "rich-syrup")

    assert [result.drink.id for result in found] == ["pair"]
    assert [(item.id, error.problems()[0].code) for item, error in failed] == [("fixed", "fixed")]


def test_what_stands_in_is_ranked_by_how_little_moves_and_nuts_come_last() -> None:
    """The sour keeps its acid with another berry syrup, loses it with the plain one; the nuts are no taste."""
    other = syrup("other berry syrup", acid="9 g/kg", allergens=[])
    sour_berry = syrup("berry syrup", acid="9 g/kg", allergens=[])
    house = bar(RUM, LIME, PLAIN, sour_berry, other, NUT, SOUR)
    open_ones = [(name, Strength(50.0)) for name in ("nut-syrup", "plain-syrup", "other-berry-syrup", "berry-syrup")]

    found = stand_ins(house, SOUR, "berry-syrup", open_ones)

    assert [result.into.id for result in found] == ["other-berry-syrup", "plain-syrup", "nut-syrup"]
    assert found[0].effort < 1e-12


def test_sweetness_is_held_as_the_middle_of_its_range() -> None:
    """Fructose at 1.14 to 1.80 times sucrose: equal sweetness pours less of it, and the range stays open."""
    fruity = syrup("fruity syrup", sugars={"fructose": "100 %"}, allergens=[])
    found = swap(bar(RUM, PLAIN, fruity, PAIR), PAIR, "plain-syrup", "fruity-syrup", ("sweetness",))

    change = moved(found.old, found.exact).sweetness
    assert change is not None
    assert change.middle == pytest.approx(0.0, abs=1e-9)
    # All the drink's sugar is replaced: x times 1.14 to 1.80 has its middle at 1 where x = 1 / 1.47.
    assert exact(found)["fruity-syrup"] == pytest.approx(20.0 / 1.47, rel=1e-9)
    assert (change.low, change.high) == pytest.approx((100 * (1.14 / 1.47 - 1), 100 * (1.80 / 1.47 - 1)), rel=1e-9)


amounts = st.integers(2, 24).map(lambda count: 2.5 * count)
strengths = st.floats(20.0, 70.0)


@settings(max_examples=examples(60), deadline=None)
@given(syrup_ml=amounts, lime_ml=amounts, first=strengths, second=strengths, acid=st.integers(0, 12))
def test_there_and_back_is_the_spec_again(
    syrup_ml: float, lime_ml: float, first: float, second: float, acid: int
) -> None:
    one = syrup("one syrup", standard=f"{first!r} °Bx", acid=f"{acid} g/kg")
    two = syrup("two syrup", standard=f"{second!r} °Bx", acid="3 g/kg")
    spec = drink("Spec", "60 ml gold rum", f"{lime_ml} ml lime juice", f"{syrup_ml} ml one syrup")
    house = bar(RUM, LIME, one, two, spec)
    there = swap(house, spec, "one-syrup", "two-syrup", ("sugar", "acid"))
    assume(there.feasible and min(exact(there).values()) > 0.01)
    lime, new = exact(there)["lime-juice"], exact(there)["two-syrup"]
    changed = drink("Changed", "60 ml gold rum", f"{lime!r} ml lime juice", f"{new!r} ml two syrup")

    back = swap(house, changed, "two-syrup", "one-syrup", ("sugar", "acid"))

    assert back.feasible
    assert exact(back)["one-syrup"] == pytest.approx(syrup_ml, rel=1e-8)
    assert exact(back)["lime-juice"] == pytest.approx(lime_ml, rel=1e-8)


QUANTITIES: list[Held] = ["sugar", "acid", "volume", "abv", "sweetness"]
holds = st.lists(st.sampled_from(QUANTITIES), min_size=1, unique=True)


@settings(max_examples=examples(60), deadline=None)
@given(held=holds, syrup_ml=amounts)
def test_a_syrup_for_itself_changes_nothing(held: list[Held], syrup_ml: float) -> None:
    spec = drink("Spec", "60 ml gold rum", "22.5 ml lime juice", f"{syrup_ml} ml berry syrup")

    found = swap(bar(RUM, LIME, BERRY, spec), spec, "berry-syrup", "berry-syrup", held)

    assert found.feasible
    for pour in found.pours:
        assert pour.spec is not None
        assert pour.stays
        assert pour.exact.value == pytest.approx(pour.spec.value, abs=1e-7)
    assert found.effort < 1e-12
    assert (found.gained, found.lost, found.unknown) == ((), (), ())


@settings(max_examples=examples(60), deadline=None)
@given(held=holds, syrup_ml=amounts, brix=strengths)
def test_mass_is_conserved_and_what_is_held_is_held(held: list[Held], syrup_ml: float, brix: float) -> None:
    """The served drink weighs what is poured and the water the method adds; every held change is below 1e-6 %."""
    spec = drink("Spec", "60 ml gold rum", "22.5 ml lime juice", f"{syrup_ml} ml berry syrup")

    at = read("plain-syrup", brix)
    found = swap(bar(RUM, LIME, PLAIN, BERRY, spec), spec, "berry-syrup", "plain-syrup", held, at)

    for glass, which in ((found.exact, exact(found)), (found.new, poured(found))):
        weights = [which[line.liquid.id] * (line.liquid.density or 0.0) for line in found.pours]
        assert glass.served is not None
        assert glass.served.mass_g == pytest.approx(sum(weights) + (glass.dilution.melt_water_g or 0.0), rel=1e-9)
    assert all(pour.exact.value >= 0.0 and pour.poured.value >= 0.0 for pour in found.pours)
    if found.feasible:
        after = moved(found.old, found.exact)
        changes = {
            "sugar": after.sugar_percent,
            "acid": after.acid_percent,
            "volume": after.mix_volume_percent,
            "abv": after.abv_points,
            "sweetness": after.sweetness.middle if after.sweetness else None,
        }
        found_changes = [changes[quantity] or 0.0 for quantity in held]
        # One free pour for each of these: nothing is missed unless a pour would be less than nothing.
        if set(held) <= {"sugar", "acid", "volume"} and all(pour.exact.value > 0.01 for pour in found.free_pours):
            assert found_changes == pytest.approx([0.0] * len(held), abs=1e-6)
        assert all(abs(change) <= 5.0 + 1e-6 or _nearly_nothing(found) for change in found_changes)


def _nearly_nothing(found: Swap) -> bool:
    """Whether a pour was left out that wanted to be less than nothing by less than half a step."""
    return any(pour.exact.value == 0.0 for pour in found.free_pours)
