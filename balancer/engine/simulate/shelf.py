"""The syrups that vary, and drinks made ready to be poured of any strengths of them."""

from __future__ import annotations

from collections.abc import Mapping
from math import inf

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.doubts import IMPLAUSIBLE_PERCENT
from balancer.engine.service.menu import DrinkDecision
from balancer.engine.simulate.drawn import Batches
from balancer.engine.simulate.glasses import DrinkParts, SyrupPart
from balancer.engine.simulate.sugar_table import SugarTable, sugar_formula
from balancer.numerics import find_root


class SyrupShelf:
    """The syrups that vary: their batches, and the sugar in them by strength, each worked out once."""

    def __init__(self, bar: Bar, batches: Mapping[str, Batches]) -> None:
        self.bar, self.batches = bar, batches
        self._tables: dict[tuple[str, bool], SugarTable] = {}

    def sugar(self, syrup_id: str, *, by_weight: bool) -> SugarTable:
        """Grams of sugar in a gram or ml of a syrup."""
        key = (syrup_id, by_weight)
        if key not in self._tables:
            batches = self.batches[syrup_id]
            formula = sugar_formula(batches.spread.syrup, by_weight=by_weight)
            self._tables[key] = SugarTable(formula, batches.standard, *batches.reaches)
        return self._tables[key]

    def doubted(self, syrup_id: str) -> tuple[float, float]:
        """The strengths below and above which nobody pours by a reading, °Bx."""
        table, batches = self.sugar(syrup_id, by_weight=False), self.batches[syrup_id]
        low, high = batches.reaches
        standard = table.at(batches.standard)

        def off(brix: float, limit: float) -> float:
            return 100.0 * (table.at(brix) / standard - 1.0) - limit

        least = (
            -inf
            if off(low, -IMPLAUSIBLE_PERCENT) >= 0.0
            else find_root(lambda brix: off(brix, -IMPLAUSIBLE_PERCENT), low, batches.standard)
        )
        most = (
            inf
            if off(high, IMPLAUSIBLE_PERCENT) <= 0.0
            else find_root(lambda brix: off(brix, IMPLAUSIBLE_PERCENT), batches.standard, high)
        )
        return least, most


def parts_of(shelf: SyrupShelf, decided: DrinkDecision) -> DrinkParts:
    """A drink ready to be poured of any strengths."""
    bar, parts = shelf.bar, []
    for part, off in zip(decided.parts, decided.off, strict=True):
        syrup = part.pour.of
        sugar = shelf.sugar(syrup, by_weight=off.written.unit == "g")
        parts.append(SyrupPart(syrup, off, sugar, bar.written_for(decided.drink, syrup), bar.batch_tolerance(syrup)))
    return DrinkParts(decided.drink, tuple(parts), decided.sugar_g, bar.specs.house.tolerance)
