"""What a person should know about a batch when it is made, opened or combined."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Final, Literal, NamedTuple

from balancer.brief import brief
from balancer.engine.batch.history import CLOSED, discard_date
from balancer.engine.batch.now import is_past
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.cautions import cautions as cautions_of
from balancer.engine.drink.doubts import IMPLAUSIBLE_PERCENT
from balancer.engine.drink.keeping import Keeping, keeping
from balancer.errors import BalancerError
from balancer.models.batch import Batch
from balancer.models.ingredient import Ingredient
from balancer.models.syrup import Syrup
from balancer.units import Quantity

Fit = Literal["within", "off", "implausible"]
"""within: the strength is within the batch tolerance; implausible: so far off that it is read again first."""

CautionKind = Literal[
    "past",
    "weaker",
    "beyond keeps",
    "others past",
    "also open",
    "older waits",
    "unverified",
    "part undated",
    "part in use",
]


class Caution(NamedTuple):
    """One thing to heed.

    past           its last day of use is over
    weaker         it is so weak that the days and the storage of its file hold no longer
    beyond keeps   the last day of use given is later than its file allows
    others past    other batches of it are in use past their last day
    also open      other batches of it are in use and good
    older waits    older batches of it, still good, are not yet opened
    unverified     its strength is predicted, not read
    part undated   a part's last day of use is not known
    part in use    a part was in use, so its logged mass may be what it was, not what is left
    """

    kind: CautionKind
    others: tuple[Batch, ...] = ()


@dataclass(frozen=True, slots=True)
class BatchNow:
    """One batch against the files.

    source         its syrup or ingredient; None when the files know none, or it did not load
    standard_brix  the strength its specs are written for; None for an ingredient, and when nothing tells it
    off_brix       strength less standard
    fit            None when the strength or the standard is unknown
    spec_acid      what its specs count on, for an ingredient
    past           its last day of use is over
    today          the date of the working day
    kept           how long and how cold a syrup keeps at its strength; None for an ingredient
    cautions       what is to be said of it
    """

    batch: Batch
    source: Syrup | Ingredient | None
    standard_brix: float | None
    off_brix: float | None
    fit: Fit | None
    spec_acid: Quantity | None
    past: bool
    today: date
    kept: Keeping | None
    cautions: tuple[str, ...]

    __repr__ = brief

    @property
    def name(self) -> str:
        """The name of what it is a batch of."""
        return self.source.name if self.source else self.batch.liquid or "unknown syrup"

    @property
    def is_off(self) -> bool:
        """Whether prep corrects it: its strength was read, is believed, and is outside its batch tolerance."""
        return self.fit == "off" and self.batch.verified


def describe(bar: Bar, batch: Batch, today: date) -> BatchNow:
    """A batch with what the files say of it. today is the date of the working day."""
    specs = bar.specs
    syrup, ingredient = specs.syrups.get(batch.liquid), specs.ingredients.get(batch.liquid)
    standard = _standard(bar, syrup)
    off = batch.brix - standard if batch.brix is not None and standard is not None else None
    return BatchNow(
        batch=batch,
        source=syrup or ingredient,
        standard_brix=standard,
        off_brix=off,
        fit=_fit(bar, syrup, batch.brix) if syrup and batch.brix is not None and off is not None else None,
        spec_acid=ingredient.acid if ingredient and ingredient.acid and ingredient.acid.value else None,
        past=is_past(batch, today),
        today=today,
        kept=keeping(specs, syrup, batch.brix) if syrup else None,
        cautions=_cautions(bar, syrup or ingredient),
    )


def cautions(item: BatchNow, known: Iterable[Batch]) -> tuple[Caution, ...]:
    """What to heed about a batch that was just made or opened. known are all batches as they stand now."""
    batch = item.batch
    found = [Caution("past")] if item.past else []
    found += [Caution("weaker")] if item.kept and item.kept.lost else []
    keeps = item.source.keeps if item.source else None
    if keeps and batch.made and batch.discard and not batch.parts and batch.discard > discard_date(batch.made, keeps):
        found.append(Caution("beyond keeps"))
    if batch.state == "open":
        others = [other for other in known if other.liquid == batch.liquid and other.id != batch.id]
        over = tuple(other for other in others if other.state == "open" and is_past(other, item.today))
        good = [other for other in others if not is_past(other, item.today)]
        in_use = tuple(other for other in good if other.state == "open")
        waiting = tuple(other for other in good if other.state == "made" and _is_older(other, batch))
        found += [Caution("others past", over)] if over else []
        found += [Caution("also open", in_use)] if in_use else []
        found += [Caution("older waits", waiting)] if waiting else []
        found += [Caution("unverified")] if batch.brix is not None and not batch.verified else []
    return tuple(found)


def combining_cautions(parts: Iterable[Batch]) -> tuple[Caution, ...]:
    """What to heed about the parts of a batch that was combined, as they stood before."""
    listed = list(parts)
    undated = tuple(part for part in listed if part.discard is None)
    in_use = tuple(part for part in listed if part.state == "open")
    found = [Caution("part undated", undated)] if undated else []
    return tuple(found + ([Caution("part in use", in_use)] if in_use else []))


def in_house(known: Iterable[Batch]) -> tuple[Batch, ...]:
    """Batches in use, then those waiting; of each the one to be used up first before the others."""
    listed = [batch for batch in known if batch.state not in CLOSED]
    return tuple(sorted(listed, key=lambda batch: (batch.state != "open", batch.ends or date.max)))


def closed(known: Iterable[Batch]) -> tuple[Batch, ...]:
    """Batches used up or discarded, the last one first."""
    return tuple(batch for batch in reversed(list(known)) if batch.state in CLOSED)


def _cautions(bar: Bar, source: Syrup | Ingredient | None) -> tuple[str, ...]:
    if source is None:
        return ()
    try:
        return cautions_of(bar.liquid(source.id))
    except BalancerError:  # nothing can be as its file says; that is told elsewhere
        return source.cautions


def _standard(bar: Bar, syrup: Syrup | None) -> float | None:
    try:
        return bar.standard(syrup.id) if syrup else None
    except BalancerError:  # a standard given as a reading that alcohol makes meaningless
        return None


def _fit(bar: Bar, syrup: Syrup, brix: float) -> Fit:
    try:
        sugar_off = bar.sugar_off_percent(syrup.id, brix)
    except BalancerError:  # so strong that acid and alcohol find no room beside it
        return "implausible"
    if sugar_off is not None and abs(sugar_off) > IMPLAUSIBLE_PERCENT:
        return "implausible"
    return "off" if bar.is_outside(syrup.id, brix) else "within"


def _is_older(other: Batch, batch: Batch) -> bool:
    """To be used before: by last day of use, or by the day made where one of those is unknown."""
    if other.ends and batch.ends:
        return other.ends < batch.ends
    return bool(other.made and batch.made and other.made < batch.made)


CONFIRMED_WITHIN_BRIX: Final = 1.0
"""Two readings this close say the same; an implausible strength read twice is the batch, not the sample."""


def is_confirmed(batch: Batch) -> bool:
    """Whether its last two readings say the same, so that even an implausible strength is the batch's."""
    return len(batch.readings) > 1 and abs(batch.readings[-1] - batch.readings[-2]) <= CONFIRMED_WITHIN_BRIX
