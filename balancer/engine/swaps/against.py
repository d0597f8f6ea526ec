"""One drink set against another: what each holds, what moved from the other to it, and its pours beside the other's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final, Literal, NamedTuple

from balancer.brief import brief
from balancer.engine.drink.amount import Amount, amount_of, poured_in
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.liquid import Content, Liquid
from balancer.engine.drink.totals import Contribution, State, Totals, totals
from balancer.engine.swaps.moved import Held, Moved, Noticed, moved, noticed
from balancer.engine.swaps.taste import Tasting, side_of, taste
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.models.ingredient import own_unit
from balancer.models.pour import RINSE, Pour

_SAME: Final = 1e-9
_SEEN_PERCENT: Final = 5.0
"""From here on a guest sees that a glass is fuller, in % of the volume (judged)."""
_CONTENTS: Final[tuple[Content, ...]] = ("abv", "acid", "sugar")
_BY_MEASURE: Final = ("ml", "cl", "l", "oz")


class DrinkSource(NamedTuple):
    """Where the other drink is from.

    kind     of this house, of a file outside it, or as its card was printed last
    path     of that file, as it was named
    version, date  of the printed card; date in ISO 8601
    """

    kind: Literal["house", "file", "printed"] = "house"
    path: str | None = None
    version: str | None = None
    date: str | None = None


class SidePour(NamedTuple):
    """A pour of one of the two drinks.

    amount         in ml or g, as the bar pours it; None where it is counted by what is no measure of its own: a dash
    standard_brix  of a syrup, the strength it is taken at, which the pour is written for; else None
    own_standard_brix  of a syrup, its own standard, which may be another
    abv_percent    as its file has it; None where it does not say
    """

    pour: Pour
    liquid: Liquid
    volume_ml: float | None
    mass_g: float
    amount: Amount | None
    standard_brix: float | None
    own_standard_brix: float | None
    abv_percent: float | None
    is_top: bool


Differs = Literal["amount", "strength", "standard", "abv", "content", "top"]
"""In what two pours of one thing differ: how much, the strength it is written for or the syrup's own standard alone,
its ABV, other figures, before or after the ice."""


class BesidePours(NamedTuple):
    """A pour of either drink beside the same of the other; None where that one does not pour it.

    differs  empty where both pour the same of the same
    """

    id: str
    name: str
    ours: SidePour | None
    theirs: SidePour | None
    differs: tuple[Differs, ...]

    @property
    def is_same(self) -> bool:
        """Whether both pour the same of the same."""
        return self.ours is not None and self.theirs is not None and not self.differs

    @property
    def holds_the_same(self) -> bool:
        """Whether both bring the same into the drink, whatever the syrup's own standard is."""
        return self.ours is not None and self.theirs is not None and set(self.differs) <= {"standard"}


class SaidOtherwise(NamedTuple):
    """What the two specs say differently; None where one says nothing."""

    what: str
    ours: str | None
    theirs: str | None


