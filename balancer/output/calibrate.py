"""A bar's own vessel constant as text and JSON."""

from __future__ import annotations

from typing import Any

from balancer.engine.calibrate import Calibration
from balancer.output.numbers import trim
from balancer.output.page import page


def calibrate_text(result: Calibration) -> str:
    """The line for house.yaml, and what it rests on."""
    ice = f"ice: {_kept(result.ice_g)} g, ice temperature: {_kept(result.ice_c)} °C"
    vessel = f"vessel: {_kept(result.vessel_j_per_k)} J/K"
    rows = [
        f"chill: {{{ice}, start: {_kept(result.start_c)} °C, {vessel}}}",
        f"from {result.drink.name}, which took up {trim(result.melt_water_g, 0)} g of water when it was weighed",
        "true for this ice, these tins and this start; take the mean of three drinks",
    ]
    return page(
        f"vessel {_kept(result.vessel_j_per_k)} J/K: write this into house.yaml, for every shaken drink",
        rows,
        "--json has every digit",
    )


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
    }


def _kept(value: float) -> str:
    """A number to be typed: a plain minus sign."""
    return f"{value:.0f}"
