"""The pages speak as the bar does, and stand on any machine."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.docs.pages import DOCS, name, pages

OTHER_WORDS = {
    "strength": "potency|brix level|sugar level|brix value",
    "bottled drink": "pre-?batch(?:ed)?|premix(?:ed)?",
    "before ice, in the glass": "pre-?dilution|post-?dilution|undiluted|final drink",
    "pour": "dosage|dosing",
    "British spelling": "flavou?rful|flavor\\w*|color(?!ama)\\w*|liters?|milliliters?|grams? per liter|center\\w*|gray",
    "plain words": "utili[sz]e\\w*|leverag\\w*|seamless\\w*|robust\\w*|simply|just",
}
PATH = re.compile(r"(?:^|[\s`(\"'=])(?:~|/[A-Za-z]\w*)/\w|\b[A-Z]:\\")
HOST = re.compile(r"https?://|\bwww\.|\b[\w-]+\.(?:com|org|net|io|dev)\b")


@pytest.mark.parametrize("page", pages(), ids=name)
def test_one_word_for_one_thing(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    for word, others in OTHER_WORDS.items():
        found = re.findall(rf"\b(?:{others})\b", text, re.IGNORECASE)
        assert found == [], f"say {word}"


@pytest.mark.parametrize("page", pages(), ids=name)
def test_no_place_on_one_machine_and_none_on_the_network(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    assert PATH.findall(text) == []
    assert HOST.findall(text) == []


def test_paths_and_hosts_would_be_noticed() -> None:
    assert PATH.search("see `/srv/bar/specs`")
    assert PATH.search("C:\\bar")
    assert HOST.search("from https://bar.example")
    assert not PATH.search("g/l or g/kg, and/or")


def test_pages_are_titled_by_the_task() -> None:
    """One heading of the first rank, and lines that fit a terminal."""
    for page in [*DOCS.glob("*.md"), *(DOCS / "how-to").glob("*.md")]:
        lines = page.read_text(encoding="utf-8").splitlines()
        assert lines[0].startswith("# "), name(page)
        assert max(map(len, lines)) <= 120, name(page)
