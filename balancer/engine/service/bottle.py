"""A drink by the bottle: many serves mixed beforehand, the ice's water poured in, every line by weight."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final, Literal, NamedTuple

from balancer.components import ETHANOL, WATER, Composition, acid_as_citric_g, scale
from balancer.engine.batch.contents import Unsaid, brings
from balancer.engine.batch.now import acid_off_percent
from balancer.engine.batch.read_it import read_it
from balancer.engine.drink.bar import Bar, Strengths
from balancer.engine.drink.cautions import drink_cautions
from balancer.engine.drink.dilution import WATER_G_PER_ML, Dilution
from balancer.engine.drink.energy import freezing_point
from balancer.engine.drink.liquid import Content, Liquid
from balancer.engine.drink.totals import (
    Contribution,
    State,
    Unknown,
    allergens_of,
    contents_unknown,
    contribute,
    is_least,
)
from balancer.engine.service.bottle_serve import LeftOut, bottle_serve, last_day
from balancer.engine.service.menu import Menu
from balancer.errors import CannotError, OutOfRangeError
from balancer.models.batch import Batch
from balancer.models.drink import Drink

HEADSPACE_PERCENT: Final = 3.0
"""Room left in the neck (common practice)."""
FREEZER_C: Final = -18.0
UNSURE_K: Final = 0.4
"""A freezing point worked out for a drink may be this far off (judged)."""
FREEZER_HEADSPACE_PERCENT: Final = 10.0
"""Room for what freezes: water takes 9 % more room as ice, 0.917 against 1.000 g/ml [CRC, from memory]."""

_BITTER_UNITS: Final = ("dash", "drop")
_SOUR_G_PER_L: Final = 10.0
"""An ingredient without alcohol and this sour is squeezed or nearly so: it goes in the same day (common practice)."""
_JUICY: Final = 0.5
_FRESH_DAYS: Final = 2.0

Freezes = Literal["yes", "no", "near"]


class Line(NamedTuple):
    """One line to weigh: for all the serves, by its own density.

    identity   id of the ingredient or syrup; "water" for the dilution
    volume_ml  None when only the weight is known
    is_bitter  dashes or drops: they do not scale straight, start low and taste
    is_melt    water that the ice would have given
    """

    identity: str
    name: str
    mass_g: float
    volume_ml: float | None
    is_bitter: bool = False
    is_melt: bool = False


class FromBatch(NamedTuple):
    """The batch that goes in, and its pour in one serve: written and as it keeps the drink's sugar, ml.

    fixed  the spec forbids another pour, so the sugar moves instead
    enough None when what is left of the batch is not known
    """

    batch: Batch
    spec_ml: float
    exact_ml: float
    fixed: bool
    needs_g: float
    enough: bool | None


class Heed(NamedTuple):
    """What the log has to say of any bottle, whoever names a batch or not.

    known   every batch, to look up what others were combined from
    unsaid  open batches that the cards do not tell of
    past    open batches after their last day of use, of what no other batch is open
    is_read  whether the log could be read; else nobody knows any of it
    """

    known: tuple[Batch, ...] = ()
    unsaid: tuple[Unsaid, ...] = ()
    past: tuple[Batch, ...] = ()
    is_read: bool = True


NOTHING: Final = Heed()


@dataclass(frozen=True, slots=True)
class Bottle:
    """A bottled drink.

    serves       how many, in parts where a vessel was given
    dilution     of one serve
    lines        what goes in, in the spec's order, the dilution water last
    whole        everything in the bottle
    vessel_ml    the vessel that was given, or the least one that leaves the headspace
    left_out     pours that are made at service: tops, rinses, egg and dairy; they are in none of its sums
    cold_c       the coldest store, °C: a freezer, or the house's own where it is below zero
    freezing_c   where ice begins to form, °C; None when that is colder than anything known (-20 °C), or unknown
    freezes      whether ice forms in that store; near: within the error, or a sugar is unknown that may prevent it;
                 None: unknown, as some of its alcohol is
    sour         names of lines that go in the same day
    cautioned    what is to be said of any pour, also of those left out, and of extras: the name of it, and the caution
    allergens, allergens_unknown  of what is in the bottle, and of what its batches were combined from; of what is
                 left out they stand there
    unknown      what the files do not say of it
    last_day     the last day of use, the day of mixing being day 1; None when nothing tells it
    went_in      the batches that may be in it: the one that was named, then of everything else all that are open, or
                 open in its place
    read_off     of them, the syrups that read outside the tolerance of their standard and did not count
    acid_off     of them, those whose acid is outside the tolerance and did not count, and by how many %
    unsaid       of them, those that the drink's card does not tell of
    past         open batches after their last day of use, of what is in it and no other batch is open
    is_log_read  whether the log could be read; else what is open is unknown
    """

    drink: Drink
    serves: float
    dilution: Dilution
    lines: tuple[Line, ...]
    left_out: tuple[LeftOut, ...]
    whole: State
    serve_ml: float
    vessel_ml: float
    headspace_percent: float
    from_batch: FromBatch | None
    cold_c: float
    freezing_c: float | None
    freezes: Freezes | None
    sour: tuple[str, ...]
    cautioned: tuple[tuple[str, str], ...]
    allergens: tuple[str, ...]
    allergens_unknown: tuple[str, ...]
    unknown: tuple[Unknown, ...]
    last_day: date | None
    went_in: tuple[Batch, ...] = ()
    read_off: tuple[Batch, ...] = ()
    acid_off: tuple[tuple[Batch, float], ...] = ()
    unsaid: tuple[Unsaid, ...] = ()
    past: tuple[Batch, ...] = ()
    is_log_read: bool = True

    @property
    def cautions(self) -> tuple[str, ...]:
        """Every caution once, without what it is about."""
        return tuple(dict.fromkeys(text for _, text in self.cautioned))

    @property
    def either(self) -> tuple[tuple[Batch, ...], ...]:
        """The batches that may be in it, those of one syrup or ingredient together."""
        found: dict[str, list[Batch]] = {}
        for batch in self.went_in:
            found.setdefault(batch.liquid, []).append(batch)
        return tuple(map(tuple, found.values()))

    @property
    def at_standard(self) -> tuple[Batch, ...]:
        """Batches of a syrup that may be in it and whose reading did not count."""
        return _uncounted(self.drink, self.went_in, self.from_batch.batch if self.from_batch else None)

    @property
    def perishable(self) -> tuple[str, ...]:
        """Names of egg and dairy, which go in at service."""
        return tuple(item.name for item in self.left_out if item.why == "egg or dairy")

    def is_least(self, what: Content) -> bool:
        """Whether a sum over the bottle is a lower bound."""
        return is_least(self.unknown, what)

    @property
    def mass_g(self) -> float:
        """All of it, in g."""
        return self.whole.mass_g


def bottle(
    bar: Bar,
    drink: Drink,
    *,
    serves: float | None = None,
    vessel_ml: float | None = None,
    headspace_percent: float = HEADSPACE_PERCENT,
    batch: Batch | None = None,
    made: date | None = None,
    in_use: Iterable[Batch] = (),
    heed: Heed = NOTHING,
) -> Bottle:
    """A drink for many serves or to fill a vessel; exactly one of them is given.

    headspace_percent  of the vessel, left empty
    batch              a batch of one of its syrups: its measured strength counts, and its pour keeps the sugar
    made               the day of mixing
    in_use             batches that may be poured from, the first opened first: all of them that may go in date the
                       bottle and tell what is in it; only the strength of `batch` counts
    heed               what else the log has to say
    Raises CannotError when nothing tells the dilution, nothing would be left to bottle, the batch is not poured
    or has no strength, and for amounts that cannot be.
    """
    if (serves is None) == (vessel_ml is None):
        raise CannotError("bottle", "serves and a vessel: exactly one decides how much", "give one of them")
    if not 0.0 <= headspace_percent <= 50.0:
        raise CannotError("bottle", f"{headspace_percent:g} % of the vessel cannot stay empty", "give 0 to 50 %")
    if not all(0.0 < amount <= 1e6 for amount in (serves, vessel_ml) if amount is not None):
        raise CannotError("bottle", "that is no amount to bottle", "give an amount above zero")
    strengths, volumes, spec_ml = _as_it_goes_in(bar, drink, batch)
    parts = contribute(bar, drink, strengths, volumes)
    inside, left_out, dilution, serve = one = bottle_serve(bar, drink, parts)
    melt = dilution.melt_water_g
    if serve is None or melt is None:
        raise CannotError(
            "dilution-unknown",
            f"{drink.name}: {dilution.note}",
            "add a line like dilution: 20 % to the drink, or weigh it",
        )
    if not any(part.mass_g for part in inside):
        raise CannotError("bottle", f"{drink.name} has nothing that could be bottled", "it is all made at service")
    full = 1.0 - headspace_percent / 100.0
    count = serves if serves is not None else (vessel_ml or 0.0) * full / serve.volume_ml
    whole = State(scale(count, serve.grams), count * serve.volume_ml, serve.abv_percent)
    lines = [_line(part, count) for part in inside if not part.liquid.melts]
    if melt:
        lines.append(Line("water", "water, for the ice", count * melt, count * melt / WATER_G_PER_ML, is_melt=True))
    unknown = tuple(contents_unknown(inside))
    cold_c = bar.specs.house.storage if bar.specs.house.storage < 0.0 else FREEZER_C
    went_in = _went_in(inside, batch, in_use, heed.unsaid)
    may_be_in = tuple(dict.fromkeys(each for group in went_in.values() for each in group))
    stand_ins = tuple([one for one in heed.unsaid if one.batch in may_be_in and one.of(drink)])
    poured = {part.pour.of for part in inside}
    contains, without_list = _allergens(bar, drink, inside, may_be_in, heed.known)
    freezing_c, freezes = (None, None) if is_least(unknown, "abv") else _freezing(serve.grams, cold_c)
    if freezes == "yes" and is_least(unknown, "sugar"):
        freezes = "near"
    return Bottle(
        drink=drink,
        serves=count,
        dilution=dilution,
        lines=tuple(lines),
        left_out=left_out,
        whole=whole,
        serve_ml=serve.volume_ml,
        vessel_ml=whole.volume_ml / full if vessel_ml is None else vessel_ml,
        headspace_percent=headspace_percent,
        from_batch=_from_batch(batch, inside, count, spec_ml) if batch else None,
        cold_c=cold_c,
        freezing_c=freezing_c,
        freezes=freezes,
        sour=tuple([part.liquid.name for part in inside if _is_squeezed(bar, part.liquid)]),
        cautioned=_cautioned(bar, drink, parts, stand_ins),
        allergens=contains,
        allergens_unknown=without_list,
        unknown=unknown,
        last_day=last_day(bar, one, made, went_in),
        went_in=may_be_in,
        read_off=tuple(
            [
                one
                for one in _uncounted(drink, may_be_in, batch)
                if one.liquid in bar.specs.syrups and one.brix is not None and bar.is_outside(one.liquid, one.brix)
            ]
        ),
        acid_off=tuple(_acid_off(bar, may_be_in)),
        unsaid=stand_ins,
        is_log_read=heed.is_read,
        past=tuple([one for one in heed.past if one.liquid in poured]),
    )


def _uncounted(drink: Drink, went_in: Iterable[Batch], named: Batch | None) -> tuple[Batch, ...]:
    """Of the batches that went in, those of its own syrups with a strength that did not count."""
    poured = {pour.of for pour in drink.pours}
    return tuple([one for one in went_in if one.brix is not None and one.liquid in poured and one != named])


def _cautioned(
    bar: Bar, drink: Drink, parts: Iterable[Contribution], unsaid: Iterable[Unsaid]
) -> tuple[tuple[str, str], ...]:
    others = [one.batch.liquid for one in unsaid if bar.specs.find_liquid(one.batch.liquid)]
    liquids = [*(part.liquid for part in parts), *map(bar.liquid, others)]
    return tuple(dict.fromkeys((one.name, one.text) for one in drink_cautions(liquids, drink.extras)))


def _acid_off(bar: Bar, went_in: Iterable[Batch]) -> Iterator[tuple[Batch, float]]:
    for one in went_in:
        percent = acid_off_percent(bar, one) if one.liquid in bar.specs.ingredients else None
        if percent is not None and abs(percent) > bar.specs.house.tolerance:
            yield one, percent


def _went_in(
    inside: Sequence[Contribution], batch: Batch | None, in_use: Iterable[Batch], unsaid: Iterable[Unsaid]
) -> Mapping[str, Sequence[Batch]]:
    """The batches that may be in each part, by the id of its syrup or ingredient; of a named one's syrup it alone."""
    found = {batch.liquid: [batch]} if batch else {}
    poured = {part.pour.of for part in inside} - found.keys()
    for each in in_use:
        if each.liquid in poured:
            found.setdefault(each.liquid, []).append(each)
    for one in unsaid:
        for liquid in one.gained.in_place_of:
            if liquid in poured:
                found.setdefault(liquid, []).append(one.batch)
    return found


