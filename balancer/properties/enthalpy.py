"""Heat held by ice, and by liquid mixtures of ethanol and water.

All enthalpies are in J per gram and counted from pure liquid water and pure liquid ethanol at 25 °C, so that
mixing and melting cost no separate bookkeeping: what enters a shaker holds what leaves it.
"""

from __future__ import annotations

from math import sqrt
from typing import Final

from balancer.numerics import polynomial
from balancer.properties._limits import Limits

REFERENCE_C: Final = 25.0
"""Temperature at which the pure liquids hold nothing, °C."""

SOLIDS_J_PER_G_K: Final = 1.75
"""Heat capacity of sugar and acid in solution, from memory; a tenth of it moves the melt of a sour by 0.2 g."""

# Our fit to [MELINDER] and to water by [IAPWS95]: c = sum a_ij w^i T^j, one row for each power of w.
_HEAT_CAPACITY: Final = (
    (4.2158, -0.0016407),
    (3.1885, -0.080792),
    (-13.443, 0.59654),
    (3.9781, -1.144),
    (11.398, 0.7373),
)

# [LARKIN] H = x (1 - x) sum (b + c T + d T²) x^m in J/mol, T in K; rows m, b, c, d
_MIXING: Final = (
    (0.0, -3.63868e5, 1.83829e3, -2.32763),
    (0.5, 9.25982e5, -4.83586e3, 6.37228),
    (1.5, -1.404894e6, 7.51661e3, -10.1128),
    (2.5, 1.091318e6, -5.89498e3, 7.98868),
    (4.5, -2.79986e5, 1.50557e3, -2.03127),
)
_AT_K: Final = 273.15 + REFERENCE_C
_TERMS: Final = tuple((power, b + c * _AT_K + d * _AT_K * _AT_K) for power, b, c, d in _MIXING)
_ETHANOL_G_PER_MOL: Final = 46.068
_WATER_G_PER_MOL: Final = 18.0153

# [IAPWS06] heat of melting at 0 °C, and ice to -30 °C: c = 2.0967 + 0.0073 T. [IAPWS95] water from 0 to 25 °C.
_MELTING_J_PER_G: Final = 333.43
_WATER_TO_REFERENCE_J_PER_G: Final = 104.86
_ICE: Final = (-_WATER_TO_REFERENCE_J_PER_G - _MELTING_J_PER_G, 2.0967, 0.00365)

_FRACTION: Final = Limits(
    "ethanol mass fraction",
    0.0,
    0.45,
    "kg/kg",
    "MELINDER",
    "take a mixture up to 52 % vol: nothing stronger was fitted",
)
_MIXED: Final = Limits("ethanol mass fraction", 0.0, 1.0, "kg/kg", "LARKIN", "give a share between 0 and 1")
_LIQUID_C: Final = Limits("temperature", -15.0, 30.0, "°C", "MELINDER", "take a drink between -15 and 30 °C")
_ICE_C: Final = Limits("temperature of ice", -30.0, 0.0, "°C", "IAPWS06", "take ice between -30 and 0 °C")
_MELTING_C: Final = Limits("temperature", -15.0, 0.0, "°C", "IAPWS06", "ice melts in drinks between -15 and 0 °C")


def heat_capacity(mass_fraction: float, temperature_c: float) -> float:
    """Heat capacity of a liquid mixture of ethanol and water, in J/(g K).

    mass_fraction  kg of ethanol per kg of mixture
    temperature_c  temperature of the mixture, °C
    Source:    fit to [MELINDER] in the form of a polynomial, and to water by [IAPWS95]
    Range:     0 to 0.45 kg/kg, -15 to 30 °C; below 0 °C the liquid only, undercooled or not
    Accuracy:  1.2 %, by which [MELINDER]'s table differs from the polynomial; [PERRY] differs by 0.7 %
    Raises:    OutOfRangeError

    >>> round(heat_capacity(0.25, 10.0), 2)  # [MELINDER]
    4.28
    """
    _FRACTION.check(mass_fraction)
    _LIQUID_C.check(temperature_c)
    return polynomial([polynomial(row, temperature_c) for row in _HEAT_CAPACITY], mass_fraction)


def mixing_enthalpy(mass_fraction: float) -> float:
    """Heat taken up when ethanol and water are mixed at 25 °C, in J per gram of mixture; it is negative.

    mass_fraction  kg of ethanol per kg of mixture
    Source:    [LARKIN] at 298.15 K, the low end of his range
    Range:     0 to 1 kg/kg
    Accuracy:  5 %: the deepest value of other work at 25 °C is that much less
    Raises:    OutOfRangeError

    >>> round(mixing_enthalpy(0.344), 1)  # 17 % by mole, where [MIXING-25] has -34.2
    -35.3
    """
    _MIXED.check(mass_fraction)
    ethanol = mass_fraction / _ETHANOL_G_PER_MOL
    water = (1.0 - mass_fraction) / _WATER_G_PER_MOL
    x = ethanol / (ethanol + water)
    root = sqrt(x)
    total = sum([value * float(root ** (2.0 * power)) for power, value in _TERMS])
    return x * (1.0 - x) * total * (ethanol + water)


def liquid_enthalpy(mass_fraction: float, temperature_c: float) -> float:
    """Heat held by a liquid mixture of ethanol and water, in J/g above the pure liquids at 25 °C.

    mass_fraction  kg of ethanol per kg of mixture
    temperature_c  temperature of the mixture, °C
    Source:    `mixing_enthalpy` at 25 °C, from there with `heat_capacity`: [LARKIN] is 5 to 7 % off if carried lower
    Range:     0 to 0.45 kg/kg, -15 to 30 °C
    Accuracy:  (judged) 2 J/g, most of it in the heat of mixing; water alone 0.1 J/g against [IAPWS95]
    Raises:    OutOfRangeError

    >>> round(liquid_enthalpy(0.0, 10.0), 1)  # [IAPWS95]
    -62.8
    """
    _FRACTION.check(mass_fraction)
    _LIQUID_C.check(temperature_c)
    constant, slope = (polynomial([row[power] for row in _HEAT_CAPACITY], mass_fraction) for power in (0, 1))
    warmed = constant * (temperature_c - REFERENCE_C) + 0.5 * slope * (temperature_c**2 - REFERENCE_C**2)
    return mixing_enthalpy(mass_fraction) + warmed


def ice_enthalpy(temperature_c: float) -> float:
    """Heat held by ice, in J/g above liquid water at 25 °C; it is negative.

    temperature_c  temperature of the ice, °C
    Source:    [IAPWS06] near 0 °C and its heat capacity, fitted with a straight line
    Range:     -30 to 0 °C
    Accuracy:  0.1 J/g
    Raises:    OutOfRangeError

    >>> round(ice_enthalpy(0.0))  # [IAPWS06] melting at 0 °C, less [IAPWS95] water from 0 to 25 °C
    -438
    """
    _ICE_C.check(temperature_c)
    return polynomial(_ICE, temperature_c)


def latent_heat(temperature_c: float) -> float:
    """Heat that melts a gram of ice into water of the same temperature, in J/g.

    temperature_c  temperature of both, °C
    Source:    `liquid_enthalpy` of water less `ice_enthalpy`
    Range:     -15 to 0 °C
    Accuracy:  0.1 J/g at 0 °C; below, where water is undercooled, 0.5 J/g
    Raises:    OutOfRangeError

    >>> round(latent_heat(0.0), 1)  # [IAPWS06]
    333.4
    """
    _MELTING_C.check(temperature_c)
    return liquid_enthalpy(0.0, temperature_c) - ice_enthalpy(temperature_c)
