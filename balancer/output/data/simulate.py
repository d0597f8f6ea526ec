"""`simulate` as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from balancer.engine.simulate.glasses import BINS
from balancer.engine.simulate.result import Courses, SimulatedDrink, SimulatedSyrup, Simulation
from balancer.models.look import ENGLISH
from balancer.output.paper.language import words_of
from balancer.output.paper.simulate_words import assumed


def simulate_data(result: Simulation, files: Sequence[Path] = (), left_off: Sequence[str] = ()) -> dict[str, Any]:
    """The JSON object of `simulate`."""
    return {
        "draws": result.draws,
        "seed": result.seed,
        "tolerance_percent": result.tolerance_percent,
        "out_percent": _courses(result.out),
        "standard_error_percent": _courses(result.by_chance),
        "mean_off_percent": _courses(result.off),
        "at_most": result.is_most,
        "syrups": [_syrup(one) for one in result.syrups],
        "drinks": [_drink(one) for one in result.drinks],
        "not_told": [
            {
                "drink": one.drink.id,
                "name": one.drink.name,
                "syrups": [syrup.id for syrup in one.syrups],
                "why": one.why or None,
            }
            for one in result.untold
        ],
        "too_few": [{"syrup": syrup.id, "name": syrup.name, "batches": number} for syrup, number in result.too_few],
        "without_syrup": [drink.id for drink in result.steady],
        "histogram": {
            "from_percent": -BINS,
            "to_percent": BINS,
            **{course: list(row) for course, row in zip(Courses._fields, result.bins, strict=True)},
        },
        "assumed": assumed(result, words_of(ENGLISH)),
        "files": [str(path) for path in files],
        "left_off": list(left_off),
    }


def _syrup(one: SimulatedSyrup) -> dict[str, Any]:
    return {
        "syrup": one.spread.syrup.id,
        "name": one.spread.syrup.name,
        "standard_brix": one.spread.standard_brix,
        "mean_brix": one.spread.mean_brix,
        "sd_brix": one.spread.sd_brix,
        "batches": one.spread.batches,
        "reading_uncertainty_brix": one.spread.reading_brix,
        "drinks": one.drinks,
        "out_percent": _courses(one.out),
        "batches_corrected_percent": one.outside,
        "batches_read_again_percent": one.doubtful,
    }


def _drink(one: SimulatedDrink) -> dict[str, Any]:
    return {
        "drink": one.drink.id,
        "name": one.drink.name,
        "syrups": [syrup.id for syrup in one.syrups],
        "out_percent": _courses(one.out),
        "mean_off_percent": _courses(one.off),
        "verdict_percent": dict(one.verdicts),
        "at_most": one.is_most,
    }


def _courses(figures: Courses) -> dict[str, float]:
    return figures._asdict()
