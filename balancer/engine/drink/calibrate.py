"""A bar's own vessel constant, from one drink weighed before and after the ice."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.dilution import SHAKEN, chilled_at, chilling_of, vessel_of
from balancer.engine.drink.totals import totals
from balancer.errors import CannotError
from balancer.models.chill import Chill
from balancer.models.drink import Drink

Assumed = Literal["ice", "ice temperature", "start"]


@dataclass(frozen=True, slots=True)
class Calibration:
    """The constant, J/K, with what was weighed (g) and how it was chilled (g, °C).

    stop_c   temperature at which it was strained; None for a shaken drink that got as cold as it can
    assumed  what neither the drink nor the house says of how it was chilled, so that the usual was taken
    """

    drink: Drink
    melt_water_g: float
    ice_g: float
    ice_c: float
    start_c: float
    vessel_j_per_k: float
    stop_c: float | None
    assumed: tuple[Assumed, ...]


def calibrate(bar: Bar, drink: Drink) -> Calibration:
    """The vessel constant that makes the energy balance give what a drink took up on the scale.

    Raises CannotError when the drink was not weighed, states a dilution that goes before the weighing, is not shaken
    and does not say how cold it got, or when no constant fits.
    """
    if drink.dilution is not None:
        raise CannotError("calibration", f"{drink.name} states its dilution", "delete its dilution, and weigh it")
    drink = chilled_at(drink, bar.specs.house.chill)
    chill = drink.chill or Chill()
    chilling = chilling_of(chill)
    if chilling.stop_c is None and drink.way != SHAKEN:
        raise CannotError(
            "calibration",
            f"nothing says how cold {drink.name} was when it was strained",
            "measure it, and add it to the drink, like chill: {stop: 1 °C}",
        )
    vessel = vessel_of(drink, totals(bar, drink).mix.grams)
    weighed = drink.weighed
    melt_g = weighed.after - weighed.before if weighed else 0.0
    said: dict[Assumed, float | None] = {
        "ice": chill.ice,
        "ice temperature": chill.ice_temperature,
        "start": chill.start,
    }
    return Calibration(
        drink=drink,
        melt_water_g=melt_g,
        ice_g=chilling.ice_g,
        ice_c=chilling.ice_c,
        start_c=chilling.start_c,
        vessel_j_per_k=vessel,
        stop_c=chilling.stop_c,
        assumed=tuple(name for name, value in said.items() if value is None),
    )
