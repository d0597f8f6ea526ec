"""A syrup that nobody has made yet, beside those of the house."""

from __future__ import annotations

from dataclasses import replace

from balancer.engine.drink.bar import Bar
from balancer.models.syrup import Syrup


def with_syrup(bar: Bar, syrup: Syrup) -> Bar:
    """The bar as it would be with one syrup more. Nothing of it is in a file."""
    return Bar(replace(bar.specs, syrups={**bar.specs.syrups, syrup.id: syrup}))
