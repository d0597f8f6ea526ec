"""Pages lead to pages that are there, and no page is left out."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.runner import CHECKOUT
from tests.docs.pages import DOCS, anchors, links, name, pages

READ = [*pages(), CHECKOUT / "DEVELOPERS.md"]


@pytest.mark.parametrize("page", READ, ids=name)
def test_links(page: Path) -> None:
    lost = []
    for target in links(page.read_text(encoding="utf-8")):
        path, _, anchor = target.partition("#")
        there = (page.parent / path).resolve() if path else page
        if not there.is_file() or (anchor and anchor not in anchors(there.read_text(encoding="utf-8"))):
            lost.append(target)
    assert lost == []


def test_a_lost_anchor_is_noticed() -> None:
    assert anchors("# The `tonight` page\n\n```text\n# no heading\n```\n## 2:1, by weight\n") == {
        "the-tonight-page",
        "21-by-weight",
    }


def test_every_page_can_be_reached() -> None:
    found, waiting = set(), [DOCS / "index.md"]
    while waiting:
        page = waiting.pop()
        found.add(page)
        for target in links(page.read_text(encoding="utf-8")):
            there = (page.parent / target.partition("#")[0]).resolve()
            if there.suffix == ".md" and there.is_file() and there not in found:
                waiting.append(there)
    assert set(DOCS.rglob("*.md")) - found == set()
