"""What one drink holds."""

from __future__ import annotations

from balancer.cli import names
from balancer.cli.desk import Desk
from balancer.cli.options import DrinkWords
from balancer.cli.runner import Answer, answering
from balancer.engine.drink.totals import totals
from balancer.output.data.totals import totals_data
from balancer.output.screen.totals import totals_text
from balancer.output.working.totals import totals_steps


@answering(steps=True, lists=True)
def command(desk: Desk, drink: DrinkWords) -> Answer:
    """What a drink holds, before ice and in the glass. Volume, ABV, sugar, acid, alcohol, energy."""
    result = totals(desk.bar, names.drink(desk.loaded, " ".join(drink)))
    return Answer(
        lambda: totals_text(result, desk.house),
        lambda: totals_data(result),
        lambda: totals_steps(result, desk.house),
        about=[result.drink.id],
    )
