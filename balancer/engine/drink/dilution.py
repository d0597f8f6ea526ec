"""How much water the method adds to a drink, and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, Literal

from balancer.components import Composition
from balancer.engine.drink.energy import Chilling, melt, vessel_constant
from balancer.errors import BalancerError, CannotError, OutOfRangeError
from balancer.models.chill import Chill
from balancer.models.drink import Drink
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


@dataclass(frozen=True, slots=True)
class Dilution:
    """Water added to a mix.

    melt_water_g         None when unknown
    percent_of_mix       its volume in % of the mix's volume; None when unknown
    plus_minus_percent   how far the percentage may be off, in points of it; None when stated or weighed
    note                 what should be said about it, or an empty text
    final_temperature_c  of the strained drink, °C; None but for the energy balance
    """

    melt_water_g: float | None
    percent_of_mix: float | None
    basis: DilutionBasis
    plus_minus_percent: float | None = None
    note: str = ""
    final_temperature_c: float | None = None


def dilution_of(
    drink: Drink,
    mix_volume_ml: float,
    mix_abv_percent: float,
    *,
    mix: Composition = (),
    ice_g: float = 0.0,
    abv_unknown: tuple[str, ...] = (),
) -> Dilution:
    """The dilution of a drink: as stated, weighed, poured as ice, by the energy balance, or by its method's relation.

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
    method = drink.method.casefold()
    if abv_unknown and is_told(drink, pours_ice=False):
        names = " and ".join(abv_unknown)
        return Dilution(
            None, None, "unknown", note=f"how much ice melts goes by the ABV, and nobody knows that of {names}"
        )
    if drink.chill is None or not mix or not (method == SHAKEN or drink.chill.stop is not None):
        return by_relation(method, mix_volume_ml, mix_abv_percent)
    try:
        return by_energy(method, mix, mix_volume_ml, mix_abv_percent, drink.chill)
    except BalancerError as error:
        related = by_relation(method, mix_volume_ml, mix_abv_percent)
        told = f"no energy balance: {error.problems()[0].message}"
        return replace(related, note="; ".join(filter(None, (told, related.note))))


def chilled_at(drink: Drink, house: Chill | None) -> Drink:
    """A drink with the house's way of chilling where it says nothing itself; that goes for shaken drinks only.

    Others stop earlier, and only their own `chill` can say at what temperature.
    """
    if house is None or (drink.chill is None and drink.method.casefold() != SHAKEN):
        return drink
    usual = house.model_copy(update={"stop": None})
    return drink.model_copy(update={"chill": drink.chill.over(usual) if drink.chill else usual})


def is_told(drink: Drink, *, pours_ice: bool) -> bool:
    """Whether anything tells how much water a drink gets."""
    stated = drink.dilution is not None or drink.weighed is not None or pours_ice
    stops = drink.chill is not None and drink.chill.stop is not None
    return stated or stops or drink.method.casefold() in METHODS_WITH_RELATION


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
    found = melt(mix, chilling_of(chill))
    relation = relations.RELATIONS[SHAKEN]
    plus_minus = _STOPPED
    if chill.stop is None:
        inside = method == SHAKEN and relation.low_percent <= mix_abv_percent <= relation.high_percent
        plus_minus = _BALANCE if inside else _BALANCE_ALONE
    percent = 100.0 * found.water_g / WATER_G_PER_ML / mix_volume_ml if mix_volume_ml else 0.0
    note = "all of the ice melts" if found.ran_out else ""
    return Dilution(found.water_g, percent, "energy", plus_minus, note, found.final_c)


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
