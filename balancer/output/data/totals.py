"""`totals` as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from balancer.engine.drink.totals import Contribution, State, Totals

if TYPE_CHECKING:
    pass


def totals_data(result: Totals) -> dict[str, Any]:
    """The JSON object of `totals`."""
    dilution = result.dilution
    return {
        "drink": result.drink.id,
        "name": result.drink.name,
        "method": result.drink.method,
        "mix": _state(result.mix),
        "dilution": {
            "melt_water_g": dilution.melt_water_g,
            "percent_of_mix": dilution.percent_of_mix,
            "basis": dilution.basis,
            "plus_minus_percent": dilution.plus_minus_percent,
            "note": dilution.note or None,
            "final_temperature_c": dilution.final_temperature_c,
        },
        "served": _served(result),
        "pours": [_contribution(part) for part in result.contributions],
        "allergens": list(result.allergens),
        "cautions": [{"ingredient": liquid.id, "text": text} for liquid, text in result.cautions],
        "lower_bound": result.is_lower_bound,
        "unknown": [
            {"ingredient": item.ingredient, "name": item.name, "what": item.what, "small": item.small}
            for item in result.unknown
        ],
    }


def _state(state: State) -> dict[str, Any]:
    return {
        "volume_ml": state.volume_ml,
        "abv_percent": state.abv_percent,
        "sugar_g": state.sugar_g,
        "acid_g": state.acid_g,
        "ethanol_g": state.ethanol_g,
    }


def _served(result: Totals) -> dict[str, Any]:
    return {
        "volume_ml": result.served.volume_ml if result.served else None,
        "abv_percent": result.served.abv_percent if result.served else None,
        "sugar_g": result.sugar_g,
        "sugar_g_per_100ml": result.sugar_g_per_100ml,
        "acid_g": result.acid_g,
        "acid_g_per_100ml": result.acid_g_per_100ml,
        "sugar_to_acid": result.sugar_to_acid,
        "ethanol_g": result.ethanol_g,
        "kcal": result.kcal,
        "kj": result.kj,
        "standard_drinks": result.standard_drinks,
    }


def _contribution(part: Contribution) -> dict[str, Any]:
    return {
        "ingredient": part.pour.of,
        "name": part.liquid.name,
        "volume_ml": part.volume_ml,
        "mass_g": part.mass_g,
        "water_g": part.water_g,
        "ethanol_g": part.ethanol_g,
        "sugar_g": part.sugar_g,
        "acid_g": part.acid_g,
        "top": part.is_top,
    }
