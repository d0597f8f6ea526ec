"""`strips` as JSON."""

from __future__ import annotations

from math import ceil
from typing import Any

from balancer.engine.service.strips import Conversion, Strip
from balancer.models.specs import Specs
from balancer.output.paper.strips import StripRun, shown_lines


def strips_data(run: StripRun, specs: Specs) -> dict[str, Any]:
    """The JSON object of `strips`."""
    return {
        "date": run.result.night.isoformat(),
        "files": [str(path) for path in run.written],
        "paper": run.paper.word,
        "pages": ceil(len(run.printed) / run.paper.layout.up),
        "strips": [_strip_data(strip, run, specs) for strip in run.result.strips],
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


def _strip_data(strip: Strip, run: StripRun, specs: Specs) -> dict[str, Any]:
    left = shown_lines(strip, specs.house, run.paper)[2] + run.lost(strip, "pairs")
    return {
        "batch": strip.batch.id,
        "syrup": strip.batch.liquid,
        "name": strip.source.name,
        "printed": strip.batch.id not in run.unfit,
        "until": strip.until,
        "discard": strip.batch.discard.isoformat() if strip.batch.discard else None,
        "verified": strip.batch.verified,
        "conversions": [conversion_data(one) for one in strip.conversions],
        "conversions_left_off": left,
        "own_pours": [
            {"drink": own.drink.id, "name": own.drink.name, **conversion_data(own.pour)} for own in strip.own_pours
        ],
        "ask": [{"drink": drink.id, "name": drink.name} for drink in strip.ask],
        "own_pours_left_off": run.lost(strip, "own"),
        "ask_left_off": run.lost(strip, "ask") > 0,
        "also_open": list(strip.also_open),
        "in_place_of": list(strip.gained.in_place_of),
        "allergens_gained": list(strip.gained.allergens),
        "allergens_gained_unknown": strip.gained.unknown,
        "allergens_unknown": strip.allergens_unknown,
    }


def conversion_data(one: Conversion) -> dict[str, Any]:
    """A written and a new pour as JSON: in ml or in g, null in the other."""
    unit, other = ("g", "ml") if one.in_grams else ("ml", "g")
    return {f"spec_{unit}": one.spec, f"poured_{unit}": one.poured, f"spec_{other}": None, f"poured_{other}": None}
