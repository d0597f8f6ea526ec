"""`allergens` as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from balancer.engine.drink.allergens import AllergenTable
from balancer.models.house import House
from balancer.output.paper.sheet import PrintedSheet


def allergens_data(
    table: AllergenTable, house: House, day: date, printed: PrintedSheet, missing: Sequence[str]
) -> dict[str, Any]:
    """The JSON object of `sheet allergens`."""
    return {
        "sheet": "allergens",
        "date": day.isoformat(),
        "house": house.name,
        **printed.data,
        "allergens": list(table.allergens),
        "drinks": [
            {
                "drink": row.drink.id,
                "name": row.drink.name,
                "contains": list(row.contains),
                "unknown": [{"ingredient": item.id, "name": item.name} for item in row.unknown],
                "not_listed": [name for name in table.allergens if row.mark(name) == "not listed"],
                "garnish": row.drink.garnish,
            }
            for row in table.drinks
        ],
        "missing": list(missing),
    }
