"""Every open batch against the menu."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, Steps, answers, app


@app.command("tonight")
@answers
def tonight_command(
    date: Annotated[str | None, typer.Option("--date", metavar="DATE", help="Another night, like 2026-11-25.")] = None,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
    steps: Steps = False,
) -> None:
    """What everyone pours tonight: the open batches, the drinks that move, what to know."""
    from balancer.cli import clock
    from balancer.cli.bench import Bench
    from balancer.engine.service.bottled import bottled
    from balancer.engine.service.tonight import tonight
    from balancer.output.data.tonight import tonight_data
    from balancer.output.screen.tonight import tonight_text
    from balancer.output.working.tonight import tonight_steps

    bench = Bench(specs, as_json=as_json)
    night = clock.night(date, bench.house)
    bench.read(until=night)
    result = tonight(bench.bar, bench.before, night, bottled(bench.entries))
    working = tonight_steps(result) if steps else []
    bench.listed(tonight_text(result, bench.loaded.specs), tonight_data(result, bench.loaded.specs), working)
