"""One sweetener replaced by another, in a drink or across the menu."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated, Final

import typer

from balancer.asking.outcome import Outcome
from balancer.asking.swap import MenuSwaps, OneSwap, StandIns, open_instead, swapped, swapped_everywhere
from balancer.cli.completion import DRINKS, LIQUIDS
from balancer.cli.keep import KeepAsked, keep_pours
from balancer.cli.options import AsName, ByWhom, Dpi, ForTonight, SheetOn, Sure, TestSheet, Write
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.engine.swaps.swap import Swap
from balancer.errors import CannotError, UsageError
from balancer.output.screen.swap import menu_text, stand_ins_text, swap_text
from balancer.output.words.page import wrap
from balancer.output.working.swap import swap_steps

if TYPE_CHECKING:
    from balancer.cli.trial_pages import SheetAsked

_NOT_TASTED: Final = {
    True: ("--tonight with --test-sheet: what is right for one batch is no spec", "leave --tonight out"),
    False: ("--test-sheet is for one swap of one drink", "name a drink, and what comes with --in"),
}
_NOT_KEPT: Final = {
    True: ("--tonight with --write or --as: what is right for one batch is no spec", "leave --tonight out"),
    False: ("--write and --as keep one swap of one drink", "name a drink, and what comes with --in"),
}


@answering(steps=True)
def command(  # noqa: PLR0913 - one for each option
    desk: Desk,
    out: Annotated[
        str,
        typer.Option(
            "--out", "-o", metavar="NAME", autocompletion=LIQUIDS, help="The syrup, sugar, liqueur or sour that goes."
        ),
    ],
    drink: Annotated[
        list[str] | None, typer.Argument(metavar="DRINK", autocompletion=DRINKS, help="Its name, id, or the beginning.")
    ] = None,
    into: Annotated[
        str | None,
        typer.Option(
            "--in",
            "-i",
            metavar="NAME",
            autocompletion=LIQUIDS,
            help='What comes, or one that does not exist yet: "50 °Bx, acid 9 g/kg".',
        ),
    ] = None,
    hold: Annotated[
        str | None,
        typer.Option(
            "--hold", metavar="LIST", help="Of sugar, acid, volume, abv, sweetness; sugar if left out, acid of a sour."
        ),
    ] = None,
    everywhere: Annotated[
        bool, typer.Option("--all", "-a", help="In every drink that pours it; of one drink, all that fits.")
    ] = False,
    *,
    tonight: ForTonight = False,
    write: Write = False,
    as_name: AsName = None,
    yes: Sure = False,
    by: ByWhom = None,
    test_sheet: TestSheet = None,
    sheet_on: SheetOn = None,
    dpi: Dpi = None,
) -> Answer:
    """Replace a sweetener or a sour by another without retasting. Exact pours, jigger pours, and what moved."""
    keeping = KeepAsked(write, as_name, yes, by)
    if keeping.is_wanted and (tonight or everywhere or into is None):
        raise UsageError("usage", *_NOT_KEPT[tonight])
    if test_sheet is not None and (tonight or everywhere or into is None):
        raise UsageError("usage", *_NOT_TASTED[tonight])
    sheet = None
    if test_sheet is not None or sheet_on is not None or dpi is not None:
        from balancer.cli.trial_pages import sheet_asked  # noqa: PLC0415 - only what prints needs it

        sheet = sheet_asked(test_sheet, sheet_on, dpi)
    if everywhere and not drink:
        if into is None:
            raise UsageError("usage", "--all goes through the menu: nothing says what comes", "give --in")
        return _everywhere(desk, swapped_everywhere(desk, out, into, hold, tonight=tonight))
    if not drink:
        raise UsageError("usage", "no drink is named", "name a drink, or give --all for the whole menu")
    if into is None:
        return _open_tonight(desk, open_instead(desk, " ".join(drink), out, hold))
    return _one(desk, swapped(desk, " ".join(drink), out, into, hold, tonight=tonight), keeping, sheet)


def _one(desk: Desk, one: OneSwap, keeping: KeepAsked, sheet: SheetAsked | None) -> Answer:
    """One drink, one new sweetener; exit code 1 when not everything can be held."""
    if keeping.is_wanted and one.is_made_up:
        raise CannotError("made-up", "no drink can pour what the house has no file of", "write it into syrups/ first")
    outcome, result = one.outcome, one.outcome.result
    answer = Answer(
        lambda: swap_text(result, desk.house),
        outcome.data,
        lambda: swap_steps(result, desk.house),
        about=outcome.about,
        touching=outcome.touching,
    )
    is_sound = result.is_sound
    if sheet is not None:
        from balancer.cli.trial_pages import with_trial  # noqa: PLC0415 - only what prints needs it

        answer = with_trial(desk, answer, one.bar, one.drink, result.pours, sheet, feasible=is_sound, out=one.out_id)
    return keep_pours(
        desk, answer, one.drink, result.pours, one.out_id, feasible=is_sound, keeping=keeping, new=result.new
    )


def _everywhere(desk: Desk, outcome: Outcome[MenuSwaps]) -> Answer:
    """Every drink that pours the old one; exit code 1 when a drink has no answer."""
    found, failed = outcome.result.swaps, outcome.result.failed
    return Answer(
        lambda: menu_text(found, failed, desk.house),
        outcome.data,
        lambda: _working(found, desk),
        about=outcome.about,
        touching=outcome.touching,
    )


def _open_tonight(desk: Desk, outcome: Outcome[StandIns]) -> Answer:
    """What is open tonight that could stand in; exit code 1 when nothing could."""
    found = outcome.result
    name = desk.specs.liquid(found.out_id).name
    return Answer(
        lambda: stand_ins_text(found.drink, name, found.swaps, found.past, desk.house),
        outcome.data,
        lambda: _working(found.swaps, desk),
        about=outcome.about,
        touching=outcome.touching,
    )


def _working(found: Sequence[Swap], desk: Desk) -> list[str]:
    """The working of several swaps, each under its own line."""
    lines: list[str] = []
    for result in found:
        named = f"{result.drink.name}: {result.into.name} for {result.out.name}"
        lines += [*([""] if lines else []), *wrap(named, 4), *swap_steps(result, desk.house)]
    return lines
