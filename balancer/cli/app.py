"""The root of the command line: a table of its commands, of which only the one that is typed is imported."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import Annotated, Any, Final

import typer
from typer.core import TyperCommand, TyperGroup

from balancer import __version__
from balancer.cli.options import PLAIN
from balancer.cli.terminal import spell_plainly

COMMANDS: Final = {
    "aim": ("aim", "The strength and acid to make a syrup to, so that it pours one for one in place of another."),
    "bottle": ("bottle", "A drink mixed beforehand, its ice's water poured in: every line by weight, its strength."),
    "calibrate": ("calibrate", "How your tins and your ice chill."),
    "cards": ("cards", "A spec card for every drink, or those named: large, on cards or several to a sheet."),
    "chart": ("chart", "A syrup's strength batch by batch: always strong, always weak, up and down, or steady."),
    "check": ("check", "Read every file and tell every problem."),
    "compare": ("compare", "What 10 ml of each sweetener bring: sugar, acid, water, sweetness."),
    "correct": ("correct", "What to add to bring a batch to strength, in which order."),
    "export": ("export", "The menu, its totals or the batches as a CSV file that a spreadsheet opens."),
    "fits": ("fits", "Every sweetener of the house for a drink, at the same sugar."),
    "import": ("import_", "Drink specs out of a spreadsheet: first what would be written."),
    "labels": ("labels", "A label for every batch in the house: its strength, its last day, its allergens."),
    "make": ("make", "What a syrup's recipe gives, and its weights for a mass, a volume, a strength or what there is."),
    "measure": ("measure", "The strength of a syrup by a refractometer, how sure it is."),
    "pour": ("pour", "What to pour of a syrup that is off-strength."),
    "rescale": ("rescale", "What each drink pours of a syrup that is off-strength."),
    "set": ("set_", "Change one pour of a drink, or a syrup's standard, in its file."),
    "standardise": ("standardise", "What brings every batch in the house to its standard, in which order."),
    "start": ("start", "Write a commented starter folder."),
    "strips": ("strips", "A strip for every open bottle whose pours change tonight: what to pour instead."),
    "swap": ("swap", "Replace one sweetener by another without retasting."),
    "tonight": ("tonight", "What everyone pours tonight: the open batches, the drinks that move, what to know."),
    "totals": ("totals", "What a drink holds, before ice and in the glass."),
    "batch": ("batch", "Log what was made, opened and used up."),
    "sheet": ("sheet", "Print what hangs on the wall."),
}
"""Each command: its module in balancer.cli.commands, and how its help begins.

A module holds the function `command` or, for a command with others below it, the typer app `group`.
"""


class CommandTable(TyperGroup):
    """The commands of the table; with --json, wrong usage is told in JSON too."""

    def __init__(self, **attributes: Any) -> None:
        listed = {name: TyperCommand(name, help=line) for name, (_, line) in COMMANDS.items()}
        super().__init__(**(attributes | {"commands": listed}))

    def get_command(self, ctx: Any, cmd_name: str) -> Any:  # noqa: ARG002 - as in typer
        """The command itself, its module imported; None when the table does not have it."""
        if cmd_name not in COMMANDS:
            return None
        module = import_module(f"balancer.cli.commands.{COMMANDS[cmd_name][0]}")
        one: typer.Typer | None = getattr(module, "group", None)
        if one is None:
            one = typer.Typer(**PLAIN)
            one.command(cmd_name)(module.command)
        return typer.main.get_command(one)

    def format_commands(self, ctx: Any, formatter: Any) -> None:  # noqa: ARG002 - as in typer
        """The list of commands, out of the table: nothing is imported for it."""
        room = formatter.width - 6 - max(map(len, self.commands))
        with formatter.section("Commands"):
            formatter.write_dl([(name, one.get_short_help_str(room)) for name, one in self.commands.items()])

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
        words = sys.argv[1:] if args is None else list(args)
        as_json = standalone_mode and "--json" in words
        try:
            code = super().main(
                args, prog_name, complete_var, standalone_mode and not as_json, windows_expand_args, **extra
            )
        except Exception as error:
            told = getattr(error, "format_message", None)  # typer's errors; their class has moved between versions
            if told is None or not as_json:
                raise
            from balancer.cli.runner import fail  # noqa: PLC0415 - help needs none of what this imports
            from balancer.errors import UsageError  # noqa: PLC0415

            context = getattr(error, "ctx", None)
            command = context.command_path if context else "balancer"
            wrong = UsageError("usage", told(), f"see {command} --help")
            raise SystemExit(fail(wrong, as_json=True)) from None
        if as_json:
            raise SystemExit(code)
        return code


app = typer.Typer(
    cls=CommandTable,
    name="balancer",
    help="Keep every drink tasting as designed although syrups vary.",
    no_args_is_help=True,
    **PLAIN,
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
        sys.stderr.write(
            f"this is a fault of the program, not yours: {type(error).__name__}: {error}\n"
            "  please report it; BALANCER_DEBUG=1 shows where it happened\n"
        )
        raise SystemExit(1) from None
    finally:
        gc.freeze()  # or the interpreter looks through everything once more as it ends: a seventh of a cold start
