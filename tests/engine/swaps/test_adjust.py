"""AdjustedDrink drinks against sums done by hand, every pour around the answer, and what must always hold."""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.engine.drink.totals import Glass, totals
from balancer.engine.swaps.adjust import AdjustedDrink, adjust
from balancer.engine.swaps.adjust_goals import Asked, Wanted
from balancer.errors import CannotError
from balancer.units import Quantity
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, bar, drink, ingredient, syrup
from tests.examples import examples

if TYPE_CHECKING:
    from balancer.engine.drink.bar import Bar
    from balancer.models.drink import Drink

SODA = ingredient("soda water", sugar="0 g/l", allergens=[], kind="mixer")
BITTERS = ingredient("bitters", abv="44 %", sugar="0 g/l", acid="0 g/l", allergens=[])
TART = syrup("tart syrup", acid="9 g/kg", allergens=[])
EGG = ingredient("egg white", kind="egg", sugar="0 g/l", acid="0 g/l", density="1.03 g/ml", each={"white": "30 ml"})
SOUR = drink("Sour", "60 ml gold rum", "22.5 ml lime juice", "22.5 ml plain syrup", dilution="45 %")
LONG = drink("Long", "45 ml gold rum", "20 ml lime juice", "20 ml tart syrup", "90 ml soda water", "2 dashes bitters",
             method="built", dilution="20 %")  # fmt: skip
WATER = ingredient("water", sugar="0 g/l", allergens=[])
WATER = ingredient("water", sugar="0 g/l", allergens=[])
HOUSE = bar(
    WATER, RUM, LIME, PLAIN, BERRY, TART, SODA, BITTERS, EGG, SOUR, LONG, glasses={"coupe": "180 ml", "rocks": "300 ml"}
)


def exact(result: AdjustedDrink) -> dict[str, float]:
    return {pour.liquid.id: pour.exact.value for pour in result.pours}


def poured(result: AdjustedDrink) -> dict[str, float]:
    return {pour.liquid.id: pour.poured.value for pour in result.pours}


def test_ten_per_cent_drier_is_a_tenth_less_of_the_only_sugar() -> None:
    """60 ml rum and 20 ml syrup: nine tenths of 20 ml; the nearest of 2.5 ml is 17.5."""
    pair = drink("Pair", "60 ml gold rum", "20 ml plain syrup")

    found = adjust(bar(RUM, PLAIN, pair), pair, Asked(sugar=Wanted(percent=-10.0)))

    assert exact(found) == {"gold-rum": 60.0, "plain-syrup": pytest.approx(18.0, rel=1e-9)}
    assert poured(found) == {"gold-rum": 60.0, "plain-syrup": 17.5}
    assert found.moved_exact.sugar_percent == pytest.approx(-10.0, abs=1e-6)
    assert found.feasible


def test_grams_may_be_asked_too() -> None:
    """10 g over the printed 0.6148 g in a ml of 50 °Bx are 16.27 ml."""
    pair = drink("Pair", "60 ml gold rum", "20 ml plain syrup")

    found = adjust(bar(RUM, PLAIN, pair), pair, Asked(sugar=Wanted(grams=10.0)))

    assert exact(found)["plain-syrup"] == pytest.approx(10.0 / 0.6148, rel=1e-4)


def test_sugar_and_acid_together_by_cramers_rule() -> None:
    """Lime 16 g/l sugar, 60 g/l acid; syrup 500 and 25. 20 ml of each, then sugar -10 %, acid +5 %, in mg:

    16 j + 500 s = 0.9 x 10320 = 9288, 60 j + 25 s = 1.05 x 1700 = 1785.
    """
    lime = ingredient("lime", sugar="16 g/l", acid="60 g/l", allergens=[])
    tart = ingredient("tart", sugar="500 g/l", acid="25 g/l", allergens=[])
    spec = drink("Spec", "60 ml gold rum", "20 ml lime", "20 ml tart", dilution="40 %")

    found = adjust(bar(RUM, lime, tart, spec), spec, Asked(Wanted(percent=-10.0), Wanted(percent=5.0)))

    by_hand_lime = (9288.0 * 25.0 - 500.0 * 1785.0) / (16.0 * 25.0 - 500.0 * 60.0)
    assert exact(found)["lime"] == pytest.approx(by_hand_lime, rel=1e-6)
    assert exact(found)["tart"] == pytest.approx((1785.0 - 60.0 * by_hand_lime) / 25.0, rel=1e-6)


