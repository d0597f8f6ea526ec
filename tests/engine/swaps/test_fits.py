"""What fits a drink: against sums done by hand, and against the search of `swap`."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.at import STANDARD
from balancer.engine.swaps.fits import DrinkFits, fits, fits_all, main_sweetener, sweeteners
from balancer.engine.swaps.swap import swap
from balancer.errors import BalancerError, CannotError
from balancer.files.house.load import load
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, SOUR, bar, drink, ingredient, syrup
from tests.examples import examples

# Standard sucrose tables, rounded: 50 °Bx 1.2296, 66.67 °Bx 1.3265 g/ml at 20 °C.
RICH = syrup("rich syrup", standard="66.67 °Bx", allergens=[])
NUT = syrup("nut syrup", allergens=["tree nuts"])
VAGUE = syrup("vague syrup")
SHARP = syrup("sharp syrup", acid="40 g/kg", allergens=[])
SUGAR = ingredient("white sugar", sugar="1000 g/kg", allergens=[])
ORANGE = ingredient("orange liqueur", abv="40 %", sugar="100 g/l", allergens=[])
HERB = ingredient("herb liqueur", abv="30 %")
DEMO = Path(__file__).parents[3] / "specs"


def ids(found: DrinkFits) -> list[str]:
    return [fit.into.id for fit in found.fits]


def test_rich_for_plain_is_seven_tenths() -> None:
    """22.5 x 0.5 x 1.2296 / (0.6667 x 1.3265) = 15.64 ml; the line of 2.5 ml next to it is 15."""
    (fit,) = fits(bar(RUM, LIME, BERRY, RICH, SOUR), SOUR, "berry-syrup", ["rich-syrup"]).fits

    # The tables differ by 0.3 kg/m³ at 66.67 °Bx, which is 2.3e-4 of it.
    assert fit.exact.value == pytest.approx(22.5 * 0.5 * 1.2296 / (0.6667 * 1.3265), rel=3e-4)
    assert fit.poured == Amount(15.0)
    assert fit.moved_exact.sugar_percent == pytest.approx(0.0, abs=1e-9)


def test_dry_sugar_goes_on_the_scale() -> None:
    """22.5 ml of 1:1 hold 22.5 x 0.6148 = 13.83 g; the scale shows whole grams."""
    (fit,) = fits(bar(RUM, LIME, BERRY, SUGAR, SOUR), SOUR, "berry-syrup", ["white-sugar"]).fits

    assert fit.poured == Amount(14.0, "g")
    assert fit.exact.value == pytest.approx(13.83, abs=0.01)


def test_the_one_that_moves_least_is_first_and_what_brings_allergens_last() -> None:
    """Plain is berry in water and sugar; rich has less water; sharp brings 22.5 x 1.23 x 0.04 = 1.1 g of acid."""
    house = bar(RUM, LIME, BERRY, SHARP, NUT, VAGUE, RICH, PLAIN, SOUR)
    found = fits(house, SOUR, "berry-syrup", sweeteners(house))

    assert ids(found)[:3] == ["plain-syrup", "rich-syrup", "sharp-syrup"]
    assert set(ids(found)[3:]) == {"nut-syrup", "vague-syrup"}
    by_id = {fit.into.id: fit for fit in found.fits}
    assert by_id["nut-syrup"].gained == ("tree nuts",)
    assert by_id["vague-syrup"].unknown
    assert by_id["sharp-syrup"].moved_exact.acid_percent == pytest.approx(100.0 * 1.10 / (0.0225 * 46.0), rel=0.02)


def test_alcohol_in_a_drink_without_is_last() -> None:
    soft = drink("Soft", "60 ml lime juice", "20 ml plain syrup", dilution="20 %", zero_proof="true")
    found = fits(bar(LIME, PLAIN, ORANGE, SHARP, soft), soft, "plain-syrup", ["orange-liqueur", "sharp-syrup"])

    assert ids(found) == ["sharp-syrup", "orange-liqueur"]
    # 12.296 g sugar want 122.96 ml of it: 122.96 x 0.4 x 0.7892 g.
    assert found.fits[1].alcohol_g == pytest.approx(122.96 * 0.4 * 0.7892, rel=1e-3)


def test_what_cannot_be_poured_has_a_reason() -> None:
    found = fits(bar(RUM, LIME, BERRY, HERB, SOUR), SOUR, "berry-syrup", ["herb-liqueur", "berry-syrup", "gold-rum"])

    assert found.fits == ()
    assert {misfit.into.id: misfit.why for misfit in found.misfits} == {
        "herb-liqueur": "nobody knows how much sugar herb liqueur holds",
        "gold-rum": "gold rum holds no sugar",
    }


def test_sweeteners_are_syrups_and_what_sweet_things_drinks_pour() -> None:
    """Lime juice is no sweetener; the liqueur is one by the law's 100 g/l; what nobody pours is left out."""
    rope = drink("Rope", "45 ml gold rum", "15 ml orange liqueur", "20 ml lime juice", "4 g white sugar")
    honey = ingredient("honey", sugar="820 g/kg")

    assert sweeteners(bar(RUM, LIME, BERRY, PLAIN, ORANGE, SUGAR, honey, rope)) == (
        "berry-syrup",
        "plain-syrup",
        "orange-liqueur",
        "white-sugar",
    )


