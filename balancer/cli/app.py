"""The root of the command line: a table of its commands, of which only the one that is typed is imported."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Sequence
from functools import cache
from importlib import import_module
from typing import Annotated, Any, Final, NamedTuple

import typer
from typer.core import TyperCommand

from balancer import __version__
from balancer.cli.help import HELP, PLAIN, CommandSet, PlainGroup, bare_item
from balancer.cli.terminal import spell_plainly
from balancer.unseen import seen


class Listed(NamedTuple):
    """A command in the list: its module in balancer.cli.commands, and how its help begins."""

    module: str
    line: str


GROUPS: Final = {
    "Shift": {
        "tonight": Listed("tonight", "What everyone pours tonight."),
        "measure": Listed("measure", "The strength of a syrup by a refractometer."),
        "batch": Listed("batch", "Log what was made, opened, read and used up."),
        "rescale": Listed("rescale", "What each drink pours of a syrup that is off-strength."),
        "pour": Listed("pour", "One pour of a syrup that is off-strength; needs no files."),
        "page": Listed("page", "Serve tonight's pours and the log to a phone or tablet."),
    },
    "Prep": {
        "correct": Listed("correct", "What to add to bring a batch to strength."),
        "make": Listed("make", "A syrup's recipe weighed out."),
        "standardise": Listed("standardise", "What brings every batch in the house to its standard."),
        "bottle": Listed("bottle", "A drink mixed beforehand, its ice's water poured in."),
        "chart": Listed("chart", "A syrup's strength batch by batch."),
        "simulate": Listed("simulate", "What measuring is worth."),
        "calibrate": Listed("calibrate", "How your tins and your ice chill."),
        "safety": Listed("safety", "Alcohol, egg, allergens, what spoils, acids, freezing."),
    },
    "Menu": {
        "totals": Listed("totals", "What a drink holds, two side by side, or the whole menu."),
        "swap": Listed("swap", "Replace a sweetener or a sour by another without retasting."),
        "adjust": Listed("adjust", "Make a drink drier, sweeter, sourer, lighter, stronger or larger."),
        "fits": Listed("fits", "Every sweetener of the house for a drink, at the same sugar."),
        "aim": Listed("aim", "What strength and acid a syrup needs to pour one for one."),
        "compare": Listed("compare", "What 10 ml of each sweetener bring."),
        "set": Listed("set_", "Change a drink's pours, or a syrup's standard, in its file."),
    },
    "Print": {
        "strips": Listed("strips", "A strip for every open bottle whose pours change tonight."),
        "labels": Listed("labels", "A label for every batch in the house."),
        "cards": Listed("cards", "A spec card for every drink, or those named."),
        "sheet": Listed("sheet", "What hangs on the wall: the rail, prep, allergens."),
    },
    "Files": {
        "start": Listed("start", "A commented folder for your bar."),
        "check": Listed("check", "Read every file and tell every problem."),
        "import": Listed("import_", "Drink specs out of a spreadsheet."),
        "export": Listed("export", "The menu, its totals or the batches for a spreadsheet."),
    },
}
"""The commands in the groups of the help.

