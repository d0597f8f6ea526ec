"""What hangs on the wall: the rail, prep, allergens."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from functools import partial
from typing import Any, Generic, NamedTuple, TypeVar

from balancer.desk.desk import Desk
from balancer.desk.printing.cards import cards_of
from balancer.engine.drink.allergens import AllergenTable, DrinkAllergens, allergen_table
from balancer.engine.drink.card import Card
from balancer.engine.prep.prep_list import Prep, prep
from balancer.errors import CannotError, ProblemsError
from balancer.models.drink import Drink
from balancer.output.paper.allergens import allergens_page
from balancer.output.paper.card_lines import Units as ShownUnits
from balancer.output.paper.dots import PNG_DPI
from balancer.output.paper.fitting import typeset_standing_in
from balancer.output.paper.imposition import PAPERS
from balancer.output.paper.prep import prep_page
from balancer.output.paper.printed_page import Format
from balancer.output.paper.rail import rail_page
from balancer.output.paper.typeset import TEMPLATES, UnprintableError, typeset
from balancer.output.screen.rail import in_order

_Thing = TypeVar("_Thing")
_Shown = TypeVar("_Shown")


class SheetOrder(NamedTuple):
    """On which paper, a key of PAPERS, and as which kind of file."""

    paper: str
    kind: Format
    dpi: int = PNG_DPI


class SetSheet(NamedTuple, Generic[_Shown]):
    """A sheet: what is on it, its pages, and the names that are missing from it."""

    shown: _Shown
    pages: list[bytes]
    missing: list[str]


def menu_of(desk: Desk) -> list[Drink]:
    """Every drink that loaded. Raises an error when there is none to print."""
    drinks = list(desk.specs.drinks.values())
    if not drinks and desk.loaded.left_out("drinks"):
        raise ProblemsError(desk.loaded.problems)
    if not drinks:
        raise CannotError("nothing-to-print", "the menu has no drink", "write one into drinks/")
    return drinks


def set_rail(
    desk: Desk, chosen: Sequence[Drink], left_out: Sequence[str], units: ShownUnits, by: Any, order: SheetOrder
) -> SetSheet[list[Card]]:
    """The rail of some drinks. left_out: names that are known to be missing; by: name or family."""
    cards = cards_of(desk, chosen)
    made = {card.drink.id for card in cards}
    missing = [*left_out, *(drink.name for drink in chosen if drink.id not in made)]

    def page(shown: list[Card], told: list[str]) -> dict[str, Any]:
        return rail_page(shown, desk.house, desk.today, units, desk.words, by, PAPERS[order.paper], told)

    ordered = in_order(cards, by)
    shown, pages = _set(desk, "rail", page, ordered, missing, order)
    return SetSheet(shown, pages, [*missing, *(card.drink.name for card in ordered if card not in shown)])


def set_prep(desk: Desk, day: date, order: SheetOrder) -> tuple[SetSheet[Prep], list[str]]:
    """The day's list for prep, and the texts that the font could not show."""
    _, batches = desk.until(day)
    result = prep(desk.bar, batches, day)
    missing = desk.loaded.left_out("syrups")
    page = prep_page(result, desk.house, desk.words, PAPERS[order.paper], missing)
    told = partial(desk.words.count, "paper.left-off")
    done = typeset_standing_in(TEMPLATES / "prep.typ", page, order.kind, desk.at, told, desk.look, order.dpi)
    return SetSheet(result, done.pages, missing), done.left_off


def set_allergens(desk: Desk, order: SheetOrder) -> SetSheet[AllergenTable]:
    """Drinks against the allergens that the house lists."""
    table, missing = allergen_table(desk.bar, menu_of(desk)), desk.loaded.left_out("drinks")

    def page(rows: list[DrinkAllergens], told: list[str]) -> dict[str, Any]:
        shown = table._replace(drinks=tuple(rows))
        return allergens_page(shown, desk.house, desk.today, desk.words, PAPERS[order.paper], told)

    shown, pages = _set(desk, "allergens", page, list(table.drinks), missing, order)
    missing += [row.drink.name for row in table.drinks if row not in shown]
    return SetSheet(table._replace(drinks=tuple(shown)), pages, missing)


def _set(
    desk: Desk,
    template: str,
    page: Callable[[list[_Thing], list[str]], dict[str, Any]],
    things: list[_Thing],
    missing: list[str],
    order: SheetOrder,
) -> tuple[list[_Thing], list[bytes]]:
    """The pages, and what is on them. What cannot be printed is noticed, and the page says how much it is.

    Raises ProblemsError when nothing can.
    """
    told, left_out = missing, 0
    while True:
        data = page(things, told)
        head, *rows = data["items"]
        try:
            return things, typeset(TEMPLATES / f"{template}.typ", data, order.kind, desk.at, desk.look, order.dpi)
        except UnprintableError as error:
            desk.noticed += error.problems()
            left = [thing for thing, row in zip(things, rows, strict=True) if row["name"] not in error.names]
            unnamed = head["name"] in error.names and told == missing and bool(missing)
            if not left or (len(left) == len(things) and not unnamed):
                raise ProblemsError(desk.noticed) from None
            left_out += len(things) - len(left) + (len(missing) if unnamed else 0)
            named = [] if unnamed else missing
            told, things = [*named, desk.words.count("paper.unprintable", left_out)], left
