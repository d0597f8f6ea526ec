"""How much water the method adds to a drink, and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, Literal, NamedTuple

from balancer.components import Composition
from balancer.engine.drink.energy import Chilling, melt, vessel_constant
from balancer.errors import BalancerError, CannotError, OutOfRangeError
from balancer.models.chill import Chill
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.properties import dilution as relations
from balancer.properties.sucrose import WATER_KG_M3

DilutionBasis = Literal["stated", "weighed", "shaken", "stirred", "energy", "unknown"]

METHODS_WITH_RELATION: Final = frozenset(relations.RELATIONS)
WATER_G_PER_ML: Final = WATER_KG_M3 / 1000.0

SHAKEN: Final = "shaken"
WEIGHED_WITHIN: Final = 0.05
"""A weighed drink this far from its pours' mass, as a fraction, is not one making of this spec."""
# Judged ± of the energy balance, in points of the mix. Shaken: 4 where the published relation is judged sound as
# well, 6 beyond, where only the balance speaks. Strained at a temperature: as for stirring, 7.
_BALANCE: Final = 4.0
_BALANCE_ALONE: Final = 6.0
_STOPPED: Final = 7.0
STOP_UNWEIGHED: Final = (
    "above 0 °C only the scale tells how much has melted",
    "weigh one: weighed: {before: 118 g, after: 150 g}; or give the vessel that balancer calibrate finds",
)
"""What is said of a drink that is strained above 0 °C and was never weighed, and what to do."""
COLD_C: Final = -10.0
"""Nobody weighed a drink with ice as cold as this, °C; how far such ice follows the drink is judged."""
_COLD_DOUBT: Final = 0.5  # judged part of what ice below COLD_C takes off that may not come true, added to the ±
MUCH_ICE_G: Final = 250.0
"""A tin full of ice (common practice), beside the usual amount: how much may go in where nobody says it."""


class WithIce(NamedTuple):
    """The dilution with an amount of ice, g, in % of the mix's volume."""

    ice_g: float
    percent_of_mix: float


@dataclass(frozen=True, slots=True)
class Dilution:
    """Water added to a mix.

    melt_water_g         None when unknown
    percent_of_mix       its volume in % of the mix's volume; None when unknown
    plus_minus_percent   how far the percentage may be off, in points of it; None when stated or weighed
    note                 what should be said about it, or an empty text
    final_temperature_c  of the strained drink, °C; None but for the energy balance
    by_ice               what it is by amount of ice, where that matters and nobody says how much goes in
    """

    melt_water_g: float | None
    percent_of_mix: float | None
    basis: DilutionBasis
    plus_minus_percent: float | None = None
    note: str = ""
    final_temperature_c: float | None = None
    by_ice: tuple[WithIce, ...] = ()