def test_less_alcohol_takes_spirit_out_and_leaves_the_taste() -> None:
    """Sugar and acid in g stay; what is left of the rum makes 12 % vol by the totals of a drink written so."""
    found = adjust(HOUSE, SOUR, Asked(abv_percent=12.0))
    rum = exact(found)["gold-rum"]
    assert rum < 60.0
    assert (exact(found)["lime-juice"], exact(found)["plain-syrup"]) == pytest.approx((22.5, 22.5), abs=1e-6)

    written = drink("New", f"{rum} ml gold rum", "22.5 ml lime juice", "22.5 ml plain syrup", dilution="45 %")

    assert totals(HOUSE, written).as_drunk.abv_percent == pytest.approx(12.0, abs=1e-6)


def test_a_drink_with_a_lengthener_keeps_its_volume_while_its_abv_falls() -> None:
    found = adjust(HOUSE, LONG, Asked(abv_percent=6.0))

    assert found.exact.as_drunk.abv_percent == pytest.approx(6.0, abs=1e-6)
    assert found.exact.as_drunk.volume_ml == pytest.approx(found.old.as_drunk.volume_ml, rel=1e-8)
    assert exact(found)["soda-water"] > 90.0
    assert exact(found)["gold-rum"] < 45.0


def test_egg_white_and_saline_are_no_lengtheners() -> None:
    """Nobody halves the foam for more ABV, and drops of saline make no drink longer."""
    saline = ingredient("saline", kind="seasoning", sugar="0 g/l", acid="0 g/l", density="1.03 g/ml")
    foam = drink("Foam", "50 ml gold rum", "20 ml lime juice", "20 ml plain syrup", "20 ml egg white",
                 "4 drops saline", dilution="45 %")  # fmt: skip
    house = bar(WATER, RUM, LIME, PLAIN, EGG, saline, foam)

    for percent in (10.0, 16.0):
        found = adjust(house, foam, Asked(abv_percent=percent))
        assert found.feasible
        assert {pour.liquid.id for pour in found.changed} <= {"gold-rum", "lime-juice", "plain-syrup"}
    size = totals(house, foam).as_drunk.volume_ml
    assert "water" in exact(adjust(house, foam, Asked(abv_percent=10.0, volume_ml=size)))


def test_water_is_added_only_where_abv_and_volume_are_asked() -> None:
    size = totals(HOUSE, SOUR).as_drunk.volume_ml

    found = adjust(HOUSE, SOUR, Asked(abv_percent=12.0, volume_ml=size))

    assert found.feasible
    assert exact(found)["water"] > 5.0
    assert found.exact.sugar_g == pytest.approx(found.old.sugar_g, rel=1e-6)
    assert "water" not in exact(adjust(HOUSE, SOUR, Asked(abv_percent=12.0)))


@pytest.mark.parametrize(("ratio", "dashes"), [(1.5, 3.0), (1.1, 2.0), (0.4, 1.0), (0.1, 1.0)])
def test_dashes_are_resized_to_whole_ones_and_never_to_none(ratio: float, dashes: float) -> None:
    """Two dashes: 3 at one and a half, 2.2 are 2, 0.8 are 1, 0.2 are still 1."""
    size = totals(HOUSE, LONG).as_drunk.volume_ml

    found = adjust(HOUSE, LONG, Asked(volume_ml=ratio * size))

    bitters = next(pour for pour in found.pours if pour.liquid.id == "bitters")
    assert bitters.measured == Quantity(dashes, "dash")


def test_a_rinse_and_an_egg_stay_what_they_are() -> None:
    egg_white = {"pour": Quantity(1.0, "white"), "of": "egg white"}
    spec = drink("Spec", "rinse bitters", "50 ml gold rum", "20 ml lime juice", "20 ml plain syrup", egg_white,
                 dilution="45 %")  # fmt: skip
    size = totals(HOUSE, spec).as_drunk.volume_ml

    found = adjust(HOUSE, spec, Asked(volume_ml=1.2 * size))

    egg = next(pour for pour in found.pours if pour.liquid.id == "egg-white")
    assert egg.measured == Quantity(1.0, "white")
    assert found.pours[0].poured.value == 0.0
    assert found.exact.as_drunk.volume_ml == pytest.approx(1.2 * size, rel=0.01)


