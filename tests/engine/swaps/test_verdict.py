"""What is not a swap, by hand arithmetic; and random swaps against every pour the bar could make."""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import product
from typing import Any, NamedTuple

import pytest

from balancer.components import COMPONENTS
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.totals import totals
from balancer.engine.swaps.across import stand_ins, swap_all
from balancer.engine.swaps.at import Strength
from balancer.engine.swaps.fits import fits
from balancer.engine.swaps.moved import Held
from balancer.engine.swaps.swap import Swap, swap
from balancer.engine.swaps.verdict import is_makeable
from balancer.errors import CannotError
from balancer.models.drink import Drink
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, SOUR, bar, drink, ingredient, syrup

RICH = syrup("rich syrup", standard="66.67 °Bx", allergens=[])
LIQUEUR = ingredient("orange liqueur", abv="40 %", sugar="250 g/l", allergens=[])
DRY_LIQUEUR = ingredient("dry liqueur", abv="40 %", sugar="100 g/l", allergens=[])
AMARO = ingredient("dark amaro", kind="liqueur", sugar="300 g/l", density="1.1 g/ml", allergens=[])
TEA = ingredient("black tea", sugar="0 g/l", allergens=[])
STEP = 2.5


def kinds(found: Swap) -> list[str]:
    return [reason.kind for reason in found.reasons]


def test_a_liqueur_for_a_syrup_in_a_sour() -> None:
    """22.5 ml at 0.6148 g/ml hold 13.8 g: 138 ml of a liqueur with 100 g/l, in a coupe of 180 and a mix of 105.

    Its 40 % vol and the rum's make 24 of 105 ml ethanol into 79 of 221.
    """
    spec = drink("Sour", "60 ml gold rum", "22.5 ml lime juice", "22.5 ml plain syrup", glass="coupe")
    found = swap(
        bar(RUM, LIME, PLAIN, DRY_LIQUEUR, spec, glasses={"coupe": "180 ml"}), spec, "plain-syrup", "dry-liqueur"
    )

    assert found.new_pour.exact.value == pytest.approx(138.3, abs=0.1)
    assert found.verdict == "not a swap"
    assert kinds(found) == ["pour", "times", "glass", "volume", "abv"]
    assert not found.is_sound
    assert found.feasible  # the sugar can be held, and still nobody would serve it


def test_alcohol_into_a_drink_without_known_or_not() -> None:
    soft = drink(
        "Soft", "60 ml black tea", "22.5 ml lime juice", "20 ml plain syrup", dilution="20 %", zero_proof="true"
    )
    house = bar(TEA, LIME, PLAIN, BERRY, LIQUEUR, AMARO, soft)

    known = swap(house, soft, "plain-syrup", "orange-liqueur")
    assert known.reasons[0].kind == "alcohol"
    # 12.3 g sugar are 49.2 ml at 250 g/l; 40 % of it at 0.7892 g/ml.
    poured = known.new_pour.poured.value
    assert known.reasons[0].value == pytest.approx(poured * 0.4 * 0.7892, rel=1e-3)
    assert kinds(swap(house, soft, "plain-syrup", "dark-amaro"))[0] == "alcohol unknown"
    assert swap(house, soft, "plain-syrup", "berry-syrup").verdict == "swap"


def test_less_than_the_bar_measures() -> None:
    """2 ml of a syrup of 20 °Bx hold 0.43 g (1.081 g/ml): 0.5 ml of the rich one, and the least step is 2.5."""
    thin = syrup("thin syrup", standard="20 °Bx", allergens=[])
    spec = drink("Thin", "60 ml gold rum", "2 ml thin syrup")
    found = swap(bar(RUM, thin, RICH, spec), spec, "thin-syrup", "rich-syrup")

    (reason,) = [reason for reason in found.reasons if reason.kind == "least"]
    assert reason.value == pytest.approx(2.0 * 0.2 * 1.081 / 0.8844, rel=2e-3)


def test_what_was_too_much_before_is_not_the_swaps_fault() -> None:
    """130 ml of punch base stay 130 ml, and the glass was as full before."""
    base = syrup("punch base", standard="20 °Bx", allergens=[])
    other = syrup("other base", standard="20 °Bx", allergens=[])
    spec = drink("Punch", "60 ml gold rum", "130 ml punch base", method="built", dilution="10 %", glass="cup")
    found = swap(bar(RUM, base, other, spec, glasses={"cup": "150 ml"}), spec, "punch-base", "other-base")

    assert (found.verdict, found.reasons) == ("swap", ())


