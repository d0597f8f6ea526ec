"""An open batch that the cards do not tell of, as JSON."""

from __future__ import annotations

from typing import Any

from balancer.engine.batch.contents import Unsaid


def unsaid_data(one: Unsaid) -> dict[str, Any]:
    """An open batch that the cards do not tell of, with the keys of a strip, and every drink that it goes into."""
    return {
        "batch": one.batch.id,
        "syrup": one.batch.liquid,
        "in_place_of": list(one.gained.in_place_of),
        "allergens_gained": list(one.gained.allergens),
        "allergens_gained_unknown": one.gained.unknown,
        "drinks": [
            {
                "drink": each.drink.id,
                "name": each.drink.name,
                "allergens_gained": list(each.allergens),
                "allergens_gained_unknown": each.unknown,
            }
            for each in one.gained.into
        ],
    }
