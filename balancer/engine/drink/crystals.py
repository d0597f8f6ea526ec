"""Where sugar crystallises in store."""

from __future__ import annotations

from balancer.components import INDEX, Composition
from balancer.properties import sucrose


def saturated_at(grams: Composition, storage_c: float) -> float | None:
    """Where crystals begin in store, °Bx of sucrose, if this is beyond; below 0 °C that of 0 °C is the most.

    Only sucrose crystallises here, so it is counted against the water alone.
    """
    held = grams[INDEX["sucrose"]]
    most = sucrose.solubility(max(storage_c, 0.0))
    return most if 100.0 * held > most * (held + grams[INDEX["water"]]) else None
