"""One off-strength syrup across the menu."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.cli import names
from balancer.cli.completion import DRINKS, SYRUPS
from balancer.cli.options import Alone, BrixNow, CauseText, Everything, Uncertainty, Yes
from balancer.cli.runner import Answer, answering
from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.engine.batch.doubts import measured_doubt
from balancer.engine.service.rescale import rescale
from balancer.output.data.rescale import rescale_data
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
    strength = values.brix(brix, "--brix")
    syrup_id = names.syrup(desk.loaded, syrup)
    desk.believe([measured_doubt(desk.bar, syrup_id, strength, None)], is_meant=yes)
    only, lost = names.drinks(desk.loaded, drinks or ())
    result = rescale(
        desk.bar,
        syrup_id,
        strength,
        only or None,
        uncertainty_brix=None if uncertainty is None else values.uncertainty(uncertainty, "--uncertainty"),
        cause=None if cause is None else values.cause(cause),
        others={} if alone else desk.in_use.strengths,
    )
    past = () if alone else desk.in_use.past_of(syrup_id)
    return Answer(
        lambda: rescale_text(result, desk.house, everything=everything, past=past, today=desk.today),
        lambda: rescale_data(result),
        lambda: rescale_steps(result),
        about=[syrup_id, *(row.drink.id for row in result.rows)],
        touching=lost if drinks else desk.loaded.broken_pouring(syrup_id),
    )
