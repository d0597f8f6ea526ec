"""What looks like a slip in the strength, acid or mass of a batch."""

from __future__ import annotations

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.doubts import MOST_JUICE_ACID_G_PER_L, acid_doubt, mass_doubt, moved_doubt, strength_doubt
from balancer.errors import BalancerError
from balancer.models.batch import Batch
from balancer.units import Quantity


def noted_doubts(
    bar: Bar,
    liquid_id: str,
    *,
    brix: float | None = None,
    acid: Quantity | None = None,
    mass_g: float | None = None,
    read: Batch | None = None,
) -> tuple[str, ...]:
    """What is odd about what somebody wants to log of a batch, each to be asked about.

    read  the batch, where its strength was read just now, so that what it read before says something too
    """
    odd = measured_doubt(bar, liquid_id, brix, acid)
    changed = changed_doubt(read, brix, brix) if read is not None and odd is None else None
    return tuple(told for told in (mass_doubt(mass_g), odd, changed) if told)


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
        told = None if ingredient.acid is None else _g_per_l(bar, liquid_id, ingredient.acid)
        return acid_doubt(ingredient.name, _g_per_l(bar, liquid_id, acid), told)
    return None


def changed_doubt(batch: Batch, brix: float | None, typed: float | None = None) -> str | None:
    """What is odd about a new strength of a batch, °Bx, after the one it was read with; None where it was not read
    since it was corrected or combined.

    typed  as in `moved_doubt`
    """
    if brix is None or batch.brix is None or not batch.verified:
        return None
    return moved_doubt(batch.id, batch.brix, brix, typed)


def _is_sour(bar: Bar, liquid_id: str, acid: Quantity | None) -> bool:
    return acid is not None and _g_per_l(bar, liquid_id, acid) > MOST_JUICE_ACID_G_PER_L


def _g_per_l(bar: Bar, liquid_id: str, acid: Quantity) -> float:
    return acid.value * ((bar.liquid(liquid_id).density or 1.0) if acid.unit == "g/kg" else 1.0)
