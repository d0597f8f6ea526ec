"""The page as a process: how it starts, streams, keeps the slow at bay, and stops."""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import ExitStack, suppress
from http.client import HTTPConnection, HTTPResponse
from pathlib import Path

import pytest

from tests.web.browsing import EVERYWHERE, KEY, SPECS
from tests.web.serving import CHECKOUT, Device, Served, free_port, key_of, served, start

pytestmark = pytest.mark.slow
STOPS_S = 2.0


@pytest.fixture
def specs(tmp_path: Path) -> Path:
    return shutil.copytree(SPECS, tmp_path / "specs")


def run_page(state: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """A page that cannot start: what it says."""
    return subprocess.run(
        [sys.executable, "-m", "balancer", "page", "--specs", str(SPECS), *words],
        env={"PYTHONPATH": str(CHECKOUT), "XDG_STATE_HOME": str(state), "PATH": "/usr/bin"}, capture_output=True,
        text=True, check=False, timeout=30,
    )  # fmt: skip


class Lines(ExitStack):
    """Everything that a test opens towards a page; closed when it ends."""

    def listen(self, port: int, query: str = "") -> HTTPResponse:
        """A page that listens for changes."""
        line = HTTPConnection("127.0.0.1", port, timeout=10)
        self.callback(line.close)
        line.request("GET", f"/changes{query}")
        answer = line.getresponse()
        self.callback(answer.close)
        return answer

    def device(self, port: int) -> Device:
        """A browser."""
        found = Device(port)
        self.callback(found.close)
        return found

    def connect(self, port: int, timeout: float = 5) -> socket.socket:
        """A bare connection."""
        return self.enter_context(socket.create_connection(("127.0.0.1", port), timeout=timeout))


def event(answer: HTTPResponse) -> str:
    """The next event of a stream."""
    said = [answer.readline().decode().rstrip() for _ in range(4)]
    assert (said[0][:4], said[2][:6], said[3]) == ("id: ", "data: ", "")
    return said[1].removeprefix("event: ")


@pytest.fixture
def lines() -> Iterator[Lines]:
    with Lines() as opened:
        yield opened


def test_it_streams_changes_as_they_come_and_forgets_who_went_away(specs: Path, tmp_path: Path, lines: Lines) -> None:
    with served(specs, tmp_path) as page:
        with Lines() as many:
            answers = [many.listen(page.port) for _ in range(60)]
            assert {answer.status for answer in answers} == {200}
            assert {event(answer) for answer in answers} == {"beat"}
            assert lines.listen(page.port).status == 503
            begun = time.monotonic()
            with (specs / "house.yaml").open("a", encoding="utf-8") as file:
                file.write("# changed\n")
            assert event(answers[0]) == "changed"
            assert time.monotonic() - begun < 4
        time.sleep(2.5)  # a listener is missed when the next look goes out
        assert lines.listen(page.port).status == 200


def test_a_page_that_missed_a_change_is_told_at_once(specs: Path, tmp_path: Path, lines: Lines) -> None:
    """Between a page and its first listening something was logged; the same after the page was started anew."""
    with served(specs, tmp_path) as page:
        mark = lines.device(page.port).get("/still-there")[1]
        with (specs / "house.yaml").open("a", encoding="utf-8") as file:
            file.write("# changed\n")
        time.sleep(1.1)
        assert event(lines.listen(page.port, f"?since={mark}")) == "changed"
        now = lines.device(page.port).get("/still-there")[1]
    with served(specs, tmp_path) as page:
        assert event(lines.listen(page.port, f"?since={now}")) == "beat"


@pytest.mark.parametrize("sent", [signal.SIGINT, signal.SIGTERM])
def test_it_stops_at_once_while_pages_listen(specs: Path, tmp_path: Path, lines: Lines, sent: signal.Signals) -> None:
    page = start(specs, tmp_path)
    answers = [lines.listen(page.port) for _ in range(20)]
    lines.connect(page.port)
    assert lines.device(page.port).get("/")[0] == 200
    assert all(answer.status == 200 for answer in answers)
    begun = time.monotonic()
    page.process.send_signal(sent)
    out, err = page.process.communicate(timeout=10)
    assert time.monotonic() - begun < STOPS_S
    assert page.process.returncode == 0
    assert out.splitlines()[-1] == "stopped"
    assert out.count("stopped") == 1
    assert err == ""


def test_what_a_stranger_sends_is_not_printed(specs: Path, tmp_path: Path, lines: Lines) -> None:
    page = start(specs, tmp_path)
    for sent in (
        b"\x1b[2J\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: \x1b[2J\r\n\r\n",
        b"GET /\x80 HTTP/1.1\r\n\r\n",
        b"\x16\x03\x01",
    ):
        with socket.create_connection(("127.0.0.1", page.port), timeout=5) as line:
            line.sendall(sent)
            line.shutdown(socket.SHUT_WR)
            line.recv(1000)
    assert lines.device(page.port).get("/")[0] == 200
    page.process.send_signal(signal.SIGINT)
    out, err = page.process.communicate(timeout=10)
    assert err == ""
    assert "\x1b" not in out


def test_a_request_that_does_not_come_whole_is_hung_up(specs: Path, tmp_path: Path, lines: Lines) -> None:
    """A header a second, and a form that never ends; both after 15 s."""
    with served(specs, tmp_path) as page:
        form = b"Content-Type: application/x-www-form-urlencoded\r\n"
        head = (
            b"POST /light HTTP/1.1\r\nHost: 127.0.0.1\r\nOrigin: http://127.0.0.1\r\nContent-Length: 30000\r\n" + form
        )
        begun = time.monotonic()
        slow = [lines.connect(page.port, 1) for _ in range(3)]
        slow[1].sendall(b"GET / HTTP/1.1\r\n")
        slow[2].sendall(head + b"\r\n")
        ended: dict[int, float] = {}
        while len(ended) < 3 and time.monotonic() - begun < 25:
            for number, line in enumerate(slow):
                try:
                    if number:
                        line.sendall(b"X: 1\r\n" if number == 1 else b"x")
                    if line.recv(1000) == b"":
                        ended.setdefault(number, time.monotonic() - begun)
                except TimeoutError:
                    continue
                except OSError:
                    ended.setdefault(number, time.monotonic() - begun)
        assert sorted(ended) == [0, 1, 2]
        assert all(13 < at < 19 for at in ended.values()), ended
        assert lines.device(page.port).get("/")[0] == 200


def test_one_address_takes_no_more_connections_than_its_share(specs: Path, tmp_path: Path, lines: Lines) -> None:
    with served(specs, tmp_path) as page:
        many = [lines.connect(page.port) for _ in range(160)]
        time.sleep(1)
        closed = 0
        for line in many:
            line.setblocking(False)
            try:
                closed += line.recv(1) == b""
            except BlockingIOError:
                pass
            except OSError:
                closed += 1
        assert closed == 10


def test_headers_without_end_are_refused(specs: Path, tmp_path: Path) -> None:
    with served(specs, tmp_path) as page, socket.create_connection(("127.0.0.1", page.port), timeout=5) as line:
        line.sendall(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX: " + b"a" * 40_000)
        assert b" 400 " in line.recv(1000)


def test_a_port_in_use_is_told_with_what_to_do(specs: Path, tmp_path: Path) -> None:
    with served(specs, tmp_path) as page:
        said = run_page(tmp_path, "--port", str(page.port))
    assert said.returncode == 1
    assert said.stdout == ""
    assert said.stderr.splitlines() == [
        f"nothing can listen at 127.0.0.1 port {page.port}: Address already in use",
        f"  a page may run already: open it, or try --port {page.port + 1}",
    ]


def test_an_address_of_another_machine_is_told(tmp_path: Path) -> None:
    said = run_page(tmp_path, "--host", "192.0.2.77", "--port", str(free_port()))
    assert said.returncode == 1
    assert "--host 0.0.0.0" in said.stderr


@pytest.mark.parametrize("package", ["starlette", "uvicorn", "jinja2", "segno"])
def test_without_the_extra_it_says_what_to_type(package: str, tmp_path: Path) -> None:
    code = f"import sys; sys.modules['{package}'] = None; from balancer.cli.app import main; main()"
    said = subprocess.run(
        [sys.executable, "-c", code, "page", "--specs", str(SPECS)], capture_output=True, text=True, check=False,
        env={"PYTHONPATH": str(CHECKOUT), "XDG_STATE_HOME": str(tmp_path), "PATH": "/usr/bin", "COLUMNS": "200"},
    )  # fmt: skip
    assert said.returncode == 1
    assert f"the page needs {package}, which is not installed" in said.stderr
    assert f'"{sys.executable}" -m pip install "balancer[page]"' in " ".join(said.stderr.split())
    assert "Traceback" not in said.stderr


def test_the_key_is_shown_when_asked_for_and_kept_in_no_record(specs: Path, tmp_path: Path) -> None:
    key = key_of(specs, tmp_path)
    assert len(key) == len(KEY.key)
    said = stopped(start(specs, tmp_path, "--host", EVERYWHERE))
    assert "--key shows it" in said
    assert "not encrypted" in said
    assert key not in said
    assert key_of(specs, tmp_path) == key  # devices that have it keep it
    assert key_of(specs, tmp_path, "--new-key") != key


@pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminals")
def test_at_a_terminal_the_key_and_its_code_are_shown(specs: Path, tmp_path: Path) -> None:
    import pty  # noqa: PLC0415 - there is none on Windows

    key = key_of(specs, tmp_path)
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "balancer", "page", "--specs", str(specs), "--host", EVERYWHERE]
    more = {"PYTHONPATH": str(CHECKOUT), "XDG_STATE_HOME": str(tmp_path), "PYTHONIOENCODING": "utf-8"}
    process = subprocess.Popen(
        [*command, "--port", str(free_port())], env=os.environ | more, stdout=theirs, stderr=subprocess.PIPE
    )
    os.close(theirs)
    said, is_stopped = b"", False
    with suppress(OSError):  # the other end is closed: it has ended
        while part := os.read(ours, 4096):  # to its end: a terminal that nobody reads holds up who writes to it
            said += part
            is_shown = said.count(b"\x1b[97;40m") >= 20 and b"\x1b[0m" in said[-20:] and key.encode() in said
            if is_shown and not is_stopped:
                process.send_signal(signal.SIGINT)
                is_stopped = True
    assert process.communicate(timeout=60)[1] == b""
    os.close(ours)
    text = said.decode()
    assert f"enters this key once: {key}" in text
    assert "\u2588" in text


def test_who_is_quick_with_ctrl_c_stops_it(specs: Path, tmp_path: Path) -> None:
    """Asked to end before it answered, it went on for ever when that came while an object was taken away."""
    for _ in range(5):
        command = [sys.executable, "-m", "balancer", "page", "--specs", str(specs), "--port", str(free_port())]
        more = {"PYTHONPATH": str(CHECKOUT), "XDG_STATE_HOME": str(tmp_path), "PYTHONUNBUFFERED": "1"}
        process = subprocess.Popen(command, env=os.environ | more, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        assert process.stdout is not None
        said = os.read(process.stdout.fileno(), 1)
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=60)
        assert (process.returncode, err) == (0, b"")
        assert (said + out).decode().endswith("stopped\n")


def test_alone_there_is_no_key(tmp_path: Path) -> None:
    said = run_page(tmp_path, "--key")
    assert said.returncode == 2
    assert "there is no key" in said.stderr


def test_the_demo_is_never_written(tmp_path: Path, lines: Lines) -> None:
    state = tmp_path / "state"
    page = start(None, state, "--demo")
    assert "The demo is only to look at" in lines.device(page.port).get("/")[1]
    out = stopped(page)
    assert "nobody logs from it" in out
    assert not state.exists()


def stopped(page: Served) -> str:
    """Stop a page; what it said."""
    page.process.send_signal(signal.SIGINT)
    out, err = page.process.communicate(timeout=10)
    assert err == ""
    return out
