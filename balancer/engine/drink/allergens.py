"""The menu's drinks against the allergens that occur in the house: named, not known, or not listed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

from balancer.engine.drink.bar import Bar
from balancer.models.drink import Drink
from balancer.models.specs import Specs
from balancer.models.syrup import Syrup

_UNKNOWN: Final = ""
AllergenMark = Literal["contains", "unknown", "not listed"]
"""contains: the house names it; unknown: something poured has no list; not listed: every list is there, without it."""


class NoList(NamedTuple):
    """Something in a drink whose allergens the house does not list. id is None for what is not poured by measure."""

    id: str | None
    name: str


@dataclass(frozen=True, slots=True)
class DrinkAllergens:
    """One drink. contains is sorted; unknown are its pours and extras without a list, in the spec's order."""

    drink: Drink
    contains: tuple[str, ...]
    unknown: tuple[NoList, ...]

    def mark(self, allergen: str) -> AllergenMark:
        """What is to be said of one allergen. What is not known is never the same as not listed."""
        if allergen in self.contains:
            return "contains"
        return "unknown" if self.unknown else "not listed"


class AllergenTable(NamedTuple):
    """The menu. allergens are all that the house names for anything it keeps, sorted, poured or not."""

    allergens: tuple[str, ...]
    drinks: tuple[DrinkAllergens, ...]

    @property
    def with_unknown(self) -> tuple[DrinkAllergens, ...]:
        """The drinks for which the house cannot tell."""
        return tuple(row for row in self.drinks if row.unknown)


def allergen_table(bar: Bar, drinks: Iterable[Drink]) -> AllergenTable:
    """Every drink, by name, against every allergen that occurs in the house.

    Garnishes are free text, so they are not looked at; extras are, and have no list.
    """
    specs = bar.specs
    named = {allergen for entry in specs.ingredients.values() for allergen in entry.allergens or ()}
    named |= {allergen for entry in specs.syrups.values() for allergen in entry.allergens or ()}
    by_name = sorted(drinks, key=lambda drink: (drink.name.casefold(), drink.id))
    return AllergenTable(tuple(sorted(named)), tuple(drink_allergens(bar, drink) for drink in by_name))


def drink_allergens(bar: Bar, drink: Drink) -> DrinkAllergens:
    """What the house lists for the pours of a drink; a rinse counts like any pour."""
    entries = [bar.specs.liquid(pour.of) for pour in drink.pours]
    contains = {allergen for entry in entries for allergen in entry.allergens or ()}
    unknown = [NoList(entry.id, entry.name) for entry in entries if entry.allergens_unknown]
    unknown += [NoList(None, text) for text in drink.extras]
    return DrinkAllergens(drink, tuple(sorted(contains)), tuple(dict.fromkeys(unknown)))


def with_recipe_allergens(syrup: Syrup, specs: Specs) -> Syrup:
    """A syrup whose list names the allergens of its recipe too; one without a list stays unknown beside them.

    What goes into the pan is in the bottle, whatever its own list leaves out. An empty list says nothing of a part
    whose file has none: such a syrup is unknown too, beside what its other parts list.
    """
    own, found = syrup.allergens or (), _of_recipe(syrup, specs, frozenset({syrup.id}))
    missing = sorted(found - {_UNKNOWN} - set(own))
    is_unlisted = syrup.allergens is None or (_UNKNOWN in found and not own)
    if not missing and not is_unlisted:
        return syrup
    return syrup.holding((*own, *missing) or None, part_unlisted=is_unlisted)


def _of_recipe(syrup: Syrup, specs: Specs, seen: frozenset[str]) -> set[str]:
    """The allergens listed for the parts of a recipe, and for theirs; _UNKNOWN where a part's file lists none."""
    found: set[str] = set()
    for part in syrup.recipe:
        identity = specs.liquid_names.whole(part.of) or ""
        entry = specs.find_liquid(identity)
        if entry is not None:
            found.update((_UNKNOWN,) if entry.allergens is None else entry.allergens)
        if isinstance(entry, Syrup) and identity not in seen:
            found |= _of_recipe(entry, specs, seen | {identity})
    return found
