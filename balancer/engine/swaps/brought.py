"""What each liquid changes between two drinks, and which of them is behind the change of a quantity."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import inf, log
from typing import Final, Literal, NamedTuple

from balancer.components import COMPONENTS, ETHANOL, NOTHING, Composition, acid_as_citric_g, sugar_g
from balancer.engine.drink.liquid import Liquid
from balancer.engine.drink.totals import Contribution

Sum = Literal["sugar", "sweetness", "acid", "abv"]
"""What adds up in grams: sugar, the sucrose that is as sweet, acid as citric, ethanol."""

Why = Literal["comes", "goes", "more", "less", "volume"]
"""Why something changes: a liquid comes, goes, or is poured otherwise; or the same is in another volume."""

_SAME_G: Final = 1e-9
_INSTEAD: Final = 0.5
"""What comes stands in for what goes from this share of it on."""


class Origin(NamedTuple):
    """What is behind a change. liquid: None where it is the volume."""

    liquid: Liquid | None
    why: Why


@dataclass(frozen=True, slots=True)
class Brought:
    """One liquid before and after, g by component; None where the drink does not pour it."""

    liquid: Liquid
    before: Composition | None
    after: Composition | None

    @property
    def why(self) -> Why:
        """What happens to it."""
        if self.before is None:
            return "comes"
        if self.after is None:
            return "goes"
        return "more" if sum(self.after) > sum(self.before) else "less"

    @property
    def apart(self) -> Composition:
        """What it changes, g by component."""
        return tuple([b - a for a, b in zip(self.before or NOTHING, self.after or NOTHING, strict=True)])

    @property
    def stays(self) -> bool:
        """Whether it is poured as it was."""
        both = self.before is not None and self.after is not None
        return both and all(abs(grams) <= _SAME_G for grams in self.apart)

    def changes(self, what: Sum) -> float:
        """What it changes of a quantity, g."""
        return grams_of(what, self.apart)

    @property
    def sweetness_spread(self) -> float:
        """How far sources put what it changes of the sweetness apart, g of sucrose."""
        ends = zip(self.apart, COMPONENTS, strict=True)
        return sum([abs(grams) * (row.sweetness[2] - row.sweetness[0]) for grams, row in ends])


def grams_of(what: Sum, grams: Composition) -> float:
    """So much of a quantity, g. Sweetness by the usual published figure of every sugar."""
    if what == "sugar":
        return sugar_g(grams)
    if what == "acid":
        return acid_as_citric_g(grams)
    if what == "abv":
        return grams[ETHANOL]
    return sum([mass * row.sweetness[1] for mass, row in zip(grams, COMPONENTS, strict=True)])


def brought(old: Iterable[Contribution], new: Iterable[Contribution]) -> tuple[Brought, ...]:
    """Every liquid of two drinks, those of the old one first."""
    before, after = ({part.pour.of: part for part in parts} for parts in (old, new))
    found = []
    for identity in {**before, **after}:
        was, now = before.get(identity), after.get(identity)
        liquid = (now or before[identity]).liquid
        found.append(Brought(liquid, was.grams if was else None, now.grams if now else None))
    return tuple(found)


def origin_of(what: Sum, parts: Iterable[Brought], before_g: float, after_g: float, thinner: float) -> Origin:
    """What changes a quantity in 100 ml most: a liquid, or the volume that the same is in.

    thinner  the volume before over the one after
    Rule:    the volume, where it changes the figure more than the grams do; else the liquid that changes most of them
             in the direction of the whole. Where that goes, what comes in its place is named: its pour can be chosen
    """
    by_grams = abs(log(after_g / before_g)) if before_g > _SAME_G and after_g > _SAME_G else inf
    net = after_g - before_g
    if abs(net) <= _SAME_G or by_grams < abs(log(thinner)):
        return Origin(None, "volume")
    changes = [(part.changes(what), part) for part in parts]
    grams, most = max(changes, key=lambda item: (net * item[0], item[1].liquid.id))
    if most.why == "goes":
        comes = [(abs(each), part) for each, part in changes if part.why == "comes"]
        instead = max(comes, key=lambda item: (item[0], item[1].liquid.id), default=None)
        if instead and instead[0] >= _INSTEAD * abs(grams):
            return Origin(instead[1].liquid, "comes")
    return Origin(most.liquid, most.why)


def most_doubtful(parts: Iterable[Brought]) -> Origin:
    """The liquid whose sugars sources put furthest apart; of equals the one that comes.

    Raises ValueError where there is none.
    """
    found = max(parts, key=lambda part: (part.sweetness_spread, part.why == "comes", part.liquid.id))
    return Origin(found.liquid, found.why)