def test_alcohol_that_goes_counts_as_alcohol_that_comes() -> None:
    """Half the alcohol of 45 ml at 40 % and 30 ml at 40 % goes with the liqueur: 40 × 75 ÷ 75 to 40 × 45 ÷ 57."""
    spec = drink("Ropes", "45 ml gold rum", "30 ml orange liqueur")
    found = swap(bar(RUM, PLAIN, LIQUEUR, spec), spec, "orange-liqueur", "plain-syrup")

    assert "abv" in kinds(found)
    assert found.new.as_drunk.abv_percent < found.old.as_drunk.abv_percent - 4.0


def test_what_is_no_swap_comes_last_everywhere() -> None:
    spec = drink("Sour", "60 ml gold rum", "22.5 ml lime juice", "22.5 ml plain syrup")
    nut = syrup("nut syrup", allergens=["tree nuts"])
    thin = syrup("thin syrup", standard="12 °Bx", allergens=[])
    house = bar(RUM, LIME, PLAIN, BERRY, nut, thin, DRY_LIQUEUR, spec)

    fitting = fits(house, spec, "plain-syrup", ["dry-liqueur", "thin-syrup", "nut-syrup", "berry-syrup"])
    standing = stand_ins(house, spec, "plain-syrup", [(each, Strength(50.0)) for each in ("nut-syrup", "berry-syrup")])

    assert [fit.into.id for fit in fitting.fits][:2] == ["berry-syrup", "nut-syrup"]
    assert [bool(fit.reasons) for fit in fitting.fits] == [False, False, True, True]
    assert [one.into.id for one in standing] == ["berry-syrup", "nut-syrup"]


@pytest.mark.parametrize(
    ("brix", "storage", "makes"),
    [(19.9, 4, False), (20.0, 4, False), (50.0, 4, True), (64.0, 4, True), (66.0, 4, False), (69.0, 40, True)],
)
def test_strengths_to_make_a_syrup_to(brix: float, storage: int, makes: bool) -> None:
    """From 20 to 70 °Bx, below 64.7 at 4 °C and 70.1 at 40 (Vavrinecz 1962), not far weaker than it keeps."""
    plain = syrup("plain syrup", keeps="14 days", storage=f"{storage} °C", allergens=[])
    assert is_makeable(bar(plain), plain, brix) is makes


class Case(NamedTuple):
    """A random bar with one exchange in it."""

    house: Bar
    spec: Drink
    out: str
    into: str
    held: tuple[Held, ...]


def cases(count: int, seed: int = 11) -> Iterator[Case]:
    """Sours, stirred and soft drinks; syrups of 20 to 67 °Bx, liqueurs, thin juices; one is there already at times."""
    chance = random.Random(seed)  # noqa: S311 - cases to try, not secrets
    for _ in range(count):
        sweeteners: list[Any] = [
            syrup(
                f"{name} syrup",
                standard=f"{chance.uniform(20.0, 67.0):.1f} °Bx",
                acid=f"{chance.choice([0, 0, 6, 17])} g/kg",
                allergens=[],
            )
            for name in ("one", "two")
        ]
        sweeteners += [
            ingredient(
                "liqueur",
                abv=f"{chance.choice([15, 20, 40])} %",
                sugar=f"{chance.uniform(90, 400):.0f} g/l",
                allergens=[],
            ),
            ingredient("thin juice", sugar=f"{chance.uniform(40, 150):.0f} g/l", allergens=[]),
        ]
        out, into = chance.sample([each.id for each in sweeteners], 2)
        pours = ["60 ml black tea" if chance.random() < 0.2 else f"{chance.choice([30, 45, 60])} ml gold rum"]
        sour = chance.random() < 0.7
        pours += [f"{STEP * chance.randint(4, 12)} ml lime juice"] if sour else []
        pours.append(f"{STEP * chance.randint(2, 14)} ml {out.replace('-', ' ')}")
        pours += [f"{STEP * chance.randint(2, 6)} ml {into.replace('-', ' ')}"] if chance.random() < 0.25 else []
        spec = drink("Case", *pours, method="shaken", dilution="40 %", glass="coupe")
        held: tuple[Held, ...] = ("sugar", "acid") if sour and chance.random() < 0.5 else ("sugar",)
        yield Case(bar(RUM, LIME, TEA, *sweeteners, spec, glasses={"coupe": "180 ml"}), spec, out, into, held)


