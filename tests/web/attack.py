"""Everything forged, oversized, malformed or guessed that a page gets, counted.

    python -m tests.web.attack

A page is served by a process of its own on the demo house, as for the bar's network; the exit code is 1 when anything
was not refused.
"""

from __future__ import annotations

import http.client
import shutil
import socket
import tempfile
from collections import Counter
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final
from urllib.parse import urlencode

from tests.web import forged
from tests.web.browsing import EVERYWHERE, SPECS, read
from tests.web.hostile import TEXTS, made_of_text
from tests.web.serving import Device, key_of, logged, served

KEYS: Final = 1000


@dataclass(slots=True)
class Attack:
    """What was tried of a kind: how often, what was answered, and how often it got through."""

    kind: str
    answers: Counter[int] = field(default_factory=Counter)
    through: int = 0

    def tried(self, status: int, *, refused: bool) -> None:
        """One more."""
        self.answers[status] += 1
        self.through += not refused

    def __str__(self) -> str:
        told = ", ".join(f"{many} × {status or 'hung up'}" for status, many in sorted(self.answers.items()))
        return f"{self.kind:<44} {self.answers.total():5} tried  {self.through:3} through   {told}"


def raw(port: int, head: str, body: bytes = b"") -> int:
    """The status of a request sent byte by byte as it is; 0 when the page hung up."""
    with socket.create_connection(("127.0.0.1", port), timeout=20) as line:
        try:
            line.sendall(head.encode("latin-1", "surrogateescape") + b"\r\n\r\n" + body)
            answer = line.recv(4096)
        except OSError:
            return 0
    words = answer.split(b" ", 2)
    return int(words[1]) if len(words) > 1 and words[1].isdigit() else 0


class Target:
    """A page, a device that has its key, and forms made from one that is read."""

    def __init__(self, port: int, key: str) -> None:
        self.port = port
        self.key = key
        self.place = f"127.0.0.1:{port}"
        with closing(Device(port)) as known:
            known.post("/key", {"key": key})
        self.token = known.token
        self.ours = f"Origin: http://{self.place}"
        self.cookies = "Cookie: " + "; ".join(f"{name}={value}" for name, value in known.cookies.items())
        assert self.form(self.token, _KIND, self.ours) == http.client.SEE_OTHER, "no form is read at all"

    def form(self, token: str, *headers: str) -> int:
        """Send a form; its status."""
        body = urlencode({"token": token, "light": "lamp"}).encode()
        return self.post(body, f"Content-Length: {len(body)}", *headers)

    def post(self, body: bytes, *headers: str) -> int:
        """Send a body; its status."""
        return raw(
            self.port, "\r\n".join([f"POST /light HTTP/1.1\r\nHost: {self.place}", self.cookies, *headers]), body
        )


def forged_hosts(page: Target) -> Attack:
    """Names that are not the page's."""
    found = Attack("forged Host")
    for host in forged.HOSTS:
        if host.isascii() and host not in _OF_A_NETWORK:
            status = raw(page.port, f"GET / HTTP/1.1\r\nHost: {host}")
            found.tried(status, refused=status in (400, 421))
    return found


def forged_origins(page: Target) -> Attack:
    """A form of ours, sent from somebody else's page."""
    found = Attack("forged Origin")
    for origin in forged.ORIGINS:
        status = page.form(page.token, _KIND, f"Origin: {origin}")
        found.tried(status, refused=status == 403)
    return found


def forged_tokens(page: Target) -> Attack:
    """A form from our page that no page of ours held."""
    found = Attack("forged token")
    with closing(Device(page.port)) as other:
        other.post("/light", {"light": ""})
    for token in ("", "0" * 64, page.token[::-1], page.token[:-1], page.token.upper(), other.token):
        status = page.form(token, _KIND, page.ours)
        found.tried(status, refused=status == 403)
    return found


def bad_bodies(page: Target) -> Attack:
    """Too large, or no form."""
    found = Attack("oversized or malformed body")
    for body, headers, expected in forged.BODIES:
        if all(isinstance(value, str) for value in headers.values()):
            said = {"Content-Length": str(len(body)), **headers}
            status = page.post(body, page.ours, *(f"{name}: {value}" for name, value in said.items()))
            found.tried(status, refused=status in (expected, 0, 400))
    return found


