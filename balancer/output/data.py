"""Results as JSON objects: ids and names, unrounded floats, null for what is not defined."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from balancer.engine.jigger import Rounded
from balancer.engine.rescale import DrinkRow, Rescale
from balancer.engine.totals import Contribution, State, Totals

if TYPE_CHECKING:
    from balancer.engine.pour import PourAnswer


def pour_data(answer: PourAnswer) -> dict[str, Any]:
    """The JSON object of `pour`."""
    return {"verdict": answer.rounded.verdict, **_rounded(answer.rounded)}


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


def rescale_data(result: Rescale) -> dict[str, Any]:
    """The JSON object of `rescale`."""
    return {
        "syrup": result.syrup.id,
        "name": result.syrup.name,
        "standard_brix": result.standard_brix,
        "batch_brix": result.batch_brix,
        "advice": result.advice.word,
        "reason": result.advice.reason,
        "conversions": [{"spec_ml": spec, "poured_ml": poured} for spec, poured in result.conversions],
        "correct": {"add": result.correct.add, "g_per_kg": result.correct.g_per_kg},
        "drinks": [row_data(row) for row in result.rows],
        "not_pouring": [drink.id for drink in result.not_pouring],
    }


def _rounded(rounded: Rounded) -> dict[str, Any]:
    return {
        "pour": {"spec_ml": rounded.spec_ml, "exact_ml": rounded.exact_ml, "poured_ml": rounded.poured_ml},
        "sugar_as_written_percent": rounded.as_written_percent,
        "sugar_after_percent": rounded.after_percent,
    }


def row_data(row: DrinkRow) -> dict[str, Any]:
    """One drink and one batch as JSON."""
    low, high = row.flavour_percent or (None, None)
    return {
        "drink": row.drink.id,
        "name": row.drink.name,
        "verdict": row.rounded.verdict,
        **_rounded(row.rounded._replace(spec_ml=row.written_ml)),
        "flavour_percent": {"low": low, "high": high},
        "mix_volume_change_ml": row.mix_change_ml,
        "served_volume_change_ml": row.served_change_ml,
        "could_be": None if row.could_be is None else list(row.could_be),
        "unknown": [{"ingredient": identity, "what": "sugar"} for identity in row.unknown_sugar],
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
