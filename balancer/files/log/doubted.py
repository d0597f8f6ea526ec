"""What is doubted about the batches in the house: a strength or an acid that is rather a slip."""

from __future__ import annotations

from collections.abc import Iterable

from balancer.engine.batch.doubts import measured_doubt
from balancer.engine.batch.history import CLOSED, batch_key
from balancer.engine.batch.read_it import read_it
from balancer.engine.drink.bar import Bar
from balancer.errors import DOUBT, Problem
from balancer.files.log.batch_log import LogRead
from balancer.models.batch import Batch


def log_doubts(log: LogRead, known: Iterable[Batch], bar: Bar) -> tuple[Problem, ...]:
    """What is doubted about each batch that is not used up, as it was read last, at the line that says so.

    known  every batch of the log
    """
    told = [
        (batch, why)
        for batch in known
        if batch.state not in CLOSED and (why := measured_doubt(bar, batch.liquid, batch.brix, batch.acid))
    ]
    if not told:
        return ()
    said = {batch_key(entry.batch): index for index, entry in log.live() if entry.brix or entry.acid}
    problems = []
    for batch, why in told:
        index = said.get(batch_key(batch.id))
        if index is not None:
            word = '"acid"' if batch.liquid in bar.specs.ingredients else '"brix"'
            again = read_it(bar.specs.find_liquid(batch.liquid), batch.id, "read it again")
            remedy = f"a slip: balancer batch show {batch.id} has its number for balancer batch undo; else {again}"
            problems.append(log.problem(index, word, DOUBT, f"{batch.id}: {why}", remedy))
    return tuple(problems)
