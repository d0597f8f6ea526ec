"""What is counted and not measured by the ml: eggs, cubes, leaves, where the house or the pantry knows what one is."""

from __future__ import annotations

from typing import Final

from balancer.files.house.pantry import pantry
from balancer.models.ingredient import Ingredient, own_unit

_IRREGULAR: Final = {"leaves": "leaf"}


def count_unit(found: Ingredient | None, name: str) -> str | None:
    """What the house calls one of a thing: the unit of its own that its name ends with; of an egg else its first.

    None where it has no such unit: a lime is in lime juice, and nobody counts that.
    """
    if found is None or not found.each:
        return None
    last = name.casefold().split()[-1]
    word = _IRREGULAR.get(last, last)
    if own_unit(found.each, word) is not None:
        return next(unit for unit in found.each if own_unit({unit: found.each[unit]}, word) is not None)
    return next(iter(found.each)) if found.kind == "egg" else None


def is_counted_in_pantry(name: str) -> bool:
    """Whether the pantry knows by this very name what one of it weighs."""
    offer = pantry().offer(name, by_volume=False)
    return offer is not None and offer.is_meant and offer.entry.is_counted
