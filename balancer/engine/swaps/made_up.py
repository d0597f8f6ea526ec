"""A syrup that nobody has made yet, and water that no file names, beside what the house has."""

from __future__ import annotations

from dataclasses import replace

from balancer.engine.drink.bar import Bar
from balancer.models.ingredient import Ingredient
from balancer.models.syrup import Syrup

_WATER = "water"


def with_syrup(bar: Bar, syrup: Syrup) -> Bar:
    """The bar as it would be with one syrup more. Nothing of it is in a file."""
    return Bar(replace(bar.specs, syrups={**bar.specs.syrups, syrup.id: syrup}))


def with_water(bar: Bar) -> Bar:
    """The bar with plain water to pour, where none of its files has any."""
    if bar.specs.find_liquid(_WATER) is not None:
        return bar
    told = {"ingredient": _WATER, "id": _WATER, "kind": "mixer", "sugar": "0 g/l", "allergens": []}
    water = Ingredient.model_validate(told)
    return Bar(replace(bar.specs, ingredients={**bar.specs.ingredients, water.id: water}))
