"""What a device remembers: that the key was entered on it, and how light its page is."""

from __future__ import annotations

import math
from typing import Final

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from balancer.web.guard import Guard, keep
from balancer.web.render import LIGHT_COOKIE, LIGHTS, show
from balancer.web.slowing import wait_text


async def _key(request: Request) -> Response:
    """Ask for the key, or take it. A key that has to wait is not even compared."""
    guard: Guard = request.app.state.guard
    said, status, headers = "", 200, {}
    if request.method == "POST":
        typed = (await guard.form(request, to_log=False)).get("key", "")
        address = guard.address(request)
        left = guard.slowing.left_s(address)
        if left:
            said, status = f"too many wrong keys: wait {wait_text(left)}", 429
            headers = {"Retry-After": str(math.ceil(left))}
        elif guard.key.is_key(typed):
            guard.slowing.right(address)
            answer = RedirectResponse("/", 303)
            guard.let_in(request, answer)
            return answer
        else:
            guard.slowing.wrong(address)
            said, status = "that is not the key: read it again, group by group", 403
    desk = await run_in_threadpool(request.app.state.house.desk)
    page = show(request, "key.html", house=desk.house.name, at=desk.at, status=status, title="Key", said=said)
    page.headers.update(headers)
    return page


async def _light(request: Request) -> Response:
    """Remember the ground of the page."""
    guard: Guard = request.app.state.guard
    wanted = (await guard.form(request, to_log=False)).get("light", "")
    answer = RedirectResponse("/", 303)
    if wanted in LIGHTS:
        keep(answer, LIGHT_COOKIE, wanted)
    else:
        answer.delete_cookie(LIGHT_COOKIE, path="/")
    return answer


ROUTES: Final = (
    Route("/key", _key, methods=["GET", "POST"]),
    Route("/light", _light, methods=["POST"]),
)
