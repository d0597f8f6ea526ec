"""One pour of one syrup, without any files."""

from __future__ import annotations

from dataclasses import dataclass

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.doubts import answer_doubt, pour_doubt, strength_doubt
from balancer.engine.drink.jigger import Jigger
from balancer.engine.service.decision import SMALL_POUR_ML, Decision, OffPour, decide
from balancer.properties import sucrose


@dataclass(frozen=True, slots=True)
class PourAnswer:
    """The decision on a pour, and the numbers it stands on: g/ml of syrup and g of sugar per ml, at both strengths.

    The percentages are changes of the syrup's own sugar, since no drink is known.
    """

    off: OffPour
    decision: Decision
    standard_brix: float
    batch_brix: float
    tolerance_percent: float
    standard_density: float
    batch_density: float

    @property
    def poured(self) -> Amount:
        """What to pour."""
        return self.decision.poured[0]

    @property
    def standard_sugar(self) -> float:
        """Sugar in a ml at standard, in g."""
        return self.standard_brix / 100.0 * self.standard_density

    @property
    def batch_sugar(self) -> float:
        """Sugar in a ml of the batch, in g."""
        return self.batch_brix / 100.0 * self.batch_density

    @property
    def is_left_small(self) -> bool:
        """Whether it is poured as written only because it is too small a pour to change."""
        return self.decision.way == "as written" and abs(self.decision.as_written_percent) > self.tolerance_percent

    @property
    def doubts(self) -> tuple[str, ...]:
        """What is odd about the question or the answer."""
        found = (
            pour_doubt("syrup", self.off.written.value, is_top=False),
            strength_doubt("the standard", self.standard_brix),
            strength_doubt("the batch", self.batch_brix),
            answer_doubt(self.off.written.value, self.poured.value),
        )
        return tuple(doubt for doubt in found if doubt)


def pour(
    spec_ml: float,
    standard_brix: float,
    batch_brix: float,
    jigger: Jigger | None = None,
    tolerance_percent: float = 5.0,
) -> PourAnswer:
    """What to pour of a plain sugar syrup that is off-strength, so that the drink keeps its sugar.

    spec_ml                    the written pour, ml
    standard_brix, batch_brix  strength designed for and measured, °Bx
    jigger                     what the bar can pour; steps of 2.5 ml when None
    tolerance_percent          change of sugar that may pass

    >>> answer = pour(22.5, 50, 54)  # WE-35 of tests/reference/facts/worked_examples.csv
    >>> round(answer.off.exact.value, 1), answer.poured
    (20.5, Amount(value=20.0, unit='ml'))
    """
    standard_density = sucrose.density(standard_brix) / 1000.0
    batch_density = sucrose.density(batch_brix) / 1000.0
    designed_g = spec_ml * standard_brix / 100.0 * standard_density
    batch_sugar = batch_brix / 100.0 * batch_density
    small = spec_ml <= SMALL_POUR_ML
    off = OffPour(Amount(spec_ml), designed_g, batch_sugar, jigger or Jigger(2.5), small=small)
    decision = decide([off], designed_g, tolerance_percent)
    return PourAnswer(off, decision, standard_brix, batch_brix, tolerance_percent, standard_density, batch_density)