def bad_requests(page: Target) -> Attack:
    """What is no request, or two in one."""
    found = Attack("malformed request, smuggled second one")
    for head in _MALFORMED:
        status = raw(page.port, head.format(place=page.place))
        found.tried(status, refused=status in (0, 400, 403, 404, 405, 421))
    return found


def paths(page: Target) -> Attack:
    """Addresses that look for files."""
    found = Attack("path that leads elsewhere")
    for path in forged.PATHS:
        status = raw(page.port, f"GET {path} HTTP/1.1\r\nHost: {page.place}")
        found.tried(status, refused=status in (400, 404))
    return found


def scripts(page: Target) -> Attack:
    """Markup in what is asked for."""
    found = Attack("script in what is asked and shown")
    for text in TEXTS:
        with closing(Device(page.port)) as device:
            status, shown = device.get(f"/drinks?{urlencode({'q': text})}")
        found.tried(status, refused=not made_of_text(read(shown)))
    return found


def wrong_keys(page: Target) -> Attack:
    """Guesses, one after another from one device; the right key comes last, and has to wait like the others."""
    found = Attack("wrong key, and the right one after them")
    with closing(Device(page.port)) as guess:
        guess.get("/")
        for number in range(KEYS):
            status, _ = guess.post("/key", {"key": f"{number:016}"})
            found.tried(status, refused=status in (403, 429))
        status, _ = guess.post("/key", {"key": page.key})
        found.tried(status, refused=status == 429)
    return found


ATTACKS: Final = (
    forged_hosts, forged_origins, forged_tokens, bad_bodies, bad_requests, paths, scripts, wrong_keys
)  # fmt: skip
_KIND: Final = "Content-Type: application/x-www-form-urlencoded"
_OF_A_NETWORK: Final = ("10.0.0.7", "[fe80::1]")
"""Numbers: a page on a network may be asked for by any."""

_MALFORMED: Final = (
    "GET  /  HTTP/1.1\r\nHost: {place}",
    "GET / HTTP/1.1\r\nHost : {place}",
    "GET / HTTP/1.1\r\nHost: {place}\r\nHost: evil.example",
    "GET / HTTP/1.0",
    "GET / HTTP/1.1",
    "POST /light HTTP/1.1\r\nHost: {place}\r\nContent-Length: -1",
    "POST /light HTTP/1.1\r\nHost: {place}\r\nContent-Length: 4\r\nContent-Length: 5",
    "POST /light HTTP/1.1\r\nHost: {place}\r\nTransfer-Encoding: chunked, gzip",
    "POST /light HTTP/1.1\r\nHost: {place}\r\nTransfer-Encoding: chunked\r\nContent-Length: 4",
    "GET http://evil.example/ HTTP/1.1\r\nHost: {place}",
    "CONNECT evil.example:80 HTTP/1.1\r\nHost: {place}",
    "GET /\x00 HTTP/1.1\r\nHost: {place}",
    "GET / HTTP/1.1\r\nHost: {place}\r\n folded: 1\r\nX\x00: 1",
    "\x16\x03\x01\x02\x00",
    "GET /../../etc/passwd HTTP/1.1\r\nHost: {place}",
)


def run(say: Callable[[str], None] = print) -> list[Attack]:
    """Try all of them; what came of each kind."""
    with tempfile.TemporaryDirectory() as name:
        specs = shutil.copytree(SPECS, Path(name) / "specs")
        before = logged(specs)
        state = Path(name) / "state"
        with served(specs, state, "--host", EVERYWHERE) as page:
            target = Target(page.port, key_of(specs, state))
            found = []
            for attack in ATTACKS:
                one = attack(target)
                say(str(one))
                found.append(one)
            with closing(Device(page.port)) as device:
                assert device.get("/")[0] == http.client.OK, "it answers no more"
        assert logged(specs) == before, "something was logged"
    return found


if __name__ == "__main__":
    raise SystemExit(any(one.through for one in run()))
