"""Labels for the bottles of batches, and for what is opened without being one."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.asking import names
from balancer.cli.completion import BATCHES, LIQUIDS
from balancer.cli.label_pages import label_print, print_labels
from balancer.cli.options import LABEL_SIZE, Copies, Dpi, PageFile, SizeText, Skip
from balancer.cli.pages import dots, page_file, page_kind
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.desk.printing.batches import batch_labels
from balancer.engine.batch.notes import in_house
from balancer.engine.service.labels import Labels
from balancer.engine.service.opened import OpenedBottle, opened_bottle
from balancer.errors import CannotError, Problem, ProblemsError, UsageError
from balancer.models.batch import Batch
from balancer.output.data.labels import labels_data
from balancer.output.paper.labels import LabelRun, batch_label, opened_label
from balancer.output.screen.labels import labels_text, refused_text


@answering(lists=True)
def command(
    desk: Desk,
    batches: Annotated[
        list[str] | None,
        typer.Argument(metavar="BATCH ...", autocompletion=BATCHES, help="Only these; all made or open if left out."),
    ] = None,
    opened: Annotated[
        list[str] | None,
        typer.Option(
            "--opened",
            metavar="NAME",
            autocompletion=LIQUIDS,
            help="A wine or juice opened now, not in the log.",
        ),
    ] = None,
    date: Annotated[
        str | None, typer.Option("--date", "-d", metavar="DATE", help="The day --opened was opened; today if left out.")
    ] = None,
    out: PageFile = None,
    size: SizeText = LABEL_SIZE,
    copies: Copies = 1,
    skip: Skip = 0,
    dpi: Dpi = None,
) -> Answer:
    """A label for every batch in the house: its strength, its last day, its allergens, what to pour."""
    file = page_file(out, "labels.pdf")
    per_inch = dots(dpi, page_kind(file))
    asked = label_print(size, copies, skip)
    if date is not None and not opened:
        raise UsageError("usage", "--date: nothing was opened", "say what: --opened NAME")
    bottles = _opened(desk, opened or [], date)
    wanted = _wanted(desk, batches, is_all=not opened)
    found = batch_labels(desk, wanted)
    if not found.labels and not bottles:
        if batches:
            raise ProblemsError(_refusals(found, desk))
        nothing = LabelRun(found, bottles, asked, desk.today)
        return Answer(lambda: labels_text(nothing), lambda: labels_data(nothing))
    texts = [batch_label(label, desk.today, desk.specs, desk.words) for label in found.labels]
    texts += [opened_label(bottle, desk.today, desk.words) for bottle in bottles]
    done = print_labels(desk, asked, texts, file, per_inch)
    if not done.written:
        raise ProblemsError([*desk.noticed, *_refusals(found, desk)])
    run = LabelRun(found, bottles, done, desk.today)
    lost = desk.loaded.broken_pouring(*(label.item.batch.liquid for label in found.labels))
    missing = [drink.name for drink in lost]
    return Answer(
        lambda: labels_text(run, missing),
        lambda: labels_data(run),
        touching=[*lost, *(_refusals(found, desk) if batches else ())],
        in_full=bool(done.unfit),
    )


def _wanted(desk: Desk, texts: list[str] | None, *, is_all: bool) -> list[Batch]:
    """The batches that are to have a label; all in the house where none is named."""
    if texts:
        return names.batches(desk.batches, desk.specs, texts)
    return list(in_house(desk.batches)) if is_all else []


def _opened(desk: Desk, texts: list[str], date: str | None) -> list[OpenedBottle]:
    """What was opened, each once. Raises CannotError for a syrup, which is a batch."""
    day = desk.today if date is None else desk.day(date, "--date", "past")
    found: dict[str, OpenedBottle] = {}
    for text in texts:
        identity = names.liquid(desk, text, "--opened")
        if identity in desk.specs.syrups:
            name = desk.specs.syrups[identity].name
            remedy = f'log it: balancer batch add "{name}"; then balancer labels'
            raise CannotError("batch-kind", f"--opened: {name} is a syrup, and every making of one is a batch", remedy)
        found[identity] = opened_bottle(desk.bar, desk.specs.ingredients[identity], day, desk.today)
    return list(found.values())


def _refusals(found: Labels, desk: Desk) -> list[Problem]:
    """The refusals as problems, where nothing else is to be told."""
    return [
        Problem("no-label", refused_text(refusal, desk.today), "see: balancer batch list --all")
        for refusal in found.refused
    ]
