"""Spec cards: set, and noted as printed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Final

from balancer.desk.desk import Desk
from balancer.engine.drink.card import Card, card
from balancer.errors import BalancerError, CannotError, Problem
from balancer.files.house.printed import content_of
from balancer.files.house.printed_spec import is_as_printed, is_written_as_printed, spec_to_keep
from balancer.models.drink import Drink
from balancer.models.print_mark import print_mark
from balancer.models.printed import Printed
from balancer.output.paper.card_content import card_content
from balancer.output.paper.card_lines import UNITS, CardWay
from balancer.output.paper.card_lines import Units as ShownUnits
from balancer.output.paper.cards import SIZES, CardSize, cards_page
from balancer.output.paper.dots import PNG_DPI
from balancer.output.paper.imposition import Imposition
from balancer.output.paper.printed_page import Format
from balancer.output.paper.typeset import TEMPLATES, Pages, UnprintableError, typeset

BUILT_IN: Final = TEMPLATES / "card.typ"


@dataclass(frozen=True, slots=True)
class CardOrder:
    """How cards are set: on which cards and sheet, in which units.

    paper     name of the sheet that holds several; None where every card is a page
    units     None for the house's
    template  as --template names it; None for the house's own, or the built-in one
    """

    kind: Format
    size: CardSize
    layout: Imposition
    paper: str | None = None
    units: ShownUnits | None = None
    template: Path | None = None
    dpi: int = PNG_DPI
    extras: bool = False

    @property
    def way(self) -> CardWay:
        """In which way cards are asked for."""
        return CardWay(self.units, self.extras)


def way_of(order: CardOrder, old: Printed | None) -> CardWay:
    """The way of the old card of a drink, but for what is asked for otherwise."""
    if old is None:
        return order.way
    return CardWay(order.units or _units(old.units), order.extras or old.extras)


def cards_of(desk: Desk, drinks: Iterable[Drink], *, is_told: bool = True) -> list[Card]:
    """The card of every drink that has one; is_told: the problems of those that have none are noticed."""
    made: list[Card] = []
    for drink in drinks:
        try:
            made.append(card(desk.bar, drink))
        except BalancerError as error:
            desk.noticed += error.problems() if is_told else ()
    return made


def set_cards(
    desk: Desk,
    cards: list[Card],
    menu: list[Card],
    order: CardOrder,
    day: date | None,
    marks: Mapping[str, str],
    ways: Mapping[str, CardWay] | None = None,
) -> tuple[list[Card], Pages]:
    """The cards that can be printed and their pages; why the others cannot is noticed.

    menu   every card of the house: the letters are as large as all of them allow, whichever are printed
    day    stands on them; None for a draft
    marks  by the drink's id, of the whole menu
    ways   by the drink's id, of what is printed in another way than the order's
    Where the house's own template cannot be set, that is told, and the built-in one takes its place.
    """
    template = order.template or desk.look.template or BUILT_IN
    while True:
        chosen = {one.drink.id for one in cards}
        others = [one for one in menu if one.drink.id not in chosen]
        data = cards_page(
            cards,
            desk.house,
            order.size,
            order.layout,
            order.units or desk.house.show,
            desk.words,
            day,
            marks,
            extras=order.extras,
            others=others,
            ways=_shown(desk, ways or {}),
        )
        try:
            return cards, typeset(template, data, order.kind, desk.at, desk.look, order.dpi)
        except UnprintableError as error:
            desk.noticed += [_within_sizes(problem, order.size) for problem in error.problems()]
            left = [one for one, item in zip(cards, data["items"], strict=True) if item["name"] not in error.names]
            if not left or len(left) == len(cards):
                return [], Pages()
            cards = left
        except CannotError as error:
            if error.code != "template" or template in {order.template, BUILT_IN}:
                raise
            desk.look_problems += error.problems()
            template = BUILT_IN


def _within_sizes(problem: Problem, size: CardSize) -> Problem:
    """Why a card cannot be printed; a larger size is only named where there is one."""
    if problem.code != "no-room" or any(size.letters < other.letters for other in SIZES.values()):
        return problem
    return replace(problem, remedy="shorten its texts")


def as_before(desk: Desk, card: Card, old: Printed | None, order: CardOrder) -> str:
    """The content of a card as it would be printed in the way of the old one: another way alone is no change."""
    if old is None:
        return _content(desk, card, order.way)
    if old.mark is None and is_as_printed(old, desk.loaded, card.drink):
        return old.content  # which was made from other parts before there were marks
    return _content(desk, card, CardWay(_units(old.units), old.extras))


def written_alike(desk: Desk, cards: Iterable[Card], out_there: Mapping[str, Printed]) -> set[str]:
    """Ids of the drinks that are written in the files as when their card was printed."""
    olds = ((card.drink, out_there.get(card.drink.id)) for card in cards)
    return {drink.id for drink, old in olds if old is not None and is_written_as_printed(old, desk.loaded, drink)}


def _units(asked: str | None) -> ShownUnits | None:
    return next((known for known in UNITS if known == asked), None)


def _shown(desk: Desk, ways: Mapping[str, CardWay]) -> dict[str, CardWay]:
    """The same with the units that they show."""
    return {drink: CardWay(way.units or desk.house.show, way.extras) for drink, way in ways.items()}


def _content(desk: Desk, card: Card, way: CardWay) -> str:
    return content_of(card_content(card, desk.house, way.units or desk.house.show, extras=way.extras))


def noted_card(desk: Desk, card: Card, old: Printed | None, way: CardWay) -> Printed:
    """A card as it is noted once it is printed that way. One that says what the old one says keeps its mark."""
    drink, content = card.drink, _content(desk, card, way)
    mark = old.mark if old is not None else None
    if old is None or mark is None or old.content != content:
        mark = print_mark(content, apart_from=mark)
    spec, day = spec_to_keep(desk.loaded, drink), desk.today.isoformat()
    return Printed(drink.id, drink.name, drink.version, day, content, spec, mark, way.units, way.extras)
