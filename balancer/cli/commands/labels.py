"""Labels for the bottles of batches."""

from __future__ import annotations

from typing import Annotated, Final

import typer

from balancer.cli import names
from balancer.cli.completion import BATCHES
from balancer.cli.desk import Desk
from balancer.cli.options import Dpi, PageFile
from balancer.cli.pages import choice, dots, page_file, page_kind, write_pages
from balancer.cli.runner import Answer, answering
from balancer.engine.batch.notes import in_house
from balancer.engine.service.bottled import bottled
from balancer.engine.service.labels import Labels, labels
from balancer.engine.service.tonight import tonight
from balancer.errors import CannotError, Problem, ProblemsError, UsageError
from balancer.output.data.labels import labels_data
from balancer.output.paper.fitting import typeset_fitting
from balancer.output.paper.labels import LOST, LabelRun, LabelSize, labels_page, size_of
from balancer.output.paper.typeset import TEMPLATES
from balancer.output.screen.labels import labels_text, refused_text

_SIZES: Final = ("62", "2x1", "70x37")
_MOST_COPIES: Final = 100


@answering(lists=True)
def command(
    desk: Desk,
    batches: Annotated[
        list[str] | None,
        typer.Argument(metavar="BATCH ...", autocompletion=BATCHES, help="Only these; all made or open if left out."),
    ] = None,
    out: PageFile = None,
    size: Annotated[
        str, typer.Option("--size", metavar="SIZE", help="62 (mm roll), 2x1 (inches) or 70x37 (24 on an A4 sheet).")
    ] = "62",
    copies: Annotated[int, typer.Option("--copies", metavar="N", help="How many of each.")] = 1,
    skip: Annotated[
        int, typer.Option("--skip", metavar="N", help="Places of a started 70x37 sheet to leave empty.")
    ] = 0,
    dpi: Dpi = None,
) -> Answer:
    """A label for every batch in the house: its strength, its last day, its allergens, what to pour."""
    file = page_file(out, "labels.pdf")
    kind, label_size = page_kind(file), size_of(choice("--size", size, _SIZES))
    per_inch = dots(dpi, kind)
    _check_numbers(label_size, copies, skip)
    wanted = names.batches(desk.batches, desk.specs, batches) if batches else list(in_house(desk.batches))
    if not wanted:
        raise CannotError("no-batch", "no batch is open or waiting", "log one with: balancer batch add SYRUP --brix 50")
    result = tonight(desk.bar, desk.batches, desk.today, bottled(desk.entries))
    found = labels(desk.bar, result, desk.batches, wanted)
    if not found.labels:
        raise ProblemsError(_refusals(found, desk))
    run = LabelRun(found, label_size, copies, skip, desk.today, (), {}, ())
    page = labels_page(run, desk.specs)
    fitted = typeset_fitting(TEMPLATES / "label.typ", page, kind, desk.at, LOST, desk.look, per_inch)
    if not fitted.pages:
        raise ProblemsError([*fitted.unfit.values(), *_refusals(found, desk)])
    done = run._replace(written=write_pages(file, fitted.pages), dropped=fitted.dropped, unfit=fitted.unfit)
    desk.noticed += fitted.unfit.values()
    lost = desk.loaded.broken_pouring(*(label.item.batch.liquid for label in found.labels))
    missing = [drink.name for drink in lost]
    return Answer(
        lambda: labels_text(done, missing),
        lambda: labels_data(done),
        touching=[*lost, *(_refusals(found, desk) if batches else ())],
    )


def _check_numbers(size: LabelSize, copies: int, skip: int) -> None:
    """Raise UsageError for copies or places to skip that cannot be meant."""
    if not 1 <= copies <= _MOST_COPIES:
        raise UsageError("usage", f"--copies: {copies} cannot be meant", f"give a number from 1 to {_MOST_COPIES}")
    if skip and not size.is_sheet:
        raise UsageError("usage", "--skip: only a sheet has places to leave empty", "print on --size 70x37")
    if not 0 <= skip < size.layout.up:
        raise UsageError(
            "usage", f"--skip: a sheet has {size.layout.up} places, not {skip} to skip and one to print on",
            f"give a number from 0 to {size.layout.up - 1}",
        )  # fmt: skip


def _refusals(found: Labels, desk: Desk) -> list[Problem]:
    """The refusals as problems, where nothing else is to be told."""
    return [
        Problem("no-label", refused_text(refusal, desk.today), "see: balancer batch list --all")
        for refusal in found.refused
    ]
