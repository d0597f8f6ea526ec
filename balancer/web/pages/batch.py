"""One batch: how it stands, what to pour and to correct, what was done to it, and what can be done."""

from __future__ import annotations

from typing import Final, NamedTuple

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from balancer.desk.desk import Desk
from balancer.engine.batch.contents import unsaid_of
from balancer.engine.batch.history import batch_key
from balancer.engine.batch.moved_since import MovedSinceError, standing
from balancer.engine.batch.notes import BatchNow, cautions, describe
from balancer.engine.batch.read_it import is_fooled
from balancer.engine.batch.record import BatchRecord, RecordLine, record
from balancer.engine.prep.tub import tub_of
from balancer.engine.service.labels import against_menu
from balancer.engine.service.lines import gains_by_correction
from balancer.errors import BalancerError, QuantityError
from balancer.models.batch import Batch
from balancer.models.days import day_text, parse_time
from balancer.models.syrup import Syrup
from balancer.output.words.amounts import large_mass
from balancer.output.words.batches import caution_text, last_day_text, state_word
from balancer.output.words.record import deed_text, moment_text, standing_text
from balancer.output.words.unsaid import logged_text
from balancer.web import by
from balancer.web.broken import broken_file
from balancer.web.deeds import DEEDS, Asks, Sent
from balancer.web.guard import answer_form
from balancer.web.house import Evening, sorted_by_name
from balancer.web.once import FIELD as ONCE
from balancer.web.pages.batches import measured_of
from balancer.web.pages.tonight import ShownBottle, juice_bottle, syrup_bottle
from balancer.web.render import show
from balancer.web.shown import ShownCorrection, corrected, done_at, done_link, shown_correction
from balancer.web.typed import Typed, sentence, untyped


class HistoryLine(NamedTuple):
    """A line of the log: its number, what it says, when and by whom, and why it does not count, if it does not."""

    number: int
    text: str
    when: str
    who: str
    note: str
    aside: str
    undo: bool


def _page(request: Request) -> Response:
    desk: Desk = request.app.state.house.desk()
    return _shown(request, desk, _identity(desk, request))


async def _deed(request: Request) -> Response:
    if request.path_params["deed"] not in DEEDS:
        raise HTTPException(404)
    return await answer_form(request, _done)


def _done(request: Request, fields: dict[str, str]) -> Response:
    desk: Desk = request.app.state.house.desk()
    identity, deed = _identity(desk, request), request.path_params["deed"]
    found = next((batch for batch in desk.batches if batch_key(batch.id) == batch_key(identity)), None)
    sent = Sent(desk, found, identity, Typed(fields), by.who(request, fields))

    def log() -> str:
        doing = DEEDS[deed](sent)
        if sent.typed.wrong:
            raise NotDoneError
        if doing.make is None or doing.asks is not None:
            raise NotDoneError(doing.asks)
        return done_link(desk.log(doing.make), identity)

    try:
        address = request.app.state.once.do(fields.get(ONCE, ""), log)
    except NotDoneError as asked:
        return _shown(request, desk, identity, sent=sent, deed=deed, asks=asked.asks, status=409 if asked.asks else 422)
    except BalancerError as error:
        if isinstance(error, MovedSinceError):
            sent.typed.fields = {}  # what was typed was for another strength
        return _shown(request, desk, identity, sent=sent, deed=deed, refused=sentence(error), status=409)
    return by.led_to(address, sent.name)


class NotDoneError(Exception):
    """Nothing was logged: a field is wrong, or something is asked first."""

    def __init__(self, asks: Asks | None = None) -> None:
        self.asks = asks
        super().__init__()


def _identity(desk: Desk, request: Request) -> str:
    """The batch of the address, as the log writes it. Raises HTTPException where no line names it."""
    key = batch_key(request.path_params["batch"])
    named = next((entry.batch for entry in desk.entries if batch_key(entry.batch) == key), None)
    if named is None:
        raise HTTPException(404)
    return named


def _back(request: Request) -> Response:
    """A form's own address, asked for again, is the batch's."""
    return RedirectResponse(request.url.path.rpartition("/")[0], 303)


