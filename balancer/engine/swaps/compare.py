"""Sweeteners side by side: what the same volume of each brings, beside plain 1:1 syrup."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final, NamedTuple

from balancer.components import COMPONENTS, WATER, Composition
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.liquid import Liquid, syrup_liquid
from balancer.engine.swaps.at import STANDARD, At, Strength
from balancer.engine.swaps.known_sugar import check_sugar_per_ml
from balancer.errors import BalancerError, CannotError
from balancer.models.syrup import Syrup

PER_ML: Final = 10.0
"""The volume that is compared, ml."""
PLAIN: Final = "plain 1:1 syrup"
PLAIN_BRIX: Final = 50.0
"""Sucrose and water, the same of both by weight: what every bar knows as simple syrup."""


class Sweetness(NamedTuple):
    """Grams of sucrose that are as sweet: by the lowest, usual and highest published value of every sugar."""

    low: float
    usual: float
    high: float


@dataclass(frozen=True, slots=True)
class Compared:
    """What PER_ML of one sweetener brings.

    strength  None for an ingredient; its batch is None when it is taken at standard
    sugar_g, acid_g, water_g  in g, the acid as anhydrous citric; None: not known
    house_ml  of what it is compared with, for as much sugar
    """

    liquid: Liquid
    strength: Strength | None
    sugar_g: float
    acid_g: float | None
    water_g: float | None
    house_ml: float
    sweetness: Sweetness


@dataclass(frozen=True, slots=True)
class Comparison:
    """Sweeteners beside one; failed are ids and names of those that have no answer, and why.

    at                     at which strengths, for the spec or for tonight
    house, house_strength  what they are compared with: plain 1:1 syrup, without an id, or a sweetener of the house
    """

    at: At
    house: Liquid
    house_strength: Strength | None
    rows: tuple[Compared, ...]
    failed: tuple[tuple[str, str, str], ...]

    @property
    def least(self) -> Compared:
        """The row with least sugar. Raises ValueError when there is no row."""
        return min(self.rows, key=_sugar)

    @property
    def most(self) -> Compared:
        """The row with most sugar. Raises ValueError when there is no row."""
        return max(self.rows, key=_sugar)


def _sugar(row: Compared) -> float:
    return row.sugar_g


def compare(bar: Bar, ids: Iterable[str] = (), against: str | None = None, at: At = STANDARD) -> Comparison:
    """What PER_ML of each sweetener brings.

    ids        syrups and ingredients, in the order to show; every syrup when there are none, most sugar first
    against    what to compare with; plain 1:1 syrup when None
    at         how strong every syrup is; one of which nothing but past batches is open has no answer
    Raises CannotError when what to compare with cannot be poured or holds no sugar.
    """
    house, house_strength = _liquid(bar, against, at) if against else (_plain(), Strength(PLAIN_BRIX))
    if not house.sugar_g_per_ml:
        raise CannotError("no-sugar", f"{house.name} holds no sugar to compare with", "name a syrup with --against")
    named = list(dict.fromkeys(ids))
    rows, failed = [], []
    for identity in named or bar.specs.syrups:
        try:
            liquid, strength = _liquid(bar, identity, at)
        except BalancerError as error:
            failed.append((identity, bar.specs.liquid(identity).name, error.problems()[0].message))
            continue
        rows.append(_compared(liquid, strength, house))
    if not named:
        rows.sort(key=lambda row: -row.sugar_g)
    return Comparison(at, house, house_strength, tuple(rows), tuple(failed))


def sweetness_g(grams: Composition) -> Sweetness:
    """Grams of sucrose as sweet as a composition. The extremes take every sugar at the same end of its range."""
    low, usual, high = (
        sum([mass * part.sweetness[end] for mass, part in zip(grams, COMPONENTS, strict=True) if mass])
        for end in range(3)
    )
    return Sweetness(low, usual, high)


def _compared(liquid: Liquid, strength: Strength | None, house: Liquid) -> Compared:
    grams = tuple([PER_ML * part for part in liquid.per_ml or ()])
    sugar = PER_ML * liquid.sugar_g_per_ml
    return Compared(
        liquid=liquid,
        strength=strength,
        sugar_g=sugar,
        acid_g=None if liquid.acid_unknown else PER_ML * liquid.acid_g_per_ml,
        water_g=None if liquid.abv_unknown else grams[WATER],
        house_ml=sugar / house.sugar_g_per_ml,
        sweetness=sweetness_g(grams),
    )


def _liquid(bar: Bar, identity: str, at: At) -> tuple[Liquid, Strength | None]:
    """A sweetener as it is poured; CannotError when a ml of it says nothing."""
    strength = at.coming(bar, identity)
    liquid = bar.liquid(identity, strength.brix if strength else None)
    check_sugar_per_ml(liquid)
    if not liquid.density:
        raise CannotError("weighed", f"{liquid.name} can only be weighed", "name what can be poured")
    return liquid, strength


def _plain() -> Liquid:
    """Made like any other syrup, so that a house's own 1:1 comes out equal. It has no id: no file has it."""
    return replace(syrup_liquid(Syrup.model_validate({"id": "plain", "syrup": PLAIN}), PLAIN_BRIX), id="")
