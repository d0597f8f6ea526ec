"""What one drink holds, two side by side, or the menu as a table."""

from __future__ import annotations

from typing import Annotated, get_args

import typer

from balancer.asking.totals import sorted_by, totals_of, totals_of_menu
from balancer.cli.completion import DRINKS, OTHER_DRINKS
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.engine.drink.menu_totals import SortedBy
from balancer.errors import UsageError
from balancer.output.screen.menu_totals import menu_totals_text
from balancer.output.screen.totals import totals_text
from balancer.output.working.totals import totals_steps


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
        return _menu(desk, sorted_by(desk, sort), reverse=reverse)
    if sort is not None or reverse:
        raise UsageError("usage", "--sort and --reverse are for the whole menu", "leave the drink out")
    if against is not None:
        return _against(desk, " ".join(drink), against)
    outcome = totals_of(desk, " ".join(drink))
    result = outcome.result
    return Answer(
        lambda: totals_text(result, desk.house),
        outcome.data,
        lambda: totals_steps(result, desk.house),
        about=outcome.about,
    )


def _against(desk: Desk, text: str, other: str) -> Answer:
    """Two drinks side by side."""
    from balancer.asking.side_by_side import side_by_side  # noqa: PLC0415 - not for a drink alone
    from balancer.output.screen.against import against_text  # noqa: PLC0415
    from balancer.output.working.against import against_steps  # noqa: PLC0415

    outcome = side_by_side(desk, text, other)
    result = outcome.result
    return Answer(
        lambda: against_text(result, desk.house),
        outcome.data,
        lambda: against_steps(result, desk.house),
        about=outcome.about,
    )


def _menu(desk: Desk, by: SortedBy | None, *, reverse: bool) -> Answer:
    """The whole menu as a table. Exit code 1 when drinks are missing from it."""
    outcome = totals_of_menu(desk, by, reverse=reverse)
    result = outcome.result
    left_out = [*desk.loaded.left_out("drinks"), *(drink.name for drink, _ in result.failed)]
    return Answer(
        lambda: menu_totals_text(result, desk.house, by, reverse=reverse, left_out=left_out),
        outcome.data,
        lambda: [line for one in result.drinks for line in (f"{one.drink.name}:", *totals_steps(one, desk.house), "")],
        about=outcome.about,
        touching=outcome.touching,
    )
