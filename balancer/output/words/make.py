"""Words that `make` says on the screen and in JSON alike."""

from __future__ import annotations

from balancer.units import find_unit

CAUTION = (
    "acid powder hurts eyes and lungs: pour it slowly, add acid to water, never the other way; "
    "label it; your local food rules decide what may be sold"
)


def is_mass(unit: str) -> bool:
    """Whether an amount is weighed."""
    known = find_unit(unit)
    return known is not None and known.kind == "mass"
