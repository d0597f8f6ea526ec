"""Log what was made: a syrup, or an ingredient that was measured."""

from __future__ import annotations

from typing import Final

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.desk.logbook import log_made, made_on
from balancer.engine.batch.doubts import noted_doubts
from balancer.engine.batch.weight import filled
from balancer.errors import BalancerError
from balancer.models.batch import LogEntry
from balancer.web import by
from balancer.web.guard import answer_form
from balancer.web.house import sorted_by_name
from balancer.web.once import FIELD as ONCE
from balancer.web.render import show
from balancer.web.shown import done_link
from balancer.web.typed import Typed, in_unit


def _page(request: Request) -> Response:
    desk: Desk = request.app.state.house.desk()
    return _shown(request, desk, Typed(dict(request.query_params)))


async def _log(request: Request) -> Response:
    return await answer_form(request, _logged)


def _logged(request: Request, fields: dict[str, str]) -> Response:
    desk: Desk = request.app.state.house.desk()
    typed, name = Typed(fields), by.who(request, fields)
    draft = _draft(desk, typed, name)
    if draft is None or typed.wrong:
        return _shown(request, desk, typed, status=422)
    odd = noted_doubts(desk.bar, draft.liquid or "", brix=draft.brix, acid=draft.acid, mass_g=draft.mass)
    if odd and typed.text("yes") != "1":
        return _shown(request, desk, typed, doubts=odd, status=409)

    def deed() -> str:
        return done_link(log_made(desk, draft, is_open=typed.text("open") == "1"))

    try:
        address = request.app.state.once.do(fields.get(ONCE, ""), deed)
    except BalancerError as error:
        typed.refuse("liquid", error)
        return _shown(request, desk, typed, status=409)
    return by.led_to(address, name)


def _draft(desk: Desk, typed: Typed, name: str | None) -> LogEntry | None:
    """What was made, as an entry without its id; None where a field is wrong."""
    liquid = typed.text("liquid")
    if desk.specs.find_liquid(liquid) is None:
        typed.refuse("liquid", "say what was made")
    is_syrup = liquid in desk.specs.syrups
    brix = typed.take("brix", values.brix)
    acid = typed.take("acid", in_unit(values.concentration, "g/l"))
    if acid is not None and is_syrup:
        typed.refuse("acid", "only an ingredient's acid is logged: a syrup's stands in its file")
    mass = typed.take("mass", in_unit(values.mass, "g"))
    volume = typed.take("volume", in_unit(lambda text, field: values.volume(text, field, desk.house.measures()), "ml"))
    if typed.text("mass") and typed.text("volume"):
        typed.refuse("volume", "one of them says how much there is: leave the other empty")
    made = typed.take("made", lambda text, field: made_on(desk, text, field)) or desk.today
    last = typed.take("discard", lambda text, field: desk.day(text, field, "ahead"))
    draft = LogEntry(
        batch="", event="made", at=desk.at, liquid=liquid, brix=brix, mass=mass, made=made, discard=last, by=name,
        acid=acid,
    )  # fmt: skip
    if typed.wrong:
        return None
    if volume is None:
        return draft
    try:
        return filled(desk.bar, draft, volume)
    except BalancerError as error:
        typed.refuse("volume", error)
        return None


def _shown(request: Request, desk: Desk, typed: Typed, *, doubts: tuple[str, ...] = (), status: int = 200) -> Response:
    return show(
        request,
        "made.html",
        house=desk.house.name,
        at=desk.at,
        status=status,
        title="Log what was made",
        typed=typed,
        doubts=doubts,
        syrups=sorted_by_name(desk.specs.syrups),
        ingredients=sorted_by_name(desk.specs.ingredients),
        today=desk.today.isoformat(),
    )


ROUTES: Final = (Route("/batches/new", _page), Route("/batches/new", _log, methods=["POST"]))
