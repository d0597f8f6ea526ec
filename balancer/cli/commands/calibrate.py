"""A bar's own vessel constant."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, answers, app


@app.command("calibrate")
@answers
def calibrate_command(
    drink: Annotated[list[str], typer.Argument(metavar="DRINK", help="A drink with `weighed` in its spec.")],
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
) -> None:
    """How your tins and your ice chill. From one drink that was weighed before and after the ice."""
    from balancer.cli.desk import Desk
    from balancer.engine.drink.calibrate import calibrate
    from balancer.output.data.calibrate import calibrate_data
    from balancer.output.screen.calibrate import calibrate_text

    desk = Desk(specs, as_json=as_json)
    result = calibrate(desk.bar, desk.loaded.specs.drinks[desk.find("drinks", " ".join(drink))])
    desk.answer(calibrate_text(result), calibrate_data(result), [])
