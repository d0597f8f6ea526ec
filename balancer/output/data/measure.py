"""`measure` as JSON."""

from __future__ import annotations

from typing import Any

from balancer.engine.prep.measure import Judged
from balancer.engine.prep.readings import Proposal
from balancer.engine.service.rescale import Rescale
from balancer.engine.service.strips_moved import StripsMoved
from balancer.output.data.batches import labels_data, moved_data
from balancer.output.data.rescale import advice_data, row_data
from balancer.output.words.keeping import lost_text


def measure_data(judged: Judged, logged: str | None = None, moved: StripsMoved | None = None) -> dict[str, Any]:
    """The JSON object of `measure`."""
    measured = judged.measurement
    data = {
        "reading_brix": measured.readings.mean_brix,
        "read": [{"value": each.value, "scale": each.scale} for each in measured.readings.seen],
        "brix": measured.strength.value,
        "standard_uncertainty_brix": measured.strength.uncertainty,
        "corrections": measured.corrections._asdict(),
        "by_mixing": measured.by_mixing._asdict() if measured.by_mixing else None,
        "budget": {cause: abs(part) for cause, part in measured.strength.budget.items()},
        "warnings": [*measured.warnings, *lost_text(judged.in_store)],
        "proposal": _proposal(measured.proposal),
        "claimed_by_volume_brix": measured.claimed_brix,
        "batch": logged,
        "strips": moved_data(moved) if moved is not None else None,
        "labels": labels_data(moved) if moved is not None else None,
    }
    return data if judged.rescale is None else data | _meaning_data(judged, judged.rescale)


def _meaning_data(judged: Judged, result: Rescale) -> dict[str, Any]:
    return {
        "syrup": result.syrup.id,
        "name": result.syrup.name,
        "standard_brix": result.standard_brix,
        **advice_data(result),
        "drinks": [row_data(row) for row in result.rows],
        "others": [{"syrup": syrup, "brix": brix} for syrup, brix in result.others.items()],
        "near_edge": list(judged.near_edge),
        "standard_reading_brix": judged.at_standard_brix,
        "standard_diluted": _proposal(judged.at_standard),
    }


def _proposal(proposal: Proposal | None) -> dict[str, float] | None:
    return proposal._asdict() if proposal else None