def dilution_of(
    drink: Drink,
    mix_volume_ml: float,
    mix_abv_percent: float,
    *,
    mix: Composition = (),
    ice_g: float = 0.0,
    abv_unknown: tuple[str, ...] = (),
) -> Dilution:
    """The dilution of a drink: as stated, weighed, poured as ice, usual in the house, by the energy balance, or by its
    method's relation.

    mix          grams by component before ice; without it there is no energy balance
    ice_g        ice among the pours, all of which melts
    abv_unknown  names of pours that matter and whose ABV nobody knows: only what is stated or weighed counts then
    """
    if drink.dilution is not None:
        melt = drink.dilution / 100.0 * mix_volume_ml * WATER_G_PER_ML
        return Dilution(melt, drink.dilution, "stated")
    if drink.weighed is not None:
        melt = drink.weighed.after - drink.weighed.before
        percent = 100.0 * melt / WATER_G_PER_ML / mix_volume_ml if mix_volume_ml else None
        return Dilution(melt, percent, "weighed", note=_weighed_note(drink.weighed.before, sum(mix)))
    if ice_g:
        percent = 100.0 * ice_g / WATER_G_PER_ML / mix_volume_ml if mix_volume_ml else None
        return Dilution(ice_g, percent, "stated", note="the ice it pours, all of it melted")
    if drink.usual_dilution is not None:
        melt = drink.usual_dilution / 100.0 * mix_volume_ml * WATER_G_PER_ML
        return Dilution(melt, drink.usual_dilution, "stated", note=f'usual here for "{drink.method}"')
    method = drink.way if drink.way in METHODS_WITH_RELATION else drink.method
    if abv_unknown and is_told(drink, pours_ice=False):
        names = ", ".join(abv_unknown)
        return Dilution(
            None, None, "unknown", note=f"how much ice melts goes by the ABV, and nobody knows that of {names}"
        )
    if drink.chill is None or not mix or not (method == SHAKEN or drink.chill.stop is not None):
        return by_relation(method, mix_volume_ml, mix_abv_percent)
    try:
        if stops_unweighed(drink):
            raise CannotError("stop", *STOP_UNWEIGHED)
        return by_energy(method, mix, mix_volume_ml, mix_abv_percent, drink.chill)
    except BalancerError as error:
        related = by_relation(method, mix_volume_ml, mix_abv_percent)
        told = f"no energy balance: {error.problems()[0].message}"
        cold = related.melt_water_g is not None and chilling_of(drink.chill).ice_c < 0.0
        warm = "the relation is for ice at 0 °C: colder ice melts less" if cold else ""
        return replace(related, note="; ".join(filter(None, (told, warm, related.note))))


def made_in(drink: Drink, house: House) -> Drink:
    """A drink with what the house says of its method where it says nothing itself.

    Its usual dilution goes before the house's way of chilling.
    """
    if drink.chill is None and (percent := house.usual_dilution(drink.method)) is not None:
        return drink.usually_diluted(percent)
    return chilled_at(drink, house.chill)


def chilled_at(drink: Drink, house: Chill | None) -> Drink:
    """A drink with the house's way of chilling where it says nothing itself; that goes for shaken drinks only.

    Others stop earlier, and only their own `chill` can say at what temperature.
    """
    if house is None or (drink.chill is None and drink.way != SHAKEN):
        return drink
    usual = house.model_copy(update={"stop": None})
    return drink.model_copy(update={"chill": drink.chill.over(usual) if drink.chill else usual})


def is_told(drink: Drink, *, pours_ice: bool) -> bool:
    """Whether anything tells how much water a drink gets."""
    stated = drink.dilution is not None or drink.weighed is not None or drink.usual_dilution is not None or pours_ice
    stops = drink.chill is not None and drink.chill.stop is not None
    return stated or stops or drink.way in METHODS_WITH_RELATION


def chilling_of(chill: Chill) -> Chilling:
    """A `chill` with the usual value for what it does not say."""
    usual = Chilling()
    return Chilling(
        ice_g=usual.ice_g if chill.ice is None else chill.ice,
        ice_c=usual.ice_c if chill.ice_temperature is None else chill.ice_temperature,
        start_c=usual.start_c if chill.start is None else chill.start,
        vessel_j_per_k=usual.vessel_j_per_k if chill.vessel is None else chill.vessel,
        stop_c=chill.stop,
    )


def stops_unweighed(drink: Drink) -> bool:
    """Whether a drink is strained above 0 °C and nothing was weighed that tells what melts until then.

    Such a drink is far from what ice can do to it, so how long it is stirred decides: no balance tells that.
    """
    stop = drink.chill.stop if drink.chill else None
    return stop is not None and stop > 0.0 and drink.weighed is None and (not drink.chill or drink.chill.vessel is None)


def vessel_of(drink: Drink, mix: Composition) -> float:
    """A bar's own vessel constant in J/K, from a drink that was weighed before and after as `chill` says.

    Put it into house.yaml as `chill: {vessel: … J/K}`. Raises CannotError when the drink was not weighed, or as
    `vessel_constant` does.
    """
    if drink.weighed is None:
        raise CannotError(
            "calibration",
            f"{drink.name} was not weighed",
            "weigh its pours before the ice and the strained drink after",
        )
    return vessel_constant(mix, chilling_of(drink.chill or Chill()), drink.weighed.after - drink.weighed.before)


