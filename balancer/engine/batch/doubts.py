"""What looks like a slip in the strength or acid of a batch."""

from __future__ import annotations

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.doubts import MOST_JUICE_ACID_G_PER_L, acid_doubt, strength_doubt
from balancer.errors import BalancerError
from balancer.units import Quantity


def measured_doubt(bar: Bar, liquid_id: str, brix: float | None, acid: Quantity | None) -> str | None:
    """What is odd about a strength, °Bx, of a syrup or an acid of an ingredient; None of what the files do not know.

    What its own file says as odd is taken at its word.
    """
    syrup, ingredient = bar.specs.syrups.get(liquid_id), bar.specs.ingredients.get(liquid_id)
    if syrup is not None and brix is not None:
        try:
            standard = bar.standard(liquid_id)
        except BalancerError:  # given as a reading that alcohol makes meaningless
            standard = None
        return strength_doubt(syrup.name, brix, standard)
    if ingredient is not None and acid is not None and not _is_sour(bar, liquid_id, ingredient.acid):
        return acid_doubt(ingredient.name, _g_per_l(bar, liquid_id, acid))
    return None


def _is_sour(bar: Bar, liquid_id: str, acid: Quantity | None) -> bool:
    return acid is not None and _g_per_l(bar, liquid_id, acid) > MOST_JUICE_ACID_G_PER_L


def _g_per_l(bar: Bar, liquid_id: str, acid: Quantity) -> float:
    return acid.value * ((bar.liquid(liquid_id).density or 1.0) if acid.unit == "g/kg" else 1.0)
