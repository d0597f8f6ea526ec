"""Whatever a bar wrote, or somebody typed, is text on the page."""

from __future__ import annotations

from pathlib import Path

import pytest

from balancer.files.house.load import load
from tests.web.browsing import device, read, shared_page, visitor
from tests.web.hostile import MARK, TEXTS, hostile_house, made_of_text

NOW = "2026-11-25T23:30+01:00"


@pytest.fixture
def house(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("BALANCER_NOW", NOW)
    return hostile_house(tmp_path)


def test_the_reader_sees_what_a_text_becomes() -> None:
    bad = ["<p><img src=x></p>", '<p onclick="x"></p>', "<script>hostile()</script>", '<a href="javascript:x">a</a>',
        '<p class="hostile"></p>', "<p>\u202e</p>", '<p style="x"></p>']  # fmt: skip
    assert [bool(made_of_text(read(text))) for text in bad] == [True] * len(bad)
    assert made_of_text(read('<p class="x">&lt;script&gt;hostile()<a href="/x">y</a></p>')) == []


def test_no_element_is_made_of_a_text_of_the_house(house: Path) -> None:
    client = visitor(house)
    specs = load(house).specs
    hostile = [drink for drink in specs.drinks.values() if MARK in drink.name]
    assert len(hostile) == len(TEXTS)
    paths = ["/nothing", "/", "/drinks", "/key", *(f"/drinks/{drink.id}" for drink in hostile)]
    shown = [read(client.get(path).text) for path in paths]
    assert [found for page in shown for found in made_of_text(page)] == []
    bottles = " ".join(node.text for node in shown[1].find("article", "bottle"))
    assert all(f"syrup {number}" in bottles for number in range(len(TEXTS)))
    assert all(MARK in page.text for page in shown[1:])


@pytest.mark.parametrize("text", TEXTS)
def test_what_is_asked_for_is_text_again(text: str) -> None:
    client = device(shared_page())
    for page in (client.get("/drinks", params={"q": text}), client.get(f"/drinks/{text.replace('/', '')}")):
        assert made_of_text(read(page.text)) == []
    found = read(client.get("/drinks", params={"q": text}).text)
    (field,) = [node for node in found.find("input") if node.attributes.get("name") == "q"]
    assert MARK in field.attributes["value"]
