"""Every open batch against the menu."""

from __future__ import annotations

from balancer.cli.options import Everything, Night
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.engine.service.bottled import bottled
from balancer.engine.service.tonight import tonight
from balancer.output.data.tonight import tonight_data
from balancer.output.screen.tonight import tonight_text
from balancer.output.words.problems import house_words
from balancer.output.working.tonight import tonight_steps


@answering(steps=True)
def command(desk: Desk, date: Night = None, everything: Everything = False) -> Answer:
    """What everyone pours tonight: the open batches, the drinks that move, what to know."""
    night = desk.night(date)
    entries, batches = desk.until(night)
    result = tonight(desk.bar, batches, night, bottled(entries), entries)
    lost = desk.loaded.broken_pouring(*(batch.liquid for batch in result.now.usable))
    missing = [drink.name for drink in lost]
    of_house = house_words(desk.loaded.house_problems, is_lost=desk.loaded.house_lost)
    return Answer(
        lambda: tonight_text(result, desk.specs, everything=everything, missing=missing, of_house=of_house),
        lambda: tonight_data(result, desk.specs),
        lambda: tonight_steps(result),
        touching=lost,
    )
