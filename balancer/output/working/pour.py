"""The working of an answer, line by line, to follow with a pocket calculator.

Every line stands on numbers that the files or the command give, that are marked as table values, or that
are printed above it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from balancer.engine.service.pour import PourAnswer
from balancer.output.working.rescale import strength_steps, written_pour_steps


def pour_steps(answer: PourAnswer) -> list[str]:
    """The working of `pour`."""
    rounded = answer.rounded
    return [
        *strength_steps("standard", answer.standard_brix, answer.standard_density, answer.standard_sugar),
        *strength_steps("batch", answer.batch_brix, answer.batch_density, answer.batch_sugar),
        *written_pour_steps(
            rounded.spec_ml, answer.standard_sugar, answer.batch_sugar, rounded.exact_ml, rounded.poured_ml
        ),
    ]