A module holds the function `command` or, for a command with others below it, the typer app `group`.
"""

COMMANDS: Final = {name: listed for group in GROUPS.values() for name, listed in group.items()}


_ALONE: Final = ""
"""What no word at all is taken for: the command of balancer.cli.front, which no list names."""

_BEFORE: Final = {"--demo": 1, "--json": 1, "--specs": 2}
"""Options of most commands that are understood before a command too, and how many words each takes."""

_TAB: Final = "_BALANCER_COMPLETE"
"""The environment variable by which a shell asks what the TAB key offers."""

_PURPOSE: Final = "Keep every drink tasting as designed although syrups vary."
_FOOT: Final = """\
balancer              What is open tonight.
balancer COMMAND -h   All that a command takes.
--version             The version, and nothing else.
--install-completion  TAB completes commands, drinks, syrups and batches.
"""


@cache
def _command(name: str) -> Any:
    """The command of a name in the table, its module imported: asked for twice on a line, and made once."""
    module = import_module(f"balancer.cli.commands.{COMMANDS[name].module}" if name else "balancer.cli.front")
    one: typer.Typer | None = getattr(module, "group", None)
    if one is None:
        one = CommandSet()
        one.command(name)(module.command)
    return typer.main.get_command(one)


class CommandTable(PlainGroup):
    """The commands of the table; with --json, wrong usage is told in JSON too."""

    def __init__(self, **attributes: Any) -> None:
        listed = {name: TyperCommand(name, help=one.line) for name, one in COMMANDS.items()}
        super().__init__(**(attributes | {"commands": listed}))

    def get_command(self, ctx: Any, cmd_name: str) -> Any:  # noqa: ARG002 - as in typer
        """The command itself, its module imported; None when the table does not have it."""
        return _command(cmd_name) if cmd_name in COMMANDS or cmd_name == _ALONE else None

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Read what was typed: options before the command are the command's, and no command is one too."""
        if ctx.resilient_parsing:  # the TAB key asks
            return super().parse_args(ctx, args)
        lead = 0
        while lead < len(args) and args[lead].partition("=")[0] in _BEFORE:
            lead += 1 if "=" in args[lead] else _BEFORE[args[lead]]
        rest = args[lead:] or [_ALONE]
        # Right behind the command's one or two words: at the end, an option without its value would take them for it.
        words = 2 if hasattr(self.get_command(ctx, rest[0]), "commands") else 1
        return super().parse_args(ctx, [*rest[:words], *args[:lead], *rest[words:]])

    def shell_complete(self, ctx: Any, incomplete: str) -> list[Any]:
        """The commands that begin so: out of the table, for importing each would take seconds."""
        if incomplete.startswith("-"):
            return super().shell_complete(ctx, incomplete)
        return [bare_item(name) for name in COMMANDS if name.startswith(incomplete)]

    def format_help(self, ctx: Any, formatter: Any) -> None:  # noqa: ARG002 - as in typer
        """Every command in its group, out of the table: nothing is imported for it."""
        formatter.write(f"{_PURPOSE}\n")
        broad = max(map(len, COMMANDS))
        for group, commands in GROUPS.items():
            formatter.write(f"\n{group}\n")
            for name, one in commands.items():
                formatter.write(f"  {name:<{broad}}  {one.line}\n")
        formatter.write(f"\n{_FOOT}")

    def main(
        self,
        args: Sequence[str] | None = None,
        prog_name: str | None = None,
        complete_var: str | None = None,
        standalone_mode: bool = True,
        windows_expand_args: bool = True,
        **extra: Any,
    ) -> Any:
        """Run a command line; as in typer, but for the errors."""
        words = _helped(_joined(sys.argv[1:] if args is None else list(args)))
        as_json = standalone_mode and "--json" in words
        try:
            code = super().main(words, prog_name, complete_var, False, windows_expand_args, **extra)
        except Exception as error:
            # Typer's errors are told by what they can do: their classes have moved between versions.
            if not standalone_mode or not hasattr(error, "format_message"):
                raise
            if type(error).__name__ == "NoArgsIsHelpError":
                error.show()  # type: ignore[attr-defined]
                raise SystemExit(2) from None
            from balancer.cli.misuse import misuse  # noqa: PLC0415 - help needs none of what this imports
            from balancer.cli.runner import fail  # noqa: PLC0415

            raise SystemExit(fail(misuse(error, words), as_json=as_json)) from None
        if standalone_mode:
            raise SystemExit(code)
        return code


def _helped(words: list[str]) -> list[str]:
    """A command line that begins with help as the one that has -h at its end."""
    return [*words[1:], "-h"] if words[:1] == ["help"] else words


def _names_day(word: str) -> bool:
    return word.partition("=")[0] in ("--date", "-d", "--made", "--discard")


def _joined(words: list[str]) -> list[str]:
    """The words of a command line, an amount or a date of several in one; help imports nothing for it."""
    if not any(char.isnumeric() for word in words for char in word) and not any(map(_names_day, words)):
        return words
    from balancer.cli.typed import joined  # noqa: PLC0415 - plain help and most names need none of it

    return joined(words)


app = typer.Typer(
    cls=CommandTable,
    name="balancer",
    help=_PURPOSE,
    context_settings=dict(HELP),
    **(PLAIN | {"add_completion": True}),
)


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"balancer {__version__}")
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="The version, and nothing else.")
    ] = False,
) -> None:
    """Keep every drink tasting as designed although syrups vary."""


def main() -> None:
    """Run the command line; no user ever sees a traceback unless they ask for one with BALANCER_DEBUG."""
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # none is wanted, and looking for them takes time
    gc.disable()  # one command lives for a moment and makes no cycles worth looking for: a tenth of its time
    spell_plainly()
    try:
        app(prog_name="balancer")
    except Exception as error:
        if os.environ.get("BALANCER_DEBUG"):
            raise
        if os.environ.get(_TAB):  # a person is still typing: nothing may stand in between
            raise SystemExit(0) from None
        sys.stderr.write(
            f"this is a fault of the program, not yours: {type(error).__name__}: {seen(str(error))}\n"
            "  please report it; BALANCER_DEBUG=1 shows where it happened\n"
        )
        raise SystemExit(1) from None
    finally:
        gc.freeze()  # or the interpreter looks through everything once more as it ends: a seventh of a cold start
