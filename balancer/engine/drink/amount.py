"""One measured amount: a value and its unit, as the bar pours or weighs it, from the engine to the screen."""

from __future__ import annotations

from typing import Final, Literal, NamedTuple

from balancer.engine.drink.liquid import Liquid
from balancer.models.house import House
from balancer.models.pour import Pour

AmountUnit = Literal["ml", "g"]

_SAME: Final = 1e-6
"""Amounts nearer to each other than this are one amount."""


class Amount(NamedTuple):
    """A volume in ml at 20 °C, or a mass in g."""

    value: float
    unit: AmountUnit = "ml"

    def is_same(self, other: Amount) -> bool:
        """Whether a bar pours or weighs the same.

        >>> Amount(22.5).is_same(Amount(22.5 + 1e-9)), Amount(22.5).is_same(Amount(22.5, "g"))
        (True, False)
        """
        return self.unit == other.unit and abs(self.value - other.value) <= _SAME

    def of(self, value: float) -> Amount:
        """Another amount in the same unit."""
        return Amount(value, self.unit)

    def weigh(self, g_per_ml: float) -> float:
        """What it weighs of something that dense, g."""
        return self.value if self.unit == "g" else self.value * g_per_ml

    def ml(self, liquid: Liquid) -> float | None:
        """What it fills of a liquid, ml; None when a weight is given and nothing tells the density."""
        if self.unit == "ml":
            return self.value
        return self.value / liquid.density if liquid.density else None

    def grams(self, liquid: Liquid) -> float | None:
        """What it weighs of a liquid, g; None when a volume is given and nothing tells the density."""
        return self.value if self.unit == "g" else self.weigh(liquid.density) if liquid.density else None


def poured_in(house: House, pour: Pour, liquid: Liquid) -> AmountUnit:
    """The unit a bar pours something in: g where its pours go on the scale, it is written so, or has no density."""
    by_weight = house.pour_style == "scale" or pour.amount.kind == "mass" or liquid.density is None
    return "g" if by_weight else "ml"


def amount_of(volume_ml: float | None, mass_g: float, unit: AmountUnit) -> Amount:
    """What is known by volume and by weight, in one unit; the weight where the volume is not known."""
    return Amount(mass_g, "g") if unit == "g" or volume_ml is None else Amount(volume_ml)
