"""The strength a new syrup should be made to."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.asking import names
from balancer.cli.completion import DRINKS, LIQUIDS, SYRUPS
from balancer.cli.options import ForTonight
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.desk.swapping import made_up, strengths
from balancer.engine.swaps.aim import aim
from balancer.engine.swaps.made_up import with_syrup
from balancer.errors import Problem, UsageError
from balancer.output.data.aim import aim_data
from balancer.output.screen.aim import aim_text
from balancer.output.working.aim import aim_steps


@answering(steps=True, lists=True)
def command(
    desk: Desk,
    syrup: Annotated[str, typer.Argument(metavar="SYRUP", autocompletion=SYRUPS, help="The syrup to make.")],
    old: Annotated[
        str, typer.Option("--for", metavar="OLD", autocompletion=LIQUIDS, help="What it should pour one for one for.")
    ],
    drinks: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="DRINK ...", autocompletion=DRINKS, help="In these drinks; in all that pour it if none."
        ),
    ] = None,
    tonight: ForTonight = False,
) -> Answer:
    """What strength and acid a syrup needs to pour one for one in place of another."""
    invented = made_up(syrup, "SYRUP")
    bar = desk.bar if invented is None else with_syrup(desk.bar, invented)
    syrup_id = names.syrup(desk.loaded, syrup) if invented is None else invented.id
    named, lost = names.drinks(desk.loaded, drinks or ())
    old_id = names.liquid(desk, old, "--for", [pour.of for drink in named for pour in drink.pours])
    if old_id == syrup_id:
        raise UsageError("usage", "SYRUP and --for are the same", "name two sweeteners")
    result = aim(bar, syrup_id, old_id, named, strengths(desk, tonight=tonight))
    failed = [Problem("no-answer", error.problems()[0].message, "") for _, error in result.failed]
    broken = lost if named else desk.loaded.broken_pouring(old_id)
    return Answer(
        lambda: aim_text(result, desk.house),
        lambda: aim_data(result),
        lambda: aim_steps(result),
        about=[old_id] if invented else [syrup_id, old_id],
        touching=[*failed, *broken],
    )
