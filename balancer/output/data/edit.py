"""`edit` as JSON."""

from __future__ import annotations

from typing import Any

from balancer.engine.swaps.edited import PourEdited, StandardEdited
from balancer.output.words.edit import FileChange


def pour_edit_data(edited: PourEdited, change: FileChange | None, *, written: bool) -> dict[str, Any]:
    """The JSON object of `set` for a pour; no change when there is nothing to do."""
    moved = edited.moved
    return {
        "drink": edited.drink.id,
        "name": edited.drink.name,
        "ingredient": edited.pour.of,
        "ingredient_name": edited.name,
        "from": {"amount": edited.pour.amount.value, "unit": edited.pour.amount.unit},
        "to": {"amount": edited.amount.value, "unit": edited.amount.unit},
        "fixed": edited.pour.fixed,
        "moved": {
            "sugar_percent": moved.sugar_percent if moved else None,
            "acid_percent": moved.acid_percent if moved else None,
            "abv_points": moved.abv_points if moved else None,
            "volume_percent": moved.volume_percent if moved else None,
            "at_most": list(moved.at_most) if moved else [],
        },
        "sugar_known": edited.sugar_known,
        "jigger_ml": [amount.value for amount in edited.nearest],
        **_change_data(change, written=written),
    }


def standard_edit_data(edited: StandardEdited, change: FileChange | None, *, written: bool) -> dict[str, Any]:
    """The JSON object of `set` for a standard."""
    return {
        "syrup": edited.syrup.id,
        "name": edited.syrup.name,
        "from_brix": edited.old_brix,
        "to_brix": edited.new_brix,
        "drinks": [{"drink": drink.id, "name": drink.name, "sugar_percent": moved} for drink, moved in edited.drinks],
        **_change_data(change, written=written),
    }


def _change_data(change: FileChange | None, *, written: bool) -> dict[str, Any]:
    return {
        "path": change.path if change else None,
        "line": change.line if change else None,
        "diff": "\n".join(change.diff()) if change else "",
        "written": written,
    }
