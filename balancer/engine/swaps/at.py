"""At which strengths a swap is worked out: as the specs are written, or tonight as the open batches read."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final, Literal, NamedTuple

from balancer.components import OTHER_SOLIDS
from balancer.engine.batch.now import InUse
from balancer.engine.drink.bar import Bar, Strengths
from balancer.engine.drink.liquid import Liquid
from balancer.engine.drink.totals import Contribution
from balancer.errors import CannotError
from balancer.models.batch import Batch

_DIGITS: Final = 9

Setting = Literal["standard", "tonight"]


class Strength(NamedTuple):
    """How strong a syrup is: °Bx, and the open batch that was read; no batch at standard.

    also_open  other batches of it in use, opened later or without a strength, so that this one counts
    """

    brix: float
    batch: str | None = None
    also_open: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class At:
    """The strengths that a swap, a list of what fits, an aim and a comparison are worked out at.

    setting     standard: for the spec, every syrup at its standard; tonight: each as its open batch was read
    read        of every syrup that has a batch that counts tonight, by id; every other one is at its standard
    past        of every syrup whose open batches are all past their last day, the ids of those
    made_up     id of a syrup that does not exist yet, and is as strong as somebody says
    unbelieved  of every syrup whose open batches were read, and none is believed, the ids of those
    """

    setting: Setting
    read: Mapping[str, Strength] = field(default_factory=dict)
    past: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    unbelieved: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    made_up: str | None = None

    @property
    def is_tonight(self) -> bool:
        """Whether open batches count."""
        return self.setting == "tonight"

    @property
    def strengths(self) -> Strengths:
        """°Bx of every syrup that is not at standard."""
        return {syrup_id: strength.brix for syrup_id, strength in self.read.items()}

    def strength(self, bar: Bar, identity: str) -> Strength | None:
        """How strong a syrup is taken to be; None of what is no syrup."""
        if identity not in bar.specs.syrups:
            return None
        return self.read.get(identity) or Strength(bar.standard(identity))

    def poured(self, bar: Bar, identity: str, drink: Iterable[Contribution]) -> Strength | None:
        """The same of a syrup in a drink: where that pours it already and nobody read it, as strong as it is there."""
        if identity in bar.specs.syrups and identity not in self.read:
            for part in drink:
                if part.pour.of == identity:
                    return Strength(_brix_of(part.liquid))
        return self.strength(bar, identity)

    def coming(self, bar: Bar, identity: str, drink: Iterable[Contribution] = ()) -> Strength | None:
        """The same of a syrup that comes in.

        Raises CannotError of one of which nothing is open but what is past its last day.
        """
        self.check_not_past(bar, identity)
        return self.poured(bar, identity, drink)

    def check_not_past(self, bar: Bar, identity: str) -> None:
        """Raises CannotError of a syrup of which nothing is open but what is past its last day."""
        past = self.past.get(identity)
        if past:
            name, ids = bar.specs.name_of(identity), " and ".join(past)
            raise CannotError(
                "past-date",
                f"{ids} is past its last day, and no other {name} is open"
                if len(past) == 1
                else f"{ids} are past their last day, and no other {name} is open",
                f"discard {ids}, open a fresh batch, or leave out --tonight for the spec",
            )

    def inventing(self, syrup_id: str) -> At:
        """The same with a syrup that does not exist yet."""
        return replace(self, made_up=syrup_id)

    def pouring(self, syrup_id: str, strength: Strength) -> At:
        """The same night with one batch of a syrup poured, whichever else of it is open."""
        return replace(self, read={**self.read, syrup_id: strength})


STANDARD: Final = At("standard")
"""For the spec."""


def tonight(bar: Bar, now: InUse) -> At:
    """As the open batches read, never one past its last day; of two of one syrup the first opened counts."""
    syrups = bar.specs.syrups
    read = {
        syrup_id: Strength(batch.brix, batch.id, _also_open(now, batch))
        for syrup_id, batch in now.counting.items()
        if syrup_id in syrups and batch.brix is not None
    }
    usable = {batch.liquid for batch in now.usable}
    doubted = [batch for batch in now.unsure if batch.liquid not in read]
    doubted += [batch for batch, _ in now.impossible if batch.liquid not in read]
    return At(
        "tonight",
        read,
        _ids(batch for batch in now.past if batch.liquid in syrups and batch.liquid not in usable),
        _ids(batch for batch in doubted if batch.liquid in syrups),
    )


def offered(now: InUse) -> list[tuple[str, Strength]]:
    """Syrup id and strength of every batch that may be poured now and was read, the first opened first."""
    read = [batch for batch in now.read() if batch not in now.unsure]
    return [(batch.liquid, Strength(batch.brix, batch.id)) for batch in read if batch.brix is not None]


def past_syrups(bar: Bar, now: InUse) -> tuple[str, ...]:
    """Ids of open batches of syrups that are past their last day, so that they are neither counted nor offered."""
    return tuple(batch.id for batch in now.past if batch.liquid in bar.specs.syrups)


def _brix_of(syrup: Liquid) -> float:
    """The strength of a syrup by what it holds, °Bx; rounded, so that 50 stays 50."""
    return round(100.0 * (syrup.sugar_per_g + syrup.per_g[OTHER_SOLIDS]), _DIGITS)


def _also_open(now: InUse, batch: Batch) -> tuple[str, ...]:
    return tuple(other.id for other in now.usable if other.liquid == batch.liquid and other.id != batch.id)


def _ids(batches: Iterable[Batch]) -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for batch in batches:
        found[batch.liquid] = (*found.get(batch.liquid, ()), batch.id)
    return found


def concerned(
    bar: Bar, at: At, liquids: Iterable[Liquid], drink: Sequence[Contribution] = ()
) -> tuple[tuple[Liquid, Strength], ...]:
    """The syrups among some liquids, each once, and how strong each was taken to be in a drink."""
    found = {liquid.id: (liquid, at.poured(bar, liquid.id, drink)) for liquid in liquids}
    return tuple((liquid, strength) for liquid, strength in found.values() if strength is not None)