def by_energy(method: str, mix: Composition, mix_volume_ml: float, mix_abv_percent: float, chill: Chill) -> Dilution:
    """The dilution by the energy balance. Raises CannotError or OutOfRangeError where it does not reach."""
    chilling = chilling_of(chill)
    found = melt(mix, chilling)
    relation = relations.RELATIONS[SHAKEN]
    plus_minus = _STOPPED
    if chill.stop is None:
        inside = method == SHAKEN and relation.low_percent <= mix_abv_percent <= relation.high_percent
        plus_minus = _BALANCE if inside else _BALANCE_ALONE

    def percent(water_g: float) -> float:
        return 100.0 * water_g / WATER_G_PER_ML / mix_volume_ml if mix_volume_ml else 0.0

    if chilling.ice_c < COLD_C:
        plus_minus += _COLD_DOUBT * percent(melt(mix, replace(chilling, ice_c=COLD_C)).water_g - found.water_g)
    by_ice: tuple[WithIce, ...] = ()
    if chill.ice is None and chilling.ice_c < 0.0:
        amounts = {chilling.ice_g: found.water_g, MUCH_ICE_G: _melt_of_much(mix, chilling)}
        by_ice = tuple(WithIce(ice_g, percent(water)) for ice_g, water in amounts.items() if water is not None)
    note = "all of the ice melts" if found.ran_out else _ice_note(by_ice)
    return Dilution(found.water_g, percent(found.water_g), "energy", plus_minus, note, found.final_c, by_ice)


def _melt_of_much(mix: Composition, chilling: Chilling) -> float | None:
    """What melts of a tin full of ice, g; None where that gets colder than anything is known of."""
    try:
        return melt(mix, replace(chilling, ice_g=MUCH_ICE_G)).water_g
    except BalancerError:
        return None


def _ice_note(by_ice: tuple[WithIce, ...]) -> str:
    """What to say where nobody tells how much of the cold ice goes in."""
    if not by_ice:
        return ""
    least, most = by_ice[0], by_ice[-1]
    much = f"; {most.ice_g:.0f} g gives {most.percent_of_mix:.0f} %" if most is not least else ""
    return f"{least.ice_g:.0f} g of ice taken{much}: write yours, like chill: {{ice: 180 g}}"


def _weighed_note(before_g: float, mix_g: float) -> str:
    """What to say when the weighed pours are not this drink's: a double, or one with something left out."""
    if not mix_g or abs(before_g / mix_g - 1.0) <= WEIGHED_WITHIN:
        return ""
    return f"weighed before ice at {before_g:.0f} g, where these pours weigh {mix_g:.0f} g: weigh one drink again"


def by_relation(method: str, mix_volume_ml: float, mix_abv_percent: float) -> Dilution:
    """The dilution by the published relation of a method.

    Outside the range the relation was judged for, the value stands with a wider ±, and the note says so.
    Above its hard limit, and for a method without a relation, nothing is claimed.
    """
    relation = relations.RELATIONS.get(method)
    if relation is None:
        return Dilution(None, None, "unknown", note=f'nothing says how much water "{method}" adds')
    try:
        fraction = relation.melt(mix_abv_percent)
    except OutOfRangeError as error:
        note = f"no published dilution for a {method} drink above {error.high:g} % vol"
        return Dilution(None, None, "unknown", note=note)
    note = ""
    if not relation.low_percent <= mix_abv_percent <= relation.high_percent:
        note = f"rough: the {method} relation is judged for {relation.low_percent:g}–{relation.high_percent:g} % vol"
    basis: DilutionBasis = "shaken" if method == "shaken" else "stirred"
    plus_minus = 100.0 * relation.plus_minus(mix_abv_percent)
    return Dilution(fraction * mix_volume_ml * WATER_G_PER_ML, 100.0 * fraction, basis, plus_minus, note)
