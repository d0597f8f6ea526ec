"""One off-strength syrup across the menu."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.asking.rescale import rescaled
from balancer.cli.completion import DRINKS, SYRUPS
from balancer.cli.options import Alone, BrixNow, CauseText, Everything, Uncertainty, Yes
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.output.screen.rescale import rescale_text
from balancer.output.working.rescale import rescale_steps


@answering(steps=True)
def command(
    desk: Desk,
    syrup: Annotated[
        str,
        typer.Option("--syrup", "-s", metavar="NAME", autocompletion=SYRUPS, help="The syrup that is off-strength."),
    ],
    brix: BrixNow,
    drinks: Annotated[
        list[str] | None, typer.Argument(metavar="DRINK ...", autocompletion=DRINKS, help="Only these drinks.")
    ] = None,
    uncertainty: Uncertainty = None,
    cause: CauseText = None,
    alone: Alone = False,
    everything: Everything = False,
    yes: Yes = False,
) -> Answer:
    """What each drink pours of a syrup that is off-strength. Says what to do about the batch, too."""
    outcome = rescaled(desk, syrup, brix, drinks or (), uncertainty=uncertainty, cause=cause, alone=alone, is_meant=yes)
    result = outcome.result
    past = () if alone else desk.in_use.past_of(result.syrup.id)
    return Answer(
        lambda: rescale_text(result, desk.house, everything=everything, past=past, today=desk.today),
        outcome.data,
        lambda: rescale_steps(result),
        about=outcome.about,
        touching=outcome.touching,
    )
