"""Volume at 20 °C of water, ethanol, sugar and acid together: this project's model [M1].

Masses add; volumes do not. M1 takes ethanol and water as the spirit they would make [OIML], then adds the
volume that the sugar takes up in the water [ICUMSA] and a constant volume per gram of acid:

    V = (E + W)/rho_ethanol(E/(E + W)) + (S + W)/rho_sucrose(S/(S + W)) - W/rho_water + 0.60 A

The middle terms are S times the apparent specific volume of sucrose. All sugars count as sucrose.
No table of densities with ethanol and sugar together was found, so the errors stated here are judged
from the spread between M1 and the published rule of Tabarié [OIV-TABARIE] and from [HACKBARTH].
"""

from __future__ import annotations

from typing import Final

from balancer.errors import CannotError
from balancer.numerics import find_root
from balancer.properties import ethanol, sucrose
from balancer.properties._limits import Limits

# Apparent specific volume of citric acid by the densities of [CRC]: 0.597 to 0.602 ml/g at 1 to 30 %.
ACID_ML_PER_G: Final = 0.60

_MOST: Final = 1e9  # a thousand tonnes: above any drink, and sums stay finite
_MASS: Final = Limits("mass", 0.0, _MOST, "g", "M1", "give a mass of zero or more")
_VOLUME: Final = Limits("volume", 0.0, _MOST, "ml", "M1", "give a volume of zero or more")
_BRIX: Final = Limits("sugar in its water", 0.0, 85.0, "°Bx", "ICUMSA", "add water: sugar does not dissolve in less")
_ACID: Final = Limits("acid in its water", 0.0, 30.0, "% by mass", "CRC", "add water: no density is known for less")
_LEAST_WATER_PER_SUGAR: Final = (100.0 - _BRIX.high) / _BRIX.high
_LEAST_WATER_PER_ACID: Final = (100.0 - _ACID.high) / _ACID.high
_ROUNDING: Final = 1e-12


def volume_ml(water_g: float, ethanol_g: float, sugar_g: float, acid_g: float = 0.0) -> float:
    """Volume of a drink at 20 °C in ml.

    water_g    water, g
    ethanol_g  ethanol, g
    sugar_g    sugars, g; all counted as sucrose
    acid_g     acids, g
    Source:    [M1], see the module
    Range:     0 to 1e+09 g of each; 0 to 85 °Bx of sugar in sugar and water; 0 to 30 % by mass of acid in
               acid and water
    Accuracy:  (judged) 0.02 % up to 25 % vol and 30 g sugar per 100 ml; 0.2 % at 40 % vol and 25 g;
               0.5 % at 45 % vol and 40 g. Measured: glucose counted as sucrose adds 0.4 % at 40 °Bx, 0.6 % at
               60; fructose and maltose 0.1 %, lactose 0.25 %; a gram of lactic acid 0.19 ml
    Raises:    OutOfRangeError

    >>> round(100.0 / volume_ml(90.0, 0.0, 10.0), 3)  # [CRC] density of 10 % sucrose, g/ml
    1.038
    """
    # Written out because a loop over the four is twice as slow, and this runs for every pour of every drink.
    if not (
        0.0 <= water_g <= _MOST and 0.0 <= ethanol_g <= _MOST and 0.0 <= sugar_g <= _MOST and 0.0 <= acid_g <= _MOST
    ):
        for mass in (water_g, ethanol_g, sugar_g, acid_g):
            _MASS.check(mass)
    enough = water_g * (1.0 + _ROUNDING)
    if enough < sugar_g * _LEAST_WATER_PER_SUGAR:
        raise _BRIX.error(100.0 * sugar_g / (sugar_g + water_g))
    if enough < acid_g * _LEAST_WATER_PER_ACID:
        raise _ACID.error(100.0 * acid_g / (acid_g + water_g))
    return _volume(water_g, ethanol_g, sugar_g, acid_g)


def water_for_volume(volume_ml: float, ethanol_g: float, sugar_g: float, acid_g: float = 0.0) -> float:
    """Water in g that fills ethanol, sugar and acid up to a volume at 20 °C; the inverse of `volume_ml`.

    volume_ml  volume of the whole, ml
    ethanol_g  ethanol, g
    sugar_g    sugars, g; all counted as sucrose
    acid_g     acids, g
    Source:    [M1], solved for the water
    Range:     0 to 1e+09 ml, 0 to 1e+09 g of each
    Accuracy:  that of `volume_ml`
    Raises:    OutOfRangeError; CannotError when the rest, with the least water it needs, is more than the volume
    """
    _VOLUME.check(volume_ml)
    for mass in (ethanol_g, sugar_g, acid_g):
        _MASS.check(mass)
    least = max(sugar_g * _LEAST_WATER_PER_SUGAR, acid_g * _LEAST_WATER_PER_ACID)
    filled = _volume(least, ethanol_g, sugar_g, acid_g)
    if filled > volume_ml * (1.0 + _ROUNDING):
        raise CannotError(
            "volume-full",
            f"alcohol, sugar and acid already fill {filled:.1f} ml, more than the {volume_ml:g} ml asked for",
            "check the strengths, or take a larger volume",
        )
    if filled >= volume_ml:
        return least
    # A gram of water takes up more than a millilitre, so volume_ml grams of it are always too many.
    return find_root(lambda water: _volume(water, ethanol_g, sugar_g, acid_g) - volume_ml, least, volume_ml)


def _volume(water_g: float, ethanol_g: float, sugar_g: float, acid_g: float) -> float:
    """M1 without its checks."""
    litres = 0.0
    spirit_g = water_g + ethanol_g
    if spirit_g > 0.0:
        litres = spirit_g / ethanol.density(ethanol_g / spirit_g)
    if sugar_g > 0.0:
        syrup_g = sugar_g + water_g
        brix = min(100.0 * sugar_g / syrup_g, 85.0)  # 85 °Bx to the last bit, after rounding
        litres += syrup_g / sucrose.density(brix) - water_g / sucrose.WATER_KG_M3
    return 1000.0 * litres + ACID_ML_PER_G * acid_g
