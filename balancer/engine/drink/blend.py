"""The one blend equation: how much of one thing brings another to a strength."""

from __future__ import annotations

from math import isfinite
from typing import Final, NamedTuple

from balancer.errors import CannotError

DRY_SUGAR_BRIX: Final = 100.0
WATER_BRIX: Final = 0.0


class PerKilogram(NamedTuple):
    """What one kilogram of a batch needs. add is "water" or "sugar", None when it is at target."""

    add: str | None
    g_per_kg: float


def addition_g(mass_g: float, brix: float, target_brix: float, additive_brix: float) -> float | None:
    """Grams of an additive that bring a batch to its target; None when no amount of it can.

    mass_g         the batch, g
    additive_brix  0 for water, 100 for dry sugar, its strength for anything else, °Bx
    Mass balance: m (T - B) / (R - T), for T between B and R.
    Raises CannotError for anything that is not a finite number.

    >>> round(addition_g(2000, 54, 50, 0))  # WE-24 of tests/reference/facts/worked_examples.csv
    160
    """
    if not isfinite(mass_g + brix + target_brix + additive_brix):
        raise CannotError("value", "a mass or strength is not a number", "give masses in g and strengths in °Bx")
    if target_brix == brix:
        return 0.0
    if additive_brix == target_brix or (target_brix - brix) * (additive_brix - target_brix) < 0:
        return None
    return balance_g(mass_g, brix, target_brix, additive_brix)


def balance_g(mass_g: float, brix: float, target_brix: float, additive_brix: float) -> float:
    """The mass balance of `addition_g` where an additive can do it; of arrays of strengths too."""
    return mass_g * (target_brix - brix) / (additive_brix - target_brix)


def per_kilogram(brix: float, target_brix: float) -> PerKilogram:
    """Water for a strong batch, dry sugar for a weak one, per kilogram of it."""
    if brix == target_brix:
        return PerKilogram(None, 0.0)
    add, additive = ("water", WATER_BRIX) if brix > target_brix else ("sugar", DRY_SUGAR_BRIX)
    grams = addition_g(1000.0, brix, target_brix, additive)
    return PerKilogram(add, grams or 0.0)
