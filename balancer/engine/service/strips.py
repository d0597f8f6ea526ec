"""Which open bottles need a strip on the rail tonight, what it says, and why the others get none."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Final, Literal, NamedTuple

from balancer.engine.batch.contents import Gained, brings, gained
from balancer.engine.batch.history import CLOSED
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.jigger import SAME_ML, weighed_step_g
from balancer.engine.drink.liquid import ingredient_liquid
from balancer.engine.service.decision import best_pour
from balancer.engine.service.rescale import DrinkRow, Rescale
from balancer.engine.service.tonight import BatchTonight, JuiceTonight, Tonight
from balancer.models.batch import Batch, LogEntry
from balancer.models.drink import Drink
from balancer.models.ingredient import Ingredient
from balancer.models.pour import RINSE
from balancer.models.syrup import Syrup

_UNSURE: Final = ("read again", "pull")
_FAR: Final = 0.5
"""Two syrups searched together may move by more than half to share one drink's sugar; a person decides on that."""

Why = Literal[
    "as written", "correct", "read again", "pull", "past", "two open", "not read", "impossible", "free pour",
    "not open", "closed", "unknown",
]  # fmt: skip
"""Why a batch has no strip.

as written  nothing that it is poured in changes
correct     it is to be corrected, and there are no pours until then
two open    of a juice, whose newest batch alone is reckoned with: which of them would the strip be for?
not read    its strength or acid is not in the log
free pour   the house pours freely, so that nobody is asked for a new pour
unknown     the files do not know what it is
"""


class Conversion(NamedTuple):
    """A written pour and what to pour instead, ml; in g where in_grams."""

    spec: float
    poured: float
    in_grams: bool = False

    @property
    def moves(self) -> bool:
        """Whether there is anything to pour instead."""
        return abs(self.poured - self.spec) > SAME_ML


class OwnPour(NamedTuple):
    """A drink that the conversions are not for, because another syrup of it is off too."""

    drink: Drink
    pour: Conversion


@dataclass(frozen=True, slots=True)
class Strip:
    """What is taped beside one open bottle.

    until        the bottle is empty, or it is corrected
    conversions  ascending, those in grams last; empty when the strip is there for its allergens only
    own_pours    drinks whose pours were searched together with another syrup's
    ask          drinks that no pour of the jigger is right for, and those of two syrups when the other one is in doubt
                 or a pour would move by more than half
    gained       what the cards do not say of it; allergens_unknown: of something in it, whether the cards say so or not
    also_open    ids of the other batches of its syrup that are open and good: the strip is not for those
    """

    batch: Batch
    source: Syrup | Ingredient
    until: Literal["empty", "corrected"]
    conversions: tuple[Conversion, ...]
    own_pours: tuple[OwnPour, ...]
    ask: tuple[Drink, ...]
    gained: Gained
    allergens_unknown: bool
    also_open: tuple[str, ...] = ()


class NoStrip(NamedTuple):
    """A batch without a strip, and why.

    name    of its syrup or juice
    reason  one sentence where the advice has one, else empty
    result  the batch against the menu, where it was read
    gained  what the cards do not say of it, all the same
    """

    batch: Batch
    name: str
    why: Why
    reason: str
    result: Rescale | None
    gained: Gained


@dataclass(frozen=True, slots=True)
class Strips:
    """The strips of a night, in the order of opening, juices last; and the batches that have none."""

    night: date
    strips: tuple[Strip, ...]
    without: tuple[NoStrip, ...]


def strips(
    bar: Bar,
    result: Tonight,
    batches: Collection[Batch],
    entries: Sequence[LogEntry] = (),
    only: Iterable[Batch] | None = None,
) -> Strips:
    """The strips of a night.

    result   the night's answer; batches and entries as the log has them
    only     these batches; every open one when None
    A bottle has a strip when a pour from it changes, or when it brings an allergen that a card does not say. One
    that is not to be poured never has one.
    """
    asked = [batch for batch in batches if batch.state == "open"] if only is None else list(only)
    order = [*[item.batch.id for item in result.batches], *[juice.batch.id for juice in result.juices]]
    place = {identity: number for number, identity in enumerate(order)}
    asked.sort(key=lambda batch: place.get(batch.id, len(place)))
    found: list[Strip] = []
    without: list[NoStrip] = []
    doubtful = _doubtful(result)
    for batch in asked:
        source = bar.specs.find_liquid(batch.liquid)
        item = next((item for item in result.batches if item.batch.id == batch.id), None)
        juice = next((juice for juice in result.juices if juice.batch.id == batch.id), None)
        new = gained(bar.specs, batch, batches, entries)
        why, reason = _refusal(bar, result, batch, item)
        if why is None and source is not None:
            unknown = bool(brings(bar.specs, batch, batches).unknown)
            strip = replace(
                _strip(bar, batch, source, item, juice, doubtful, new, unknown), also_open=_also_open(result, batch)
            )
            if strip.conversions or any(own.pour.moves for own in strip.own_pours) or new.any:
                found.append(strip)
                continue
            why, reason = _no_pours(bar, item, juice)
        name = source.name if source else batch.liquid or "unknown syrup"
        without.append(NoStrip(batch, name, why or "unknown", reason, item.rescale if item else None, new))
    return Strips(result.night, tuple(found), tuple(without))


