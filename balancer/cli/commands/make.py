"""A syrup's recipe, scaled and solved."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, Steps, answers, app


@app.command("make")
@answers
def make_command(  # noqa: PLR0913, PLR0917 - one argument an option
    syrup: Annotated[str, typer.Argument(metavar="SYRUP", help="The syrup; with --acid, also a juice.")],
    mass: Annotated[str | None, typer.Option("--mass", metavar="MASS", help="How much to make, like 2kg.")] = None,
    volume: Annotated[str | None, typer.Option("--volume", metavar="VOLUME", help="Or how much, like 2l.")] = None,
    container: Annotated[
        str | None,
        typer.Option("--container", metavar="VOLUME", help="What it must fit in; alone: fill it."),
    ] = None,
    strength: Annotated[
        str | None, typer.Option("--strength", metavar="BRIX", help="Bring the recipe to this strength, °Bx.")
    ] = None,
    have: Annotated[
        list[str] | None, typer.Option("--have", metavar="AMOUNT", help='What there is, like "500 g raspberries".')
    ] = None,
    acid: Annotated[
        str | None, typer.Option("--acid", metavar="ACID", help="Bring it to this acid with powder, like 45g/l.")
    ] = None,
    bulk_density: Annotated[
        str | None, typer.Option("--bulk-density", metavar="DENSITY", help="What a ml of the dry part weighs.")
    ] = None,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
    steps: Steps = False,
) -> None:
    """What a syrup's recipe gives, and its weights for a mass, a volume, a strength or what there is."""
    from balancer.cli.desk import Desk
    from balancer.cli.make import bulk_of, source_of, wanted_of
    from balancer.engine.prep.make import make
    from balancer.output.data.make import make_data
    from balancer.output.screen.make import make_text
    from balancer.output.working.make import make_steps

    desk = Desk(specs, as_json=as_json)
    wanted = wanted_of(desk.house, mass, volume, container, strength, have or [], acid)
    source = source_of(desk, syrup, wanted)
    result = make(desk.bar, source, wanted, bulk_g_per_ml=bulk_of(bulk_density))
    working = make_steps(result, desk.house) if steps else []
    desk.answer(make_text(result, desk.house), make_data(result), working)