@dataclass(frozen=True)
class Against:
    """Two drinks side by side. Every change is from the other drink to this one.

    ours, theirs    the drink and the other one
    their_house     whose measures the other is worked out in; another than ours for a printed one
    moved           as of a swap
    noticed         sugar, acid and ABV as tasted; empty where a dilution is unknown
    tasting         what a guest may notice of it, ranked
    gained, lost    allergens that only this one, only the other has
    unknown         names of what only this one pours, or has as an extra, whose allergens nobody knows
    pours           in the order of this spec, then what only the other pours
    said            what else of the specs differs
    """

    ours: Totals
    theirs: Totals
    their_house: House
    origin: DrinkSource
    moved: Moved
    noticed: tuple[Noticed, ...]
    tasting: Tasting
    gained: tuple[str, ...]
    lost: tuple[str, ...]
    unknown: tuple[str, ...]
    pours: tuple[BesidePours, ...]
    said: tuple[SaidOtherwise, ...]

    __repr__ = brief

    @property
    def is_same_drink(self) -> bool:
        """Whether it is one drink in two versions."""
        return self.ours.drink.id == self.theirs.drink.id

    @property
    def is_alike(self) -> bool:
        """Whether nothing at all differs."""
        differs = self.gained or self.lost or self.said or not all(pair.is_same for pair in self.pours)
        return not differs and not self.moved.is_something

    @property
    def are_served(self) -> bool:
        """Whether both are known in the glass."""
        return self.ours.served is not None and self.theirs.served is not None

    @cached_property
    def mix_volume_ml(self) -> float:
        """How much more there is before ice, ml."""
        return self.ours.mix.volume_ml - self.theirs.mix.volume_ml

    @cached_property
    def volume_ml(self) -> float | None:
        """How much more there is in the glass, ml; None where a dilution is unknown."""
        if self.ours.served is None or self.theirs.served is None:
            return None
        return self.ours.served.volume_ml - self.theirs.served.volume_ml

    @cached_property
    def mix_abv_points(self) -> float | None:
        """How much stronger it is before ice, % vol; None where alcohol is unknown."""
        is_open = self.ours.is_least("abv") or self.theirs.is_least("abv")
        return None if is_open else self.ours.mix.abv_percent - self.theirs.mix.abv_percent

    @cached_property
    def ethanol_g(self) -> float | None:
        """How much more alcohol there is, g; None where a change of it is not known."""
        return None if "abv" in self.moved.unknown else self.ours.ethanol_g - self.theirs.ethanol_g

    def before_ice_percent(self, what: Literal["sugar", "acid"]) -> float | None:
        """The change of its sugar or acid before ice, in %; None where the other has none, or it is not known."""
        theirs = _grams(self.theirs, what, before_ice=True)
        if what in self.moved.unknown or not theirs:
            return None
        return 100.0 * (_grams(self.ours, what, before_ice=True) / theirs - 1.0)

    def tasted(self, what: Held) -> Noticed | None:
        """One quantity as tasted; None where it cannot be told."""
        return next((item for item in self.noticed if item.quantity == what), None)

    @cached_property
    def only_one(self) -> tuple[Content, ...]:
        """What one of the two has and the other has none of, where both are known."""
        known = [what for what in _CONTENTS if not (self.ours.is_least(what) or self.theirs.is_least(what))]
        return tuple([what for what in known if _has(self.ours, what) != _has(self.theirs, what)])

    def is_new(self, what: Content) -> bool:
        """Whether, of what only one has, it is this one that has it."""
        return _has(self.ours, what)

    @property
    def shown_volume_ml(self) -> float:
        """How much more there is in the glass, ml; before ice where a dilution is unknown."""
        return self.mix_volume_ml if self.volume_ml is None else self.volume_ml

    @property
    def is_other_volume(self) -> bool:
        """Whether there is so much more or less of it that it is seen."""
        return abs(self.moved.known_volume_percent or 0.0) >= _SEEN_PERCENT

    def differs_before_ice(self, what: Literal["sugar", "acid"]) -> bool:
        """Whether either drink has less of it before ice than in the glass, because of what tops it."""
        both = (self.ours, self.theirs)
        return any(_grams(one, what) - _grams(one, what, before_ice=True) > _SAME for one in both)


def against(bar: Bar, drink: Drink, their_bar: Bar, their_drink: Drink, origin: DrinkSource) -> Against:
    """Set a drink against another one.

    their_bar  what the other is worked out with: the same bar, or that of its time
    Raises BalancerError when one of them cannot be worked out, as `totals` does.
    """
    ours, theirs = totals(bar, drink), totals(their_bar, their_drink)
    pours = tuple(_beside(_sides(bar, ours), _sides(their_bar, theirs)))
    touched = {pair.id for pair in pours if not pair.holds_the_same}
    before, after = _without_list(theirs), _without_list(ours)
    return Against(
        ours=ours,
        theirs=theirs,
        their_house=their_bar.specs.house,
        origin=origin,
        moved=moved(theirs, ours, touched),
        noticed=noticed(theirs, ours),
        tasting=taste(side_of(their_bar, theirs), side_of(bar, ours)),
        gained=tuple([each for each in ours.allergens if each not in theirs.allergens]),
        lost=tuple([each for each in theirs.allergens if each not in ours.allergens]),
        unknown=tuple([name for each, name in after.items() if each not in before]),
        pours=pours,
        said=tuple(_said(drink, their_drink)),
    )


