"""Every open batch against the menu."""

from __future__ import annotations

from balancer.asking.tonight import told_tonight
from balancer.cli.options import Everything, Night
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.output.screen.tonight import tonight_text
from balancer.output.words.problems import house_words
from balancer.output.working.tonight import tonight_steps


@answering(steps=True)
def command(desk: Desk, date: Night = None, everything: Everything = False) -> Answer:
    """What everyone pours tonight: the open batches, the drinks that move, what to know."""
    outcome = told_tonight(desk, date)
    result = outcome.result
    missing = [drink.name for drink in outcome.broken]
    of_house = house_words(desk.loaded.house_problems, is_lost=desk.loaded.house_lost)
    return Answer(
        lambda: tonight_text(result, desk.specs, everything=everything, missing=missing, of_house=of_house),
        outcome.data,
        lambda: tonight_steps(result),
        about=outcome.about,
        touching=outcome.touching,
    )
