"""What a device remembers: that the key was entered on it, and how light its page is."""

from __future__ import annotations

from typing import Final

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from balancer.web.guard import Guard, RefusedError
from balancer.web.render import LIGHT_COOKIE, LIGHTS, show

_YEAR_S: Final = 365 * 24 * 3600


async def _key(request: Request) -> Response:
    """Ask for the key, or take it."""
    guard: Guard = request.app.state.guard
    said = ""
    if request.method == "POST":
        typed = (await guard.form(request, to_log=False)).get("key", "")
        address = request.client.host if request.client else ""
        left = guard.slowing.left_s(address)
        if left:
            raise RefusedError(429, f"too many wrong keys: wait {left:.0f} s")
        if guard.key.is_key(typed):
            guard.slowing.right(address)
            answer = RedirectResponse("/", 303)
            guard.let_in(answer, request.state.visitor.device)
            return answer
        guard.slowing.wrong(address)
        said = "that is not the key"
    desk = request.app.state.house.desk()
    return show(
        request, "key.html", house=desk.house.name, at=desk.at, status=403 if said else 200, title="Key", said=said
    )


async def _light(request: Request) -> Response:
    """Remember the ground of the page."""
    guard: Guard = request.app.state.guard
    wanted = (await guard.form(request, to_log=False)).get("light", "")
    answer = RedirectResponse("/", 303)
    if wanted in LIGHTS:
        answer.set_cookie(LIGHT_COOKIE, wanted, max_age=_YEAR_S, httponly=True, samesite="strict", path="/")
    else:
        answer.delete_cookie(LIGHT_COOKIE, path="/")
    return answer


ROUTES: Final = (
    Route("/key", _key, methods=["GET", "POST"]),
    Route("/light", _light, methods=["POST"]),
)
