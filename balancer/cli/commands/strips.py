"""Strips for the rail."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.asking import names
from balancer.cli.completion import BATCHES
from balancer.cli.options import Dpi, Night, PageFile
from balancer.cli.pages import choice, dots, page_file, page_kind, write_pages
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.desk.printing.batches import night_strips, set_strips
from balancer.output.data.strips import strips_data
from balancer.output.paper.sheet import page_count
from balancer.output.paper.strips import STRIP_PAPERS, StripRun, paper_of
from balancer.output.screen.strips import strips_text


@answering(lists=True)
def command(
    desk: Desk,
    batches: Annotated[
        list[str] | None,
        typer.Argument(metavar="BATCH ...", autocompletion=BATCHES, help="Only these; every open one if left out."),
    ] = None,
    out: PageFile = None,
    on: Annotated[
        str,
        typer.Option(
            "--on",
            metavar="PAPER",
            help="a4 or letter, with cut marks; receipt: an 80 mm roll; receipt58: a narrow one.",
        ),
    ] = "a4",
    by: Annotated[
        str | None, typer.Option("--by", metavar="INITIALS", help="Who prints them; a line to write on if left out.")
    ] = None,
    date: Night = None,
    dpi: Dpi = None,
) -> Answer:
    """A strip for every open bottle whose pours change tonight: what to pour instead, until it is empty."""
    file = page_file(out, "strips.pdf")
    night = desk.night(date)
    kind, paper = page_kind(file), paper_of(choice("--on", on, STRIP_PAPERS))
    per_inch = dots(dpi, kind)
    _, known = desk.until(night)
    found = night_strips(desk, night, names.batches(known, desk.specs, batches) if batches else None)
    fitted = set_strips(desk, found, night, paper, by, kind, per_inch)
    written = write_pages(desk, file, fitted.pages) if fitted.pages else []
    pages = page_count(fitted.pages, kind) if written else 0
    run = StripRun(found, paper, file, written, pages, fitted.dropped, fitted.unfit)
    asked = [*(strip.batch for strip in found.strips), *(item.batch for item in found.without)]
    lost = desk.loaded.broken_pouring(*(batch.liquid for batch in asked))
    missing = [drink.name for drink in lost]
    return Answer(
        lambda: strips_text(run, desk.specs, missing),
        lambda: strips_data(run),
        touching=lost,
        in_full=bool(fitted.unfit),
    )
