"""Making a syrup: what its recipe gives, scaled to a mass, volume, container or what there is, and to a strength."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal, NamedTuple

from balancer.components import INDEX, WATER
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.keeping import Keeping, keeping
from balancer.engine.drink.liquid import Content, standard_strength
from balancer.engine.prep.as_read import JuiceAsRead, bar_as_read, read_of
from balancer.engine.prep.recipe import Item, Whole, by_weight, find_liquid, items_of, weigh, whole
from balancer.engine.prep.recipe_target import at_target
from balancer.errors import CannotError, UsageError
from balancer.models.batch import Batch
from balancer.models.ingredient import Ingredient
from balancer.models.syrup import Syrup
from balancer.numerics import find_root
from balancer.properties import sucrose
from balancer.units import Quantity

MOST_LOST: Final = 0.2
"""Losing more than this part without anything to strain out is not believed. A cordial with its peel strained out
lost 13 % (one measured batch, common practice); a published yield that is wrong misses 29 %."""

_ROUNDED_YIELD: Final = 1.005
_FREEZING_C: Final = 0.0
_HOTTEST_C: Final = 80.0
_HAIR_BRIX: Final = 0.05
_LEAST_LOST_G: Final = 0.5

YieldDoubt = Literal["too much", "too little"]
Standing = Literal["unknown", "within reach", "at standard", "within tolerance", "as asked", "off"]
"""How a recipe stands to the standard: unknown where only a reading can tell; within reach where what stays behind
decides; at standard; off, but within tolerance; off as asked; off."""


@dataclass(frozen=True, slots=True)
class WantedSyrup:
    """What is asked for; None is not asked.

    mass_g, volume_ml   of the finished syrup
    container_ml        everything must fit in it, before anything is strained out
    have                what there is: amounts with names as people write them
    brix                strength
    acid                titratable, as anhydrous citric, g/kg or g/l
    """

    mass_g: float | None = None
    volume_ml: float | None = None
    container_ml: float | None = None
    have: tuple[tuple[Quantity, str], ...] = ()
    brix: float | None = None
    acid: Quantity | None = None


class Adjusted(NamedTuple):
    """A part that was changed to reach a strength or an acid: its id, and g per kg of what the recipe lists."""

    liquid: str
    name: str
    was_g: float
    now_g: float


class Saturation(NamedTuple):
    """Whether the sugar stays dissolved in store.

    storage_c           °C
    dissolves_brix      sucrose that dissolves then, g per 100 g of sucrose and water; at 0 °C for anything colder
    sucrose_brix        sucrose in the syrup, g per 100 g of its sucrose and water: other sugars and acid left out
    clear_from_c        the coldest store in which all of it stays dissolved, °C; None above 80 °C
    """

    storage_c: float
    dissolves_brix: float
    sucrose_brix: float
    clear_from_c: float | None

    @property
    def is_over(self) -> bool:
        """Whether crystals may grow."""
        return self.sucrose_brix > self.dissolves_brix


class AcidRule(NamedTuple):
    """The bar's rule for acid-adjusting: grams of powder by the litre before it goes in, and what that comes to."""

    powder_g: float
    reaches_g_per_l: float
    wanted_g_per_l: float

    @property
    def falls_short(self) -> bool:
        """Whether it misses by what a bar would notice: half a gram per litre."""
        return self.wanted_g_per_l - self.reaches_g_per_l >= 0.5


