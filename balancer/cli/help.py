"""How the commands speak of themselves: in plain words, with `-h` as well as `--help`, a line each that fits."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

import typer
from typer.core import TyperCommand, TyperGroup

PLAIN: Final[dict[str, Any]] = {"add_completion": False, "rich_markup_mode": None, "pretty_exceptions_enable": False}
"""How every typer app here is made: nothing rich, which costs more time to import than most answers take."""

HELP: Final = {"help_option_names": ["-h", "--help"]}
_SHORT: Final = 4  # columns of "-s, "


class PlainCommand(TyperCommand):
    """A command whose help has no word of programming in it: no types, no brackets in brackets."""

    def shell_complete(self, ctx: Any, incomplete: str) -> list[Any]:
        """Its options that begin so."""
        return [bare_item(item.value) for item in super().shell_complete(ctx, incomplete)]

    def collect_usage_pieces(self, ctx: Any) -> list[str]:  # noqa: ARG002 - as in typer
        """What may stand behind the command, in its usage line."""
        return [*(_argument(one) for one in self.params if _is_argument(one)), "[options]"]

    def format_options(self, ctx: Any, formatter: Any) -> None:
        """The list of what it takes: first what has a place, then the options."""
        taken = self.get_params(ctx)
        places = [(one.metavar or one.name.upper(), _told(one)) for one in taken if _is_argument(one)]
        if places:
            formatter.write_paragraph()
            with formatter.indentation():
                formatter.write_dl(places)
        with formatter.section("Options"):
            formatter.write_dl([_option(one) for one in taken if not _is_argument(one)])


class PlainGroup(TyperGroup):
    """A command with others below it, told in the same way."""

    def shell_complete(self, ctx: Any, incomplete: str) -> list[Any]:
        """Its commands that begin so."""
        return [bare_item(item.value) for item in super().shell_complete(ctx, incomplete)]

    def collect_usage_pieces(self, ctx: Any) -> list[str]:  # noqa: ARG002 - as in typer
        """What stands behind it in its usage line."""
        return ["COMMAND"]

    def format_options(self, ctx: Any, formatter: Any) -> None:
        """The commands below it; of options it has none."""
        self.format_commands(ctx, formatter)

    def format_commands(self, ctx: Any, formatter: Any) -> None:  # noqa: ARG002 - as in typer
        """A line for each command."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, first_sentence(one.help or "")) for name, one in self.commands.items()])


class CommandSet(typer.Typer):
    """A typer app whose commands are plain."""

    def __init__(self, name: str | None = None, help: str | None = None) -> None:  # noqa: A002 - as in typer
        super().__init__(
            name=name, help=help, cls=PlainGroup, no_args_is_help=True, context_settings=dict(HELP), **PLAIN
        )

    def command(self, name: str | None = None, **told: Any) -> Callable[[Any], Any]:
        """Register a function as a command, as in typer."""
        return super().command(name, cls=PlainCommand, context_settings=dict(HELP), **told)


def bare_item(value: str) -> Any:
    """What the TAB key offers, without its help: to show that, typer loads what takes longer than the rest."""
    return typer.core.CompletionItem(value)  # type: ignore[attr-defined]


def first_sentence(text: str) -> str:
    """What a command says of itself in a list."""
    first = text.partition("\n\n")[0].replace("\n", " ")
    return first.partition(". ")[0].rstrip(".") + "."


def _is_argument(one: Any) -> bool:
    return bool(one.param_type_name == "argument")


def _told(one: Any) -> str:
    return str(one.help or "")


def _argument(one: Any) -> str:
    shown = str(one.metavar or one.name.upper())
    return shown if one.required else f"[{shown}]"


def _option(one: Any) -> tuple[str, str]:
    """An option with its short form in a column of its own, and its help."""
    if one.name == "help":
        return "-h, --help", "This page."
    short = next((word for word in one.opts if not word.startswith("--")), None)
    long = [word for word in (*one.opts, *one.secondary_opts) if word.startswith("--")]
    value = "" if one.is_flag else f" {one.metavar}"
    return f"{f'{short}, ' if short else '':{_SHORT}}{' / '.join(long)}{value}", _told(one)
