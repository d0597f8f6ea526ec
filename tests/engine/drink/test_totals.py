"""What a drink holds: worked by hand from published densities and factors, and what must add up."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from balancer.components import COMPONENTS, composition
from balancer.engine.drink.totals import Totals, Unknown, state, totals
from balancer.errors import OutOfRangeError
from balancer.models.drink import Drink
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, SOUR, bar, drink, ingredient, syrup

SODA = ingredient("soda water", sugar="0 g/l", top="true", allergens=[])
CUBES = ingredient("sugar", sugar="998 g/kg", each={"cube": "5 g"}, allergens=[])
WINE = ingredient("sparkling wine", abv="11.5 %", sugar="12 g/l", top="true", allergens=["sulphites"])
BITTERS = ingredient("bitters", abv="45 %")
APERITIF = ingredient("red aperitif", abv="24 %", allergens=["sulphites"])
GIN = ingredient("gin", abv="47 %", sugar="0 g/l", allergens=[])
EGG = ingredient("egg white", sugar="7.1 g/kg", density="1.03 g/ml", allergens=["eggs"])
EVERYTHING = (RUM, LIME, BERRY, PLAIN, SODA, CUBES, WINE, BITTERS, APERITIF, GIN, EGG)


def work_out(*pours: str | dict[str, Any], house: dict[str, str] | None = None, **keys: Any) -> Totals:
    """The totals of a spec made of the things above."""
    spec = drink("any", *pours, **keys)
    return totals(bar(*EVERYTHING, spec, **(house or {})), spec)


def sour(**house: str) -> Totals:
    """60 ml at 40 % vol, 22.5 ml lime, 22.5 ml at 50 °Bx, shaken."""
    return totals(bar(*EVERYTHING, SOUR, **house), SOUR)


def unknown(result: Totals, what: str) -> list[str]:
    """Names of what is unknown."""
    return [item.name for item in result.unknown if item.what == what]


class TestSour:
    """The sour, by hand.

    Rum 60 ml x 0.94805 g/ml (alcoholometric table) = 56.88 g, with 60 x 0.4 x 0.78924 = 18.942 g ethanol.
    Syrup 22.5 ml x 1.2296 g/ml (sugar table) = 27.67 g, with 13.833 g sugar.
    Lime 22.5 ml x 1.023 g/ml = 23.02 g, with 16.9 g/kg = 0.389 g sugar and 22.5 x 0.046 = 1.035 g acid.
    """

    def test_before_ice(self) -> None:
        """105 ml poured contract to 104.8; 24 ml of ethanol in them are 22.9 % vol."""
        mix = sour().mix

        assert mix.volume_ml == pytest.approx(104.8, abs=0.05)
        assert mix.abv_percent == pytest.approx(100.0 * 24.0 / 104.8, abs=0.02)
        assert mix.ethanol_g == pytest.approx(18.942, abs=0.001)
        assert mix.sugar_g == pytest.approx(14.222, abs=0.003)
        assert mix.acid_g == pytest.approx(1.035, abs=1e-9)
        assert mix.mass_g == pytest.approx(56.88 + 27.67 + 23.02, abs=0.02)

    def test_dilution(self) -> None:
        """Shaken at 22.9 % vol: 0.203 + 1.742 a - 1.567 a² = 52.0 % of mix (Arnold 2014, p. 123), ± 4 judged."""
        dilution = sour().dilution

        assert dilution.basis == "shaken"
        assert dilution.percent_of_mix == pytest.approx(52.0, abs=0.05)
        assert dilution.melt_water_g == pytest.approx(104.8 * 0.52 * 0.9982, abs=0.05)
        assert dilution.plus_minus_percent == pytest.approx(4.0)

    def test_in_the_glass(self) -> None:
        """159 ml at 15.1 % vol with 14.2 g sugar: 8.9 g sugar and 0.65 g acid in 100 ml, 13.7 to 1."""
        made = sour()

        assert made.served is not None
        assert made.served.volume_ml == pytest.approx(159.3, abs=0.2)
        assert made.served.abv_percent == pytest.approx(100.0 * 24.0 / 159.3, abs=0.03)
        assert made.sugar_g == pytest.approx(14.222, abs=0.003)
        assert made.sugar_g_per_100ml == pytest.approx(100.0 * 14.222 / 159.3, abs=0.02)
        assert made.acid_g_per_100ml == pytest.approx(100.0 * 1.035 / 159.3, abs=0.002)
        assert made.sugar_to_acid == pytest.approx(14.222 / 1.035, abs=0.01)

    def test_energy(self) -> None:
        """Regulation (EU) No 1169/2011, Annex XIV, per gram: ethanol 7 kcal 29 kJ, sugar 4 and 17, acid 3 and 13."""
        made = sour()

        assert made.kcal == pytest.approx(18.942 * 7 + 14.222 * 4 + 1.035 * 3, abs=0.05)
        assert made.kj == pytest.approx(18.942 * 29 + 14.222 * 17 + 1.035 * 13, abs=0.2)

    @pytest.mark.parametrize(
        ("country", "ethanol_g"),
        [("us", 14.0), ("uk", 8.0), ("au", 10.0), ("ca", 13.45), ("ie", 10.0), ("nz", 10.0), ("who", 10.0)],
    )
    def test_standard_drinks(self, country: str, ethanol_g: float) -> None:
        """18.942 g over what the country counts (NIAAA, NHS, NHMRC, CCSA, HSE, HNZ, AUDIT)."""
        assert sour(standard_drink=country).standard_drinks == pytest.approx(18.942 / ethanol_g, abs=0.001)


def test_equal_volumes_of_ethanol_and_water_contract() -> None:
    """50 ml and 50 ml fill 96.46 ml (OIML R 22; densities of the CRC Handbook interpolate to 96.455)."""
    mixed = state(composition({"ethanol": 50.0 * 0.78924, "water": 50.0 * 0.9982}))

    assert mixed.volume_ml == pytest.approx(96.46, abs=0.01)
    assert mixed.abv_percent == pytest.approx(100.0 * 50.0 / 96.46, abs=0.01)


def test_nothing_fills_nothing() -> None:
    """No volume, and no strength by dividing through it."""
    assert state(composition({})).volume_ml == 0.0
    assert state(composition({})).abv_percent == 0.0


POURED = ["gold rum", "lime juice", "berry syrup", "plain syrup", "soda water", "sparkling wine", "egg white"]


@st.composite
def specs(draw: st.DrawFn) -> Drink:
    """Drinks of two to six pours with a stated dilution."""
    names = draw(st.lists(st.sampled_from(POURED), min_size=2, max_size=6, unique=True))
    pours = [f"{draw(st.integers(2, 120))} ml {name}" for name in names]
    return drink("any", *pours, dilution=f"{draw(st.integers(0, 90))} %")


@given(specs())
def test_the_whole_is_the_sum_of_its_pours(spec: Drink) -> None:
    """Masses add: every component of the glass is what the pours bring, and the melt is only water."""
    made = totals(bar(*EVERYTHING, spec), spec)
    melt = made.dilution.melt_water_g
    assert made.served is not None
    assert melt is not None

    for row, component in enumerate(COMPONENTS):
        brought = sum(part.grams[row] for part in made.contributions)
        melted = melt if component.name == "water" else 0.0
        assert made.everything[row] == pytest.approx(brought, abs=1e-9)
        assert made.served.grams[row] == pytest.approx(brought + melted, abs=1e-9)
    assert made.served.mass_g == pytest.approx(sum(part.mass_g for part in made.contributions) + melt, abs=1e-9)
    for name in ("water_g", "ethanol_g", "sugar_g", "acid_g"):
        parts = sum(getattr(part, name) for part in made.contributions)
        assert parts == pytest.approx(
            {
                "water_g": made.served.grams[0] - melt,
                "ethanol_g": made.ethanol_g,
                "sugar_g": made.sugar_g,
                "acid_g": made.acid_g,
            }[name],
            abs=1e-9,
        )


@given(specs())
def test_the_mix_is_what_meets_the_ice(spec: Drink) -> None:
    """Tops come after it: they are in the glass and not in the mix."""
    made = totals(bar(*EVERYTHING, spec), spec)
    before = [part for part in made.contributions if part.pour.of not in ("soda-water", "sparkling-wine")]

    assert made.mix.mass_g == pytest.approx(sum(part.mass_g for part in before), abs=1e-9)
    assert made.mix.sugar_g == pytest.approx(sum(part.sugar_g for part in before), abs=1e-9)
    assert made.mix.acid_g == pytest.approx(sum(part.acid_g for part in before), abs=1e-9)
    assert made.mix.ethanol_g == pytest.approx(sum(part.ethanol_g for part in before), abs=1e-9)


def test_a_top_is_not_diluted() -> None:
    """60 ml gin stirred down by 30 %, 90 ml soda on it: 18 ml of melt, not 45; contraction is under 1 %."""
    made = work_out("60 ml gin", "90 ml soda water", method="built", dilution="30 %")

    assert made.mix.volume_ml == pytest.approx(60.0, abs=1e-6)
    assert made.dilution.melt_water_g == pytest.approx(18.0 * 0.9982, abs=0.001)
    assert made.served is not None
    assert made.served.volume_ml == pytest.approx(168.0, rel=0.01)


def test_a_pour_may_say_that_it_is_a_top_or_none() -> None:
    """The spec's word counts over the ingredient's."""
    shaken_soda = work_out({"pour": "90 ml", "of": "soda water", "top": "false"}, "60 ml gin", dilution="0 %")
    floated_rum = work_out({"pour": "30 ml", "of": "gold rum", "top": "true"}, "60 ml gin", dilution="0 %")

    assert shaken_soda.mix.mass_g == pytest.approx(90.0 * 0.9982 + 60.0 * 0.93765, abs=0.5)
    assert floated_rum.mix.volume_ml == pytest.approx(60.0, abs=1e-6)


def test_a_drink_of_tops_alone_has_an_empty_mix() -> None:
    """Wine and soda in the glass: no mix, no melt, and still a drink."""
    made = work_out("90 ml sparkling wine", "30 ml soda water", method="built", dilution="20 %")

    assert made.mix.volume_ml == 0.0
    assert made.dilution.melt_water_g == 0.0
    assert made.served is not None
    assert made.served.volume_ml == pytest.approx(120.0, rel=0.005)
    assert made.sugar_g == pytest.approx(1.08, abs=1e-9)


def test_a_cube_in_a_few_dashes_is_still_crystals() -> None:
    """5 g of sugar do not dissolve in two dashes; with 120 ml of wine on it the drink is worked out as usual.

    Crystals fill 1/1.588 ml/g (CRC Handbook), dissolved in wine about 0.62.
    """
    made = work_out("1 cube sugar", "2 dashes bitters", "120 ml sparkling wine", method="built", dilution="0 %")

    assert made.sugar_g == pytest.approx(5.0 * 0.998 + 1.44, abs=1e-9)
    assert made.mix.volume_ml == pytest.approx(1.6 + 4.99 / 1.588, rel=0.02)
    assert made.served is not None
    assert made.served.volume_ml == pytest.approx(120.0 + 1.6 + 4.99 * 0.62, rel=0.002)


def test_sugar_without_any_water_fills_its_crystals() -> None:
    """The two counts meet where the volume model ends, at 85 g in 15 g of water: no step larger than 0.1 ml."""
    dry = state(composition({"sucrose": 10.0}))
    wet = [state(composition({"sucrose": 85.0, "water": water})).volume_ml for water in (14.999999, 15.000001)]

    assert dry.volume_ml == pytest.approx(10.0 / 1.588, abs=0.01)
    assert wet[0] == pytest.approx(wet[1], abs=0.001)


def test_a_thing_without_a_volume_is_counted_by_weight() -> None:
    """A cube weighs 5 g and fills nothing known until it is dissolved."""
    part = work_out("1 cube sugar", "60 ml gin", method="built", dilution="20 %").contributions[0]

    assert (part.volume_ml, part.mass_g) == (None, 5.0)
    assert part.sugar_g == pytest.approx(4.99)


def test_what_is_not_sugar_in_a_syrup_still_fills() -> None:
    """30 ml of maple, a tenth of whose solids is no sugar, are 30 ml in the mix."""
    maple = syrup("maple", standard="66.9 °Bx", sugar_share="90 %", allergens=[])
    spec = drink("any", "30 ml maple", dilution="0 %")

    assert totals(bar(maple, spec), spec).mix.volume_ml == pytest.approx(30.0, abs=1e-9)


def test_a_stated_density_counts() -> None:
    """30 ml of egg white at 1.03 g/ml are 30.9 g."""
    assert work_out("30 ml egg white", "60 ml gin").contributions[0].mass_g == pytest.approx(30.9)


@pytest.mark.parametrize(
    ("amount", "bound"), [("2.5 ml", False), ("3 dashes", False), ("2.6 ml", True), ("1 oz", True)]
)
def test_unknown_sugar_makes_a_lower_bound_only_when_it_can_matter(amount: str, bound: bool) -> None:
    """Up to 2.5 ml it cannot move a drink; it is named either way."""
    made = work_out(f"{amount} bitters", "60 ml gin")

    assert made.is_lower_bound == bound
    assert Unknown("bitters", "bitters", "sugar", not bound) in made.unknown


def test_unknown_sugar_is_counted_as_nothing() -> None:
    """Sums run over what is known."""
    assert work_out("30 ml red aperitif", "22.5 ml berry syrup", "30 ml gin").sugar_g == pytest.approx(
        13.833, abs=0.003
    )


def test_no_sugar_written_as_none_is_known() -> None:
    """0 g/l is a figure, not a gap."""
    assert unknown(sour(), "sugar") == []
    assert not sour().is_lower_bound


def test_a_rinse_is_named_and_not_counted() -> None:
    """Nobody knows what stays in the glass."""
    rinsed, plain = work_out("60 ml gin", "rinse bitters"), work_out("60 ml gin")

    assert rinsed.mix == plain.mix
    assert unknown(rinsed, "amount") == ["bitters"]
    assert unknown(rinsed, "sugar") == ["bitters"]
    assert not rinsed.is_lower_bound
    assert rinsed.contributions[1].mass_g == 0.0


def test_allergens_are_gathered_and_sorted() -> None:
    """What the house lists, once each."""
    made = work_out("30 ml egg white", "90 ml sparkling wine", "30 ml red aperitif", "30 ml gin")

    assert made.allergens == ("eggs", "sulphites")
    assert unknown(made, "allergens") == []


def test_cautions_of_everything_poured_are_said_once() -> None:
    """An ingredient poured twice is said once, a syrup like an ingredient, however little is poured."""
    egg = ingredient("egg", sugar="0 g/l", allergens=["eggs"], cautions=["raw egg"])
    honey = syrup("honey syrup", allergens=[], cautions=["not for infants", "label it"])
    spec = drink("any", "30 ml egg", "1 dash honey syrup", "30 ml egg")
    made = totals(bar(egg, honey, spec), spec)

    said = [(each.id, each.text) for each in made.cautions]
    assert said == [("egg", "raw egg"), ("honey-syrup", "not for infants"), ("honey-syrup", "label it")]
    assert work_out("60 ml gin").cautions == ()


@pytest.mark.parametrize("pour", ["1 dash bitters", "30 ml bitters", "rinse bitters"])
def test_unknown_allergens_always_show(pour: str) -> None:
    """However little: `allergens: []` means none, no key means unknown."""
    made = work_out("60 ml gin", pour)

    assert Unknown("bitters", "bitters", "allergens", False) in made.unknown


def test_extras_make_allergens_unknown_and_nothing_else() -> None:
    """Eight mint leaves are not measured, and nobody listed what is in them."""
    made = work_out("60 ml gin", extras=["8 mint leaves", "grated nutmeg"])

    assert unknown(made, "allergens") == ["8 mint leaves", "grated nutmeg"]
    assert not made.is_lower_bound
    assert made.mix == work_out("60 ml gin").mix


def test_too_strong_for_the_relation_there_is_no_glass() -> None:
    """60 % vol before ice: the mix is known, what is served is not, and nothing is divided by it."""
    overproof = ingredient("overproof rum", abv="63 %", sugar="0 g/l", allergens=[])
    spec = drink("any", "60 ml overproof rum", "2.5 ml plain syrup", method="stirred")
    made = totals(bar(overproof, PLAIN, spec), spec)

    assert made.served is None
    assert made.dilution.basis == "unknown"
    assert made.sugar_g_per_100ml is None
    assert made.acid_g_per_100ml is None
    assert made.sugar_g == pytest.approx(2.5 * 0.6148, abs=0.001)
    assert made.standard_drinks == pytest.approx(60.0 * 0.63 * 0.78924 / 14.0, abs=0.001)


def test_without_acid_there_is_no_ratio() -> None:
    """Sugar to nothing is not a number."""
    assert work_out("60 ml gin", "5 ml plain syrup", method="stirred").sugar_to_acid is None


def test_a_weighed_drink_gains_its_melt() -> None:
    """118 g before and 172 g after: the glass weighs 54 g more than the pours."""
    made = work_out("60 ml gin", "22.5 ml lime juice", weighed={"before": "118 g", "after": "172 g"})

    assert made.dilution.basis == "weighed"
    assert made.served is not None
    assert made.served.mass_g == pytest.approx(made.mix.mass_g + 54.0, abs=1e-9)


def test_another_strength_and_another_pour() -> None:
    """20 ml of a batch at 54 °Bx bring 20 x 0.54 x 1.2519 = 13.52 g of sugar; the rest is as written."""
    house = bar(*EVERYTHING, SOUR)
    made = totals(house, SOUR, strengths={"berry-syrup": 54.0}, volumes={"berry-syrup": 20.0})

    assert made.contributions[2].sugar_g == pytest.approx(20.0 * 0.54 * 1.2519, abs=0.003)
    assert made.contributions[2].volume_ml == 20.0
    assert made.contributions[:2] == totals(house, SOUR).contributions[:2]


def test_a_mix_the_volume_model_does_not_cover_is_refused() -> None:
    """Half acid, half water: no density is known, and none is made up."""
    with pytest.raises(OutOfRangeError):
        state(composition({"citric": 50.0, "water": 50.0}))


@given(abv=st.integers(0, 50), sugar=st.integers(0, 300), ml=st.integers(10, 90), water=st.integers(0, 90))
def test_volumes_nearly_add(abv: int, sugar: int, ml: int, water: int) -> None:
    """Contraction and the model's own bend stay within 1.2 % of the volumes poured, up to 50 % vol."""
    liqueur = ingredient("liqueur", abv=f"{abv} %", sugar=f"{sugar} g/l", allergens=[])
    tea = ingredient("tea", sugar="0 g/l", allergens=[])
    assume(water)
    spec = drink("any", f"{ml} ml liqueur", f"{water} ml tea", dilution="0 %")
    made = totals(bar(liqueur, tea, spec), spec)

    assert made.mix.volume_ml == pytest.approx(ml + water, rel=0.012)
