"""What one drink holds, two side by side, or the menu as a table."""

from __future__ import annotations

from typing import Annotated, Final, cast, get_args

import typer

from balancer.cli import names
from balancer.cli.completion import DRINKS, OTHER_DRINKS
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.engine.drink.menu_totals import SortedBy, menu_totals
from balancer.engine.drink.totals import totals
from balancer.errors import Problem, ProblemsError, UsageError
from balancer.output.data.menu_totals import menu_totals_data
from balancer.output.data.totals import totals_data
from balancer.output.screen.menu_totals import menu_totals_text
from balancer.output.screen.totals import totals_text
from balancer.output.working.totals import totals_steps

_SPELT: Final = {"strength": "abv", "sugar:acid": "ratio", "sugar to acid": "ratio", "standard drinks": "alcohol"}


@answering(steps=True, lists=True)
def command(
    desk: Desk,
    drink: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="DRINK", autocompletion=DRINKS, help="Its name, id, or the beginning of one; the menu if left out."
        ),
    ] = None,
    against: Annotated[
        str | None,
        typer.Option(
            "--against",
            metavar="DRINK",
            autocompletion=OTHER_DRINKS,
            help='Side by side with another, with FILE.yaml or FILE.yaml:NAME, or with its own card: "printed".',
        ),
    ] = None,
    sort: Annotated[
        str | None,
        typer.Option("--sort", metavar="BY", help=f"The menu by {', '.join(get_args(SortedBy))}; the most first."),
    ] = None,
    reverse: Annotated[bool, typer.Option("--reverse", help="The menu the other way round.")] = False,
) -> Answer:
    """What a drink holds, two side by side, or the whole menu. Volume, ABV, sugar, acid, alcohol, energy.

    Before ice and in the glass; with --against what moved; without a drink a table.
    """
    if not drink:
        if against is not None:
            raise UsageError(
                "usage", "--against: nothing says which drink", f'name it first: totals DRINK --against "{against}"'
            )
        return _menu(desk, _sorted_by(sort), reverse=reverse)
    if sort is not None or reverse:
        raise UsageError("usage", "--sort and --reverse are for the whole menu", "leave the drink out")
    if against is not None:
        return _against(desk, " ".join(drink), against)
    result = totals(desk.bar, names.drink(desk.loaded, " ".join(drink)))
    return Answer(
        lambda: totals_text(result, desk.house),
        lambda: totals_data(result),
        lambda: totals_steps(result, desk.house),
        about=[result.drink.id],
    )


def _against(desk: Desk, text: str, other: str) -> Answer:
    """Two drinks side by side."""
    from balancer.cli.against import other_drink  # noqa: PLC0415
    from balancer.engine.swaps.against import against  # noqa: PLC0415 - not for a drink alone
    from balancer.output.data.against import against_data  # noqa: PLC0415
    from balancer.output.screen.against import against_text  # noqa: PLC0415
    from balancer.output.working.against import against_steps  # noqa: PLC0415

    drink = names.drink(desk.loaded, text)
    theirs = other_drink(desk, other, drink)
    result = against(desk.bar, drink, theirs.bar, theirs.drink, theirs.origin)
    return Answer(
        lambda: against_text(result, desk.house),
        lambda: against_data(result),
        lambda: against_steps(result, desk.house),
        about=[drink.id, *([theirs.drink.id] if theirs.origin.kind == "house" else [])],
    )


def _menu(desk: Desk, by: SortedBy | None, *, reverse: bool) -> Answer:
    """The whole menu as a table. Exit code 1 when drinks are missing from it."""
    lost = desk.loaded.broken_of("drinks")
    left_out = desk.loaded.left_out("drinks")
    if not desk.specs.drinks:
        told = desk.loaded.problems or [
            Problem("no-drinks", "there are no drinks", f"write the first one into {desk.folder}/drinks/")
        ]
        raise ProblemsError(told)
    result = menu_totals(desk.bar, desk.specs.drinks.values()).ordered(by, reverse=reverse)
    left_out += [drink.name for drink, _ in result.failed]
    desk.noticed += result.problems()
    return Answer(
        lambda: menu_totals_text(result, desk.house, by, reverse=reverse, left_out=left_out),
        lambda: menu_totals_data(result, by, reverse=reverse),
        lambda: [line for one in result.drinks for line in (f"{one.drink.name}:", *totals_steps(one, desk.house), "")],
        about=[one.drink.id for one in result.drinks],
        touching=lost,
    )


def _sorted_by(text: str | None) -> SortedBy | None:
    """What --sort means. Raises UsageError for another word."""
    if text is None:
        return None
    word = " ".join(text.casefold().split())
    word = _SPELT.get(word, word)
    if word not in get_args(SortedBy):
        raise UsageError(
            "usage", f'--sort: "{text}" is not one of the choices', f"choose one of {', '.join(get_args(SortedBy))}"
        )
    return cast(SortedBy, word)
