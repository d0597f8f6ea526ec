"""Whatever a file holds, loading gives models and problems, and every problem lies where it says."""

from __future__ import annotations

import re
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from balancer.errors import Problem
from balancer.files.house.load import Loaded, load
from balancer.files.yaml.document import MAX_SHOWN
from balancer.files.yaml.tree import read_document
from balancer.output.words.problems import problems_text
from tests.examples import examples
from tests.files.codes import loader_codes
from tests.files.folders import SOUND, load_with, write
from tests.files.mutate import mutated

KNOWN = frozenset(loader_codes())
LINE_BREAK = re.compile(r"\r\n|\r|\n")


def assert_lies_in(problem: Problem, texts: dict[str, str | None]) -> None:
    """The place of a problem exists, its excerpt is that line, and the caret stands under it."""
    assert problem.path is not None
    assert problem.line is not None
    assert problem.column is not None
    assert problem.line >= 1
    assert problem.column >= 1
    text = texts.setdefault(problem.path, clean_text(Path(problem.path)))
    if text is not None:
        lines = LINE_BREAK.split(text)
        assert problem.line <= len(lines)
        line = lines[problem.line - 1]
        assert problem.column <= len(line) + 1
        assert problem.excerpt == (line if len(line) <= MAX_SHOWN else None)
    if problem.excerpt is not None:
        assert "\n" not in problem.excerpt
        assert problem.column - 1 + problem.width <= max(len(problem.excerpt), problem.column)


def clean_text(path: Path) -> str | None:
    """The text of a file as its editor shows it, or None when its bytes are no UTF-8 text or hold invisible ones."""
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except (UnicodeDecodeError, OSError):
        return None
    return None if re.search(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]", text) else text


def assert_sound(loaded: Loaded) -> None:
    texts: dict[str, str | None] = {}
    for problem in loaded.problems:
        assert_lies_in(problem, texts)
        assert problem.code in KNOWN
        assert problem.message
        assert problem.remedy
    told = [(problem.path, problem.line, problem.column, problem.message) for problem in loaded.problems]
    assert len(set(told)) == len(told), "told twice"
    order = [(list(texts).index(str(problem.path)), problem.line, problem.column) for problem in loaded.problems]
    assert order == sorted(order), "not in file order"
    for drink in loaded.specs.drinks.values():
        assert all(loaded.specs.liquid(pour.of) for pour in drink.pours)
    for entry in loaded.broken:
        assert entry.problems, "broken without a reason"
        assert set(entry.problems) <= set(loaded.problems)
    assert problems_text(loaded.problems).count("\n  ") >= len(loaded.problems)


def run(folder: Path, seeds: range) -> int:
    """Load the sound bar after every mutation; returns how many of them were seen as a problem."""
    write(folder)
    seen = 0
    for seed in seeds:
        changes = mutated(seed)
        for name, raw in changes.items():
            (folder / name).write_bytes(raw if isinstance(raw, bytes) else raw.encode())
        loaded = load(folder)
        try:
            assert_sound(loaded)
        except AssertionError as error:
            raise AssertionError(f"seed {seed}: {error}\n{changes}") from error
        seen += bool(loaded.problems)
        for name in changes:
            (folder / name).write_bytes(SOUND[name].encode())
    return seen


def test_mutated_files_give_only_problems(tmp_path: Path) -> None:
    assert 180 < run(tmp_path, range(300)) < 300


# Thousands more are read by tests/campaign.


YAMLISH = st.lists(
    st.sampled_from(
        [
            "drink",
            "method",
            "pours",
            "id",
            "- ",
            ": ",
            "\n",
            "  ",
            "[",
            "]",
            "{",
            "}",
            ",",
            '"',
            "'",
            "#",
            "|",
            "&a",
            "*a",
        ]
    )
    | st.text(max_size=4)
).map("".join)


@settings(max_examples=examples(200), deadline=None, derandomize=True, database=None)
@given(YAMLISH | st.text())
def test_any_text_is_read_without_an_exception(text: str) -> None:
    raw = text.encode("utf-8", "replace")
    document = read_document("any.yaml", raw)
    assert document.root is not None or document.found or not re.sub(r"(?m)^\s*#.*$|---|\.\.\.|%.*$", "", text).strip()


@settings(max_examples=examples(200), deadline=None, derandomize=True, database=None)
@given(st.binary())
def test_any_bytes_are_read_without_an_exception(raw: bytes) -> None:
    document = read_document("any.yaml", raw)
    assert all(problem.code in KNOWN for problem in document.problems())


@settings(
    max_examples=examples(60),
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(st.sampled_from(sorted(SOUND)), YAMLISH, st.integers(0, 400))
def test_any_text_anywhere_in_a_good_file(tmp_path: Path, name: str, text: str, at: int) -> None:
    good = SOUND[name]
    assert_sound(load_with(tmp_path, {name: (good[:at] + text + good[at:]).encode("utf-8", "replace")}))
