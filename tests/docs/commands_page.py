"""docs/reference/commands.md: what every command says of itself, and the pages that use it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import typer

from balancer.cli.app import app
from tests.cli.runner import run
from tests.docs.pages import DOCS, blocks, pages, relative

PAGE: Final = DOCS / "reference" / "commands.md"
NOTICE: Final = "<!-- Written by `python -m tests.docs.generate` from what the commands say of themselves. -->\n"
HEAD: Final = """\
# Commands

`balancer -h` lists them in groups; `-h` behind a command tells all that it takes.

Every command that reads a bar's folder finds it: `--specs DIR`, else the environment variable `BALANCER_SPECS`, else
`specs` where you stand if it holds a bar (`house.yaml`, `drinks`, `syrups` or `ingredients`), else the folder itself or
the first one above that has a `house.yaml`, or has it in its `specs`.
`--demo` takes the invented bar that comes with the program instead, on its own evening, and writes nothing.
`--json` gives every digit for other programs: [its keys](json.md). `--steps` prints the working, line by line, so that
you can check it by hand. Numbers are written as in [files](file-format.md).

A short option means the same in every command: `-s` syrup, `-b` its strength in °Bx, `-B` batch, `-m` mass, `-v`
volume, `-t` temperature, `-d` date, `-o` the file to write (of a swap: what goes out), `-a` all of it, `-l` log it,
`-n` a remark, `-w` write it, `-y` yes. Two commands need no options for what is typed every day:
`measure 54 raspberry` and `batch add raspberry 54`, in any order.

An answer is at most about eight rows; where there is more, `--all` shows it. On a terminal it takes the width there is,
from 50 to 160 columns, with the answer in bold and in red, yellow or green what is to be acted on, to be watched or
well; the words say the same. In a pipe, with the environment variable `NO_COLOR`, or with `TERM=dumb`, there is no
colour. `balancer --install-completion` lets the TAB key complete commands, options and the names of the house, in
bash, zsh, fish and PowerShell.

A mass, a volume, a temperature or an acid needs its unit, with or without a blank: `--mass 1.4kg`, `--mass 1.4 kg`,
`--temperature 82F`. A bare number is °Bx or %, as the option says. A date is written out, `2026-11-21` or "21 Nov
2026", or said: today, yesterday, tomorrow, a weekday, "21 Nov". The answer then tells which day was understood;
`--made` looks back, `--discard` ahead. `21/11` is refused: elsewhere the month stands first.

A name may be the id, the name or another name of a thing, or any beginning that only one thing has.

| exit code | means |
|---:|---|
| 0 | fine |
| 1 | a problem in the files touches the answer, or what was asked cannot be done |
| 2 | wrong usage: an option, a name or a number that was not understood |

A command answers for everything that loads. Problems elsewhere in the files go to standard error, the first in
full and then how many more there are (with `--json` all of them), and do not change
the exit code; `balancer check` exits 1 on any.
"""


def leaves(command: Any = None, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], Any]]:
    """Every command that does something, with the words that call it."""
    command = typer.main.get_command(app) if command is None else command
    if not hasattr(command, "list_commands"):
        yield path, command
        return
    context = command.make_context(None, [], resilient_parsing=True)
    for name in command.list_commands(context):
        yield from leaves(command.get_command(context, name), (*path, name))


def users(path: tuple[str, ...]) -> list[Path]:
    """The pages that show a command at work."""
    return [
        page
        for page in pages()
        if page != PAGE
        and any(
            line.split()[1 : len(path) + 1] == list(path)
            for block in blocks(page.read_text(encoding="utf-8"))
            if block.is_typed
            for line in block.typed
        )
    ]


def title(page: Path) -> str:
    return page.read_text(encoding="utf-8").partition("\n")[0].removeprefix("# ")


def page() -> str:
    """The whole page."""
    parts = [HEAD]
    for path, _ in leaves():
        words = " ".join(path)
        said = run(*path, "--help", specs=None, env={"COLUMNS": "80"}).out.rstrip("\n")
        parts.append(f"## balancer {words}\n\n```text\n{said}\n```\n")
        seen = [f"[{title(page)}]({relative(page, PAGE)})" for page in users(path)]
        if seen:
            parts.append("At work in: " + " · ".join(seen) + ".\n")
    return "\n".join([*parts, NOTICE])
