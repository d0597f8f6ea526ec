"""`pour` as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from balancer.engine.service.pour import PourAnswer
from balancer.output.data.rescale import rounded_data


def pour_data(answer: PourAnswer) -> dict[str, Any]:
    """The JSON object of `pour`."""
    return {"verdict": answer.rounded.verdict, **rounded_data(answer.rounded)}
