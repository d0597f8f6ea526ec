"""A syrup's recipe in grams: its parts found by name and weighed, and what they make when all of it dissolves."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

from balancer.components import (
    COMPONENTS,
    ETHANOL,
    INDEX,
    NOTHING,
    OTHER_SOLIDS,
    WATER,
    Composition,
    acid_as_citric_g,
    acid_mass_g,
    add_scaled,
    composition,
)
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.liquid import Liquid
from balancer.engine.drink.totals import State, state
from balancer.errors import BalancerError, CannotError, Problem, ProblemsError, QuantityError, UsageError
from balancer.models.ingredient import Ingredient, own_unit
from balancer.models.names import slug
from balancer.models.pour import RINSE, Part, Pour
from balancer.models.syrup import Syrup
from balancer.properties.sucrose import WATER_KG_M3
from balancer.units import US_FLUID_OUNCE_ML, Quantity

CUP_ML: Final = 8.0 * US_FLUID_OUNCE_ML
"""The US cup; recipes are written in it, pours are not."""

CUP_OF_SUGAR_G_PER_ML: Final = 200.0 / CUP_ML
"""Granulated sugar in a cup, air included: USDA SR28 NDB 19335, 1 cup = 200 g."""

_CUPS: Final = ("cup", "cups")
_DRY: Final = 0.1
"""What holds less water than this, per gram, has air between its grains when it is measured by volume."""

_POWDER: Final = 0.9
"""Acid powders are at least this much acid per gram; lactic and phosphoric acid are sold as weaker liquids."""


def _known(name: str, grams: dict[str, float], density: float | None = None) -> Liquid:
    return Liquid(slug(name), name, composition(grams), density, allergens=())


_CRYSTAL_WATER: Final = COMPONENTS[WATER].molar_mass / (
    COMPONENTS[WATER].molar_mass + COMPONENTS[INDEX["citric"]].molar_mass
)
WATER_LIQUID: Final = _known("water", {"water": 1.0}, WATER_KG_M3 / 1000.0)
CITRIC_ACID: Final = _known("citric acid", {"citric": 1.0})
_LIQUIDS: Final = (
    *(_known(name, {"water": 1.0}, WATER_KG_M3 / 1000.0) for name in ("hot water", "boiling water", "cold water")),
    WATER_LIQUID,
    CITRIC_ACID,
    _known("citric acid monohydrate", {"citric": 1.0 - _CRYSTAL_WATER, "water": _CRYSTAL_WATER}),
    *(_known(f"{acid} acid", {acid: 1.0}) for acid in ("malic", "tartaric", "succinic", "ascorbic")),
)
KNOWN: Final = {liquid.id: liquid for liquid in _LIQUIDS}
"""What a recipe may name although the house does not list it: water, and acids sold as pure powders."""


@dataclass(frozen=True, slots=True)
class Item:
    """One part of a recipe.

    amount          as the recipe states it
    mass_g          what that weighs, g
    solids_per_g    g of sweetener solids in a gram
    dry_ml          the volume of a dry thing that is measured by volume, ml; None for what is weighed or liquid
    keeps_solids    part of what counts as its water may be pulp that does not dissolve
    is_house        the house lists it
    """

    liquid: Liquid
    amount: Quantity
    mass_g: float
    solids_per_g: float
    dry_ml: float | None = None
    keeps_solids: bool = False
    is_house: bool = True

    def times(self, factor: float) -> Item:
        """So many times as much of it."""
        dry_ml = None if self.dry_ml is None else factor * self.dry_ml
        amount = Quantity(factor * self.amount.value, self.amount.unit)
        return replace(self, amount=amount, mass_g=factor * self.mass_g, dry_ml=dry_ml)

    def weighing(self, mass_g: float) -> Item:
        """Another mass of it, in its own unit."""
        return self.times(mass_g / self.mass_g)

    @property
    def solids_g(self) -> float:
        """Sweetener solids it brings, in g."""
        return self.mass_g * self.solids_per_g

    @property
    def acid_g(self) -> float:
        """Titratable acidity it brings, in g of anhydrous citric acid."""
        return self.mass_g * acid_as_citric_g(self.liquid.per_g)

    @property
    def is_powder(self) -> bool:
        """Whether it is an acid powder."""
        return acid_mass_g(self.liquid.per_g) >= _POWDER

    @property
    def is_water(self) -> bool:
        """Whether it is plain water."""
        return self.liquid.per_g[WATER] > 1.0 - 1e-9 and not self.liquid.sugar_unknown and not self.keeps_solids


@dataclass(frozen=True, slots=True)
class Whole:
    """Everything a recipe lists, with all of its sugar dissolved and nothing strained out."""

    state: State
    solids_g: float

    @property
    def mass_g(self) -> float:
        """All of it, in g."""
        return self.state.mass_g

    @property
    def volume_ml(self) -> float:
        """Its volume at 20 °C, in ml."""
        return self.state.volume_ml

    @property
    def brix(self) -> float:
        """Its strength: g of sweetener solids per 100 g, °Bx."""
        return 100.0 * self.solids_g / self.mass_g

    @property
    def acid_g_per_kg(self) -> float:
        """Titratable acidity as anhydrous citric acid, g/kg."""
        return 1000.0 * self.state.acid_g / self.mass_g

    @property
    def acid_g_per_l(self) -> float:
        """Titratable acidity as anhydrous citric acid, g/l."""
        return 1000.0 * self.state.acid_g / self.volume_ml


def whole(items: Iterable[Item]) -> Whole:
    """Everything together.

    Raises CannotError when the syrup's sugar share asks for more solids than there is room for.
    """
    grams, solids = NOTHING, 0.0
    for item in items:
        grams = add_scaled(grams, item.mass_g, item.liquid.per_g)
        solids += item.solids_g
    return Whole(state(_with_solids(grams, solids)), solids)


def _with_solids(grams: Composition, solids_g: float) -> Composition:
    """The same mass with its other solids told apart from water: an ingredient's file states only its sugar."""
    row = list(grams)
    missing = solids_g - sum(grams[INDEX["sucrose"] : OTHER_SOLIDS + 1])
    if missing > row[WATER]:
        raise CannotError(
            "impossible", "by its sugar share, this recipe holds more solids than it weighs", "check the sugar share"
        )
    row[OTHER_SOLIDS] += missing
    row[WATER] -= missing
    return tuple(row)