def _grams(of: Totals, what: Content, *, before_ice: bool = False) -> float:
    held: Totals | State = of.mix if before_ice else of
    return {"sugar": held.sugar_g, "acid": held.acid_g, "abv": held.ethanol_g}[what]


def _has(of: Totals, what: Content) -> bool:
    return _grams(of, what) > _SAME


def _without_list(of: Totals) -> dict[str, str]:
    """The name of whatever has no list of allergens, by id."""
    return {item.ingredient: item.name for item in of.unknown if item.what == "allergens"}


def _sides(bar: Bar, of: Totals) -> list[SidePour]:
    return [_side(bar, of.drink, part) for part in of.contributions]


def _side(bar: Bar, drink: Drink, part: Contribution) -> SidePour:
    pour, liquid = part.pour, part.liquid
    unit = poured_in(bar.specs.house, pour, liquid)
    is_measured = pour.amount.unit in _BY_MEASURE or pour.amount.kind == "mass"
    is_own = own_unit(liquid.each, pour.amount.unit) is not None
    amount = amount_of(part.volume_ml, part.mass_g, unit) if is_measured and not is_own else None
    is_syrup = liquid.id in bar.specs.syrups
    standard = bar.written_for(drink, liquid.id) if is_syrup else None
    own = bar.standard(liquid.id) if is_syrup else None
    abv = bar.specs.liquid(liquid.id).abv
    return SidePour(pour, liquid, part.volume_ml, part.mass_g, amount, standard, own, abv, part.is_top)


def _beside(ours: Sequence[SidePour], theirs: Sequence[SidePour]) -> list[BesidePours]:
    """Each pour of the one beside the next pour of the same thing of the other."""
    waiting = list(theirs)
    found = []
    for one in ours:
        other = next((each for each in waiting if each.liquid.id == one.liquid.id), None)
        if other is not None:
            waiting.remove(other)
        differs = _differs(one, other) if other else ()
        found.append(BesidePours(one.liquid.id, one.liquid.name, one, other, differs))
    return [*found, *(BesidePours(each.liquid.id, each.liquid.name, None, each, ()) for each in waiting)]


def _differs(one: SidePour, other: SidePour) -> tuple[Differs, ...]:
    found: list[Differs] = []
    is_rinse = [each.pour.amount.unit == RINSE for each in (one, other)]
    by_volume = one.volume_ml is not None and other.volume_ml is not None
    ours, theirs = (one.volume_ml, other.volume_ml) if by_volume else (one.mass_g, other.mass_g)
    if is_rinse[0] != is_rinse[1] or abs((ours or 0.0) - (theirs or 0.0)) > _SAME:
        found.append("amount")
    if one.standard_brix != other.standard_brix:
        found.append("strength")
    elif one.abv_percent != other.abv_percent:
        found.append("abv")
    elif _content(one.liquid) != _content(other.liquid):
        found.append("content")
    if one.standard_brix == other.standard_brix and one.own_standard_brix != other.own_standard_brix:
        found.append("standard")
    if one.is_top != other.is_top:
        found.append("top")
    return tuple(found)


def _content(liquid: Liquid) -> tuple[object, ...]:
    return (liquid.per_g, liquid.unknown, liquid.density)


def _said(drink: Drink, other: Drink) -> list[SaidOtherwise]:
    pairs = (
        ("method", drink.method, other.method),
        ("time", drink.time, other.time),
        ("glass", drink.glass, other.glass),
        ("ice", drink.ice, other.ice),
        ("strain", drink.strain, other.strain),
        ("garnish", drink.garnish, other.garnish),
        ("extras", ", ".join(drink.extras) or None, ", ".join(other.extras) or None),
    )
    return [SaidOtherwise(what, ours, theirs) for what, ours, theirs in pairs if ours != theirs]
