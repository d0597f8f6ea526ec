"""`rescale` as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from balancer.engine.service.decision import Rounded
from balancer.engine.service.rescale import DrinkRow, Rescale

if TYPE_CHECKING:
    pass


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


def rounded_data(rounded: Rounded) -> dict[str, Any]:
    """A pour and what it does to the sugar as JSON."""
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
        **rounded_data(row.rounded._replace(spec_ml=row.written_ml)),
        "flavour_percent": {"low": low, "high": high},
        "mix_volume_change_ml": row.mix_change_ml,
        "served_volume_change_ml": row.served_change_ml,
        "could_be": None if row.could_be is None else list(row.could_be),
        "unknown": [{"ingredient": identity, "what": "sugar"} for identity in row.unknown_sugar],
    }
