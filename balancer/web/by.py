"""Who logs: typed once on a device, and remembered there."""

from __future__ import annotations

from typing import Final
from urllib.parse import quote, unquote

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from balancer.models.lengths import MOST, refuse_long
from balancer.web.guard import keep

BY_COOKIE: Final = "balancer_by"
FIELD: Final = "by"


def tidy(text: str) -> str:
    """A name on one line. Raises UsageError for one that is longer than the log takes."""
    name = " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())
    refuse_long("by", name, "name")
    return name


def remembered(request: Request) -> str:
    """The name that this device remembers; empty when none."""
    name = unquote(request.cookies.get(BY_COOKIE, ""), errors="replace")
    return tidy(name[: MOST["by"]])  # no page set a longer one


def who(request: Request, fields: dict[str, str]) -> str | None:
    """Who sends a form: the name typed into it, else the one remembered; None when nobody said."""
    return tidy(fields.get(FIELD, "")) or remembered(request) or None


def led_to(address: str, name: str | None) -> Response:
    """The way to what a form led to, and its sender's name kept on the device; without one, any is forgotten."""
    answer = RedirectResponse(address, 303)
    if name:
        keep(answer, BY_COOKIE, quote(name, safe=""))
    else:
        answer.delete_cookie(BY_COOKIE, path="/")
    return answer
