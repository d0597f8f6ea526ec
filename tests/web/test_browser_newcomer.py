"""What somebody new to the page stumbled over, in a real browser."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.web.browser import PHONE, Device, Serving, browser, serving  # noqa: F401 - a fixture

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.slow
LYING = (844, 390)


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Serving]:
    with serving(tmp_path) as found:
        yield found


def test_a_phone_lying_shows_an_amount_at_once(served: Serving, browser: Browser) -> None:  # noqa: F811
    device = Device(browser, served.base, LYING)
    device.page.goto("/")
    box = device.page.locator(".now").first.bounding_box()
    assert box is not None
    assert box["y"] + box["height"] <= LYING[1]
    assert not device.said
    device.close()


def test_the_answer_of_adjust_stands_clear_of_the_bar(served: Serving, browser: Browser) -> None:  # noqa: F811
    device = Device(browser, served.base, PHONE)
    page = device.page
    page.goto("/adjust?drink=slipway-sour")
    page.get_by_label("Sugar", exact=True).fill("-10 %")
    page.get_by_role("button", name="Work it out").click()
    page.wait_for_url(re.compile(r"sugar="))
    box, bar = page.locator(".moved .tonight").first.bounding_box(), page.locator("nav").bounding_box()
    assert box is not None
    assert bar is not None
    assert 0 <= box["y"] <= box["y"] + box["height"] <= bar["y"]
    device.close()


def test_a_dark_machine_keeps_the_page_and_what_was_typed(served: Serving, browser: Browser) -> None:  # noqa: F811
    device = Device(browser, served.base, PHONE)
    page = device.page
    page.goto("/")
    pours = page.locator(".now").first.inner_text()
    port = served.base
    served.stop()
    page.get_by_role("link", name="Batches", exact=True).click()
    page.get_by_text("Nothing was logged").wait_for()
    assert page.locator(".now").first.inner_text() == pours
    page.get_by_label("Find a drink").fill("slipway")
    page.get_by_role("button", name="Show").click()
    page.wait_for_timeout(500)
    assert page.get_by_label("Find a drink").input_value() == "slipway"
    assert page.url == f"{port}/"
    served.start()
    page.get_by_role("button", name="Show").click()
    page.get_by_role("heading", level=1, name="Slipway Sour").wait_for()
    device.close()


def test_what_was_unfolded_stays_so(served: Serving, browser: Browser) -> None:  # noqa: F811
    device = Device(browser, served.base, PHONE)
    page = device.page

    def folded(route: object) -> None:
        """Tonight with a fold, as a house of many drinks has one; opened by nobody."""
        answer = route.fetch()  # type: ignore[attr-defined]
        fold = '<details data-fold="RAS-12 20"><summary>1 more</summary><p>one</p></details>'
        text = answer.text().replace('<p class="lead">', f'{fold}<p class="lead">')
        route.fulfill(response=answer, body=text)  # type: ignore[attr-defined]

    page.route(f"{served.base}/", folded)
    page.goto("/")
    page.locator("details[data-fold] summary").click()
    old = page.locator("#evening").element_handle()
    page.evaluate("htmx.trigger(document.body, 'changed')")
    page.wait_for_function("old => !old.isConnected", arg=old)
    page.wait_for_timeout(200)
    assert page.locator("details[data-fold]").evaluate("one => one.open")
    device.close()
