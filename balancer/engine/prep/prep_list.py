"""What prep does today: what to discard, read, correct, open first, and make."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import NamedTuple

from balancer.engine.batch.history import discard_date
from balancer.engine.batch.notes import BatchNow, describe, in_house
from balancer.engine.batch.now import in_use
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.cautions import ACID_POWDER, RAW_EGG, STRONG_ACID, leaves_out_egg
from balancer.engine.drink.cautions import cautions as cautions_of
from balancer.engine.prep.as_read import juices_in_use
from balancer.engine.prep.correct import Correction
from balancer.engine.prep.make import Making, make
from balancer.engine.prep.recipe import Item
from balancer.engine.prep.standardise import Task, standardise
from balancer.engine.prep.tub import Tub, correct
from balancer.errors import BalancerError
from balancer.models.batch import Batch
from balancer.models.syrup import Syrup

_KILOGRAM_G = 1000.0
_OF_ACID = (ACID_POWDER, STRONG_ACID)
"""Said at more length with what weighs it."""


class Ending(NamedTuple):
    """A batch whose last day of use is today or tomorrow.

    last       no other batch of it is in the house to go on with after that
    make_more  and the menu pours it, or another syrup is made of it: it runs out
    """

    item: BatchNow
    day: date
    last: bool
    make_more: bool


class Waiting(NamedTuple):
    """A batch that is not yet open.

    before    batches of it to use up first, in use or waiting: their last day is not later
    overtakes batches in use whose last day is later than its own: it should be used up before them
    """

    item: BatchNow
    before: tuple[Batch, ...]
    overtakes: tuple[Batch, ...]


class ToRead(NamedTuple):
    """A batch to read, and what its reading should be near: what the instrument shows at its standard."""

    task: Task
    shows: Correction | None


@dataclass(frozen=True, slots=True)
class Addition:
    """What to stir into a batch, in g. all_g and first_g are None when nobody logged what it weighs."""

    name: str
    per_kg_g: float
    first_per_kg_g: float
    mass_g: float | None
    all_g: float | None
    first_g: float | None


@dataclass(frozen=True, slots=True)
class ToMake:
    """A syrup that the menu pours and of which nothing that may be used is in the house, or nothing after tomorrow.

    drinks    the drinks that wait for it
    runs_out  the last day of what there still is of it, today or tomorrow; None when there is nothing
    result    its recipe worked out; None when there is none, or it cannot be worked out
    trouble   why, then; empty else
    shows     what the instrument shows at its standard; None when the file has none, or nothing tells it
    use_by    its last day of use when it is made today; None when the file does not say how long it keeps
    contains  allergens that its file or those of its parts name; unknown: what has no list of them
    cautions  of its file and of what goes into it, and raw egg, each once, with the name of what it is about
    """

    syrup: Syrup
    drinks: tuple[str, ...]
    result: Making | None
    trouble: str
    shows: Correction | None
    use_by: date | None
    contains: tuple[str, ...]
    unknown: tuple[str, ...]
    cautions: tuple[tuple[str, str], ...]
    runs_out: date | None = None

    @property
    def has_powder(self) -> bool:
        """Whether acid powder is weighed for it; by the names where the recipe cannot be worked out."""
        if self.result is not None:
            return bool(self.result.powders)
        return any("acid" in part.of.casefold().split() for part in self.syrup.recipe)


@dataclass(frozen=True, slots=True)
class Prep:
    """The day's list. A batch may be on it twice: to correct for tonight, and to discard after.

    take_out  past its last day
    far       read twice so far off that it is not the syrup it is called: discarded as well
    ending    last day today or tomorrow
    read      strength not known, not believed, or predicted
    correct   off, by `standardise`
    waiting   not yet open
    make      poured by the menu, and nothing of it in the house to go on with after tomorrow
    leave     within tolerance
    strangers batches of something the files do not know, or that did not load
    """

    today: date
    take_out: tuple[BatchNow, ...]
    far: tuple[Task, ...]
    ending: tuple[Ending, ...]
    read: tuple[ToRead, ...]
    correct: tuple[Task, ...]
    waiting: tuple[Waiting, ...]
    make: tuple[ToMake, ...]
    leave: tuple[Task, ...]
    strangers: tuple[Batch, ...]


def prep(bar: Bar, batches: Iterable[Batch], today: date) -> Prep:
    """What prep does on a working day, with the batches as the log has them."""
    held = in_house(batches)
    known = [batch for batch in held if batch.liquid in bar.specs.syrups or batch.liquid in bar.specs.ingredients]
    items = [describe(bar, batch, today) for batch in known]
    plan = standardise(bar, known, today)
    far = tuple(task for task in plan.with_todo("take out") if not task.item.past)
    out = {task.batch.id for task in far}
    usable = [item for item in items if not item.past and item.batch.id not in out]
    ending = tuple(_ending(bar, usable, today))
    return Prep(
        today=today,
        take_out=tuple(item for item in items if item.past),
        far=far,
        ending=ending,
        read=tuple(
            ToRead(task, shows_at_standard(bar, bar.specs.syrups[task.batch.liquid])) for task in plan.with_todo("read")
        ),
        correct=plan.with_todo("correct"),
        waiting=tuple(_waiting(usable)),
        make=tuple(_to_make(bar, usable, ending, today, juices_in_use(in_use(bar, held, today)))),
        leave=plan.with_todo("leave"),
        strangers=tuple(batch for batch in held if batch not in known),
    )


def addition(task: Task) -> Addition | None:
    """What to add to a batch that is to be corrected; None for any other."""
    result = task.corrected
    if result is None or result.best.additive is None:
        return None
    best, mass = result.best, result.batch.mass.value
    logged = None if task.per_kg else mass
    return Addition(
        name=result.best.additive.name,
        per_kg_g=_KILOGRAM_G * best.add_g / mass,
        first_per_kg_g=_KILOGRAM_G * best.first_add_g / mass,
        mass_g=logged,
        all_g=None if logged is None else best.add_g,
        first_g=None if logged is None else best.first_add_g,
    )


def _ending(bar: Bar, items: Sequence[BatchNow], today: date) -> Iterable[Ending]:
    wanted = _wanted(bar)
    found = [(item.batch.ends, item) for item in items if item.batch.ends and _is_soon(item.batch.ends, today)]
    for day, item in sorted(found, key=lambda pair: pair[0]):
        others = [other.batch.ends for other in items if other.batch.liquid == item.batch.liquid]
        last = all(other is not None and _is_soon(other, today) for other in others)
        yield Ending(item, day, last, last and item.batch.liquid in wanted)


def _wanted(bar: Bar) -> set[str]:
    """Ids of what the menu pours and of what its syrups are made of."""
    specs = bar.specs
    poured = {pour.of for drink in specs.drinks.values() for pour in drink.pours}
    syrups = [syrup for identity, syrup in specs.syrups.items() if identity in poured]
    parts = {specs.liquid_names.whole(part.of) or "" for syrup in syrups for part in syrup.recipe}
    return poured | parts


def _is_soon(day: date, today: date) -> bool:
    return (day - today).days in (0, 1)


def _waiting(items: Sequence[BatchNow]) -> Iterable[Waiting]:
    """Those to open, the one to be used up first before the others."""
    seen: dict[str, list[Batch]] = {}
    for item in items:  # in use first, then by last day of use
        batch, others = item.batch, seen.setdefault(item.batch.liquid, [])
        if batch.state == "made":
            later = [other for other in others if _last(other) > _last(batch)]
            yield Waiting(item, tuple(other for other in others if other not in later), tuple(later))
        others.append(batch)


def _last(batch: Batch) -> date:
    return batch.ends or date.max


def _to_make(
    bar: Bar, usable: Sequence[BatchNow], ending: Iterable[Ending], today: date, juices: Mapping[str, Batch]
) -> Iterable[ToMake]:
    # Of several batches the latest day stays, as they are in order.
    runs_out = {one.item.batch.liquid: one.day for one in ending if one.make_more}
    held = {item.batch.liquid for item in usable} - set(runs_out)
    wanted: dict[str, list[str]] = {}
    for drink in bar.specs.drinks.values():
        for pour in drink.pours:
            if pour.of in bar.specs.syrups and pour.of not in held:
                wanted.setdefault(pour.of, []).append(drink.name)
    for identity, drinks in sorted(wanted.items(), key=lambda pair: bar.specs.syrups[pair[0]].name.casefold()):
        made = to_make(bar, bar.specs.syrups[identity], today, drinks, juices)
        yield replace(made, runs_out=runs_out.get(identity))


def to_make(
    bar: Bar, syrup: Syrup, today: date, drinks: Iterable[str] = (), juices: Mapping[str, Batch] | None = None
) -> ToMake:
    """What prep has to know to make a syrup today by the recipe of its file, with the juices as they read."""
    result, trouble = None, "its file has no recipe"
    if syrup.recipe:
        try:
            result, trouble = make(bar, syrup, juices=juices), ""
        except BalancerError as error:
            trouble = error.problems()[0].message
    items = result.items if result else ()
    days = result.in_store.days if result and result.in_store else syrup.keeps
    contains = {allergen for item in items for allergen in item.liquid.allergens or ()} | {*(syrup.allergens or ())}
    unknown = [item.liquid.name for item in items if item.liquid.allergens_unknown]
    return ToMake(
        syrup=syrup,
        drinks=tuple(drinks),
        result=result,
        trouble=trouble,
        shows=shows_at_standard(bar, syrup),
        use_by=discard_date(today, days) if days else None,
        contains=tuple(sorted(contains)),
        unknown=tuple(dict.fromkeys([*([syrup.name] if syrup.allergens_unknown else []), *unknown])),
        cautions=_cautions(syrup, items),
    )


def shows_at_standard(bar: Bar, syrup: Syrup) -> Correction | None:
    """What a batch at its standard shows: the end of a correction that has nothing to add. None where nothing tells."""
    try:
        standard = bar.standard(syrup.id)
        return correct(bar, Tub(brix=standard, syrup_id=syrup.id), standard).best
    except BalancerError:
        return None


def _cautions(syrup: Syrup, items: Iterable[Item]) -> tuple[tuple[str, str], ...]:
    said = [(syrup.name, text) for text in syrup.cautions]
    said += [(item.liquid.name, text) for item in items for text in cautions_of(item.liquid) if text not in _OF_ACID]
    if leaves_out_egg(syrup, [text for _, text in said]):
        said.append((syrup.name, RAW_EGG))
    return tuple(dict.fromkeys(said))
