"""Words that were replaced by better ones are nowhere in what is printed: one word a thing, in plain trade English.

JSON keeps its words: they are names for programs, and stand in quotes or as code where a page tells of them.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

from tests.cli.runner import CHECKOUT

pytestmark = pytest.mark.slow

PACKAGE: Final = CHECKOUT / "balancer"

RETIRED: Final = {
    "discard": r"\bpull(?:ed|s|ing)?\b|\b(?:take|takes|taken|took)(?: it| them)? out\b|\bthr\w+ out\b|\bout of use\b",
    "throw away, for an old card": r"\bpull (?:the|\d+) ",
    "spec 50": r"°Bx for [0-9{]|\}, \{\} for \{\}",
    "no jigger pour works": r"\bout of reach\b",
    "your refractometer should read": r"\byour scale\b|\bscale (?:shows?|reads?|should)\b|\bwater shows? (?:\d|\{\})",
    "the refractometer's range": r"\b(?:end|range) of (?:the|a) scale\b|\b(?:beyond|below) the scale\b",
    "sugar −4 % (was +9 %)": r"\bsugar (?:[+−]?\d+ %|\{\}), not\b",
    "borderline, given ±0.6": r"\bso near (?:a|the) limit\b|\bunsure a reading\b|\bmay be (?:as written|new pour)\b",
    "not read, assumed at standard": r"\btaken as standard\b(?! uncertainty)",
    "closest match": r"\bnearest\b|\bbest try\b|\bmoves least\b",
    "replaced by": r"\bsyrup out\b|\{\}, \{\} out\b|\{\} out of \{\}",
    "replaces ice melt": r"\bwater, for the ice\b",
    "final check": r"\bread it in the end\b",
    "9 % less flavour": r"\ba ml then holds\b|\bflavour (?:[+−]\d|\{\})",
}
JSON_WORDS: Final = {"pull", "take out", "throw out", "out of reach", "water, for the ice"}
_QUOTED: Final = re.compile(
    rf"`(?:[\w.\[\]]+\.)?(?:{'|'.join(JSON_WORDS)})(?:\[\][.\w]*)?`|: \"(?:{'|'.join(JSON_WORDS)})\""
)
_GIT: Final = re.compile(r"^\$ git .*$", re.MULTILINE)
"""Another program has words of its own."""


def retired(text: str) -> list[tuple[str, str]]:
    """What to say, and the retired words that stand in a text instead."""
    kept = " ".join(_QUOTED.sub("", _GIT.sub("", text)).split())
    return [(say, found[0]) for say, old in RETIRED.items() for found in re.finditer(old, kept)]


def literals(path: Path) -> Iterator[str]:
    """The texts a module may print: what is no docstring and no word of JSON; {} where something is put in."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    told = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            told |= {id(part) for part in node.values}
            yield "".join(str(part.value) if isinstance(part, ast.Constant) else "{}" for part in node.values)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in told:
            yield from {node.value} - JSON_WORDS


SOURCES: Final = sorted(PACKAGE.rglob("*.py"))
PRINTED: Final = [
    *sorted(PACKAGE.rglob("*.typ")),
    *sorted(PACKAGE.rglob("*.yaml")),
    *sorted((CHECKOUT / "tests" / "cli").rglob("*.txt")),
    *sorted((CHECKOUT / "tests" / "problems").rglob("*.txt")),
    CHECKOUT / "README.md",
    *sorted((CHECKOUT / "docs").rglob("*.md")),
]


def relative(path: Path) -> str:
    return path.relative_to(CHECKOUT).as_posix()


def test_what_is_printed_has_no_retired_word() -> None:
    """One test of all files: a test for each takes longer to collect than to run."""
    found = {relative(path): retired(path.read_text(encoding="utf-8")) for path in PRINTED}
    assert {name: words for name, words in found.items() if words} == {}
    assert len(found) > 100


def test_what_may_be_printed_has_no_retired_word() -> None:
    found = {relative(path): [word for text in literals(path) for word in retired(text)] for path in SOURCES}
    assert {name: words for name, words in found.items() if words} == {}
    assert len(found) > 100


@pytest.mark.parametrize(
    ("old", "say"),
    [
        ("ALM-1: past its last day, take it out", "discard"),
        ("prep 25 Nov: 1 to throw out", "discard"),
        ("pull the old Slipway Sour", "throw away, for an old card"),
        ("STR-1 strawberry syrup, 54.6 °Bx for 50", "spec 50"),
        ("out of reach: sugar +11 %", "no jigger pour works"),
        ("at 50 °Bx your scale shows 50.3", "your refractometer should read"),
        ("60 is beyond the scale", "the refractometer's range"),
        ("20 → 17.5 ml  sugar −4 %, not +10 %", "sugar −4 % (was +9 %)"),
        ("so near a limit that the ± may turn it", "borderline, given ±0.6"),
        ("taken as standard: simple syrup", "not read, assumed at standard"),
        ("nearest open: 25 ml pineapple syrup", "closest match"),
        ("raspberry syrup out of 5 drinks", "replaced by"),
        ("313 g  water, for the ice", "replaces ice melt"),
        ("read it in the end: at 50 °Bx", "final check"),
        ("a ml then holds: flavour −9 %", "9 % less flavour"),
    ],
)
def test_the_old_wording_would_be_noticed(old: str, say: str) -> None:
    assert say in {found for found, _ in retired(old)}


def test_a_word_put_into_a_text_would_be_noticed(tmp_path: Path) -> None:
    """The scan reads what is put together, and passes over docstrings and words of JSON."""
    module = tmp_path / "module.py"
    module.write_text(
        'def row(ids):\n    """What to take out."""\n    return f"take out {ids}" if ids != "pull" else "as written"\n'
    )

    assert [found for text in literals(module) for found in retired(text)] == [("discard", "take out")]


def test_words_of_json_are_told_as_such() -> None:
    assert retired('`out of reach` in JSON, as in "verdict": "out of reach"') == []
    assert retired('it says "out of reach"') != []
