"""What a guest may notice of a change, ranked: what to taste first before the new spec is served.

Ranking: what a quantity changes in 100 ml of the served drink, over the middle of the published change that tasters
noticed side by side. Sweetness is tasted, not sugar; how sweet its sugars are is only known within published limits,
and it counts by the end further from no change. Where a drink had none of something, what comes is set over the
published amount at which tasters find it in water.

What has no published figure stands by itself: egg, cream, nuts or pulp before all (common practice: seen and felt at
once), the size of the drink behind what is measured, and last the flavours that come and go.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from balancer.brief import brief
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.liquid import Content, Liquid
from balancer.engine.drink.totals import Contribution, Glass, Totals
from balancer.engine.swaps.brought import Brought, Origin, Sum, Why, brought, grams_of, most_doubtful, origin_of
from balancer.engine.swaps.likeness import Body, is_clouded, nature
from balancer.engine.swaps.moved import NOT_NOTICED, THRESHOLDS, Held, Threshold, noticed, sweetness_change, words_for
from balancer.models.drink import Drink

TasteQuantity = Literal["sugar", "sweetness", "acid", "abv", "volume", "texture", "flavour"]
TasteUnit = Literal["%", "% vol", "g/100 ml"]

SHOWN_POINTS: Final = 5.0
"""A range of sweetness narrower than this is not shown: tasters noticed no less than 4 to 8 %."""

SEEN_PERCENT: Final = 10.0
"""A drink that is larger or smaller by this much is seen to be (judged: nothing is published)."""

DETECTED: Final[dict[Literal["sugar", "acid"], Threshold]] = {
    "sugar": Threshold(
        "suc_detect_npj", 0.424, 0.624, "g/100 ml", "sucrose found in water", "npj Science of Food (2022) 6:33"
    ),
    "acid": Threshold(
        "cit_detect_npj", 0.0057, 0.0082, "g/100 ml", "citric acid found in water", "npj Science of Food (2022) 6:33"
    ),
}
"""What is found where there was none: alone, and beside acid or sugar. Rows of difference_thresholds.csv too."""

SIDE_BY_SIDE: Final = "may be noticed side by side"
MOST_GUESTS: Final = "likely noticed by most guests"
_SURE: Final = 2.0
"""Tasters differ by a factor of two: what is twice the higher figure is found by most (judged)."""

_NOTHING_G: Final = 1e-9
_SAME_PERCENT: Final = 0.5
_ORDER: Final[tuple[TasteQuantity, ...]] = ("sweetness", "sugar", "acid", "abv")
_CONTENTS: Final[tuple[Content, ...]] = ("sugar", "acid", "abv")
_FELT: Final[tuple[Body, ...]] = ("egg", "creamy", "nut", "cloudy")


@dataclass(frozen=True, slots=True)
class Side:
    """One of two drinks that are compared: its spec, worked out in its bar, and its pours."""

    bar: Bar
    drink: Drink
    glass: Glass
    parts: Sequence[Contribution]


def side_of(bar: Bar, totals: Totals) -> Side:
    """A drink that is worked out already."""
    return Side(bar, totals.drink, totals, totals.contributions)


@dataclass(frozen=True, slots=True)
class Tasted:
    """One thing that a guest may notice.

    change      in 100 ml of the served drink, in `unit`; its volume in all; of a range the middle. None: not measured
    low, high   the ends where sources put the sweetness at least SHOWN_POINTS apart, else both `change`
    words       what to expect; of a range at the end further from no change
    times       that over the published change, as the ranking has it; None where nothing is published
    disagree    whether the ends of a range say different things: noticed or not, sweeter or less sweet
    subject     the liquid behind it; None where the volume is
    was_none    whether the drink had none of it
    sour_stays  whether acid changes with a sweetener, and a sour pour stays as it was
    """

    quantity: TasteQuantity
    change: float | None
    unit: TasteUnit | None
    words: str
    subject: Liquid | None
    why: Why
    low: float | None = None
    high: float | None = None
    times: float | None = None
    disagree: bool = False
    was_none: bool = False
    sour_stays: bool = False
    threshold: Threshold | None = None

    @property
    def is_range(self) -> bool:
        """Whether both ends are to be shown."""
        return self.low != self.high

    @property
    def size(self) -> float:
        """How far it changes at the end further from no change, by which it is ranked; 0 where nothing is measured."""
        return max(abs(self.low or 0.0), abs(self.high or 0.0))

    @property
    def may_be(self) -> bool:
        """Whether anybody is expected to notice it."""
        return self.words != NOT_NOTICED


@dataclass(frozen=True, slots=True)
class Tasting:
    """What to taste first.

    first   what a guest may notice, ranked
    untold  what nobody can tell: of a pour that matters it is unknown, or the dilution is
    dilution_unknown  whether it is the dilution, so that nothing can be told of 100 ml
    is_rest  whether what was asked for is left out
    """

    first: tuple[Tasted, ...]
    untold: tuple[Content, ...]
    dilution_unknown: bool
    is_rest: bool = False

    __repr__ = brief

    def besides(self, asked: Collection[Held]) -> Tasting:
        """The same without what was asked to change: who asks for it less sweet knows that it is."""
        gone: set[str] = {*asked, *(["sweetness"] if "sugar" in asked else [])}
        first = tuple([item for item in self.first if item.quantity not in gone])
        untold = tuple([what for what in self.untold if what not in gone])
        return Tasting(first, untold, self.dilution_unknown, is_rest=True)

    def says(self, *quantities: TasteQuantity) -> bool:
        """Whether one of some quantities may be noticed."""
        return any(item.quantity in quantities for item in self.first)


def taste(old: Side, new: Side) -> Tasting:
    """What a guest may notice between two drinks, ranked, and what nobody can tell."""
    texture, flavours = _texture(old, new), _flavours(old, new)
    tongue = _tongue(old, new)
    if tongue is None:
        return Tasting((*texture, *flavours), _CONTENTS, dilution_unknown=True)
    sensed = (tongue.sweetness(), tongue.amount("acid"), tongue.alcohol())
    found = [item for item in sensed if item is not None and item.may_be]
    found.sort(key=lambda item: (-(item.times or 0.0), _ORDER.index(item.quantity)))
    untold = tuple([what for what in _CONTENTS if not tongue.can_tell(what)])
    return Tasting((*texture, *found, *tongue.volume(), *flavours), untold, dilution_unknown=False)


class _Tongue:
    """Two served drinks, and what each liquid changes between them."""

    def __init__(self, old: Side, new: Side, before_ml: float, after_ml: float) -> None:
        self.old, self.new, self.after_ml = old.glass, new.glass, after_ml
        self.parts = brought(old.parts, new.parts)
        self.thinner = before_ml / after_ml

    def in_100_ml(self, percent: float) -> float:
        """A change of all of something, in %, as it is in 100 ml."""
        return 100.0 * (self.thinner * (1.0 + percent / 100.0) - 1.0)

    def is_least(self, what: Content) -> bool:
        """Whether a sum is known in part only."""
        return self.old.is_least(what) or self.new.is_least(what)

    def can_tell(self, what: Content) -> bool:
        """Whether it is known how a quantity changes, or that the change is too small all the same.

        An unknown pour that stays gathers or thins with the volume, and all of it changes by something between that
        and what the known part does.
        """
        if not self.is_least(what):
            return True
        unknown = {item.ingredient for item in (*self.old.unknown, *self.new.unknown) if item.what == what}
        if any(part.liquid.id in unknown and not part.stays for part in self.parts):
            return False
        before, after = self._grams(what)
        if what == "abv":
            return abs(after - before) <= _NOTHING_G and abs(self.in_100_ml(0.0)) < _SAME_PERCENT
        if before <= _NOTHING_G:
            return after <= _NOTHING_G
        ends = [0.0, 100.0 * (after / before - 1.0)]
        ends += (sweetness_change(self.old.everything, self.new.everything) or ()) if what == "sugar" else ()
        return all(words_for(self.in_100_ml(end)) == NOT_NOTICED for end in ends)

    def sweetness(self) -> Tasted | None:
        """As a range where sources differ, as sugar where that is all that changes; None where nobody can tell."""
        if self.is_least("sugar"):
            return None
        sugar = self.amount("sugar")
        span = sweetness_change(self.old.everything, self.new.everything)
        if span is None or sugar is None or sugar.change is None:  # there was none
            return sugar
        low, high = self.in_100_ml(span.low), self.in_100_ml(span.high)
        middle = 0.5 * (low + high)
        is_range = high - low >= SHOWN_POINTS
        if not is_range:
            if abs(middle - sugar.change) < 0.5 * SHOWN_POINTS:
                return sugar
            low = high = middle
        far = max(low, high, key=abs)
        origin = most_doubtful(self.parts) if is_range else self._origin("sweetness")
        return Tasted(
            quantity="sweetness",
            change=middle,
            unit="%",
            words=words_for(far),
            subject=origin.liquid,
            why=origin.why,
            low=low,
            high=high,
            times=_times(far, THRESHOLDS["sugar"]),
            disagree=_verdict(low) != _verdict(high),
            threshold=THRESHOLDS["sugar"],
        )

    def amount(self, what: Literal["sugar", "acid"]) -> Tasted | None:
        """Sugar or acid in 100 ml; None where nobody can tell."""
        if self.is_least(what):
            return None
        before, after = self._grams(what)
        origin = self._origin(what)
        was_none = before <= _NOTHING_G
        unit: TasteUnit
        if was_none:
            change, unit, threshold = 100.0 * after / self.after_ml, "g/100 ml", DETECTED[what]
            words = _found_words(change, threshold)
        else:
            change, unit, threshold = self.in_100_ml(100.0 * (after / before - 1.0)), "%", THRESHOLDS[what]
            words = words_for(change)
        stays = what == "acid" and origin.why in ("comes", "goes") and any(map(_stays_sour, self.parts))
        return _measured(what, change, unit, words, origin, threshold, was_none=was_none, sour_stays=stays)

    def alcohol(self) -> Tasted | None:
        """ABV; None where nobody can tell, or there is none."""
        item = next((each for each in noticed(self.old, self.new) if each.quantity == "abv"), None)
        if item is None:
            return None
        was_none = self.old.ethanol_g <= _NOTHING_G
        return _measured(
            "abv", item.change, "% vol", item.words, self._origin("abv"), item.threshold, was_none=was_none
        )

    def volume(self) -> list[Tasted]:
        """The volume, where it is seen."""
        change = 100.0 * (1.0 / self.thinner - 1.0)
        if abs(change) < SEEN_PERCENT:
            return []
        return [Tasted("volume", change, "%", "seen in the glass", None, "volume", change, change)]

    def _grams(self, what: Sum) -> tuple[float, float]:
        return grams_of(what, self.old.everything), grams_of(what, self.new.everything)

    def _origin(self, what: Sum) -> Origin:
        before, after = self._grams(what)
        return origin_of(what, self.parts, before, after, self.thinner)


def _tongue(old: Side, new: Side) -> _Tongue | None:
    """None where a dilution is unknown, so that nothing is known of 100 ml."""
    before, after = old.glass.served, new.glass.served
    if before is None or after is None or not before.volume_ml or not after.volume_ml:
        return None
    return _Tongue(old, new, before.volume_ml, after.volume_ml)


def _measured(
    quantity: Literal["sugar", "acid", "abv"], change: float, unit: TasteUnit, words: str, origin: Origin,
    threshold: Threshold, *, was_none: bool, sour_stays: bool = False,
) -> Tasted:  # fmt: skip
    return Tasted(
        quantity,
        change,
        unit,
        words,
        origin.liquid,
        origin.why,
        low=change,
        high=change,
        times=_times(change, threshold),
        was_none=was_none,
        sour_stays=sour_stays,
        threshold=threshold,
    )


def _times(change: float, threshold: Threshold) -> float:
    return abs(change) / threshold.middle


def _found_words(g_per_100_ml: float, threshold: Threshold) -> str:
    if g_per_100_ml < threshold.low:
        return NOT_NOTICED
    return SIDE_BY_SIDE if g_per_100_ml < _SURE * threshold.high else MOST_GUESTS


def _verdict(change: float) -> int:
    """Less, not noticed, or more."""
    return 0 if words_for(change) == NOT_NOTICED else 1 if change > 0.0 else -1


def _stays_sour(part: Brought) -> bool:
    return part.stays and part.after is not None and grams_of("acid", part.after) > _NOTHING_G


def _texture(old: Side, new: Side) -> list[Tasted]:
    """What is felt that comes where there was none, or goes. Pulp shows only in a drink that is else clear."""
    before, after = _bodies(old), _bodies(new)
    if is_clouded(old.drink) or is_clouded(new.drink) or any(body != "cloudy" for body in (*before, *after)):
        before.pop("cloudy", None)
        after.pop("cloudy", None)
    come = [after[body] for body in _FELT if body in after and body not in before]
    gone = [before[body] for body in _FELT if body in before and body not in after]
    return _statements("texture", "seen and felt", come, gone)


def _bodies(side: Side) -> dict[Body, Liquid]:
    """What is felt in a drink: of each body what is poured first."""
    found: dict[Body, Liquid] = {}
    for part in side.parts:
        body = nature(side.bar, part.liquid).body
        if body in _FELT:
            found.setdefault(body, part.liquid)
    return found


def _flavours(old: Side, new: Side) -> list[Tasted]:
    """What tastes of something and comes or goes; one plain syrup for another is no other flavour."""
    return _statements("flavour", "another flavour", _only_in(new, old), _only_in(old, new))


def _only_in(side: Side, other: Side) -> list[Liquid]:
    there = {part.pour.of for part in other.parts}
    liquids = [part.liquid for part in side.parts if part.pour.of not in there]
    return [liquid for liquid in liquids if nature(side.bar, liquid).family != "plain"]


def _statements(
    quantity: Literal["texture", "flavour"], words: str, come: Sequence[Liquid], gone: Sequence[Liquid]
) -> list[Tasted]:
    found = [Tasted(quantity, None, None, words, liquid, "goes") for liquid in gone]
    return [*found, *[Tasted(quantity, None, None, words, liquid, "comes") for liquid in come]]
