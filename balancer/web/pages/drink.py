"""A drink as it is poured tonight beside as written; and the list of all drinks, to find one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from balancer.engine.service.drink_tonight import BottlePour, PourTonight, drink_tonight
from balancer.engine.service.tonight import Tonight
from balancer.engine.swaps.roles import may_go
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.output.paper.print_text import fraction
from balancer.output.words.advice import (
    ASSUMED,
    NO_POUR,
    NOT_SINCE,
    borderline,
    sugar_moved,
    unreached_text,
    unreached_why,
)
from balancer.output.words.amounts import change_of
from balancer.output.words.juices import juice_why
from balancer.output.words.numbers import percent
from balancer.output.words.unsaid import in_drink_text
from balancer.units import format_quantity
from balancer.web.broken import refuse_broken
from balancer.web.card import CHANGED, NEW, WRITTEN, shown_card, spec_text
from balancer.web.finding import is_called, like, that_pour
from balancer.web.house import Evening, sorted_by_name
from balancer.web.render import begun, halves, show

READ_FIRST: Final = "read it again first"
COUNTS: Final = "opened first"
OPEN_TOO: Final = "open too"


@dataclass(frozen=True, slots=True)
class ShownLine:
    """One pour of the drink: as written and tonight. word says what is done; tape the bottle it is from.

    note   which of several open bottles it is
    waits  whether nobody should pour it so: no pour is right, or the bottle is to be read first
    """

    name: str
    written: str
    now: tuple[str, str]
    unit: str
    word: str
    moves: bool
    unsure: bool = False
    tape: str = ""
    note: str = ""
    waits: bool = False

    @property
    def written_unit(self) -> str:
        """The unit of what is written, where that has none itself."""
        return "" if any(map(str.isalpha, self.written)) else self.unit


def _list(request: Request) -> Response:
    """Find a drink by its name, or show them all."""
    evening: Evening = request.app.state.house.evening()
    asked = request.query_params.get("q", "").strip()[:200]
    drinks = sorted_by_name(evening.desk.specs.drinks)
    found = [drink for drink in drinks if is_called(drink.name, asked)]
    if asked and len(found) == 1:
        return RedirectResponse(f"/drinks/{found[0].id}", 303)
    return show(
        request,
        "drinks.html",
        house=evening.desk.house.name,
        at=evening.desk.at,
        title="Drinks",
        asked=asked,
        found=found or drinks,
        is_unknown=bool(asked and not found),
        like=[] if found else like(drinks, asked),
        pour_it=[] if found else that_pour(drinks, evening.desk.specs, asked),
        moved={*evening.tonight.moved},
        unreached={drink.id: _why_none(evening.tonight, drink) for drink in evening.tonight.unreached.values()},
        drinks=drinks,
    )


def _page(request: Request) -> Response:
    evening: Evening = request.app.state.house.evening()
    desk = evening.desk
    drink = desk.specs.drinks.get(request.path_params["drink"])
    if drink is None:
        refuse_broken(desk, ("drinks",), request.path_params["drink"])
        raise HTTPException(404)
    found = drink_tonight(evening.tonight, drink)
    goes = may_go(desk.bar, drink)
    written = request.query_params.get(WRITTEN, "")
    lines = [line for pour in found.pours for line in lines_of(pour, desk.house)]
    return show(
        request,
        "drink.html",
        house=desk.house.name,
        at=desk.at,
        title=drink.name,
        drink=drink,
        how=how_text(drink),
        lines=lines,
        why=[text for pour in found.pours for text in _why(pour, desk.house)],
        together=_moves_together(found.pours),
        is_held=any(pour.bottles and all(map(_waits, pour.bottles)) for pour in found.pours),
        waits=[text for pour in found.pours for text in _held(pour, desk.house)],
        unsaid=[text for one in evening.tonight.unsaid if (text := in_drink_text(one, drink, desk.specs))],
        unread=[each for pour in found.pours for bottle in pour.bottles if (each := _unread(bottle))],
        not_since=NOT_SINCE,
        in_bottle=found.serves_of,
        card=shown_card(desk, desk.bar, drink),
        exchangeable=bool(goes),
        out=next(
            (pour.part.pour.of for pour in found.pours if pour.part.pour.of in goes and any(map(_waits, pour.bottles))),
            "",
        ),
        written=spec_text(drink) if written in (NEW, CHANGED) else "",
        is_new=written == NEW,
    )


def _why_none(result: Tonight, drink: Drink) -> str:
    """Why no pour of a drink is right, as its page has it."""
    held = [bottle for pour in drink_tonight(result, drink).pours for bottle in pour.bottles if _waits(bottle)]
    return ", ".join(dict.fromkeys(_word(bottle) for bottle in held)) or NO_POUR


def how_text(drink: Drink) -> str:
    """How it is made, in a row."""
    parts = [
        " ".join(part for part in (drink.method, drink.time) if part),
        f"{drink.strain} strained" if drink.strain else None,
        drink.glass,
        f"{drink.ice} ice" if drink.ice and drink.ice != "none" else None,
        drink.garnish,
    ]
    said = ", ".join(part for part in parts if part)
    return begun(said)


def lines_of(pour: PourTonight, house: House) -> list[ShownLine]:
    """A pour as rows: one, or one for each open bottle of it, the one that counts first."""
    name, amount = pour.part.liquid.name, format_quantity(pour.part.pour.amount)
    if not pour.bottles:
        number, _, unit = amount.rpartition(" ")
        word = ASSUMED if pour.is_assumed else "the same"
        return [ShownLine(name, number or unit, halves(number), unit, word, moves=False)]
    counts = [COUNTS, *[OPEN_TOO] * len(pour.bottles)] if len(pour.bottles) > 1 else [""]
    return [_line(name, bottle, house, note) for bottle, note in zip(pour.bottles, counts, strict=False)]


def _line(name: str, bottle: BottlePour, house: House, note: str) -> ShownLine:
    change = change_of(bottle.written, bottle.poured, house)
    written, now = fraction(change.written), halves(fraction(change.after))
    waits = _waits(bottle)
    moves = not (waits or bottle.poured.is_same(bottle.written))
    tape = bottle.batch.id if bottle.batch else ""
    unsure = bottle.state == "in doubt"
    return ShownLine(name, written, now, change.unit, _word(bottle), moves, unsure, tape, note, waits)


def _waits(bottle: BottlePour) -> bool:
    return bottle.state == "out of reach" or (bottle.advice is not None and bottle.advice.is_unsure)


def _unread(bottle: BottlePour) -> str:
    """The bottle to read, where its strength was reckoned and not read since; empty of any other."""
    return bottle.batch.id if bottle.row and bottle.batch and not bottle.batch.verified else ""


def _held(pour: PourTonight, house: House) -> list[str]:
    """Why a drink waits, by each bottle that it waits for."""
    found = []
    for bottle in pour.bottles:
        lead = f"{bottle.batch.id if bottle.batch else pour.part.liquid.name}: "
        if bottle.advice is not None and bottle.advice.is_unsure:
            found.append(f"{lead}{bottle.advice.reason}; {READ_FIRST}")
        elif bottle.state == "out of reach" and bottle.row is not None:
            found.append(lead + unreached_text(bottle.row, house))
    return found


def _moves_together(pours: Sequence[PourTonight]) -> bool:
    """Whether several syrups of a drink move, each for the others as they are."""
    return sum(any(bottle.row is not None and bottle.row.moves for bottle in pour.bottles) for pour in pours) > 1


def _word(bottle: BottlePour) -> str:
    """What is done with the pour, in a word or two, and whether that is sure."""
    if bottle.advice is not None and bottle.advice.is_unsure:
        return READ_FIRST
    if bottle.state == "out of reach" and bottle.row is not None:
        return unreached_why(bottle.row)
    if bottle.state == "not read":
        return ASSUMED
    less = "less" if bottle.poured.value < bottle.written.value else "more"
    said = "the same" if bottle.poured.is_same(bottle.written) else less
    return f"{said}, in doubt" if bottle.state == "in doubt" else said


def _why(pour: PourTonight, house: House) -> list[str]:
    found = []
    for bottle in pour.bottles:
        row = bottle.row
        found += [text] if (text := juice_why(bottle, house)) else []
        if row is None or _waits(bottle):
            continue
        lead = f"{bottle.batch.id if bottle.batch else pour.part.liquid.name}: "
        if row.moves:
            found.append(lead + sugar_moved(row.after_percent, row.as_written_percent))
        elif bottle.batch:
            found.append(f"{lead}sugar {percent(row.as_written_percent)} as written")
        if row.could_be:
            found.append(lead + borderline(row.plus_minus_brix))
    return found


ROUTES: Final = (Route("/drinks", _list), Route("/drinks/{drink}", _page))
