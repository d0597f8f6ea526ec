"""One off-strength syrup across the menu."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, BrixText, Specs, Steps, answers, app


@app.command("rescale")
@answers
def rescale_command(
    syrup: Annotated[str, typer.Option("--syrup", metavar="NAME", help="The syrup that is off-strength.")],
    brix: BrixText,
    drinks: Annotated[list[str] | None, typer.Argument(metavar="DRINK...", help="Only these drinks.")] = None,
    uncertainty: Annotated[
        str | None, typer.Option("--uncertainty", metavar="BRIX", help="Standard uncertainty of the strength.")
    ] = None,
    cause: Annotated[
        str | None, typer.Option("--cause", metavar="WHY", help="Why it is off: boiled, watered or sugar.")
    ] = None,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
    steps: Steps = False,
) -> None:
    """What each drink pours of a syrup that is off-strength. Says what to do about the batch, too."""
    from balancer.cli import values
    from balancer.cli.desk import Desk
    from balancer.engine.service.rescale import rescale
    from balancer.output.data.rescale import rescale_data
    from balancer.output.screen.rescale import rescale_text
    from balancer.output.working.rescale import rescale_steps

    strength = values.brix(brix, "--brix")
    desk = Desk(specs, as_json=as_json)
    syrup_id = desk.find("syrups", syrup)
    result = rescale(
        desk.bar,
        syrup_id,
        strength,
        desk.drinks(drinks) if drinks else None,
        uncertainty_brix=None if uncertainty is None else values.uncertainty(uncertainty, "--uncertainty"),
        cause=None if cause is None else values.cause(cause),
    )
    working = rescale_steps(result) if steps else []
    touching = () if drinks else desk.loaded.broken_pouring(syrup_id)
    desk.answer(rescale_text(result, desk.house), rescale_data(result), working, touching)
