"""Serving the page: where it listens, what it says when it starts, and how it ends."""

from __future__ import annotations

import io
import socket
from pathlib import Path

import segno
import uvicorn

from balancer.errors import CannotError
from balancer.web.app import page_app
from balancer.web.house import OpenHouse
from balancer.web.keys import PageKey, kept_key
from balancer.web.settings import PageSettings


def key_of(folder: Path, *, renew: bool = False) -> PageKey:
    """The key of the page of a folder."""
    return kept_key(folder, renew=renew)


def serve(house: OpenHouse, settings: PageSettings, key: PageKey, bound: socket.socket) -> None:
    """Answer until somebody presses Ctrl-C."""
    config = uvicorn.Config(
        page_app(house, settings, key),
        log_level="warning",
        access_log=False,
        server_header=False,
        date_header=True,
        timeout_graceful_shutdown=2,
        limit_concurrency=1000,
        proxy_headers=False,
    )
    uvicorn.Server(config).run([bound])


def listen(settings: PageSettings) -> socket.socket:
    """The place it listens at. Raises CannotError where somebody else does, or this machine has no such address."""
    family = socket.AF_INET6 if ":" in settings.host else socket.AF_INET
    bound = socket.socket(family, socket.SOCK_STREAM)
    bound.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        bound.bind((settings.host, settings.port))
    except OSError as error:
        bound.close()
        raise CannotError(
            "port", f"nothing can listen at {settings.host} port {settings.port}: {error.strerror}", "try --port 8467"
        ) from None
    bound.listen(128)
    return bound


def addresses(settings: PageSettings) -> list[str]:
    """What to type into a browser."""
    if settings.host in ("0.0.0.0", "::"):  # noqa: S104 - only where the user asked for it
        hosts = [_own_address(), "127.0.0.1"]
    else:
        hosts = [f"[{settings.host}]" if ":" in settings.host else settings.host]
    return [f"http://{host}:{settings.port}/" for host in dict.fromkeys(hosts)]


def _own_address() -> str:
    """This machine's address on its network; loopback where it has none. Nothing is sent for it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # TEST-NET-1 (RFC 5737)
            name: str = probe.getsockname()[0]
        except OSError:
            return "127.0.0.1"
        return name


def greeting(settings: PageSettings, key: PageKey, name: str) -> str:
    """What stands in the terminal: the address, and on a network the key, as text and as a QR code."""
    first, *more = addresses(settings)
    lines = [f"{name}: {first}", *(f"  or {address}" for address in more)]
    if settings.is_private:
        return "\n".join(
            [*lines, "  only this machine reaches it; --host 0.0.0.0 for the bar's network; Ctrl-C stops it"]
        )
    code = io.StringIO()
    segno.make(first, error="m").terminal(code, compact=True)
    lines += [
        f"  to log, a device enters this key once: {key.key}",
        "  not encrypted: see docs/how-to/page-behind-the-bar.md",
    ]
    return "\n".join([*lines, code.getvalue(), "  Ctrl-C stops it"])