@dataclass(frozen=True, slots=True)
class Making:
    """A recipe worked out and scaled.

    whole            everything listed, all of its sugar dissolved, nothing strained out
    kept             part of the mass that is left after straining, by the stated yield; 1 when none is stated
    doubt            the stated yield cannot be right, and is not used
    insoluble_g      most that may be pulp among what counts as water, g
    standard_brix    °Bx; None for an ingredient
    by_weight_brix   strength of the same numbers weighed, when something dry is measured by volume
    in_store         how long and how cold a syrup keeps at the strength it may have; None for an ingredient
    limited_by       name of the part that what there is of it decides the size by
    as_read          juices taken with the acid that was measured in their open batches
    wanted           what was asked for
    """

    source: Syrup | Ingredient
    items: tuple[Item, ...]
    whole: Whole
    kept: float
    doubt: YieldDoubt | None
    insoluble_g: float
    standard_brix: float | None
    tolerance_brix: float
    by_weight_brix: float | None
    adjusted: tuple[Adjusted, ...]
    acid_rule: AcidRule | None
    saturation: Saturation
    in_store: Keeping | None
    limited_by: str | None
    wanted: WantedSyrup
    as_read: tuple[JuiceAsRead, ...] = ()

    @property
    def mass_g(self) -> float:
        """The finished syrup, in g."""
        return self.kept * self.whole.mass_g

    @property
    def volume_ml(self) -> float:
        """The finished syrup at 20 °C, in ml."""
        return self.kept * self.whole.volume_ml

    @property
    def lost_g(self) -> float:
        """What stays behind, in g."""
        return self.whole.mass_g - self.mass_g

    @property
    def brix(self) -> float:
        """Strength when what stays behind is syrup, °Bx: losing syrup changes the mass, not the strength."""
        return self.whole.brix

    @property
    def dissolving_g(self) -> float:
        """What dissolves when what stays behind is dry pulp as far as it can be, in g."""
        return self.whole.mass_g - min(self.lost_g, self.insoluble_g)

    @property
    def high_brix(self) -> float | None:
        """Strength in that case, °Bx; None when nothing is strained out."""
        if self.dissolving_g >= self.whole.mass_g * (1.0 - 1e-9):
            return None
        return 100.0 * self.whole.solids_g / self.dissolving_g

    @property
    def off_standard_brix(self) -> float | None:
        """How far the nearest strength it may have is from the standard, °Bx; None for an ingredient."""
        if self.standard_brix is None:
            return None
        high = self.brix if self.high_brix is None else self.high_brix
        return min(max(self.standard_brix, self.brix), high) - self.standard_brix

    @property
    def nearest_brix(self) -> float | None:
        """The strength it may have that is nearest to its standard, °Bx; None where only a reading can tell."""
        off = self.off_standard_brix
        if off is None or self.standard_brix is None or self.standing == "unknown":
            return None
        return self.standard_brix + off

    @property
    def upper_brix(self) -> float | None:
        """The higher strength it may have, °Bx; None where it is the same for anybody who reads it."""
        high = self.high_brix
        return high if high is not None and high - self.brix >= _HAIR_BRIX else None

    @property
    def standing(self) -> Standing | None:
        """How it stands to the standard; None for an ingredient."""
        off = self.off_standard_brix
        if off is None:
            return None
        if self.is_lower_bound and off <= 0.0:
            return "unknown"
        if self.high_brix is not None and not off:
            return "within reach"
        if abs(off) < _HAIR_BRIX:
            return "at standard"
        if abs(off) <= self.tolerance_brix:
            return "within tolerance"
        return "off" if self.wanted.brix is None else "as asked"

    @property
    def loses(self) -> bool:
        """Whether so much stays behind that a bar would see it."""
        return self.lost_g > _LEAST_LOST_G

    @property
    def lost_percent(self) -> float:
        """What stays behind, in % of what goes in."""
        return 100.0 * (1.0 - self.kept)

    @property
    def solved(self) -> Item | None:
        """The part that was changed to reach a strength."""
        changed = {part.liquid for part in self.adjusted}
        return next((item for item in self.items if item.liquid.id in changed and not item.is_powder), None)

    @property
    def unknown(self) -> tuple[Item, ...]:
        """Parts whose sugar is not known: the strength is a lower bound."""
        return tuple(item for item in self.items if item.liquid.sugar_unknown)

    def lacking(self, what: Content) -> tuple[Item, ...]:
        """Parts whose file does not say how much of something they hold: the sum over the rest is a lower bound."""
        return tuple(item for item in self.items if what in item.liquid.unknown)

    @property
    def is_lower_bound(self) -> bool:
        """Whether a part whose sugar is not known makes it at least this strong."""
        return bool(self.unknown)

    @property
    def powders(self) -> tuple[Item, ...]:
        """The acid powders."""
        return tuple(item for item in self.items if item.is_powder)

    @property
    def fills(self) -> bool:
        """Whether the container alone decided the size, so that it is full to the brim."""
        asked = self.wanted
        return not (asked.container_ml is None or asked.mass_g or asked.volume_ml or asked.have)

    @property
    def fits(self) -> bool | None:
        """Whether all of it fits the container before it is strained; None without a container."""
        container_ml = self.wanted.container_ml
        return None if container_ml is None else self.whole.volume_ml <= container_ml * (1.0 + 1e-9)


