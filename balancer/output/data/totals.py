"""`totals` as JSON."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, get_args

from balancer.engine.drink.liquid import Content
from balancer.engine.drink.totals import Contribution, Glass, State, Totals, Unknown


def totals_data(result: Totals) -> dict[str, Any]:
    """The JSON object of `totals`."""
    dilution = result.dilution
    return {
        "drink": result.drink.id,
        "name": result.drink.name,
        "method": result.drink.method,
        "mix": state_data(result.mix, result),
        "dilution": {
            "melt_water_g": dilution.melt_water_g,
            "percent_of_mix": dilution.percent_of_mix,
            "basis": dilution.basis,
            "plus_minus_percent": dilution.plus_minus_percent,
            "note": dilution.note or None,
            "final_temperature_c": dilution.final_temperature_c,
            "by_ice": [ice._asdict() for ice in dilution.by_ice],
        },
        "served": _served(result),
        "pours": [_contribution(part) for part in result.contributions],
        "written_for": [
            {
                "syrup": each.syrup.id,
                "name": each.syrup.name,
                "written_for_brix": each.brix,
                "standard_brix": each.standard_brix,
            }
            for each in result.written_for
        ],
        "allergens": list(result.allergens),
        "cautions": [{"ingredient": said.id, "text": said.text} for said in result.cautions],
        "lower_bound": result.is_lower_bound,
        "lower_bounds": lower_bounds(result),
        "unknown": unknown_data(result.unknown),
    }


def unknown_data(unknown: Iterable[Unknown]) -> list[dict[str, Any]]:
    """What the files do not say; small: it cannot move the sums."""
    return [
        {"ingredient": item.ingredient, "name": item.name, "what": item.what, "small": item.small} for item in unknown
    ]


def known(value: float | None, least: bool) -> float | None:
    """A sum over what is known; null where nothing is: what is unknown is never 0."""
    return None if least and not value else value


def lower_bounds(result: Glass) -> list[str]:
    """Which sums are lower bounds, because a pour does not say how much of it it holds."""
    found: list[str] = [what for what in get_args(Content) if result.is_least(what)]
    return found + (["energy"] if result.energy_is_least else [])


def state_data(state: State, of: Glass) -> dict[str, Any]:
    """A drink before ice, as far as it is known."""
    return {
        "volume_ml": state.volume_ml,
        "abv_percent": known(state.abv_percent, of.is_least("abv")),
        "sugar_g": known(state.sugar_g, of.is_least("sugar")),
        "acid_g": known(state.acid_g, of.is_least("acid")),
        "ethanol_g": known(state.ethanol_g, of.is_least("abv")),
    }


def _served(result: Totals) -> dict[str, Any]:
    sugar, acid, abv = (result.is_least(what) for what in ("sugar", "acid", "abv"))
    energy = result.energy_is_least
    return {
        "volume_ml": result.served.volume_ml if result.served else None,
        "abv_percent": known(result.served.abv_percent, abv) if result.served else None,
        "sugar_g": known(result.sugar_g, sugar),
        "sugar_g_per_100ml": known(result.sugar_g_per_100ml, sugar),
        "acid_g": known(result.acid_g, acid),
        "acid_g_per_100ml": known(result.acid_g_per_100ml, acid),
        "sugar_to_acid": known(result.sugar_to_acid, sugar),
        "ethanol_g": known(result.ethanol_g, abv),
        "kcal": known(result.kcal, energy),
        "kj": known(result.kj, energy),
        "standard_drinks": known(result.standard_drinks, abv),
    }


def _contribution(part: Contribution) -> dict[str, Any]:
    return {
        "ingredient": part.pour.of,
        "name": part.liquid.name,
        "volume_ml": part.volume_ml,
        "mass_g": part.mass_g,
        "water_g": None if part.liquid.abv_unknown else part.water_g,
        "ethanol_g": known(part.ethanol_g, part.liquid.abv_unknown),
        "sugar_g": known(part.sugar_g, part.liquid.sugar_unknown),
        "acid_g": known(part.acid_g, part.liquid.acid_unknown),
        "top": part.is_top,
    }
