"""The sheets that hang on the wall: the rail, prep, allergens; and the one to taste a new spec by."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Annotated, Any, TypeVar

import typer

from balancer.cli import names
from balancer.cli.completion import OTHER_DRINKS
from balancer.cli.help import CommandSet
from balancer.cli.options import Dpi, DrinkNames, DrinkWords, UnitsText
from balancer.cli.pages import cards_of, choice, dots, page_kind, write_pages
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.engine.drink.allergens import DrinkAllergens, allergen_table
from balancer.engine.drink.card import Card
from balancer.engine.prep.prep_list import prep
from balancer.errors import CannotError, ProblemsError
from balancer.models.drink import Drink
from balancer.output.data.allergens import allergens_data
from balancer.output.data.prep import prep_data
from balancer.output.data.rail import rail_data
from balancer.output.paper.allergens import allergens_page
from balancer.output.paper.card_lines import UNITS
from balancer.output.paper.fitting import typeset_standing_in
from balancer.output.paper.imposition import PAPERS
from balancer.output.paper.prep import prep_page
from balancer.output.paper.printed_page import Format
from balancer.output.paper.rail import ORDERS, rail_page
from balancer.output.paper.sheet import PrintedSheet, page_count
from balancer.output.paper.typeset import TEMPLATES, UnprintableError, typeset
from balancer.output.screen.allergens import allergens_text
from balancer.output.screen.prep import prep_text
from balancer.output.screen.rail import in_order, rail_text

group = CommandSet("sheet", "What hangs on the wall: the rail, prep, allergens; a sheet to taste a new spec by.")

Out = Annotated[Path, typer.Option("--out", "-o", metavar="F", help="The file: .pdf, .png or .svg.")]
On = Annotated[str, typer.Option("--on", metavar="PAPER", help="a4 or letter.")]
Day = Annotated[str | None, typer.Option("--date", "-d", metavar="DATE", help="Another day, like 2026-11-25.")]
_Thing = TypeVar("_Thing")


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
    chosen, lost = names.drinks(desk.loaded, drinks) if drinks else (_menu(desk), desk.loaded.broken_of("drinks"))
    cards = cards_of(desk, chosen)
    made = {card.drink.id for card in cards}
    left_out = [entry.name or entry.id for entry in lost] if drinks else desk.loaded.left_out("drinks")
    missing = [*left_out, *(drink.name for drink in chosen if drink.id not in made)]

    def page(shown: list[Card], told: list[str]) -> dict[str, Any]:
        return rail_page(shown, desk.house, desk.today, shown_units, desk.words, order, PAPERS[paper], told)

    ordered = in_order(cards, order)
    shown, pages = _set(desk, "rail", page, ordered, missing, kind, per_inch)
    missing += [card.drink.name for card in ordered if card not in shown]
    printed = _written(paper, pages, kind, out)
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
    _, batches = desk.until(day)
    result = prep(desk.bar, batches, day)
    lost = desk.loaded.broken_of("syrups")
    missing = desk.loaded.left_out("syrups")
    page = prep_page(result, desk.house, desk.words, PAPERS[paper], missing)
    told = partial(desk.words.count, "paper.left-off")
    done = typeset_standing_in(TEMPLATES / "prep.typ", page, kind, desk.at, told, desk.look, per_inch)
    printed = _written(paper, done.pages, kind, out)
    return Answer(
        lambda: prep_text(result, printed, missing, done.left_off),
        lambda: prep_data(result, desk.house, printed, missing, done.left_off),
        touching=lost,
    )


@group.command("allergens")
@answering(lists=True)
def allergens_command(desk: Desk, out: Out, on: On = "a4", dpi: Dpi = None) -> Answer:
    """Drinks against the allergens the house lists, and what nobody listed."""
    paper, kind = choice("--on", on, PAPERS), page_kind(out)
    per_inch = dots(dpi, kind)
    lost = desk.loaded.broken_of("drinks")
    table, missing = allergen_table(desk.bar, _menu(desk)), desk.loaded.left_out("drinks")

    def page(rows: list[DrinkAllergens], told: list[str]) -> dict[str, Any]:
        return allergens_page(
            table._replace(drinks=tuple(rows)), desk.house, desk.today, desk.words, PAPERS[paper], told
        )

    shown, pages = _set(desk, "allergens", page, list(table.drinks), missing, kind, per_inch)
    missing += [row.drink.name for row in table.drinks if row not in shown]
    printed_table = table._replace(drinks=tuple(shown))
    printed = _written(paper, pages, kind, out)
    return Answer(
        lambda: allergens_text(printed_table, printed, missing),
        lambda: allergens_data(printed_table, desk.house, desk.today, printed, missing),
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
    from balancer.cli.against import other_drink  # noqa: PLC0415
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


def _menu(desk: Desk) -> list[Drink]:
    """Every drink that loaded. Raises an error when there is none to print."""
    drinks = list(desk.specs.drinks.values())
    if not drinks and desk.loaded.left_out("drinks"):
        raise ProblemsError(desk.loaded.problems)
    if not drinks:
        raise CannotError("nothing-to-print", "the menu has no drink", "write one into drinks/")
    return drinks


def _set(
    desk: Desk,
    template: str,
    page: Callable[[list[_Thing], list[str]], dict[str, Any]],
    things: list[_Thing],
    missing: list[str],
    kind: Format,
    dpi: int,
) -> tuple[list[_Thing], list[bytes]]:
    """The pages, and what is on them. What cannot be printed is noticed, and the page says how much it is.

    Raises ProblemsError when nothing can.
    """
    told, left_out = missing, 0
    while True:
        data = page(things, told)
        head, *rows = data["items"]
        try:
            return things, typeset(TEMPLATES / f"{template}.typ", data, kind, desk.at, desk.look, dpi)
        except UnprintableError as error:
            desk.noticed += error.problems()
            left = [thing for thing, row in zip(things, rows, strict=True) if row["name"] not in error.names]
            unnamed = head["name"] in error.names and told == missing and bool(missing)
            if not left or (len(left) == len(things) and not unnamed):
                raise ProblemsError(desk.noticed) from None
            left_out += len(things) - len(left) + (len(missing) if unnamed else 0)
            named = [] if unnamed else missing
            told, things = [*named, desk.words.count("paper.unprintable", left_out)], left


def _written(paper: str, pages: list[bytes], kind: Format, out: Path) -> PrintedSheet:
    return PrintedSheet(paper, page_count(pages, kind), tuple(write_pages(out, pages)))
