"""What the pages show is what the commands print."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.cli.runner import CHECKOUT
from tests.docs.commands_page import leaves
from tests.docs.pages import DOCS, Block, blocks, has_snippets, name, pages, renewed
from tests.git import GIT

SHOWN = [page for page in pages() if has_snippets(page)]
_READ_FIRST = ("README.md", "docs/tutorial.md")
_NEEDS_GIT = pytest.mark.skipif(not GIT, reason="there is no git here")


def _marks(page: Path) -> list[pytest.MarkDecorator]:
    slow = [] if name(page) in _READ_FIRST else [pytest.mark.slow]
    return [*slow, *([_NEEDS_GIT] if "\n$ git " in page.read_text(encoding="utf-8") else [])]


_ALL = [pytest.param(page, marks=_marks(page)) for page in SHOWN]


@pytest.mark.parametrize("page", _ALL, ids=name)
def test_outputs(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    assert text == renewed(text), "if the new output is right: python -m tests.docs.generate"


def test_there_are_snippets() -> None:
    """The tutorial and every how-to page show commands at work."""
    shown = {name(page) for page in SHOWN}
    assert {"docs/tutorial.md", *(name(page) for page in (DOCS / "how-to").glob("*.md"))} <= shown


@pytest.mark.parametrize("language", ["console", "sh", "text"])
def test_a_wrong_output_is_noticed(language: str) -> None:
    page = f"# P\n\n```{language}\n$ balancer pour 22.5ml --standard 50 --brix 54\nnonsense\n```\n"
    assert renewed(page) != page
    assert "nonsense" not in renewed(page)


def test_a_wrong_exit_code_is_noticed() -> None:
    with pytest.raises(AssertionError, match="exit code 2, not 0"):
        renewed("# P\n\n```console\n$ balancer pour 22.5 --standard 50 --brix 54\n```\n")


def _lines(block: Block) -> list[str]:
    """What a reader would copy out of a block that shows a command without its output."""
    return [] if block.is_typed else re.findall(r"\bbalancer (?!.*balancer )(.+)", block.body.replace('", "', " "))


def test_commands_without_output_exist() -> None:
    """Scripts and the like are not run, but what they call is there, with these options."""
    known = {path: {flag for one in command.params for flag in one.opts} for path, command in leaves()}
    seen = 0
    for page in pages():
        for block in blocks(page.read_text(encoding="utf-8")):
            if block.info not in ("sh", "python"):
                continue
            if block.info == "python":
                compile(block.body, name(page), "exec")
            for line in _lines(block):
                words = re.findall(r"[\w-]+", line)
                path = next((path for path in known if tuple(words[: len(path)]) == path), None)
                assert path is not None, f"{name(page)}: {line}"
                assert set(re.findall(r"(?<!\S)--[a-z-]+", line)) <= known[path], f"{name(page)}: {line}"
                seen += 1
    assert seen


def test_readme_is_covered() -> None:
    assert CHECKOUT / "README.md" in pages()
