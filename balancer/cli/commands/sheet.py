"""The sheets that hang on the wall: the rail, prep, allergens; and the one to taste a new spec by."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from balancer.asking import names
from balancer.cli.completion import OTHER_DRINKS
from balancer.cli.help import CommandSet
from balancer.cli.options import Dpi, DrinkNames, DrinkWords, UnitsText
from balancer.cli.pages import choice, dots, page_kind, write_pages
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.desk.printing.sheets import SheetOrder, menu_of, set_allergens, set_prep, set_rail
from balancer.output.data.allergens import allergens_data
from balancer.output.data.prep import prep_data
from balancer.output.data.rail import rail_data
from balancer.output.paper.card_lines import UNITS
from balancer.output.paper.imposition import PAPERS
from balancer.output.paper.printed_page import Format
from balancer.output.paper.rail import ORDERS
from balancer.output.paper.sheet import PrintedSheet, page_count
from balancer.output.screen.allergens import allergens_text
from balancer.output.screen.prep import prep_text
from balancer.output.screen.rail import rail_text

group = CommandSet("sheet", "What hangs on the wall: the rail, prep, allergens; a sheet to taste a new spec by.")

Out = Annotated[Path, typer.Option("--out", "-o", metavar="F", help="The file: .pdf, .png or .svg.")]
On = Annotated[str, typer.Option("--on", metavar="PAPER", help="a4 or letter.")]
Day = Annotated[str | None, typer.Option("--date", "-d", metavar="DATE", help="Another day, like 2026-11-25.")]


@group.command("rail")
@answering(lists=True)
def rail_command(
    desk: Desk,
    out: Out,
    drinks: DrinkNames = None,
    by: Annotated[str, typer.Option("--by", metavar="ORDER", help="name or family.")] = "name",
    units: UnitsText = None,
    on: On = "a4",
    dpi: Dpi = None,
) -> Answer:
    """Every drink in short form, for above the rail: the specs as written."""
    shown_units = desk.house.show if units is None else choice("--units", units, UNITS)
    order, paper, kind = choice("--by", by, ORDERS), choice("--on", on, PAPERS), page_kind(out)
    per_inch = dots(dpi, kind)
    chosen, lost = names.drinks(desk.loaded, drinks) if drinks else (menu_of(desk), desk.loaded.broken_of("drinks"))
    left_out = [entry.name or entry.id for entry in lost] if drinks else desk.loaded.left_out("drinks")
    shown, pages, missing = set_rail(desk, chosen, left_out, shown_units, order, SheetOrder(paper, kind, per_inch))
    printed = _written(desk, paper, pages, kind, out)
    return Answer(
        lambda: rail_text(shown, printed, missing),
        lambda: rail_data(shown, desk.house, desk.today, shown_units, printed, missing),
        touching=lost,
    )


@group.command("prep")
@answering(lists=True)
def prep_command(desk: Desk, out: Out, date: Day = None, on: On = "a4", dpi: Dpi = None) -> Answer:
    """What prep does today, with boxes to tick: discard, read, correct, open first, make."""
    day = desk.night(date)
    paper, kind = choice("--on", on, PAPERS), page_kind(out)
    per_inch = dots(dpi, kind)
    lost = desk.loaded.broken_of("syrups")
    (result, pages, missing), left_off = set_prep(desk, day, SheetOrder(paper, kind, per_inch))
    printed = _written(desk, paper, pages, kind, out)
    return Answer(
        lambda: prep_text(result, printed, missing, left_off),
        lambda: prep_data(result, desk.house, printed, missing, left_off),
        touching=lost,
    )


@group.command("allergens")
@answering(lists=True)
def allergens_command(desk: Desk, out: Out, on: On = "a4", dpi: Dpi = None) -> Answer:
    """Drinks against the allergens the house lists, and what nobody listed."""
    paper, kind = choice("--on", on, PAPERS), page_kind(out)
    per_inch = dots(dpi, kind)
    lost = desk.loaded.broken_of("drinks")
    table, pages, missing = set_allergens(desk, SheetOrder(paper, kind, per_inch))
    printed = _written(desk, paper, pages, kind, out)
    return Answer(
        lambda: allergens_text(table, printed, missing),
        lambda: allergens_data(table, desk.house, desk.today, printed, missing),
        touching=lost,
    )


@group.command("test")
@answering()
def trial_command(
    desk: Desk,
    drink: DrinkWords,
    out: Out,
    against: Annotated[
        str,
        typer.Option(
            "--against",
            metavar="DRINK",
            autocompletion=OTHER_DRINKS,
            help='The old one: another drink, FILE.yaml or FILE.yaml:NAME; "printed", its own card, if left out.',
        ),
    ] = "printed",
    on: On = "a4",
    dpi: Dpi = None,
) -> Answer:
    """A new spec beside the old one, to be tasted blind: what moved, what to taste first, room for notes."""
    from balancer.asking.against import other_drink  # noqa: PLC0415
    from balancer.cli.trial_pages import print_trial  # noqa: PLC0415 - not for the other sheets
    from balancer.engine.swaps.trial import trial  # noqa: PLC0415
    from balancer.output.data.trial import trial_data  # noqa: PLC0415
    from balancer.output.screen.trial import trial_text  # noqa: PLC0415

    paper = choice("--on", on, PAPERS)
    per_inch = dots(dpi, page_kind(out))
    new = names.drink(desk.loaded, " ".join(drink))
    theirs = other_drink(desk, against, new)
    result = trial(desk.bar, new, theirs.bar, theirs.drink, theirs.origin)
    printed = print_trial(desk, result, out, paper, per_inch)
    return Answer(
        lambda: trial_text(result, printed, desk.words),
        lambda: trial_data(result, printed),
        about=[new.id, *([theirs.drink.id] if theirs.origin.kind == "house" else [])],
    )


def _written(desk: Desk, paper: str, pages: list[bytes], kind: Format, out: Path) -> PrintedSheet:
    return PrintedSheet(paper, page_count(pages, kind), tuple(write_pages(desk, out, pages)))
