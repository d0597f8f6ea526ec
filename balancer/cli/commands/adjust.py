"""A drink made drier, sourer, stronger, lighter or larger."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.asking.adjust import adjusted
from balancer.cli.completion import DRINKS
from balancer.cli.keep import KeepAsked, keep_pours
from balancer.cli.options import AsName, ByWhom, Dpi, SheetOn, Sure, TestSheet, Write
from balancer.cli.runner import Answer, answering
from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.desk.keeping import also_changed
from balancer.desk.swapping import wanted
from balancer.engine.swaps.adjust_goals import Asked
from balancer.output.screen.adjust import adjust_text
from balancer.output.working.adjust import adjust_steps


@answering(steps=True, lists=True)
def command(  # noqa: PLR0913 - one for each option
    desk: Desk,
    drink: Annotated[
        list[str], typer.Argument(metavar="DRINK", autocompletion=DRINKS, help="Its name, id, or the beginning of one.")
    ],
    sugar: Annotated[
        str | None, typer.Option("--sugar", metavar="CHANGE", help="Less or more of it, like -10%; or grams, like 18g.")
    ] = None,
    acid: Annotated[str | None, typer.Option("--acid", metavar="CHANGE", help="The same of acid.")] = None,
    abv: Annotated[
        str | None, typer.Option("--abv", metavar="ABV", help="What it should have served, like 12%.")
    ] = None,
    volume: Annotated[
        str | None, typer.Option("--volume", "-v", metavar="VOLUME", help="How much it should be served, like 120ml.")
    ] = None,
    glass: Annotated[
        str | None,
        typer.Option("--glass", "-g", metavar="GLASS", help="Or the glass it should fill as it fills its own."),
    ] = None,
    *,
    write: Write = False,
    as_name: AsName = None,
    yes: Sure = False,
    by: ByWhom = None,
    test_sheet: TestSheet = None,
    sheet_on: SheetOn = None,
    dpi: Dpi = None,
) -> Answer:
    """Make a drink drier, sweeter, sourer, lighter, stronger or larger. Exact pours, jigger pours, and what moved.

    What is not asked stays; spirits move only with --abv, --volume or --glass.
    """
    asked = Asked(
        None if sugar is None else wanted(sugar, "--sugar"),
        None if acid is None else wanted(acid, "--acid"),
        None if abv is None else values.strength_of_drink(abv, "--abv"),
        None if volume is None else values.volume(volume, "--volume", desk.bar.measures, values.POUR_UNITS),
        glass,
    )
    sheet = None
    if test_sheet is not None or sheet_on is not None or dpi is not None:
        from balancer.cli.trial_pages import sheet_asked  # noqa: PLC0415 - only what prints needs it

        sheet = sheet_asked(test_sheet, sheet_on, dpi)
    outcome = adjusted(desk, " ".join(drink), asked)
    result = outcome.result
    answer = Answer(
        lambda: adjust_text(result, desk.house),
        outcome.data,
        lambda: adjust_steps(result, desk.house),
        about=outcome.about,
        touching=outcome.touching,
    )
    if sheet is not None:
        from balancer.cli.trial_pages import with_trial  # noqa: PLC0415 - only what prints needs it

        also = also_changed(result.new, result.new_glass, is_new=False, resized=result.asked.resizes)
        answer = with_trial(
            desk, answer, desk.bar, result.drink, result.pours, sheet, feasible=result.is_sound, also=also
        )
    keeping = KeepAsked(write, as_name, yes, by)
    return keep_pours(
        desk,
        answer,
        result.drink,
        result.pours,
        feasible=result.is_sound,
        keeping=keeping,
        new=result.new,
        glass=result.new_glass,
        resized=result.asked.resizes,
    )
