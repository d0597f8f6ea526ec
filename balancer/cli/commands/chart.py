"""A syrup's strength over its batches."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from balancer.asking import names
from balancer.cli.completion import SYRUPS
from balancer.cli.options import Dpi, PageFile
from balancer.cli.pages import choice, dots, page_kind, write_pages
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.desk.printing.batches import set_chart
from balancer.engine.prep.chart import Chart, chart
from balancer.output.data.chart import chart_data
from balancer.output.paper.imposition import PAPERS
from balancer.output.screen.chart import chart_text


@answering(lists=True)
def command(
    desk: Desk,
    syrup: Annotated[
        str, typer.Argument(metavar="SYRUP", autocompletion=SYRUPS, help="Its name, id, or the beginning of one.")
    ],
    out: PageFile = None,
    on: Annotated[str, typer.Option("--on", metavar="PAPER", help="a4 or letter.")] = "a4",
    dpi: Dpi = None,
) -> Answer:
    """A syrup's strength batch by batch: always strong, always weak, up and down, or steady; and what to change."""
    source = desk.specs.syrups[names.syrup(desk.loaded, syrup)]
    result = chart(source, desk.batches, desk.house.batch_tolerance)
    files, left_off = _print(desk, result, out, on, dpi) if out is not None else (None, [])
    return Answer(lambda: chart_text(result, files, left_off), lambda: chart_data(result, files or [], left_off))


def _print(desk: Desk, result: Chart, out: Path, on: str, dpi: str | None) -> tuple[list[Path], list[str]]:
    """The files written, and what the font could not show."""
    kind, paper = page_kind(out), choice("--on", on, PAPERS)
    done = set_chart(desk, result, paper, kind, dots(dpi, kind))
    return write_pages(desk, out, done.pages), done.left_off
