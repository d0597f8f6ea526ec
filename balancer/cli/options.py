"""The command line's root, the options that commands share, and how their errors become messages."""

from __future__ import annotations

import functools
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Annotated, Any

import typer
from typer.core import TyperGroup


class _Commands(TyperGroup):
    """The commands; with --json, wrong usage is told in JSON too."""

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
            from balancer.cli.desk import fail
            from balancer.errors import UsageError

            context = getattr(error, "ctx", None)
            command = context.command_path if context else "balancer"
            wrong = UsageError("usage", told(), f"see {command} --help")
            raise SystemExit(fail(wrong, as_json=True)) from None
        if as_json:
            raise SystemExit(code)
        return code


app = typer.Typer(
    cls=_Commands,
    name="balancer",
    help="Keep every drink tasting as designed although syrups vary.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)

Specs = Annotated[Path, typer.Option("--specs", envvar="BALANCER_SPECS", metavar="DIR", help="The bar's folder.")]
AsJson = Annotated[bool, typer.Option("--json", help="Every digit, as JSON.")]
Steps = Annotated[bool, typer.Option("--steps", help="The working, line by line, in grams.")]
BrixText = Annotated[str, typer.Option("--brix", metavar="BRIX", help="Strength of the batch, °Bx.")]
DEFAULT_SPECS = Path("specs")


def answers(command: Callable[..., None]) -> Callable[..., None]:
    """Turn an error raised on purpose into its message and exit code."""

    @functools.wraps(command)
    def run(*args: Any, **kwargs: Any) -> None:
        from balancer.errors import BalancerError

        try:
            command(*args, **kwargs)
        except BalancerError as error:
            from balancer.cli.desk import fail

            raise typer.Exit(fail(error, as_json=bool(kwargs.get("as_json")))) from None

    return run
