"""The batches in the house and those that are gone; and who logs on this device."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from balancer.desk.desk import Desk
from balancer.engine.batch.notes import BatchNow, closed, describe, in_house
from balancer.models.batch import Batch
from balancer.models.days import day_text
from balancer.output.words.batches import standing_acid, standing_strength, state_word
from balancer.web import by
from balancer.web.guard import Guard
from balancer.web.render import show

_SHOWN: Final = 20
"""So many of those that are gone; all where all are asked for."""


@dataclass(frozen=True, slots=True)
class ShownBatch:
    """A batch as a row. last: its last day of use; ends: that is today."""

    tape: str
    name: str
    strength: str
    last: str
    state: str
    ends: bool = False


def _page(request: Request) -> Response:
    desk: Desk = request.app.state.house.desk()
    here = [_now(desk, batch) for batch in in_house(desk.batches)]
    gone = closed(desk.batches)
    every = request.query_params.get("all") == "1"
    shown = gone if every else gone[:_SHOWN]
    return show(
        request,
        "batches.html",
        house=desk.house.name,
        at=desk.at,
        again="/batches?all=1" if every else "",
        title="Batches",
        past=[row_of(item, desk) for item in here if item.past],
        opened=[row_of(item, desk) for item in here if item.batch.state == "open" and not item.past],
        waiting=[row_of(item, desk) for item in here if item.batch.state == "made" and not item.past],
        gone=[row_of(_now(desk, batch), desk) for batch in shown],
        more=len(gone) - len(shown),
        problems=len(desk.log_problems),
    )


def _now(desk: Desk, batch: Batch) -> BatchNow:
    return describe(desk.bar, batch, desk.today)


def row_of(item: BatchNow, desk: Desk) -> ShownBatch:
    """A batch in a few words."""
    batch = item.batch
    last = f"last day {day_text(batch.ends, desk.today)}" if batch.ends else "last day unknown"
    ends = batch.ends == desk.today
    last = "last day today: discard it after service" if ends and batch.state in ("made", "open") else last
    return ShownBatch(batch.id, item.name, measured_text(item), last, state_word(batch), ends)


def measured_text(item: BatchNow) -> str:
    """What was measured of a batch: its strength, or the acid of a juice."""
    label, text = measured_of(item)
    return text if label == "strength" else f"{label} {text}"


def measured_of(item: BatchNow) -> tuple[str, str]:
    """The same with its label apart."""
    if item.batch.acid is None and (item.spec_acid is None or item.batch.brix is not None):
        return "strength", standing_strength(item)
    return "acid", standing_acid(item)


async def _name(request: Request) -> Response:
    """Ask who logs on this device, or take it."""
    guard: Guard = request.app.state.guard
    if request.method == "POST":
        fields = await guard.form(request)
        return by.led_to("/batches", by.tidy(fields.get(by.FIELD, "")))
    desk: Desk = request.app.state.house.desk()
    return show(request, "name.html", house=desk.house.name, at=desk.at, title="Who logs")


ROUTES: Final = (Route("/batches", _page), Route("/name", _name, methods=["GET", "POST"]))
