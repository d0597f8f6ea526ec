"""What is in use now, and which batch's strength counts: one answer for every command."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence, Set
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from balancer.engine.drink.bar import Bar, Strengths
from balancer.engine.drink.doubts import IMPLAUSIBLE_PERCENT
from balancer.engine.drink.liquid import Liquid, ingredient_liquid
from balancer.errors import BalancerError
from balancer.models.batch import Batch

MOST_ACID_OFF_PERCENT: Final = 60.0
"""This far off, a titration was rather misread or mistyped than the juice so odd (judged)."""


@dataclass(frozen=True, slots=True)
class InUse:
    """What is in use on a working day. A batch past its last day never counts and is never offered.

    day         the working day
    syrups      ids of the syrups the files know
    usable      open batches of what the files know, not past their last day, the first opened first
    counting    by id of syrup or ingredient, the batch that counts where one number is needed: the first opened
                one with a strength, of an ingredient with a measured acid
    strengths   °Bx of every syrup that has a batch that counts; the others are taken at standard
    past        open batches after their last day of use
    doubled     usable batches of one thing, where there are several
    unread      usable batches of a syrup without a strength; unverified: predicted, and not read since
    undated     usable batches whose last day is not known
    unsure      usable batches of a syrup so far off that they are read again, or discarded, before anyone pours by them
    impossible  usable batches that no such syrup or juice can be, and why
    unknown     open batches, past their last day or not, of what the files do not know or what did not load
    Those unsure or impossible do not count.
    """

    day: date
    syrups: Set[str]
    usable: tuple[Batch, ...]
    counting: dict[str, Batch]
    strengths: Strengths
    past: tuple[Batch, ...]
    doubled: tuple[tuple[Batch, ...], ...]
    unread: tuple[Batch, ...]
    unverified: tuple[Batch, ...]
    undated: tuple[Batch, ...]
    unsure: tuple[Batch, ...]
    impossible: tuple[tuple[Batch, str], ...]
    unknown: tuple[Batch, ...]

    @property
    def measured(self) -> tuple[Batch, ...]:
        """Every usable batch of an ingredient whose acid was measured and can be right, the first opened first."""
        return tuple(batch for batch in self._possible if batch.liquid not in self.syrups and batch.acid is not None)

    @property
    def past_alone(self) -> tuple[Batch, ...]:
        """Open batches after their last day of use, of what no batch is open that may be poured."""
        good = {batch.liquid for batch in self.usable}
        return tuple(batch for batch in self.past if batch.liquid not in good)

    def beside(self, batch: Batch) -> tuple[Batch, ...]:
        """The other usable batches of the same thing as one of them."""
        return tuple(other for group in self.doubled if batch in group for other in group if other != batch)

    def read(self) -> tuple[Batch, ...]:
        """Every usable batch of a syrup that has a strength and can be it, believed or not, the first opened first."""
        return tuple(batch for batch in self._possible if batch.liquid in self.syrups and batch.brix is not None)

    def past_of(self, liquid: str, besides: Batch | None = None) -> tuple[Batch, ...]:
        """The open batches of one syrup or ingredient after their last day of use, without one told already."""
        told = besides.id if besides else None
        return tuple(batch for batch in self.past if batch.liquid == liquid and batch.id != told)

    @property
    def _possible(self) -> Iterator[Batch]:
        impossible = {batch.id for batch, _ in self.impossible}
        return (batch for batch in self.usable if batch.id not in impossible)


def in_use(bar: Bar, batches: Iterable[Batch], day: date) -> InUse:
    """What is in use on a working day, with the batches as the log has them at an instant.

    Two open batches of one syrup: the first opened counts, and `doubled` says so. No open batch with a
    strength: the syrup is taken at standard.
    """
    specs = bar.specs
    every = sorted((batch for batch in batches if batch.state == "open"), key=_opened)
    opened = [batch for batch in every if specs.find_liquid(batch.liquid) is not None]
    past = tuple(batch for batch in opened if is_past(batch, day))
    usable = tuple(batch for batch in opened if batch not in past)
    impossible = tuple((batch, why) for batch in usable if (why := _impossible(bar, batch)))
    doubtful = {batch.id for batch, _ in impossible}
    unsure = tuple(batch for batch in usable if batch.id not in doubtful and _is_unsure(bar, batch))
    doubtful |= {batch.id for batch in unsure}
    counting: dict[str, Batch] = {}
    for batch in usable:
        measured = batch.acid if batch.liquid in specs.ingredients else batch.brix
        if measured is not None and batch.id not in doubtful:
            counting.setdefault(batch.liquid, batch)
    syrups = [batch for batch in usable if batch.liquid in specs.syrups]
    return InUse(
        day=day,
        syrups=frozenset(specs.syrups),
        usable=usable,
        counting=counting,
        strengths={
            liquid: batch.brix
            for liquid, batch in counting.items()
            if liquid in specs.syrups and batch.brix is not None
        },
        past=past,
        doubled=_doubled(usable),
        unread=tuple(batch for batch in syrups if batch.brix is None),
        unverified=tuple(batch for batch in syrups if batch.brix is not None and not batch.verified),
        undated=tuple(batch for batch in usable if batch.discard is None),
        unsure=unsure,
        impossible=impossible,
        unknown=tuple(batch for batch in every if batch not in opened),
    )


def is_past(batch: Batch, day: date) -> bool:
    """Whether a batch's last day of use is over on a working day."""
    return batch.ends is not None and batch.ends < day


