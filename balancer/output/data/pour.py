"""`pour` as JSON."""

from __future__ import annotations

from typing import Any

from balancer.engine.service.pour import PourAnswer


def pour_data(answer: PourAnswer) -> dict[str, Any]:
    """The JSON object of `pour`."""
    return {
        "verdict": answer.decision.verdict,
        "pour": {
            "spec_ml": answer.off.written.value,
            "exact_ml": answer.off.exact.value,
            "poured_ml": answer.poured.value,
            "unit": "ml",
        },
        "sugar_as_written_percent": answer.decision.as_written_percent,
        "sugar_after_percent": answer.decision.after_percent,
        "doubts": list(answer.doubts),
    }
