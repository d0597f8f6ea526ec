"""Drinks changed by every pour a bar can make: the brute force behind `searches`, with its own physics and rules."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import product
from math import ceil, floor, prod, sqrt
from random import Random
from typing import Final, NamedTuple

from balancer.components import ACID_SLICE, ETHANOL, WATER, acid_as_citric_g, sugar_g
from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.adjust import adjust
from balancer.engine.swaps.fits import fits
from balancer.engine.swaps.moved import Held
from balancer.engine.swaps.swap import swap
from balancer.errors import BalancerError
from balancer.models.drink import Drink
from balancer.properties import mixture
from balancer.properties.ethanol import ETHANOL_KG_M3
from balancer.properties.sucrose import WATER_KG_M3
from tests.engine.builders import bar, drink, ingredient, syrup
from tests.engine.swaps.test_adjust import HOUSE, WEIGHTS, asked_for

STEP_ML: Final = 2.5
STEP_WEIGHT: Final = 0.01
MOST_TRIED: Final = 60_000
"""Combinations of one problem; one with more is passed over and counted."""
MOST_ML: Final = 200.0


class Glass(NamedTuple):
    """What a trial makes: g, ml before ice and as drunk, % vol as drunk."""

    sugar: float
    acid: float
    volume: float
    drunk_ml: float
    abv: float


def glass(house: Bar, amounts_ml: Mapping[str, float], melt_percent: float) -> Glass:
    """A drink from its pours, by grams and the one volume model."""
    water = ethanol = sugar = acids = as_citric = 0.0
    for identity, ml in amounts_ml.items():
        per_ml = house.liquid(identity).per_ml or ()
        water += ml * per_ml[WATER]
        ethanol += ml * per_ml[ETHANOL]
        sugar += ml * sugar_g(per_ml)
        acids += ml * sum(per_ml[ACID_SLICE])
        as_citric += ml * acid_as_citric_g(per_ml)
    volume = mixture.volume_ml(water, ethanol, sugar, acids)
    melt = melt_percent / 100.0 * volume * WATER_KG_M3 / 1000.0
    drunk = mixture.volume_ml(water + melt, ethanol, sugar, acids)
    return Glass(sugar, as_citric, volume, drunk, 100.0 * ethanol / (ETHANOL_KG_M3 / 1000.0) / drunk)


Cost = Callable[[Mapping[str, float]], float]


def best_of_all(
    cost: Cost, ours: Mapping[str, float], centre: Mapping[str, float], extra: Mapping[str, float]
) -> float | None:
    """The least cost of every pour that could cost less: beyond the box, the steps alone cost more. None for too many.

    centre  the free pours and what each is held near; extra: written pours, which need not be on a mark
    """
    least = cost(ours)
    reach = STEP_ML * sqrt(least / STEP_WEIGHT)
    rows = []
    for identity, near in centre.items():
        first, last = ceil((near - reach) / STEP_ML - 1e-9), floor(min(near + reach, MOST_ML) / STEP_ML + 1e-9)
        marks = {STEP_ML * count for count in range(max(first, 0 if identity == "water" else 1), last + 1)}
        rows.append(sorted(marks | {ours[identity]} | ({extra[identity]} if extra.get(identity) else set())))
    if prod(map(len, rows)) > MOST_TRIED:
        return None
    return min(cost({**ours, **dict(zip(centre, choice, strict=True))}) for choice in product(*rows))


def random_spec(chance: Random) -> Drink:
    """A sour of random pours, some of them off the jigger, some made long."""
    pours = [
        f"{chance.choice([30, 40, 45, 50, 60])} ml gold rum",
        f"{STEP_ML * chance.randint(4, 14)} ml lime juice",
        f"{STEP_ML * chance.randint(4, 14) + chance.choice([0, 0, 0.7])} ml {chance.choice(['plain', 'tart'])} syrup",
    ]
    if chance.random() < 0.4:
        pours.append(f"{chance.choice([60, 90])} ml soda water")
    return drink("Random", *pours, dilution=f"{chance.randint(20, 60)} %")


def adjusting(*quantities: str) -> Callable[[Random], float | None]:
    """An adjusted drink: the pours the bar can make, given the exact ones."""

    def trial(chance: Random) -> float | None:
        spec = random_spec(chance)
        wishes = {
            "sugar": float(chance.randint(-30, 40)),
            "acid": float(chance.randint(-30, 40)),
            "abv": float(chance.randint(8, 16)),
            "volume": chance.randint(70, 150) / 100.0,
        }
        wish = {name: wishes[name] for name in quantities if chance.random() < 0.6} or {
            quantities[0]: wishes[quantities[0]]
        }
        try:
            found = adjust(HOUSE, spec, asked_for(spec, wish))
        except BalancerError:
            return None
        melt = spec.dilution or 0.0
        written = {pour.of: pour.amount.value for pour in spec.pours}
        ours = {pour.liquid.id: pour.poured.value for pour in found.pours}
        exact = {pour.liquid.id: pour.exact.value for pour in found.pours}
        ratio = wish.get("volume", 1.0)
        old = glass(HOUSE, written, melt)
        goals = {
            "sugar": old.sugar * ratio * (1.0 + wish.get("sugar", 0.0) / 100.0),
            "acid": old.acid * ratio * (1.0 + wish.get("acid", 0.0) / 100.0),
        }
        if "abv" in wish or "volume" in wish:
            goals["abv"] = wish.get("abv", old.abv)
        if "volume" in wish or ("abv" in wish and "soda-water" in written):
            goals["volume"] = old.drunk_ml * ratio
        spirits_move = "abv" in wish or "volume" in wish
        centre = {}
        for identity in ours:
            if not spirits_move and identity in ("gold-rum", "soda-water"):
                continue
            before = ratio * written.get(identity, 0.0)
            centre[identity] = before if abs(exact[identity] - before) < STEP_ML else exact[identity]

        def cost(amounts: Mapping[str, float]) -> float:
            new = glass(HOUSE, amounts, melt)
            has = {"sugar": new.sugar, "acid": new.acid, "abv": new.abv, "volume": new.drunk_ml}
            missed = [100.0 * (has[what] / goal - 1.0) / WEIGHTS[what] for what, goal in goals.items()]
            steps = [(amounts[identity] - near) / STEP_ML for identity, near in centre.items()]
            return sum(miss * miss for miss in missed) + STEP_WEIGHT * sum(step * step for step in steps)

        best = best_of_all(cost, ours, centre, written)
        return None if best is None else cost(ours) - best

    return trial


_SWEET: Final = ("plain-syrup", "tart-syrup", "rich-syrup", "cordial")
SHELF: Final = bar(
    ingredient("gold rum", abv="40 %", sugar="0 g/l", allergens=[]),
    ingredient("lime juice", sugar="16.9 g/kg", acid="46 g/l", allergens=[]),
    ingredient("water", sugar="0 g/l", allergens=[]),
    syrup("plain syrup", flavour="none", allergens=[]),
    syrup("tart syrup", acid="9 g/kg", allergens=[]),
    syrup("rich syrup", standard="66.7 °Bx", allergens=[]),
    syrup("cordial", standard="40 °Bx", acid="20 g/kg", allergens=[]),
)


def swapping(*held: Held) -> Callable[[Random], float | None]:
    """A swapped syrup: the pours the bar can make, by the rule."""

    def trial(chance: Random) -> float | None:
        out, into = chance.sample(_SWEET, 2)
        spec = drink(
            "Random",
            f"{chance.choice([30, 40, 45, 50, 60])} ml gold rum",
            f"{STEP_ML * chance.randint(4, 14)} ml lime juice",
            f"{STEP_ML * chance.randint(4, 14) + chance.choice([0.0, 0.0, 0.7])} ml {out.replace('-', ' ')}",
            dilution=f"{chance.randint(20, 60)} %",
        )
        found = swap(SHELF, spec, out, into, held)
        melt = spec.dilution or 0.0
        written = {pour.of: pour.amount.value for pour in spec.pours}
        old = glass(SHELF, written, melt)
        ours = {pour.liquid.id: pour.poured.value for pour in found.pours}
        before = {**{identity: ml for identity, ml in written.items() if identity != out}, into: written[out]}
        free = [into, *(["lime-juice"] if "acid" in held else []), *(["water"] if "volume" in held else [])]
        centre = {identity: before.get(identity, 0.0) for identity in free}

        def cost(amounts: Mapping[str, float]) -> float:
            new = glass(SHELF, amounts, melt)
            weights = {"sugar": 5.0, "acid": 10.0, "volume": 5.0}
            missed: list[float] = [
                100.0 * (getattr(new, what) / getattr(old, what) - 1.0) / weights[what] for what in held
            ]
            steps = [(amounts.get(identity, 0.0) - near) / STEP_ML for identity, near in centre.items()]
            return sum(miss * miss for miss in missed) + STEP_WEIGHT * sum(step * step for step in steps)

        ours = {**dict.fromkeys(free, 0.0), **ours}
        best = best_of_all(cost, ours, centre, before)
        return None if best is None else cost(ours) - best

    return trial


def fitting(chance: Random) -> float:
    """Every sweetener of the shelf in one drink: its pour against every other pour."""
    out, *others = chance.sample(_SWEET, len(_SWEET))
    spec = drink(
        "Random",
        f"{chance.choice([30, 45, 60])} ml gold rum",
        f"{STEP_ML * chance.randint(4, 14)} ml lime juice",
        f"{STEP_ML * chance.randint(4, 14)} ml {out.replace('-', ' ')}",
        dilution=f"{chance.randint(20, 60)} %",
    )
    written = {pour.of: pour.amount.value for pour in spec.pours}
    old = glass(SHELF, written, 0.0)
    gaps = [0.0]
    for fit in fits(SHELF, spec, out, others).fits:
        rest = {identity: ml for identity, ml in written.items() if identity != out}

        def cost(ml: float, into: str = fit.into.id, rest: Mapping[str, float] = rest) -> float:
            new = glass(SHELF, {**rest, into: ml}, 0.0)
            steps = (ml - written[out]) / STEP_ML
            return (100.0 * (new.sugar / old.sugar - 1.0) / 5.0) ** 2 + STEP_WEIGHT * steps * steps

        every = [STEP_ML * count for count in range(1, round(MOST_ML / STEP_ML) + 1)]
        gaps.append(cost(fit.poured.value) - min(map(cost, every)))
    return max(gaps)
