"""A juice whose acid was measured, against the menu: what to pour of it so that every drink keeps its acid."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from balancer.brief import brief
from balancer.engine.batch.now import acid_off_percent, measured_juice
from balancer.engine.drink.amount import Amount, poured_in
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.jigger import Jigger, weighed_step_g
from balancer.engine.drink.written import written as as_on_card
from balancer.engine.service.decision import SMALL_POUR_ML, SMALL_POUR_PERCENT, OffPour
from balancer.engine.service.menu import DrinkPour
from balancer.engine.service.rescale import Conversion, conversions_of, key_of
from balancer.models.batch import Batch
from balancer.models.drink import Drink
from balancer.models.ingredient import Ingredient
from balancer.models.pour import RINSE

_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class JuiceTonight:
    """An open batch of an ingredient whose acid was measured.

    acid_percent  its acid per ml against what the specs are written for, %
    is_off        that is more than service lets pass
    rows          every drink that pours it
    """

    batch: Batch
    ingredient: Ingredient
    acid_percent: float
    is_off: bool
    rows: tuple[DrinkPour, ...]

    __repr__ = brief

    @property
    def moved(self) -> tuple[DrinkPour, ...]:
        """The drinks that pour it otherwise than written."""
        return tuple(row for row in self.rows if row.moves)

    @property
    def conversions(self) -> tuple[Conversion, ...]:
        """Written pour and the pour nearest to equal acid, for every written pour that moves."""
        return conversions_of((row.written, row.poured) for row in self.moved)

    @property
    def exceptions(self) -> tuple[DrinkPour, ...]:
        """Drinks that do not pour what the conversions say, because their pour is fixed."""
        said = dict(self.conversions)
        return tuple(row for row in self.rows if not row.poured.is_same(said.get(key_of(row.written), row.written)))


def juice_tonight(bar: Bar, batch: Batch, drinks: Iterable[Drink] | None = None) -> JuiceTonight | None:
    """A measured juice against what the specs count on; None where either has no acid.

    drinks  those made to order; every drink when None
    Rule: within tolerance of its acid, and in a house that pours free, everything is as written; else every pour
    is the one nearest to equal acid. Fixed pours stay, and small ones unless the acid is far off.
    Raises BalancerError when nothing can hold that much acid.
    """
    percent = acid_off_percent(bar, batch)
    if percent is None:
        return None
    house, written, now = bar.specs.house, bar.liquid(batch.liquid), measured_juice(bar, batch)
    is_off = abs(percent) > house.tolerance + _ROUNDING
    stays = not is_off or house.pour_style == "free"
    small_stay = abs(percent) <= SMALL_POUR_PERCENT + _ROUNDING
    rows = []
    for drink in bar.specs.drinks.values() if drinks is None else drinks:
        for pour in drink.pours:
            if pour.of != batch.liquid or pour.amount.unit == RINSE:
                continue
            ml, grams = bar.amount(pour, written)
            acid_g = (ml or 0.0) * written.acid_g_per_ml
            if poured_in(house, pour, written) == "g":
                off = OffPour(
                    Amount(grams, "g"), acid_g, now.acid_g_per_ml / (now.density or 1.0), Jigger(weighed_step_g(house))
                )
            else:
                off = OffPour(Amount(ml or 0.0), acid_g, now.acid_g_per_ml, bar.jigger)
            keeps = stays or pour.fixed or not acid_g or (small_stay and (ml or 0.0) <= SMALL_POUR_ML)
            on_card = as_on_card(bar, pour, written)
            rows.append(DrinkPour(drink, off.written, off.written if keeps else off.line, on_card))
            break
    return JuiceTonight(batch, bar.specs.ingredients[batch.liquid], percent, is_off, tuple(rows))
