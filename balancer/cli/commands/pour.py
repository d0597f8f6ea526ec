"""One pour, without files."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, BrixText, Specs, Steps, answers, app


@app.command("pour")
@answers
def pour_command(
    amount: Annotated[list[str], typer.Argument(metavar="POUR", help="The written pour, like 22.5ml or 3/4 oz.")],
    standard: Annotated[str, typer.Option("--standard", metavar="BRIX", help="Strength the spec is written for, °Bx.")],
    brix: BrixText,
    step: Annotated[str | None, typer.Option("--step", metavar="POUR", help="Smallest step of the jigger.")] = None,
    tolerance: Annotated[
        str | None, typer.Option("--tolerance", metavar="PERCENT", help="Change of sugar that may pass.")
    ] = None,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
    steps: Steps = False,
) -> None:
    """What to pour of a syrup that is off-strength. Needs no files; uses the house's ounce and steps if there."""
    from balancer.cli import values
    from balancer.cli.pour import house_of, print_pour
    from balancer.engine.service.pour import pour

    written = " ".join(amount)
    house, problems = house_of(specs, written)
    spec_ml = values.volume(written, "POUR", house.measures())
    answer = pour(
        spec_ml,
        values.brix(standard, "--standard"),
        values.brix(brix, "--brix"),
        values.volume(str(house.step) if step is None else step, "--step", house.measures()),
        house.tolerance if tolerance is None else values.tolerance(tolerance, "--tolerance"),
    )
    print_pour(answer, house, problems, as_json=as_json, steps=steps)
