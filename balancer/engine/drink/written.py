"""A pour as its card writes it, and whether another amount is another one for who reads the card."""

from __future__ import annotations

from fractions import Fraction
from typing import Final, Literal, NamedTuple

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.liquid import Liquid
from balancer.models.house import House
from balancer.models.ingredient import own_unit
from balancer.models.pour import Pour
from balancer.units import Quantity, format_fraction

_EXCHANGED: Final = ("ml", "cl", "l", "oz")
"""Units between which a card may choose; a dash stays a dash."""
_FRACTIONS: Final = (2, 3, 4, 8)
_FRACTION_WITHIN: Final = 0.02
"""A bar that pours 30 ml as an ounce of 29.57 reads 22.5 ml as ¾ oz: 1.4 % off (judged)."""
_OFF: Final = 0.02
"""An amount is never shown further off than this."""
_LEAST: Final = 1e-6

Shown = Literal["ml", "oz"]


class Written(NamedTuple):
    """An amount as its file has it.

    ml  the same in ml, where it is in a unit that may be exchanged; else None
    oz  in ounces of the house, as a kitchen fraction where one is near
    """

    amount: Quantity
    ml: float | None
    oz: float | None

    def shown(self, unit: Shown) -> float | None:
        """The number that stands for it in a unit; None where it stays in its own unit."""
        value = self.ml if unit == "ml" else self.oz
        return None if value is None else as_shown(value, unit)


def written(bar: Bar, pour: Pour, liquid: Liquid) -> Written:
    """A pour as its card writes it."""
    amount = pour.amount
    if amount.unit not in _EXCHANGED or own_unit(liquid.each, amount.unit) is not None:
        return Written(amount, None, None)
    ml = bar.measures.ml(amount)
    return Written(amount, ml, amount.value if amount.unit == "oz" else kitchen_ounces(ml, bar.measures.ounce))


def measured(ml: float, ounce_ml: float) -> Written:
    """What nobody wrote yet, as a card would write it."""
    digits = next((digits for digits in range(1, 7) if abs(round(ml, digits) - ml) <= _OFF * ml), 7)
    return Written(Quantity(round(ml, digits), "ml"), ml, kitchen_ounces(ml, ounce_ml))


def kitchen_ounces(ml: float, ounce_ml: float) -> float:
    """A volume in ounces: the halves, thirds, quarters or eighths that are within 2 %, else as it is.

    >>> kitchen_ounces(22.5, 29.5735295625), round(kitchen_ounces(12.5, 30.0), 4)
    (0.75, 0.4167)
    """
    exact = ml / ounce_ml
    near = [Fraction(round(exact * part), part) for part in _FRACTIONS]
    best = min(near, key=lambda fraction: (abs(float(fraction) - exact), fraction.denominator))
    return float(best) if abs(float(best) - exact) <= _FRACTION_WITHIN * exact else exact


def as_shown(value: float, unit: Shown) -> float | None:
    """A volume as finely as paper shows it: steps of ¼ ml or tenths, fractions of an ounce or hundredths.

    None for one that is too small for these figures.

    >>> as_shown(22.25, "ml"), as_shown(20.46, "ml"), as_shown(0.6912, "oz"), as_shown(0.034, "oz")
    (22.25, 20.5, 0.69, None)
    """
    if unit == "oz":
        number = value if format_fraction(value) else round(value, 2)
    else:
        number = round(value, 2 if abs(value * 4.0 - round(value * 4.0)) < _LEAST else 1)
    return number if abs(number - value) <= _OFF * value else None


def moves_on_paper(pour: Written, spec: Amount, poured: Amount, house: House) -> bool:
    """Whether who reads a pour on the card and pours that has to pour otherwise.

    A card that writes 22.5 ml as ¾ oz is poured as ¾ oz already, so a new pour of ¾ oz is none.
    """
    if spec.is_same(poured):
        return False
    number = None if poured.unit == "g" else pour.shown(house.show)
    if number is None:
        return True
    new = poured.value / (house.ounce if house.show == "oz" else 1.0)
    return new > number + _LEAST if poured.value > spec.value else new < number - _LEAST
