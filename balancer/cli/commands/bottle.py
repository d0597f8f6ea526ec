"""A drink by the bottle."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

import typer

from balancer.asking import names
from balancer.cli.completion import BATCHES
from balancer.cli.options import LABEL_SIZE, Copies, Dpi, DrinkWords, PageFile, SizeText, Skip
from balancer.cli.pages import dots, page_kind
from balancer.cli.runner import Answer, answering
from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.engine.batch.contents import unsaid
from balancer.engine.batch.events import refuse_past
from balancer.engine.service.bottle import HEADSPACE_PERCENT, Bottle, Heed, bottle
from balancer.engine.service.bottled import bottled_entry
from balancer.errors import ProblemsError, QuantityError, UsageError
from balancer.models.batch import Batch
from balancer.output.data.bottle import bottle_data
from balancer.output.paper.dots import PNG_DPI
from balancer.output.screen.bottle import bottle_text
from balancer.output.working.bottle import bottle_steps
from balancer.units import parse_number

if TYPE_CHECKING:
    from balancer.output.paper.label_print import LabelPrint

_MOST_SERVES: Final = 10_000.0


@answering(steps=True, lists=True)
def command(  # noqa: PLR0913, PLR0917 - one for each option
    desk: Desk,
    drink: DrinkWords,
    serves: Annotated[str | None, typer.Option("--serves", metavar="N", help="How many serves.")] = None,
    volume: Annotated[
        str | None, typer.Option("--volume", "-v", metavar="VOLUME", help="Or the vessel to fill.")
    ] = None,
    batch: Annotated[
        str | None,
        typer.Option("--from", metavar="BATCH", autocompletion=BATCHES, help="The batch of its syrup that goes in."),
    ] = None,
    headspace: Annotated[
        str | None, typer.Option("--headspace", metavar="PERCENT", help="Of the vessel, left empty; 3 % if left out.")
    ] = None,
    log: Annotated[bool, typer.Option("--log", "-l", help="Note in the batch log which batch went in.")] = False,
    out: PageFile = None,
    size: SizeText = LABEL_SIZE,
    copies: Copies = 1,
    skip: Skip = 0,
    dpi: Dpi = None,
) -> Answer:
    """A drink mixed beforehand, its ice's water poured in: every line by weight, its strength, will it freeze."""
    if log and batch is None:
        raise UsageError("usage", "--log: nothing says which batch went in", "name it with --from")
    if out is None and (size != LABEL_SIZE or copies != 1 or skip or dpi is not None):
        raise UsageError("usage", "--size, --copies, --skip and --dpi are for its label", "say where: --out label.pdf")
    asked = None if out is None else _asked(size, copies, skip)
    per_inch = PNG_DPI if out is None else dots(dpi, page_kind(out))
    mixed = names.drink(desk.loaded, " ".join(drink))
    if (serves is None) == (volume is None):
        raise UsageError("usage", "--serves and --volume: one of them decides how much", "give one, like --serves 12")
    # Else nobody asks which batches go in; what is open that must not, or is not what the card says, is told always.
    is_told = batch is not None or out is not None
    result = bottle(
        desk.bar,
        mixed,
        batch=None if batch is None else _usable(desk, batch),
        serves=None if serves is None else _serves(serves),
        vessel_ml=None if volume is None else values.volume(volume, "--volume", desk.house.measures()),
        headspace_percent=HEADSPACE_PERCENT if headspace is None else _headspace(headspace),
        made=desk.today,
        in_use=desk.in_use.usable if is_told else (),
        heed=_heed(desk, must=is_told),
    )
    printed = _label(desk, result, out, asked, per_inch) if out is not None and asked is not None else None
    is_logged = log and (out is None or printed is not None)  # else it is asked again, for another size
    if is_logged:
        desk.log(lambda _: [bottled_entry(result, desk.stamp())])
    return Answer(
        lambda: bottle_text(result, desk.specs, desk.today, printed, logged=is_logged),
        lambda: bottle_data(result, desk.house, desk.today, printed, logged=is_logged),
        lambda: bottle_steps(result),
        about=[result.drink.id],
    )


def _heed(desk: Desk, *, must: bool) -> Heed:
    """What the log has to say. Raises ProblemsError where it cannot be read and must be."""
    try:
        return Heed(desk.batches, unsaid(desk.specs, desk.batches, desk.entries), desk.in_use.past_alone)
    except ProblemsError:
        if must:
            raise
        return Heed(is_read=False)


def _asked(size: str, copies: int, skip: int) -> LabelPrint:
    """What its label is printed on. Raises UsageError for what cannot be meant."""
    from balancer.cli.label_pages import label_print  # noqa: PLC0415 - only what prints needs it

    return label_print(size, copies, skip)


def _label(desk: Desk, result: Bottle, file: Path, asked: LabelPrint, dpi: int) -> LabelPrint | None:
    """Print its label. None where it cannot be printed: why is noticed, and the recipe is told all the same."""
    from balancer.cli.label_pages import print_labels  # noqa: PLC0415 - only what prints needs it
    from balancer.output.paper.bottle_label import bottle_label  # noqa: PLC0415

    done = print_labels(desk, asked, [bottle_label(result, desk.house, desk.today, desk.words)], file, dpi)
    return done if done.written else None


def _usable(desk: Desk, text: str) -> Batch:
    found = names.batch(desk.batches, desk.specs, text, desk.today)
    refuse_past(found, desk.today)
    return found


def _serves(text: str) -> float:
    try:
        found = parse_number(text)
    except QuantityError as error:
        raise UsageError("usage", f"--serves: {error.reason}", "give a number, like 12") from None
    if not 0.0 < found <= _MOST_SERVES:
        raise UsageError("usage", f'--serves: "{text}" cannot be right', f"give a number up to {_MOST_SERVES:g}")
    return found


def _headspace(text: str) -> float:
    if text.replace(" ", "").rstrip("%") in ("0", "0.0", "0,0"):
        return 0.0
    return values.measure(text, "--headspace", "share", "%", low=0.0, high=50.0)
