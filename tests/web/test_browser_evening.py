"""An evening lived in a real browser: on a phone and a wall tablet, with and without JavaScript, by keyboard alone."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests.web.browser import PHONE, WALL, Device, Serving, browser, serving  # noqa: F401 - a fixture

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator

pytestmark = pytest.mark.slow

SOON_MS = 10_000
"""A change is looked for once a second."""


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Serving]:
    with serving(tmp_path) as found:
        yield found


def logged(served: Serving) -> list[dict[str, Any]]:
    text = (served.specs / "batches.yaml").read_text(encoding="utf-8")
    return [json.loads(line.removeprefix("- ")) for line in text.splitlines()]


def bottle(device: Device, tape: str) -> Locator:
    """A bottle's line of tonight."""
    return device.page.locator("article.bottle", has=device.page.locator(".tape", has_text=re.compile(f"^{tape}$")))


def find_drink(device: Device, words: str, name: str) -> None:
    device.page.goto("/")
    device.page.get_by_label("Find a drink").fill(words)
    device.page.get_by_role("button", name="Show").click()
    device.page.get_by_role("heading", level=1, name=name).wait_for()


def read_raspberry(device: Device, reading: str, by: str = "Runa") -> None:
    """Read RAS-12, and log what it shows."""
    device.page.get_by_role("link", name="Read", exact=True).click()
    device.page.get_by_label("Bottle or syrup").select_option("batch:RAS-12")
    device.page.get_by_label("The refractometer reads, °Bx").fill(reading)
    device.page.get_by_role("button", name="Work it out").click()
    device.page.locator("#result .big").wait_for()
    who = device.page.get_by_label("Who logs it")
    if who.count():
        who.fill(by)
    device.page.get_by_role("button", name=re.compile("^Log .* for RAS-12$")).click()
    device.page.locator("#done").wait_for()


@pytest.mark.parametrize("script", [True, False], ids=["script", "no-script"])
@pytest.mark.parametrize("size", [PHONE, WALL], ids=["phone", "wall"])
def test_an_evening(browser: Browser, served: Serving, size: tuple[int, int], script: bool) -> None:  # noqa: F811
    """Open, find a drink, read a syrup, log it, see it on another device, undo. Without JavaScript that one reloads.

    RAS-12 reads 54 °Bx at first: 22.5 → 20 ml, as the README's example of `tonight` has it. At 50.3 on the
    refractometer it is at its standard, as the example of `measure` there says: as written.
    """
    one = Device(browser, served.base, size, script=script)
    other = Device(browser, served.base, WALL if size == PHONE else PHONE, light="dark", script=script)
    before = len(logged(served))
    other.page.goto("/")
    raspberry = bottle(other, "RAS-12").locator(".pair", has_text="22.5").locator(".now")
    assert raspberry.inner_text().split()[1] == "20"

    one.page.goto("/")
    name = bottle(one, "RAS-12").locator(".who a").first.inner_text()
    find_drink(one, name.split()[0].lower(), name)
    moved = one.page.locator("tr.moved", has_text="RAS-12")
    assert moved.count() == 1
    label = f"{'phone' if size == PHONE else 'wall'}-{'script' if script else 'plain'}"
    one.shot(f"evening-drink-{label}")

    read_raspberry(one, "50.3")
    assert "RAS-12 read 50 °Bx" in one.page.locator("#done").inner_text()
    one.shot(f"evening-logged-{label}")
    assert [line["event"] for line in logged(served)[before:]] == ["reading"]
    assert logged(served)[-1]["by"] == "Runa"
    if not script:
        other.page.reload()
    bottle(other, "RAS-12").wait_for(state="detached", timeout=SOON_MS)
    assert "RAS-12 raspberry syrup" in other.page.locator("section", has_text="Open, as written").last.inner_text()
    other.shot(f"evening-told-{label}")

    one.page.get_by_role("button", name="Undo").first.click()
    one.page.get_by_text("Undone").first.wait_for()
    assert [line["event"] for line in logged(served)[before:]] == ["reading", "undo"]
    if not script:
        other.page.reload()
    bottle(other, "RAS-12").wait_for(timeout=SOON_MS)
    assert raspberry.inner_text().split()[1] == "20"

    assert not one.said + other.said
    one.close()
    other.close()


