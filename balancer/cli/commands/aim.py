"""The strength a new syrup should be made to."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, Steps, answers, app


@app.command("aim")
@answers
def aim_command(
    syrup: Annotated[str, typer.Argument(metavar="SYRUP", help="The syrup to make.")],
    old: Annotated[str, typer.Option("--for", metavar="OLD", help="What it should pour one for one for.")],
    drinks: Annotated[
        list[str] | None, typer.Argument(metavar="DRINK", help="In these drinks; in all that pour it if none.")
    ] = None,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
    steps: Steps = False,
) -> None:
    """The strength and acid to make a syrup to, so that it pours one for one in place of another."""
    from balancer.cli.desk import Desk
    from balancer.cli.swap import liquid_of
    from balancer.engine.swaps.aim import aim
    from balancer.errors import Problem, UsageError
    from balancer.output.data.aim import aim_data
    from balancer.output.screen.aim import aim_text
    from balancer.output.working.aim import aim_steps

    desk = Desk(specs, as_json=as_json)
    syrup_id = desk.find("syrups", syrup)
    named = desk.drinks(drinks) if drinks else []
    old_id = liquid_of(desk, old, "--for", [pour.of for drink in named for pour in drink.pours])
    if old_id == syrup_id:
        raise UsageError("usage", "SYRUP and --for are the same", "name two sweeteners")
    result = aim(desk.bar, syrup_id, old_id, named)
    failed = [Problem("no-answer", error.problems()[0].message, "") for _, error in result.failed]
    broken = () if named else desk.loaded.broken_pouring(old_id)
    working = aim_steps(result) if steps else []
    desk.answer(aim_text(result, desk.house), aim_data(result), working, [*failed, *broken])
