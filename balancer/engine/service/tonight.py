"""What everyone pours tonight: every open batch against the menu."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from balancer.engine.batch.history import night_of
from balancer.engine.drink.bar import Bar, Strengths
from balancer.engine.drink.liquid import ingredient_liquid
from balancer.engine.service.bottle import last_day
from balancer.engine.service.bottled import Bottled, Rescue, find_bottled_batch, rescue
from balancer.engine.service.decision import best_pour
from balancer.engine.service.rescale import DrinkRow, Rescale, rescale
from balancer.errors import BalancerError
from balancer.models.batch import Batch
from balancer.models.drink import Drink
from balancer.models.ingredient import Ingredient

MOST_ACID_OFF_PERCENT = 60.0
"""This far off, a titration was rather misread or mistyped than the juice so odd (judged)."""
CONFIRMED_WITHIN_BRIX = 1.0
"""Two readings this close say the same; an implausible strength read twice is the batch, not the sample."""


@dataclass(frozen=True, slots=True)
class BatchTonight:
    """One open batch of a syrup, and what it means for the menu."""

    batch: Batch
    rescale: Rescale


@dataclass(frozen=True, slots=True)
class JuiceTonight:
    """An open batch of an ingredient whose acid was measured.

    acid_percent  its acid per ml against what the specs are written for, %
    conversions   written pour and the pour nearest to equal acid, ml, for every written pour that moves
    """

    batch: Batch
    ingredient: Ingredient
    acid_percent: float
    conversions: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class BottleTonight:
    """A drink that is poured from a bottle, so that nobody pours its syrup tonight.

    rescue  what to add to it, when its syrup has turned out not to be what it was taken for; else None
    """

    drink: Drink
    item: Bottled
    rescue: Rescue | None


@dataclass(frozen=True, slots=True)
class Tonight:
    """The night's answer.

    standard    syrups the menu pours that have no open batch with a strength: taken as standard
    impossible  open batches that no such syrup can be, and why
    unread      open batches without a strength; unverified: corrected and not read since
    past        open batches after their last day of use; undated: open, and that day is not known
    doubled     open batches of one syrup, where there are several
    bottled     drinks that have no row, because they are in a bottle
    """

    night: date
    batches: tuple[BatchTonight, ...]
    juices: tuple[JuiceTonight, ...]
    impossible: tuple[tuple[Batch, str], ...]
    standard: tuple[str, ...]
    unread: tuple[Batch, ...]
    unverified: tuple[Batch, ...]
    past: tuple[Batch, ...]
    undated: tuple[Batch, ...]
    doubled: tuple[tuple[Batch, ...], ...]
    bottled: tuple[BottleTonight, ...] = ()

    @property
    def pourable(self) -> tuple[BatchTonight, ...]:
        """The batches that are not past their last day of use: only these should be poured."""
        return tuple(item for item in self.batches if item.batch not in self.past)

    @property
    def rows(self) -> tuple[tuple[BatchTonight, DrinkRow], ...]:
        """One row for each drink and open batch."""
        return tuple((item, row) for item in self.batches for row in item.rescale.rows)

    @property
    def as_written(self) -> tuple[str, ...]:
        """Names of the menu's drinks that no open batch moves, among those that pour a syrup with one."""
        rows = [row for item in self.pourable for row in item.rescale.rows]
        moved = {row.drink.id for row in rows if row.rounded.verdict != "as written"}
        return tuple({row.drink.id: row.drink.name for row in rows if row.drink.id not in moved}.values())


def tonight(bar: Bar, batches: Iterable[Batch], night: date, bottles: Iterable[Bottled] = ()) -> Tonight:
    """What to do about every open batch, and what every drink pours.

    batches  as the log has them
    night    the date the night began
    bottles  as the log has them; a drink in a bottle is left out until the bottle's last day of use
    With two open batches of one syrup each gets its own rows; for the drinks of other syrups the one
    opened first counts, never a combination. A syrup without an open batch is taken as standard.
    """
    specs = bar.specs
    listed = list(batches)
    bottled = tuple(_bottles(bar, listed, night, bottles))
    in_bottles = {bottle.drink.id for bottle in bottled}
    menu = [drink for drink in specs.drinks.values() if drink.id not in in_bottles]
    known = [batch for batch in listed if batch.liquid in specs.syrups or batch.liquid in specs.ingredients]
    open_ones = sorted((batch for batch in known if batch.state == "open"), key=_opened)
    syrups = [batch for batch in open_ones if batch.liquid in specs.syrups]
    read = [batch for batch in syrups if batch.brix is not None]
    first: Strengths = {}
    past = tuple(batch for batch in open_ones if batch.discard is not None and batch.discard < night)
    for batch in sorted(read, key=lambda batch: batch in past):  # one that is to be taken out counts last
        if batch.brix is not None and batch.liquid not in first:
            first[batch.liquid] = batch.brix
    off = {syrup: brix for syrup, brix in first.items() if brix != bar.standard(syrup) and _possible(bar, syrup, brix)}
    found: list[BatchTonight] = []
    impossible: list[tuple[Batch, str]] = []
    for batch in read:
        try:
            found.append(_batch_tonight(bar, batch, off, menu))
        except BalancerError as error:
            impossible.append((batch, error.problems()[0].message))
    juices: list[JuiceTonight] = []
    for identity, batch in _newest_juices(bar, open_ones).items():
        try:
            juice = _juice(bar, identity, batch)
        except BalancerError as error:
            impossible.append((batch, error.problems()[0].message))
            continue
        if juice is not None and not -MOST_ACID_OFF_PERCENT <= juice.acid_percent <= MOST_ACID_OFF_PERCENT:
            impossible.append((batch, f"its acid is {abs(juice.acid_percent):.0f} % off what the specs count on"))
        elif juice is not None:
            juices.append(juice)
    return Tonight(
        night=night,
        batches=tuple(found),
        impossible=tuple(impossible),
        juices=tuple(juices),
        standard=tuple(syrup for syrup in _poured(bar) if syrup not in first),
        unread=tuple(batch for batch in syrups if batch.brix is None),
        unverified=tuple(batch for batch in read if not batch.verified),
        past=past,
        undated=tuple(batch for batch in open_ones if batch.discard is None),
        doubled=_doubled(open_ones),
        bottled=bottled,
    )


