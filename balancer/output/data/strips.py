"""`strips` as JSON."""

from __future__ import annotations

from typing import Any

from balancer.engine.service.strips import Strip
from balancer.output.data.rescale import conversions_data, exceptions_data
from balancer.output.paper.strips import StripRun


def strips_data(run: StripRun) -> dict[str, Any]:
    """The JSON object of `strips`."""
    return {
        "date": run.result.night.isoformat(),
        "files": [str(path) for path in run.written],
        "paper": run.paper.word,
        "pages": run.pages,
        "strips": [_strip_data(strip, run) for strip in run.result.strips],
        "without": [
            {
                "batch": item.batch.id,
                "syrup": item.batch.liquid or None,
                "name": item.name,
                "why": item.why,
                "reason": item.reason or None,
                "allergens_gained": list(item.gained.allergens),
                "allergens_gained_unknown": item.gained.unknown,
            }
            for item in run.result.without
        ],
    }


def _strip_data(strip: Strip, run: StripRun) -> dict[str, Any]:
    return {
        "batch": strip.batch.id,
        "syrup": strip.batch.liquid,
        "name": strip.source.name,
        "printed": strip.batch.id not in run.unfit,
        "until": strip.until,
        "discard": strip.batch.discard.isoformat() if strip.batch.discard else None,
        "verified": strip.batch.verified,
        "conversions": conversions_data(strip.lines.conversions),
        "conversions_left_off": run.lost(strip, "pairs"),
        **exceptions_data(strip.lines),
        "own_pours_left_off": run.lost(strip, "own"),
        "ask_left_off": run.lost(strip, "ask") > 0,
        "notes_left_off": run.lost(strip, "notes"),
        "name_left_off": run.lost(strip, "syrup") > 0,
        "hangs_on": [
            {
                "batch": other.batch.id,
                "syrup": other.batch.liquid,
                "drinks": [{"drink": drink.id, "name": drink.name} for drink in other.drinks],
            }
            for other in strip.hangs_on
        ],
        "also_open": list(strip.also_open),
        "in_place_of": list(strip.gained.in_place_of),
        "allergens_gained": list(strip.gained.allergens),
        "allergens_gained_unknown": strip.gained.unknown,
        "allergens_unknown": strip.allergens_unknown,
    }
