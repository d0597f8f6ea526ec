"""One pour that a search may change: what it brings in an amount, and the amounts that the bar can make of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf
from typing import Final, NamedTuple

from balancer.engine.drink.amount import Amount, poured_in
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.jigger import SAME_ML, weighed_step_g
from balancer.engine.drink.liquid import Liquid
from balancer.engine.drink.totals import Contribution
from balancer.errors import CannotError
from balancer.models.drink import Drink
from balancer.models.ingredient import own_unit
from balancer.models.pour import RINSE, Pour
from balancer.units import Quantity

_SPOONS: Final = ("barspoon", "teaspoon", "tablespoon")
_COUNTED: Final = ("dash", "drop", *_SPOONS)
_MOST_SPOONS: Final = {"barspoon": 2, "dash": 4, "teaspoon": 2, "tablespoon": 2}
"""More of them than this a bar measures in a jigger (judged)."""


@dataclass(frozen=True, slots=True)
class SwappedPour:
    """One pour of the drink after the swap. Its amounts have one unit: g where it goes on the scale, else ml.

    spec     as written; for the new sweetener as much as there was of the old, by weight where it goes on the
             scale; 0 for water that is added; None where the old one's amount has no meaning for the new
    written  the volume that the file has, where the pour goes on the scale all the same
    measured, spec_measured  poured and as written, where it is counted in dashes, barspoons or the like
    """

    liquid: Liquid
    spec: Amount | None
    exact: Amount
    poured: Amount
    is_new: bool
    is_free: bool
    written: Amount | None = None
    measured: Quantity | None = None
    spec_measured: Quantity | None = None

    @property
    def stays(self) -> bool:
        """Whether it is poured as written."""
        return self.spec is not None and self.poured.is_same(self.spec)

    @property
    def sugar_per_unit(self) -> float:
        """Grams of sugar in a ml of it, or in a g where it goes on the scale."""
        return self.liquid.sugar_per_g * self._unit_g

    @property
    def acid_per_unit(self) -> float:
        """Grams of acid, as citric, likewise."""
        return self.liquid.acid_per_g * self._unit_g

    @property
    def _unit_g(self) -> float:
        return Amount(1.0, self.poured.unit).weigh(self.liquid.density or 1.0)

    @property
    def was_there(self) -> bool:
        """Whether there was some of it before, as far as that has a meaning."""
        return self.spec is not None and self.spec.value > 0.0


class Measure(NamedTuple):
    """What a bar counts a pour in: a dash, a barspoon, a cube. size: ml, or g where nothing tells a density."""

    unit: str
    size: float


class Freedom(NamedTuple):
    """How a pour may move.

    small       whether it may be poured in barspoons and dashes too, as bars do where they stir
    frozen      whether it is made just as `written` says
    measured    whether it is measured even where a bar pours without measuring: a spec is being written
    ease        how readily it moves: half of it counts every step as two
    most        what may not be poured over
    """

    small: bool = False
    frozen: bool = False
    measured: bool = False
    ease: float = 1.0
    most: float = inf


_USUAL: Final = Freedom()


class Slot:
    """One pour that a search may change. The search counts it in ml, or in g where nothing tells its density.

    written     where the search would leave it
    spec        as the file has it; None where that has no meaning, as for syrup in the place of dry sugar
    written_ml  what the file pours, if that is a volume
    least       the least that may be poured where it is not may_be_nothing: what the bar measures, or what is written
    """

    def __init__(
        self,
        bar: Bar,
        part: Contribution,
        written: float,
        *,
        spec: float | None,
        may_be_nothing: bool = False,
        written_ml: float | None = None,
        freedom: Freedom = _USUAL,
    ) -> None:
        self.part, self.written, self.spec, self.may_be_nothing = part, written, spec, may_be_nothing
        self.frozen, self.most = freedom.frozen, freedom.most
        self.liquid = part.liquid
        self.unit_g = self.liquid.density or 1.0
        house = bar.specs.house
        own = _own_measure(bar, part, self.unit_g)
        self.counted = own if own and own.unit not in _SPOONS else None
        self.unit = "ml" if self.counted and self.liquid.density else poured_in(house, part.pour, self.liquid)
        self.by_weight = self.unit == "g"
        self.written_ml = written_ml if self.by_weight else None
        self._spoons = _spoons(bar, own, small=freedom.small) if self.unit == "ml" and not self.counted else ()
        if self.counted:
            self.step = self.counted.size
        else:
            self.step = weighed_step_g(house) / self.unit_g if self.by_weight else bar.step_ml
        # A fine scale makes steps so small that staying near the written pour would outweigh being right.
        self.counted_step = freedom.ease * max(self.step, bar.step_ml)
        self.least = (
            0.0 if may_be_nothing else min([self.step, *([spec] if spec else []), *[m.size for m in self._spoons]])
        )
        self._jigger = bar.jigger
        self._stays = freedom.frozen or (house.pour_style == "free" and spec is not None and not freedom.measured)

    def amount(self, amount: float) -> Amount:
        """A pour of so much as the bar measures it."""
        return Amount(amount * self.unit_g, "g") if self.by_weight else Amount(amount)

    def line(self, exact: float, poured: float, *, is_new: bool) -> SwappedPour:
        """The pour after the change."""
        return SwappedPour(
            liquid=self.liquid,
            spec=None if self.spec is None else self.amount(self.spec),
            exact=self.amount(exact),
            poured=self.amount(poured),
            is_new=is_new,
            is_free=True,
            written=None if self.written_ml is None else Amount(self.written_ml),
            measured=self.measured(poured),
            spec_measured=self.measured(self.spec) if self.spec else None,
        )

    def measured(self, amount: float) -> Quantity | None:
        """A pour in dashes, barspoons or what else it is counted in; None where a jigger or a scale measures it."""
        for unit, size in [self.counted] if self.counted else self._spoons:
            count = amount / size
            if abs(count - round(count)) < SAME_ML and (self.counted or not self._is_jigger_pour(amount)):
                return Quantity(float(round(count)), unit)
        return None

    def _is_jigger_pour(self, amount: float) -> bool:
        return any(abs(pour - amount) < SAME_ML for pour in self._jigger.near(amount, 1))

    def at(self, amount: float) -> Contribution:
        """The pour in an amount."""
        volume = amount if self.liquid.density else None
        return self.part._replace(volume_ml=volume, mass_g=amount * self.unit_g)

    def pours(self, low: float, high: float) -> list[float]:
        """What the bar can pour between two limits, ascending, or the nearest to them; the written pour always."""
        if self._stays:
            return [self.written]
        if self.by_weight or self.counted:
            first = max(1, round(low / self.step))
            found = [count * self.step for count in range(first, max(first, round(high / self.step)) + 1)]
        else:
            found = self._jigger.between(low, high)
        own = [0.0] if self.may_be_nothing else []
        if self.spec:
            own.append(self.spec)
        for unit, size in self._spoons:
            own += [count * size for count in range(1, _MOST_SPOONS[unit] + 1) if low <= count * size <= high]
        found = [pour for pour in found if pour <= self.most + SAME_ML]
        found = [pour for pour in found if all(abs(pour - other) > SAME_ML for other in own)]
        return sorted({*own, *found})

    def nearest(self, amount: float) -> float:
        """The pour nearest to an amount."""
        reach = 2.0 * self.step
        return min(self.pours(amount - reach, amount + reach), key=lambda pour: abs(pour - amount))


def counted_amount(part: Contribution) -> float:
    """A pour as a slot counts it: ml, or g where nothing tells its density."""
    return (part.volume_ml if part.liquid.density else part.mass_g) or 0.0


def is_counted(part: Contribution) -> bool:
    """Whether a pour is so many dashes, drops, eggs or cubes, which are whole; spoons are measured."""
    unit = part.pour.amount.unit
    return unit not in _SPOONS and (unit in _COUNTED or own_unit(part.liquid.each, unit) is not None)


def _own_measure(bar: Bar, part: Contribution, unit_g: float) -> Measure | None:
    """What the file counts a pour in: a dash, a barspoon, a cube. None where it is a plain volume or weight."""
    amount, liquid = part.pour.amount, part.liquid
    own = own_unit(liquid.each, amount.unit) if liquid.each else None
    if own is None and amount.unit not in _COUNTED:
        return None
    volume, mass = bar.amount(part.pour.model_copy(update={"amount": Quantity(1.0, amount.unit)}), liquid)
    return Measure(amount.unit, mass / unit_g if volume is None or not liquid.density else volume)


def _spoons(bar: Bar, own: Measure | None, *, small: bool) -> tuple[Measure, ...]:
    """The barspoons and dashes that a pour may be made in beside the jigger's pours: the file's, or the house's own."""
    house = bar.specs.house
    if not small or house.pour_style != "jigger":
        return (own,) if own else ()
    has = [Measure(unit, getattr(house, unit)) for unit in ("barspoon", "dash") if unit in house.model_fields_set]
    return tuple({measure.unit: measure for measure in [*([own] if own else []), *has]}.values())


