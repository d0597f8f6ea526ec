"""`prep` as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from balancer.engine.batch.notes import BatchNow
from balancer.engine.prep.correct import Correction
from balancer.engine.prep.prep_list import Addition, Prep, ToMake, addition
from balancer.models.house import House
from balancer.output.paper.sheet import PrintedSheet
from balancer.units import Quantity


def prep_data(
    result: Prep, house: House, printed: PrintedSheet, missing: Sequence[str], left_off: Sequence[str] = ()
) -> dict[str, Any]:
    """The JSON object of `sheet prep`: a row for everything to do with a batch, and what to make."""
    rows = [_batch("throw out", item) for item in result.take_out]
    rows += [_batch("throw out", task.item, reason=task.why) for task in result.far]
    rows += [_batch("last day", item.item, no_other=item.last, make_more=item.make_more) for item in result.ending]
    rows += [_batch("read", item.task.item, reason=item.task.why, shows=_shown(item.shows)) for item in result.read]
    rows += [
        _batch("correct", task.item, add=_added(extra), shows=_shown(task.corrected.best if task.corrected else None))
        for task in result.correct
        if (extra := addition(task))
    ]
    rows += [
        _batch(
            "open",
            item.item,
            use_up_first=[batch.id for batch in item.before],
            use_up_before=[batch.id for batch in item.overtakes],
        )
        for item in result.waiting
    ]
    rows += [_batch("leave", task.item) for task in result.leave]
    return {
        "sheet": "prep",
        "date": result.today.isoformat(),
        "house": house.name,
        **printed.data,
        "batches": rows,
        "make": [_made(item) for item in result.make],
        "not_known": [batch.id for batch in result.strangers],
        "missing": list(missing),
        "left_off": list(left_off),
    }


def _batch(todo: str, item: BatchNow, **more: Any) -> dict[str, Any]:
    batch = item.batch
    return {
        "todo": todo,
        "batch": batch.id,
        "liquid": batch.liquid,
        "name": item.name,
        "state": batch.state,
        "discard": batch.discard.isoformat() if batch.discard else None,
        "brix": batch.brix,
        "standard_brix": item.standard_brix,
        "reason": None,
        "add": None,
        "shows": None,
        "use_up_first": [],
        "use_up_before": [],
        "no_other": None,
        "make_more": None,
    } | more


def _added(extra: Addition) -> dict[str, Any]:
    return {
        "name": extra.name,
        "g_per_kg": extra.per_kg_g,
        "first_g_per_kg": extra.first_per_kg_g,
        "mass_g": extra.mass_g,
        "all_g": extra.all_g,
        "first_g": extra.first_g,
    }


def _shown(best: Correction | None) -> dict[str, Any]:
    """What the instrument shows undiluted, and the dilution to read instead where its scale ends before."""
    diluted = best.final_diluted if best else None
    return {
        "reading_brix": best.final_reading_brix if best else None,
        "sample_g": diluted.sample_g if diluted else None,
        "water_g": diluted.water_g if diluted else None,
        "diluted_reading_brix": diluted.reads_brix if diluted else None,
    }


def _made(item: ToMake) -> dict[str, Any]:
    syrup, result = item.syrup, item.result
    if result:
        parts = [_part_data(part.liquid.name, part.amount, part.mass_g) for part in result.items]
    else:
        parts = [_part_data(part.of, part.amount, None) for part in syrup.recipe]
    return {
        "syrup": syrup.id,
        "name": syrup.name,
        "drinks": list(item.drinks),
        "runs_out": item.runs_out.isoformat() if item.runs_out else None,
        "parts": parts,
        "reason": item.trouble or None,
        "mass_g": result.mass_g if result else None,
        "volume_ml": result.volume_ml if result else None,
        "brix": result.brix if result else None,
        "high_brix": result.high_brix if result else None,
        "lower_bound": result.is_lower_bound if result else None,
        "shows": _shown(item.shows),
        "discard": item.use_by.isoformat() if item.use_by else None,
        "allergens": list(item.contains),
        "unknown": list(item.unknown),
        "acid_powder": item.has_powder,
        "cautions": [{"name": name, "text": text} for name, text in item.cautions],
        "note": syrup.note,
    }


def _part_data(name: str, amount: Quantity, mass_g: float | None) -> dict[str, Any]:
    return {"name": name, "amount": {"value": amount.value, "unit": amount.unit}, "mass_g": mass_g}
