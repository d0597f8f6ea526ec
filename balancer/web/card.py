"""A drink's spec as its page shows it: what its printed card tells, and what it holds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from balancer.desk.desk import Desk
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.card import Card, card
from balancer.models.drink import Drink
from balancer.models.look import ENGLISH
from balancer.output.paper.cards import caution_texts
from balancer.output.paper.language import words_of
from balancer.output.screen.totals import content_facts, held_text, unknown_facts, written_for_facts

WRITTEN: Final = "written"
"""What in the address of a drink says that it was just written: as a new one, or changed."""
NEW: Final = "new"
CHANGED: Final = "changed"


@dataclass(frozen=True, slots=True)
class ShownCard:
    """A spec without its pours.

    facts    how it is made and served, a word and a text each; steps in order
    listed   allergens that the house names; unknown: what nobody listed any of; none: what to say of none
    told     what is counted of its allergens and what is not
    cautions what is to be said with it
    lead     what it holds in a line, totals the rest of that
    written  the strengths that its pours are for, where those are not the standards
    doubts   what is odd about its file
    """

    facts: tuple[tuple[str, str], ...]
    steps: tuple[str, ...]
    listed: tuple[str, ...]
    unknown: tuple[str, ...]
    none: str
    told: str
    cautions: tuple[str, ...]
    lead: str
    totals: tuple[tuple[str, str], ...]
    written: tuple[str, ...]
    notes: tuple[str, ...]
    doubts: tuple[str, ...]


def shown_card(desk: Desk, bar: Bar, drink: Drink) -> ShownCard:
    """The spec of a drink."""
    found, words = card(bar, drink), words_of(ENGLISH)
    paper = words.section("paper")
    result = found.totals
    return ShownCard(
        facts=tuple(_facts(drink)),
        steps=drink.steps,
        listed=found.allergens,
        unknown=found.unknown,
        none="" if found.allergens or found.unknown else paper["none-listed"],
        told=paper["garnish-not-counted"] if drink.garnish else "",
        cautions=tuple(caution_texts(found.cautions, words)),
        lead=held_text(result, desk.house),
        totals=(*content_facts(result, desk.house), *unknown_facts(result)),
        written=tuple(text for _, text in written_for_facts(result)),
        notes=(*_on_top(found), *drink.notes),
        doubts=tuple(dict.fromkeys(problem.message for problem in desk.doubts([drink.id]))),
    )


def _facts(drink: Drink) -> list[tuple[str, str]]:
    said = [
        ("method", ", ".join(part for part in (drink.method, drink.time) if part)),
        ("ice", drink.ice),
        ("strain", drink.strain),
        ("glass", drink.glass),
        ("with", ", ".join(drink.extras)),
        ("garnish", drink.garnish),
        ("family", drink.family),
        ("spec", spec_text(drink)),
    ]
    return [(word, text) for word, text in said if text]


def spec_text(drink: Drink) -> str:
    """Which version of the spec it is, of when, and whose."""
    version = f"version {drink.version}" if drink.version else None
    return ", ".join(part for part in (version, drink.date, f"by {drink.by}" if drink.by else None) if part)


def _on_top(found: Card) -> list[str]:
    """What goes in after the ice."""
    tops = [pour.liquid.name for pour in found.pours if pour.is_top]
    return [f"{', '.join(tops)}: on top, after the ice"] if tops else []
