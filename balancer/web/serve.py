"""Serving the page: where it listens, what it says when it starts, and how it ends."""

from __future__ import annotations

import errno
import gc
import io
import signal
import socket
import sys
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any, Final

import segno
import uvicorn

from balancer.errors import CannotError
from balancer.output.words.numbers import count
from balancer.web.app import page_app
from balancer.web.connections import MOST_HEAD, STOP_S, PageConnection, PageServer
from balancer.web.hosts import is_loopback, number
from balancer.web.house import OpenHouse
from balancer.web.keys import PageKey, kept_key, new_key
from balancer.web.settings import PORT, PageSettings

_EVERYWHERE: Final = ("0.0.0.0", "::")  # noqa: S104 - only where the user asked for it


def key_of(folder: Path, *, renew: bool = False, is_demo: bool = False) -> PageKey:
    """The key of the page of a folder. The demo has none to keep: nobody logs there."""
    return new_key() if is_demo else kept_key(folder, renew=renew)


class StopAsked:
    """Whether somebody pressed Ctrl-C, or the machine asked the page to end: from before it says that it is there.

    Until a server is there to be told, it is remembered: Python's own way is an error wherever it just is, and where
    that is the end of some object it is passed over.
    """

    def __init__(self) -> None:
        self._asked: int | None = None
        self._tell: Callable[[int, FrameType | None], None] | None = None
        self._before: dict[int, Any] = {}

    def __enter__(self) -> StopAsked:
        self._before = {sent: signal.signal(sent, self._told) for sent in (signal.SIGINT, signal.SIGTERM)}
        return self

    def __exit__(self, *_: object) -> None:
        for sent, handler in self._before.items():
            signal.signal(sent, handler)

    def hand_over(self, tell: Callable[[int, FrameType | None], None]) -> None:
        """Whom to tell from now on; at once, if it was asked before."""
        self._tell = tell
        if self._asked is not None:
            tell(self._asked, None)

    def _told(self, sent: int, frame: FrameType | None) -> None:
        self._asked = sent
        if self._tell is not None:
            self._tell(sent, frame)


def serve(house: OpenHouse, settings: PageSettings, key: PageKey, bound: socket.socket, stop: StopAsked) -> None:
    """Answer until somebody presses Ctrl-C, or the machine asks it to end."""
    app = page_app(house, settings, key)
    config = uvicorn.Config(
        app,
        http=PageConnection,
        ws="none",
        loop="asyncio",
        lifespan="off",
        interface="asgi3",
        log_level="critical",  # what a stranger sends is nothing to print
        access_log=False,
        server_header=False,
        proxy_headers=False,
        timeout_graceful_shutdown=STOP_S,
        h11_max_incomplete_event_size=MOST_HEAD,
    )
    server = PageServer(config, app.state.watch, is_proxied=bool(settings.names))
    gc.enable()  # a command lives for a moment without it, a page for months
    stop.hand_over(server.handle_exit)
    server.run([bound])


def listen(settings: PageSettings) -> socket.socket:
    """The place it listens at. Raises CannotError where somebody else does, or this machine has no such address."""
    where = f"{settings.host or 'nowhere'} port {settings.port}"
    try:
        if not settings.host.strip():
            raise OSError(errno.EADDRNOTAVAIL, "no address is named")
        family, kind, proto, _, address = socket.getaddrinfo(settings.host, settings.port, type=socket.SOCK_STREAM)[0]
        bound = socket.socket(family, kind, proto)
        try:
            _alone(bound)
            if family == socket.AF_INET6:
                bound.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, settings.host != "::")
            bound.bind(address)
            bound.listen(128)
        except OSError:
            bound.close()
            raise
    except OSError as error:
        raise CannotError(
            "port", f"nothing can listen at {where}: {error.strerror}", _remedy(error, settings.port)
        ) from None
    return bound


def _alone(bound: socket.socket) -> None:
    """Let nobody else listen at the same port, and let a page begin again right after one has ended."""
    if sys.platform == "win32":
        bound.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
    else:
        bound.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)


def _remedy(error: OSError, port: int) -> str:
    if error.errno == errno.EADDRINUSE:
        return f"a page may run already: open it, or try --port {port + 1 if port < 65535 else PORT}"
    if error.errno == errno.EACCES:
        return f"ports below 1024 are kept for the system: try --port {PORT}"
    return "--host 127.0.0.1 is this machine alone, --host 0.0.0.0 every address that it has"


def addresses(settings: PageSettings) -> list[str]:
    """What to type into a browser."""
    hosts = [_own_address(), "127.0.0.1"] if settings.host in _EVERYWHERE else [settings.host]
    shown = [f"[{host}]" if ":" in (number(host) or "") else host for host in dict.fromkeys(hosts)]
    return [f"http://{host}:{settings.port}/" for host in shown]


def _own_address() -> str:
    """This machine's address on its network; loopback where it has none. Nothing is sent for it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # TEST-NET-1 (RFC 5737)
            name: str = probe.getsockname()[0]
        except OSError:
            return "127.0.0.1"
        return name


def greeting(settings: PageSettings, name: str, problems: int = 0) -> str:
    """What is said first: the address, and who may log."""
    first, *more = addresses(settings)
    if settings.names:
        first, more = f"https://{settings.names[0]}/", [first, *more]
    lines = [f"{name}: {first}", *(f"  or {address}" for address in more)]
    if problems:
        lines.append(f"  {count(problems, 'problems')} in the files: balancer check tells each")
    if settings.only_reads:
        lines.append("  the demo is only to look at: nobody logs from it")
    if settings.is_private:
        lines.append("  only this machine reaches it; --host 0.0.0.0 for the bar's network")
    elif not is_loopback(settings.host):
        lines.append("  not encrypted: whoever listens on this network can read along")
    return "\n".join([*lines, "  Ctrl-C stops it"])


def has_key(settings: PageSettings) -> bool:
    """Whether devices enter a key to log."""
    return not (settings.is_private or settings.only_reads)


def key_text(key: PageKey | None) -> str:
    """The key as people type it; without it how it is shown."""
    return f"  to log, a device enters {f'this key once: {key.key}' if key else 'the key once: --key shows it'}"


def key_code(settings: PageSettings, key: PageKey, *, colours: bool = False) -> str:
    """The key as a QR code in half blocks: the address, and the key behind its #, which no browser sends.

    colours  whether the terminal colours it: light on dark then, whatever its own colours are
    """
    first = f"https://{settings.names[0]}/" if settings.names else addresses(settings)[0]
    code = io.StringIO()
    segno.make(f"{first}key#{key.key}", error="m", micro=False).terminal(code, compact=True)
    rows = code.getvalue().splitlines()
    return "\n".join(f"\x1b[97;40m{row}\x1b[0m" for row in rows) if colours else "\n".join(rows)
