"""Every batch to the house standard."""

from __future__ import annotations

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, answers, app


@app.command("standardise")
@answers
def standardise_command(specs: Specs = DEFAULT_SPECS, as_json: AsJson = False) -> None:
    """What brings every batch in the house to its standard, in which order, and what to log then."""
    from balancer.cli.bench import Bench
    from balancer.engine.prep.standardise import standardise
    from balancer.output.data.standardise import standardise_data
    from balancer.output.screen.standardise import standardise_text

    bench = Bench(specs, as_json=as_json)
    bench.read()
    plan = standardise(bench.bar, bench.before, bench.today)
    bench.listed(standardise_text(plan), standardise_data(plan))