def test_a_glass_is_filled_as_the_drink_fills_its_own() -> None:
    """Its volume in a coupe of 180 ml, times 300 / 180 in the rocks glass."""
    spec = drink("Spec", "45 ml gold rum", "20 ml lime juice", "20 ml plain syrup", dilution="45 %", glass="coupe")
    size = totals(HOUSE, spec).as_drunk.volume_ml

    found = adjust(HOUSE, spec, Asked(glass="Rocks"))

    assert found.exact.as_drunk.volume_ml == pytest.approx(size * 300.0 / 180.0, rel=1e-9)


def test_a_drink_that_is_too_much_for_its_glass_comes_below_the_rim() -> None:
    spec = drink("Spec", "90 ml gold rum", "30 ml lime juice", "30 ml plain syrup", dilution="45 %", glass="coupe")

    found = adjust(HOUSE, spec, Asked(glass="coupe"))

    assert found.exact.as_drunk.volume_ml == pytest.approx(0.9 * 180.0, rel=1e-9)


def test_there_and_back() -> None:
    """Twice the drink, then half of that, is the drink."""
    size = totals(HOUSE, SOUR).as_drunk.volume_ml

    found = adjust(HOUSE, SOUR, Asked(volume_ml=2.0 * size))

    assert exact(found) == pytest.approx({"gold-rum": 120.0, "lime-juice": 45.0, "plain-syrup": 45.0}, rel=1e-6)
    twice = drink("Twice", "120 ml gold rum", "45 ml lime juice", "45 ml plain syrup", dilution="45 %")
    back = adjust(HOUSE, twice, Asked(volume_ml=size))
    assert poured(back) == {"gold-rum": 60.0, "lime-juice": 22.5, "plain-syrup": 22.5}


def test_what_was_weighed_is_resized_with_the_drink() -> None:
    """The same share of melt: a drink half as large has half the water of the ice."""
    spec = drink(
        "Spec", "60 ml gold rum", "20 ml lime juice", "20 ml plain syrup", weighed={"before": "105 g", "after": "160 g"}
    )
    old = totals(HOUSE, spec)

    found = adjust(HOUSE, spec, Asked(volume_ml=0.5 * old.as_drunk.volume_ml))

    assert found.exact.dilution.melt_water_g == pytest.approx(27.5, rel=1e-9)
    assert exact(found)["gold-rum"] == pytest.approx(30.0, rel=1e-6)


def test_what_a_fixed_pour_holds_cannot_be_had_and_is_named() -> None:
    fixed = {"pour": Quantity(20.0, "ml"), "of": "plain syrup", "fixed": True}
    spec = drink("Spec", "60 ml gold rum", "20 ml lime juice", fixed)

    found = adjust(HOUSE, spec, Asked(sugar=Wanted(percent=-30.0)))

    assert not found.feasible
    (missed, *_) = found.missed
    assert (missed.goal.quantity, missed.goal.asked) == ("sugar", True)
    assert ("plain-syrup", "fixed") in [(stuck.liquid.id, stuck.why) for stuck in missed.stuck]


def test_a_liqueur_moves_where_it_is_the_only_sweetener() -> None:
    orange = ingredient("orange liqueur", abv="40 %", sugar="250 g/l", allergens=[])
    only = drink("Only", "45 ml gold rum", "20 ml orange liqueur", "20 ml lime juice")
    beside = drink("Beside", "45 ml gold rum", "20 ml orange liqueur", "20 ml lime juice", "10 ml plain syrup")
    house = bar(RUM, LIME, PLAIN, orange, only, beside)

    assert exact(adjust(house, only, Asked(sugar=Wanted(percent=-20.0))))["orange-liqueur"] < 20.0
    found = exact(adjust(house, beside, Asked(sugar=Wanted(percent=-20.0))))
    assert found["orange-liqueur"] == 20.0
    assert found["plain-syrup"] < 10.0


@pytest.mark.parametrize(
    ("asked", "code"),
    [
        (Asked(), "nothing-asked"),
        (Asked(acid=Wanted(percent=10.0)), "no-acid"),
        (Asked(sugar=Wanted(percent=-100.0)), "no-sugar"),
        (Asked(abv_percent=10.0, sugar=None), "dilution-unknown"),
        (Asked(glass="mug", volume_ml=None), "dilution-unknown"),
    ],
)
def test_what_has_no_answer_is_a_named_error(asked: Asked, code: str) -> None:
    odd = drink("Odd", "60 ml gold rum", "20 ml plain syrup", method="tossed")
    with pytest.raises(CannotError) as caught:
        adjust(bar(RUM, PLAIN, odd), odd, asked)
    assert caught.value.code == code


