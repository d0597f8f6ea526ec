"""Two batches of one syrup poured together."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from balancer.engine.batch.history import batch_key, oldest
from balancer.errors import CannotError
from balancer.models.batch import Batch, Cause
from balancer.units import Quantity


@dataclass(frozen=True, slots=True)
class Mixture:
    """Two batches poured together.

    mass         g
    brix         mean by mass, °Bx; None when a part's is unknown, and so for uncertainty and acid
    uncertainty  of the mean, the two readings taken as independent and the weights as exact, °Bx
    cause        why it is off, where both parts agree
    made         the oldest part's; discard the earliest last day of use that is known
    """

    mass: float
    brix: float | None
    uncertainty: float | None
    acid: Quantity | None
    cause: Cause | None
    made: date | None
    discard: date | None


def combine(first: Batch, second: Batch, *, name_of: Callable[[str], str] = str) -> Mixture:
    """What two batches of one syrup make together: masses add, strength is the mean by mass.

    name_of  what a syrup is called by its id, for a person to read

    Raises CannotError for different syrups, for a batch with itself, and when a mass is unknown.
    """
    if batch_key(first.id) == batch_key(second.id):
        raise CannotError("combine", f"{first.id} is named twice", "name two batches")
    if first.liquid != second.liquid:
        raise CannotError(
            "combine",
            f"{first.id} is {name_of(first.liquid)} and {second.id} is {name_of(second.liquid)}",
            "combine batches of one syrup only",
        )
    if first.mass is None or second.mass is None:
        unknown = [batch.id for batch in (first, second) if batch.mass is None]
        raise CannotError(
            "mass-unknown",
            f"the mass of {' and '.join(unknown)} is not in the log, so the strength together is not known",
            f"weigh what is left and log it: balancer batch correct {unknown[0]} --mass 600g",
        )
    share = first.mass / (first.mass + second.mass)
    return Mixture(
        mass=first.mass + second.mass,
        brix=_mean(first.brix, second.brix, share),
        uncertainty=_mean_uncertainty(first.uncertainty, second.uncertainty, share),
        acid=_mean_acid(first.acid, second.acid, share),
        cause=first.cause if first.cause == second.cause else None,
        made=oldest((first.made, second.made), all_known=True),
        discard=oldest((first.ends, second.ends)),
    )


def _mean(first: float | None, second: float | None, share: float) -> float | None:
    if first is None or second is None:
        return None
    return share * first + (1.0 - share) * second


def _mean_uncertainty(first: float | None, second: float | None, share: float) -> float | None:
    if first is None or second is None:
        return None
    return math.hypot(share * first, (1.0 - share) * second)


def _mean_acid(first: Quantity | None, second: Quantity | None, share: float) -> Quantity | None:
    """By mass. For g/l this takes the parts as equally dense, which juices of one fruit nearly are."""
    if first is None or second is None or first.unit != second.unit:
        return None
    return Quantity(share * first.value + (1.0 - share) * second.value, first.unit)
