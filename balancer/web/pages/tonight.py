"""Tonight: every open bottle and what to pour of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from itertools import groupby
from typing import Final, NamedTuple

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from balancer.engine.batch.read_it import is_fooled
from balancer.engine.service.juices import JuiceTonight
from balancer.engine.service.lines import BottleLines, juice_lines_of, lines_of
from balancer.engine.service.rescale import DrinkRow, Rescale
from balancer.engine.service.tonight import Tonight
from balancer.engine.swaps.roles import may_go
from balancer.models.batch import Batch
from balancer.models.days import day_text
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.models.specs import Specs
from balancer.output.paper.print_text import fraction
from balancer.output.words.advice import ASSUMED, NOT_SINCE, beside_spec, borderline, spec_text, unreached_text
from balancer.output.words.amounts import AmountChange
from balancer.output.words.numbers import count, trim, weekday_text
from balancer.output.words.tonight import (
    acid_text,
    asked_text,
    assumed_as_written,
    because_text,
    names_text,
    only_text,
    staying_text,
    told,
    until_corrected_text,
    warning_rows,
)
from balancer.output.words.unsaid import unsaid_rows
from balancer.web.house import Evening, sorted_by_name
from balancer.web.render import begun, halves, show
from balancer.web.typed import untyped


@dataclass(frozen=True, slots=True)
class ShownPour:
    """A written pour and the one in its place; now in its two sizes. unsure: the reading could turn it.

    is_own  it is for these drinks alone, no line of the bottle: others that write the same pour another amount
    """

    written: str
    now: tuple[str, str]
    unit: str
    drinks: tuple[Drink, ...]
    unsure: bool = False
    is_own: bool = False


@dataclass(frozen=True, slots=True)
class ShownBottle:
    """A bottle as its line on the page, or an unread syrup that drinks pour otherwise even at its standard.

    tape    the id on the bottle; empty where it has none, or nobody knows which it is
    why     its strength, and `word` what that means
    pours   written and new; rest: what else there is to say, a sentence each
    doubt   why it is not sure
    first   what to do before anything is poured of it
    unread  the bottle to read, because it was not read since it was corrected
    """

    tape: str
    name: str
    why: str
    word: str
    pours: tuple[ShownPour, ...] = ()
    rest: tuple[str, ...] = ()
    doubt: tuple[str, ...] = ()
    first: str = ""
    unread: str = ""


class ShownWarning(NamedTuple):
    """Something to know, and the bottle to read so that it goes away; empty where none is."""

    text: str
    read: str


def _page(request: Request) -> Response:
    evening: Evening = request.app.state.house.evening()
    desk, result = evening.desk, evening.tonight
    whole = request.headers.get("hx-request") != "true"
    return show(
        request,
        "tonight.html" if whole else "tonight-part.html",
        house=desk.house.name,
        at=desk.at,
        title=f"Tonight, {weekday_text(result.night)}",
        lead=lead_text(result, desk.house),
        bottles=bottles(result, desk.specs),
        held=held(result, desk.specs),
        out=[(batch.id, desk.specs.name_of(batch.liquid), _last_day(batch.ends)) for batch in result.now.past],
        unsaid=list(map(str, unsaid_rows(result))),
        warnings=_warnings(result, desk.specs),
        waiting=_waiting(result),
        standard=names_text(assumed_as_written(result), desk.specs),
        assumed_word=ASSUMED,
        as_written=[
            (item.batch.id, item.rescale.syrup.name)
            for item in result.batches
            if item.rescale.advice.word == "as written" and item.batch.verified
        ],
        in_bottles=[bottle.drink.name for bottle in result.bottled],
        problems=len(desk.problems()),
        drinks=sorted_by_name(desk.specs.drinks),
    )


def lead_text(result: Tonight, house: House) -> str:
    """What the page comes to, in a sentence."""
    moving = [
        *(item.rescale for item in result.believed if lines_of(item.rescale).moves),
        *_moving_assumed(result),
        *_moving_juices(result),
    ]
    if moving:
        verb = "pours" if len(moving) == 1 else "pour"
        return f"{count(len(moving), 'bottles')} {verb} a new amount, in {house.show}. An amount not shown: as written."
    if not (result.batches or result.juices or result.unsaid or result.unreached):
        return "No open bottle has a strength in the log: every drink stands as written. Read a syrup, or log one."
    if result.unsaid:
        return "Every bottle pours as written in its own drinks."
    return "Every drink that can be poured is poured as written."


def bottles(result: Tonight, specs: Specs) -> list[ShownBottle]:
    """The bottles that somebody has to know of, those that must wait first."""
    house = specs.house
    order = ("pull", "read again", "correct the batch", "change pours")
    items = [item for item in result.batches if item.rescale.advice.word in order]
    items.sort(key=lambda item: order.index(item.rescale.advice.word))
    items += [item for item in result.batches if item not in items and not item.batch.verified]
    return [
        *(
            _only(syrup_bottle(item.batch.id, item.rescale, house, is_read=item.batch.verified), item.batch, result)
            for item in items
        ),
        *(_only(juice_bottle(juice, house), juice.batch, result) for juice in _moving_juices(result)),
        *(assumed_bottle(item, house) for item in _moving_assumed(result)),
    ]


def _only(shown: ShownBottle, batch: Batch, result: Tonight) -> ShownBottle:
    """A bottle that has pours, with the others of its syrup that they are not for."""
    only = only_text(batch, result).removeprefix("; ")
    return replace(shown, rest=(*shown.rest, only)) if only and shown.pours else shown


def _warnings(result: Tonight, specs: Specs) -> list[ShownWarning]:
    """What else to know; what somebody would type to read a bottle is a link to its reading here."""
    unread = (*result.now.unread, *result.now.unverified, *(batch for batch, _ in result.impossible))
    readable = [batch.id for batch in unread if (of := specs.syrups.get(batch.liquid)) and not is_fooled(of)]
    found = []
    for row in map(str, warning_rows(result, specs)):
        if not _is_discard(row):
            tape = next((each for each in readable if row.startswith((f"{each} ", f"{each}: "))), "")
            found.append(ShownWarning(untyped(row), tape))
    return found


def _waiting(result: Tonight) -> str:
    """How many drinks no pour is right for, as the jump to them says it; empty where none is."""
    number = len(result.unreached)
    return f"{count(number, 'drinks')} {'waits' if number == 1 else 'wait'}" if number else ""


class ShownHeld(NamedTuple):
    """A drink that no pour is right for, how far off it is, and the syrup to swap; "" where its pour is fixed."""

    drink: Drink
    how: str
    out: str


def held(result: Tonight, specs: Specs) -> list[tuple[str, str, str, list[ShownHeld]]]:
    """Bottles with drinks that no pour is right for: tape, name, what corrects it, the drinks and how far off.

    No tape where nobody read the syrup, or its bottle is read again first, and it is assumed at its standard.
    """
    house, found = specs.house, []
    believed = [(item.batch.id, item.rescale) for item in result.believed]
    for tape, item in (*believed, *(("", item) for item in result.assumed)):
        rows = [row for row in item.rows if row.is_to_blame]
        if rows:
            name = item.syrup.name if tape else f"{item.syrup.name}, {ASSUMED}"
            found.append((tape, name, _correction(item), [_held(result, row, house) for row in rows]))
    for (tape, of), told_rows in groupby(result.unblamed, lambda one: (one[0], one[1].pour.of)):
        name = specs.name_of(of) if tape else f"{specs.name_of(of)}, {ASSUMED}"
        found.append((tape, name, "", [_held(result, row, house) for _, row in told_rows]))
    return found


def _held(result: Tonight, row: DrinkRow, house: House) -> ShownHeld:
    return ShownHeld(row.drink, unreached_text(row, house), _swappable(result, row.drink, row.pour.of))


def _swappable(result: Tonight, drink: Drink, syrup_id: str) -> str:
    return syrup_id if syrup_id in may_go(result.menu.bar, drink) else ""


def _moving_assumed(result: Tonight) -> list[Rescale]:
    return [item for item in result.assumed if lines_of(item).moves]


def _moving_juices(result: Tonight) -> list[JuiceTonight]:
    return [juice for juice in result.juices if juice.moved]


def _correction(result: Rescale) -> str:
    """What brings a bottle to its standard; empty where nothing does."""
    if not result.correct.add:
        return ""
    return f"add {trim(result.correct.g_per_kg, 0)} g {result.correct.add} per kg, stir, read again"


def syrup_bottle(tape: str, result: Rescale, house: House, *, is_read: bool = True) -> ShownBottle:
    """A bottle of a syrup that has a strength.

    tape     the id on it, empty where it has none yet
    is_read  its strength was read since it was last corrected; else all that is poured of it is in doubt
    """
    lines = lines_of(result)
    why = beside_spec(result.batch_brix, result.standard_brix, result.written_for)
    word, first = _word(result), ""
    match result.advice.word:
        case "pull":
            return ShownBottle(tape, result.syrup.name, why, result.advice.reason, first="Discard it")
        case "read again":
            return ShownBottle(tape, result.syrup.name, why, result.advice.reason, first="Read it again first")
        case "correct the batch":
            first = "Correct it first"
        case _:
            pass
    doubted = [row for row in result.rows if row.could_be and not row.is_to_blame]
    unsure = {row.drink.id for row in doubted}
    doubt = [f"{row.drink.name}: {borderline(row.plus_minus_brix)}" for row in doubted]
    if not is_read:
        unsure = {row.drink.id for row in result.rows}
        doubt.insert(0, f"{begun(NOT_SINCE)}; read it")
    return ShownBottle(
        tape,
        result.syrup.name,
        why,
        word,
        _pours(lines, unsure, house),
        tuple([*staying_text(lines, house), *until_corrected_text(lines, house)] if first else _rest(lines, house)),
        tuple(doubt),
        first,
        "" if is_read else tape,
    )


def _word(result: Rescale) -> str:
    unreached = [row for row in result.rows if row.is_to_blame]
    strong = result.batch_brix > result.standard_brix
    if result.advice.word == "as written":
        return "as written"
    because = because_text(result)
    if because:
        return because
    if unreached:
        return f"too {'strong' if strong else 'weak'} for {count(len(unreached), 'drinks')}"
    return "strong, pour less" if strong else "weak, pour more"


def assumed_bottle(result: Rescale, house: House) -> ShownBottle:
    """A syrup that nobody read, and that some drink is written for otherwise than its standard."""
    lines = lines_of(result)
    why = f"spec {spec_text(result.standard_brix, result.written_for)}"
    return ShownBottle("", result.syrup.name, why, ASSUMED, _pours(lines, set(), house), tuple(_rest(lines, house)))


def juice_bottle(juice: JuiceTonight, house: House) -> ShownBottle:
    """A bottle of a juice whose acid was measured."""
    lines = juice_lines_of(juice)
    word = "sharp, pour less" if juice.acid_percent > 0 else "mild, pour more"
    return ShownBottle(
        juice.batch.id,
        juice.ingredient.name,
        acid_text(juice),
        word,
        _pours(lines, set(), house),
        tuple(_rest(lines, house)),
    )


def _rest(lines: BottleLines, house: House) -> list[str]:
    return [*staying_text(lines, house), *asked_text(lines, house)]


def _pours(lines: BottleLines, unsure: set[str], house: House) -> tuple[ShownPour, ...]:
    said = told(lines, house)
    own: dict[AmountChange, list[Drink]] = {}
    for drink, change in said.others:
        if not change.is_none:
            own.setdefault(change, []).append(drink)
    rows = [*((change, drinks, False) for change, drinks in said.lines), *((*one, True) for one in own.items())]
    return tuple(
        ShownPour(
            fraction(change.written),
            halves(fraction(change.after)),
            change.unit,
            tuple(drinks),
            any(drink.id in unsure for drink in drinks),
            is_own,
        )
        for change, drinks, is_own in rows
    )


def _last_day(day: date | None) -> str:
    return f"last day was {day_text(day)}" if day else "past its last day"


def _is_discard(row: str) -> bool:
    return row.endswith("discard it")


ROUTES: Final = (Route("/", _page),)