def test_what_nobody_knows_is_not_aimed_at() -> None:
    """0 g is not what an aperitif of unknown sugar holds."""
    bitter = ingredient("bitter aperitif", abv="20 %")
    spec = drink("Spec", "45 ml gold rum", "30 ml bitter aperitif", "10 ml plain syrup")
    with pytest.raises(CannotError, match="nobody knows the sugar of bitter aperitif"):
        adjust(bar(RUM, PLAIN, bitter, spec), spec, Asked(sugar=Wanted(percent=-10.0)))


def test_no_glass_of_the_house_has_the_name() -> None:
    with pytest.raises(CannotError, match='"mug" is no glass of the house: coupe, rocks'):
        adjust(HOUSE, SOUR, Asked(glass="mug"))


WEIGHTS = {"sugar": 5.0, "acid": 10.0, "abv": 5.0, "volume": 5.0}
AMOUNTS = st.integers(4, 14).map(lambda steps: 2.5 * steps)


@st.composite
def specs(draw: st.DrawFn) -> Drink:
    """A sour of random pours, some of them off the jigger, some made long."""
    pours = [
        f"{draw(st.sampled_from([30, 40, 45, 50, 60]))} ml gold rum",
        f"{draw(AMOUNTS)} ml lime juice",
        f"{draw(AMOUNTS) + draw(st.sampled_from([0.0, 0.0, 0.7]))} ml {draw(st.sampled_from(['plain', 'tart']))} syrup",
    ]
    if draw(st.booleans()):
        pours.append(f"{draw(st.sampled_from([60, 90]))} ml soda water")
    return drink("Random", *pours, dilution=f"{draw(st.integers(20, 60))} %")


WISHES = st.fixed_dictionaries(
    {},
    optional={
        "sugar": st.integers(-30, 40).map(float),
        "acid": st.integers(-30, 40).map(float),
        "abv": st.integers(8, 16).map(float),
        "volume": st.integers(70, 150).map(lambda percent: percent / 100.0),
    },
).filter(bool)
"""What is asked: changes in % of sugar and acid, an ABV, a share of the volume."""


def asked_for(spec: Drink, wish: dict[str, float]) -> Asked:
    size = totals(HOUSE, spec).as_drunk.volume_ml
    return Asked(
        Wanted(percent=wish["sugar"]) if "sugar" in wish else None,
        Wanted(percent=wish["acid"]) if "acid" in wish else None,
        wish.get("abv"),
        wish["volume"] * size if "volume" in wish else None,
    )


def rule(house: Bar, spec: Drink, wish: dict[str, float], exactly: dict[str, float]) -> Any:
    """The rule worked straight from the files' own totals: what a drink of other pours costs."""
    old: Glass = totals(house, spec)
    ratio = wish.get("volume", 1.0)
    goals = {
        "sugar": old.sugar_g * ratio * (1.0 + wish.get("sugar", 0.0) / 100.0),
        "acid": old.acid_g * ratio * (1.0 + wish.get("acid", 0.0) / 100.0),
    }
    if "abv" in wish or "volume" in wish:
        goals["abv"] = wish.get("abv", old.as_drunk.abv_percent)
    if "volume" in wish or ("abv" in wish and any(pour.of == "soda-water" for pour in spec.pours)):
        goals["volume"] = old.as_drunk.volume_ml * ratio

    def cost(amounts: dict[str, float]) -> float:
        pours = [f"{ml} ml {house.liquid(of).name}" for of, ml in amounts.items() if ml]
        new: Glass = totals(house, drink("New", *pours, dilution=f"{spec.dilution} %"))
        has = {"sugar": new.sugar_g, "acid": new.acid_g, "abv": new.as_drunk.abv_percent,
               "volume": new.as_drunk.volume_ml}  # fmt: skip
        missed = sum((100.0 * (has[what] / goal - 1.0) / WEIGHTS[what]) ** 2 for what, goal in goals.items())
        before = {pour.of: pour.amount.value * ratio for pour in spec.pours}
        steps = 0.0
        for of, ml in amounts.items():
            written, exact_ml = before.get(of, 0.0), exactly[of]
            steps += ((ml - (written if abs(exact_ml - written) < 2.5 else exact_ml)) / 2.5) ** 2
        return missed + 0.01 * steps

    return cost


