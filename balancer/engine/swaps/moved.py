"""What moved between two drinks, and beside it what published tastings say is noticed.

Published bands are soft: methods differ, tasters differ by a factor of two, and every one of these studies
set two samples side by side. A guest with one glass notices less.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Final, Literal, NamedTuple, get_args

from balancer.components import COMPONENTS, Composition
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.liquid import Content
from balancer.engine.drink.totals import Contribution, Glass, contents_unknown, mix_and_serve, together
from balancer.models.drink import Drink

_SAME: Final = 1e-9

Held = Literal["sugar", "acid", "volume", "abv", "sweetness"]
"""What a swap may hold."""


class Span(NamedTuple):
    """A change in % that is only known within limits."""

    low: float
    high: float

    @property
    def middle(self) -> float:
        """Halfway between the limits."""
        return 0.5 * (self.low + self.high)


@dataclass(frozen=True, slots=True)
class Moved:
    """Changes of the served drink. None: not defined, as when there was none of it, or not known.

    What stays in the drink and is not known of sums makes a change in % of all of it smaller, by nobody knows how much.

    sugar_percent, acid_percent  of all of it in the glass
    abv_points, volume_percent   of the served drink; mix_volume_percent before ice
    sweetness                    of the sucrose it would take to be as sweet, over the published range
    at_most                      the changes in % that are upper bounds
    unknown                      what is not known of a pour that changes, so that its change is not known
    """

    sugar_percent: float | None
    acid_percent: float | None
    abv_points: float | None
    volume_percent: float | None
    mix_volume_percent: float | None
    sweetness: Span | None
    at_most: tuple[Content, ...] = ()
    unknown: tuple[Content, ...] = ()

    @property
    def is_something(self) -> bool:
        """Whether anything but the sweetness changes by more than the rounding of a float."""
        changes = (
            self.sugar_percent,
            self.acid_percent,
            self.abv_points,
            self.volume_percent,
            self.mix_volume_percent,
        )
        return any(abs(change) > _SAME for change in changes if change is not None)

    @property
    def known_volume_percent(self) -> float | None:
        """Of the served drink; before ice where its dilution is unknown."""
        return self.mix_volume_percent if self.volume_percent is None else self.volume_percent


def glass_of(drink: Drink, contributions: Sequence[Contribution]) -> Glass:
    """A drink out of its pours."""
    mix, dilution, served = mix_and_serve(drink, contributions)
    return Glass(mix, dilution, served, together(contributions), tuple(contents_unknown(contributions)))


class BeforeAndAfter:
    """What two states of a drink say of each other: as it was, as it is poured then, and what moved."""

    __slots__ = ()

    old: Glass
    new: Glass
    moved: Moved

    @property
    def volume_change_ml(self) -> float:
        """How much more there is in the glass, ml; before ice where the dilution is unknown."""
        return self.new.as_drunk.volume_ml - self.old.as_drunk.volume_ml

    @property
    def alcohol_added_g(self) -> float | None:
        """Ethanol in the glass that was not there before, g; below zero when there is less, None when not known."""
        return None if "abv" in self.moved.unknown else self.new.ethanol_g - self.old.ethanol_g


def moved(old: Glass, new: Glass, touched: Collection[str] = ()) -> Moved:
    """What changed from one drink to another.

    touched  ids of what comes, goes, or is poured otherwise
    """
    served = new.served is not None and old.served is not None
    open_ends = {(item.what, item.ingredient) for item in (*old.unknown, *new.unknown) if not item.small}
    unknown = tuple([what for what in get_args(Content) if any((what, each) in open_ends for each in touched)])
    at_most = tuple(
        [what for what in get_args(Content) if what not in unknown and any(each == what for each, _ in open_ends)]
    )
    # Of unknown alcohol the share in the glass changes with the volume.
    points_known = served and "abv" not in (*unknown, *at_most)
    return Moved(
        sugar_percent=None if "sugar" in unknown else change("sugar", old, new),
        acid_percent=None if "acid" in unknown else change("acid", old, new),
        abv_points=new.as_drunk.abv_percent - old.as_drunk.abv_percent if points_known else None,
        volume_percent=_percent(old.as_drunk.volume_ml, new.as_drunk.volume_ml) if served else None,
        mix_volume_percent=change("volume", old, new),
        sweetness=None if "sugar" in unknown else sweetness_change(old.everything, new.everything),
        at_most=at_most,
        unknown=unknown,
    )


def change(quantity: Held, old: Glass, new: Glass) -> float | None:
    """The change of one quantity in %, as a swap holds it; None when there was none of it.

    Sugar, acid and sweetness count in the whole glass, volume before ice, ABV as served. Sweetness is the
    middle of its range.
    """
    if quantity == "sugar":
        return _percent(old.sugar_g, new.sugar_g)
    if quantity == "acid":
        return _percent(old.acid_g, new.acid_g)
    if quantity == "volume":
        return _percent(old.mix.volume_ml, new.mix.volume_ml)
    if quantity == "abv":
        return _percent(old.as_drunk.abv_percent, new.as_drunk.abv_percent)
    span = sweetness_change(old.everything, new.everything)
    return span.middle if span else None


def sweetness_change(old: Composition, new: Composition) -> Span | None:
    """The change of sweetness in %, lowest and highest over the published range of every sugar; None without sugar.

    One sugar is equally sweet in both drinks, whatever it is. A quotient of sums is at its extremes where
    every factor is at one of its ends, so all combinations of ends are looked at.
    """
    before, after, ends = 0.0, 0.0, []
    for grams, new_grams, component in zip(old, new, COMPONENTS, strict=True):
        low, _, high = component.sweetness
        if low == high:
            before += low * grams
            after += low * new_grams
        elif grams or new_grams:
            ends.append(((low * grams, low * new_grams), (high * grams, high * new_grams)))
    found = []
    for corner in product(*ends):
        base = before + sum([pair[0] for pair in corner])
        if base <= 0.0:
            return None
        found.append(100.0 * ((after + sum([pair[1] for pair in corner])) / base - 1.0))
    return Span(min(found), max(found))


def _percent(old: float, new: float) -> float | None:
    return 100.0 * (new / old - 1.0) if old else None


@dataclass(frozen=True, slots=True)
class Threshold:
    """A published change that tasters noticed, side by side. unit: % of the reference, or % vol."""

    row: str
    low: float
    high: float
    unit: str
    where: str
    source: str

    @property
    def middle(self) -> float:
        """Halfway between the published figures."""
        return 0.5 * (self.low + self.high)


THRESHOLDS: Final[dict[Held, Threshold]] = {
    "sugar": Threshold(
        "nectar_jnd", 4.20, 8.14, "%", "added sugar in fruit nectars", "Food Research International (2018) 107:371-377"
    ),
    "acid": Threshold(
        "cit_suc_npj", 9.53, 17.96, "%", "citric acid with sucrose in water", "npj Science of Food (2022) 6:33"
    ),
    "abv": Threshold(
        "etoh_wine_white",
        1.03,
        1.20,
        "% vol",
        "ethanol in white wine, in the mouth",
        "Yu P, Pickering GJ (2008) Am J Enol Vitic 59",
    ),
}
"""The published setting nearest to a mixed drink; rows of tests/reference/facts/difference_thresholds.csv."""

MOST_GUESTS_PERCENT: Final = 20.0
MOST_GUESTS_POINTS: Final = 4.0
"""A change that most guests are likely to notice, in % and in % vol (judged from the published figures together)."""

# Our judgement of the published figures together: lowest change in % or % vol, and what to expect from there on.
NOT_NOTICED: Final = "not expected to be noticed"
_WORDS: Final = (
    (MOST_GUESTS_PERCENT, "likely noticed by most guests"),
    (10.0, "likely noticed by a trained taster"),
    (5.0, "may be noticed side by side"),
    (0.0, NOT_NOTICED),
)
_ABV_WORDS: Final = (
    (MOST_GUESTS_POINTS, "likely noticed by most guests"),
    (1.0, "may be noticed side by side"),
    (0.0, NOT_NOTICED),
)


class Noticed(NamedTuple):
    """One quantity as it tastes: its change per 100 ml of the served drink (% vol for the ABV), in words."""

    quantity: Held
    change: float
    words: str
    threshold: Threshold

    @property
    def may_be(self) -> bool:
        """Whether anybody is expected to notice it."""
        return self.words != NOT_NOTICED


def noticed(old: Glass, new: Glass) -> tuple[Noticed, ...]:
    """Sugar, acid and ABV of the served drink as tasted; what cannot be told, or is known in part, is left out."""
    if old.served is None or new.served is None or not old.served.volume_ml or not new.served.volume_ml:
        return ()
    thinner = old.served.volume_ml / new.served.volume_ml
    found = []
    pairs: tuple[tuple[Literal["sugar", "acid"], float, float], ...] = (
        ("sugar", old.sugar_g, new.sugar_g),
        ("acid", old.acid_g, new.acid_g),
    )
    for quantity, before, after in pairs:
        tasted = _percent(before, thinner * after)
        if tasted is not None and not (old.is_least(quantity) or new.is_least(quantity)):
            found.append(Noticed(quantity, tasted, words_for(tasted), THRESHOLDS[quantity]))
    points = new.served.abv_percent - old.served.abv_percent
    if (old.ethanol_g or new.ethanol_g) and not (old.is_least("abv") or new.is_least("abv")):
        found.append(Noticed("abv", points, _said(points, _ABV_WORDS), THRESHOLDS["abv"]))
    return tuple(found)


def words_for(percent: float) -> str:
    """What to expect of a change of sugar or acid per 100 ml.

    >>> words_for(-7.0)
    'may be noticed side by side'
    """
    return _said(percent, _WORDS)


def _said(change: float, bands: Sequence[tuple[float, str]]) -> str:
    return next(words for least, words in bands if round(abs(change), 9) >= least)


@dataclass(frozen=True, slots=True)
class Fill:
    """How full a glass is, ice not counted: the glass in ml, before and after in ml."""

    glass: str
    glass_ml: float
    before_ml: float
    after_ml: float

    @property
    def overflows(self) -> bool:
        """Whether the drink alone is more than the glass holds."""
        return self.after_ml > self.glass_ml

    @property
    def after_percent(self) -> float:
        """What the drink fills of the glass, in %."""
        return 100.0 * self.after_ml / self.glass_ml


def fill(bar: Bar, drink: Drink, old: Glass, new: Glass) -> Fill | None:
    """The glass before and after; None when the glass or the dilution is unknown."""
    size = bar.glass_ml(drink.glass)
    if size is None or old.served is None or new.served is None:
        return None
    return Fill(drink.glass or "", size, old.served.volume_ml, new.served.volume_ml)
