"""What the page prints: the same pages as the command line, set in memory."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from balancer.desk.desk import Desk
from balancer.desk.printing.batches import batch_labels, night_strips, set_chart, set_labels, set_strips
from balancer.desk.printing.cards import CardOrder, as_before, cards_of, noted_card, set_cards, way_of
from balancer.desk.printing.sheets import SheetOrder, menu_of, set_allergens, set_prep, set_rail
from balancer.engine.batch.notes import in_house
from balancer.engine.drink.card import Card
from balancer.engine.drink.withdraw import Withdrawal, withdraw
from balancer.engine.prep.chart import chart
from balancer.errors import CannotError, ProblemsError
from balancer.files.house.printed import read_printed
from balancer.models.printed import Printed
from balancer.output.paper.card_lines import CardWay
from balancer.output.paper.cards import SIZES as CARD_SIZES
from balancer.output.paper.imposition import PAPERS, Size, alone, impose
from balancer.output.paper.label_print import LabelPrint
from balancer.output.paper.label_sizes import SIZES as LABEL_SIZES
from balancer.output.paper.label_sizes import size_of
from balancer.output.paper.labels import batch_label
from balancer.output.paper.strips import paper_of
from balancer.output.screen.labels import refused_text

LABEL: Final = "62"
"""The roll that labels are printed on where nothing else is asked for, as on the command line."""


@dataclass(frozen=True, slots=True)
class Printing:
    """A PDF, and what is not on it that one would look for there; empty where there is nothing to print."""

    pdf: bytes
    name: str
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CardsNow:
    """The cards of the menu as they would be printed now.

    noted  as they are noted once they hang; found: which say something else than those that hang
    shown  stands for all of it: another one as soon as any card is
    ways   by drink: as the card is that hangs
    """

    cards: list[Card]
    noted: tuple[Printed, ...]
    found: Withdrawal
    shown: str
    ways: Mapping[str, CardWay]


def order_of(paper: str | None) -> CardOrder:
    """Cards of A6: a page each, or as many as fit on a paper, with cut marks."""
    size = CARD_SIZES["a6"]
    layout = alone(Size(*size.sheet)) if paper is None else impose(size.sheet, PAPERS[paper])
    if layout is None:
        raise CannotError("no-room", f"no {size.name} card fits on {paper}", "take another paper")
    return CardOrder("pdf", size, layout, paper)


def cards_now(desk: Desk, order: CardOrder) -> CardsNow:
    """The menu's cards. Raises ProblemsError where the house is broken: its units would be guessed."""
    if desk.loaded.house_problems:
        raise ProblemsError(desk.loaded.house_problems)
    made, there = cards_of(desk, menu_of(desk)), read_printed(desk.folder)
    ways = {one.drink.id: way_of(order, there.get(one.drink.id)) for one in made}
    noted = tuple(noted_card(desk, one, there.get(one.drink.id), ways[one.drink.id]) for one in made)
    contents = {one.drink.id: as_before(desk, one, there.get(one.drink.id), order) for one in made}
    menu = {*desk.specs.drinks, *(entry.id for entry in desk.loaded.broken_of("drinks"))}
    versions = {one.drink.id: one.drink.version for one in made}
    found = withdraw(there, contents, menu, everything=not desk.loaded.missing, versions=versions)
    told = repr([(one.drink, one.content, one.mark) for one in noted] + [one.drink for one in found.pull])
    return CardsNow(made, noted, found, hashlib.sha256(told.encode()).hexdigest(), ways)


def print_cards(desk: Desk, asked: Mapping[str, str]) -> Printing:
    """Cards: of all drinks, of one, or of those that changed."""
    order = order_of(asked.get("on"))
    now = cards_now(desk, order)
    drink = asked.get("drink")
    wanted = [one for one in now.cards if drink in (None, one.drink.id)]
    if "changed" in asked:
        wanted = [one for one in wanted if one.drink.id in now.found.changed]
    if not wanted:
        return Printing(b"", "cards.pdf", tuple(problem.message for problem in desk.noticed))
    marks = {one.drink: one.mark or "" for one in now.noted}
    day = None if desk.is_demo else desk.today
    _, pages = set_cards(desk, wanted, now.cards, order, day, marks, now.ways)
    left = [] if drink else desk.loaded.left_out("drinks")
    return _printing(desk, pages, f"card-{drink}.pdf" if drink else "cards.pdf", left)