def make(
    bar: Bar,
    source: Syrup | Ingredient,
    wanted: WantedSyrup | None = None,
    *,
    bulk_g_per_ml: float | None = None,
    juices: Mapping[str, Batch] | None = None,
) -> Making:
    """What a recipe gives, as written or as wanted.

    bulk_g_per_ml  what a ml of the recipe's dry part weighs, air included, where it is measured by volume
    juices         by id, open batches whose measured acid counts in the place of the file's
    All sugar counts as dissolved, and all that is not sugar, acid or alcohol as water. What stays behind in
    strainer and pot counts as syrup: it changes the mass, not the strength.
    Raises CannotError when the recipe has no such answer, ProblemsError when parts of it are not known.
    """
    wanted, files = wanted or WantedSyrup(), bar
    bar = bar_as_read(files, juices or {})
    source = bar.specs.liquid(source.id) if juices else source
    listed = items_of(bar, source, bulk_g_per_ml)
    before = whole(listed)
    kept, doubt = _yield(bar, source, before, _insoluble_g(listed))
    items = at_target(listed, wanted.brix, wanted.acid, source.name)
    factor, limited_by = _size(bar, source, items, kept, wanted, bulk_g_per_ml)
    items = tuple(item.times(factor) for item in items)
    made = whole(items)
    standard, tolerance, storage_c = _settings(bar, source)
    making = Making(
        source=source,
        items=items,
        whole=made,
        kept=kept,
        doubt=doubt,
        insoluble_g=_insoluble_g(items),
        standard_brix=standard,
        tolerance_brix=tolerance,
        by_weight_brix=whole(by_weight(items)).brix if any(item.dry_ml is not None for item in items) else None,
        adjusted=_adjusted(listed, before.mass_g, items, factor),
        acid_rule=_acid_rule(items, wanted.acid),
        saturation=_saturation(made, storage_c),
        in_store=None,
        limited_by=limited_by,
        wanted=wanted,
        as_read=read_of(files, (item.liquid.id for item in items), juices or {}),
    )
    if isinstance(source, Ingredient):
        return making
    in_store = keeping(bar.specs, source, making.nearest_brix)
    return replace(making, in_store=in_store, saturation=_saturation(made, in_store.storage_c))


def _settings(bar: Bar, source: Syrup | Ingredient) -> tuple[float | None, float, float]:
    """Standard and tolerance in °Bx, storage in °C: the syrup's own, or the house's."""
    house = bar.specs.house
    if isinstance(source, Ingredient):
        return None, house.batch_tolerance, house.storage
    return standard_strength(source), bar.specs.batch_tolerance(source), bar.specs.storage(source)


def _insoluble_g(items: Sequence[Item]) -> float:
    return sum(item.mass_g * item.liquid.per_g[WATER] for item in items if item.keeps_solids)


def _yield(bar: Bar, source: Syrup | Ingredient, before: Whole, insoluble_g: float) -> tuple[float, YieldDoubt | None]:
    """The part of the mass that the stated yield keeps, and whether it is believed."""
    stated = source.yields if isinstance(source, Syrup) else None
    if stated is None:
        return 1.0, None
    if stated.kind == "share":
        kept = stated.base / 100.0
    elif stated.kind == "mass":
        kept = stated.base / before.mass_g
    else:
        kept = bar.measures.ml(stated) / before.volume_ml
    if kept > _ROUNDED_YIELD:
        return 1.0, "too much"
    if 1.0 - kept > MOST_LOST + insoluble_g / before.mass_g:
        return 1.0, "too little"
    return min(kept, 1.0), None


