"""What is shown in place of a page: what is wrong, and what to do."""

from __future__ import annotations

import logging
import os
import traceback
from datetime import datetime
from pathlib import Path

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from balancer.errors import BalancerError, Problem
from balancer.web.guard import HEADERS, RefusedError
from balancer.web.render import show

_LOG = logging.getLogger("balancer.page")


def of_bar(request: Request, error: Exception) -> Response:
    """The bar's files or what was asked: told as the command line tells it."""
    found = error.problems() if isinstance(error, BalancerError) else ()
    return _shown(request, "That cannot be answered", found, 409)


def refused(request: Request, error: Exception) -> Response:
    """A form that is not read."""
    status, reason = (error.status, error.reason) if isinstance(error, RefusedError) else (403, "refused")
    return _shown(request, "Not done", (Problem("refused", reason, "go back and try again"),), status)


def not_there(request: Request, error: Exception) -> Response:
    """An address that nothing is at."""
    status = error.status_code if isinstance(error, HTTPException) else 404
    return _shown(request, "Nothing is here", (Problem("not-here", "no page has this address", "see tonight"),), status)


def unexpected(request: Request, error: Exception) -> Response:
    """A fault of ours: it is noted where the page runs, and nothing of it is shown."""
    place = traceback.extract_tb(error.__traceback__)[-1]
    where = f"{Path(place.filename).name}:{place.lineno}"
    # a path may hold what a terminal would obey
    _LOG.error("%a failed: %s at %s", request.url.path[:200], type(error).__name__, where, exc_info=_whole(error))
    problem = Problem("fault", "this page failed", "look at the log whether it was done; tell whoever runs the page")
    answer = _shown(request, "This did not work", (problem,), 500, has_failed=True)
    answer.headers.update(HEADERS)  # it stands outside the guard
    return answer


def _whole(error: Exception) -> Exception | None:
    return error if os.environ.get("BALANCER_DEBUG") else None


def _shown(
    request: Request, title: str, problems: tuple[Problem, ...], status: int, *, has_failed: bool = False
) -> Response:
    folder = request.app.state.house.folder.resolve()
    return show(
        request,
        "trouble.html",
        house=folder.name if has_failed else _name(request, folder),
        at=datetime.now().astimezone(),
        status=status,
        title=title,
        problems=problems,
    )


def _name(request: Request, folder: Path) -> str:
    """The house's name; the folder's where its files cannot be read."""
    try:
        return str(request.app.state.house.desk().house.name)
    except (BalancerError, OSError):
        return folder.name
