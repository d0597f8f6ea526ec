"""The pages: their snippets run, their outputs renewed, their links and words found.

A page is read from top to bottom as one sitting in a folder that holds the demo house as specs/:

    ```console              lines that start with $ are typed, the lines below each are what it prints;
                            `console exit=1` where the last one ends with that code
    ```text, ```sh          the same, when its first line starts with $; also cd, and git, whose words are not shown
    <!-- file: PATH -->     the block that follows is saved there
    <!-- now: MOMENT -->    what time it is from here on
"""

from __future__ import annotations

import contextlib
import glob
import os
import re
import shlex
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Final, NamedTuple

from tests.cli.runner import CHECKOUT, run
from tests.git import git

DOCS: Final = CHECKOUT / "docs"
NOW: Final = "2026-11-25T18:30+01:00"
"""The evening of the demo house's log."""

_BLOCK: Final = re.compile(r"^```(?P<info>[^\n`]*)\n(?P<body>.*?)^```$", re.MULTILINE | re.DOTALL)
_REMARK: Final = re.compile(r"<!-- (?P<word>file|now): (?P<value>\S+) -->")
_LINK: Final = re.compile(r"\[[^\]]*\]\((?P<target>[^)\s]+)\)")
_HEADING: Final = re.compile(r"^#+ (?P<text>.+)$", re.MULTILINE)


class Block(NamedTuple):
    """A fenced block of a page, with what stands between it and the one before."""

    before: str
    info: str
    body: str

    @property
    def is_typed(self) -> bool:
        """Whether commands are typed in it, as against shown."""
        language = self.info.partition(" ")[0]
        return language in ("console", "sh", "text") and self.body.startswith("$ ")

    @property
    def typed(self) -> list[str]:
        return [line[2:] for line in self.body.splitlines() if line.startswith("$ ")]


def pages() -> list[Path]:
    """The README and every page of docs/."""
    return [CHECKOUT / "README.md", *sorted(DOCS.rglob("*.md"))]


def name(page: Path) -> str:
    return page.relative_to(CHECKOUT).as_posix()


def blocks(text: str) -> Iterator[Block]:
    end = 0
    for found in _BLOCK.finditer(text):
        yield Block(text[end : found.start()], found["info"], found["body"])
        end = found.end()


def prose(text: str) -> str:
    """A page without its blocks."""
    return _BLOCK.sub("", text)


def links(text: str) -> list[str]:
    return [found["target"] for found in _LINK.finditer(prose(text))]


def anchors(text: str) -> set[str]:
    """The anchors that a reader's browser knows: a heading in lower case, its spaces as hyphens."""
    headings = (found["text"] for found in _HEADING.finditer(prose(text)))
    return {re.sub(r"[^\w\- ]", "", heading.casefold()).replace(" ", "-") for heading in headings}


class Sitting:
    """Someone at the keyboard, in a folder with the demo house."""

    def __init__(self) -> None:
        self.env: dict[str, str] = {"BALANCER_NOW": NOW, "COLUMNS": "80"}
        self.code = 0

    def heed(self, between: str, body: str) -> None:
        """Do what the remarks before a block ask for."""
        for found in _REMARK.finditer(between):
            if found["word"] == "now":
                self.env["BALANCER_NOW"] = found["value"]
            else:
                path = Path(found["value"])
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_text(body, encoding="utf-8")

    def type(self, line: str) -> str:
        """What is printed after a line is typed."""
        program, *words = shlex.split(line)
        if program == "cd":
            os.chdir(words[0])
            return ""
        if program == "git":
            git(Path(), *words)
            self.code = 0
            return ""
        words = [each for word in words for each in (sorted(glob.glob(word)) or [word])]
        if program == "balancer":
            done = run(*words, specs=None, env=self.env)
            self.code = done.code
            return done.out + done.err
        assert program == "export", f"snippets know balancer, git, cd and export, not {line!r}"
        self.env.update({name: value for name, _, value in (word.partition("=") for word in words)})
        return ""

    def replay(self, block: Block) -> str:
        """A block as it should be."""
        lines = []
        for line in block.typed:
            lines.append(f"$ {line}\n")
            lines.append(self.type(line))
        wanted = int(block.info.partition("exit=")[2] or 0)
        assert self.code == wanted, f"exit code {self.code}, not {wanted}: {''.join(lines)}"
        return "".join(lines)


def renewed(text: str) -> str:
    """A page with the outputs that its commands have now."""
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
        shutil.copytree(CHECKOUT / "specs", "specs")
        sitting, parts, end = Sitting(), [], 0
        for found in _BLOCK.finditer(text):
            block = Block(text[end : found.start()], found["info"], found["body"])
            sitting.heed(block.before, block.body)
            body = sitting.replay(block) if block.is_typed else block.body
            parts.append(f"{block.before}```{block.info}\n{body}```")
            end = found.end()
        return "".join([*parts, text[end:]])


def has_snippets(page: Path) -> bool:
    return any(block.is_typed for block in blocks(page.read_text(encoding="utf-8")))


def relative(target: Path, page: Path) -> str:
    """A link from a page to another file."""
    return Path(os.path.relpath(target, page.parent)).as_posix()
