"""Strips for the rail."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.cli import names
from balancer.cli.completion import BATCHES
from balancer.cli.options import Dpi, Night, PageFile
from balancer.cli.pages import choice, dots, page_file, page_kind, write_pages
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.engine.service.bottled import bottled
from balancer.engine.service.strips import strips
from balancer.engine.service.tonight import tonight
from balancer.output.data.strips import strips_data
from balancer.output.paper.fitting import Fitted, typeset_fitting
from balancer.output.paper.sheet import page_count
from balancer.output.paper.strips import LOST, STRIP_PAPERS, StripRun, paper_of, strips_page
from balancer.output.paper.typeset import TEMPLATES
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
    entries, known = desk.until(night)
    only = names.batches(known, desk.specs, batches) if batches else None
    found = strips(desk.bar, tonight(desk.bar, known, night, bottled(entries)), known, entries, only)
    fitted = Fitted([], {}, {})
    if found.strips:
        data = strips_page(found.strips, night, desk.specs, paper, by, desk.words)
        fitted = typeset_fitting(TEMPLATES / "strip.typ", data, kind, desk.at, LOST, desk.look, per_inch)
    written = write_pages(file, fitted.pages) if fitted.pages else []
    pages = page_count(fitted.pages, kind) if written else 0
    run = StripRun(found, paper, file, written, pages, fitted.dropped, fitted.unfit)
    desk.noticed += fitted.unfit.values()
    asked = [*(strip.batch for strip in found.strips), *(item.batch for item in found.without)]
    lost = desk.loaded.broken_pouring(*(batch.liquid for batch in asked))
    missing = [drink.name for drink in lost]
    return Answer(lambda: strips_text(run, desk.specs, missing), lambda: strips_data(run), touching=lost)
