"""What prep does today, row by row as the printed list has it, with ticks that all devices see."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby
from typing import Final
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from balancer.desk.desk import Desk
from balancer.engine.prep.prep_list import Prep, prep
from balancer.models.batch import Batch
from balancer.models.look import ENGLISH
from balancer.output.paper.language import words_of
from balancer.output.paper.prep import prep_rows
from balancer.output.paper.prep_row import PrepCautions, PrepRow
from balancer.output.words.numbers import count, weekday_text
from balancer.web import by
from balancer.web.asked import BATCH
from balancer.web.guard import RefusedError, answer_form
from balancer.web.render import batch_link, show
from balancer.web.ticks import Tick, Ticks

_KINDS: Final = ("discard", "last-day", "ask", "read", "correct", "make", "waiting")


@dataclass(frozen=True, slots=True)
class ShownTask:
    """One thing to do.

    key    of its tick: another one when the row says something else, so that old ticks do not count for it
    pours  what to weigh: the amount and of what, with what the recipe measures otherwise; small: in parts, or of all
    heed   what nobody should miss; lines: what else to know
    act    what logs it, and its address; empty where nothing does
    tick   None until somebody ticks it
    """

    key: str
    tape: str
    name: str
    facts: tuple[str, ...]
    pours: tuple[tuple[str, str], ...]
    small: tuple[tuple[str, str], ...]
    heed: tuple[str, ...]
    lines: tuple[str, ...]
    act: tuple[str, str]
    tick: Tick | None


@dataclass(frozen=True, slots=True)
class ShownTasks:
    """The tasks of one kind; left: those that nobody ticked."""

    title: str
    note: str
    tasks: tuple[ShownTask, ...]

    @property
    def left(self) -> int:
        """How many are not ticked."""
        return sum(task.tick is None for task in self.tasks)


def _page(request: Request) -> Response:
    desk: Desk = request.app.state.house.desk()
    result = todays(desk)
    found = tasks(result, desk, request.app.state.ticks.of(desk.today))
    return show(
        request,
        "prep.html",
        house=desk.house.name,
        at=desk.at,
        title=f"Prep, {weekday_text(desk.today)}",
        lead=lead_text(found),
        sections=found,
        leave=[(task.batch.id, task.item.name) for task in result.leave],
        missing=desk.loaded.left_out("syrups"),
        problems=len(desk.log_problems),
    )


def todays(desk: Desk) -> Prep:
    """The day's list, as `sheet prep` asks it."""
    _, batches = desk.until(desk.today)
    return prep(desk.bar, batches, desk.today)


def tasks(result: Prep, desk: Desk, ticks: dict[str, Tick]) -> list[ShownTasks]:
    """The day's list by what to do."""
    words = words_of(ENGLISH)
    said = PrepCautions(words)
    rows = [*prep_rows(result, words, said)]
    cautions = {int(one["number"]): str(one["caution"]) for one in said.listed()}
    kinds = {words(f"prep.{kind}"): kind for kind in _KINDS}
    known = {batch.id: batch for batch in desk.batches}
    syrups = {item.syrup.name: item.syrup.id for item in result.make}
    found = []
    for title, group in groupby(rows, lambda row: str(row["section"])):
        here = [*group]
        shown = [_task(row, kinds[title], cautions, known, syrups, ticks) for row in here]
        found.append(ShownTasks(title, here[0]["note"], tuple(shown)))
    return found


def lead_text(found: Iterable[ShownTasks]) -> str:
    """What the page comes to."""
    left, all_ = sum(one.left for one in found), sum(len(one.tasks) for one in found)
    if not all_:
        return "Nothing to put right: everything in the house may be used as it is."
    if left == all_:
        return f"{count(left, 'things')} to do."
    return f"{left} of {count(all_, 'things')} left to do." if left else "All of it is ticked."


def _task(
    row: PrepRow,
    kind: str,
    cautions: dict[int, str],
    known: dict[str, Batch],
    syrups: dict[str, str],
    ticks: dict[str, Tick],
) -> ShownTask:
    tape, name = row["id"], row["what"]
    allergens = [f"contains {', '.join(row['listed'])}"] if row["listed"] else []
    allergens += [f"allergens unknown: {', '.join(row['unknown'])}"] if row["unknown"] else []
    heed = [one["text"] for one in row["lines"] if one["weight"] == "bold"]
    lines = [one["text"] for one in row["lines"] if one["weight"] != "bold"]
    drinks = ", ".join([*row["drinks"], *([row["more_drinks"]] if row["more_drinks"] else [])])
    pours, small = (tuple(_weighed(one) for one in row[key]) for key in ("pours", "small"))
    state = known.get(tape)
    key = _key(kind, tape or name, (pours, small, heed, lines), state)
    return ShownTask(
        key=key,
        tape=tape,
        name=name,
        facts=tuple(row["facts"]),
        pours=pours,
        small=small,
        heed=(*heed, *allergens, *(cautions[number] for number in row["cautions"])),
        lines=(*lines, *([row["shows"]] if row["shows"] else []), *([f"poured in {drinks}"] if drinks else [])),
        act=_act(kind, tape, syrups.get(name, "")),
        tick=ticks.get(key),
    )


def _weighed(pour: PrepRow) -> tuple[str, str]:
    """An amount, and of what."""
    note = f", {pour['note']}" if pour["note"] else ""
    return f"{pour['number']} {pour['unit']}".strip(), f"{pour['name']}{note}"


def _key(kind: str, about: str, said: object, batch: Batch | None) -> str:
    """Short, and another one as soon as what is to be done is another thing: what was ticked then is not done now."""
    state = None if batch is None else (batch.state, batch.readings, batch.brix, batch.mass)
    return hashlib.sha256(repr((kind, about, said, state)).encode()).hexdigest()[:16]


def _act(kind: str, tape: str, syrup: str) -> tuple[str, str]:
    """Where a row is logged: what the link says, and its address."""
    match kind:
        case "discard":
            return "Log that it is discarded", batch_link(tape)
        case "read":
            return f"Read {tape}", f"/read?{urlencode({'what': f'{BATCH}{tape}'})}"
        case "correct":
            return "Log the correction", f"{batch_link(tape)}#correct"
        case "make":
            return "Log what was made", f"/batches/new?{urlencode({'liquid': syrup})}"
        case _:
            return (f"See {tape}", batch_link(tape))


async def _tick(request: Request) -> Response:
    return await answer_form(request, _ticked)


def _ticked(request: Request, fields: dict[str, str]) -> Response:
    """Keep a tick of a row that is on the list; one that is gone from it needs none."""
    desk: Desk = request.app.state.house.desk()
    ticks: Ticks = request.app.state.ticks
    key, done = fields.get("row", ""), fields.get("done", "")
    if done not in ("yes", "no"):
        raise RefusedError(400, "the form says neither that it is done nor that it is not")
    rows = {task.key for section in tasks(todays(desk), desk, {}) for task in section.tasks}
    if key not in rows:
        return RedirectResponse("/prep", 303)
    ticks.tick(desk.today, key, desk.at, by.who(request, fields), done=done == "yes")
    return RedirectResponse(f"/prep#row-{key}", 303)


ROUTES: Final = (Route("/prep", _page), Route("/prep", _tick, methods=["POST"]))
