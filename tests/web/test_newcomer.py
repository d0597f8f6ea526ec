"""What somebody new to the page stumbled over, and must not again."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

import pytest
from starlette.testclient import TestClient

from balancer.web.settings import PageSettings
from tests.web.browsing import EVERYWHERE, KEY, ORIGIN, SPECS, device, read, shared_page, token_of, visitor

pytestmark = pytest.mark.usefixtures("evening")
_SHARED: Final = PageSettings(host=EVERYWHERE)


@pytest.fixture
def evening(monkeypatch: pytest.MonkeyPatch) -> None:
    """The demo's own."""
    monkeypatch.setenv("BALANCER_NOW", "2026-11-25T18:30+01:00")


def page(address: str) -> str:
    """A page of the demo house, and that it is one."""
    answer = device(shared_page()).get(address)
    assert answer.status_code == 200, answer.text
    return answer.text


def test_no_drink_of_tonight_is_hidden() -> None:
    """A wall screen cannot be tapped: every drink of the demo's lines is named without a fold."""
    lines = read(page("/")).find("ol", "pours")
    assert lines
    assert not [fold for line in lines for fold in line.find("details")]


@pytest.mark.parametrize("address", ["/adjust?drink=slipway-sour&sugar=-10%25", "/swap?drink=slipway-sour&out=raspberry-syrup&in=strawberry-syrup"])
def test_an_answer_comes_before_its_question(address: str) -> None:
    """The form leads to the answer, which stands above it; what moves is its first line."""
    text = page(address)
    path = address.partition("?")[0]
    assert f'action="{path}#answer"' in text
    assert text.index('id="answer"') < text.index('<table class="spec') < text.index(f'action="{path}#answer"')
    rows = read(text).find("table", "spec")[0].find("tbody")[0].find("tr")
    moved = ["moved" in row.attributes.get("class", "") or bool(row.find("span", "gone")) for row in rows]
    assert moved[0]
    assert moved == sorted(moved, reverse=True)


def test_without_script_the_page_says_that_it_stands_still() -> None:
    """Nothing renews it then."""
    (told,) = read(page("/")).find("noscript")
    assert "does not renew itself" in told.text
    assert re.search(r"as of \d\d:\d\d", told.text)
    assert [link.attributes["href"] for link in told.find("a")] == ["/"]
