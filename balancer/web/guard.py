"""What every request must pass before a page sees it: its host, where it comes from, its size, and who may write."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final
from urllib.parse import parse_qsl

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import MutableHeaders
from starlette.requests import ClientDisconnect, Request
from starlette.responses import PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from balancer.web.hosts import household, is_from, is_loopback, number, place
from balancer.web.keys import PageKey
from balancer.web.settings import PageSettings
from balancer.web.slowing import Slowing

DEVICE_COOKIE: Final = "balancer_device"
KEY_COOKIE: Final = "balancer_key"
TOKEN: Final = "token"  # noqa: S105 - the name of a field
"""The field of every form that shows it is one of ours."""

MOST_BODY: Final = 32_768
MOST_FIELDS: Final = 100
MOST_HEADERS: Final = 100
_FORM: Final = "application/x-www-form-urlencoded"
_YEAR_S: Final = 365 * 24 * 3600
_POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS: Final = {
    "Content-Security-Policy": _POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}
_UNREAD: Final = (400, 403, 405, 413, 415, 421, 431)
"""Answers after which what a request still sends is not read."""


class RefusedError(Exception):
    """A request that gets no page: the HTTP status, and why in words."""

    def __init__(self, status: int, reason: str) -> None:
        self.status = status
        self.reason = reason
        super().__init__(reason)


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

    def check(self, request: Request) -> None:
        """Raises RefusedError for a request that no page is to see."""
        if len(request.headers.raw) > MOST_HEADERS:
            raise RefusedError(431, "too many headers")
        host = place(request.headers.get("host", ""))
        if host is None or not self.settings.knows(host):
            raise RefusedError(421, f'this page is not called "{request.headers.get("host", "")[:60]}"')
        if request.method not in ("GET", "HEAD", "POST"):
            raise RefusedError(405, "only read, or send a form")
        fetched = request.headers.get("sec-fetch-site", "same-origin")
        if fetched == "cross-site" and request.headers.get("sec-fetch-mode") != "navigate":
            raise RefusedError(403, "another site asks for this")
        if request.method == "POST":
            said = request.headers.get("origin") or request.headers.get("referer") or ""
            if not is_from(said, host) or fetched not in ("same-origin", "none"):
                raise RefusedError(403, "this form was not sent from this page")
            if request.headers.get("content-type", "").partition(";")[0].strip().casefold() != _FORM:
                raise RefusedError(415, "only forms are read")
            length = request.headers.get("content-length", "0")
            if not (length.isascii() and length.isdecimal()) or len(length) > 9 or int(length) > MOST_BODY:
                raise RefusedError(413, "the form is too large")

    def address(self, request: Request) -> str:
        """Where a request comes from, as it is counted.

        A proxy on this machine is believed about whom it asks for, and only where a name was set for one.
        """
        told = ",".join(request.headers.getlist("x-forwarded-for")).rpartition(",")[2].strip()
        peer = request.client.host if request.client else ""
        return household(told if self._is_proxied(request) and number(told) else peer)

    def is_encrypted(self, request: Request) -> bool:
        """Whether the device came over https: only a proxy can tell."""
        told = request.headers.get("x-forwarded-proto", "").rpartition(",")[2].strip()
        return request.url.scheme == "https" or (self._is_proxied(request) and told.casefold() == "https")

    def _is_proxied(self, request: Request) -> bool:
        return bool(self.settings.names) and request.client is not None and is_loopback(request.client.host)

    def visitor(self, request: Request) -> Visitor:
        """Who asks. The key's own cookie says which device it is, so that no other cookie can undo it."""
        with_key = self._signed(request, KEY_COOKIE, "key")
        device = with_key or self._signed(request, DEVICE_COOKIE, "device")
        may_log = not self.settings.only_reads and (self.settings.is_private or with_key is not None)
        return Visitor(device or secrets.token_hex(16), device is None, may_log)

    def let_in(self, request: Request, answer: Response) -> None:
        """Remember on a device that the key was entered there."""
        self._give_device(request, answer, KEY_COOKIE, "key")

    def give_device(self, request: Request, answer: Response) -> None:
        """Remember which device it is."""
        self._give_device(request, answer, DEVICE_COOKIE, "device")

    def token(self, visitor: Visitor) -> str:
        """What a form of this device carries."""
        return self.key.sign("form", visitor.device)

    async def form(self, request: Request, *, to_log: bool = True) -> dict[str, str]:
        """The fields of a form. Raises RefusedError for one that is not ours, too large, or may not log."""
        body = bytearray()
        try:
            async for chunk in request.stream():
                body += chunk
                if len(body) > MOST_BODY:
                    raise RefusedError(413, "the form is too large")
        except ClientDisconnect:
            raise RefusedError(400, "the form did not come whole") from None
        try:
            pairs = parse_qsl(body.decode(), keep_blank_values=True, max_num_fields=MOST_FIELDS, errors="strict")
        except ValueError:
            raise RefusedError(400, "the form cannot be read") from None
        fields = dict(pairs)
        visitor: Visitor = request.state.visitor
        if visitor.is_new or not self.key.is_signed("form", visitor.device, fields.pop(TOKEN, "")):
            raise RefusedError(403, "this form is too old: go back, and load the page anew")
        if to_log and self.settings.only_reads:
            raise RefusedError(403, "the demo is only to look at")
        if to_log and not visitor.may_log:
            raise RefusedError(403, "this device only reads: enter the key first")
        return fields

    def _signed(self, request: Request, name: str, purpose: str) -> str | None:
        """The device that one of our cookies names, if we gave it."""
        value, _, signature = request.cookies.get(name, "").partition(".")
        return value if value and self.key.is_signed(purpose, value, signature) else None

    def _give_device(self, request: Request, answer: Response, name: str, purpose: str) -> None:
        visitor: Visitor = request.state.visitor
        keep(answer, name, f"{visitor.device}.{self.key.sign(purpose, visitor.device)}")


