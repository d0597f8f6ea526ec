"""Corrections to what a sugar refractometer shows. Each is in °Bx, to ADD to the reading.

Order of use: temperature, then acid and invert sugar, then the factor of a dilution; the corrections
are not linear, so a diluted sample is corrected before it is multiplied back.
"""

from __future__ import annotations

from math import sqrt
from typing import Final

from balancer.numerics import polynomial
from balancer.properties import sucrose
from balancer.properties._limits import Limits
from balancer.properties.mixture import ACID_ML_PER_G

# Our fit: rows are the coefficients of (t - 20), (t - 20)², (t - 20)³, each a polynomial in the reading.
_TEMPERATURE: Final = (
    (0.0628092, 5.29103e-4, -2.44602e-6, -2.90107e-8),
    (1.26405e-3, -2.26863e-5, 9.75779e-8),
    (-7.63401e-6, 1.05332e-7),
)
# Our fit to the 141 rows of [CITRUS]
_CITRIC: Final = (0.0, 0.198524, -8.8941e-4, 1.12815e-5)
# Our fit: what a gram of dissolved citric acid refracts, (n² - 1)/(n² + 2) in ml/g, to the 14 indices of [CRC] at
# 1 to 30 %. Below 10 % alone it would be 0.1925, which reads 0.03 °Bx per % acid more.
_CITRIC_ML_PER_G: Final = 0.1914
# Our fit to the indices of glucose and fructose in [CRC], per °Bx read; and the flat rule of [AOAC]
_INVERT: Final = (0.00678, 2.57e-4)
_INVERT_AOAC: Final = 0.022

_TEMPERATURE_BRIX: Final = Limits("reading", 0.0, 75.0, "°Bx", "OIV-BRIX", "dilute by a known mass and read again")
_TEMPERATURE_C: Final = Limits("temperature", 5.0, 40.0, "°C", "OIV-BRIX", "let prism and sample come to about 20 °C")
CHECKED_TO_C: Final = 22.0
"""Up to here the temperature correction was compared with printed tables, °C; see `temperature_correction`."""
_ACID: Final = Limits("acid", 0.0, 38.8, "% by mass", "CITRUS", "dilute by a known mass and read again")
_BRIX: Final = Limits("strength", 0.0, 85.0, "°Bx", "ICUMSA1974", "dilute by a known mass and read again")
_INVERT_BRIX: Final = Limits("reading", 0.0, 85.0, "°Bx", "AOAC", "dilute by a known mass and read again")
_FRACTION: Final = Limits("inverted fraction", 0.0, 1.0, "of solids", "CRC", "give a share between 0 and 1")


def temperature_correction(reading_brix: float, temperature_c: float) -> float:
    """What to add when prism and sample were not at 20 °C. NOT for instruments that compensate themselves.

    reading_brix   what the refractometer reads, °Bx
    temperature_c  temperature of prism and sample, °C
    Source:    fit to a Lorentz-Lorenz model of sucrose and water, one constant of which was set by [OIV-BRIX];
               checked against [OIV-BRIX] and [BRIX-1936]
    Range:     0 to 75 °Bx, 5 to 40 °C
    Accuracy:  0.03 °Bx at 10 to 22 °C, 0.06 below. Above 22 °C not checked against a print: to 30 °C within 0.03 of
               a table from memory, from there on by the model alone, no table was seen
    Raises:    OutOfRangeError

    >>> round(temperature_correction(50.0, 16.0), 2)  # [OIV-BRIX]
    -0.31
    """
    _TEMPERATURE_BRIX.check(reading_brix)
    _TEMPERATURE_C.check(temperature_c)
    d = temperature_c - 20.0
    return d * polynomial([polynomial(row, reading_brix) for row in _TEMPERATURE], d)


def citric_correction(acid_percent: float) -> float:
    """What to add for citric acid, by the convention of the citrus trade.

    The sum still counts the acid as solids: sugar = reading + correction - acid - other solids. So the convention,
    made for juice, takes a % of acid to read 0.80 °Bx, however strong the syrup; `citric_reading` says otherwise.

    acid_percent  g of anhydrous citric acid per 100 g of sample
    Source:    fit to [CITRUS]
    Range:     0 to 38.8 % by mass
    Accuracy:  0.016 °Bx against the table
    Raises:    OutOfRangeError

    >>> round(citric_correction(10.0), 2)  # [CITRUS]
    1.91
    """
    _ACID.check(acid_percent)
    return polynomial(_CITRIC, acid_percent)


def citric_reading(brix: float, acid_percent: float) -> float:
    """What dissolved citric acid adds to a reading, in °Bx, by the mixing of refractive indices.

    Refractions (Lorentz-Lorenz) and volumes of acid and of the sucrose solution add by mass. It is 0.85 per % acid
    in water and 0.94 in a syrup of 50 °Bx, where `citric_correction` comes to 0.80 everywhere: no index of citric
    acid in strong syrup was found that could tell which is right.

    brix          strength of the syrup, g of sucrose per 100 g of all of it, °Bx
    acid_percent  g of anhydrous citric acid per 100 g of all of it
    Source:    Lorentz-Lorenz mixing, the acid's refraction fitted to [CRC], its volume as in [M1]
    Range:     0 to 85 °Bx, 0 to 38.8 % by mass; [CRC] ends at 30 %, and both together must read 85 °Bx at most
    Accuracy:  0.0005 in the index of [CRC]'s acid in water, 0.03 to 0.06 °Bx per % below 8 %; in syrup no data
    Raises:    OutOfRangeError

    >>> round(citric_reading(0.0, 30.0))  # [CRC]: its index of 30 % acid reads 26.19
    26
    """
    _BRIX.check(brix)
    _ACID.check(acid_percent)
    acid = acid_percent / 100.0
    rest = 1.0 - acid
    strength = brix / rest
    n = sucrose.refractive_index(strength)
    volume = rest * 1000.0 / sucrose.density(strength)
    refraction = (n * n - 1.0) / (n * n + 2.0) * volume + acid * _CITRIC_ML_PER_G
    mixed = refraction / (volume + acid * ACID_ML_PER_G)
    return sucrose.brix_from_refractive_index(sqrt((1.0 + 2.0 * mixed) / (1.0 - mixed))) - brix


def invert_correction(reading_brix: float, inverted_fraction: float) -> float:
    """What to add when part of the sucrose is inverted to glucose and fructose, which read low.

    Per °Bx read and fully inverted, [CRC] wants 0.00678 + 0.000257 x reading (fitted at 5 to 48 °Bx) and
    [AOAC] a flat 0.022 for strong syrups. The smaller of the two is taken: they meet at 59.2 °Bx, so the
    correction is continuous and rises with the reading throughout. [AOAC] counts per % of invert sugar in
    the sample; taking the reading for the solids here costs 0.04 °Bx at 80 °Bx.

    reading_brix       what the refractometer reads, °Bx, at 20 °C
    inverted_fraction  share of the solids that is invert sugar, 0 to 1
    Source:    fit to [CRC] below, [AOAC] 932.14 above (from memory)
    Range:     0 to 85 °Bx, 0 to 1 of solids
    Accuracy:  0.03 °Bx to 48 °Bx; 0.12 against honey [HONEY] at 76 to 84
    Raises:    OutOfRangeError
    """
    _INVERT_BRIX.check(reading_brix)
    _FRACTION.check(inverted_fraction)
    rate = min(polynomial(_INVERT, reading_brix), _INVERT_AOAC)
    return inverted_fraction * reading_brix * rate
