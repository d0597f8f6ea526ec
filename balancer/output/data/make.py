"""`make` as JSON."""

from __future__ import annotations

from typing import Any, get_args

from balancer.engine.drink.liquid import Content
from balancer.engine.prep.make import Making
from balancer.engine.prep.recipe import Item
from balancer.models.syrup import Syrup
from balancer.output.data.totals import known
from balancer.output.words.make import acid_notes, care


def make_data(result: Making) -> dict[str, Any]:
    """The JSON object of `make`."""
    saturation, whole = result.saturation, result.whole
    return {
        "syrup": result.source.id,
        "name": result.source.name,
        "standard_brix": result.standard_brix,
        "mass_g": result.mass_g,
        "volume_ml": result.volume_ml,
        "brix": result.brix,
        "high_brix": result.high_brix,
        "lower_bound": result.is_lower_bound,
        "unknown": [
            {"ingredient": item.liquid.id, "name": item.liquid.name, "what": what}
            for what in get_args(Content)
            for item in result.lacking(what)
        ],
        "acid_g_per_kg": known(whole.acid_g_per_kg, bool(result.lacking("acid"))),
        "acid_g_per_l": known(whole.acid_g_per_l, bool(result.lacking("acid"))),
        "abv_percent": known(whole.state.abv_percent, bool(result.lacking("abv"))),
        "as_read": [
            {
                "ingredient": juice.batch.liquid,
                "batch": juice.batch.id,
                "acid": {"value": juice.acid.value, "unit": juice.acid.unit},
                "file_acid": {"value": juice.written.value, "unit": juice.written.unit} if juice.written else None,
            }
            for juice in result.as_read
        ],
        "parts": [_part(item) for item in result.items],
        "goes_in": {"mass_g": whole.mass_g, "volume_ml": whole.volume_ml},
        "lost": {"mass_g": result.lost_g, "percent": result.lost_percent},
        "yield": _yield(result),
        "by_weight_brix": result.by_weight_brix,
        "adjusted": [
            {"ingredient": part.liquid, "name": part.name, "was_g_per_kg": part.was_g, "now_g_per_kg": part.now_g}
            for part in result.adjusted
        ],
        "acid_rule": None
        if result.acid_rule is None
        else {"powder_g": result.acid_rule.powder_g, "reaches_g_per_l": result.acid_rule.reaches_g_per_l},
        "saturation": {
            "storage_c": saturation.storage_c,
            "dissolves_brix": saturation.dissolves_brix,
            "sucrose_brix": saturation.sucrose_brix,
            "clear_from_c": saturation.clear_from_c,
            "over": saturation.is_over,
        },
        "limited_by": result.limited_by,
        "container_ml": result.wanted.container_ml,
        "fits": result.fits,
        "keeps_days": result.source.keeps if result.in_store is None else result.in_store.days,
        "own_keeps_days": result.source.keeps,
        "storage_c": result.saturation.storage_c,
        "weaker": bool(result.in_store and result.in_store.weaker),
        "care": care(result),
        "cautions": [*acid_notes(result), *result.source.cautions],
    }


def _part(item: Item) -> dict[str, Any]:
    return {
        "ingredient": item.liquid.id,
        "name": item.liquid.name,
        "in_house": item.is_house,
        "amount": {"value": item.amount.value, "unit": item.amount.unit},
        "mass_g": item.mass_g,
        "solids_g": item.solids_g,
        "acid_g": item.acid_g,
    }


def _yield(result: Making) -> dict[str, Any] | None:
    stated = result.source.yields if isinstance(result.source, Syrup) else None
    if stated is None:
        return None
    return {"stated": {"value": stated.value, "unit": stated.unit}, "doubt": result.doubt}
