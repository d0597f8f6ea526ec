"""Pages out of templates: whatever a bar wrote is shown, never read as markup."""

from __future__ import annotations

import os
from collections.abc import Sequence
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any, Final, NamedTuple
from urllib.parse import quote

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.requests import Request
from starlette.responses import HTMLResponse

from balancer.engine.batch.history import batch_key
from balancer.models.lengths import MOST
from balancer.unseen import seen
from balancer.web import by
from balancer.web.guard import Guard, Visitor

HERE: Final = Path(__file__).parent
LIGHTS: Final = ("day", "lamp")
"""The two grounds of the page; without either the device decides."""
LIGHT_COOKIE: Final = "balancer_light"

LET_IN_COOKIE: Final = "balancer_let_in"
"""Set for the one page after the key was entered, which says so."""


class Screen(NamedTuple):
    """One of the screens that the page's own list names."""

    address: str
    name: str


SCREENS: Final = (
    Screen("/", "Tonight"),
    Screen("/read", "Read"),
    Screen("/batches", "Batches"),
    Screen("/drinks", "Drinks"),
    Screen("/prep", "Prep"),
)


@cache
def _templates() -> Environment:
    found = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_plain,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.filters["batch_link"] = batch_link
    found.filters["from_folder"] = from_folder
    found.filters["begun"] = begun
    return found


def show(
    request: Request,
    template: str,
    *,
    house: str,
    at: datetime,
    status: int = 200,
    again: str = "",
    **shown: Any,
) -> HTMLResponse:
    """A page.

    house  the bar's name
    at     the moment it was worked out
    again  where the same is asked again, if not at the address itself
    """
    guard: Guard = request.app.state.guard
    visitor: Visitor = request.state.visitor
    light = request.cookies.get(LIGHT_COOKIE, "")
    folder: Path = request.app.state.house.folder
    entered = bool(request.cookies.get(LET_IN_COOKIE)) and visitor.may_log
    text = _templates().get_template(template).render(
        house=house,
        heard=at,
        path=request.url.path,
        again=again or request.url.path,
        once=request.app.state.once.number,
        by=by.remembered(request),
        by_most=MOST["by"],
        screens=SCREENS,
        light=light if light in LIGHTS else "",
        mark=request.state.mark,
        token=guard.token(visitor),
        may_log=visitor.may_log,
        folders=[str(folder), str(folder.resolve())],
        here=_address(request, again),
        let_in=entered,
        may_edit=guard.settings.edit,
        only_reads=guard.settings.only_reads,
        **shown,
    )  # fmt: skip
    answer = HTMLResponse(text, status)
    if entered:
        answer.delete_cookie(LET_IN_COOKIE, path="/")
    return answer


def _address(request: Request, again: str) -> str:
    """Where a device comes back to: the page with its question; of an answered form the page that it stood on."""
    if request.method == "POST":
        return again or "/"
    return request.url.path + (f"?{request.url.query}" if request.url.query else "")


def _plain(value: Any) -> Any:
    """What is shown, without what would turn or break the text around it."""
    return seen(value) if isinstance(value, str) else value


def from_folder(text: str, folders: Sequence[str]) -> str:
    """A text with its paths as the bar's folder holds them: where that lies on the machine is nobody's to know.

    >>> from_folder("cannot read /srv/bar/specs/house.yaml of /srv/bar/specs", ["/srv/bar/specs"])
    'cannot read house.yaml of specs'
    """
    for folder in folders:
        if len(Path(folder).parts) > 1 and Path(folder).is_absolute():
            text = text.replace(f"{folder}{os.sep}", "").replace(folder, Path(folder).name)
    return text


def begun(text: str) -> str:
    """A text as a sentence begins.

    >>> begun("raspberry, not RAS-12"), begun("54.6 °Bx"), begun("")
    ('Raspberry, not RAS-12', '54.6 °Bx', '')
    """
    return f"{text[:1].upper()}{text[1:]}"


def halves(number: str) -> tuple[str, str]:
    """A number in its two sizes: the figures before the decimal point, and the rest. A fraction alone is in one.

    >>> halves("17.5"), halves("20"), halves("¾"), halves("1 1/2"), halves("1/6")
    (('17', '.5'), ('20', ''), ('¾', ''), ('1', ' 1/2'), ('1/6', ''))
    """
    whole = number[: len(number) - len(number.lstrip("0123456789"))]
    if number[len(whole) : len(whole) + 1] in ("/", "\N{FRACTION SLASH}"):
        return number, ""
    return (whole, number[len(whole) :]) if whole else (number, "")


def batch_link(identity: str) -> str:
    """The address of a batch's page.

    >>> batch_link("RAS-12"), batch_link("ras 12/b")
    ('/batches/RAS-12', '/batches/ras-12-b')
    """
    key = batch_key(identity)
    return f"/batches/{quote(identity if identity.lower() == key else key, safe='')}"
