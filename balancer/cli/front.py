"""`balancer` alone: what is open tonight, or how to start."""

from __future__ import annotations

from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.engine.batch.notes import describe
from balancer.engine.service.bottled import bottled
from balancer.engine.service.tonight import tonight
from balancer.models.specs import Specs
from balancer.output.data.front import front_data
from balancer.output.screen.front import front_text, start_here_text
from balancer.output.words.problems import house_words

USUAL_SYRUP = "syrup"


@answering()
def command(desk: Desk) -> Answer:
    """What is open tonight, and what to type next."""
    if desk.found is None:
        return Answer(start_here_text, {"folder": None, "date": None, "batches": []})
    result = tonight(desk.bar, desk.batches, desk.today, bottled(desk.entries), desk.entries)
    open_ones = [describe(desk.bar, batch, desk.today) for batch in desk.batches if batch.state == "open"]
    syrup = _short_name(desk.specs, [item.batch.liquid for item in open_ones])
    demo = " --demo" if desk.is_demo else ""
    lost = desk.loaded.broken_pouring(*(batch.liquid for batch in result.now.usable))
    of_house = house_words(desk.loaded.house_problems, is_lost=desk.loaded.house_lost)
    return Answer(
        lambda: front_text(result, open_ones, syrup, demo, missing=[drink.name for drink in lost], of_house=of_house),
        lambda: front_data(desk.folder, result.night, open_ones),
        touching=lost,
    )


def _short_name(specs: Specs, liquids: list[str]) -> str:
    """The shortest word that means a syrup of the house, of those in use first; an example to type."""
    for identity in (*liquids, *specs.syrups):
        word = identity.partition("-")[0]
        if identity in specs.syrups:
            return word if specs.liquid_names.find(word) == [identity] else identity
    return USUAL_SYRUP
