"""Mixtures of ethanol and water: density, strength by mass and by volume, freezing line.

`mass_fraction` is kg of ethanol per kg of mixture, `abv_percent` is % vol at 20 °C. Densities are true (in vacuo).
"""

from __future__ import annotations

from typing import Final

from balancer.numerics import find_root, polynomial
from balancer.properties._limits import Limits

# [OIML] rho = sum A_k p^(k-1) + sum B_k u^k + sum_i u^i sum_k C_i,k p^k, with u = t - 20 and k from 1,
# so the rows in p or u alone start with the power 0 that is not there. Not one digit is dropped.
_A: Final = (
    9.982012300e2, -1.929769495e2, 3.891238958e2, -1.668103923e3, 1.352215441e4, -8.829278388e4,
    3.062874042e5, -6.138381234e5, 7.470172998e5, -5.478461354e5, 2.234460334e5, -3.903285426e4,
)  # fmt: skip
_B: Final = (
    0.0, -2.0618513e-1, -5.2682542e-3, 3.6130013e-5, -3.8957702e-7, 7.1693540e-9, -9.9739231e-11,
)  # fmt: skip
_C: Final = (
    (
        0.0, 1.693443461530087e-1, -1.046914743455169e1, 7.196353469546523e1, -7.047478054272792e2,
        3.924090430035045e3, -1.210164659068747e4, 2.248646550400788e4, -2.605562982188164e4,
        1.852373922069467e4, -7.420201433430137e3, 1.285617841998974e3,
    ),
    (
        0.0, -1.193013005057010e-2, 2.517399633803461e-1, -2.170575700536993, 1.353034988843029e1,
        -5.029988758547014e1, 1.096355666577570e2, -1.422753946421155e2, 1.080435942856230e2,
        -4.414153236817392e1, 7.442971530188783,
    ),
    (
        0.0, -6.802995733503803e-4, 1.876837790289664e-2, -2.002561813734156e-1, 1.022992966719220,
        -2.895696483903638, 4.810060584300675, -4.672147440794683, 2.458043105903461, -5.411227621436812e-1,
    ),
    (0.0, 4.075376675622027e-6, -8.763058573471110e-6, 6.515031360099368e-6, -1.515784836987210e-6),
    (0.0, -2.788074354782409e-8, 1.345612883493354e-8),
)  # fmt: skip

# Our fit to the rows of [CRC] up to 30 % by mass: depression in powers of the molality
_FREEZING: Final = (0.0, 1.8597, 1.8597 * -0.02204, 1.8597 * 0.01022, 1.8597 * -0.000611)
_MOLAR_MASS: Final = 46.068

_ICE_MARGIN_K: Final = 0.4
"""The freezing lines of [CRC] and [MELINDER] differ by up to 0.35 K; this far below ours both have ice."""

_FRACTION: Final = Limits("ethanol mass fraction", 0.0, 1.0, "kg/kg", "OIML", "give a share between 0 and 1")
_TEMPERATURE: Final = Limits("temperature", -20.0, 40.0, "°C", "OIML", "measure between -20 and 40 °C")
_ABV: Final = Limits("alcohol", 0.0, 100.0, "% vol", "OIML", "give a strength between 0 and 100 % vol")
_FREEZING_FRACTION: Final = Limits(
    "ethanol mass fraction", 0.0, 0.3, "kg/kg", "CRC", "take a mixture up to 0.3: nothing stronger was fitted"
)


def density(mass_fraction: float, temperature_c: float = 20.0) -> float:
    """Density of a liquid mixture of ethanol and water in kg/m3.

    mass_fraction  kg of ethanol per kg of mixture
    temperature_c  temperature of the mixture, °C
    Source:    [OIML] general formula, all terms
    Range:     0 to 1 kg/kg, -20 to 40 °C, liquid only: refused from 0.4 K below `freezing_point` on
    Accuracy:  0.08 kg/m3 against the tables of the US National Bureau of Standards at 10 to 40 °C,
               0.3 against [CRC] at 20 °C, 0.7 against the smoothed values of [MELINDER] at -10 to 20 °C
    Raises:    OutOfRangeError

    >>> round(density(1.0), 2)  # [ALCOHOL-TABLE], also [EEC]
    789.24
    """
    if not 0.0 <= mass_fraction <= 1.0:
        raise _FRACTION.error(mass_fraction)
    if temperature_c == 20.0:  # the terms in u vanish
        return polynomial(_A, mass_fraction)
    _TEMPERATURE.check(temperature_c)
    if temperature_c < 0.0 and mass_fraction <= _FREEZING_FRACTION.high:
        coldest = freezing_point(mass_fraction) - _ICE_MARGIN_K
        Limits("temperature", coldest, 40.0, "°C", "CRC", "below that it holds ice: let it thaw").check(temperature_c)
    u = temperature_c - 20.0
    rows = (0.0, *[polynomial(row, mass_fraction) for row in _C])
    return polynomial(_A, mass_fraction) + polynomial(_B, u) + polynomial(rows, u)


ETHANOL_KG_M3: Final = density(1.0)
"""Density of pure ethanol at 20 °C, 789.24 kg/m3, as % vol is defined with [OIML] [EEC]."""


def abv_percent(mass_fraction: float) -> float:
    """Strength by volume at 20 °C, in % vol.

    mass_fraction  kg of ethanol per kg of mixture
    Source:    [OIML]: volume of the pure ethanol over volume of the mixture, both at 20 °C
    Range:     0 to 1 kg/kg
    Accuracy:  0.01 % vol against [USP] and [ALCOHOL-TABLE]; columns that print both strengths rounded are up to
               0.1 off, [LANGE] and [PHARMACY]
    Raises:    OutOfRangeError

    >>> round(abv_percent(0.113), 1)  # [LANGE]
    14.0
    """
    return 100.0 * (mass_fraction * density(mass_fraction) / ETHANOL_KG_M3)


_abv_percent = abv_percent  # the argument of the next function hides the name


def mass_fraction(abv_percent: float) -> float:
    """Ethanol by mass, kg/kg, of a mixture of known strength by volume; the inverse of `abv_percent`.

    abv_percent  strength by volume at 20 °C, % vol
    Source:    [OIML], solved for the mass fraction
    Range:     0 to 100 % vol
    Accuracy:  0.0001 kg/kg against [ALCOHOL-TABLE]; columns that print both strengths rounded are up to
               0.0009 off, [LANGE] and [PHARMACY]
    Raises:    OutOfRangeError

    >>> round(density(mass_fraction(40.0)), 2)  # [ALCOHOL-TABLE]
    948.05
    """
    _ABV.check(abv_percent)
    return find_root(lambda fraction: _abv_percent(fraction) - abv_percent, 0.0, 1.0)


def freezing_point(mass_fraction: float) -> float:
    """Temperature at which ice begins to form in ethanol and water, in °C.

    mass_fraction  kg of ethanol per kg of mixture
    Source:    fit to [CRC] in powers of the molality
    Range:     0 to 0.3 kg/kg
    Accuracy:  0.08 K against [CRC]; [MELINDER] differs by up to 0.35 K, [LANGE] is up to 1.5 K warmer at 0.3
    Raises:    OutOfRangeError

    >>> round(freezing_point(0.11), 2)  # [CRC], also [MELINDER]
    -5.0
    """
    _FREEZING_FRACTION.check(mass_fraction)
    molality = mass_fraction / (1.0 - mass_fraction) * 1000.0 / _MOLAR_MASS
    return -polynomial(_FREEZING, molality)
