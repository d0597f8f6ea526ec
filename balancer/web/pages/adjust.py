"""A drink made drier, sourer, stronger, lighter or larger: what to pour, what to taste first, what moved."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from balancer.engine.swaps.adjust import AdjustedDrink
from balancer.models.house import House
from balancer.output.screen.adjust import AS_WRITTEN, WEIGHED, missed_rows, not_had
from balancer.output.words.adjust import asked_words, goal_row, overflow_words, stronger_words, stuck_rows
from balancer.web.adjusting import WAYS, AskedAdjust, asked_adjust
from balancer.web.changed import ShownPourChange, ShownTaste, facts_of, pour_rows, show_change, shown_taste
from balancer.web.render import begun
from balancer.web.typed import untyped


@dataclass(frozen=True, slots=True)
class ShownAdjusted:
    """An adjusted drink.

    lead     what it should become; cannot: that this cannot be had, why_not what is the closest and in the way
    told     what to know before it is served
    goals    what was asked, a word and what came of it
    closest  that as written is the closest; heeds: what else to know
    is_sound whether it may be written
    """

    lead: str
    told: tuple[str, ...]
    cannot: str
    why_not: tuple[str, ...]
    rows: tuple[ShownPourChange, ...]
    goals: tuple[tuple[str, str], ...]
    taste: ShownTaste | None
    facts: tuple[tuple[str, str, str], ...]
    closest: str
    heeds: tuple[str, ...]
    is_sound: bool


def _page(request: Request) -> Response:
    asked = asked_adjust(request.app.state.house.desk(), dict(request.query_params))
    desk, drink = asked.desk, asked.drink
    return show_change(
        request,
        "adjust.html",
        asked,
        again=f"/adjust?{asked.query}" if drink else "/adjust",
        title=f"Adjust the {drink.name}, for the spec" if drink else "Adjust a drink",
        glasses=_glasses(asked),
        unit=desk.house.show,
        ways=[(way, said) for way, (said, _) in WAYS.items()],
        result=shown_adjusted(asked.result, desk.house) if asked.result else None,
    )


def _glasses(asked: AskedAdjust) -> list[tuple[str, str]]:
    """The glasses of the house, and the one that was typed, each with what it is called."""
    typed = asked.typed.text("glass")
    return [(each, each) for each in dict.fromkeys([*asked.desk.house.glasses, *([typed] if typed else [])])]


def shown_adjusted(result: AdjustedDrink, house: House) -> ShownAdjusted:
    """An adjusted drink in words."""
    asked = [goal.quantity for goal in result.goals if goal.asked]
    told = [overflow_words(result, house)] if result.feasible else []
    told += [stronger_words(result)] if result.feasible and result.is_stronger else []
    lead = asked_words(result.asked, house)
    return ShownAdjusted(
        lead=f"{begun(lead)}.",
        told=tuple(text.removeprefix("heed: ") for text in told if text),
        cannot="" if result.feasible else not_had(result),
        why_not=tuple(
            untyped(text) for text in (*missed_rows(result, house), *stuck_rows(result.missed, len(result.pours)))
        )
        if not result.feasible
        else (),
        rows=tuple(pour_rows(result.pours, result.drink, house)),
        goals=tuple(goal_row(goal, result, house) for goal in result.goals if goal.asked),
        taste=shown_taste(result.taste.besides(asked)) if result.feasible else None,
        facts=tuple(facts_of(result, house)),
        closest=AS_WRITTEN if result.feasible and not result.changed else "",
        heeds=(WEIGHED,) if result.drink.weighed is not None else (),
        is_sound=result.is_sound,
    )


ROUTES: Final = (Route("/adjust", _page),)
