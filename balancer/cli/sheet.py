"""What `sheet` gathers, sets and writes."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any, NoReturn, TypeVar

from balancer.cli.bench import Bench
from balancer.cli.cards import cards_of
from balancer.cli.pages import page_kind, write_pages
from balancer.engine.drink.allergens import DrinkAllergens, allergen_table
from balancer.engine.drink.card import Card
from balancer.engine.prep.prep_list import prep
from balancer.errors import CannotError, ProblemsError
from balancer.files.house.load import Broken
from balancer.models.drink import Drink
from balancer.output.data.allergens import allergens_data
from balancer.output.data.prep import prep_data
from balancer.output.data.rail import rail_data
from balancer.output.paper.allergens import allergens_page
from balancer.output.paper.card_lines import Units
from balancer.output.paper.imposition import PAPERS
from balancer.output.paper.prep import prep_page
from balancer.output.paper.printed_page import Format
from balancer.output.paper.rail import Order, rail_page
from balancer.output.paper.sheet import Printed, page_count
from balancer.output.paper.typeset import TEMPLATES, UnprintableError, typeset
from balancer.output.screen.allergens import allergens_text
from balancer.output.screen.prep import prep_text
from balancer.output.screen.rail import in_order, rail_text
from balancer.output.words.numbers import count

_Thing = TypeVar("_Thing")


def rail_sheet(bench: Bench, names: list[str], units: Units, order: Order, paper: str, out: Path) -> NoReturn:
    """The menu, or the drinks named, in short form. Exit code 1 when one of them is missing from it."""
    kind = page_kind(out)
    lost = _named(bench, names) if names else bench.loaded.broken_of("drinks")
    drinks = bench.drinks(names) if names else _menu(bench)
    cards = cards_of(bench, drinks)
    made = {card.drink.id for card in cards}
    missing = [*(entry.name or entry.id for entry in lost), *(drink.name for drink in drinks if drink.id not in made)]

    def page(shown: list[Card], told: list[str]) -> dict[str, Any]:
        return rail_page(shown, bench.house, bench.today, units, order, PAPERS[paper], told)

    ordered = in_order(cards, order)
    shown, pages = _set(bench, "rail", page, ordered, missing, kind)
    missing += [card.drink.name for card in ordered if card not in shown]
    printed = _written(paper, pages, kind, out)
    data = rail_data(shown, bench.house, bench.today, units, printed, missing)
    bench.answer(rail_text(shown, printed, missing), data, [], lost)


def prep_sheet(bench: Bench, day: date, paper: str, out: Path) -> NoReturn:
    """The day's list for prep. Exit code 1 when lines of the log, a syrup or the house's own file could not be read."""
    kind = page_kind(out)
    bench.noticed += bench.read(until=day)
    result = prep(bench.bar, bench.before, day)
    lost = bench.loaded.broken_of("syrups")
    missing = [entry.name or entry.id for entry in lost]
    template = TEMPLATES / "prep.typ"
    try:
        pages = typeset(template, prep_page(result, bench.house, PAPERS[paper], missing), kind, bench.at)
    except UnprintableError:  # perhaps only because of names that prep can do without
        told = [count(len(missing), "syrups")] if missing else []
        page = prep_page(result, bench.house, PAPERS[paper], told, drinks=False)
        pages = typeset(template, page, kind, bench.at)
    printed = _written(paper, pages, kind, out)
    data = prep_data(result, bench.house, printed, missing)
    bench.answer(prep_text(result, printed, missing), data, [], lost)


def allergen_sheet(bench: Bench, paper: str, out: Path) -> NoReturn:
    """The menu against the allergens of the house. Exit code 1 when a drink is missing from it."""
    kind = page_kind(out)
    lost = bench.loaded.broken_of("drinks")
    table, missing = allergen_table(bench.bar, _menu(bench)), [entry.name or entry.id for entry in lost]

    def page(rows: list[DrinkAllergens], told: list[str]) -> dict[str, Any]:
        return allergens_page(table._replace(drinks=tuple(rows)), bench.house, bench.today, PAPERS[paper], told)

    shown, pages = _set(bench, "allergens", page, list(table.drinks), missing, kind)
    missing += [row.drink.name for row in table.drinks if row not in shown]
    table = table._replace(drinks=tuple(shown))
    printed = _written(paper, pages, kind, out)
    data = allergens_data(table, bench.house, bench.today, printed, missing)
    bench.answer(allergens_text(table, printed, missing), data, [], lost)


def _menu(bench: Bench) -> list[Drink]:
    """Every drink that loaded. Raises an error when there is none to print."""
    drinks = list(bench.loaded.specs.drinks.values())
    if not drinks and bench.loaded.broken_of("drinks"):
        raise ProblemsError(bench.loaded.problems)
    if not drinks:
        raise CannotError("nothing-to-print", "the menu has no drink", "write one into drinks/")
    return drinks


def _named(bench: Bench, names: list[str]) -> list[Broken]:
    found = [bench.loaded.broken_entry("drinks", name) for name in names]
    return [entry for entry in found if entry is not None]


def _set(
    bench: Bench,
    template: str,
    page: Callable[[list[_Thing], list[str]], dict[str, Any]],
    things: list[_Thing],
    missing: list[str],
    kind: Format,
) -> tuple[list[_Thing], list[bytes]]:
    """The pages, and what is on them. What cannot be printed is noticed, and the page says how much it is.

    Raises ProblemsError when nothing can.
    """
    told, left_out = missing, 0
    while True:
        data = page(things, told)
        head, *rows = data["items"]
        try:
            return things, typeset(TEMPLATES / f"{template}.typ", data, kind, bench.at)
        except UnprintableError as error:
            bench.noticed += error.problems()
            left = [thing for thing, row in zip(things, rows, strict=True) if row["name"] not in error.names]
            unnamed = head["name"] in error.names and told == missing and bool(missing)
            if not left or (len(left) == len(things) and not unnamed):
                raise ProblemsError(bench.noticed) from None
            left_out += len(things) - len(left) + (len(missing) if unnamed else 0)
            named = [] if unnamed else missing
            told, things = [*named, f"{count(left_out, 'drinks')} whose words this font cannot show"], left


def _written(paper: str, pages: list[bytes], kind: Format, out: Path) -> Printed:
    return Printed(paper, page_count(pages, kind), tuple(write_pages(out, pages)))