def keep(answer: Response, name: str, value: str, *, for_s: int = _YEAR_S) -> None:
    """Give a cookie that no script reads and no other site sends, for a year; over https the guard keeps it there."""
    answer.set_cookie(name, value, max_age=for_s, httponly=True, samesite="strict", path="/")


async def answer_form(request: Request, answer: Callable[[Request, dict[str, str]], Response]) -> Response:
    """Answer a form that may log, on a thread. Raises RefusedError as `Guard.form` does."""
    guard: Guard = request.app.state.guard
    fields = await guard.form(request)
    return await run_in_threadpool(answer, request, fields)


class Guarded:
    """An application behind its guard; what is streamed stays a stream."""

    def __init__(self, app: ASGIApp, guard: Guard) -> None:
        self.app = app
        self.guard = guard

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request with its page and the headers of all pages, or say why there is none."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        request = Request(scope, receive)

        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start":
                self._complete(request, message)
            await send(message)

        try:
            self.guard.check(request)
        except RefusedError as refused:
            request.state.visitor = None
            await PlainTextResponse(refused.reason, refused.status)(scope, receive, sending)
            return
        request.state.visitor = self.guard.visitor(request)
        request.state.mark = request.app.state.house.mark
        await self.app(scope, receive, sending)

    def _complete(self, request: Request, message: Message) -> None:
        """Add what every answer carries. After a refusal nothing more is read from that connection."""
        headers = MutableHeaders(scope=message)
        for name, value in HEADERS.items():
            headers.setdefault(name, value)
        if message["status"] in _UNREAD:
            headers["Connection"] = "close"
        visitor: Visitor | None = request.state.visitor
        if visitor is not None and visitor.is_new and headers.get("content-type", "").startswith("text/html"):
            cookie = Response()
            self.guard.give_device(request, cookie)
            headers.append("set-cookie", cookie.headers["set-cookie"])
        if self.guard.is_encrypted(request):
            given = headers.getlist("set-cookie")
            del headers["set-cookie"]
            for each in given:
                headers.append("set-cookie", f"{each}; Secure")
