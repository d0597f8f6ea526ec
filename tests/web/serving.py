"""A page served by a process of its own, as a bar starts it, and a device of no library that asks it."""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.client import HTTPConnection, HTTPResponse
from pathlib import Path
from typing import Final
from urllib.parse import urlencode

from tests.web.browsing import EVERYWHERE, token_of

CHECKOUT: Final = Path(__file__).parents[2]
_START_S: Final = 30.0
NOW: Final = "2026-11-25T18:30+01:00"


def free_port() -> int:
    """A port that nobody listens at."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


@dataclass(slots=True)
class Served:
    """A page that answers: its process and its port."""

    process: subprocess.Popen[str]
    port: int

    @property
    def memory_mib(self) -> float:
        """What the process holds in memory, MiB; where the system tells it."""
        lines = Path(f"/proc/{self.process.pid}/status").read_text(encoding="ascii").splitlines()
        return next(int(line.split()[1]) for line in lines if line.startswith("VmRSS")) / 1024


def start(specs: Path | None, state: Path, *words: str, **environment: str) -> Served:
    """Start a page and wait until it answers; without a folder the one that its words name."""
    port = free_port()
    command = [
        sys.executable,
        "-m",
        "balancer",
        "page",
        *(["--specs", str(specs)] if specs else []),
        "--port",
        str(port),
        *words,
    ]
    more = {"PYTHONPATH": str(CHECKOUT), "XDG_STATE_HOME": str(state), "BALANCER_NOW": NOW, "PYTHONUNBUFFERED": "1"}
    process = subprocess.Popen(
        command, env=os.environ | more | environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        encoding="utf-8",
    )  # fmt: skip
    until = time.monotonic() + _START_S
    while time.monotonic() < until:
        if process.poll() is not None:
            break
        line = HTTPConnection("127.0.0.1", port, timeout=_START_S)
        try:
            line.request("GET", "/still-there")
            line.getresponse().read()
        except OSError:
            time.sleep(0.02)
        else:
            return Served(process, port)
        finally:
            line.close()
    process.kill()
    raise AssertionError("the page did not start: " + "".join(process.communicate()))


@contextmanager
def served(specs: Path, state: Path, *words: str, **environment: str) -> Iterator[Served]:
    """A page for as long as a test asks it."""
    page = start(specs, state, *words, **environment)
    try:
        yield page
    finally:
        page.process.kill()
        page.process.communicate()


@dataclass(slots=True)
class Device:
    """A browser's connection, cookies and the token of its forms."""

    port: int
    timeout_s: float = 30.0
    cookies: dict[str, str] = field(default_factory=dict)
    token: str = ""
    _line: HTTPConnection | None = None

    def get(self, path: str) -> tuple[int, str]:
        """A page."""
        return self._ask("GET", path, None, {})

    def post(self, path: str, fields: dict[str, str]) -> tuple[int, str]:
        """What a form led to; of a redirect its address."""
        if not self.token:
            self.token = token_of(self.get("/key" if not self.cookies else "/")[1])
        body = urlencode({"token": self.token, **fields})
        headers = {"Origin": f"http://127.0.0.1:{self.port}", "Content-Type": "application/x-www-form-urlencoded"}
        return self._ask("POST", path, body, headers)

    def close(self) -> None:
        """Hang up."""
        if self._line is not None:
            self._line.close()
            self._line = None

    def _ask(self, method: str, path: str, body: str | None, headers: dict[str, str]) -> tuple[int, str]:
        line = self._line
        if line is None:
            line = self._line = HTTPConnection("127.0.0.1", self.port, timeout=self.timeout_s)
        if self.cookies:
            headers = headers | {"Cookie": "; ".join(f"{name}={value}" for name, value in self.cookies.items())}
        line.request(method, path, body, headers)
        answer: HTTPResponse = line.getresponse()
        text = answer.read().decode()
        for cookie in answer.headers.get_all("set-cookie") or []:
            name, _, value = cookie.partition(";")[0].partition("=")
            self.cookies[name] = value
        if answer.headers.get("connection") == "close":
            self.close()
        return answer.status, answer.headers.get("location") or text


def key_of(specs: Path, state: Path, *words: str) -> str:
    """The key of a page on a network, as the command shows it."""
    command = [sys.executable, "-m", "balancer", "page", "--specs", str(specs), "--host", EVERYWHERE, "--key", "--json"]
    more = {"PYTHONPATH": str(CHECKOUT), "XDG_STATE_HOME": str(state)}
    said = subprocess.run([*command, *words], env=os.environ | more, capture_output=True, text=True, check=True)
    key: str = json.loads(said.stdout)["key"]
    return key


def logged(specs: Path) -> list[dict[str, object]]:
    """The lines of a log, each read by itself as JSON."""
    lines = (specs / "batches.yaml").read_text(encoding="utf-8").splitlines()
    return [json.loads(line.removeprefix("- ")) for line in lines if line.startswith("- {")]
