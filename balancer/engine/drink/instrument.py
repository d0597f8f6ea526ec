"""From what an instrument shows to a syrup's strength, and back."""

from __future__ import annotations

from collections.abc import Callable

from balancer.models.syrup import Syrup
from balancer.numerics import find_root
from balancer.properties import refractometer

MOST_READ_BRIX = 85.0
"""The corrections go no further, °Bx."""
MOST_READ_UNCOMPENSATED_BRIX = 75.0
"""Nor the temperature correction."""


def corrections(
    shown_brix: float,
    acid_percent: float = 0.0,
    inverted_fraction: float = 0.0,
    temperature_c: float | None = None,
) -> tuple[float, float, float]:
    """What to add for temperature, acid and invert sugar, in °Bx.

    shown_brix         what the refractometer reads less what it reads in water, °Bx
    acid_percent       titratable acidity as anhydrous citric, g per 100 g of what is on the prism
    inverted_fraction  part of the solids that is glucose and fructose, 0 to 1
    temperature_c      of an instrument that does not compensate; None for one that does
    Range:  that of the three corrections
    Acid bends light less than sugar does, so the citrus table adds to the reading; the sum still
    counts the acid as solids, so the acid itself is taken off. Glucose and fructose read low.
    """
    temperature = refractometer.temperature_correction(shown_brix, temperature_c) if temperature_c is not None else 0.0
    acid = refractometer.citric_correction(acid_percent) - acid_percent if acid_percent else 0.0
    at_20_c = shown_brix + temperature
    invert = refractometer.invert_correction(at_20_c, inverted_fraction) if inverted_fraction else 0.0
    return temperature, acid, invert


def strength_from_reading(
    reading_brix: float,
    acid_percent: float = 0.0,
    inverted_fraction: float = 0.0,
    temperature_c: float | None = None,
) -> float:
    """Strength in °Bx of what reads `reading_brix`; arguments as in `corrections`.

    >>> round(strength_from_reading(6.0, 4.5), 1)  # WE-46 of tests/reference/facts/worked_examples.csv
    2.4
    """
    return reading_brix + sum(corrections(reading_brix, acid_percent, inverted_fraction, temperature_c))


def reading_from_strength(
    brix: float,
    acid_percent: float = 0.0,
    inverted_fraction: float = 0.0,
    temperature_c: float | None = None,
) -> float | None:
    """What the refractometer reads of a strength; the inverse of `strength_from_reading`.

    None when no reading that the corrections know gives it.
    """
    at_20_c = _root(lambda shown: strength_from_reading(shown, acid_percent, inverted_fraction) - brix, MOST_READ_BRIX)
    if at_20_c is None or temperature_c is None:
        return at_20_c
    return _root(
        lambda shown: shown + refractometer.temperature_correction(shown, temperature_c) - at_20_c,
        MOST_READ_UNCOMPENSATED_BRIX,
    )


def _root(over: Callable[[float], float], most: float) -> float | None:
    """Where a rising function of the reading passes zero, from 0 to most; None where it does not."""
    return find_root(over, 0.0, most) if over(0.0) <= 0.0 <= over(most) else None


def inverted_fraction(syrup: Syrup) -> float:
    """Part of a syrup's solids that is glucose and fructose, 0 to 1."""
    kinds = syrup.sugars or {}
    return syrup.sugar_share / 100.0 * (kinds.get("glucose", 0.0) + kinds.get("fructose", 0.0))
