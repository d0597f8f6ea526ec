"""A reading: what the refractometer shows of a syrup, how strong that is, what it means, and logging it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from balancer.desk.logbook import log_measured, measured_tub
from balancer.engine.batch.read_lately import read_lately
from balancer.engine.batch.record import record
from balancer.engine.prep.measure import Judged, log_draft
from balancer.engine.prep.readings import Proposal
from balancer.engine.service.lines import gains_by_correction, lines_of
from balancer.engine.service.rescale import Rescale
from balancer.errors import BalancerError
from balancer.models.house import Instrument
from balancer.output.screen.measure import budget_rows, corrections_text, proposal_text, standard_rows
from balancer.output.words.advice import advice_word, beside_text, borderline, unreached_text
from balancer.output.words.batches import state_word
from balancer.output.words.keeping import lost_text
from balancer.output.words.numbers import count, some, trim
from balancer.output.words.tonight import staying_text, told
from balancer.web import by
from balancer.web.asked import ReadingAsked, asked_of, choices, elsewhere
from balancer.web.guard import answer_form
from balancer.web.level import Level, level
from balancer.web.once import FIELD as ONCE
from balancer.web.pages.tonight import ShownBottle, syrup_bottle
from balancer.web.render import halves, show
from balancer.web.shown import ShownCorrection, corrected, done_link, shown_correction
from balancer.web.typed import Typed, sentence, untyped

_NAMED: Final = 3


@dataclass(frozen=True, slots=True)
class ShownReading:
    """A reading and what it means.

    strength  in its two sizes, exact its every digit; at_least: the scale has ended
    too_warm  so warm that its ± says too little
    doubts    what is odd about it: then nothing else is shown until somebody says that it is meant
    heading   what to do about the batch, why the reason; heeds what else nobody should miss
    working   how the strength came about
    held      drinks that no pour is right for
    dilute    how to dilute it, where the scale has ended, and again the address to read it so
    button    what the button that logs says; empty where it cannot be logged
    """

    strength: tuple[str, str]
    exact: float
    plus_minus: str
    at_least: bool
    too_warm: bool
    level: Level
    doubts: tuple[str, ...]
    heading: str
    why: str
    heeds: tuple[str, ...]
    working: tuple[str, ...]
    bottle: ShownBottle | None
    near: str
    held: tuple[tuple[str, str], ...]
    correction: ShownCorrection | None
    correct_first: bool
    beside: str
    dilute: str
    again: str
    button: str


def _page(request: Request) -> Response:
    desk = request.app.state.house.desk()
    typed = Typed(dict(request.query_params))
    other = elsewhere(desk, typed.text("what"))
    if other and not typed.text("reading"):
        return RedirectResponse(other, 303)
    asked = asked_of(desk, typed)
    return _shown(request, asked, is_meant=typed.text("yes") == "1", status=422 if other else 200)


async def _log(request: Request) -> Response:
    return await answer_form(request, _logged)


def _logged(request: Request, fields: dict[str, str]) -> Response:
    desk = request.app.state.house.desk()
    asked = asked_of(desk, Typed(fields))
    is_meant, is_sure = asked.typed.text("yes") == "1", asked.typed.text("sure") == "1"
    judged = asked.judged
    if asked.syrup_id is None and not asked.typed.wrong:
        asked.typed.refuse("what", "say which syrup was read")
    if judged is None or asked.typed.wrong or asked.syrup_id is None:
        return _shown(request, asked, status=422)
    name, syrup_id, batch = by.who(request, fields), asked.syrup_id, asked.batch
    doubts = (*(() if is_meant else judged.doubts), *(() if is_sure else judged.log_doubts))
    lately = () if is_sure or judged.changed else _read_by_another(asked, judged, name)
    if doubts:
        return _shown(request, asked, asks=(*doubts, *lately), status=409)
    if _button(asked, judged) != fields.get("shown", ""):
        return _shown(request, asked, is_meant=is_meant, changed=True, status=409)
    if lately:
        return _shown(request, asked, asks=lately, status=409)

    def deed() -> str:
        return done_link(log_measured(desk, judged, syrup_id, batch, by=name))

    try:
        address = request.app.state.once.do(fields.get(ONCE, ""), deed)
    except BalancerError as error:
        asked.typed.refuse("reading", error)
        return _shown(request, asked, status=409)
    return by.led_to(address, name)


def _shown(
    request: Request,
    asked: ReadingAsked,
    *,
    is_meant: bool = False,
    asks: tuple[str, ...] = (),
    changed: bool = False,
    status: int = 200,
) -> Response:
    desk, typed = asked.desk, asked.typed
    judged = asked.judged
    doubts = asks or (() if is_meant or judged is None else judged.doubts)
    return show(
        request,
        "read.html",
        house=desk.house.name,
        at=desk.at,
        status=status,
        again=f"/read?{asked.query}",
        title="Read a syrup",
        typed=typed,
        by_acid=elsewhere(desk, typed.text("what")),
        groups=choices(desk),
        result=None if judged is None else _result(asked, judged, doubts),
        what_is=_called(asked),
        is_meant=is_meant,
        asks=bool(asks),
        changed=changed,
        compensates=(desk.house.instrument or Instrument()).atc,
    )


def _read_by_another(asked: ReadingAsked, judged: Judged, name: str | None) -> tuple[str, ...]:
    """What to ask where somebody else has just logged another reading of the batch."""
    if asked.batch is None or judged.measurement.ended:
        return ()
    found = record(asked.desk.entries, asked.desk.specs, asked.batch.id)
    told = read_lately(found, judged.measurement.strength.value, asked.desk.at, name)
    return (told,) if told else ()


def _called(asked: ReadingAsked) -> str:
    """What was read, in words."""
    if asked.syrup_id is None:
        return ""
    name = asked.desk.specs.name_of(asked.syrup_id)
    return f"{asked.batch.id} {name}, {state_word(asked.batch)}" if asked.batch else f"{name}, no batch yet"


def _button(asked: ReadingAsked, judged: Judged) -> str:
    """What the button that logs says: what the log will hold."""
    if asked.syrup_id is None or _refusal(asked, judged):
        return ""
    strength = f"Log {trim(judged.measurement.strength.value, 1)} °Bx"
    if asked.batch:
        return f"{strength} for {asked.batch.id}"
    return f"{strength} as a new batch of {asked.desk.specs.name_of(asked.syrup_id)}"


def _refusal(asked: ReadingAsked, judged: Judged) -> str:
    """Why a reading is none to log; empty where it is one."""
    try:
        log_draft(judged, asked.desk.stamp(), None)
    except BalancerError as error:
        return sentence(error)
    return ""


def _result(asked: ReadingAsked, judged: Judged, doubts: tuple[str, ...]) -> ShownReading:
    desk, measured, result = asked.desk, judged.measurement, judged.rescale
    plus_minus = measured.plus_minus_brix
    standard = result.standard_brix if result else None
    tolerance = desk.bar.batch_tolerance(result.syrup.id) if result else None
    heeds = [*(() if doubts else judged.doubts), *measured.warnings, *lost_text(judged.in_store)]
    heeds += [judged.like_water] if judged.like_water else []
    refusal = _refusal(asked, judged) if asked.syrup_id else ""
    heeds += [refusal] if refusal and not measured.ended else []
    heeds += _of_files(asked, judged)
    is_sure = result is not None and not (result.advice.is_unsure or measured.ended)
    return ShownReading(
        strength=halves(trim(measured.strength.value, 1)),
        exact=measured.strength.value,
        plus_minus=f"±{trim(plus_minus, 1 if plus_minus >= 0.05 else 2)}",
        at_least=measured.ended,
        too_warm=bool(measured.too_warm),
        level=level(measured.strength.value, plus_minus, standard, tolerance),
        doubts=doubts,
        heading=_heading(result) if result else "",
        why=result.advice.reason if result else "",
        heeds=tuple(untyped(text) for text in heeds if result is None or text != result.advice.reason),
        again=_diluted_link(asked, measured.proposal) if measured.proposal else "",
        working=(
            corrections_text(measured),
            *(standard_rows(judged, result) if result else ()),
            *budget_rows(measured),
        ),
        bottle=_bottle(asked, result) if result and is_sure else None,
        near=f"{borderline(plus_minus)}: {some(judged.near_edge, _NAMED)}" if judged.near_edge and is_sure else "",
        held=tuple(
            (row.drink.name, unreached_text(row, desk.house))
            for row in (result.rows if result and is_sure else ())
            if row.is_to_blame
        ),
        correction=_correction(asked, judged, result) if result and is_sure else None,
        correct_first=bool(result and result.advice.word == "correct the batch"),
        beside=_beside(result) if result else "",
        dilute=proposal_text(measured.proposal) if measured.proposal else "",
        button=_button(asked, judged),
    )


def _diluted_link(asked: ReadingAsked, proposal: Proposal) -> str:
    """The form for a dilution, filled in but for what is read of it."""
    parts = {"dilute": "yes", "sample": trim(proposal.sample_g, 0), "water": trim(proposal.water_g, 0)}
    what = asked.typed.text("what")
    return f"/read?{urlencode(({'what': what} if what else {}) | parts)}"


def _bottle(asked: ReadingAsked, result: Rescale) -> ShownBottle:
    """What to pour of it; a drink that no pour saves stands in a list of its own."""
    found, lines = syrup_bottle(asked.batch.id if asked.batch else "", result, asked.desk.house), lines_of(result)
    held = {row.drink.id for row in result.rows if row.is_to_blame}
    if held.issuperset(drink.id for drink in told(lines, asked.desk.house).asked):
        return replace(found, rest=tuple(staying_text(lines, asked.desk.house)))
    return found


def _heading(result: Rescale) -> str:
    word = advice_word(result.advice)
    if word == "as written":
        return "Pour as written"
    if word == "change pours":
        return "Leave it, and pour this"
    return {"correct the batch": "Correct it first", "read again": "Read it again"}.get(word, "Discard it")


def _correction(asked: ReadingAsked, judged: Judged, result: Rescale) -> ShownCorrection | None:
    if _refusal(asked, judged) or not gains_by_correction(result):
        return None
    found = corrected(asked.desk, measured_tub(asked.desk, judged, result.syrup.id, asked.batch))
    return shown_correction(asked.desk, found) if found else None


def _beside(result: Rescale) -> str:
    """How strong the other syrups of the same drinks were taken to be."""
    return "; ".join(untyped(text) for text in beside_text(result))


def _of_files(asked: ReadingAsked, judged: Judged) -> list[str]:
    """What is odd or broken in the files about what is answered."""
    if asked.syrup_id is None:
        return []
    found = {one.message for one in asked.desk.doubts([asked.syrup_id, *judged.drinks])}
    broken = asked.desk.loaded.broken_pouring(asked.syrup_id)
    told = [f"{count(len(broken), 'drinks')} that pour it did not load, and are missing here"] if broken else []
    return [*sorted(found), *told]


ROUTES: Final = (Route("/read", _page), Route("/read", _log, methods=["POST"]))
