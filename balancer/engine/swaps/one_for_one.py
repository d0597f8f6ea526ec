"""The strength at which a syrup pours one for one in the place of another sweetener."""

from __future__ import annotations

from typing import Final

from balancer.engine.drink.liquid import Liquid, syrup_liquid
from balancer.errors import BalancerError
from balancer.models.syrup import Syrup
from balancer.numerics import find_root

_LEAST_BRIX: Final = 1e-6
_MOST_BRIX: Final = 85.0
_NARROW_BRIX: Final = 1e-3


def one_for_one(syrup: Syrup, out: Liquid) -> float | None:
    """The strength in °Bx at which a ml of a syrup holds as much sugar as a ml of another sweetener.

    None when no syrup is that strong, or the other can only be weighed.
    """

    def extra(brix: float) -> float:
        return syrup_liquid(syrup, brix).sugar_g_per_ml - out.sugar_g_per_ml

    low, high, at = _LEAST_BRIX, _MOST_BRIX, _MOST_BRIX
    while out.density and high - low > _NARROW_BRIX:
        try:
            if extra(at) >= 0.0:
                return find_root(extra, low, at, tolerance=1e-9)
            low = at
        except BalancerError:  # beside so much sugar there is no water for its acid or alcohol
            high = at
        at = 0.5 * (low + high)
    return None
