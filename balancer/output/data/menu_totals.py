"""`totals` without a drink as JSON."""

from __future__ import annotations

from typing import Any

from balancer.engine.drink.menu_totals import MenuTotals, SortedBy
from balancer.output.data.totals import totals_data


def menu_totals_data(result: MenuTotals, by: SortedBy | None, *, reverse: bool) -> dict[str, Any]:
    """The JSON object of `totals` without a drink: every drink as `totals` has it, in the order wanted."""
    return {
        "sort": by,
        "reverse": reverse,
        "drinks": [totals_data(one) for one in result.drinks],
        "cannot": [
            {"drink": drink.id, "name": drink.name, "message": error.problems()[0].message}
            for drink, error in result.failed
        ],
    }
