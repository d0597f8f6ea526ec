"""A syrup's strength over its batches."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, answers, app


@app.command("chart")
@answers
def chart_command(
    syrup: Annotated[str, typer.Argument(metavar="SYRUP", help="Its name, id, or the beginning of one.")],
    out: Annotated[Path | None, typer.Option("--out", metavar="F.svg", help="Draw it into this file.")] = None,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
) -> None:
    """A syrup's strength batch by batch: always strong, always weak, up and down, or steady; and what to change."""
    from balancer.cli.bench import Bench
    from balancer.engine.prep.chart import chart
    from balancer.errors import UsageError
    from balancer.files.save import save
    from balancer.output.data.chart import chart_data
    from balancer.output.paper.chart_svg import chart_svg
    from balancer.output.screen.chart import chart_text

    if out is not None and out.suffix.casefold() != ".svg":
        raise UsageError("usage", f'--out: "{out}" is not the name of a drawing', "end it in .svg")
    bench = Bench(specs, as_json=as_json)
    source = bench.loaded.specs.syrups[bench.find("syrups", syrup)]
    bench.read()
    result = chart(source, bench.after, bench.house.batch_tolerance)
    if out is not None:
        save(out, chart_svg(result).encode())
    bench.listed(chart_text(result), chart_data(result, out))
