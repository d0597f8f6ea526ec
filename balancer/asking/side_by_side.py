"""Two drinks side by side."""

from __future__ import annotations

from functools import partial

from balancer.asking import names
from balancer.asking.against import other_drink
from balancer.asking.outcome import Outcome
from balancer.desk.desk import Desk
from balancer.engine.swaps.against import Against, against
from balancer.output.data.against import against_data


def side_by_side(desk: Desk, drink: str, other: str) -> Outcome[Against]:
    """A drink against another one: of the house, of a file, or its own as printed. Raises as `other_drink` does."""
    ours = names.drink(desk.loaded, drink)
    theirs = other_drink(desk, other, ours)
    result = against(desk.bar, ours, theirs.bar, theirs.drink, theirs.origin)
    return Outcome(
        result,
        partial(against_data, result),
        about=(ours.id, *([theirs.drink.id] if theirs.origin.kind == "house" else [])),
    )
