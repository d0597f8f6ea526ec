"""`calibrate` on the screen."""

from __future__ import annotations

from balancer.engine.drink.calibrate import Assumed, Calibration
from balancer.output.words.numbers import trim
from balancer.output.words.page import page


def calibrate_text(result: Calibration) -> str:
    """The line for house.yaml, and what it rests on."""
    ice = f"ice: {_kept(result.ice_g)} g, ice temperature: {_kept(result.ice_c)} °C"
    vessel = f"vessel: {trim(result.vessel_j_per_k, 0)} J/K"
    stop = "" if result.stop_c is None else f", stop: {_kept(result.stop_c)} °C"
    whose = "house.yaml, for every shaken drink" if result.stop_c is None else "the drinks stirred like this one"
    rows = [
        f"chill: {{{ice}, start: {_kept(result.start_c)} °C, {vessel}{stop}}}",
        f"from {result.drink.name}, which took up {trim(result.melt_water_g, 0)} g of water when it was weighed",
        *_assumed_rows(result),
        "true for this ice, these tins and this start; take the mean of three drinks",
    ]
    return page(
        f"vessel {trim(result.vessel_j_per_k, 0)} J/K: write this into {whose}",
        rows,
        "--json has every digit",
    )


def _assumed_rows(result: Calibration) -> list[str]:
    """What was taken because nobody says it; the constant hangs on it."""
    taken: dict[Assumed, str] = {
        "ice": f"{_kept(result.ice_g)} g of ice",
        "ice temperature": f"ice at {_kept(result.ice_c)} °C",
        "start": f"a start at {_kept(result.start_c)} °C",
    }
    return [f"not stated, so taken: {', '.join(taken[name] for name in result.assumed)}"] if result.assumed else []


def _kept(value: float) -> str:
    """A number to be typed: a plain minus sign, one decimal where it has one."""
    return f"{value:.1f}".removesuffix(".0")
