"""Which sweetener fits a drink, or the whole menu; and how far it has come while it works."""

from __future__ import annotations

import sys
from pathlib import Path
from time import monotonic
from typing import Annotated, Final, TextIO

import typer

from balancer.asking import names
from balancer.asking.coming import coming, named
from balancer.cli.completion import DRINKS, LIQUIDS
from balancer.cli.options import ForTonight
from balancer.cli.pages import table_file, write_table
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.desk.swapping import strengths
from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.at import At
from balancer.engine.swaps.fits import DrinkFits, fits, fits_all, main_sweetener, sweeteners
from balancer.errors import CannotError, Problem, UsageError
from balancer.files.sheets.table import csv_bytes
from balancer.output.data.fits import fits_data, menu_fits_data
from balancer.output.screen.fits import fits_text, menu_fits_rows, menu_fits_text
from balancer.output.words.fits import Failed

QUIET_S: Final = 1.0
"""Work shorter than this says nothing of itself."""
_EVERY_S: Final = 0.2


@answering()
def command(
    desk: Desk,
    drink: Annotated[
        str | None, typer.Argument(metavar="DRINK", autocompletion=DRINKS, help="Its name, id, or the beginning.")
    ] = None,
    everywhere: Annotated[
        bool, typer.Option("--all", "-a", help="Every drink that pours what goes; of one drink, all that fits.")
    ] = False,
    out: Annotated[
        str | None,
        typer.Option(
            "--out",
            "-o",
            metavar="NAME",
            autocompletion=LIQUIDS,
            help="What goes; of one drink its main syrup if left out.",
        ),
    ] = None,
    into: Annotated[
        str | None,
        typer.Option(
            "--in",
            "-i",
            metavar="NAME",
            autocompletion=LIQUIDS,
            help='One more to try, like "50 °Bx, acid 9 g/kg" for a syrup that does not exist yet.',
        ),
    ] = None,
    csv: Annotated[
        Path | None, typer.Option("--csv", metavar="FILE", help="With --all, the whole table for a spreadsheet.")
    ] = None,
    tonight: ForTonight = False,
) -> Answer:
    """Every sweetener of the house for a drink, at the same sugar: the closest match comes first."""
    if drink is None and not everywhere:
        raise UsageError("usage", "name a drink, or give --all for the menu", "see balancer fits --help")
    if csv is not None and drink is not None:
        raise UsageError("usage", "--csv goes with the whole menu", "give --all and --out NAME, and no drink")
    csv = None if csv is None else table_file(desk, csv, "--csv")
    at = strengths(desk, tonight=tonight)
    return _menu(desk, at, out, into, csv) if drink is None else _drink(desk, at, drink, out, into)


def _drink(desk: Desk, at: At, text: str, out: str | None, into: str | None) -> Answer:
    """What fits one drink; exit code 1 when nothing does."""
    drink = names.drink(desk.loaded, text)
    poured = [pour.of for pour in drink.pours]
    out_id = names.liquid(desk, out, "--out", poured) if out else main_sweetener(desk.bar, drink)
    bar, ids, at = _tried(desk, at, into, out_id)
    named = ids[0] if into else None
    result = fits(bar, drink, out_id, ids, at)
    is_sound = any(not fit.reasons for fit in result.fits)
    touching = [] if is_sound else [Problem("no-fit", "nothing fits", "")]
    return Answer(
        lambda: fits_text(result, desk.house, named),
        lambda: fits_data(result, desk.house),
        about=[result.drink.id],
        touching=touching,
    )


def _menu(desk: Desk, at: At, out: str | None, into: str | None, csv: Path | None) -> Answer:
    """What fits every drink that pours a sweetener; exit code 1 when a drink has no answer."""
    if out is None:
        raise UsageError("usage", "--all wants to know what goes", "add --out NAME")
    out_id = named(desk, out, "--out")
    bar, ids, at = _tried(desk, at, into, out_id)
    liquid = bar.liquid(out_id)
    drinks = bar.specs.drinks_with(out_id)
    if not drinks:
        raise CannotError("not-poured", f"no drink pours {liquid.name}", "name what a drink pours with --out")
    found: list[DrinkFits] = []
    failed: list[Failed] = []
    progress = Progress("drinks", len(drinks))
    for each in fits_all(bar, out_id, ids, at):
        if isinstance(each, DrinkFits):
            found.append(each)
        else:
            failed.append(each)
        progress.step()
    progress.end()
    if csv is not None:
        called = [bar.liquid(identity).name for identity in ids]
        write_table(desk, csv, "--csv", csv_bytes(menu_fits_rows(ids, called, found, failed, desk.house)))
    problems = [Problem("no-answer", error.problems()[0].message, "") for _, error in failed]
    return Answer(
        lambda: menu_fits_text(at, liquid, found, failed, desk.house),
        lambda: menu_fits_data(at, liquid, found, failed, desk.house) | ({"csv": str(csv)} if csv else {}),
        touching=[*problems, *desk.loaded.broken_pouring(out_id)],
    )


def _tried(desk: Desk, at: At, into: str | None, out_id: str) -> tuple[Bar, tuple[str, ...], At]:
    """The bar and everything sweet of it, with one more to try if one is named."""
    ids = sweeteners(desk.bar)
    if into is None:
        return desk.bar, ids, at
    bar, into_id, is_made_up = coming(desk, into, "--in", out_id)
    return bar, tuple(dict.fromkeys((into_id, *ids))), at.inventing(into_id) if is_made_up else at


class Progress:
    """How far a long run is, on one line that it takes away again; only where a person looks on."""

    def __init__(self, what: str, total: int, stream: TextIO | None = None) -> None:
        self._stream = sys.stderr if stream is None else stream
        self._what, self._total, self._done, self._width = what, total, 0, 0
        self._next = monotonic() + QUIET_S
        self._seen = self._stream.isatty()

    def step(self) -> None:
        """One more is done."""
        self._done += 1
        if self._seen and monotonic() >= self._next:
            self._next = monotonic() + _EVERY_S
            line = f"{self._done} of {self._total} {self._what}"
            self._width = len(line)
            self._stream.write(f"\r{line}")
            self._stream.flush()

    def end(self) -> None:
        """Take the line away."""
        if self._width:
            self._stream.write(f"\r{' ' * self._width}\r")
            self._stream.flush()
