"""`rescale` as JSON, and what other commands say of a batch against the menu."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from balancer.engine.drink.amount import Amount
from balancer.engine.service.rescale import Conversion, DrinkRow, Rescale

if TYPE_CHECKING:
    from balancer.engine.service.lines import BottleLines


def rescale_data(result: Rescale) -> dict[str, Any]:
    """The JSON object of `rescale`."""
    return {
        "syrup": result.syrup.id,
        "name": result.syrup.name,
        "standard_brix": result.standard_brix,
        "batch_brix": result.batch_brix,
        **advice_data(result),
        "drinks": [row_data(row) for row in result.rows],
        "not_pouring": [drink.id for drink in result.not_pouring],
        "others": [{"syrup": syrup, "brix": brix} for syrup, brix in result.others.items()],
    }


def advice_data(result: Rescale) -> dict[str, Any]:
    """What to do about a batch, its lines, and what would correct it."""
    return {
        "advice": result.advice.word,
        "reason": result.advice.reason,
        "conversions": conversions_data(result.conversions),
        "exceptions": [row.drink.id for row in result.exceptions],
        "correct": {"add": result.correct.add, "g_per_kg": result.correct.g_per_kg},
    }


def conversions_data(found: Iterable[Conversion]) -> list[dict[str, Any]]:
    """Written and new pours as JSON: in ml or in g, null in the other."""
    return [change_data(one.written, one.poured) for one in found]


def change_data(written: Amount, poured: Amount) -> dict[str, Any]:
    """A written and a new pour as JSON: in ml or in g, null in the other."""
    unit = written.unit
    other = "ml" if unit == "g" else "g"
    return {
        "unit": unit,
        f"spec_{unit}": written.value,
        f"poured_{unit}": poured.value,
        f"spec_{other}": None,
        f"poured_{other}": None,
    }


def exceptions_data(lines: BottleLines) -> dict[str, Any]:
    """The drinks that a bottle's lines are not for: with a pour of their own, and those that no pour is right for."""
    return {
        "own_pours": [
            {"drink": own.drink.id, "name": own.drink.name, **change_data(own.written, own.poured)}
            for own in lines.own_pours
        ],
        "ask": [{"drink": drink.id, "name": drink.name} for drink in (*lines.unreached, *lines.ask)],
    }


def row_data(row: DrinkRow) -> dict[str, Any]:
    """One drink and one batch as JSON. A weighed pour is told in g, and in ml of what is in the bottle."""
    low, high = row.flavour_percent or (None, None)
    amounts = {"spec": row.written, "exact": row.exact, "poured": row.poured}
    weights = {f"{name}_g": amount.value for name, amount in amounts.items()} if row.written.unit == "g" else {}
    return {
        "drink": row.drink.id,
        "name": row.drink.name,
        "verdict": row.verdict,
        "written_for_brix": row.written_brix,
        "pour": {f"{name}_ml": amount.ml(row.batch) for name, amount in amounts.items()}
        | {"unit": row.written.unit}
        | weights,
        "sugar_as_written_percent": row.as_written_percent,
        "sugar_after_percent": row.after_percent,
        "flavour_percent": {"low": low, "high": high},
        "mix_volume_change_ml": row.mix_change_ml,
        "served_volume_change_ml": row.served_change_ml,
        "could_be": None if row.could_be is None else list(row.could_be),
        "unknown": [{"ingredient": identity, "what": "sugar"} for identity in row.unknown_sugar],
    }
