"""A drink by the bottle."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, Steps, answers, app


@app.command("bottle")
@answers
def bottle_command(
    drink: Annotated[list[str], typer.Argument(metavar="DRINK", help="Its name, id, or the beginning of one.")],
    serves: Annotated[str | None, typer.Option("--serves", metavar="N", help="How many serves.")] = None,
    volume: Annotated[str | None, typer.Option("--volume", metavar="VOLUME", help="Or the vessel to fill.")] = None,
    batch: Annotated[
        str | None, typer.Option("--from", metavar="BATCH", help="The batch of its syrup that goes in.")
    ] = None,
    headspace: Annotated[
        str | None, typer.Option("--headspace", metavar="PERCENT", help="Of the vessel, left empty; 3 % if left out.")
    ] = None,
    log: Annotated[bool, typer.Option("--log", help="Note in the batch log which batch went in.")] = False,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
    steps: Steps = False,
) -> None:
    """A drink mixed beforehand, its ice's water poured in: every line by weight, its strength, will it freeze."""
    from balancer.cli.bench import Bench
    from balancer.cli.bottle import bottle_of, log_bottle
    from balancer.errors import UsageError
    from balancer.output.data.bottle import bottle_data
    from balancer.output.screen.bottle import bottle_text
    from balancer.output.working.bottle import bottle_steps

    if log and batch is None:
        raise UsageError("usage", "--log: nothing says which batch went in", "name it with --from")
    bench = Bench(specs, as_json=as_json)
    found = bench.loaded.specs.drinks[bench.find("drinks", " ".join(drink))]
    result = bottle_of(bench, found, serves, volume, batch, headspace)
    if log:
        log_bottle(bench, result)
    text = bottle_text(result, bench.house, bench.today, logged=log)
    data = bottle_data(result, bench.house, bench.today, logged=log)
    bench.answer(text, data, bottle_steps(result) if steps else [])
