"""How strong the batches of a syrup come out, and how well one reading tells it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import fmean
from typing import Final

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.bar import Bar
from balancer.engine.prep.chart import Chart, chart
from balancer.engine.prep.measure import known_of, measure
from balancer.engine.prep.readings import Diluted, Readings, accuracy_of, propose
from balancer.errors import BalancerError
from balancer.measured import Measured, of_division, of_limit
from balancer.models.batch import Batch
from balancer.models.house import Instrument
from balancer.models.syrup import Syrup

_ROOM_C: Final = 20.0


@dataclass(frozen=True, slots=True)
class Spread:
    """The strengths of a syrup's batches, taken as normal. All in °Bx.

    sd_brix       their standard deviation
    reading_brix  standard uncertainty of one reading
    batches       how many of the log they come from; None where the spread was given
    """

    syrup: Syrup
    standard_brix: float
    mean_brix: float
    sd_brix: float
    reading_brix: float
    batches: int | None

    @property
    def plus_minus_brix(self) -> float:
        """Nineteen of twenty batches come this near to their mean: two standard deviations."""
        return 2.0 * self.sd_brix


def spread_of(
    bar: Bar, syrup: Syrup, batches: Sequence[Batch], sd_brix: float | None, reading_brix: float | None
) -> Spread | int:
    """How a syrup's batches vary; where nothing tells it, how many batches the log has.

    batches       as the log has them
    sd_brix       the standard deviation to take instead of the log's, about the syrup's standard
    reading_brix  the standard uncertainty of a reading to take instead of the house instrument's
    """
    standard = bar.standard(syrup.id)
    own = one_reading(bar, syrup)
    reading = own.uncertainty if reading_brix is None else reading_brix
    if sd_brix is not None:
        return Spread(syrup, standard, standard, sd_brix, reading, None)
    found = chart(syrup, batches, bar.specs.house.batch_tolerance)
    if found.lines is None or found.offset_brix is None:
        return len(found.points)
    scatter = own.budget.get("division", 0.0)
    return Spread(syrup, standard, standard + found.offset_brix, _true_sd(found, scatter), reading, len(found.points))


def one_reading(bar: Bar, syrup: Syrup) -> Measured:
    """A reading of a syrup at its standard with the house's instrument, diluted where its scale ends before."""
    house, standard = bar.specs.house, bar.standard(syrup.id)
    instrument = house.instrument or Instrument()
    alone = Measured(
        standard, {"division": of_division(instrument.division), "accuracy": of_limit(accuracy_of(instrument))}
    )
    seen = known_of(
        syrup,
        Readings(
            (),
            instrument,
            temperature_c=None if instrument.atc else _ROOM_C,
            scale_division_g=house.scale.division if house.scale else 1.0,
        ),
    )
    try:
        shown, proposal = seen.shows(standard), propose(seen, standard)
        if shown is None:
            return alone
        if not seen.on_scale(shown) and proposal is not None:
            diluted = Diluted(Amount(proposal.sample_g, "g"), Amount(proposal.water_g, "g"))
            return measure(_read(seen, proposal.reads_brix, diluted)).strength
        return measure(_read(seen, shown, None)).strength
    except BalancerError:  # alcohol in it: it was read before the spirit went in
        return alone


def _read(seen: Readings, shown_brix: float, diluted: Diluted | None) -> Readings:
    return Readings(
        (shown_brix,),
        seen.instrument,
        temperature_c=seen.temperature_c,
        diluted=diluted,
        acid=seen.acid,
        inverted_fraction=seen.inverted_fraction,
        abv_percent=seen.abv_percent,
        scale_division_g=seen.scale_division_g,
    )


def _true_sd(found: Chart, scatter_brix: float) -> float:
    """The standard deviation of the batches themselves, °Bx.

    Before and after a change that stayed each about its own mean. What a scale's divisions scatter is in every
    reading of the log and is taken out; nothing narrower than that can be told from it. What the instrument is
    always off by moves all of them alike, and cannot be seen.
    """
    values = [point.brix for point in found.points]
    since = next((at for at, one in enumerate(found.points) if found.moved and one.batch == found.moved.since), 0)
    parts = [part for part in (values[:since], values[since:]) if part]
    squares = sum(sum((value - fmean(part)) ** 2 for value in part) for part in parts)
    seen = squares / (len(values) - len(parts))
    return max(sqrt(max(seen - scatter_brix**2, 0.0)), scatter_brix)
