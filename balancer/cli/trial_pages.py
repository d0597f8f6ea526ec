"""The sheet to taste a new spec by, for every command that prints one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from balancer.cli.pages import choice, dots, page_kind, write_pages
from balancer.cli.runner import Answer, valued
from balancer.desk.desk import Desk
from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.kept import changes_of
from balancer.engine.swaps.slots import SwappedPour
from balancer.engine.swaps.trial import Trial, trial_of_changes
from balancer.errors import UsageError
from balancer.models.changes import NOTHING_ELSE, AlsoChanged
from balancer.models.drink import Drink
from balancer.output.paper.dots import PNG_DPI
from balancer.output.paper.imposition import PAPERS
from balancer.output.paper.sheet import PrintedSheet, page_count
from balancer.output.paper.trial_sheet import trial_page
from balancer.output.paper.typeset import TEMPLATES, typeset
from balancer.output.screen.trial import no_sheet_row, sheet_row


def print_trial(desk: Desk, trial: Trial, out: Path, paper: str, dpi: int = PNG_DPI) -> PrintedSheet:
    """Print it into a file. Raises ProblemsError where its texts cannot be printed."""
    kind = page_kind(out)
    data = trial_page(trial, desk.house, desk.today, desk.words, PAPERS[paper])
    pages = typeset(TEMPLATES / "trial.typ", data, kind, desk.at, desk.look, dpi)
    return PrintedSheet(paper, page_count(pages, kind), tuple(write_pages(desk, out, pages)))


class SheetAsked(NamedTuple):
    """A sheet to taste by, as the options ask for it: its file, and its paper and dots."""

    file: Path
    paper: str
    dpi: int


def sheet_asked(file: Path | None, on: str | None, dpi: str | None) -> SheetAsked | None:
    """What --test-sheet, --on and --dpi ask for; None without a sheet. Raises UsageError for what cannot be meant."""
    if file is None:
        if on is not None or dpi is not None:
            raise UsageError("usage", "--on and --dpi are for its test sheet", "say where: --test-sheet sheet.pdf")
        return None
    return SheetAsked(file, choice("--on", on or "a4", PAPERS), dots(dpi, page_kind(file)))


def with_trial(
    desk: Desk,
    answer: Answer,
    bar: Bar,
    drink: Drink,
    pours: Sequence[SwappedPour],
    sheet: SheetAsked,
    *,
    feasible: bool,
    out: str | None = None,
    also: AlsoChanged = NOTHING_ELSE,
) -> Answer:
    """An answer with other pours, and a sheet to taste it by.

    What cannot be had is not tasted: the answer says so, and nothing is printed.
    """
    changes = changes_of(bar, drink, pours, out)
    if not feasible or not (changes or also.glass):
        row, data = no_sheet_row(feasible=feasible), None
    else:
        printed = print_trial(desk, trial_of_changes(bar, drink, changes, also), *sheet)
        row, data = sheet_row(printed), printed.data
    return replace(
        answer,
        text=lambda: f"{valued(answer.text)}\n{row}",
        data=lambda: valued(answer.data) | {"test_sheet": data},
    )