def grams(house: Bar, amounts: dict[str, float]) -> tuple[float, float]:
    """Sugar and acid of some ml, by what a ml of each liquid holds."""
    return (
        sum(ml * house.liquid(each).sugar_g_per_ml for each, ml in amounts.items()),
        sum(ml * house.liquid(each).acid_g_per_ml for each, ml in amounts.items()),
    )


def best_of_all(case: Case) -> tuple[float, float, float]:
    """The least cost over every pour to 600 ml of the new one and 100 ml of lime, by the rule; then those pours."""
    written = {pour.of: pour.amount.value for pour in case.spec.pours}
    sugar, acid = grams(case.house, written)
    moved_sour = "acid" in case.held
    kept = {each: ml for each, ml in written.items() if each not in (case.out, case.into)}
    spec = written[case.out] + written.get(case.into, 0.0)
    limes = [STEP * count for count in range(1, 41)] if moved_sour else [written.get("lime-juice", 0.0)]
    new_sugar, new_acid = grams(case.house, {case.into: 1.0})
    lime_sugar, lime_acid = grams(case.house, {"lime-juice": 1.0})
    rest = {each: ml for each, ml in kept.items() if each != "lime-juice"}
    rest_sugar, rest_acid = grams(case.house, rest)
    best = (float("inf"), 0.0, 0.0)
    options = {STEP * count for count in range(1, 241)} | {spec}
    for lime in {*limes, written.get("lime-juice", 0.0)}:
        for ml in options:
            miss = (100.0 * ((rest_sugar + lime * lime_sugar + ml * new_sugar) / sugar - 1.0) / 5.0) ** 2
            if moved_sour:
                miss += (100.0 * ((rest_acid + lime * lime_acid + ml * new_acid) / acid - 1.0) / 10.0) ** 2
                miss += 0.01 * ((lime - written["lime-juice"]) / STEP) ** 2
            best = min(best, (miss + 0.01 * ((ml - spec) / STEP) ** 2, ml, lime))
    return best


def reasons_by_hand(case: Case, found: Swap) -> set[str]:
    """The limits read literally, over the drink with the pours that were found."""
    new_pours = [f"{pour.poured.value!r} ml {pour.liquid.id.replace('-', ' ')}" for pour in found.pours]
    served = totals(case.house, drink("New", *new_pours, dilution="40 %"))
    before = totals(case.house, case.spec)
    written = {pour.of: pour.amount.value for pour in case.spec.pours}
    had, gone = written.get(case.into, 0.0), written[case.out]
    poured, exact = found.new_pour.poured.value, found.new_pour.exact.value
    assert served.served is not None
    assert before.served is not None
    mix, old_mix = served.mix.volume_ml, before.mix.volume_ml
    # As sweet as what the sources say of each sugar, lowest and highest, in every combination.
    sweet = [
        place
        for place, part in enumerate(COMPONENTS)
        if part.sweetness[1] and before.everything[place] + served.everything[place]
    ]
    ratios = []
    for ends in product((0, 2), repeat=len(sweet)):
        worth = [COMPONENTS[place].sweetness[end] for place, end in zip(sweet, ends, strict=True)]
        sums = [sum(w * glass.everything[p] for w, p in zip(worth, sweet, strict=True)) for glass in (served, before)]
        ratios.append(sums[0] / sums[1])
    limits = {
        "alcohol": before.ethanol_g == 0.0 and served.ethanol_g > 1e-9,
        "pour": poured > max(120.0, had + gone),
        "times": poured - had > 3.0 * gone,
        "least": exact < 1.25 or any(pour.is_free and pour.exact.value < 1.25 for pour in found.pours),
        "glass": served.served.volume_ml > max(180.0, before.served.volume_ml),
        "volume": abs(mix / old_mix - 1.0) >= 0.2,
        "abv": abs(served.served.abv_percent - before.served.abv_percent) >= 4.0,
        "sweetness": all(ratio >= 1.2 for ratio in ratios) or all(ratio <= 0.8 for ratio in ratios),
    }
    return {kind for kind, is_so in limits.items() if is_so}


