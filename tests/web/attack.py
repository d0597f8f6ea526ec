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
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final
from urllib.parse import urlencode

from tests.web import forged
from tests.web.browsing import SPECS, read
from tests.web.hostile import TEXTS, made_of_text
from tests.web.serving import Device, logged, served

KEYS: Final = 1000
_LOOPBACK_HOSTS: Final = ("127.0.0.1", "[::1]", "localhost", "10.0.0.7", "[fe80::1]")


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


def attacks(port: int, key: str) -> Iterable[Attack]:
    """All of them, in turn."""
    known = Device(port)
    known.post("/key", {"key": key})
    place = f"127.0.0.1:{port}"
    cookies = "; ".join(f"{name}={value}" for name, value in known.cookies.items())

    def form(body: str, *headers: str, host: str = place) -> int:
        lines = [f"POST /light HTTP/1.1\r\nHost: {host}", f"Cookie: {cookies}", f"Content-Length: {len(body.encode())}"]
        return raw(port, "\r\n".join([*lines, *headers]), body.encode())

    kind, ours = "Content-Type: application/x-www-form-urlencoded", f"Origin: http://{place}"
    good = urlencode({"token": known.token, "light": "lamp"})
    assert form(good, kind, ours) == 303, "the form that all others are made from is not read"

    found = Attack("forged Host")
    for host in forged.HOSTS:
        if not host.isascii() or host in _LOOPBACK_HOSTS:
            continue
        status = raw(port, f"GET / HTTP/1.1\r\nHost: {host}")
        found.tried(status, refused=status in (400, 421))
    yield found

    found = Attack("forged Origin")
    for origin in forged.ORIGINS:
        status = form(good, kind, f"Origin: {origin}")
        found.tried(status, refused=status == 403)
    yield found

    found = Attack("forged token")
    other = Device(port)
    other.get("/")
    for token in ("", "0" * 64, known.token[::-1], known.token[:-1], known.token.upper(), _token_of(other)):
        status = form(urlencode({"token": token, "light": "lamp"}), kind, ours)
        found.tried(status, refused=status == 403)
    yield found

    found = Attack("oversized or malformed body")
    for body, headers, expected in forged.BODIES:
        if not all(isinstance(value, str) for value in headers.values()):
            continue
        said = [f"{name}: {value}" for name, value in headers.items()]
        said += [] if "Content-Length" in headers else [f"Content-Length: {len(body)}"]
        head = "\r\n".join([f"POST /light HTTP/1.1\r\nHost: {place}", f"Cookie: {cookies}", ours, *said])
        status = raw(port, head, body)
        found.tried(status, refused=status in (expected, 0, 400))
    yield found

    found = Attack("malformed request, smuggled second one")
    for head in _MALFORMED:
        status = raw(port, head.format(place=place))
        found.tried(status, refused=status in (0, 400, 403, 404, 405, 421))
    yield found

    found = Attack("path that leads elsewhere")
    for path in forged.PATHS:
        status = raw(port, f"GET {path} HTTP/1.1\r\nHost: {place}")
        found.tried(status, refused=status in (400, 404))
    yield found

    found = Attack("script in what is asked and shown")
    for text in TEXTS:
        status, page = Device(port).get(f"/drinks?{urlencode({'q': text})}")
        found.tried(status, refused=not made_of_text(read(page)))
    yield found

    found = Attack("wrong key")
    guess = Device(port)
    guess.get("/")
    for number in range(KEYS):
        status, _ = guess.post("/key", {"key": f"{number:016}"})
        found.tried(status, refused=status in (403, 429))
    yield found

    found = Attack("the right key, from where the wrong ones came")
    status, _ = guess.post("/key", {"key": key})
    found.tried(status, refused=status == 429)
    yield found


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


def _token_of(device: Device) -> str:
    device.post("/light", {"light": ""})
    return device.token


def run(say: Callable[[str], None] = print) -> list[Attack]:
    """Try all of them; what came of each kind."""
    with tempfile.TemporaryDirectory() as name:
        specs = shutil.copytree(SPECS, Path(name) / "specs")
        before = logged(specs)
        with served(specs, Path(name) / "state", "--host", "0.0.0.0", "--json") as page:  # noqa: S104 - for the key
            key = page.told()["key"]
            found = []
            for one in attacks(page.port, key):
                say(str(one))
                found.append(one)
            again = Device(page.port)
            alive = again.get("/")[0]
        assert alive == http.client.OK
        assert logged(specs) == before
    return found


if __name__ == "__main__":
    raise SystemExit(any(one.through for one in run()))