def _batch_tonight(bar: Bar, batch: Batch, off: Strengths, menu: Sequence[Drink]) -> BatchTonight:
    others = {syrup: brix for syrup, brix in off.items() if syrup != batch.liquid}
    result = rescale(
        bar,
        batch.liquid,
        batch.brix or 0.0,
        menu,
        uncertainty_brix=batch.uncertainty,
        cause=batch.cause,
        others=others,
        confirmed=is_confirmed(batch),
    )
    return BatchTonight(batch, result)


def _possible(bar: Bar, syrup: str, brix: float) -> bool:
    try:
        return bar.liquid(syrup, brix).sugar_per_g > 0.0
    except BalancerError:
        return False


def _bottles(bar: Bar, batches: Sequence[Batch], night: date, bottles: Iterable[Bottled]) -> Iterable[BottleTonight]:
    """The last bottle of each drink, where it is still good; one whose day is not known, on its own night only."""
    newest = {item.drink: item for item in bottles if item.drink in bar.specs.drinks and item.at is not None}
    for item in newest.values():
        if item.at is None:
            continue
        drink, batch = bar.specs.drinks[item.drink], find_bottled_batch(batches, item)
        mixed = night_of(item.at, bar.specs.house.day_ends)
        until = last_day(bar, drink, mixed, batch) or mixed
        if mixed <= night <= until:
            yield BottleTonight(drink, item, _rescue(bar, drink, item, batch))


def _rescue(bar: Bar, drink: Drink, item: Bottled, batch: Batch | None) -> Rescue | None:
    if batch is None or item.found_brix is None or batch.liquid not in bar.specs.syrups:
        return None
    try:
        found = rescue(bar, drink, batch.liquid, item.serves, item.brix, item.found_brix)
    except BalancerError:  # the spec has changed since, or the strength is no syrup's: nothing can be said
        return None
    return found if found.add else None


def is_confirmed(batch: Batch) -> bool:
    """Whether its last two readings say the same, so that even an implausible strength is the batch's."""
    return len(batch.readings) > 1 and abs(batch.readings[-1] - batch.readings[-2]) <= CONFIRMED_WITHIN_BRIX


def _newest_juices(bar: Bar, open_ones: Sequence[Batch]) -> dict[str, Batch]:
    """The last opened batch of each ingredient with a measured acid: yesterday's juice is not tonight's."""
    return {batch.liquid: batch for batch in open_ones if batch.acid and batch.liquid in bar.specs.ingredients}


def _juice(bar: Bar, identity: str, batch: Batch) -> JuiceTonight | None:
    """A measured juice against what the specs count on; None where either has no acid."""
    ingredient = bar.specs.ingredients[identity]
    written = bar.liquid(identity)
    measured = ingredient_liquid(ingredient.model_copy(update={"acid": batch.acid}))
    if not written.acid_g_per_ml or not measured.acid_g_per_ml:
        return None
    ratio = measured.acid_g_per_ml / written.acid_g_per_ml
    specs = {
        bar.amount(pour, written)[0]
        for drink in bar.specs.drinks.values()
        for pour in drink.pours
        if pour.of == identity and not pour.fixed
    }
    moved = [(spec, best_pour(spec / ratio, spec, bar.step_ml, bar.jigger.pours)) for spec in specs if spec]
    percent = 100.0 * (ratio - 1.0)
    passes = abs(percent) <= bar.specs.house.tolerance
    conversions = () if passes else tuple(sorted((spec, pour) for spec, pour in moved if pour != spec))
    return JuiceTonight(batch, ingredient, percent, conversions)


def _poured(bar: Bar) -> dict[str, None]:
    """Ids of the syrups the menu pours, in the order of the menu."""
    syrups = bar.specs.syrups
    return {pour.of: None for drink in bar.specs.drinks.values() for pour in drink.pours if pour.of in syrups}


def _doubled(open_ones: Sequence[Batch]) -> tuple[tuple[Batch, ...], ...]:
    by_liquid: dict[str, list[Batch]] = {}
    for batch in open_ones:
        by_liquid.setdefault(batch.liquid, []).append(batch)
    return tuple(tuple(group) for group in by_liquid.values() if len(group) > 1)


def _opened(batch: Batch) -> tuple[bool, float]:
    """Oldest opening first; batches whose opening has no time come before."""
    opened: datetime | None = batch.opened
    return (opened is not None, opened.timestamp() if opened else 0.0)
