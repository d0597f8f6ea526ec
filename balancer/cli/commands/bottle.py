"""A drink by the bottle."""

from __future__ import annotations

from typing import Annotated, Final

import typer

from balancer.cli import names, values
from balancer.cli.completion import BATCHES
from balancer.cli.desk import Desk
from balancer.cli.options import DrinkWords
from balancer.cli.runner import Answer, answering
from balancer.engine.batch.events import refuse_past
from balancer.engine.service.bottle import HEADSPACE_PERCENT, bottle
from balancer.engine.service.bottled import bottled_entry
from balancer.errors import QuantityError, UsageError
from balancer.models.batch import Batch
from balancer.output.data.bottle import bottle_data
from balancer.output.screen.bottle import bottle_text
from balancer.output.working.bottle import bottle_steps
from balancer.units import parse_number

_MOST_SERVES: Final = 10_000.0


@answering(steps=True, lists=True)
def command(
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
) -> Answer:
    """A drink mixed beforehand, its ice's water poured in: every line by weight, its strength, will it freeze."""
    if log and batch is None:
        raise UsageError("usage", "--log: nothing says which batch went in", "name it with --from")
    mixed = names.drink(desk.loaded, " ".join(drink))
    if (serves is None) == (volume is None):
        raise UsageError("usage", "--serves and --volume: one of them decides how much", "give one, like --serves 12")
    result = bottle(
        desk.bar,
        mixed,
        batch=None if batch is None else _usable(desk, batch),
        serves=None if serves is None else _serves(serves),
        vessel_ml=None if volume is None else values.volume(volume, "--volume", desk.house.measures()),
        headspace_percent=HEADSPACE_PERCENT if headspace is None else _headspace(headspace),
        made=desk.today,
    )
    if log:
        desk.log(lambda _: [bottled_entry(result, desk.stamp())])
    return Answer(
        lambda: bottle_text(result, desk.house, desk.today, logged=log),
        lambda: bottle_data(result, desk.house, desk.today, logged=log),
        lambda: bottle_steps(result),
        about=[result.drink.id],
    )


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