def _size(
    bar: Bar, source: Syrup | Ingredient, items: tuple[Item, ...], kept: float, wanted: WantedSyrup, bulk: float | None
) -> tuple[float, str | None]:
    """How many times the recipe, and the part that limits it."""
    as_listed = whole(items)
    size = None
    if wanted.mass_g is not None:
        size = wanted.mass_g / (kept * as_listed.mass_g)
    elif wanted.volume_ml is not None:
        size = wanted.volume_ml / (kept * as_listed.volume_ml)
    elif wanted.container_ml is not None and not wanted.have:
        size = wanted.container_ml / as_listed.volume_ml
    limits = [_limit(bar, source, items, amount, name, bulk) for amount, name in wanted.have]
    if not limits:
        return size or 1.0, None
    most, part = min(limits)
    if size is not None and size <= most:
        return size, None
    return most, part


def _limit(
    bar: Bar, source: Syrup | Ingredient, items: tuple[Item, ...], amount: Quantity, name: str, bulk: float | None
) -> tuple[float, str]:
    """How many times the recipe there is enough of one part for."""
    listed = {item.liquid.id: item.liquid for item in items}
    try:
        liquid = listed.get(find_liquid(bar, source, name).id)
    except CannotError:
        liquid = None
    if liquid is None:
        names = ", ".join(liquid.name for liquid in listed.values())
        raise UsageError("have", f'--have: "{name}" is not in the recipe of {source.name}', f"it lists {names}")
    needed = sum(item.mass_g for item in items if item.liquid.id == liquid.id)
    return weigh(bar, liquid, amount, bulk)[0] / needed, liquid.name


def _adjusted(listed: tuple[Item, ...], mass_g: float, items: tuple[Item, ...], factor: float) -> tuple[Adjusted, ...]:
    """What a strength or an acid changed, per kg of what the recipe lists."""
    was, now = _masses(listed), _masses(items)
    names = {item.liquid.id: item.liquid.name for item in (*listed, *items)}
    per_kg = 1000.0 / mass_g
    found = []
    for identity, name in names.items():
        before, after = per_kg * was.get(identity, 0.0), per_kg * now.get(identity, 0.0) / factor
        if abs(after - before) > 1e-6:
            found.append(Adjusted(identity, name, before, after))
    return tuple(found)


def _masses(items: Iterable[Item]) -> dict[str, float]:
    total: dict[str, float] = {}
    for item in items:
        total[item.liquid.id] = total.get(item.liquid.id, 0.0) + item.mass_g
    return total


def _acid_rule(items: tuple[Item, ...], target: Quantity | None) -> AcidRule | None:
    """The rule: wanted less present, per litre of what there is before the powder; the powder's volume is left out."""
    powders = [item for item in items if item.is_powder]
    if target is None or target.unit != "g/l" or not powders:
        return None
    rest = [item for item in items if not item.is_powder]
    base = whole(rest)
    acid_g = max(target.value - base.acid_g_per_l, 0.0) * base.volume_ml / 1000.0
    powder_g = sum(item.mass_g for item in powders)
    per_g = sum(item.acid_g for item in powders) / powder_g
    by_rule = [item.times(acid_g / per_g / powder_g) for item in powders] if acid_g else []
    return AcidRule(acid_g / per_g, whole([*rest, *by_rule]).acid_g_per_l, target.value)


def _saturation(made: Whole, storage_c: float) -> Saturation:
    grams = made.state.grams
    held = grams[INDEX["sucrose"]]
    brix = 100.0 * held / (held + grams[WATER]) if held else 0.0
    dissolves = sucrose.solubility(max(storage_c, _FREEZING_C))
    if brix <= sucrose.solubility(_FREEZING_C):
        clear: float | None = _FREEZING_C
    elif brix > sucrose.solubility(_HOTTEST_C):
        clear = None
    else:
        clear = find_root(lambda c: sucrose.solubility(c) - brix, _FREEZING_C, _HOTTEST_C)
    return Saturation(storage_c, dissolves, brix, clear)
