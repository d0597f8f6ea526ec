"""What is swapped or compared by its sugar: a ml of it has to hold a known amount."""

from __future__ import annotations

from balancer.engine.drink.liquid import Liquid
from balancer.errors import CannotError


def check_sugar_per_ml(liquid: Liquid) -> None:
    """Raises CannotError of a liquid that is swapped or compared, and of which nobody knows the sugar in a ml."""
    if liquid.least is not None or (liquid.sugar_unknown and liquid.sugar_per_g):
        raise CannotError(
            "sugar-unknown",
            f"nobody knows what a ml of {liquid.name} holds: its sugar is told by weight, and its ABV is unknown",
            "add its abv, or its kind when it holds no alcohol",
        )
    if liquid.sugar_unknown:
        raise CannotError(
            "sugar-unknown", f"nobody knows how much sugar {liquid.name} holds", "add its sugar, like sugar: 250 g/l"
        )
