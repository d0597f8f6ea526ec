"""Solutions of pure sucrose in water.

`brix` is grams of sucrose per 100 g of solution (°Bx). Densities are true densities (in vacuo).
Other sugars behave slightly differently; see `refractometer` and `mixture` for what that costs.
"""

from __future__ import annotations

from math import exp
from typing import Final

from balancer.numerics import find_root, polynomial
from balancer.properties._limits import Limits

_DILUTE: Final = "weigh in a known amount of water and measure again"
_TEMPERATE: Final = "let it come to room temperature"

# [ICUMSA] SPS-4: rho = water + sum A_i w^i + s sum B_i w^i + s² sum C_i w^i + s³ sum D_i w^i + s⁴ sum E_i w^i
# with w the mass fraction, s = (t - 20)/100 and i from 1, so each row starts with the power 0 that is not there.
# The fourth A is printed -3.9646 in one of the two transcriptions compared; the effect stays below 0.0002 kg/m3.
_DENSITY_A: Final = (0.0, 385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.2890)
_DENSITY_B: Final = (0.0, -46.2720, -7.1720, 1.1597, 5.1126, 17.5254)
_DENSITY_C: Final = (0.0, 59.7712, 7.2491, 12.3630, -35.4791)
_DENSITY_D: Final = (0.0, -47.2207, -21.6977, 27.6301)
_DENSITY_E: Final = (0.0, 18.3184, 12.3081)

# [KELL] density of water, kg/m3; numerator, and the factor of t in the denominator
_WATER: Final = (999.83952, 16.952577, -7.9905127e-3, -46.241757e-6, 105.84601e-9, -281.03006e-12)
_WATER_DENOMINATOR: Final = 16.887236e-3

# Our least-squares fit to the 86 rows of [ICUMSA1974]; the official coefficients were not available.
_INDEX: Final = (1.33299, 0.142696702, 0.0550966406, 0.0110723626, 0.0144876741, -0.010079241)

# [VAVRINECZ]
_SOLUBILITY: Final = (64.447, 0.08222, 1.6169e-3, -1.558e-6, -4.63e-8)

# Our fit to 32 rows of [CRC], in powers of the molality
_FREEZING: Final = (0.0, 1.87855, 0.150865, 0.029698)

# [CHIRIFE] the constant of Norrish's equation for sucrose
_NORRISH_K: Final = 6.47

_MOLAR_MASS: Final = 342.2965
_MOLAR_MASS_WATER: Final = 18.01528

_DENSITY_BRIX: Final = Limits("strength", 0.0, 85.0, "°Bx", "ICUMSA", _DILUTE)
_DENSITY_C_RANGE: Final = Limits("temperature", 0.0, 80.0, "°C", "ICUMSA", _TEMPERATE)
_INDEX_BRIX: Final = Limits("strength", 0.0, 85.0, "°Bx", "ICUMSA1974", _DILUTE)
_INDEX_N: Final = Limits("refractive index", 1.33299, 1.50398, "(589 nm, 20 °C)", "ICUMSA1974", _DILUTE)
_SOLUBILITY_C: Final = Limits("temperature", 0.0, 80.0, "°C", "VAVRINECZ", "keep it between 0 and 80 °C")
_FREEZING_BRIX: Final = Limits(
    "strength", 0.0, 42.0, "°Bx", "CRC", "take a syrup up to 42 °Bx: nothing stronger was fitted"
)
_ACTIVITY_BRIX: Final = Limits(
    "strength", 0.0, 67.0, "°Bx", "CHIRIFE", "take a syrup up to 67 °Bx: nothing stronger was compared"
)
_VISCOSITY_BRIX: Final = Limits("strength", 0.0, 70.0, "°Bx", "GENOTELLE", _DILUTE)
_VISCOSITY_C: Final = Limits("temperature", 10.0, 60.0, "°C", "GENOTELLE", _TEMPERATE)


def density(brix: float, temperature_c: float = 20.0) -> float:
    """Density of a sucrose solution in kg/m3.

    brix           g of sucrose per 100 g of solution, °Bx
    temperature_c  temperature of the solution, °C
    Source:    [ICUMSA] SPS-4, as in Bubník et al. p. 164; water part [KELL]
    Range:     0 to 85 °Bx, 0 to 80 °C
    Accuracy:  at 15 and 20 °C within 0.16 kg/m3 of the tables to 50 °Bx, 0.3 at 70, 0.8 at 84, where they
               rest on older measurements; at 15 to 55 °C and to 50 °Bx within 0.3 of [LALIBERTE];
               nothing was found to compare with beyond
    Raises:    OutOfRangeError

    >>> round(density(10.0), 1)  # [CRC]
    1038.1
    """
    if not 0.0 <= brix <= 85.0:
        raise _DENSITY_BRIX.error(brix)
    w = brix / 100.0
    if temperature_c == 20.0:  # the terms in s vanish
        return WATER_KG_M3 + polynomial(_DENSITY_A, w)
    _DENSITY_C_RANGE.check(temperature_c)
    s = (temperature_c - 20.0) / 100.0
    rows = (_DENSITY_A, _DENSITY_B, _DENSITY_C, _DENSITY_D, _DENSITY_E)
    return _water_density(temperature_c) + polynomial([polynomial(row, w) for row in rows], s)


def _water_density(temperature_c: float) -> float:
    return polynomial(_WATER, temperature_c) / (1.0 + _WATER_DENOMINATOR * temperature_c)