@pytest.mark.parametrize("script", [True, False], ids=["script", "no-script"])
def test_prep_is_ticked_by_two(browser: Browser, served: Serving, script: bool) -> None:  # noqa: F811
    one, other = (Device(browser, served.base, size, script=script) for size in (PHONE, WALL))
    box = "Done: Correct, stir, read, STR-1"
    for device in (one, other):
        device.page.goto("/prep")
        assert device.page.get_by_role("button", name=box, pressed=False).count() == 1
    one.page.get_by_role("button", name=box).click()
    one.page.get_by_role("button", name=box, pressed=True).wait_for()
    if not script:
        other.page.reload()
    other.page.get_by_role("button", name=box, pressed=True).wait_for(timeout=SOON_MS)
    one.shot(f"evening-prep-{'script' if script else 'plain'}")
    other.page.get_by_role("button", name=box).click()
    other.page.get_by_role("button", name=box, pressed=False).wait_for()
    if not script:
        one.page.reload()
    one.page.get_by_role("button", name=box, pressed=False).wait_for(timeout=SOON_MS)
    assert not one.said + other.said
    one.close()
    other.close()


def test_a_doubtful_reading_asks_first(browser: Browser, served: Serving) -> None:  # noqa: F811
    before = len(logged(served))
    phone = Device(browser, served.base)
    phone.page.goto("/read?what=batch:RAS-12&reading=12")
    phone.page.locator("[role=alert].doubt").first.wait_for()
    phone.shot("evening-doubt")
    assert len(logged(served)) == before
    assert not phone.said
    phone.close()


def test_it_says_since_when_nobody_answered(browser: Browser, served: Serving) -> None:  # noqa: F811
    """Two minutes on the browser's clock; when the page is back, so is its answer."""
    from playwright.sync_api import expect  # noqa: PLC0415 - half a second that the fast tests do not need

    phone = Device(browser, served.base)
    phone.page.clock.install()
    phone.page.goto("/")
    expect(phone.page.locator("#heard")).to_have_attribute("datetime", re.compile("Z$"))  # the line is up
    stop = phone.page.locator("#silent")
    since = phone.page.locator("#heard").inner_text()
    served.stop()
    phone.page.clock.run_for(110_000)
    assert not stop.is_visible()
    phone.page.clock.run_for(15_000)
    stop.wait_for()
    assert f"Not heard since {since}" in stop.inner_text()
    assert "stale" in (phone.page.locator("html").get_attribute("class") or "")
    weight = phone.page.locator(".now").first.evaluate("one => getComputedStyle(one).fontWeight")
    assert weight == "400"
    phone.shot("evening-silent")
    served.start()
    stop.wait_for(state="hidden")
    assert "stale" not in (phone.page.locator("html").get_attribute("class") or "")
    assert not [told for told in phone.said if "ERR_" not in told]
    phone.close()


def test_a_reading_is_logged_by_keyboard_alone(browser: Browser, served: Serving) -> None:  # noqa: F811
    before = len(logged(served))
    wall = Device(browser, served.base, WALL)
    keys = wall.page.keyboard

    def tab_to(what: str) -> None:
        for _ in range(60):
            keys.press("Tab")
            if wall.page.evaluate("css => document.activeElement.matches(css)", what):
                ring = wall.page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
                assert ring != "none", f"nobody sees that {what} is next"
                return
        raise AssertionError(f"Tab never comes to {what}")

    wall.page.goto("/")
    keys.press("Tab")
    assert wall.page.evaluate("document.activeElement.className") == "skip"
    tab_to("nav a[href='/read']")
    keys.press("Enter")
    wall.page.wait_for_url("**/read")
    tab_to("#what")
    keys.type("RAS-12")
    tab_to("#reading")
    keys.type("50.3")
    keys.press("Enter")
    wall.page.locator("#result .big").wait_for()
    tab_to("input[name=by]")
    keys.type("Runa")
    tab_to("button.do")
    keys.press("Enter")
    wall.page.locator("#done").wait_for()
    assert [line["batch"] for line in logged(served)[before:]] == ["RAS-12"]
    assert not wall.said
    wall.close()


def test_on_a_network_it_reads_until_the_key_is_entered(browser: Browser, tmp_path: Path) -> None:  # noqa: F811
    with serving(tmp_path, "--host", "0.0.0.0") as served:  # noqa: S104 - the case that is tested
        before = len(logged(served))
        phone = Device(browser, served.base)
        phone.page.goto("/read?what=batch:RAS-12&reading=50.3")
        assert phone.page.get_by_role("button", name=re.compile("^Log ")).count() == 0
        phone.page.goto("/key")
        phone.shot("evening-key")
        phone.page.locator("main input:not([type=hidden])").fill(served.key.lower())
        phone.page.locator("main button").first.click()
        phone.page.wait_for_url(f"{served.base}/")
        read_raspberry(phone, "50.3")
        assert len(logged(served)) == before + 1
        phone.close()
