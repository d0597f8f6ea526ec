"""`aim` as JSON."""

from __future__ import annotations

from typing import Any

from balancer.engine.swaps.aim import Aim
from balancer.output.words.strengths import strengths_data


def aim_data(result: Aim) -> dict[str, Any]:
    """The JSON object of `aim`."""
    return {
        "syrup": result.syrup.id,
        "name": result.syrup.name,
        "for": result.old.id,
        **strengths_data(result.at, result.concerned),
        "brix": result.brix,
        "standard_brix": result.standard_brix,
        "acid_g_per_kg": result.acid_g_per_kg,
        "own_acid_g_per_kg": result.own_acid_g_per_kg,
        "acid_added_g_per_kg": result.acid_added_g_per_kg,
        "acid_over_g_per_kg": result.acid_over_g_per_kg,
        "sugar_g_per_kg": result.sugar_g_per_kg,
        "water_g_per_kg": result.water_g_per_kg,
        "sugar_g_per_ml": result.made.sugar_g_per_ml,
        "from_standard": {"add": result.from_standard.add, "g_per_kg": result.from_standard.g_per_kg},
        "storage_c": result.storage_c,
        "saturated_brix": result.saturated_brix,
        "keeps_less": result.keeps_less,
        "unknown_allergens": result.unknown_allergens,
        "drinks": [
            {
                "drink": row.drink.id,
                "name": row.drink.name,
                "unit": row.poured.unit,
                "pour_ml": row.poured.ml(result.made),
                "spec_g": row.spec.value if row.spec.unit == "g" else None,
                "poured_g": row.poured.value if row.poured.unit == "g" else None,
                "sugar_percent": row.moved.sugar_percent,
                "acid_percent": row.moved.acid_percent,
                "acid_added_g": row.acid_g,
                "abv_points": row.moved.abv_points,
                "volume_percent": row.moved.volume_percent,
                "allergens_gained": list(row.gained),
                "alcohol_added_g": row.ethanol_g,
            }
            for row in result.drinks
        ],
        "failed": [
            {"drink": drink.id, "name": drink.name, "message": error.problems()[0].message}
            for drink, error in result.failed
        ],
        "poured_already_in": [each.name for each in result.others],
    }
