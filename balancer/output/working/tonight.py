"""The working of `tonight`."""

from __future__ import annotations

from balancer.engine.service.tonight import Tonight
from balancer.output.words.advice import ASSUMED
from balancer.output.working.rescale import rescale_steps


def tonight_steps(result: Tonight) -> list[str]:
    """The working of `tonight`: that of `rescale`, batch by batch."""
    lines: list[str] = []
    for item in result.batches:
        rescale = item.rescale
        if rescale.batch_brix != rescale.standard_brix or any(row.is_apart for row in rescale.rows):
            lines += [f"{item.batch.id} {item.rescale.syrup.name}", *rescale_steps(item.rescale), ""]
    for assumed in result.assumed:
        lines += [f"{assumed.syrup.name}, {ASSUMED}", *rescale_steps(assumed), ""]
    return lines[:-1]
