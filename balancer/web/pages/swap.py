"""One sweetener or sour of a drink replaced by another: what to pour, what to taste first, what moved."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from balancer.engine.service.drink_tonight import drink_tonight
from balancer.engine.swaps.across import sour_stand_ins, stand_ins
from balancer.engine.swaps.at import offered, past_syrups
from balancer.engine.swaps.search import QUANTITIES
from balancer.engine.swaps.swap import Swap
from balancer.errors import BalancerError
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.output.screen.fits import RANKED, fit_moves, fit_pour, heed_text
from balancer.output.screen.swap import SOURS_RANKED, STAND_INS_RANKED, stand_in_moves, stand_in_pour
from balancer.output.words.juices import still_applies
from balancer.output.words.numbers import brix, percent
from balancer.output.words.strengths import assumed, for_what, open_too
from balancer.output.words.swap import QUANTITY_WORDS, obstacle_words
from balancer.output.words.swapped import (
    allergen_warnings,
    cannot_hold,
    cautions_of,
    coming_rows,
    held_text,
    one_for_one_text,
    reasons_of,
    warnings_of,
)
from balancer.web.changed import (
    ShownPourChange,
    ShownTaste,
    facts_of,
    gone_row,
    pour_row,
    pour_rows,
    show_change,
    shown_taste,
)
from balancer.web.render import begun
from balancer.web.swapping import AskedSwap, asked_swap
from balancer.web.typed import untyped

_WHICH: Final = {True: "tonight", False: "for the spec"}


@dataclass(frozen=True, slots=True)
class ShownSwap:
    """A swap.

    lead      what it is for, and what is held; stop: why it is none; told: what a guest must be told of
    cannot    that not all can be held, why, and what would make it possible
    heeds     how strong what is not read was taken to be, and the like
    is_sound  whether it may be written
    """

    lead: str
    stop: tuple[str, ...]
    told: tuple[str, ...]
    cautions: tuple[str, ...]
    cannot: str
    why_not: tuple[str, ...]
    rows: tuple[ShownPourChange, ...]
    taste: ShownTaste
    facts: tuple[tuple[str, str, str], ...]
    heeds: tuple[str, ...]
    offer: str
    is_sound: bool


@dataclass(frozen=True, slots=True)
class ShownCandidate:
    """Something that could come in: the rest of its address, what to pour, what to heed, what moves."""

    query: str
    pour: str
    heed: str
    moves: str


def _page(request: Request) -> Response:
    asked = asked_swap(request.app.state.house.desk(), dict(request.query_params), request.query_params.getlist("hold"))
    desk, drink, result = asked.desk, asked.drink, asked.result
    listed, ranked = ([], "") if drink is None or result or asked.typed.wrong else _candidates(asked, drink)
    return show_change(
        request,
        "swap.html",
        asked,
        again=f"/swap?{asked.query()}" if drink else "/swap",
        title=f"Swap in the {drink.name}, {_WHICH[asked.is_tonight]}" if drink else "Swap a syrup",
        outs=_options(asked, (*asked.goes, asked.out_id)),
        ins=_options(asked, (*asked.comes, *([] if asked.is_made_up else [asked.into_id]))),
        held=held_text(asked.held) if asked.held else "",
        is_sour=asked.is_sour,
        quantities=[(each, QUANTITY_WORDS[each]) for each in QUANTITIES],
        result=shown_swap(result, desk.house) if result else None,
        candidates=listed,
        ranked=ranked,
        still=_still(request, asked, drink) if drink else (),
        past=past_syrups(desk.bar, desk.in_use) if asked.is_tonight else (),
    )


def _still(request: Request, asked: AskedSwap, drink: Drink) -> list[str]:
    """The juices of the drink that are off tonight, which the swap takes as written."""
    if not asked.is_tonight:
        return []
    evening = request.app.state.house.evening()
    found = drink_tonight(evening.tonight, drink)
    return still_applies(found, asked.desk.house, (asked.out_id, asked.into_id))


def _options(asked: AskedSwap, ids: tuple[str, ...]) -> list[tuple[str, str]]:
    """What a field offers: ids and names, each once."""
    return [(each, asked.desk.specs.name_of(each)) for each in dict.fromkeys(ids) if each]


def shown_swap(result: Swap, house: House) -> ShownSwap:
    """A swap in words."""
    lead = f"{for_what(result.at, result.concerned)}, {held_text(result.held)} held"
    missed = [f"{QUANTITY_WORDS[quantity]} {percent(change)}" for quantity, change in result.held_misses]
    heeds = [*assumed(result.at, result.concerned), *open_too(result.concerned)]
    heeds += [f"no pour holds it closer: {', '.join(missed)}"] if missed and result.feasible else []
    return ShownSwap(
        lead=f"{begun(lead)}.",
        stop=tuple(reasons_of(result, house)),
        told=tuple(allergen_warnings(result)),
        cautions=tuple(cautions_of(result)),
        cannot="" if result.feasible else cannot_hold(result),
        why_not=tuple(filter(None, (untyped(text) for text in obstacle_words(result, house)))),
        rows=tuple(_rows(result, house)),
        taste=shown_taste(result.taste),
        facts=tuple(facts_of(result, house)),
        heeds=tuple(heeds),
        offer=one_for_one_text(result) if result.feasible else "",
        is_sound=result.is_sound,
    )


def _held_together(text: str) -> str:
    """A text in which no line ends between a number and its unit."""
    return text.replace(" °Bx", "\N{NO-BREAK SPACE}°Bx")


def _rows(result: Swap, house: House) -> list[ShownPourChange]:
    """Every pour, in the order of the file; behind what comes, what it takes the place of."""
    rows = []
    for pour in result.pours:
        if not pour.is_new:
            rows += pour_rows([pour], result.drink, house)
            continue
        told = [text for _, text in coming_rows(result)]
        read = f"{result.strength.batch}, {brix(result.strength.brix)}" if result.strength else ""
        note = _held_together(told[0].removeprefix(f"{result.into.name}, ") if told else read)
        rows.append(pour_row(pour, house, f"comes in, {note}" if note else "comes in", before=result.before))
        if result.out.id != result.into.id:
            rows.append(gone_row(result.out.id, result.out.name, result.replaced, house))
    return rows


def _candidates(asked: AskedSwap, drink: Drink) -> tuple[list[ShownCandidate], str]:
    """What could come in, the closest match first, and how it is ranked.

    Of a sour every other one; of a sweetener tonight what is open, for the spec all that the house has.
    """
    desk, house = asked.desk, asked.desk.house
    if not (asked.is_tonight or asked.is_sour):
        found = asked.fits.fits if asked.fits else ()
        listed = [
            ShownCandidate(
                asked.query(**{"in": fit.into.id}),
                fit_pour(fit, house),
                heed_text(fit, drink, house),
                ", ".join(fit_moves(fit)),
            )
            for fit in found
        ]
        return listed, RANKED
    try:
        swaps = (
            sour_stand_ins(desk.bar, drink, asked.out_id, asked.held, asked.at)
            if asked.is_sour
            else stand_ins(desk.bar, drink, asked.out_id, offered(desk.in_use), asked.held, asked.at)
        )
    except BalancerError as error:
        asked.typed.refuse("out", error)
        return [], ""
    listed = [
        ShownCandidate(
            asked.query(**{"in": one.into.id}),
            stand_in_pour(one, house),
            "; ".join(warnings_of(one, house)),
            stand_in_moves(one),
        )
        for one in swaps
    ]
    return listed, SOURS_RANKED if asked.is_sour else STAND_INS_RANKED


ROUTES: Final = (Route("/swap", _page),)
