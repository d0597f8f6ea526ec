"""What `bottle` is asked for, out of its options."""

from __future__ import annotations

from balancer.cli import values
from balancer.cli.bench import Bench
from balancer.engine.batch.events import batch_in_house, refuse_past
from balancer.engine.service.bottle import HEADSPACE_PERCENT, Bottle, bottle
from balancer.engine.service.bottled import bottled_entry
from balancer.errors import QuantityError, UsageError
from balancer.models.batch import LogEntry
from balancer.models.drink import Drink
from balancer.units import parse_number

_MOST_SERVES = 10_000.0


def bottle_of(
    bench: Bench, drink: Drink, serves: str | None, volume: str | None, batch: str | None, headspace: str | None
) -> Bottle:
    """The bottled drink. Raises UsageError for what is not an amount, and unless exactly one decides how much."""
    if (serves is None) == (volume is None):
        raise UsageError("usage", "--serves and --volume: one of them decides how much", "give one, like --serves 12")
    bench.read()
    used = None if batch is None else batch_in_house(bench.after, bench.loaded.specs, batch)
    if used is not None:
        refuse_past(used, bench.today)
    return bottle(
        bench.bar,
        drink,
        serves=None if serves is None else _serves(serves),
        vessel_ml=None if volume is None else values.volume(volume, "--volume", bench.house.measures()),
        headspace_percent=HEADSPACE_PERCENT if headspace is None else _headspace(headspace),
        batch=used,
        made=bench.today,
    )


def log_bottle(bench: Bench, result: Bottle) -> None:
    """Note at the batch that went in that it did."""

    def entries(_: tuple[LogEntry, ...]) -> list[LogEntry]:
        return [bottled_entry(result, bench.stamp())]

    bench.log(entries)


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
