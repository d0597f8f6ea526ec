"""Sweeteners side by side."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, answers, app


@app.command("compare")
@answers
def compare_command(
    sweeteners: Annotated[
        list[str] | None, typer.Argument(metavar="SYRUP", help="Syrups or other sweeteners; every syrup if none.")
    ] = None,
    against: Annotated[
        str | None, typer.Option("--against", metavar="NAME", help="The house syrup; else the first without flavour.")
    ] = None,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
) -> None:
    """What 10 ml of each sweetener bring: sugar, acid, water, sweetness, and the ml of house syrup it equals."""
    from balancer.cli.bench import Bench
    from balancer.cli.swap import liquid_of
    from balancer.engine.swaps.compare import compare, open_strengths
    from balancer.errors import Problem
    from balancer.output.data.compare import compare_data
    from balancer.output.screen.compare import compare_text

    bench = Bench(specs, as_json=as_json)
    log_problems = bench.read()
    ids = [liquid_of(bench, text, "SYRUP") for text in sweeteners or ()]
    house = liquid_of(bench, against, "--against") if against else None
    result = compare(bench.bar, ids, house, open_strengths(bench.before))
    failed = [Problem("no-answer", why, "") for _, _, why in result.failed]
    bench.answer(compare_text(result), compare_data(result), [], [*log_problems, *failed])
