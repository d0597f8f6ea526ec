"""Every page in a real browser: for eyes, fingers, screen readers and narrow screens; light and dark."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, Final
from urllib.parse import urlsplit

import pytest

from tests.web.browser import (
    NARROW,
    PHONE,
    WALL,
    Device,
    Serving,
    browser,  # noqa: F401 - a fixture
    serious,
    serving,
    small_targets,
    too_wide,
)

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.slow

STATES: Final = (
    "/batches/STR-1",
    "/batches/ALM-1",
    "/batches/RAS-11",
    "/chart/raspberry-syrup",
    "/drinks?q=no+such+drink",
    "/read?what=batch:RAS-12&reading=54.5",
    "/read?what=batch:STR-1&reading=54.6",
    "/read?what=batch:RAS-11&reading=fifty&dilute=yes&temperature=hot",
    "/read?what=batch:RAS-12&reading=12",
    "/read?what=batch:RAS-12&reading=55",
    "/read?reading=54",
    "/batches?all=1",
    "/key",
    "/print/labels.pdf",
    "/no-such-page",
)
"""What no link leads to: answers to what was typed."""

EXPECTED: Final = ("/", "/read", "/batches", "/batches/new", "/drinks", "/prep", "/chart", "/print", "/name")
_OF_A_KIND: Final = 3
WIDTHS: Final = ((360, 640), (640, 360), (768, 1024), (1024, 768), (1280, 800), (1920, 1080))


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Serving]:
    with serving(tmp_path_factory.mktemp("pages")) as found:
        yield found


@pytest.fixture(scope="module")
def addresses(browser: Browser, served: Serving) -> list[str]:  # noqa: F811
    """Every page that a link leads to, from the first one on; of drinks, batches and the like a few each."""
    device = Device(browser, served.base, WALL)
    found, waiting = ["/"], ["/"]
    while waiting:
        device.page.goto(waiting.pop(0))
        links = device.page.evaluate("[...document.querySelectorAll('main a, nav a')].map(one => one.href)")
        for link in links:
            parts = urlsplit(link)
            address = f"{parts.path}?{parts.query}" if parts.query else parts.path
            if f"{parts.scheme}://{parts.netloc}" != served.base or parts.path.endswith(".pdf"):
                continue
            kinds = [_kind(one) for one in found]
            if address not in found and kinds.count(_kind(address)) < _OF_A_KIND:
                found.append(address)
                waiting.append(address)
    device.close()
    assert set(EXPECTED) <= {*found}, found
    return found


def _kind(address: str) -> str:
    """Pages of one kind: `/drinks/a` and `/drinks/b`."""
    path, _, query = address.partition("?")
    kind = re.sub(r"^(/[a-z]+)/(?!new)[^/]+", r"\1/*", path)
    return f"{kind}?{'&'.join(part.partition('=')[0] for part in query.split('&'))}"


@pytest.mark.parametrize(
    ("size", "light"),
    [(NARROW, "light"), (PHONE, "light"), (PHONE, "dark"), (WALL, "light"), (WALL, "dark")],
    ids=["narrow", "phone-light", "phone-dark", "wall-light", "wall-dark"],
)
def test_nothing_is_in_anybodys_way(
    browser: Browser,  # noqa: F811
    served: Serving,
    addresses: list[str],
    size: tuple[int, int],
    light: str,
) -> None:
    device = Device(browser, served.base, size, light=light)
    wrong: list[str] = []
    for address in (*addresses, *STATES):
        device.said.clear()
        device.page.goto(address)
        device.page.evaluate("document.fonts.ready.then(() => true)")
        device.page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
        wrong += serious(device.page) + small_targets(device.page) + too_wide(device.page)
        heard = [told for told in device.said if "404 (Not Found)" not in told or address != "/no-such-page"]
        wrong += [f"{address}: console {told}" for told in heard]
        if size != NARROW:
            name = re.sub(r"\W+", "-", address).strip("-") or "tonight"
            device.shot(f"{name}-{'phone' if size == PHONE else 'wall'}-{light}")
    device.close()
    assert not wrong, "\n".join(wrong)


def test_no_width_scrolls_sideways(browser: Browser, served: Serving, addresses: list[str]) -> None:  # noqa: F811
    device = Device(browser, served.base)
    wrong = []
    for address in (*addresses, *STATES):
        device.page.goto(address)
        for width, height in WIDTHS:
            device.page.set_viewport_size({"width": width, "height": height})
            wrong += [f"at {width}: {told}" for told in too_wide(device.page)]
    device.close()
    assert not wrong, "\n".join(wrong)


def test_the_checks_would_find_something(browser: Browser, served: Serving) -> None:  # noqa: F811
    """A page spoilt on purpose: none of the three looks away."""
    device = Device(browser, served.base, NARROW)
    device.page.goto("/batches")
    assert not serious(device.page) + small_targets(device.page) + too_wide(device.page)
    device.page.evaluate(
        """() => { const main = document.querySelector('main');
        main.insertAdjacentHTML('beforeend', '<img src="/static/mark.svg"><button>x</button><p>wide</p>');
        Object.assign(main.lastElementChild.style, {color: '#888', background: '#999', width: '1000px'});
        Object.assign([...main.querySelectorAll('button')].pop().style, {minHeight: '20px', padding: '0'}); }"""
    )
    found = " ".join(serious(device.page))
    assert "image-alt" in found
    assert "color-contrast" in found
    assert small_targets(device.page)
    assert too_wide(device.page)
    device.close()
