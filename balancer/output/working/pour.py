"""The working of `pour`, line by line, to follow with a pocket calculator."""

from __future__ import annotations

from balancer.engine.service.pour import PourAnswer
from balancer.output.working.rescale import strength_steps, written_pour_steps


def pour_steps(answer: PourAnswer) -> list[str]:
    """The working of `pour`."""
    off = answer.off
    return [
        *strength_steps("standard", answer.standard_brix, answer.standard_density, answer.standard_sugar),
        *strength_steps("batch", answer.batch_brix, answer.batch_density, answer.batch_sugar),
        *written_pour_steps(off, answer.standard_sugar),
    ]