WATER_KG_M3: Final = _water_density(20.0)
"""Density of water at 20 °C as the sucrose formula has it [KELL]."""


def brix_from_density(density_kg_m3: float, temperature_c: float = 20.0) -> float:
    """Strength of a sucrose solution in °Bx from its density; the inverse of `density`.

    density_kg_m3  density of the solution, kg/m3
    temperature_c  temperature of the solution, °C
    Source:    [ICUMSA] SPS-4, solved for the strength
    Range:     densities of 0 to 85 °Bx, 0 to 80 °C
    Accuracy:  0.04 °Bx to 50 °Bx, 0.1 at 70
    Raises:    OutOfRangeError

    >>> round(brix_from_density(1038.1), 1)  # [CRC]
    10.0
    """
    lightest, heaviest = density(0.0, temperature_c), density(85.0, temperature_c)
    Limits("density", lightest, heaviest, "kg/m3", "ICUMSA", _DILUTE).check(density_kg_m3)
    return find_root(lambda brix: density(brix, temperature_c) - density_kg_m3, 0.0, 85.0)


def refractive_index(brix: float) -> float:
    """Refractive index of a sucrose solution against air, at 20 °C and 589 nm.

    brix       g of sucrose per 100 g of solution, °Bx
    Source:    fit to [ICUMSA1974]
    Range:     0 to 85 °Bx
    Accuracy:  6e-6, the rounding of the table; that is 0.004 °Bx
    Raises:    OutOfRangeError

    >>> round(refractive_index(50.0), 5)  # [ICUMSA1974]
    1.42009
    """
    _INDEX_BRIX.check(brix)
    return polynomial(_INDEX, brix / 100.0)


def brix_from_refractive_index(n: float) -> float:
    """Strength in °Bx from the refractive index at 20 °C and 589 nm; the inverse of `refractive_index`.

    n          refractive index against air
    Source:    fit to [ICUMSA1974], solved for the strength
    Range:     1.33299 to 1.50398 (589 nm, 20 °C)
    Accuracy:  0.004 °Bx
    Raises:    OutOfRangeError

    >>> round(brix_from_refractive_index(1.42009), 2)  # [ICUMSA1974]
    50.0
    """
    _INDEX_N.check(n)
    # The fit ends at 1.5039798, the table prints 1.50398: between the two lies 0.0001 °Bx, read as 85.
    if n >= polynomial(_INDEX, 0.85):
        return 85.0
    return find_root(lambda brix: polynomial(_INDEX, brix / 100.0) - n, 0.0, 85.0)


def solubility(temperature_c: float) -> float:
    """Strength of a saturated sucrose solution in °Bx (per 100 g of solution, not of water).

    temperature_c  temperature of the solution, °C
    Source:    [VAVRINECZ]; its quartic is stated to 100 °C but leaves the data above 80 °C
    Range:     0 to 80 °C
    Accuracy:  0.12 °Bx; handbook tables of Herzfeld's older data run 0.3 to 0.45 higher at 15 to 45 °C.
               Acid, invert sugar or glucose syrup let more dissolve
    Raises:    OutOfRangeError

    >>> round(solubility(60.0), 1)  # [SUCROSE-PAGE]
    74.3
    """
    _SOLUBILITY_C.check(temperature_c)
    return polynomial(_SOLUBILITY, temperature_c)


def freezing_point_depression(brix: float) -> float:
    """How far below 0 °C ice begins to form, in K.

    brix       g of sucrose per 100 g of solution, °Bx
    Source:    fit to [CRC] in powers of the molality
    Range:     0 to 42 °Bx
    Accuracy:  0.007 K
    Raises:    OutOfRangeError

    >>> round(freezing_point_depression(40.0), 2)  # [CRC]
    4.45
    """
    _FREEZING_BRIX.check(brix)
    molality = brix / (100.0 - brix) * 1000.0 / _MOLAR_MASS
    return polynomial(_FREEZING, molality)


def water_activity(brix: float) -> float:
    """Water activity at 25 °C, 0 to 1.

    brix       g of sucrose per 100 g of solution, °Bx
    Source:    Norrish's equation with the constant of [CHIRIFE]
    Range:     0 to 67 °Bx
    Accuracy:  0.0008 against the osmotic coefficients of [ROBINSON]
    Raises:    OutOfRangeError

    >>> round(water_activity(63.12), 3)  # [ROBINSON] 5 mol per kg of water
    0.878
    """
    _ACTIVITY_BRIX.check(brix)
    sucrose, water = brix / _MOLAR_MASS, (100.0 - brix) / _MOLAR_MASS_WATER
    x = sucrose / (sucrose + water)
    return (1.0 - x) * exp(-_NORRISH_K * x * x)


def viscosity(brix: float, temperature_c: float = 20.0) -> float:
    """Viscosity in mPa·s.

    brix           g of sucrose per 100 g of solution, °Bx
    temperature_c  temperature of the solution, °C
    Source:    [GENOTELLE]
    Range:     0 to 70 °Bx, 10 to 60 °C
    Accuracy:  6 %; pure water comes out 4 % low
    Raises:    OutOfRangeError

    >>> round(viscosity(20.0), 1)  # [BINGHAM]
    2.0
    """
    _VISCOSITY_BRIX.check(brix)
    _VISCOSITY_C.check(temperature_c)
    n = brix / (1900.0 - 18.0 * brix)
    phi = (30.0 - temperature_c) / (91.0 + temperature_c)
    return float(10.0 ** (22.46 * n - 0.114 + phi * (1.1 + 43.1 * n**1.25)))