def measured_juice(bar: Bar, batch: Batch) -> Liquid:
    """An ingredient with the acid that a batch of it was measured to have.

    Raises BalancerError when nothing can hold that much.
    """
    return ingredient_liquid(bar.specs.ingredients[batch.liquid].model_copy(update={"acid": batch.acid}))


def acid_off_percent(bar: Bar, batch: Batch) -> float | None:
    """How far the acid in a ml of a measured juice is off what the specs count on, %; None where either has none.

    Raises BalancerError as `measured_juice` does.
    """
    written, measured = bar.liquid(batch.liquid), measured_juice(bar, batch)
    if not written.acid_g_per_ml or not measured.acid_g_per_ml:
        return None
    return 100.0 * (measured.acid_g_per_ml / written.acid_g_per_ml - 1.0)


def _impossible(bar: Bar, batch: Batch) -> str:
    """Why no syrup or juice of its kind can be like a batch; empty when one can."""
    try:
        if batch.liquid in bar.specs.syrups:
            if batch.brix is not None and bar.liquid(batch.liquid, batch.brix).sugar_per_g <= 0.0:
                return "it would hold no sugar"
        elif batch.acid is not None:
            off = acid_off_percent(bar, batch)
            if off is not None and abs(off) > MOST_ACID_OFF_PERCENT:
                return f"its acid is {abs(off):.0f} % off what the specs count on"
    except BalancerError as error:
        return error.problems()[0].message
    return ""


def _is_unsure(bar: Bar, batch: Batch) -> bool:
    if batch.brix is None or batch.liquid not in bar.specs.syrups:
        return False
    off = bar.sugar_off_percent(batch.liquid, batch.brix)
    return off is not None and abs(off) > IMPLAUSIBLE_PERCENT


def _doubled(usable: Sequence[Batch]) -> tuple[tuple[Batch, ...], ...]:
    by_liquid: dict[str, list[Batch]] = {}
    for batch in usable:
        by_liquid.setdefault(batch.liquid, []).append(batch)
    return tuple(tuple(group) for group in by_liquid.values() if len(group) > 1)


def _opened(batch: Batch) -> tuple[bool, float]:
    """Oldest opening first; batches whose opening has no time come before."""
    opened: datetime | None = batch.opened
    return (opened is not None, opened.timestamp() if opened else 0.0)
