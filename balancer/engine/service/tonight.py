"""What everyone pours tonight: every open batch against the menu."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from balancer.brief import brief
from balancer.engine.batch.contents import Unsaid, unsaid
from balancer.engine.batch.history import night_of
from balancer.engine.batch.notes import is_confirmed
from balancer.engine.batch.now import InUse, in_use
from balancer.engine.drink.bar import Bar
from balancer.engine.service.bottle_serve import last_day_of
from balancer.engine.service.bottled import Bottled, Rescue, find_bottled_batch, rescue
from balancer.engine.service.juices import JuiceTonight, juice_tonight
from balancer.engine.service.menu import Menu
from balancer.engine.service.rescale import DrinkRow, Rescale, rescale
from balancer.errors import BalancerError, CannotError
from balancer.models.batch import Batch, LogEntry
from balancer.models.drink import Drink


@dataclass(frozen=True, slots=True)
class BatchTonight:
    """One open batch of a syrup, and what it means for the menu."""

    batch: Batch
    rescale: Rescale

    __repr__ = brief


@dataclass(frozen=True, slots=True)
class BottleTonight:
    """A drink that is poured from a bottle, so that nobody pours its syrup tonight.

    rescue  what to add to it, when its syrup has turned out not to be what it was taken for; else None
    """

    drink: Drink
    item: Bottled
    rescue: Rescue | None


@dataclass(frozen=True)
class Tonight:
    """The night's answer.

    now         what is in use; batches past their last day are told there, and have no row
    batches     open batches of syrups with a strength, in the order of opening; juices those with a measured acid
    impossible  open batches that no such syrup or juice can be, and why
    standard    syrups the menu pours that have no open batch with a strength: taken as standard
    assumed     those of them with a drink that is written for another strength, against the menu
    bottled     drinks that have no row, because they are in a bottle
    menu        with every syrup as it counts
    unsaid      open batches that the cards do not tell of: in the place of another syrup, or with other allergens
    """

    night: date
    now: InUse
    batches: tuple[BatchTonight, ...]
    juices: tuple[JuiceTonight, ...]
    impossible: tuple[tuple[Batch, str], ...]
    standard: tuple[str, ...]
    assumed: tuple[Rescale, ...]
    bottled: tuple[BottleTonight, ...]
    menu: Menu
    unsaid: tuple[Unsaid, ...] = ()

    __repr__ = brief

    @property
    def rows(self) -> tuple[tuple[BatchTonight, DrinkRow], ...]:
        """One row for each drink and open batch."""
        return tuple((item, row) for item in self.batches for row in item.rescale.rows)

    @cached_property
    def replaced(self) -> frozenset[str]:
        """Ids of the syrups in whose place a batch of another one is open."""
        return frozenset(liquid for one in self.unsaid for liquid in one.gained.in_place_of)

    @property
    def believed(self) -> tuple[BatchTonight, ...]:
        """The batches to pour by: not those that are to be read again or discarded first."""
        return tuple(item for item in self.batches if not item.rescale.advice.is_unsure)

    @cached_property
    def moved(self) -> dict[str, Drink]:
        """Drinks that pour something otherwise than written, syrup or juice, by id."""
        found = {row.drink.id: row.drink for row in self._rows_to_pour_by if row.verdict == "new pour"}
        found |= {row.drink.id: row.drink for juice in self.juices for row in juice.moved}
        return found

    @cached_property
    def unreached(self) -> dict[str, Drink]:
        """Drinks that no pour is right for, by id."""
        rows = [row for row in self._rows_to_pour_by if row.is_to_blame]
        return {row.drink.id: row.drink for row in (*rows, *(row for _, row in self.unblamed))}

    @cached_property
    def unblamed(self) -> tuple[tuple[str, DrinkRow], ...]:
        """Drinks that no pour is right for though no bottle to pour by is to blame: the batch, and its row.

        What else they pour has only bottles that are read again or discarded first: its row as it is at standard, and
        no batch. Else they are off beside one of several bottles of a syrup, for something else that they pour.
        """
        blamed = {row.drink.id for row in self._rows_to_pour_by if row.is_to_blame}
        beside = {
            row.drink.id: (item.batch.id, row)
            for item in self.believed
            for row in item.rescale.rows
            if row.verdict == "out of reach" and row.drink.id not in blamed
        }
        found: list[tuple[str, DrinkRow]] = []
        for syrup in (each for each in self.standard if any(item.batch.liquid == each for item in self.batches)):
            drinks = [drink for drink, _ in self.menu.pouring.get(syrup, ()) if drink.id in beside]
            if drinks:
                bar = self.menu.bar
                rows = rescale(bar, syrup, bar.standard(syrup), drinks, menu=self.menu).rows
                found += [("", row) for row in rows if row.is_to_blame]
        told = {row.drink.id for _, row in found}
        return (*found, *(one for identity, one in beside.items() if identity not in told))

    @cached_property
    def unhelped(self) -> dict[str, Drink]:
        """Those that correcting their syrup to its standard would not help: they are written for another strength."""
        kept = [item.rescale for item in self.believed if item.rescale.advice.word != "correct the batch"]
        rows = [row for result in (*kept, *self.assumed) for row in result.rows if row.is_to_blame]
        return {row.drink.id: row.drink for row in (*rows, *(row for _, row in self.unblamed))}

    @property
    def _rows_to_pour_by(self) -> list[DrinkRow]:
        return [row for result in (*(item.rescale for item in self.believed), *self.assumed) for row in result.rows]

    @cached_property
    def as_written(self) -> tuple[Drink, ...]:
        """Drinks that pour what is open and measured tonight, every pour as written."""
        poured = {row.drink.id: row.drink for item in self.batches for row in item.rescale.rows}
        poured |= {row.drink.id: row.drink for juice in self.juices for row in juice.rows}
        doubted = {row.drink.id for item in self.batches if item.rescale.advice.is_unsure for row in item.rescale.rows}
        others = {*self.moved, *self.unreached, *doubted}
        others |= {drink.id for drink in poured.values() if any(pour.of in self.replaced for pour in drink.pours)}
        return tuple(drink for identity, drink in poured.items() if identity not in others)


def tonight(
    bar: Bar,
    batches: Iterable[Batch],
    night: date,
    bottles: Iterable[Bottled] = (),
    entries: Sequence[LogEntry] = (),
) -> Tonight:
    """What to do about every open batch, and what every drink pours.

    batches  as the log has them
    night    the date the night began
    bottles  as the log has them; a drink in a bottle is left out until the bottle's last day of use
    entries  of the log: they tell what was opened in the place of what
    With two open batches of one syrup each gets its own rows; for the drinks of other syrups the one
    opened first counts, never a combination. A syrup without an open batch is taken as standard.
    """
    listed = list(batches)
    bottled = tuple(_bottles(bar, listed, night, bottles))
    in_bottles = {bottle.drink.id for bottle in bottled}
    made = [drink for drink in bar.specs.drinks.values() if drink.id not in in_bottles]
    now = in_use(bar, listed, night)
    menu = Menu(bar, now.strengths)
    found: list[BatchTonight] = []
    impossible = list(now.impossible)
    for batch in now.read():
        try:
            result = rescale(
                bar,
                batch.liquid,
                batch.brix or 0.0,
                made if in_bottles else None,
                uncertainty_brix=batch.uncertainty,
                cause=batch.cause,
                menu=menu,
                counting=None if batch == now.counting.get(batch.liquid) else menu,
                confirmed=is_confirmed(batch),
            )
        except BalancerError as error:
            impossible.append((batch, error.problems()[0].message))
        else:
            found.append(BatchTonight(batch, result))
    standard = tuple(syrup for syrup in _poured(bar) if syrup not in now.strengths)
    doubted = {item.batch.liquid for item in found}  # open, and so far off that it is read again first
    assumed = [syrup for syrup in standard if syrup not in doubted and _is_written_apart(menu, syrup)]
    juices = [juice for batch in now.measured if (juice := juice_tonight(bar, batch, made)) is not None]
    return Tonight(
        night=night,
        now=now,
        batches=tuple(found),
        juices=tuple(juices),
        impossible=tuple(impossible),
        standard=standard,
        assumed=tuple([rescale(bar, syrup, bar.standard(syrup), made, menu=menu) for syrup in assumed]),
        bottled=bottled,
        menu=menu,
        unsaid=unsaid(bar.specs, listed, entries),
    )


def all_as_written(bar: Bar, batch: Batch, batches: Iterable[Batch], day: date) -> bool:
    """Whether every drink that pours a batch, as it was read, stays as written; False where nothing tells.

    batches  as the log has them; batch is among them
    """
    if batch.brix is None or batch.liquid not in bar.specs.syrups:
        return False
    others = {key: brix for key, brix in in_use(bar, batches, day).strengths.items() if key != batch.liquid}
    try:
        result = rescale(
            bar, batch.liquid, batch.brix, uncertainty_brix=batch.uncertainty, cause=batch.cause, others=others
        )
    except CannotError:
        return False
    return bool(result.rows) and all(row.verdict == "as written" for row in result.rows)


def _bottles(bar: Bar, batches: Sequence[Batch], night: date, bottles: Iterable[Bottled]) -> Iterable[BottleTonight]:
    """The last bottle of each drink, where it is still good; one whose day is not known, on its own night only."""
    newest = {item.drink: item for item in bottles if item.drink in bar.specs.drinks and item.at is not None}
    for item in newest.values():
        if item.at is None:
            continue
        drink, batch = bar.specs.drinks[item.drink], find_bottled_batch(batches, item)
        mixed = night_of(item.at, bar.specs.house.day_ends)
        until = last_day_of(bar, drink, mixed, batch) or mixed
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


def _is_written_apart(menu: Menu, syrup_id: str) -> bool:
    """Whether a drink pours a syrup that is written for another strength than its standard."""
    liquid = menu.bar.liquid(syrup_id)
    return bool(liquid.sugar_g_per_ml) and any(
        menu.bar.is_apart(drink, syrup_id) for drink, _ in menu.pouring.get(syrup_id, ())
    )


def _poured(bar: Bar) -> dict[str, None]:
    """Ids of the syrups the menu pours, in the order of the menu."""
    syrups = bar.specs.syrups
    return {pour.of: None for drink in bar.specs.drinks.values() for pour in drink.pours if pour.of in syrups}
