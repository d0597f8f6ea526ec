"""A browser at the page: the command that serves it, phones and wall tablets, and what is looked at on every page."""

from __future__ import annotations

import json
import os
import shutil
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final
from urllib.request import urlopen

import pytest

from balancer.files.house.demo import demo_folder

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

HERE: Final = Path(__file__).parent
SHOTS: Final = os.environ.get("BALANCER_SHOTS")
"""A folder for pictures to look at; none are taken without it."""

PHONE: Final = (390, 844)
WALL: Final = (1280, 800)
NARROW: Final = (360, 640)
TARGET_PX: Final = 44
_EVENING: Final = "2026-11-25T20:16+01:00"
_ROUNDING: Final = 0.5
_START_S: Final = 30

_TARGETS: Final = """() => [...document.querySelectorAll('a, button, input:not([type=hidden]), select, summary')]
  .filter(one => one.checkVisibility({visibilityProperty: true}) && !one.classList.contains('skip'))
  .map(one => [one, (['radio', 'checkbox'].includes(one.type) && one.closest('label')) || one])
  .map(([one, target]) => [one.outerHTML.slice(0, 90), target.getBoundingClientRect()])
  .map(([told, box]) => [told, box.width, box.height])"""
"""Everything that can be touched, and its size; of a box to tick that of its label, which does the same."""


class Serving:
    """`balancer page` of a copy of the demo house, started as a bar starts it."""

    def __init__(self, folder: Path, *words: str) -> None:
        self.specs = folder / "specs"
        self._state = folder / "state"
        shutil.copytree(demo_folder(), self.specs)
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = int(free.getsockname()[1])
        self._words = words
        self.greeting = ""
        self.running: subprocess.Popen[str] | None = None
        self.start()

    @property
    def base(self) -> str:
        """Its address."""
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        """Start it, and wait for what it says when it listens."""
        told = {"BALANCER_NOW": _EVENING, "BALANCER_SPECS": str(self.specs), "XDG_STATE_HOME": str(self._state)}
        command = [sys.executable, "-m", "balancer", "page", "--port", str(self.port), *self._words]
        self.running = subprocess.Popen(
            command, env=os.environ | told, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
        )
        assert self.running.stdout is not None
        lines = []
        for line in self.running.stdout:
            lines.append(line)
            if "Ctrl-C" in line:
                break
        self.greeting = "".join(lines)
        if "Ctrl-C" not in self.greeting:
            self.running.communicate(timeout=_START_S)
            raise AssertionError(self.greeting)
        with urlopen(f"{self.base}/still-there", timeout=_START_S):  # noqa: S310 - our own address; it answers
            pass

    @property
    def key(self) -> str:
        """The key that a device enters once, from where this machine keeps it."""
        (kept,) = (self._state / "balancer").glob("page-*.json")
        return str(json.loads(kept.read_text(encoding="ascii"))["key"])

    def stop(self) -> None:
        """Press Ctrl-C."""
        if self.running is None:
            return
        self.running.send_signal(signal.SIGINT)
        said, _ = self.running.communicate(timeout=_START_S)
        assert "Traceback" not in said, said
        self.running = None


@contextmanager
def serving(folder: Path, *words: str) -> Iterator[Serving]:
    """One of these, stopped at the end."""
    page = Serving(folder, *words)
    try:
        yield page
    finally:
        page.stop()


@contextmanager
def chromium() -> Iterator[Browser]:
    """Debian's own. Where there is none that is a failure, never a test left out: .ci/run installs it."""
    from playwright.sync_api import sync_playwright  # noqa: PLC0415 - half a second that other tests do not need

    path = shutil.which("chromium")
    assert path is not None, "no chromium here: apt-get install chromium"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])
        yield browser
        browser.close()


class Device:
    """A phone or tablet: its pages, and everything its console said."""

    def __init__(
        self, browser: Browser, base: str, size: tuple[int, int] = PHONE, *, light: str = "light", script: bool = True
    ) -> None:
        width, height = size
        scheme: Any = light
        self.context: BrowserContext = browser.new_context(
            base_url=base,
            viewport={"width": width, "height": height},
            color_scheme=scheme,
            java_script_enabled=script,
            has_touch=size != WALL,
        )
        self.context.set_default_timeout(15_000)
        self.said: list[str] = []
        self.page: Page = self.context.new_page()
        self.page.on("console", lambda told: self.said.append(f"{told.type}: {told.text}"))
        self.page.on("pageerror", lambda error: self.said.append(f"error: {error}"))

    def shot(self, name: str) -> None:
        """A picture, where somebody wants to look."""
        if SHOTS:
            self.page.screenshot(path=Path(SHOTS) / f"{name}.png", full_page=True)

    def close(self) -> None:
        """Put it away."""
        self.context.close()


def serious(page: Page) -> list[str]:
    """What axe-core finds serious or critical, with where it is."""
    page.evaluate(_axe())
    found = page.evaluate("axe.run()")
    assert found["passes"], "axe-core looked at nothing"
    return [
        f"{page.url}: {one['id']}: {one['nodes'][0]['html'][:160]}"
        for one in found["violations"]
        if one["impact"] in ("serious", "critical")
    ]


def small_targets(page: Page) -> list[str]:
    """What can be touched and is smaller than a finger. A link is as wide as its words."""
    targets = page.evaluate(_TARGETS)
    assert targets, f"{page.url}: nothing can be touched"
    return [
        f"{page.url}: {width:.0f} × {height:.0f}: {told}"
        for told, width, height in targets
        if height < TARGET_PX - _ROUNDING or (width < TARGET_PX - _ROUNDING and not told.startswith("<a"))
    ]


def too_wide(page: Page) -> list[str]:
    """By how much a page scrolls sideways, if it does."""
    over = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    return [f"{page.url}: {over} px too wide"] if over > 0 else []


def _axe() -> str:
    return (HERE / "axe" / "axe.min.js").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """One for all tests of a module."""
    with chromium() as found:
        yield found
