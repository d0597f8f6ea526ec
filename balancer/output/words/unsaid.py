"""Words on a batch that the cards do not tell of: the same on the screen, on the page and in JSON."""

from __future__ import annotations

from balancer.engine.batch.contents import Gained, GainedIn, Unsaid
from balancer.engine.service.tonight import Tonight
from balancer.models.drink import Drink
from balancer.models.specs import Specs
from balancer.output.words.page import AnswerRow, act

PLACE_POURS = "its pours are in balancer swap"


def unsaid_rows(result: Tonight) -> list[AnswerRow]:
    """A row for each such batch: in the place of what, and what to tell of which drinks."""
    return [act(_row(one, result.menu.bar.specs)) for one in result.unsaid]


def unsaid_first(result: Tonight) -> list[str]:
    """What leads an answer, shortest: each such batch, and what the cards do not say."""
    return [f"{one.batch.id} {_short(one, result.menu.bar.specs)}" for one in result.unsaid]


def in_place_of(found: Gained, specs: Specs) -> str:
    """Whose place it has taken; empty where it is poured in its own drinks only."""
    names = ", ".join(map(specs.name_of, found.in_place_of))
    return f"in place of {names}" if names else ""


def logged_text(one: Unsaid, specs: Specs) -> str:
    """What to heed once it is open."""
    place = in_place_of(one.gained, specs)
    tell = [f"{_what(one.gained)}, not on the cards: tell the guest"] if one.gained.any else []
    return "; ".join([*([f"{place}: {PLACE_POURS}"] if place else []), *tell])


def in_drink_text(one: Unsaid, drink: Drink, specs: Specs) -> str:
    """What it brings into one drink; empty where it does not go into it, or its card says it all."""
    found, place = one.of(drink), in_place_of(one.gained, specs)
    if found is None:
        return ""
    told = f"{_what(found)}, not on the card: tell the guest" if found.any else ""
    if not place:
        return f"{_lead(one, specs)}: {told}" if told else ""
    return f"{_lead(one, specs)} {place}: {'; '.join([*([told] if told else []), PLACE_POURS])}"


def _row(one: Unsaid, specs: Specs) -> str:
    place = in_place_of(one.gained, specs)
    lead = f"{_lead(one, specs)}{f' {place}' if place else ''}"
    if not one.gained.any:
        return f"{lead}: {PLACE_POURS}"
    cards = ", ".join(drink.name for drink in one.gained.misled)
    told = f"{lead}: {_what(one.gained)} not on the card{'s' if len(one.gained.misled) > 1 else ''} of {cards}"
    return f"{told}; {PLACE_POURS}" if place else told


def _short(one: Unsaid, specs: Specs) -> str:
    return f"brings {_what(one.gained)}, not on the cards" if one.gained.any else in_place_of(one.gained, specs)


def _what(one: Gained | GainedIn) -> str:
    return " and ".join([*one.allergens, *(["unknown allergens"] if one.unknown else [])])


def _lead(one: Unsaid, specs: Specs) -> str:
    return f"{one.batch.id} {specs.name_of(one.batch.liquid)}"
