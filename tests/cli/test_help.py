"""Help: it fits a terminal, in groups, and has no programmer's word in it."""

from __future__ import annotations

import re
from collections import defaultdict
from typing import Any, Final

import pytest
import typer

from balancer.cli.app import COMMANDS, GROUPS, app
from tests.cli.runner import run

ROWS, COLUMNS = 45, 80
_FOREIGN: Final = re.compile(
    r"<|>|\[\[|\{|list\[|\bstr\b|\bint\b|\bbool\b|\bpath\b|\bTEXT\b|\bINTEGER\b|\bPATH\b|\bARGS\b|OPTIONS"
    r"|env var|default:|required|message and exit"
)
"""Types, brackets in brackets and the words of whoever wrote it."""


def paths(command: Any = None, path: tuple[str, ...] = ()) -> list[tuple[str, ...]]:
    """Every command and every group of them, with the words that call it."""
    command = typer.main.get_command(app) if command is None else command
    if not hasattr(command, "list_commands"):
        return [path]
    below = [paths(command.get_command(None, name), (*path, name)) for name in command.list_commands(None)]
    return [path, *(one for found in below for one in found)]


ALL: Final = paths()


@pytest.mark.parametrize("option", ["-h", "--help"])
def test_the_whole_help_fits_a_terminal(option: str) -> None:
    done = run(option, specs=None)
    lines = done.out.splitlines()
    assert (done.code, done.err) == (0, "")
    assert len(lines) <= ROWS
    assert max(map(len, lines)) <= COLUMNS


def test_every_command_stands_in_its_group_on_one_line() -> None:
    lines = run("--help", specs=None).out.splitlines()
    for group, commands in GROUPS.items():
        start = lines.index(group) + 1
        shown = lines[start : start + len(commands)]
        assert [line.split()[0] for line in shown] == list(commands)
        assert [line.split(maxsplit=1)[1] for line in shown] == [one.line for one in commands.values()]
    assert [*GROUPS] == ["Shift", "Prep", "Menu", "Print", "Files"]


@pytest.mark.parametrize("path", ALL, ids=" ".join)
def test_help_has_no_word_of_programming(path: tuple[str, ...]) -> None:
    """It fits a terminal, says what everything is for, and -h is --help."""
    done = run(*path, "--help", specs=None)
    assert (done.code, done.err) == (0, "")
    assert done == run(*path, "-h", specs=None)
    assert _FOREIGN.findall(done.out) == []
    assert max(map(len, done.out.splitlines())) <= COLUMNS
    options = [line for line in done.out.splitlines() if re.match(r" {2}(-\w, | {4})--", line)]
    assert [line for line in options if not re.search(r"\S {2,}\S", line.strip().removeprefix("-"))] == []


def test_the_words_are_found_where_they_stand() -> None:
    """Or the test above could not fail: what typer says by itself."""
    plain = typer.Typer(add_completion=False, rich_markup_mode=None)

    @plain.command()
    def one(names: list[str], number: int = 3) -> None:
        """Do something."""

    from typer.testing import CliRunner  # noqa: PLC0415 - for this test alone

    assert len(_FOREIGN.findall(CliRunner().invoke(plain, ["--help"]).stdout)) > 3


def test_a_short_option_means_the_same_everywhere() -> None:
    root: Any = typer.main.get_command(app)
    meaning: dict[str, set[str]] = defaultdict(set)
    for path in ALL:
        command = root
        for word in path:
            command = command.get_command(None, word)
        for one in command.params:
            short = [word for word in one.opts if re.fullmatch("-[A-Za-z]", word)]
            long = [word for word in one.opts if word.startswith("--")]
            for word in short:
                meaning[word] |= {long[0]}
    assert {word: longs for word, longs in meaning.items() if len(longs) > 1} == {}
    assert {"-s", "-b", "-B", "-m", "-v", "-d", "-o"} <= set(meaning)
    assert set(COMMANDS) == {name for group in GROUPS.values() for name in group}


def test_the_same_option_has_its_short_form_everywhere() -> None:
    root: Any = typer.main.get_command(app)
    shorts: dict[str, set[tuple[str, ...]]] = defaultdict(set)
    for path in ALL:
        command = root
        for word in path:
            command = command.get_command(None, word)
        for one in command.params:
            if one.param_type_name == "option":
                shorts[one.opts[0]].add(tuple(one.opts[1:]))
    assert {long: found for long, found in shorts.items() if len(found) > 1} == {}
