"""`export` on the screen.

Numbers are not rounded, and a heading carries the unit. What is not known or not defined is an empty cell, never a
zero and never "none".
"""

from __future__ import annotations

from balancer.output.words.export import Export
from balancer.output.words.numbers import count
from balancer.output.words.page import page


def export_text(done: Export) -> str:
    """The answer of `export`."""
    counted = ", ".join(
        "1 batch" if (number, kind) == (1, "batches") else count(number, kind) for kind, number in done.counts.items()
    )
    rows = [f"not in it: {', '.join(done.left_out)}"] if done.left_out else []
    more = {
        "drinks": f"balancer import {done.out} reads it back into this house",
        "totals": "an empty cell is not known or not defined; balancer totals DRINK says more",
        "batches": "an empty cell is not known; balancer batch list",
        "log": "for DuckDB, Arrow and whatever else reads Parquet; what is missing is not known",
    }[done.what]
    return page(f"{counted} → {done.out}", rows, more)
