"""`calibrate` as JSON."""

from __future__ import annotations

from typing import Any

from balancer.engine.drink.calibrate import Calibration


def calibrate_data(result: Calibration) -> dict[str, Any]:
    """The JSON object of `calibrate`."""
    return {
        "drink": result.drink.id,
        "name": result.drink.name,
        "melt_water_g": result.melt_water_g,
        "ice_g": result.ice_g,
        "ice_c": result.ice_c,
        "start_c": result.start_c,
        "vessel_j_per_k": result.vessel_j_per_k,
        "stop_c": result.stop_c,
        "assumed": list(result.assumed),
    }
