"""One bar's specs made ready to compute: liquids by id and strength, amounts in grams and ml."""

from __future__ import annotations

from balancer.engine.drink.jigger import jigger_of
from balancer.engine.drink.liquid import Liquid, ingredient_liquid, standard_strength, syrup_liquid
from balancer.errors import CannotError
from balancer.models.drink import Drink
from balancer.models.ingredient import Ingredient, own_unit
from balancer.models.names import glass_key
from balancer.models.pour import RINSE, Pour
from balancer.models.specs import Specs
from balancer.models.syrup import Syrup
from balancer.units import UNITS

_ROUNDING = 1e-9
Strengths = dict[str, float]
"""Strength in °Bx by syrup id, for the syrups that are not at standard."""


class Bar:
    """Specs with their liquids worked out once. Nothing in it changes but its cache."""

    def __init__(self, specs: Specs) -> None:
        self.specs = specs
        self.measures = specs.house.measures()
        self.jigger = jigger_of(specs.house)
        self.step_ml = self.jigger.step
        self.glasses = {glass_key(name): ml for name, ml in specs.house.glasses.items()}
        self._units = {name: (size, False) for name, size in self.measures.sizes()}
        self._units |= {unit.name: (unit.factor or 0.0, True) for unit in UNITS if unit.kind == "mass"}
        self._liquids: dict[tuple[str, float | None], Liquid] = {}

    def glass_ml(self, name: str | None) -> float | None:
        """What a glass holds to the brim, ml; None when the house does not say, or no glass is named."""
        return self.glasses.get(glass_key(name or ""))

    def standard(self, syrup_id: str) -> float:
        """The strength a syrup is made to, in °Bx: specs are written for it, unless a drink says otherwise."""
        return standard_strength(self.specs.syrups[syrup_id])

    def written_for(self, drink: Drink, syrup_id: str) -> float:
        """The strength that a drink's pour of a syrup is written for, in °Bx: its own word, else the standard."""
        own = drink.written_for.get(syrup_id)
        return self.standard(syrup_id) if own is None else own

    def is_apart(self, drink: Drink, syrup_id: str) -> bool:
        """Whether a drink's pour of a syrup is written for another strength than the syrup's standard."""
        return syrup_id in drink.written_for and drink.written_for[syrup_id] != self.standard(syrup_id)

    def batch_tolerance(self, syrup_id: str) -> float:
        """How far a batch of a syrup may be off its standard before prep corrects it, in °Bx."""
        return self.specs.batch_tolerance(self.specs.syrups[syrup_id])

    def is_outside(self, syrup_id: str, brix: float, wanted_brix: float | None = None) -> bool:
        """Whether a batch is further off the strength wanted, its standard when None, than prep lets pass."""
        wanted = self.standard(syrup_id) if wanted_brix is None else wanted_brix
        return is_beyond(brix, wanted, self.batch_tolerance(syrup_id))

    def sugar_off_percent(self, syrup_id: str, brix: float) -> float | None:
        """How far a syrup's own sugar in a ml is off at a strength, in %; None for one that holds none.

        Raises BalancerError when no such syrup can be as strong.
        """
        written = self.liquid(syrup_id).sugar_g_per_ml
        return 100.0 * (self.liquid(syrup_id, brix).sugar_g_per_ml / written - 1.0) if written else None

    def liquid(self, identity: str, brix: float | None = None) -> Liquid:
        """An ingredient, or a syrup at a strength (standard when None)."""
        key = (identity, brix)
        found = self._liquids.get(key)
        if found is None:
            found = self._liquids[key] = self._make(self.specs.liquid(identity), brix)
        return found

    @staticmethod
    def _make(source: Ingredient | Syrup, brix: float | None) -> Liquid:
        if isinstance(source, Ingredient):
            return ingredient_liquid(source)
        return syrup_liquid(source, standard_strength(source) if brix is None else brix)

    def amount(self, pour: Pour, liquid: Liquid) -> tuple[float | None, float]:
        """What a pour fills, in ml at 20 °C, and what it weighs, in g; nothing for a rinse.

        An ingredient's own unit wins over the house's of the same name. The volume is None when only
        the weight is known.
        Raises CannotError when it is poured by volume and nothing tells its density.
        """
        amount = pour.amount
        if amount.unit == RINSE:
            return 0.0, 0.0
        size = own_unit(liquid.each, amount.unit) if liquid.each else None
        value = amount.value
        if size is not None:
            value, amount = value * size.value, size
        unit = self._units.get(amount.unit)
        if unit is None:
            known = f"{liquid.name} has {', '.join(liquid.each)}" if liquid.each else "use ml, oz, g or dash"
            raise CannotError(
                "unit", f'unknown unit "{amount.unit}" for {liquid.name}', f"{known}, or tell its size with each:"
            )
        factor, is_mass = unit
        value *= factor
        if is_mass:
            return (value / liquid.density if liquid.density else None), value
        if liquid.density is None:
            raise CannotError(
                "density-missing",
                f"{liquid.name} is poured by volume, and nothing tells what a ml of it weighs",
                "weigh it in g, or add its density, like density: 1.03 g/ml",
            )
        return value, value * liquid.density


def is_beyond(brix: float, wanted_brix: float, tolerance_brix: float) -> bool:
    """Whether a strength is further off another than a tolerance, in °Bx; arrays of strengths are asked one by one."""
    return abs(brix - wanted_brix) > tolerance_brix + _ROUNDING
