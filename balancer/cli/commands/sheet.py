"""The sheets that hang on the wall: the rail, prep, allergens."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, answers, app

sheet_app = typer.Typer(name="sheet", help="Print what hangs on the wall.", no_args_is_help=True, rich_markup_mode=None)
app.add_typer(sheet_app)

Out = Annotated[Path, typer.Option("--out", metavar="F", help="The file: .pdf, .png or .svg.")]
On = Annotated[str, typer.Option("--on", metavar="PAPER", help="a4 or letter.")]


@sheet_app.command("rail")
@answers
def rail_command(
    out: Out,
    drinks: Annotated[
        list[str] | None, typer.Argument(metavar="[DRINK]...", help="Which drinks; all if left out.")
    ] = None,
    by: Annotated[str, typer.Option("--by", metavar="ORDER", help="name or family.")] = "name",
    units: Annotated[
        str | None, typer.Option("--units", metavar="UNITS", help="ml, oz or both; the house's when left out.")
    ] = None,
    on: On = "a4",
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
) -> None:
    """Every drink in short form, for above the rail: the specs as written."""
    from balancer.cli.bench import Bench
    from balancer.cli.pages import choice
    from balancer.cli.sheet import rail_sheet
    from balancer.output.paper.card_lines import UNITS
    from balancer.output.paper.imposition import PAPERS
    from balancer.output.paper.rail import ORDERS

    bench = Bench(specs, as_json=as_json)
    shown = bench.house.show if units is None else choice("--units", units, UNITS)
    rail_sheet(bench, drinks or [], shown, choice("--by", by, ORDERS), choice("--on", on, PAPERS), out)


@sheet_app.command("prep")
@answers
def prep_command(
    out: Out,
    date: Annotated[str | None, typer.Option("--date", metavar="DATE", help="Another day, like 2026-11-25.")] = None,
    on: On = "a4",
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
) -> None:
    """What prep does today, with boxes to tick: throw out, read, correct, open first, make."""
    from balancer.cli import clock
    from balancer.cli.bench import Bench
    from balancer.cli.pages import choice
    from balancer.cli.sheet import prep_sheet
    from balancer.output.paper.imposition import PAPERS

    bench = Bench(specs, as_json=as_json)
    prep_sheet(bench, clock.night(date, bench.house), choice("--on", on, PAPERS), out)


@sheet_app.command("allergens")
@answers
def allergens_command(
    out: Out,
    on: On = "a4",
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
) -> None:
    """Drinks against the allergens the house lists, and what nobody listed."""
    from balancer.cli.bench import Bench
    from balancer.cli.pages import choice
    from balancer.cli.sheet import allergen_sheet
    from balancer.output.paper.imposition import PAPERS

    allergen_sheet(Bench(specs, as_json=as_json), choice("--on", on, PAPERS), out)
