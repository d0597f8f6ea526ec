"""Readings of instruments that do not show °Bx: a refractive index, a specific gravity.

Both are turned into the strength of a sucrose solution by the published tables; what is known of acid, invert sugar
and dilution is corrected afterwards, as for a reading in °Bx.
"""

from __future__ import annotations

from typing import Final, Literal, NamedTuple

from balancer.properties import sucrose

ReadScale = Literal["°Bx", "nD", "SG"]
"""°Bx; the refractive index at 589 nm and 20 °C; the specific gravity, density over that of water at 20 °C."""

SPANS: Final[dict[ReadScale, tuple[float, float]]] = {"°Bx": (0.0, 85.0), "nD": (1.333, 1.5039), "SG": (1.0, 1.447)}
"""From water to 85 °Bx on each scale, by [ICUMSA1974] and [ICUMSA]."""

_HALF: Final = 0.5


class Seen(NamedTuple):
    """One reading as it was written down: the number, its scale, and how many decimals it has."""

    value: float
    scale: ReadScale
    decimals: int

    @property
    def last_digit(self) -> float:
        """What one of its last digit is, on its scale."""
        return 10.0**-self.decimals


def brix_of(seen: Seen, temperature_c: float | None = None) -> float:
    """The reading as a strength of pure sucrose, °Bx.

    temperature_c  of the sample, for a specific gravity; 20 °C when None. A refractive index is taken as at 20 °C,
                   and corrected with the temperature as a reading in °Bx is
    Source:  `sucrose.brix_from_refractive_index` and `sucrose.brix_from_density`, with their accuracy. A hydrometer
             read in air stands 0.0003 higher at 60 °Bx than the true density says, which is 0.05 °Bx
    Raises:  OutOfRangeError outside SPANS

    >>> round(brix_of(Seen(1.42009, "nD", 5)), 1)  # [ICUMSA1974]
    50.0
    """
    if seen.scale == "nD":
        return sucrose.brix_from_refractive_index(seen.value)
    if seen.scale == "SG":
        return sucrose.brix_from_density(seen.value * sucrose.WATER_KG_M3, _or_room(temperature_c))
    return seen.value


def value_on(brix: float, scale: ReadScale, temperature_c: float | None = None) -> float:
    """What an instrument of a scale shows of a strength; the inverse of `brix_of`."""
    if scale == "nD":
        return sucrose.refractive_index(brix)
    if scale == "SG":
        return sucrose.density(brix, _or_room(temperature_c)) / sucrose.WATER_KG_M3
    return brix


def division_brix(seen: Seen, temperature_c: float | None = None) -> float:
    """What one of the last digit written is in °Bx, there: nobody knows more of the reading."""
    low, high = SPANS[seen.scale]
    below = max(seen.value - _HALF * seen.last_digit, low)
    above = min(seen.value + _HALF * seen.last_digit, high)
    wide = brix_of(seen._replace(value=above), temperature_c) - brix_of(seen._replace(value=below), temperature_c)
    return wide * seen.last_digit / (above - below)


def _or_room(temperature_c: float | None) -> float:
    return 20.0 if temperature_c is None else temperature_c
