"""Any name, however hostile, comes back from the project's own reader as it went in."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.errors import CannotError
from balancer.files.yaml.document import Mapping, Scalar, Sequence
from balancer.files.yaml.scalar import plain_or_quoted
from balancer.files.yaml.tree import read_document
from balancer.unseen import NO_TEXT

HOSTILE = (
    "#import", "a: b", "- x", "=cmd|' /C calc'!A0", "& ! * % @ ~", "&a", "*a", "!t", "%TAG", "@x", "`x", "~", "null",
    "yes", "No", "on", "y", "1984", "007", "1_000", "0x1f", "1e5", ".5", "2026-03-14", "12:30:00", "a #b", "a#b",
    'say "so"', "it's", "back\\slash", "a\\", "🍸 tini", "שלום", "a\u200fb", 300 * "n", "---", "...", "? x",
    "[a]", "{a}",
    "a, b", "a]", "> x", "| x", "<script>alert(1)</script>", " led", "trailed ", "a  b", "x:", "<<", "½ oz", "é", "",
    "a\nb", "a\tb", ",5", "-", ":", "#", "'", '"',
)  # fmt: skip


def read_back(text: str) -> list[str]:
    """What the reader makes of a text as a value, in a list, and inside brackets."""
    value, inside = plain_or_quoted(text), plain_or_quoted(text, inside=True)
    document = read_document("x.yaml", f"a: {value}\nb:\n  - {value}\nc: {{of: {inside}, d: [{inside}]}}\n".encode())
    assert document.problems() == ()
    assert isinstance(document.root, Mapping)
    found: list[str] = []

    def gather(node: object) -> None:
        if isinstance(node, Scalar):
            found.append(node.text)
        elif isinstance(node, Sequence):
            for item in node.items:
                gather(item)
        elif isinstance(node, Mapping):
            for _, item in node.entries:
                gather(item)

    gather(document.root)
    return found


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_names(text: str) -> None:
    assert read_back(text) == [text] * 4


@given(st.text(st.characters(exclude_categories=["Cs"])))
def test_any_text(text: str) -> None:
    if NO_TEXT.search(text):
        with pytest.raises(CannotError, match="invisible"):
            plain_or_quoted(text)
    else:
        assert read_back(text) == [text] * 4


@pytest.mark.parametrize("text", ["null", "Yes", "1984", "007", "1.5", "2026-03-14", "~", "0x1f", "1e5", "-.inf"])
def test_what_other_readers_take_for_something_else_is_quoted(text: str) -> None:
    assert plain_or_quoted(text) == f'"{text}"'


@pytest.mark.parametrize("text", ["lime juice", "Barkeep's Nº 7", "60 ml gold rum", "45 %", "1½ oz gin", "Crème"])
def test_common_names_stay_plain(text: str) -> None:
    assert plain_or_quoted(text) == text


@pytest.mark.parametrize("char", ["\x00", "\x07", "\x1b", "\x7f", "\x85", "\u2028", "\ufeff", "\ud800"])
def test_what_cannot_be_seen_is_refused(char: str) -> None:
    with pytest.raises(CannotError, match=f"U\\+{ord(char):04X}"):
        plain_or_quoted(f"a{char}b")
