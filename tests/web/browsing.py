"""A visitor of the page without a browser: the requests that one sends, and what stands on the page."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Final

from starlette.applications import Starlette
from starlette.testclient import TestClient

from balancer.web.app import page_app
from balancer.web.house import OpenHouse
from balancer.web.keys import PageKey
from balancer.web.settings import PageSettings

SPECS: Final = Path(__file__).parents[2] / "specs"
"""The demo house."""

_HOUSE: Final = OpenHouse(SPECS)
EVERYWHERE: Final = "0.0.0.0"  # noqa: S104 - a page on a network, that is asked in this process alone
KEY: Final = PageKey("ACDE-FGHJ-KMNP-QRTU", b"a secret of the tests, 32 bytes.")
ORIGIN: Final = "http://127.0.0.1:8466"
_VOID: Final = ("meta", "link", "input", "br", "option", "path", "rect", "circle", "img")


def visitor(folder: Path, settings: PageSettings | None = None, base_url: str = ORIGIN) -> TestClient:
    """A device that opens the page of a folder. What fails on the server fails the test."""
    return device(page_app(OpenHouse(folder), settings or PageSettings(), KEY), base_url)


def shared_page(settings: PageSettings | None = None) -> Starlette:
    """A page of the demo house that is read once for all tests, for what does not depend on what is on it."""
    return page_app(_HOUSE, settings or PageSettings(), KEY)


def device(app: Starlette, base_url: str = ORIGIN, address: str = "127.0.0.1") -> TestClient:
    """One more device at a page, with cookies of its own."""
    return TestClient(app, base_url=base_url, raise_server_exceptions=True, client=(address, 50_000))


def token_of(text: str) -> str:
    """The token that the forms of a page carry."""
    found = re.search(r'name="token" value="([0-9a-f]+)"', text)
    assert found, "no form on the page"
    return found[1]


class Node:
    """An element: its name, attributes, parts in order (elements and texts)."""

    def __init__(self, tag: str, attributes: dict[str, str]) -> None:
        self.tag = tag
        self.attributes = attributes
        self.parts: list[Node | str] = []

    @property
    def text(self) -> str:
        """All text in it, each run of blanks one."""
        return " ".join("".join(part if isinstance(part, str) else part.raw for part in self.parts).split())

    @property
    def raw(self) -> str:
        """All text in it."""
        return "".join(part if isinstance(part, str) else part.raw for part in self.parts)

    def find(self, tag: str = "", kind: str = "") -> list[Node]:
        """Every element in it of a tag and a class, in order."""
        found = []
        for part in self.parts:
            if isinstance(part, Node):
                classes = part.attributes.get("class", "").split()
                if (not tag or part.tag == tag) and (not kind or kind in classes):
                    found.append(part)
                found += part.find(tag, kind)
        return found


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.root = Node("", {})
        self.open = [self.root]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        node = Node(tag, {key: value or "" for key, value in attrs})
        self.open[-1].parts.append(node)
        if tag not in _VOID:
            self.open.append(node)

    def handle_endtag(self, tag: str) -> None:
        if tag in _VOID:
            return
        assert self.open[-1].tag == tag, f"</{tag}> closes <{self.open[-1].tag}>"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        self.open[-1].parts.append(data)


def read(text: str) -> Node:
    """A page as a tree; every element must be closed in order."""
    reader = _Reader()
    reader.feed(text)
    reader.close()
    assert reader.open == [reader.root], "an element is left open"
    return reader.root
