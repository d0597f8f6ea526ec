"""What can be printed, as PDFs made when they are asked for; and which cards hang.

A PDF is looked at, printed again or thrown away: asking for one notes nothing. That the cards hang is said by a button
of its own, and only then do they count as printed.
"""

from __future__ import annotations

import re
from typing import Final
from urllib.parse import urlencode

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from balancer.desk.desk import Desk
from balancer.engine.drink.withdraw import gone
from balancer.errors import BalancerError
from balancer.files.house.printed import remember
from balancer.output.paper.imposition import PAPERS
from balancer.output.paper.label_sizes import SIZES as LABEL_SIZES
from balancer.output.paper.label_sizes import size_of
from balancer.output.paper.printed_page import PAPER_NAMES
from balancer.output.words.numbers import some
from balancer.web.guard import Guard
from balancer.web.house import sorted_by_name
from balancer.web.papers import LABEL, PAPERS_OF, CardsNow, Printing, cards_now, known, order_of, printable
from balancer.web.render import show
from balancer.web.typed import sentence, untyped

_NAMED: Final = 6
_OF_A_PDF: Final = "default-src 'none'; object-src 'self'; style-src 'unsafe-inline'; frame-ancestors 'none'"
"""Browsers show a PDF as an object in a page of their own, which has styles."""
_SHEETS: Final = {
    "prep": ("Prep", "what to do today, with boxes"),
    "strips": ("Strips", "a strip for every open bottle that pours a new amount tonight"),
    "rail": ("Rail", "every drink in short form, as written"),
    "allergens": ("Allergens", "drinks against allergens, and what nobody listed"),
}


def _page(request: Request) -> Response:
    desk: Desk = request.app.state.house.desk()
    return _shown(request, desk, done=request.query_params.get("hung") == "1")


def _shown(request: Request, desk: Desk, *, done: bool = False, wrong: str = "", status: int = 200) -> Response:
    on = request.query_params.get("on", "a4")
    paper = on if on in PAPERS else "a4"
    now, trouble = _cards(desk)
    return show(
        request,
        "print.html",
        house=desk.house.name,
        at=desk.at,
        status=status,
        title="Print",
        paper=paper,
        papers=PAPER_NAMES,
        sheets=_SHEETS,
        sizes=[(word, size_of(word).name) for word in LABEL_SIZES],
        size=LABEL,
        drinks=sorted_by_name(desk.specs.drinks),
        trouble=trouble,
        changed=_named(desk, now) if now else "",
        many=len(now.found.changed) if now else 0,
        away=some((card.name for card in now.found.pull), _NAMED) if now and now.found.pull else "",
        shown=now.shown if now else "",
        is_demo=desk.is_demo,
        done=done,
        wrong=wrong,
    )


def _cards(desk: Desk) -> tuple[CardsNow | None, str]:
    """The cards as they would be printed now, or why none can be."""
    try:
        return cards_now(desk, order_of(None)), ""
    except BalancerError as error:
        return None, sentence(error)


def _named(desk: Desk, now: CardsNow) -> str:
    return some((desk.specs.drinks[drink].name for drink in now.found.changed), _NAMED)


async def _pdf(request: Request) -> Response:
    name = request.path_params["name"]
    if name not in PAPERS_OF:
        raise HTTPException(404)
    async with request.app.state.printer.turn():
        return await run_in_threadpool(_printed, request, name)


def _printed(request: Request, name: str) -> Response:
    desk: Desk = request.app.state.house.desk()
    asked = known(desk, request.query_params)
    if asked is None or (name == "chart" and "syrup" not in asked):
        raise HTTPException(404)
    made = PAPERS_OF[name](desk, asked)
    if made.pdf and (not made.missing or request.query_params.get("anyway") == "1"):
        headers = {
            "Content-Disposition": f'inline; filename="{safe_name(made.name)}"',
            "Content-Security-Policy": _OF_A_PDF,
        }
        return Response(made.pdf, media_type="application/pdf", headers=headers)
    return _left_out(request, desk, made, f"/print/{name}.pdf?{urlencode(asked | {'anyway': '1'})}")


def _left_out(request: Request, desk: Desk, made: Printing, anyway: str) -> Response:
    """Say what would be missing before it is printed; or that there is nothing to print."""
    return show(
        request,
        "print-left-out.html",
        house=desk.house.name,
        at=desk.at,
        title="Not all of it can be printed" if made.pdf else "Nothing to print",
        missing=[untyped(text) for text in made.missing],
        anyway=anyway if made.pdf else "",
    )


def safe_name(name: str) -> str:
    """A name of a file that no browser reads as anything else.

    >>> safe_name('card-a"b/..;c.pdf')
    'card-a-b-c.pdf'
    """
    stem = re.sub(r"[^a-z0-9]+", "-", name.removesuffix(".pdf").casefold()).strip("-")
    return f"{stem}.pdf"


async def _hung(request: Request) -> Response:
    guard: Guard = request.app.state.guard
    fields = await guard.form(request)
    async with request.app.state.printer.turn():
        return await run_in_threadpool(_noted, request, fields)


def _noted(request: Request, fields: dict[str, str]) -> Response:
    """Note the cards that hang now; those that would be others by now are not noted."""
    desk: Desk = request.app.state.house.desk()
    order = order_of(None)
    now = cards_now(desk, order)
    if now.shown != fields.get("shown", ""):
        return _shown(
            request, desk, wrong="A spec has changed since this page was made: print what changed first.", status=409
        )
    menu = {*desk.specs.drinks, *(entry.id for entry in desk.loaded.broken_of("drinks"))}
    remember(desk.own_folder, printable(desk, now, order), [one.drink for one in gone(now.found.pull, menu)])
    return RedirectResponse("/print?hung=1", 303)


ROUTES: Final = (
    Route("/print", _page),
    Route("/print", _hung, methods=["POST"]),
    Route("/print/{name}.pdf", _pdf),
)
