"""One sweetener replaced by another, in a drink or across the menu."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated, Final

import typer

from balancer.cli import names
from balancer.cli.coming import coming, named
from balancer.cli.completion import DRINKS, LIQUIDS
from balancer.cli.keep import KeepAsked, keep_pours
from balancer.cli.options import AsName, ByWhom, Dpi, ForTonight, SheetOn, Sure, TestSheet, Write
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.desk.swapping import held_of, strengths
from balancer.engine.swaps.across import stand_ins, swap_all
from balancer.engine.swaps.at import At, offered, past_syrups
from balancer.engine.swaps.moved import Held
from balancer.engine.swaps.roles import usually_held
from balancer.engine.swaps.swap import Swap, swap
from balancer.errors import CannotError, Problem, UsageError
from balancer.models.drink import Drink
from balancer.output.data.swap import menu_data, stand_ins_data, swap_data
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
        return _everywhere(desk, strengths(desk, tonight=tonight), out, into, hold)
    if not drink:
        raise UsageError("usage", "no drink is named", "name a drink, or give --all for the whole menu")
    found = names.drink(desk.loaded, " ".join(drink))
    out_id = names.liquid(desk, out, "--out", [pour.of for pour in found.pours])
    if into is None:
        return _open_tonight(desk, found, out_id, hold)
    return _one(desk, strengths(desk, tonight=tonight), found, out_id, into, hold, keeping, sheet)


def _one(
    desk: Desk,
    at: At,
    drink: Drink,
    out_id: str,
    into: str,
    hold: str | None,
    keeping: KeepAsked,
    sheet: SheetAsked | None,
) -> Answer:
    """One drink, one new sweetener; exit code 1 when not everything can be held."""
    held = _held(desk, hold, out_id)
    bar, into_id, is_made_up = coming(desk, into, "--in", out_id)
    if keeping.is_wanted and is_made_up:
        raise CannotError("made-up", "no drink can pour what the house has no file of", "write it into syrups/ first")
    result = swap(bar, drink, out_id, into_id, held, at.inventing(into_id) if is_made_up else at)
    answer = Answer(
        lambda: swap_text(result, desk.house),
        lambda: swap_data(result, desk.house),
        lambda: swap_steps(result, desk.house),
        about=[result.drink.id, *([] if is_made_up else [into_id])],
        touching=_touching(sound=result.is_sound),
    )
    if sheet is not None:
        from balancer.cli.trial_pages import with_trial  # noqa: PLC0415 - only what prints needs it

        answer = with_trial(desk, answer, bar, drink, result.pours, sheet, feasible=result.is_sound, out=out_id)
    return keep_pours(
        desk, answer, drink, result.pours, out_id, feasible=result.is_sound, keeping=keeping, new=result.new
    )


def _everywhere(desk: Desk, at: At, out: str, into: str, hold: str | None) -> Answer:
    """Every drink that pours the old one; exit code 1 when a drink has no answer."""
    out_id = named(desk, out, "--out")
    held = _held(desk, hold, out_id)
    bar, into_id, is_made_up = coming(desk, into, "--in", out_id)
    found, failed = swap_all(bar, out_id, into_id, held, at.inventing(into_id) if is_made_up else at)
    if not found and not failed:
        name = desk.specs.liquid(out_id).name
        raise CannotError("not-poured", f"no drink pours {name}", "name what a drink pours with --out")
    sound = not failed and all(result.is_sound for result in found)
    return Answer(
        lambda: menu_text(found, failed, desk.house),
        lambda: menu_data(at, out_id, into_id, held, found, failed, desk.house),
        lambda: _working(found, desk),
        touching=[*_touching(sound=sound), *desk.loaded.broken_pouring(out_id)],
    )


def _open_tonight(desk: Desk, drink: Drink, out_id: str, hold: str | None) -> Answer:
    """What is open tonight that could stand in; exit code 1 when nothing could."""
    held = _held(desk, hold, out_id)
    past = past_syrups(desk.bar, desk.in_use)
    found = stand_ins(desk.bar, drink, out_id, offered(desk.in_use), held, strengths(desk, tonight=True))
    name = desk.specs.liquid(out_id).name
    return Answer(
        lambda: stand_ins_text(drink, name, found, past, desk.house),
        lambda: stand_ins_data(drink, out_id, held, found, past, desk.house),
        lambda: _working(found, desk),
        about=[drink.id, *(one.into.id for one in found)],
        touching=_touching(sound=any(not result.reasons for result in found)),
    )


def _held(desk: Desk, text: str | None, out_id: str) -> tuple[Held, ...]:
    """What is held, each once, in the order written; what is usual for what goes where nothing is."""
    if text is None:
        return usually_held(desk.bar, out_id)
    return held_of(text.split(","), "--hold")


def _working(found: Sequence[Swap], desk: Desk) -> list[str]:
    """The working of several swaps, each under its own line."""
    lines: list[str] = []
    for result in found:
        named = f"{result.drink.name}: {result.into.name} for {result.out.name}"
        lines += [*([""] if lines else []), *wrap(named, 4), *swap_steps(result, desk.house)]
    return lines


def _touching(*, sound: bool) -> list[Problem]:
    """What makes the exit code 1: an answer that is none."""
    return [] if sound else [Problem("not-held", "not everything can be held", "")]