def check_free(drink: Drink, part: Contribution) -> None:
    """Raises CannotError of a pour that neither goes nor becomes more: its file fixes it, or it is a rinse."""
    if part.pour.fixed:
        raise CannotError(
            "fixed", f"the pour of {part.liquid.name} in {drink.name} is fixed", "delete fixed: true in its file"
        )
    if part.pour.amount.unit == RINSE:
        message = f"{drink.name} is rinsed with {part.liquid.name}, and one thing is poured once in a drink"
        raise CannotError("rinse", message, "name another one, or take the rinse out of its file first")


def new_slot(
    bar: Bar,
    gone: Contribution,
    merged: Contribution | None,
    into: Liquid,
    *,
    small: bool = False,
    by_acid: bool = False,
) -> Slot:
    """The place of the old sweetener with the new one in it, and with what the drink had of that already.

    by_acid  whether it is a sour, whose acid counts where the old one's amount has no meaning for the new one
    """
    both = [gone] if merged is None else [gone, merged]
    pour: Pour = gone.pour.model_copy(update={"of": into.id})
    sugar_g = sum([part.sugar_g for part in both])
    amount = gone.pour.amount
    spec = None
    if into.density and gone.liquid.density and (amount.kind == "mass" or bar.specs.house.pour_style == "scale"):
        spec = sum([part.mass_g for part in both]) / into.density
    elif into.density and gone.volume_ml is not None:
        spec = sum([part.volume_ml or 0.0 for part in both])
    elif not into.density and not gone.liquid.density:
        spec = sum([part.mass_g for part in both])
    elif amount.kind == "mass":  # dry sugar was weighed; a syrup in its place is poured
        pour = pour.model_copy(update={"amount": Quantity(1.0, "ml")})
    if spec is None:
        wanted = sum([part.acid_g for part in both]) / into.acid_per_g if by_acid else sugar_g / into.sugar_per_g
        written = wanted / (into.density or 1.0)
    else:
        written = spec
    # What is there already is poured with the rest of it; else a top in the file is one whatever it is of.
    is_top = merged.is_top if merged else gone.is_top if gone.pour.top is not None else into.is_top
    new = gone._replace(pour=pour, liquid=into, is_top=is_top)
    return Slot(bar, new, written, spec=spec, written_ml=written_ml(both), freedom=Freedom(small=small))


def written_ml(parts: Sequence[Contribution]) -> float | None:
    """What the file pours of some parts, ml; None unless all of it is a volume."""
    volumes = [part.volume_ml for part in parts if part.pour.amount.kind != "mass"]
    known = [volume for volume in volumes if volume is not None]
    return sum(known) if len(known) == len(parts) else None
