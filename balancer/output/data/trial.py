"""`sheet test` as JSON."""

from __future__ import annotations

from typing import Any

from balancer.engine.swaps.trial import Trial
from balancer.output.data.against import against_data
from balancer.output.paper.sheet import PrintedSheet


def trial_data(trial: Trial, printed: PrintedSheet) -> dict[str, Any]:
    """The JSON object of `sheet test`: what `totals --against` has, and the page."""
    return {
        **printed.data,
        "compared": against_data(trial.result),
        "no_alcohol_before": trial.had_no_alcohol,
        "cautions_gained": [{"name": each.name, "text": each.text} for each in trial.cautions_gained],
    }