@pytest.mark.slow
def test_three_hundred_random_swaps_are_the_best_pours_and_their_verdict_is_the_limits() -> None:
    """Conservation besides: what is held is held with the exact pours, unless the answer says that it cannot be."""
    said: dict[str, int] = {}
    for case in cases(300):
        found = swap(case.house, case.spec, case.out, case.into, case.held)
        amounts = {pour.liquid.id: pour.poured.value for pour in found.pours}
        _, ml, lime = best_of_all(case)
        assert amounts[case.into] == pytest.approx(ml), case.spec
        if "acid" in case.held:
            assert amounts["lime-juice"] == pytest.approx(lime), case.spec
        exact = {pour.liquid.id: pour.exact.value for pour in found.pours}
        before = grams(case.house, {pour.of: pour.amount.value for pour in case.spec.pours})
        after = grams(case.house, exact)
        # Grams in are grams out: the glass holds what is poured of each liquid.
        assert (found.exact.sugar_g, found.exact.acid_g) == pytest.approx(after, rel=1e-9, abs=1e-9)
        if min(exact.values()) > 1e-6:
            assert after[0] == pytest.approx(before[0], rel=1e-6)
            assert "acid" not in case.held or after[1] == pytest.approx(before[1], rel=1e-6)
        kinds_found = {reason.kind for reason in found.reasons}
        assert kinds_found == reasons_by_hand(case, found), case.spec
        assert (found.verdict == "not a swap") is bool(kinds_found)
        for kind in kinds_found:
            said[kind] = said.get(kind, 0) + 1
        if case.held == ("sugar",):
            (fit,) = fits(case.house, case.spec, case.out, [case.into]).fits
            assert (fit.poured, fit.before) == (found.new_pour.poured, found.before)
            assert [reason.kind for reason in fit.reasons] == [reason.kind for reason in found.reasons]
            assert [reason.value for reason in fit.reasons] == pytest.approx([each.value for each in found.reasons])
    assert min(said.get(kind, 0) for kind in ("alcohol", "pour", "times", "glass", "volume", "abv")) > 0, said


@pytest.mark.slow
def test_there_and_back_is_the_written_pour() -> None:
    """Of every swap whose exact pours are something, the way back gives what was written."""
    done = 0
    for case in cases(300, seed=12):
        there = swap(case.house, case.spec, case.out, case.into, ("sugar",))
        if there.before is not None:
            continue
        pours = [f"{pour.exact.value!r} ml {pour.liquid.id.replace('-', ' ')}" for pour in there.pours]
        back = swap(case.house, drink("Back", *pours, dilution="40 %"), case.into, case.out, ("sugar",))
        written = next(pour.amount.value for pour in case.spec.pours if pour.of == case.out)
        assert back.new_pour.exact.value == pytest.approx(written, rel=1e-8)
        done += 1
    assert done > 150


def test_what_was_there_before_is_told_apart() -> None:
    """10 ml there and 20 ml of plain at 0.6148 ÷ 0.8844: 13.9 ml more."""
    both = drink("Both", "60 ml gold rum", "10 ml rich syrup", "20 ml plain syrup")
    house = bar(RUM, PLAIN, RICH, both, SOUR, LIME, BERRY)
    found = swap(house, both, "plain-syrup", "rich-syrup")

    assert found.before is not None
    assert (found.before.value, found.replaced.value) == (10.0, 20.0)
    assert found.new_pour.exact.value == pytest.approx(10.0 + 13.9, abs=0.05)
    menu, _ = swap_all(house, "plain-syrup", "rich-syrup")
    assert [one.before for one in menu] == [found.before]


def test_what_is_swapped_by_its_acid_and_comes_much_sweeter_is_not_a_swap() -> None:
    """A cordial of 600 g/l sugar for the lime doubles the sugar of the sour, whatever the sources say of its kinds."""
    cordial = ingredient("lime cordial", sugar="600 g/l", acid="46 g/l", allergens=[])
    spec = drink("Spec", "60 ml gold rum", "22.5 ml lime juice", "22.5 ml plain syrup")
    found = swap(bar(RUM, LIME, PLAIN, cordial, spec), spec, "lime-juice", "lime-cordial")

    assert "sweetness" in [reason.kind for reason in found.reasons]
    assert found.verdict == "not a swap"


def test_a_syrup_that_the_glass_is_rinsed_with_does_not_come_in_as_a_pour() -> None:
    """One thing is poured once in a drink: before, the rinse went without a word."""
    spec = drink("Rinsed", "rinse plain syrup", "60 ml gold rum", "20 ml berry syrup")
    with pytest.raises(CannotError, match="rinsed with plain syrup"):
        swap(bar(RUM, PLAIN, BERRY, spec), spec, "berry-syrup", "plain-syrup")