def items_of(bar: Bar, source: Syrup | Ingredient, bulk_g_per_ml: float | None = None) -> tuple[Item, ...]:
    """The recipe of a syrup; an ingredient is its own recipe, one litre or one kilogram of it.

    bulk_g_per_ml  what a ml of its dry part weighs with the air between the grains, where it is measured by volume
    Raises ProblemsError with every part that is not known or cannot be weighed, CannotError without a recipe,
    UsageError when nothing dry is measured by volume and a bulk density is given.
    """
    if isinstance(source, Ingredient):
        liquid = bar.liquid(source.id)
        amount = Quantity(1000.0, "ml" if liquid.density else "g")
        return (_item(bar, source, Pour(pour=amount, of=source.id), bulk_g_per_ml),)
    if not source.recipe:
        raise CannotError(
            "no-recipe",
            f"{source.name} has no recipe",
            "write one in its file, like recipe: [1000 g granulated sugar, 1000 g water]",
        )
    found: list[Item] = []
    problems: list[Problem] = []
    for part in source.recipe:
        try:
            found.append(_item(bar, source, part, bulk_g_per_ml))
        except BalancerError as error:
            problems.extend(error.problems())
    if problems:
        raise ProblemsError(problems)
    dry = {item.liquid.name for item in found if item.dry_ml is not None}
    if bulk_g_per_ml is not None and len(dry) != 1:
        message = f"{' and '.join(sorted(dry))} are" if dry else "nothing dry is"
        raise UsageError(
            "bulk-density",
            f"--bulk-density: {message} measured by volume in {source.name}",
            "give each its own, like each: {cup: 200 g}" if dry else "leave it out",
        )
    return tuple(found)


def find_liquid(bar: Bar, source: Syrup | Ingredient, name: str) -> Liquid:
    """What a recipe calls by a name. Water and acid powders are known without being listed.

    Raises CannotError when nothing or several things answer to it, or when it did not load.
    """
    specs = bar.specs
    identity, itself = specs.liquid_names.whole(name), source.id if isinstance(source, Syrup) else ""
    if identity is None or identity == itself:  # no syrup is made of itself
        known = KNOWN.get(slug(name))
        if known is None:
            raise _unknown_part(bar, source, name, itself)
        return known
    if specs.find_liquid(identity) is None:
        raise CannotError(
            "broken-part", f'the recipe of {source.name}: "{name}" has a problem in its file', "run balancer check"
        )
    return bar.liquid(identity)