def test_the_main_sweetener() -> None:
    both = drink("Both", "60 ml gold rum", "10 ml plain syrup", "15 ml berry syrup", "30 g white sugar")
    dry = drink("Dry", "60 ml gold rum", "4 g white sugar", "22.5 ml lime juice")
    none = drink("None", "60 ml gold rum", {"pour": "10 ml", "of": "plain syrup", "fixed": "true"})
    house = bar(RUM, LIME, BERRY, PLAIN, SUGAR, both, dry, none)

    assert main_sweetener(house, both) == "berry-syrup"
    assert main_sweetener(house, dry) == "white-sugar"
    with pytest.raises(CannotError, match="may change"):
        main_sweetener(house, none)


@pytest.mark.parametrize(("out", "code"), [("plain-syrup", "not-poured"), ("gold-rum", "no-sugar")])
def test_what_is_not_there_cannot_go(out: str, code: str) -> None:
    with pytest.raises(CannotError) as caught:
        fits(bar(RUM, LIME, BERRY, PLAIN, SOUR), SOUR, out, ["berry-syrup"])

    assert caught.value.code == code


def agrees(house: Bar, found: DrinkFits) -> int:
    """Compares every pour with the one that `swap` finds for the same sugar; how many there were."""
    for fit in found.fits:
        pour = swap(house, found.drink, found.out.id, fit.into.id, ("sugar",)).new_pour
        assert (fit.exact.unit, fit.poured.unit) == (pour.exact.unit, pour.poured.unit)
        assert fit.exact.value == pytest.approx(pour.exact.value, rel=1e-6)
        assert fit.poured.value == pytest.approx(pour.poured.value, rel=1e-9), f"{fit.into.id} in {found.drink.id}"
    return len(found.fits)


def test_every_pour_of_the_demo_is_that_of_swap() -> None:
    house = Bar(load(DEMO).specs)
    shelf = sweeteners(house)
    compared = 0
    for drink_ in house.specs.drinks.values():
        try:
            found = fits(house, drink_, main_sweetener(house, drink_), shelf)
        except BalancerError:
            continue
        compared += agrees(house, found)
    assert compared > 100


@given(
    written=st.floats(2.0, 45.0),
    strength=st.floats(30.0, 75.0),
    merged=st.booleans(),
    keys=st.sampled_from(
        [{}, {"jigger_lines": ["15 ml", "20 ml", "30 ml"]}, {"pour_style": "scale"}, {"pour_style": "free"}]
    ),
)
@settings(max_examples=examples(60), deadline=None)
def test_every_pour_is_that_of_swap(written: float, strength: float, merged: bool, keys: dict[str, str]) -> None:
    into = syrup("other syrup", standard=f"{strength:.2f} °Bx", acid="9 g/kg")
    more = ["10 ml other syrup"] if merged else []
    sour = drink("Sour", "60 ml gold rum", "22.5 ml lime juice", f"{written:.2f} ml plain syrup", *more)
    house = bar(RUM, LIME, PLAIN, into, SUGAR, sour, **keys)

    assert agrees(house, fits(house, sour, "plain-syrup", ["other-syrup", "white-sugar"])) == 2


def test_the_whole_menu_one_by_one() -> None:
    stuck = drink("Stuck", "60 ml gold rum", {"pour": "10 ml", "of": "berry syrup", "fixed": "true"})
    dry = drink("Dry", "60 ml gold rum")
    house = bar(RUM, LIME, BERRY, PLAIN, SOUR, stuck, dry)

    assert [each.id for each in house.specs.drinks_with("berry-syrup")] == ["test-sour", "stuck"]
    first, second = fits_all(house, "berry-syrup", ["plain-syrup"])
    assert isinstance(first, DrinkFits)
    assert ids(first) == ["plain-syrup"]
    assert not isinstance(second, DrinkFits)
    assert second[0] is stuck
    assert "fixed" in str(second[1])


def test_a_syrup_that_is_only_thought_of_is_ranked_by_what_it_is() -> None:
    """Nobody can know its allergens yet: that is said, and does not put it behind every other."""
    nut = syrup("nut syrup", allergens=["tree nuts"])
    thought = syrup("thought", acid="0.1 g/kg")
    spec = drink("Spec", "60 ml gold rum", "20 ml plain syrup")
    house = bar(RUM, PLAIN, nut, thought, spec)

    found = fits(house, spec, "plain-syrup", ["nut-syrup", "thought"], STANDARD.inventing("thought"))

    assert [fit.into.id for fit in found.fits] == ["thought", "nut-syrup"]
    assert found.fits[0].unknown