def printable(desk: Desk, now: CardsNow, order: CardOrder) -> list[Printed]:
    """The cards that can be printed, as they are noted."""
    marks = {one.drink: one.mark or "" for one in now.noted}
    cards, _ = set_cards(desk, now.cards, now.cards, order, desk.today, marks, now.ways)
    there = {one.drink.id for one in cards}
    return [one for one in now.noted if one.drink in there]


def _strips(desk: Desk, asked: Mapping[str, str]) -> Printing:
    found = night_strips(desk, desk.today)
    fitted = set_strips(desk, found, desk.today, paper_of(asked.get("on", "a4")), None, "pdf")
    liquids = (batch.liquid for batch in (*(one.batch for one in found.strips), *(one.batch for one in found.without)))
    return _printing(desk, fitted.pages, "strips.pdf", _pouring(desk, liquids))


def _labels(desk: Desk, asked: Mapping[str, str]) -> Printing:
    found = batch_labels(desk, [*in_house(desk.batches)])
    texts = [batch_label(label, desk.today, desk.specs, desk.words) for label in found.labels]
    refused = [refused_text(one, desk.today) for one in found.refused]
    if not texts:
        return Printing(b"", "labels.pdf", tuple(refused))
    _, pages = set_labels(desk, LabelPrint(size_of(asked.get("size", LABEL)), 1, 0, ()), texts, "pdf")
    liquids = (label.item.batch.liquid for label in found.labels)
    return _printing(desk, pages, "labels.pdf", [*refused, *_pouring(desk, liquids)])


def _rail(desk: Desk, asked: Mapping[str, str]) -> Printing:
    left = desk.loaded.left_out("drinks")
    done = set_rail(desk, menu_of(desk), left, desk.house.show, "name", _sheet(asked))
    return _printing(desk, done.pages, "rail.pdf", done.missing)


def _prep(desk: Desk, asked: Mapping[str, str]) -> Printing:
    done, left_off = set_prep(desk, desk.today, _sheet(asked))
    return _printing(desk, done.pages, "prep.pdf", [*done.missing, *left_off])


def _allergens(desk: Desk, asked: Mapping[str, str]) -> Printing:
    done = set_allergens(desk, _sheet(asked))
    return _printing(desk, done.pages, "allergens.pdf", done.missing)


def _chart(desk: Desk, asked: Mapping[str, str]) -> Printing:
    syrup = desk.specs.syrups[asked["syrup"]]
    done = set_chart(desk, chart(syrup, desk.batches, desk.house.batch_tolerance), asked.get("on", "a4"), "pdf")
    return _printing(desk, done.pages, f"chart-{syrup.id}.pdf", done.left_off)


def _sheet(asked: Mapping[str, str]) -> SheetOrder:
    return SheetOrder(asked.get("on", "a4"), "pdf")


def _pouring(desk: Desk, liquids: Iterable[str]) -> list[str]:
    """Broken drinks that pour any of some liquids: what they need is not on the page."""
    return [one.name or one.id for one in desk.loaded.broken_pouring(*liquids)]


def _printing(desk: Desk, pages: list[bytes], name: str, missing: list[str]) -> Printing:
    told = [problem.message for problem in (*desk.noticed, *desk.look_problems)]
    return Printing(pages[0] if pages else b"", name, tuple(dict.fromkeys([*told, *missing])))


PAPERS_OF: Final[dict[str, Callable[[Desk, Mapping[str, str]], Printing]]] = {
    "cards": print_cards,
    "strips": _strips,
    "labels": _labels,
    "rail": _rail,
    "prep": _prep,
    "allergens": _allergens,
    "chart": _chart,
}
"""By the name in the address."""


def known(desk: Desk, asked: Mapping[str, str]) -> dict[str, str] | None:
    """What is asked for of a page, where all of it is known; None where something is not."""
    allowed = {"on": PAPERS, "size": LABEL_SIZES, "drink": desk.specs.drinks, "syrup": desk.specs.syrups}
    chosen = {name: text for name, text in asked.items() if name in allowed or name == "changed"}
    return chosen if all(name == "changed" or text in allowed[name] for name, text in chosen.items()) else None
