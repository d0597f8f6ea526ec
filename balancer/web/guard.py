"""What every request must pass before a page sees it: its host, where it comes from, its size, and who may write."""

from __future__ import annotations

import secrets
import time
from collections import OrderedDict
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from typing import Final
from urllib.parse import parse_qsl, urlsplit

from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response

from balancer.web.keys import PageKey
from balancer.web.settings import PageSettings

DEVICE_COOKIE: Final = "balancer_device"
KEY_COOKIE: Final = "balancer_key"
TOKEN: Final = "token"  # noqa: S105 - the name of a field
"""The field of every form that shows it is one of ours."""

MOST_BODY: Final = 32_768
MOST_FIELDS: Final = 100
_FORM: Final = "application/x-www-form-urlencoded"
_YEAR_S: Final = 365 * 24 * 3600
_POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS: Final = {
    "Content-Security-Policy": _POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}

Next = Callable[[Request], Awaitable[Response]]


class RefusedError(Exception):
    """A request that gets no page: the HTTP status, and why in words."""

    def __init__(self, status: int, reason: str) -> None:
        self.status = status
        self.reason = reason
        super().__init__(reason)


@dataclass(slots=True)
class Slowing:
    """Wrong keys: after a few from one address the next is not even looked at for a while, and so for all together."""

    free: int = 5
    wait_s: float = 30.0
    most_s: float = 3600.0
    all_free: int = 50
    tries: OrderedDict[str, tuple[int, float]] = field(default_factory=OrderedDict)
    remembered: int = 10_000

    def left_s(self, address: str, now: float | None = None) -> float:
        """How long an address has to wait still, s."""
        at = time.monotonic() if now is None else now
        return max(self._until(address, self.free) - at, self._until("", self.all_free) - at, 0.0)

    def wrong(self, address: str, now: float | None = None) -> None:
        """A wrong key came from an address."""
        at = time.monotonic() if now is None else now
        for who in (address, ""):
            many, _ = self.tries.pop(who, (0, 0.0))
            self.tries[who] = (many + 1, at)
        while len(self.tries) > self.remembered:
            self.tries.popitem(last=False)

    def right(self, address: str) -> None:
        """The key came from an address."""
        self.tries.pop(address, None)

    def _until(self, who: str, free: int) -> float:
        many, last = self.tries.get(who, (0, 0.0))
        over = many - free
        return last + min(self.wait_s * 2.0 ** min(over, 20), self.most_s) if over >= 0 else 0.0


@dataclass(frozen=True, slots=True)
class Visitor:
    """Who asks: a device, and whether it may log."""

    device: str
    is_new: bool
    may_log: bool


class Guard:
    """The checks, and the forms that have passed them."""

    def __init__(self, settings: PageSettings, key: PageKey) -> None:
        self.settings = settings
        self.key = key
        self.slowing = Slowing()

    async def __call__(self, request: Request, call: Next) -> Response:
        """A middleware: the request's page with its headers, or why there is none."""
        try:
            self._check(request)
        except RefusedError as refused:
            answer: Response = PlainTextResponse(refused.reason, refused.status)
        else:
            request.state.visitor = self.visitor(request)
            answer = await call(request)
            if request.state.visitor.is_new:
                self._give_cookie(answer, DEVICE_COOKIE, request.state.visitor.device)
        for name, value in HEADERS.items():
            answer.headers.setdefault(name, value)
        return answer

    def _check(self, request: Request) -> None:
        host = request.headers.get("host", "")
        if not self.settings.knows(host):
            raise RefusedError(421, f'this page is not called "{host[:60]}"')
        if request.method not in ("GET", "HEAD", "POST"):
            raise RefusedError(405, "only read, or send a form")
        if request.method == "POST":
            self._check_origin(request, host)
            if request.headers.get("content-type", "").partition(";")[0].strip().casefold() != _FORM:
                raise RefusedError(415, "only forms are read")
            length = request.headers.get("content-length", "")
            if length and (not length.isdecimal() or int(length) > MOST_BODY):
                raise RefusedError(413, "the form is too large")

    @staticmethod
    def _check_origin(request: Request, host: str) -> None:
        """A form comes from a page of ours, or not at all: browsers say where it comes from."""
        said = request.headers.get("origin") or request.headers.get("referer") or ""
        if not said or urlsplit(said).netloc.casefold() != host.casefold():
            raise RefusedError(403, "this form was not sent from this page")

    def visitor(self, request: Request) -> Visitor:
        """Who asks."""
        device = self._cookie(request, DEVICE_COOKIE)
        is_new = device is None
        known = device or secrets.token_hex(16)
        may_log = self.settings.is_private or self.is_let_in(request, known)
        return Visitor(known, is_new, may_log)

    def is_let_in(self, request: Request, device: str) -> bool:
        """Whether the key was entered on this device."""
        return self.key.is_signed("key", device, request.cookies.get(KEY_COOKIE, ""))

    def let_in(self, answer: Response, device: str) -> None:
        """Remember on a device that the key was entered there."""
        answer.set_cookie(
            KEY_COOKIE, self.key.sign("key", device), max_age=_YEAR_S, httponly=True, samesite="strict", path="/"
        )

    def token(self, visitor: Visitor) -> str:
        """What a form of this device carries."""
        return self.key.sign("form", visitor.device)

    async def form(self, request: Request, *, to_log: bool = True) -> dict[str, str]:
        """The fields of a form. Raises RefusedError for one that is not ours, too large, or may not log."""
        body = bytearray()
        async for chunk in request.stream():
            body += chunk
            if len(body) > MOST_BODY:
                raise RefusedError(413, "the form is too large")
        try:
            pairs = parse_qsl(body.decode(), keep_blank_values=True, max_num_fields=MOST_FIELDS, errors="strict")
        except ValueError:
            raise RefusedError(400, "the form cannot be read") from None
        fields = dict(pairs)
        visitor: Visitor = request.state.visitor
        if visitor.is_new or not self.key.is_signed("form", visitor.device, fields.pop(TOKEN, "")):
            raise RefusedError(403, "this form is too old: go back, and load the page anew")
        if to_log and not visitor.may_log:
            raise RefusedError(403, "this device only reads: enter the key first")
        return fields

    def _cookie(self, request: Request, name: str) -> str | None:
        """The device's own cookie, if we gave it."""
        value, _, signature = request.cookies.get(name, "").partition(".")
        return value if value and self.key.is_signed("device", value, signature) else None

    def _give_cookie(self, answer: Response, name: str, value: str) -> None:
        signed = f"{value}.{self.key.sign('device', value)}"
        answer.set_cookie(name, signed, max_age=_YEAR_S, httponly=True, samesite="strict", path="/")
