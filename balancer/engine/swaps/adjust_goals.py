"""What a drink should become, and the quantities that it comes to: asked ones, and those that are held beside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.totals import Contribution, Glass
from balancer.engine.swaps.moved import Held
from balancer.engine.swaps.roles import abv_of
from balancer.engine.swaps.slots import is_counted
from balancer.errors import CannotError
from balancer.models.drink import Drink
from balancer.models.names import glass_key
from balancer.models.pour import RINSE

MOST_FILL: Final = 0.9
"""Fuller than this a glass is not carried: a finger below the rim (common practice)."""

_LENGTHENS: Final = 0.02
"""What holds less of sugar, acid and alcohol, g in a g, makes a drink longer and nothing else (judged)."""
_LONG: Final = ("mixer", None)
"""What a drink is made longer with is of these kinds, or of none as water is; egg, cream, fruit and saline are not."""


class Wanted(NamedTuple):
    """How much of something a drink should have: a signed change in %, or grams; one of them is given."""

    percent: float | None = None
    grams: float | None = None

    def of(self, now_g: float) -> float:
        """What it comes to, in g, of so much now."""
        return now_g * (1.0 + self.percent / 100.0) if self.percent is not None else self.grams or 0.0


@dataclass(frozen=True, slots=True)
class Asked:
    """What a drink should become. None: not asked.

    sugar, acid  of the whole glass; a change in % beside that of its volume where that is asked too
    abv_percent  of the served drink
    volume_ml    of the served drink, without ice
    glass        the name of a glass that it should fill as it fills its own
    """

    sugar: Wanted | None = None
    acid: Wanted | None = None
    abv_percent: float | None = None
    volume_ml: float | None = None
    glass: str | None = None

    @property
    def moves_spirits(self) -> bool:
        """Whether everything may move."""
        return self.abv_percent is not None or self.resizes

    @property
    def resizes(self) -> bool:
        """Whether it should be another size."""
        return self.volume_ml is not None or self.glass is not None


class Goal(NamedTuple):
    """One quantity and where it should be: g of sugar or acid, % vol or ml of the served drink.

    asked  whether a person asked for it; else it stays where it is
    """

    quantity: Held
    target: float
    asked: bool

    def value(self, glass: Glass) -> float:
        """What a glass has of it."""
        if self.quantity == "volume":
            return glass.as_drunk.volume_ml
        if self.quantity == "abv":
            return glass.as_drunk.abv_percent
        return glass.sugar_g if self.quantity == "sugar" else glass.acid_g

    def miss_percent(self, glass: Glass) -> float:
        """How far a glass is off it, in %."""
        return 100.0 * (self.value(glass) / self.target - 1.0)


def goals_of(
    bar: Bar, asked: Asked, old: Glass, designed: Sequence[Contribution], volume_ml: float | None
) -> tuple[Goal, ...]:
    """What is asked, and what is held beside it."""
    now_ml = old.as_drunk.volume_ml
    ratio = volume_ml / now_ml if volume_ml else 1.0
    found = []
    pairs: tuple[tuple[Held, Wanted | None, float], ...] = (
        ("sugar", asked.sugar, old.sugar_g),
        ("acid", asked.acid, old.acid_g),
    )
    for quantity, wanted, now_g in pairs:
        if now_g > 0.0:
            found.append(Goal(quantity, wanted.of(ratio * now_g) if wanted else ratio * now_g, wanted is not None))
    if asked.abv_percent is not None:
        found.append(Goal("abv", asked.abv_percent, asked=True))
    elif volume_ml and old.ethanol_g:
        found.append(Goal("abv", old.as_drunk.abv_percent, asked=False))
    if volume_ml:
        found.append(Goal("volume", volume_ml, asked=True))
    elif asked.abv_percent is not None and any(lengthens(bar, part) for part in designed):
        found.append(Goal("volume", now_ml, asked=False))
    return tuple(found)


def target_ml(bar: Bar, drink: Drink, asked: Asked, old: Glass) -> float | None:
    """The volume it should have, in ml; None when it keeps its own."""
    if asked.glass is None:
        return asked.volume_ml
    size = bar.glass_ml(asked.glass)
    if size is None:
        known = ", ".join(bar.specs.house.glasses) or "none"
        raise CannotError(
            "glass-unknown", f'"{asked.glass}" is no glass of the house: {known}', "add it to glasses: in house.yaml"
        )
    own = bar.glass_ml(drink.glass)
    if own is None and drink.ice:
        raise CannotError(
            "glass-unknown",
            f"nothing tells how full {drink.name} fills its own glass, and how much of it is ice",
            "give its glass: and the glass's size in house.yaml, or name the volume: --volume 120ml",
        )
    return size * (min(old.as_drunk.volume_ml / own, MOST_FILL) if own else MOST_FILL)


def new_glass(bar: Bar, drink: Drink, asked: Asked) -> str | None:
    """The house's name of the glass that is asked; None when it is the drink's own, or none is asked."""
    wanted = glass_key(asked.glass or "")
    if asked.glass is None or wanted == glass_key(drink.glass or ""):
        return None
    return next((name for name in bar.specs.house.glasses if glass_key(name) == wanted), None)


def is_free(part: Contribution) -> bool:
    """Whether a pour may change at all."""
    return not part.pour.fixed and part.pour.amount.unit != RINSE


def lengthens(bar: Bar, part: Contribution) -> bool:
    """Whether a pour makes a drink longer and nothing else, and may be more or less; not the egg for the foam."""
    liquid = part.liquid
    ingredient = bar.specs.ingredients.get(part.pour.of)
    if is_counted(part) or (ingredient is not None and ingredient.kind not in _LONG):
        return False
    holds = max(liquid.sugar_per_g, liquid.acid_per_g, abv_of(liquid) / 100.0)
    known = not (liquid.abv_unknown or liquid.acid_unknown or liquid.sugar_unknown)
    return known and holds < _LENGTHENS and is_free(part) and bool(part.volume_ml)
