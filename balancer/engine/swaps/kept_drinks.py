"""A syrup gets another standard, and the drinks that are written for the old one are to stay what they are."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from balancer.engine.drink.bar import Bar
from balancer.engine.service.rescale import Rescale, rescale
from balancer.models.drink import Drink
from balancer.models.syrup import Syrup


class KeptDrinks(NamedTuple):
    """Drinks that are written for a syrup's standard, as they are when they say so and the standard is another.

    drinks     each with the strength it is written for, in the order of the files
    old_brix   that strength, °Bx
    apart      drinks that say already what they are written for: they stay what they are whatever the standard
    at_new     the syrup at its new standard against the whole menu: what the drinks then pour of it
    """

    drinks: tuple[Drink, ...]
    old_brix: float
    apart: tuple[Drink, ...]
    at_new: Rescale


def restated(bar: Bar, syrup: Syrup, new_brix: float) -> tuple[Drink, ...]:
    """The drinks whose card says otherwise of a syrup once it has another standard, in the order of the files.

    That is what it pours is written for; of a drink that says so itself, whether that is the standard.
    """
    old_brix = bar.standard(syrup.id)

    def says_otherwise(drink: Drink) -> bool:
        own = drink.written_for.get(syrup.id)
        return own is None or (own == old_brix) != (own == new_brix)

    return tuple([drink for drink in bar.specs.drinks_with(syrup.id, rinses=True) if says_otherwise(drink)])


def kept_drinks(bar: Bar, syrup: Syrup, new_brix: float) -> KeptDrinks:
    """What keeping the drinks of a syrup comes to when its standard changes, the other syrups being at theirs.

    new_brix  the standard that it gets, °Bx
    Raises BalancerError when the syrup cannot be as strong, or holds no sugar.
    """
    old_brix, specs = bar.standard(syrup.id), bar.specs
    pouring = specs.drinks_with(syrup.id)
    kept = {
        drink.id: drink.model_copy(update={"written_for": {**drink.written_for, syrup.id: old_brix}})
        for drink in pouring
        if syrup.id not in drink.written_for
    }
    moved = syrup.model_copy(update={"standard": new_brix, "standard_reading": None})
    after = Bar(replace(specs, syrups=specs.syrups | {syrup.id: moved}, drinks=specs.drinks | kept))
    apart = tuple([drink for drink in pouring if drink.id not in kept])
    return KeptDrinks(tuple(kept.values()), old_brix, apart, rescale(after, syrup.id, new_brix))
