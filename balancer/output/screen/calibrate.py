"""`calibrate` on the screen."""

from __future__ import annotations

from balancer.engine.drink.calibrate import Calibration
from balancer.output.words.numbers import trim
from balancer.output.words.page import page


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


def _kept(value: float) -> str:
    """A number to be typed: a plain minus sign."""
    return f"{value:.0f}"