def _refusal(bar: Bar, result: Tonight, batch: Batch, item: BatchTonight | None) -> tuple[Why | None, str]:
    """Why no bartender should pour by a strip of this batch; None when one may."""
    if batch.state in CLOSED:
        return "closed", ""
    if batch.liquid not in bar.specs.syrups and batch.liquid not in bar.specs.ingredients:
        return "unknown", ""
    if batch.state != "open":
        return "not open", ""
    if batch in result.past:
        return "past", ""
    if batch.liquid in bar.specs.ingredients and any(batch in group for group in result.doubled):
        return "two open", ""
    impossible = next((why for other, why in result.impossible if other.id == batch.id), None)
    if impossible is not None:
        return "impossible", impossible
    if item is not None and item.rescale.advice.word in _UNSURE:
        return ("pull" if item.rescale.advice.word == "pull" else "read again"), item.rescale.advice.reason
    return None, ""


def _also_open(result: Tonight, batch: Batch) -> tuple[str, ...]:
    groups = [group for group in result.doubled if batch in group]
    return tuple(other.id for group in groups for other in group if other != batch and other not in result.past)


def _no_pours(bar: Bar, item: BatchTonight | None, juice: JuiceTonight | None) -> tuple[Why, str]:
    """Why a batch that may be poured has nothing to say."""
    if item is None and juice is None:
        return "not read", ""
    is_free = bar.specs.house.pour_style == "free"
    if item is not None and item.rescale.advice.word == "correct the batch":
        return "correct", item.rescale.advice.reason
    if is_free and juice is not None and juice.conversions:
        return "free pour", ""
    return "as written", ""


def _doubtful(result: Tonight) -> set[str]:
    """Ids of the syrups whose open batch is not to be relied on in a drink with another syrup."""
    batches = [item.batch for item in result.batches if item.rescale.advice.word in _UNSURE]
    batches += [*result.past, *[batch for group in result.doubled for batch in group]]
    return {batch.liquid for batch in batches}


def _strip(
    bar: Bar,
    batch: Batch,
    source: Syrup | Ingredient,
    item: BatchTonight | None,
    juice: JuiceTonight | None,
    doubtful: Collection[str],
    new: Gained,
    unknown: bool,
) -> Strip:
    conversions: tuple[Conversion, ...] = ()
    own_pours: list[OwnPour] = []
    ask: list[Drink] = []
    to_correct = False
    if item is not None:
        result = item.rescale
        to_correct = result.advice.word == "correct the batch"
        conversions = conversions_of(result)
        said = {(one.spec, one.in_grams) for one in conversions}
        for row in result.rows:
            own = _conversion(row, result, row.rounded.poured_ml)
            stands_here = (own.spec, own.in_grams) in said
            # What the other syrup pours was reckoned with a strength that nobody believes.
            in_doubt = not set(row.together_with).isdisjoint(doubtful)
            if row.rounded.verdict == "out of reach" or in_doubt or (row.together_with and _is_far(row)):
                ask.append(row.drink)
            elif (row.together_with and (own.moves or stands_here)) or (row.pour.fixed and stands_here):
                own_pours.append(OwnPour(row.drink, own))
    elif juice is not None:
        conversions = juice_conversions(bar, juice)
    return Strip(
        batch, source, "corrected" if to_correct else "empty", conversions, tuple(own_pours), tuple(ask), new, unknown
    )


def conversions_of(result: Rescale) -> tuple[Conversion, ...]:
    """Written and new pours of the menu: those of `Rescale.conversions`, then those that go on the scale, in g.

    On the scale too, the new weight depends only on the written one and the two strengths.
    """
    measured = [Conversion(spec, poured) for spec, poured in result.conversions]
    weighed = {
        _conversion(row, result, row.rounded.nearest_ml)
        for row in result.rows
        if row.by_weight and row.rounded.verdict == "new pour" and not (row.pour.fixed or row.together_with)
    }
    return (*measured, *sorted(one for one in weighed if one.moves))


def juice_conversions(bar: Bar, juice: JuiceTonight) -> tuple[Conversion, ...]:
    """Written and new pours of a juice at equal acid: by weight in g, none in a house that pours free."""
    house = bar.specs.house
    if house.pour_style == "free":
        return ()
    if house.pour_style == "jigger":
        return tuple(Conversion(spec, poured) for spec, poured in juice.conversions)
    if abs(juice.acid_percent) <= house.tolerance:
        return ()
    written = bar.liquid(juice.ingredient.id)
    measured = ingredient_liquid(juice.ingredient.model_copy(update={"acid": juice.batch.acid}))
    specs_ml = {
        bar.amount(pour, written)[0] or 0.0
        for drink in bar.specs.drinks.values()
        for pour in drink.pours
        if pour.of == juice.ingredient.id and not pour.fixed and pour.amount.unit != RINSE
    }
    found = []
    for spec_ml in sorted(specs_ml):
        spec_g = spec_ml * (written.density or 1.0)
        exact_g = spec_ml / (1.0 + juice.acid_percent / 100.0) * (measured.density or 1.0)
        found.append(Conversion(spec_g, best_pour(exact_g, spec_g, weighed_step_g(house)), in_grams=True))
    return tuple(one for one in found if one.moves)


def _is_far(row: DrinkRow) -> bool:
    moves = [(row.rounded.spec_ml, row.rounded.poured_ml), *[(spec, to) for _, spec, to in row.companions]]
    return any(abs(to - spec) > _FAR * spec + SAME_ML for spec, to in moves)


def _conversion(row: DrinkRow, result: Rescale, poured_ml: float) -> Conversion:
    if row.by_weight and result.batch.density:
        density = result.batch.density
        # Rounded, so that one weight reckoned in two drinks is one weight.
        return Conversion(round(row.rounded.spec_ml * density, 6), round(poured_ml * density, 6), in_grams=True)
    return Conversion(row.rounded.spec_ml, poured_ml)
