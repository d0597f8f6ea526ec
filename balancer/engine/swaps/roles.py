"""What something is in a drink: a sweetener, or a sour. It decides what a swap of it holds."""

from __future__ import annotations

from typing import Final

from balancer.components import ETHANOL
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.liquid import ETHANOL_G_PER_ML, Liquid
from balancer.engine.swaps.moved import Held
from balancer.models.drink import Drink
from balancer.models.pour import RINSE

SWEET_G_PER_G: Final = 0.25
"""From here on an ingredient is a sweetener, g of sugar in a g (our choice: juices hold less, honey and sugar more)."""

LIQUEUR_G_PER_ML: Final = 0.1
"""So is a spirit with this much: the least sugar of a liqueur, Regulation (EU) 2019/787."""

SPIRIT_ABV: Final = 15.0
"""From here on a pour is a spirit and is not moved: the least % vol of a spirit drink, Regulation (EU) 2019/787."""

SOUR_TO_SWEET: Final = 0.2
"""A juice with this much acid to a gram of its sugar is poured to sour a drink (judged: lime has 2.7, lemon 1.9,
passion fruit and grapefruit 0.22; orange 0.14, pineapple 0.09, apple 0.06)."""


def abv_of(liquid: Liquid) -> float:
    """Its alcohol, % vol; 0 when it can only be weighed."""
    return 100.0 * liquid.per_g[ETHANOL] * (liquid.density or 0.0) / ETHANOL_G_PER_ML


def is_sweet(bar: Bar, identity: str) -> bool:
    """Whether something is a sweetener: it holds much sugar by weight, or is a liqueur."""
    liquid = bar.liquid(identity)
    is_liqueur = abv_of(liquid) >= SPIRIT_ABV and liquid.sugar_g_per_ml >= LIQUEUR_G_PER_ML * (1.0 - 1e-9)
    return liquid.sugar_per_g >= SWEET_G_PER_G or is_liqueur


def is_sour(bar: Bar, identity: str) -> bool:
    """Whether something is poured for its acid: a sour juice or an acid; a juice whose acid is unknown may be one.

    Fruit is there for itself, however sour it is.
    """
    if identity in bar.specs.syrups:
        return False
    liquid, ingredient = bar.liquid(identity), bar.specs.ingredients[identity]
    if ingredient.kind == "fruit" or liquid.sugar_per_g >= SWEET_G_PER_G or abv_of(liquid) >= SPIRIT_ABV:
        return False
    if liquid.acid_unknown:
        return ingredient.kind == "juice"
    return liquid.acid_per_g > 0.0 and liquid.acid_per_g >= SOUR_TO_SWEET * liquid.sugar_per_g


def usually_held(bar: Bar, out_id: str) -> tuple[Held, ...]:
    """What is held where nothing else is asked: the acid when a sour goes, else the sugar."""
    return ("acid",) if is_sour(bar, out_id) else ("sugar",)


def may_go(bar: Bar, drink: Drink) -> tuple[str, ...]:
    """Ids of the sweeteners and sours of a drink that a swap may take out, in its order: no rinse, and none fixed."""
    poured = [pour.of for pour in drink.pours if pour.amount.unit != RINSE and not pour.fixed]
    return tuple(each for each in poured if each in bar.specs.syrups or is_sweet(bar, each) or is_sour(bar, each))


def sours(bar: Bar) -> tuple[str, ...]:
    """Ids of every sour of the house, in the order of the files."""
    return tuple(each for each in bar.specs.ingredients if is_sour(bar, each))
