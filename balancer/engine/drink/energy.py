"""How much ice melts by what it has to cool: an energy balance of drink, ice and vessel.

Everything in the shaker holds as much heat after chilling as before (`balancer.properties.enthalpy`). Shaking
goes on until the drink is as cold as ice can be in it, its freezing point; stirring stops earlier, at a
temperature somebody has to give. The ice that is left after shaking is as cold as the drink, as small cubes are;
after stirring it has not followed the drink below its own temperature, nor above 0 °C.

VESSEL_J_PER_K stands for the wetted metal, the room, the hands, and ice that does not follow. It is a
calibration, not a property of a tin: with it, 120 g of ice at 0 °C and a start at 22 °C the balance gives the
published relation for shaken drinks. `vessel_constant` finds a bar's own from one weighed drink.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, NamedTuple

from balancer.components import (
    ACID_SLICE,
    COMPONENTS,
    ETHANOL,
    INDEX,
    NOTHING,
    OTHER_SOLIDS,
    SUGAR_SLICE,
    WATER,
    Composition,
    with_water,
)
from balancer.errors import CannotError, OutOfRangeError
from balancer.numerics import find_root
from balancer.properties import enthalpy, freezing

VESSEL_J_PER_K: Final = 64.0
_HAIR_G: Final = 1e-9
COLDEST_C: Final = -15.0
"""Below this the heat of the liquid is not known."""

_TWO_RINGS: Final = (INDEX["sucrose"], INDEX["maltose"], INDEX["lactose"])
_LIKE_GLUCOSE: Final = (INDEX["glucose"], INDEX["galactose"])
_FRUCTOSE: Final = (INDEX["fructose"],)
_CITRIC: Final = (INDEX["citric"],)
_OTHER_ACIDS: Final = tuple(row for row in range(len(NOTHING))[ACID_SLICE] if row != INDEX["citric"])


@dataclass(frozen=True, slots=True)
class Chilling:
    """How a drink is chilled.

    ice_g, ice_c    ice, and its temperature
    start_c         temperature of the pours and of the vessel
    vessel_j_per_k  see the module
    stop_c          temperature at which stirring stops; None for shaking, which goes to the end
    """

    ice_g: float = 120.0
    ice_c: float = 0.0
    start_c: float = 22.0
    vessel_j_per_k: float = VESSEL_J_PER_K
    stop_c: float | None = None


class Melt(NamedTuple):
    """Ice that melted, g, and how cold the drink is, °C. ran_out: all of the ice melted before the end."""

    water_g: float
    final_c: float
    ran_out: bool = False


def freezing_point(grams: Composition) -> float:
    """Temperature at which ice begins to form in a composition, °C; within 0.4 K for drinks (judged).

    Solids that are not sugar are gums and the like: too large and too few to count.
    Raises OutOfRangeError above 37 % vol and above 42 % of sugar in its water, and where there is no water.
    """
    water_kg = grams[WATER] / 1000.0

    def molality(rows: tuple[int, ...]) -> float:
        moles = sum([grams[row] / COMPONENTS[row].molar_mass for row in rows])
        return moles / water_kg if water_kg > 0.0 else float("inf") if moles else 0.0

    return freezing.freezing_point(
        molality((ETHANOL,)),
        sucrose_mol_kg=molality(_TWO_RINGS),
        glucose_mol_kg=molality(_LIKE_GLUCOSE),
        fructose_mol_kg=molality(_FRUCTOSE),
        citric_mol_kg=molality(_CITRIC),
        other_mol_kg=molality(_OTHER_ACIDS),
    )


def melt(mix: Composition, chilling: Chilling) -> Melt:
    """The ice that melts when a mix is chilled, to its freezing point or to `stop_c`.

    mix  grams by component before ice
    A drink gets no colder than its freezing point, wherever stirring was meant to stop.
    Raises CannotError or OutOfRangeError where a formula does not reach: mixes above about 50 % vol, drinks
    below -15 °C, starts outside -15 to 30 °C.
    """
    if not sum(mix):
        return Melt(0.0, chilling.start_c)
    end = _to_the_end(mix, replace(chilling, stop_c=None))
    if chilling.stop_c is None or chilling.stop_c <= end.final_c:
        return end
    return _stopped(mix, chilling, chilling.stop_c, end.water_g)


def vessel_constant(mix: Composition, chilling: Chilling, melt_g: float) -> float:
    """The vessel constant, J/K, with which the balance gives what one weighing found.

    melt_g  gain in mass of the strained drink, g
    Raises CannotError when no constant does: the drink alone would melt more, or all the ice is not enough.
    """
    if not 0.0 < melt_g < chilling.ice_g:
        raise CannotError(
            "calibration", f"{melt_g:g} g of water from {chilling.ice_g:g} g of ice tells nothing", "weigh again"
        )
    final = freezing_point(with_water(mix, melt_g)) if chilling.stop_c is None else chilling.stop_c
    alone = replace(chilling, vessel_j_per_k=0.0)
    if final >= chilling.start_c:
        raise CannotError("calibration", "the drink is no colder than at the start", "check the temperatures")
    found = -_surplus(mix, alone, melt_g, final) / (chilling.start_c - final)
    if found < -1e-6:
        raise CannotError(
            "calibration",
            f"the drink alone has more heat than {melt_g:g} g of melting ice take up",
            "check the temperatures of ice and pours, and shake until it gets no colder"
            if chilling.stop_c is None
            else "check the temperatures of ice, pours and strained drink",
        )
    return max(found, 0.0)


def _to_the_end(mix: Composition, chilling: Chilling) -> Melt:
    least = _least_melt(mix, chilling.ice_g)
    ends = None if least is None else _surplus(mix, chilling, least, freezing_point(with_water(mix, least)))
    if least is None or ends is None:
        return _all_melts(mix, chilling)
    if ends < 0.0:
        if least == 0.0:
            raise CannotError(
                "too-cold", "the pours are as cold as the ice, and none of it melts", "state the dilution, or weigh it"
            )
        raise _too_cold()
    if _surplus(mix, chilling, chilling.ice_g, freezing_point(with_water(mix, chilling.ice_g))) > 0.0:
        return _all_melts(mix, chilling)
    water = find_root(
        lambda x: _surplus(mix, chilling, x, freezing_point(with_water(mix, x))),
        least,
        chilling.ice_g,
        tolerance=_HAIR_G,
    )
    return Melt(water, freezing_point(with_water(mix, water)))


def _heat(grams: Composition, temperature_c: float) -> float:
    """Heat of a drink above its pure liquids at 25 °C, J."""
    spirit = grams[WATER] + grams[ETHANOL]
    solids = sum(grams[SUGAR_SLICE]) + sum(grams[ACID_SLICE]) + grams[OTHER_SOLIDS]
    liquid = spirit * enthalpy.liquid_enthalpy(grams[ETHANOL] / spirit, temperature_c) if spirit else 0.0
    return liquid + solids * enthalpy.SOLIDS_J_PER_G_K * (temperature_c - enthalpy.REFERENCE_C)


def _surplus(mix: Composition, chilling: Chilling, water_g: float, final_c: float) -> float:
    """Heat that is left over when so much ice has melted at so low a temperature, J; zero is the answer."""
    left = chilling.ice_g - water_g
    left_c = final_c if chilling.stop_c is None else min(max(final_c, chilling.ice_c), 0.0)
    before = _heat(mix, chilling.start_c) + chilling.ice_g * enthalpy.ice_enthalpy(chilling.ice_c)
    after = _heat(with_water(mix, water_g), final_c) + (left * enthalpy.ice_enthalpy(left_c) if left > 0.0 else 0.0)
    return before - after + chilling.vessel_j_per_k * (chilling.start_c - final_c)


def _least_melt(mix: Composition, ice_g: float) -> float | None:
    """The least water that brings a mix where its freezing point is known and not too low; None when all is not enough.

    Less melts only where the drink would be colder than that.
    """

    def is_known(water_g: float) -> bool:
        try:
            return freezing_point(with_water(mix, water_g)) >= COLDEST_C
        except OutOfRangeError:
            return False

    if is_known(0.0):
        return 0.0
    if not is_known(ice_g):
        return None
    low, high = 0.0, ice_g
    while high - low > 1e-9 * ice_g:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if is_known(middle) else (middle, high)
    return high


def _all_melts(mix: Composition, chilling: Chilling) -> Melt:
    """Where the ice runs out: all of it melts, and the drink stays warmer than its freezing point."""

    def surplus(final_c: float) -> float:
        return _surplus(mix, chilling, chilling.ice_g, final_c)

    if surplus(COLDEST_C) < 0.0:
        raise _too_cold()
    return Melt(chilling.ice_g, find_root(surplus, COLDEST_C, chilling.start_c), ran_out=True)


def _stopped(mix: Composition, chilling: Chilling, stop_c: float, most_g: float) -> Melt:
    """Stirring that stops at a temperature, before the most that can melt has melted."""
    if stop_c >= chilling.start_c:
        raise CannotError(
            "stop",
            f"stirring in ice does not stop at {stop_c:g} °C when it starts at {chilling.start_c:g} °C",
            "give the temperature of the strained drink, and that of its pours as start",
        )
    if _surplus(mix, chilling, 0.0, stop_c) <= 0.0:
        return Melt(0.0, stop_c)  # cold ice alone did it
    return Melt(find_root(lambda x: _surplus(mix, chilling, x, stop_c), 0.0, most_g, tolerance=_HAIR_G), stop_c)


def _too_cold() -> CannotError:
    return CannotError(
        "too-cold",
        f"it would get colder than {COLDEST_C:g} °C, where nothing is known",
        "state the dilution, or weigh it",
    )