def _unknown_part(bar: Bar, source: Syrup | Ingredient, name: str, itself: str) -> CannotError:
    """What is wrong with a name that nothing answers to: it is short for something, or nobody knows it."""
    names = bar.specs.liquid_names
    found = [each for each in names.find(name) if each != itself]
    of = f'the recipe of {source.name}: "{name}"'
    if found:
        shown = " or ".join(f'"{bar.specs.name_of(one)}"' for one in found[:4])
        code, word = ("short-name", "is short for") if len(found) == 1 else ("ambiguous-name", "may be")
        return CannotError(code, f"{of} {word} {shown}", "write the whole name")
    near = names.closest(name)
    hint = f'did you mean "{near}"? Else ' if near and near != source.id else ""
    return CannotError(
        "unknown-name",
        f'the recipe of {source.name}: no ingredient or syrup is called "{name}"',
        f"{hint}add it to ingredients/; leave its sugar out when you do not know it",
    )


def _item(bar: Bar, source: Syrup | Ingredient, part: Part, bulk: float | None) -> Item:
    own = isinstance(source, Ingredient)
    liquid = bar.liquid(source.id) if own else find_liquid(bar, source, part.of)
    mass_g, dry_ml = weigh(bar, liquid, part.amount, bulk)
    is_syrup = liquid.id in bar.specs.syrups
    share = 1.0 if is_syrup or own else source.sugar_share / 100.0  # type: ignore[union-attr]
    solids = liquid.sugar_per_g / share + (liquid.per_g[OTHER_SOLIDS] if is_syrup else 0.0)
    by_volume = _measured_ml(bar, part.amount) is not None
    keeps = liquid.per_g[WATER] >= _DRY and not own and not by_volume and _may_hold_pulp(bar, liquid)
    house = liquid.id in bar.specs.ingredients or is_syrup
    return Item(liquid, part.amount, mass_g, solids, dry_ml, keeps, house)


def _may_hold_pulp(bar: Bar, liquid: Liquid) -> bool:
    """Whether a file leaves open that it is a fruit or a root: a liquid's file states something by volume."""
    entry = bar.specs.ingredients.get(liquid.id)
    if entry is None or liquid.id in KNOWN:
        return False
    by_volume = [amount for amount in (entry.sugar, entry.acid) if amount is not None and amount.unit == "g/l"]
    return not (by_volume or entry.density or entry.abv or entry.top)


def weigh(bar: Bar, liquid: Liquid, amount: Quantity, bulk: float | None) -> tuple[float, float | None]:
    """What an amount weighs, in g, and its volume in ml when it is a dry thing measured by volume.

    bulk  g/ml of a dry thing, air included
    Raises CannotError when its volume says nothing about its weight.
    """
    ml = _measured_ml(bar, amount)
    dry_ml = ml if liquid.per_g[WATER] < _DRY and not liquid.per_g[ETHANOL] else None
    if amount.unit == RINSE:
        raise CannotError("unit", f"a rinse of {liquid.name} has no weight", "write how much, like 10 g")
    if own_unit(liquid.each, amount.unit) is not None or ml is None:
        if dry_ml is not None and bulk is not None:
            return dry_ml * bulk, dry_ml
        return bar.amount(Pour(pour=amount, of=liquid.id), liquid)[1], dry_ml
    density = bulk if dry_ml is not None and bulk is not None else liquid.density
    if density is None:
        raise CannotError(
            "bulk-density",
            f"{amount} of {liquid.name} is a volume, and grains leave air: its weight is not known",
            f'weigh it instead, or weigh a full measure and say --bulk-density "{CUP_OF_SUGAR_G_PER_ML:.2f} g/ml"'
            " (granulated sugar at 200 g a US cup: 1:1 by cups is about 46 °Bx, not 50)",
        )
    return ml * density, dry_ml


def _measured_ml(bar: Bar, amount: Quantity) -> float | None:
    """The ml of a measure: a cup, a spoon, a jug; None for what is weighed or counted."""
    if amount.unit.casefold() in _CUPS:
        return amount.value * CUP_ML
    try:
        return bar.measures.ml(amount)
    except QuantityError:
        return None


def by_weight(items: Iterable[Item]) -> tuple[Item, ...]:
    """The same numbers weighed: a dry thing measured by volume weighs what that much water would."""
    return tuple(
        item if item.dry_ml is None else replace(item, mass_g=item.dry_ml * WATER_KG_M3 / 1000.0) for item in items
    )
