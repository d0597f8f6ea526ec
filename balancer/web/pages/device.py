"""What a device remembers: that the key was entered on it, and how light its page is."""

from __future__ import annotations

import math
import re
from typing import Final

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from balancer.web.guard import Guard, keep
from balancer.web.render import LET_IN_COOKIE, LIGHT_COOKIE, LIGHTS, show
from balancer.web.slowing import wait_text

NEXT: Final = "next"
"""The field of the key's form that names the page to come back to."""

_LONGEST_KEY: Final = 40
_LONGEST_PATH: Final = 2000
_TOLD_S: Final = 60
_OWN: Final = re.compile(r"/(?:[\w.~%+&=?:,;@!$'()*-][\w.~%+&=?:,;@!$'()*/-]*)?", re.ASCII)
"""A path of this page: one slash first, so that no browser takes what follows for another machine."""


def own_path(text: str) -> str:
    """A path of this page to come back to, with its question; tonight where the text is none.

    >>> own_path("/read?what=batch%3ARAS-12&reading=54"), own_path("//elsewhere.example"), own_path("/key?next=/")
    ('/read?what=batch%3ARAS-12&reading=54', '/', '/')
    """
    is_own = len(text) <= _LONGEST_PATH and _OWN.fullmatch(text) and text.partition("?")[0] != "/key"
    return text if is_own else "/"


async def _key(request: Request) -> Response:
    """Ask for the key, or take it. A key that has to wait is not even compared."""
    guard: Guard = request.app.state.guard
    said, status, headers, typed = "", 200, {}, ""
    wanted = request.query_params.get(NEXT, "")
    if request.method == "POST":
        fields = await guard.form(request, to_log=False)
        typed, wanted = fields.get("key", "")[:_LONGEST_KEY], fields.get(NEXT, "")
        address = guard.address(request)
        left = guard.slowing.left_s(address)
        if left:
            said, status = f"too many wrong keys: wait {wait_text(left)}", 429
            typed = ""  # it may be the key, which stands on no page
            headers = {"Retry-After": str(math.ceil(left))}
        elif guard.key.is_key(typed):
            guard.slowing.right(address)
            answer = RedirectResponse(own_path(wanted), 303)
            guard.let_in(request, answer)
            keep(answer, LET_IN_COOKIE, "1", for_s=_TOLD_S)
            return answer
        else:
            guard.slowing.wrong(address)
            said, status = "that is not the key: read it again, group by group", 403
    desk = await run_in_threadpool(request.app.state.house.desk)
    page = show(
        request,
        "key.html",
        house=desk.house.name,
        at=desk.at,
        status=status,
        title="Key",
        said=said,
        typed=typed,
        next=own_path(wanted),
    )
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
