"""`cards` on the screen."""

from __future__ import annotations

from datetime import date
from typing import Any

from balancer.engine.drink.card import Card
from balancer.models.days import day_text
from balancer.models.house import House
from balancer.models.printed import Printed
from balancer.output.paper.card_lines import Units, note
from balancer.output.paper.cards import CardRun, card_item
from balancer.output.paper.language import Words
from balancer.output.paper.printed_page import PAPER_NAMES, files_text
from balancer.output.words.numbers import count, some
from balancer.output.words.page import ROWS, page
from balancer.units import format_quantity


def card_content(card: Card, house: House, words: Words) -> dict[str, Any]:
    """What makes a card the same card as before: all it says, whatever paper it is on."""
    shown: Units = house.show
    return card_item(card, house, shown, words, extras=False) | {
        "pours": [[format_quantity(line.pour.amount), line.liquid.name, note(line, words)] for line in card.pours],
        "shown": shown,
        "ounce": house.ounce if shown == "oz" else None,
    }


def cards_text(run: CardRun) -> str:
    """The answer of `cards`: what was written, which old cards to throw away, whose allergens nobody knows."""
    rows = [_pull_row(card) for card in run.found.pull]
    if len(rows) > ROWS - 2:
        rest = run.found.pull[ROWS - 3 :]
        names = ", ".join(card.name for card in rest)
        rows = [*rows[: ROWS - 3], f"throw away {len(rest)} more old cards: {names}"]
    rows += _new_rows(run)
    unknown = [card.drink.name for card in run.cards if card.unknown]
    if unknown:
        rows.append(f"allergens not known for every pour of {some(unknown, 4)}; each card names them")
    if run.written and run.layout.inside:
        rows.append("cut at the ticks; some stand between the cards, where the paper has no edge to spare")
    more = ["balancer sheet allergens has the table"] if unknown else []
    more += ["a draft: not noted as printed"] if run.draft else ["--changed prints only what changes from now on"]
    more += ["guests' safety: local rules on allergens and raw egg come first"]
    kept = "" if run.kept is None else "\n".join(run.kept.shown("remembered: "))
    return page(_first(run), rows, "; ".join(more), kept)


def _first(run: CardRun) -> str:
    if not run.cards and run.left_out:
        return f"no card printed: {count(run.left_out, 'drinks')} left out, see below"
    if not run.cards:
        away = f"; throw away {count(len(run.found.pull), 'old cards')}" if run.found.pull else ""
        return f"no card has changed since it was printed: nothing to print{away}"
    left = f"; {count(run.left_out, 'drinks')} left out, see below" if run.left_out else ""
    cards = count(len(run.cards), "cards")
    where = f"{files_text(run.written)}{left}"
    if run.paper is None:
        return f"{cards}, {run.size.name} → {where}"
    pages = f"{count(run.pages, 'pages')} of {PAPER_NAMES[run.paper]}"
    return f"{cards}, {run.size.name}, {run.layout.up} to a page: {pages} → {where}"


def _new_rows(run: CardRun) -> list[str]:
    """The drinks that had no card before, where others had."""
    new = [card.drink.name for card in run.cards if card.drink.id in run.found.new]
    return [f"new: {', '.join(new)}"] if new and not run.found.is_first else []


def _pull_row(card: Printed) -> str:
    version = f" version {card.version}" if card.version else ""
    return f"throw away the old card {card.name}{version}, printed {day_text(date.fromisoformat(card.date))}"