def _shown(
    request: Request,
    desk: Desk,
    identity: str,
    *,
    sent: Sent | None = None,
    deed: str = "",
    asks: Asks | None = None,
    refused: str = "",
    status: int = 200,
) -> Response:
    found = record(desk.entries, desk.specs, identity)
    item = describe(desk.bar, found.batch, desk.today) if found.batch else None
    source = desk.specs.find_liquid(found.liquid)
    done = request.query_params.get("done", "")
    typed = sent.typed if sent else Typed({})
    is_here = item is not None and item.batch.state in ("made", "open")
    is_past = item is not None and item.past
    usable = is_here and not is_past
    return show(
        request,
        "batch.html",
        house=desk.house.name,
        at=desk.at,
        status=status,
        title=found.id,
        tape=found.id,
        name=source.name if source else found.liquid,
        item=item,
        state=state_word(item.batch) if item else "not in the house: its making does not count",
        facts=_facts(item, desk) if item else (),
        broken=() if source else broken_file(desk, ("syrups", "ingredients"), found.liquid),
        heeds=_heeds(item, desk) if item else (),
        past=is_here and is_past,
        usable=usable,
        is_syrup=isinstance(source, Syrup),
        by_refractometer=isinstance(source, Syrup) and not is_fooled(source),
        bottle=_bottle(request, found.batch) if usable and found.batch else None,
        correction=_correction(request, found.batch) if usable and found.batch else None,
        was=standing(found.batch) if found.batch else "",
        replaceable=_replaceable(desk, found.batch) if found.batch else (),
        additives=_additives(desk, found.liquid),
        lines=[_line(line, found, desk) for line in found.lines],
        done=_done_shown(desk, found, done),
        typed=typed,
        untouched=Typed({}),
        deed=deed,
        asks=asks,
        refused=refused,
        again=request.url.path if request.method == "GET" else request.url.path.rpartition("/")[0],
    )


def _done_shown(desk: Desk, found: BatchRecord, done: str) -> object:
    if not done:
        return None
    try:
        return done_at(desk, found, parse_time(done))
    except QuantityError:
        return None


def _facts(item: BatchNow, desk: Desk) -> list[tuple[str, str]]:
    batch = item.batch
    made = day_text(batch.made, desk.today) if batch.made else "unknown"
    facts = [
        measured_of(item),
        ("made", made + (f" by {batch.by}" if batch.by else "")),
        ("last day", last_day_text(item, desk.today)),
    ]
    facts += [("weighed", large_mass(batch.mass))] if batch.mass is not None else []
    facts += [("opened", moment_text(batch.opened, desk.today))] if batch.opened else []
    return facts


def _heeds(item: BatchNow, desk: Desk) -> list[str]:
    told = [caution_text(note, item, desk.today) for note in cautions(item, desk.batches) if note.kind != "past"]
    unsaid = unsaid_of(desk.specs, item.batch, desk.batches, desk.entries)
    first = [logged_text(unsaid, desk.specs)] if unsaid else []
    return [*first, *(untyped(text) for text in told), *item.cautions]


def _bottle(request: Request, batch: Batch) -> ShownBottle | None:
    """What to pour of it tonight, where it is open and was read."""
    evening = request.app.state.house.evening()
    found = next((one for one in evening.tonight.batches if one.batch.id == batch.id), None)
    if found is not None:
        return syrup_bottle(batch.id, found.rescale, evening.desk.house, is_read=batch.verified)
    juice = next((one for one in evening.tonight.juices if one.batch.id == batch.id and one.moved), None)
    return juice_bottle(juice, evening.desk.house) if juice else None


def _correction(request: Request, batch: Batch) -> ShownCorrection | None:
    """How it comes to its standard, where that gains anything."""
    evening: Evening = request.app.state.house.evening()
    desk, menu = evening.desk, against_menu(evening.desk.bar, evening.tonight, batch)
    if menu is not None and not gains_by_correction(menu):
        return None
    try:
        found = corrected(desk, tub_of(batch))
    except BalancerError:  # nothing brings it there; its strength is told all the same
        return None
    return shown_correction(desk, found) if found else None


def _replaceable(desk: Desk, batch: Batch) -> list[Batch]:
    """The open batches of the same that may be empty when this one is opened."""
    return [one for one in desk.batches if one.state == "open" and one.id != batch.id and one.liquid == batch.liquid]


def _additives(desk: Desk, liquid: str) -> list[tuple[str, str]]:
    """What may have gone into a batch, beside water and sugar."""
    known = [*sorted_by_name(desk.specs.syrups), *sorted_by_name(desk.specs.ingredients)]
    return [(one.id, one.name) for one in known if one.id != liquid]


def _line(line: RecordLine, found: BatchRecord, desk: Desk) -> HistoryLine:
    entry = line.deed.entry
    return HistoryLine(
        line.number,
        deed_text(line.deed, found.id),
        moment_text(entry.at, desk.today),
        entry.by or "",
        entry.note or "",
        standing_text(line, desk.today),
        undo=line.undone_by is None and entry.at is not None,
    )


ROUTES: Final = (
    Route("/batches/{batch}", _page),
    Route("/batches/{batch}/{deed}", _deed, methods=["POST"]),
    Route("/batches/{batch}/{deed}", _back),
)
