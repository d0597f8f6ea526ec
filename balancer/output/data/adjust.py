"""`adjust` as JSON."""

from __future__ import annotations

from typing import Any

from balancer.engine.swaps.adjust import AdjustedDrink
from balancer.engine.swaps.adjust_goals import Asked
from balancer.output.data.swap import fill_data, moved_data, noticed_data, pour_data
from balancer.output.data.taste import taste_data
from balancer.output.data.totals import unknown_data


def adjust_data(result: AdjustedDrink) -> dict[str, Any]:
    """The JSON object of `adjust`."""
    return {
        "drink": result.drink.id,
        "name": result.drink.name,
        "asked": _asked_data(result.asked),
        "feasible": result.feasible,
        "new_glass": result.new_glass,
        "pours": [pour_data(pour) for pour in result.pours],
        "moved": moved_data(result.moved),
        "moved_exact": moved_data(result.moved_exact),
        "served": {
            "volume_ml": result.new.served.volume_ml if result.new.served else None,
            "abv_percent": result.new.served.abv_percent if result.new.served else None,
            "sugar_g": result.new.sugar_g,
            "acid_g": result.new.acid_g,
            "standard_drinks": result.standard_drinks[1],
        },
        "missed": [
            {
                "quantity": missed.goal.quantity,
                "target": missed.goal.target,
                "closest": missed.value,
                "asked": missed.goal.asked,
                "stuck": [{"ingredient": stuck.liquid.id, "why": stuck.why} for stuck in missed.stuck],
            }
            for missed in result.missed
        ],
        "allergens": {"gained": [], "lost": [], "unknown": []},
        "alcohol_added_g": result.alcohol_added_g,
        "noticed": noticed_data(result.noticed),
        **taste_data(result.taste),
        "glass": fill_data(result.fill),
        "unknown": unknown_data(item for item in result.new.unknown if not item.small),
    }


def _asked_data(asked: Asked) -> dict[str, Any]:
    return {
        "sugar_percent": asked.sugar.percent if asked.sugar else None,
        "sugar_g": asked.sugar.grams if asked.sugar else None,
        "acid_percent": asked.acid.percent if asked.acid else None,
        "acid_g": asked.acid.grams if asked.acid else None,
        "abv_percent": asked.abv_percent,
        "volume_ml": asked.volume_ml,
        "glass": asked.glass,
    }
