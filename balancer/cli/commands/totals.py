"""What one drink holds."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, Steps, answers, app


@app.command("totals")
@answers
def totals_command(
    drink: Annotated[list[str], typer.Argument(metavar="DRINK", help="Its name, id, or the beginning of one.")],
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
    steps: Steps = False,
) -> None:
    """What a drink holds, before ice and in the glass. Volume, ABV, sugar, acid, alcohol, energy."""
    from balancer.cli.desk import Desk
    from balancer.engine.drink.totals import totals
    from balancer.output.data.totals import totals_data
    from balancer.output.screen.totals import totals_text
    from balancer.output.working.totals import totals_steps

    desk = Desk(specs, as_json=as_json)
    result = totals(desk.bar, desk.loaded.specs.drinks[desk.find("drinks", " ".join(drink))])
    working = totals_steps(result, desk.house) if steps else []
    desk.answer(totals_text(result, desk.house), totals_data(result), working)
