"""A bar's own vessel constant."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.asking import names
from balancer.cli.completion import DRINKS
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.engine.drink.calibrate import calibrate
from balancer.output.data.calibrate import calibrate_data
from balancer.output.screen.calibrate import calibrate_text


@answering()
def command(
    desk: Desk,
    drink: Annotated[
        list[str],
        typer.Argument(metavar="DRINK", autocompletion=DRINKS, help="A drink that was weighed, as its spec says."),
    ],
) -> Answer:
    """How your tins and your ice chill. From one drink that was weighed before and after the ice."""
    result = calibrate(desk.bar, names.drink(desk.loaded, " ".join(drink)))
    return Answer(lambda: calibrate_text(result), lambda: calibrate_data(result), about=[result.drink.id])
