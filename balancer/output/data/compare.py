"""`compare` as JSON."""

from __future__ import annotations

from typing import Any

from balancer.engine.swaps.at import Strength
from balancer.engine.swaps.compare import PER_ML, Comparison


def compare_data(result: Comparison) -> dict[str, Any]:
    """The JSON object of `compare`."""
    return {
        "at": result.at.setting,
        "per_ml": PER_ML,
        "against": {"id": result.house.id or None, "name": result.house.name, **_strength_data(result.house_strength)},
        "sweeteners": [
            {
                "id": row.liquid.id,
                "name": row.liquid.name,
                **_strength_data(row.strength),
                "sugar_g": row.sugar_g,
                "acid_g": row.acid_g,
                "water_g": row.water_g,
                "house_ml": row.house_ml,
                "sweetness_g": row.sweetness._asdict(),
                "unknown": [{"ingredient": row.liquid.id, "what": what} for what in row.liquid.unknown],
            }
            for row in result.rows
        ],
        "failed": [{"id": identity, "name": name, "message": why} for identity, name, why in result.failed],
    }


def _strength_data(strength: Strength | None) -> dict[str, Any]:
    return {
        "brix": strength.brix if strength else None,
        "batch": strength.batch if strength else None,
        "also_open": list(strength.also_open) if strength else [],
    }