def _allergens(
    bar: Bar, drink: Drink, inside: Sequence[Contribution], went_in: Iterable[Batch], known: Collection[Batch]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What the house lists for all that is in the bottle, and the names of what has no list."""
    contains, without_list = set(allergens_of(inside)), [p.liquid.name for p in inside if p.liquid.allergens_unknown]
    for batch in went_in:
        brought = brings(bar.specs, batch, known)
        contains.update(brought.allergens)
        without_list += [bar.specs.name_of(liquid) for liquid in brought.unknown]
    return tuple(sorted(contains)), (*dict.fromkeys(without_list), *drink.extras)


def _as_it_goes_in(bar: Bar, drink: Drink, batch: Batch | None) -> tuple[Strengths, dict[str, float], float]:
    """Strengths and exact pours, in ml, of the batch's syrup and of those at another than they are written for.

    Last the written pour of the batch's syrup, in ml.
    """
    if batch is None:
        return *Menu(bar, {}).decide(drink).exact(), 0.0
    if batch.liquid not in bar.specs.syrups:
        raise CannotError("batch-kind", f"{batch.id} is not a batch of a syrup", "name a batch of a syrup it pours")
    inside = bottle_serve(bar, drink, contribute(bar, drink, {}, {})).inside
    written = next((part for part in inside if part.pour.of == batch.liquid), None)
    if written is None:
        name = bar.specs.syrups[batch.liquid].name
        raise CannotError("not-poured", f"{drink.name} does not bottle any {name}", "name a batch of a syrup it pours")
    if batch.brix is None:
        raise CannotError(
            "unread",
            f"{batch.id} has no strength in the log",
            read_it(bar.specs.syrups[batch.liquid], batch.id),
        )
    return *Menu(bar, {batch.liquid: batch.brix}).decide(drink).exact(), written.volume_ml or 0.0


def _from_batch(batch: Batch, inside: Sequence[Contribution], serves: float, spec_ml: float) -> FromBatch:
    part = next(part for part in inside if part.pour.of == batch.liquid)
    needs_g = serves * part.mass_g
    enough = None if batch.mass is None else batch.mass >= needs_g
    return FromBatch(batch, spec_ml, part.volume_ml or 0.0, part.pour.fixed, needs_g, enough)


def _line(part: Contribution, serves: float) -> Line:
    volume_ml = None if part.volume_ml is None else serves * part.volume_ml
    return Line(
        part.liquid.id, part.liquid.name, serves * part.mass_g, volume_ml, part.pour.amount.unit in _BITTER_UNITS
    )


def _freezing(grams: Composition, cold_c: float) -> tuple[float | None, Freezes]:
    try:
        found = freezing_point(grams)
    except OutOfRangeError:
        if not grams[ETHANOL]:
            raise
        return None, "no"
    if abs(found - cold_c) <= UNSURE_K:
        return found, "near"
    return found, "yes" if found > cold_c else "no"


def _is_squeezed(bar: Bar, liquid: Liquid) -> bool:
    """Sour, mostly water, no alcohol, and not said to keep: fresh citrus and its like."""
    found = bar.specs.ingredients.get(liquid.id)
    if found is None or liquid.per_g[ETHANOL] or liquid.per_g[WATER] < _JUICY:
        return False
    sour = 1000.0 * acid_as_citric_g(liquid.per_g) * (liquid.density or 1.0) >= _SOUR_G_PER_L
    sour = sour or (found.kind == "juice" and liquid.acid_unknown)
    return sour and (found.keeps is None or found.keeps <= _FRESH_DAYS)
