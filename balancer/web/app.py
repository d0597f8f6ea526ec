"""The page's addresses: each is answered by one module of `pages`."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import FileResponse, PlainTextResponse, Response
from starlette.routing import Route

from balancer.errors import BalancerError
from balancer.output.paper.typeset import FONTS
from balancer.web.guard import Guard, Guarded, RefusedError
from balancer.web.house import OpenHouse
from balancer.web.keys import PageKey
from balancer.web.live import Listening, Watch
from balancer.web.once import Once
from balancer.web.pages import (
    adjust,
    batch,
    batches,
    chart,
    device,
    drink,
    made,
    prep,
    printing,
    read,
    swap,
    tonight,
    trouble,
    write,
)
from balancer.web.printer import Printer
from balancer.web.render import HERE
from balancer.web.settings import PageSettings
from balancer.web.ticks import Ticks

_STATIC: Final[dict[str, tuple[Path, str]]] = {
    "page.css": (HERE / "static" / "page.css", "text/css"),
    "page.js": (HERE / "static" / "page.js", "text/javascript"),
    "key.js": (HERE / "static" / "key.js", "text/javascript"),
    "mark.svg": (HERE / "static" / "mark.svg", "image/svg+xml"),
    "htmx.min.js": (HERE / "static" / "htmx.min.js", "text/javascript"),
    **{name: (FONTS / name, "font/otf") for name in ("Inter-Regular.otf", "Inter-SemiBold.otf", "Inter-Bold.otf")},
}
"""Every file that is given out: no part of an address ever becomes a path."""


def page_app(house: OpenHouse, settings: PageSettings, key: PageKey) -> Starlette:
    """The page of a folder."""
    guard = Guard(settings, key)
    app = Starlette(
        routes=[
            *tonight.ROUTES,
            *drink.ROUTES,
            *device.ROUTES,
            *read.ROUTES,
            *batches.ROUTES,
            *made.ROUTES,
            *batch.ROUTES,
            *swap.ROUTES,
            *adjust.ROUTES,
            *write.ROUTES,
            *prep.ROUTES,
            *chart.ROUTES,
            *printing.ROUTES,
            Route("/changes", _changes),
            Route("/still-there", _still_there),
            Route("/static/{name}", _static),
        ],
        middleware=[Middleware(Guarded, guard=guard)],
        exception_handlers={
            BalancerError: trouble.of_bar,
            RefusedError: trouble.refused,
            HTTPException: trouble.not_there,
            Exception: trouble.unexpected,
        },
    )
    app.router.redirect_slashes = False
    app.state.house = house
    app.state.guard = guard
    app.state.once = Once()
    app.state.watch = Watch(house)
    app.state.printer = Printer()
    app.state.ticks = Ticks(house.folder)
    house.beside = (app.state.ticks.path,)
    return app


def _static(request: Request) -> Response:
    known = _STATIC.get(request.path_params["name"])
    if known is None:
        raise HTTPException(404)
    path, kind = known
    return FileResponse(path, media_type=kind, headers={"Cache-Control": "max-age=3600"})


async def _changes(request: Request) -> Response:
    """Tell a page of changes since it was made, or since it last heard of one."""
    if request.method == "HEAD":
        return Response(media_type="text/event-stream")
    known = request.headers.get("last-event-id") or request.query_params.get("since", "")
    return Listening(request.app.state.watch, request.app.state.guard.address(request), known)


async def _still_there(request: Request) -> Response:
    """For browsers without server-sent events: what stands for the files as they are."""
    watch: Watch = request.app.state.watch
    return PlainTextResponse(await watch.mark())
