"""One pour of one syrup, without any files."""

from __future__ import annotations

from dataclasses import dataclass

from balancer.engine.service.decision import SMALL_POUR_ML, OffPour, Rounded, round_pours
from balancer.properties import sucrose


@dataclass(frozen=True, slots=True)
class PourAnswer:
    """The verdict, and the numbers it stands on: g/ml of syrup and g of sugar per ml, at both strengths.

    The percentages are changes of the syrup's own sugar, since no drink is known.
    """

    rounded: Rounded
    standard_brix: float
    batch_brix: float
    step_ml: float
    tolerance_percent: float
    standard_density: float
    batch_density: float

    @property
    def standard_sugar(self) -> float:
        """Sugar in a ml at standard, in g."""
        return self.standard_brix / 100.0 * self.standard_density

    @property
    def batch_sugar(self) -> float:
        """Sugar in a ml of the batch, in g."""
        return self.batch_brix / 100.0 * self.batch_density


def pour(
    spec_ml: float, standard_brix: float, batch_brix: float, step_ml: float = 2.5, tolerance_percent: float = 5.0
) -> PourAnswer:
    """What to pour of a plain sugar syrup that is off-strength, so that the drink keeps its sugar.

    spec_ml                    the written pour, ml
    standard_brix, batch_brix  strength designed for and measured, °Bx
    step_ml                    the smallest change the bar can pour, ml
    tolerance_percent          change of sugar that may pass

    >>> answer = pour(22.5, 50, 54).rounded  # WE-35 of tests/reference/facts/worked_examples.csv
    >>> round(answer.exact_ml, 1), answer.poured_ml
    (20.5, 20.0)
    """
    standard_density = sucrose.density(standard_brix) / 1000.0
    batch_density = sucrose.density(batch_brix) / 1000.0
    standard_sugar = standard_brix / 100.0 * standard_density
    batch_sugar = batch_brix / 100.0 * batch_density
    off = OffPour(spec_ml, spec_ml * standard_sugar, batch_sugar, step_ml, small=spec_ml <= SMALL_POUR_ML)
    (rounded,) = round_pours([off], spec_ml * standard_sugar, tolerance_percent)
    return PourAnswer(rounded, standard_brix, batch_brix, step_ml, tolerance_percent, standard_density, batch_density)
