"""Who logs: typed once on a device, and remembered there."""

from __future__ import annotations

from typing import Final
from urllib.parse import quote, unquote

from starlette.requests import Request
from starlette.responses import Response

BY_COOKIE: Final = "balancer_by"
FIELD: Final = "by"
MOST: Final = 40
_YEAR_S: Final = 365 * 24 * 3600


def tidy(text: str) -> str:
    """A name on one line, of a length that fits a row of the log."""
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())[:MOST].rstrip()


def remembered(request: Request) -> str:
    """The name that this device remembers; empty when none."""
    return tidy(unquote(request.cookies.get(BY_COOKIE, ""), errors="replace"))


def who(request: Request, fields: dict[str, str]) -> str | None:
    """Who sends a form: the name typed into it, else the one remembered; None when nobody said."""
    return tidy(fields.get(FIELD, "")) or remembered(request) or None


def remember(answer: Response, name: str | None) -> None:
    """Keep a name on the device that gets an answer; without one, forget any."""
    if name:
        answer.set_cookie(BY_COOKIE, quote(name, safe=""), max_age=_YEAR_S, httponly=True, samesite="strict", path="/")
    else:
        answer.delete_cookie(BY_COOKIE, path="/")
