"""A swap or an adjusted drink written as a spec: what would change in which file first, then that and nothing else."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Final, Literal, get_args
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from balancer.desk.desk import Desk
from balancer.desk.keeping import also_changed, edit_of, kept_of
from balancer.engine.swaps.kept import changes_of
from balancer.errors import BalancerError
from balancer.files.house.edit import Edit
from balancer.files.house.write_edit import write_edit
from balancer.models.changes import NOTHING_ELSE, AlsoChanged, PourChange
from balancer.models.drink import Drink
from balancer.output.screen.edit import heeds_of
from balancer.output.words.edit import FileChange, Kept
from balancer.web import by
from balancer.web.adjusting import asked_adjust
from balancer.web.card import CHANGED, NEW, WRITTEN
from balancer.web.guard import Guard, RefusedError, answer_form
from balancer.web.once import FIELD as ONCE
from balancer.web.render import show
from balancer.web.swapping import asked_swap
from balancer.web.typed import Typed, untyped

Rewrite = Literal["swap", "adjust"]
AS: Final = "as"
SEEN: Final = "seen"
"""The field that holds what of the change was shown."""


@dataclass(slots=True)
class Writing:
    """What is to be written of an answer.

    typed    the fields of the form, and what is wrong with each
    fields   the question that it answers, and back the address of the answer
    name     of the new drink; None to change the drink itself
    why_not  why it is none to write; "" where it is one
    """

    what: Rewrite
    desk: Desk
    typed: Typed
    fields: dict[str, str]
    drink: Drink
    name: str | None
    by: str | None
    changes: tuple[PourChange, ...] = ()
    also: AlsoChanged = NOTHING_ELSE
    why_not: str = ""
    edit: Edit | None = None
    kept: Kept | None = None

    @property
    def seen(self) -> str:
        """What stands for the change as it is shown: another one as soon as a letter of it is."""
        if self.edit is None:
            return ""
        told = repr((str(self.edit.path), self.edit.old, self.edit.new, self.why_not))
        return hashlib.sha256(told.encode()).hexdigest()[:32]


class _NotWrittenError(Exception):
    """What was to be written is no longer that, or cannot be; nothing was."""

    def __init__(self, found: Writing, *, changed: bool) -> None:
        self.found, self.changed = found, changed
        super().__init__("not written")


def _checked(request: Request) -> None:
    """Raises RefusedError where specs are not to be changed from this page."""
    guard: Guard = request.app.state.guard
    if not guard.settings.edit:
        raise RefusedError(403, "specs are not changed from this page: it was started without --edit")


def _writing(what: Rewrite, request: Request, fields: Mapping[str, str], held: Sequence[str]) -> Writing:
    """What a form asks to write, tried out. Raises RefusedError where it asks for nothing that can be answered."""
    desk = request.app.state.house.desk()
    name = " ".join(fields.get(AS, "").split()) or None
    who = by.who(request, dict(fields))
    if what == "swap":
        swapped = asked_swap(desk, fields, held)
        typed, drink, result = swapped.typed, swapped.drink, swapped.result
        if drink is None or result is None or typed.wrong:
            raise RefusedError(422, "; ".join(typed.wrong.values()) or "nothing says what is to be written")
        found = Writing(what, desk, typed, swapped.fields, drink, name, who)
        found.changes = () if swapped.is_made_up else changes_of(desk.bar, drink, result.pours, swapped.out_id)
        found.also = also_changed(result.new, None, is_new=name is not None, resized=False)
        if swapped.is_made_up:
            found.why_not = "no drink can pour what the house has no file of"
        elif swapped.is_tonight:
            found.why_not = "what is right for one batch is no spec"
        elif not result.is_sound:
            found.why_not = "that is no answer to keep"
    else:
        adjusted = asked_adjust(desk, fields)
        typed, drink, changed = adjusted.typed, adjusted.drink, adjusted.result
        if drink is None or changed is None or typed.wrong:
            raise RefusedError(422, "; ".join(typed.wrong.values()) or "nothing says what is to be written")
        found = Writing(what, desk, typed, adjusted.fields, drink, name, who)
        found.changes = changes_of(desk.bar, drink, changed.pours)
        resized = changed.asked.resizes
        found.also = also_changed(changed.new, changed.new_glass, is_new=name is not None, resized=resized)
        if not changed.is_sound:
            found.why_not = "that is no answer to keep"
    if not found.why_not and not (found.changes or name or found.also.glass):
        found.why_not = "it is poured as written"
    if not found.why_not:
        _try_out(found)
    return found


def _try_out(found: Writing) -> None:
    """The change in its file, not yet written; what is wrong with it stands at the name."""
    try:
        found.edit = edit_of(found.desk, found.drink, found.changes, as_name=found.name, by=found.by, also=found.also)
    except BalancerError as error:
        found.typed.refuse(AS, error)
        return
    found.kept = kept_of(found.desk, found.edit, found.drink, found.changes)


def _shown(request: Request, found: Writing, *, changed: bool = False, status: int = 200) -> Response:
    desk, kept = found.desk, found.kept
    return show(
        request,
        "write.html",
        house=desk.house.name,
        at=desk.at,
        status=422 if found.typed.wrong else status,
        again=f"/{found.what}",
        title=f"Write {found.name or found.drink.name}",
        writing=found,
        typed=found.typed,
        drink=found.drink,
        back=f"/{found.what}",
        change=kept.change if kept else None,
        where=_file(desk, kept.change) if kept else "",
        heeds=_heeds(kept, desk) if kept else [],
        doubted=bool(kept and kept.doubted),
        changed=changed,
        who=found.by or "",
    )


def _heeds(kept: Kept, desk: Desk) -> list[str]:
    return [untyped(text.removeprefix("heed: ")) for text in (*kept.change.parted, *heeds_of(kept, desk.house))]


def _file(desk: Desk, change: FileChange) -> str:
    """The file, as the bar's folder holds it."""
    try:
        return Path(change.path).relative_to(desk.folder).as_posix()
    except ValueError:
        return Path(change.path).name


async def _ask(request: Request, what: Rewrite) -> Response:
    _checked(request)
    held = request.query_params.getlist("hold")
    found = await run_in_threadpool(_writing, what, request, dict(request.query_params), held)
    return _shown(request, found)


async def _write(request: Request, what: Rewrite) -> Response:
    _checked(request)
    return await answer_form(request, partial(_written, what))


def _written(what: Rewrite, request: Request, fields: dict[str, str]) -> Response:
    """Write what was shown, once; where a form is sent twice, what the first one wrote is shown again."""

    def deed() -> str:
        found = _writing(what, request, fields, [fields.get("hold", "")])
        edit = found.edit
        if edit is None or fields.get(SEEN, "") != found.seen:
            raise _NotWrittenError(found, changed=edit is not None)
        try:
            write_edit(found.desk.own_folder, edit, at=found.desk.at)
        except BalancerError as error:
            found.typed.refuse(AS, error)
            raise _NotWrittenError(found, changed=False) from None
        done = NEW if found.name else CHANGED
        return f"/drinks/{quote(edit.drink or found.drink.id, safe='')}?{WRITTEN}={done}"

    try:
        address = request.app.state.once.do(fields.get(ONCE, ""), deed)
    except _NotWrittenError as error:
        return _shown(request, error.found, changed=error.changed, status=409)
    return by.led_to(address, by.who(request, fields))


ROUTES: Final = tuple(
    Route(f"/{what}/write", partial(asked, what=what), methods=[method])
    for what in get_args(Rewrite)
    for method, asked in (("GET", _ask), ("POST", _write))
)
