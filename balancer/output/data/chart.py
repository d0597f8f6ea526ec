"""`chart` as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from balancer.engine.prep.chart import Chart
from balancer.models.look import ENGLISH
from balancer.output.paper.chart_words import sentence
from balancer.output.paper.language import words_of


def chart_data(result: Chart, files: Sequence[Path] = (), left_off: Sequence[str] = ()) -> dict[str, Any]:
    """The JSON object of `chart`."""
    lines = result.lines
    ranges = (None, *result.ranges) if result.points else ()
    return {
        "syrup": result.syrup.id,
        "name": result.syrup.name,
        "says": result.word,
        "sentence": sentence(result, words_of(ENGLISH)),
        "standard_brix": result.target_brix,
        "tolerance_brix": result.tolerance_brix,
        "centre_brix": lines.centre if lines else None,
        "lower_brix": lines.lower if lines else None,
        "upper_brix": lines.upper if lines else None,
        "mean_range_brix": lines.mean_range if lines else None,
        "upper_range_brix": lines.upper_range if lines else None,
        "sigma_brix": lines.sigma if lines else None,
        "offset_brix": result.offset_brix,
        "sugar_g_per_kg": result.sugar_g_per_kg,
        "water_g_per_kg": result.water_g_per_kg,
        "moved": {"since": result.moved.since, "change_brix": result.moved.change_brix} if result.moved else None,
        "same_side": result.same_side,
        "out_of_tolerance": result.out_of_tolerance,
        "cause": result.cause,
        "makers": [
            {"by": maker.by, "batches": maker.batches, "offset_brix": maker.offset_brix} for maker in result.makers
        ],
        "batches": [
            {
                "batch": point.batch,
                "brix": point.brix,
                "range_brix": distance,
                "made": point.made.isoformat() if point.made else None,
                "by": point.by,
                "cause": point.cause,
                "outside": point.is_outside,
            }
            for point, distance in zip(result.points, ranges, strict=True)
        ],
        "svg": next((str(path) for path in files if path.suffix.casefold() == ".svg"), None),
        "files": [str(path) for path in files],
        "left_off": list(left_off),
    }
