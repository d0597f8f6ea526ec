"""What `fits` is asked, its two forms of answer, and how far it has come while it works."""

from __future__ import annotations

import sys
from pathlib import Path
from time import monotonic
from typing import Final, TextIO

from balancer.cli.desk import Desk
from balancer.cli.swap import liquid_of
from balancer.engine.swaps.fits import DrinkFits, drinks_with, fits, fits_all, main_sweetener, sweeteners
from balancer.errors import CannotError, Problem, UsageError
from balancer.files.save import save
from balancer.files.sheets.table import csv_bytes
from balancer.output.data.fits import fits_data, menu_fits_data
from balancer.output.screen.fits import fits_text, menu_fits_rows, menu_fits_text
from balancer.output.words.fits import Failed

QUIET_S: Final = 1.0
"""Work shorter than this says nothing of itself."""
_EVERY_S: Final = 0.2


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


def answer_drink(desk: Desk, text: str, out: str | None) -> None:
    """What fits one drink; exit code 1 when nothing does."""
    (drink,) = desk.drinks([text])
    bar = desk.bar
    out_id = liquid_of(desk, out, "--out", [pour.of for pour in drink.pours]) if out else main_sweetener(bar, drink)
    result = fits(bar, drink, out_id, sweeteners(bar))
    touching = [] if result.fits else [Problem("no-fit", "nothing fits", "")]
    desk.answer(fits_text(result, desk.house), fits_data(result), [], touching)


def answer_menu(desk: Desk, out: str | None, csv: Path | None) -> None:
    """What fits every drink that pours a sweetener; exit code 1 when a drink has no answer."""
    if out is None:
        raise UsageError("usage", "--all wants to know what goes", "add --out NAME")
    bar = desk.bar
    out_id = liquid_of(desk, out, "--out")
    liquid, ids = bar.liquid(out_id), sweeteners(bar)
    drinks = drinks_with(bar, out_id)
    if not drinks:
        raise CannotError("not-poured", f"no drink pours {liquid.name}", "name what a drink pours with --out")
    found: list[DrinkFits] = []
    failed: list[Failed] = []
    progress = Progress("drinks", len(drinks))
    for each in fits_all(bar, out_id, ids):
        if isinstance(each, DrinkFits):
            found.append(each)
        else:
            failed.append(each)
        progress.step()
    progress.end()
    if csv is not None:
        names = [bar.liquid(identity).name for identity in ids]
        save(csv, csv_bytes(menu_fits_rows(ids, names, found, failed)))
    text = menu_fits_text(liquid, found, failed, desk.house)
    data = menu_fits_data(liquid, found, failed) | ({"csv": str(csv)} if csv else {})
    problems = [Problem("no-answer", error.problems()[0].message, "") for _, error in failed]
    desk.answer(text, data, [], [*problems, *desk.loaded.broken_pouring(out_id)])
