"""The working of `tonight`."""

from __future__ import annotations

from balancer.engine.service.tonight import Tonight
from balancer.output.working.rescale import rescale_steps


def tonight_steps(result: Tonight) -> list[str]:
    """The working of `tonight`: that of `rescale`, batch by batch."""
    lines: list[str] = []
    for item in result.batches:
        if item.rescale.batch_brix != item.rescale.standard_brix:
            lines += [f"{item.batch.id} {item.rescale.syrup.name}", *rescale_steps(item.rescale), ""]
    return lines[:-1]
