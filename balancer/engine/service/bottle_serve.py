"""What of a drink goes into a bottle, what is added when it is served, and how long the bottle keeps."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Final, Literal, NamedTuple

from balancer.components import with_water
from balancer.engine.batch.history import discard_date
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.cautions import names_egg
from balancer.engine.drink.dilution import Dilution
from balancer.engine.drink.keeping import is_kept_by_strength, is_rich
from balancer.engine.drink.liquid import standard_strength
from balancer.engine.drink.totals import (
    Contribution,
    State,
    contents_unknown,
    contribute,
    is_least,
    mix_and_serve,
    state,
    together,
)
from balancer.errors import BalancerError
from balancer.models.batch import Batch
from balancer.models.drink import Drink
from balancer.models.ingredient import Ingredient, is_without_alcohol
from balancer.models.pour import RINSE
from balancer.models.syrup import Syrup
from balancer.units import Quantity

KEEPS_FROM_ABV: Final = 15.0
"""From this % vol a liquid is taken to keep in its bottle, as fortified wine and spirits do (common practice)."""

_HAIR: Final = 0.05
_DAIRY: Final = "milk"

Skipped = Literal["top", "rinse", "egg or dairy"]


class LeftOut(NamedTuple):
    """A pour that stays out of the bottle and is made at service, and why.

    amount     as written, for one serve
    allergens  as the house lists them; None when it does not say
    allergens_unknown  something in it has no list, whatever allergens names
    """

    identity: str
    name: str
    why: Skipped
    amount: Quantity
    allergens: tuple[str, ...] | None
    allergens_unknown: bool


class BottleServe(NamedTuple):
    """One serve of a bottled drink.

    inside    the pours that go in
    left_out  the others
    dilution  of the whole drink, egg and dairy included: what its ice brings to it
    state     what is bottled of a serve, that water with it; None when nothing tells the dilution
    """

    inside: tuple[Contribution, ...]
    left_out: tuple[LeftOut, ...]
    dilution: Dilution
    state: State | None


def bottle_serve(bar: Bar, drink: Drink, parts: Sequence[Contribution]) -> BottleServe:
    """What of a drink's pours goes into a bottle. parts are all of them, at the strengths that go in."""
    mixed = [part for part in parts if part.mass_g and not part.is_top]
    inside = tuple([part for part in mixed if not is_egg_or_dairy(bar.specs.liquid(part.pour.of))])
    _, dilution, _ = mix_and_serve(drink, mixed)
    melt = dilution.melt_water_g
    held = together([part for part in inside if not part.liquid.melts])
    left_out = tuple([_left_out(part) for part in parts if part not in inside])
    return BottleServe(inside, left_out, dilution, None if melt is None else state(with_water(held, melt)))


def is_egg_or_dairy(source: Ingredient | Syrup) -> bool:
    """Whether something stays out of a bottle as egg and dairy do: by its kind, or by the allergens it names.

    What is told to be a drink of alcohol goes in, its % vol known or not, and what has the strength of fortified
    wine: cream and egg liqueurs keep.
    """
    kind = source.kind if isinstance(source, Ingredient) else None
    if kind in ("egg", "dairy"):
        return True
    if kind is not None and not is_without_alcohol(kind):
        return False
    if (source.abv or 0.0) >= KEEPS_FROM_ABV:
        return False
    named = source.allergens or ()
    return _DAIRY in {name.casefold() for name in named} or names_egg((*named, *source.cautions))


def last_day(bar: Bar, serve: BottleServe, made: date | None, batches: Mapping[str, Sequence[Batch]]) -> date | None:
    """The last day of use of a bottled drink; None when nothing tells it.

    made     the day of mixing, which is day 1
    batches  those that may go in, by the id of their syrup or ingredient
    Rule:  the earliest of its parts', where the mixture is no weaker than what kept them. That day of mixing itself
           is never too late; any other is unknown where a part that can spoil does not say how long it keeps, where
           a part was kept by its sugar, and where one was kept by its alcohol, or by the cold alone, and the mixture
           has less alcohol than that, or than fortified wine
    """
    ends = [end for part in serve.inside for end in _ends(bar, part, made, batches) if end is not None]
    earliest = min(ends, default=None)
    if earliest is None or made is None or serve.state is None:
        return None
    if earliest <= made:
        return earliest
    abv = 0.0 if is_least(contents_unknown(serve.inside), "abv") else serve.state.abv_percent
    weaker = any(_is_unsure(bar, part, abv, batches.get(part.pour.of, ())) for part in serve.inside)
    return None if weaker else earliest


def last_day_of(bar: Bar, drink: Drink, made: date, batch: Batch | None) -> date | None:
    """The same of a drink that is in a bottle, mixed on a day, as its spec is now."""
    inside = {batch.liquid: [batch]} if batch else {}
    return last_day(bar, bottle_serve(bar, drink, contribute(bar, drink, {}, {})), made, inside)


def _ends(bar: Bar, part: Contribution, made: date | None, batches: Mapping[str, Sequence[Batch]]) -> list[date | None]:
    """The last day of one part; of batches that may go in, their own."""
    if held := batches.get(part.pour.of):
        return [batch.ends for batch in held]
    keeps = bar.specs.liquid(part.pour.of).keeps
    return [discard_date(made, keeps) if made and keeps else None]


def _is_unsure(bar: Bar, part: Contribution, abv_percent: float, batches: Sequence[Batch]) -> bool:
    """Whether the last day of a part says nothing of a mixture of this % vol, or it has none and can spoil.

    batches  those of it that may go in
    """
    source = bar.specs.liquid(part.pour.of)
    own_abv = source.abv or 0.0
    if any(batch.discard is None for batch in batches):
        return True
    is_dated = bool(batches) or source.keeps is not None
    if not is_dated and may_spoil(source):
        return True
    if not is_dated and not own_abv:
        return False  # water
    if own_abv:
        return abv_percent < (own_abv if is_dated else min(own_abv, KEEPS_FROM_ABV)) - _HAIR
    return abv_percent < KEEPS_FROM_ABV or _is_rich(bar, source, part)


def _is_rich(bar: Bar, source: Ingredient | Syrup, part: Contribution) -> bool:
    """Whether it is sugar that keeps a part, which a drink never has enough of."""
    if isinstance(source, Ingredient):
        return is_rich(100.0 * part.liquid.sugar_per_g)
    try:
        standard = standard_strength(source)
    except BalancerError:  # given as a reading that alcohol makes meaningless
        return True
    storage = bar.specs.storage(source)
    return is_kept_by_strength(source, standard, storage)


def may_spoil(liquid: Ingredient | Syrup) -> bool:
    """Whether it has no stated life and is neither a spirit or wine nor plain water (common practice)."""
    if liquid.keeps is not None or (liquid.abv or 0.0) >= KEEPS_FROM_ABV:
        return False
    if isinstance(liquid, Syrup) or liquid.sugar is None or liquid.acid is None:
        return True
    return liquid.sugar.value > 0 or liquid.acid.value > 0


def _left_out(part: Contribution) -> LeftOut:
    liquid = part.liquid
    why: Skipped = "rinse" if part.pour.amount.unit == RINSE else "top" if part.is_top else "egg or dairy"
    return LeftOut(liquid.id, liquid.name, why, part.pour.amount, liquid.allergens, liquid.allergens_unknown)
