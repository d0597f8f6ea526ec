"""Every batch to the house standard."""

from __future__ import annotations

from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.engine.prep.standardise import standardise
from balancer.output.data.standardise import standardise_data
from balancer.output.screen.standardise import standardise_text


@answering(lists=True)
def command(desk: Desk) -> Answer:
    """What brings every batch in the house to its standard, in which order, and what to log then."""
    plan = standardise(desk.bar, desk.batches, desk.today)
    return Answer(lambda: standardise_text(plan), lambda: standardise_data(plan))