@given(spec=specs(), wish=WISHES)
@settings(max_examples=examples(300))
def test_the_jigger_pours_are_the_best_of_all_around(spec: Drink, wish: dict[str, float]) -> None:
    """Every combination within two steps of the answer, one where there are many pours: none costs less.

    The search takes volume and ABV as straight around the exact answer, hence the margin.
    """
    found = adjust(HOUSE, spec, asked_for(spec, wish))
    cost = rule(HOUSE, spec, wish, exact(found))
    written = {pour.of: pour.amount.value for pour in spec.pours}
    ours = poured(found)
    spirits_move = "abv" in wish or "volume" in wish

    def around(of: str) -> list[float]:
        if not spirits_move and of in ("gold-rum", "soda-water"):
            return [written[of]]
        reach = 2 if len(ours) < 4 else 1
        near = [2.5 * (round(ours[of] / 2.5) + step) for step in range(-reach, reach + 1)]
        return sorted(
            {ours[of], written.get(of, 0.0), *[ml for ml in near if ml > 0.0 or (of == "water" and ml == 0.0)]}
        )

    least = min(cost(dict(zip(ours, choice, strict=True))) for choice in product(*[around(of) for of in ours]))
    assert cost(ours) <= least * 1.01 + 1e-6
    for of, ml in ours.items():
        assert ml == pytest.approx(written.get(of, -1.0)) or abs(ml / 2.5 - round(ml / 2.5)) < 1e-6


@given(spec=specs(), wish=WISHES)
@settings(max_examples=examples(300))
def test_what_is_asked_is_reached_and_the_rest_held_or_what_is_not_is_told(spec: Drink, wish: dict[str, float]) -> None:
    """By the totals of a drink written with the exact pours, not by the search's own."""
    asked = asked_for(spec, wish)
    found = adjust(HOUSE, spec, asked)
    pours = [f"{ml:.12f} ml {HOUSE.liquid(of).name}" for of, ml in exact(found).items() if ml > 1e-9]
    written = totals(HOUSE, drink("New", *pours, dilution=f"{spec.dilution} %"))

    assert written.sugar_g == pytest.approx(found.exact.sugar_g, rel=1e-6)
    assert written.as_drunk.volume_ml == pytest.approx(found.exact.as_drunk.volume_ml, rel=1e-6)
    assert min(exact(found).values()) >= 0.0
    missed = {each.goal.quantity for each in found.missed}
    for goal in found.goals:
        if goal.quantity not in missed:
            assert abs(goal.miss_percent(written)) <= (1.0 if goal.asked else HOUSE.specs.house.tolerance) + 1e-6
    if not asked.moves_spirits:
        assert poured(found)["gold-rum"] == spec.pours[0].amount.value


@pytest.mark.parametrize(("abv", "ml"), [(17.0, 75.0), (18.0, 100.0), (10.0, 30.0)])
def test_far_from_the_written_pour_the_jigger_still_comes_as_near_as_it_can(abv: float, ml: float) -> None:
    """Thirty steps away the distance from written must not outweigh what was asked: within half a step of rum."""
    found = adjust(HOUSE, SOUR, Asked(abv_percent=abv))

    assert found.feasible
    assert abs(poured(found)["gold-rum"] - exact(found)["gold-rum"]) <= 1.25 + 1e-6
    assert (poured(found)["gold-rum"] > 60.0) == (ml > 60.0)
    assert found.new.as_drunk.abv_percent == pytest.approx(abv, abs=0.25)


def test_no_spirit_makes_a_drink_stronger_than_itself() -> None:
    """40 % rum and its melt: 38 % vol is past any pour; the closest is told, and no error of the search."""
    found = adjust(HOUSE, SOUR, Asked(abv_percent=38.0))

    assert not found.feasible
    assert [missed.goal.quantity for missed in found.missed if missed.goal.asked] == ["abv"]


def test_of_what_is_strong_the_plain_spirit_moves_and_cubes_stay() -> None:
    """Nobody halves the bitter aperitif, or stirs in four cubes, for two points of alcohol (common practice)."""
    bitter = ingredient("bitter aperitif", abv="25 %")
    cube = ingredient("white sugar", sugar="1000 g/kg", kind="sugar", each={"cube": "4 g"}, allergens=[])
    one = {"pour": Quantity(1.0, "cube"), "of": "white sugar"}
    dark = drink("Dark", "45 ml gold rum", "20 ml bitter aperitif", one, "10 ml plain syrup", dilution="30 %")
    house = bar(RUM, PLAIN, bitter, cube, dark)

    found = exact(adjust(house, dark, Asked(abv_percent=20.0)))

    assert (found["bitter-aperitif"], found["white-sugar"]) == (20.0, 4.0)
    assert found["gold-rum"] != 45.0
