"""What a person does without us: the rule of thumb, and sugar by weight from a printed table of densities."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise, product
from math import floor
from typing import Final, NamedTuple

from balancer.models.ingredient import Ingredient
from tests.reference import read_rows

_SAME: Final = 1e-9


def printed_densities() -> list[tuple[float, float]]:
    """°Bx and g/ml of sucrose solutions at 20 °C, as [CRC] prints them, with water itself from [TORUN]; ascending."""
    rows = [row for row in read_rows() if row.stem == "sucrose_density" and row.inputs["temperature_c"] == 20.0]
    found = {row.inputs["brix"]: float(row.expected) / 1000.0 for row in rows if row.source == "CRC"}
    water = next(float(row.expected) for row in rows if row.source == "TORUN" and row.inputs["brix"] == 0.0)
    return sorted({**found, 0.0: water / 1000.0}.items())


TABLE: Final = printed_densities()


def density(brix: float) -> float:
    """g/ml of a syrup between two rows of the printed table, on a straight line."""
    place = bisect_right([row for row, _ in TABLE], brix) - 1
    (low, below), (high, above) = list(pairwise(TABLE))[min(place, len(TABLE) - 2)]
    return below + (brix - low) * (above - below) / (high - low)


def sugar_g_per_ml(brix: float, share: float) -> float:
    """Sugar in a ml of a syrup by the table, g; share is the part of its strength that is sugar, 0 to 1."""
    return brix / 100.0 * density(brix) * share


def ingredient_sugar(ingredient: Ingredient) -> tuple[float, float]:
    """Sugar in a ml and in a g of an ingredient as a person would work it out; what is not known is left at nothing.

    What is told by weight is brought to a ml with the density that its file has, else with the table's at its sugar.
    """
    if ingredient.sugar is None:
        return 0.0, 0.0
    told = ingredient.sugar.value / 1000.0
    if ingredient.sugar.unit == "g/kg":
        weighs = ingredient.density or density(min(100.0 * told, TABLE[-1][0]))
        return told * weighs, told
    return told, told / (ingredient.density or 1.0)


def by_ratio(written: float, standard_brix: float, brix: float) -> float:
    """The rule of thumb: the pour times what it was written for, by what the syrup reads."""
    return written * standard_brix / brix


def by_sugar(written: float, standard_brix: float, brix: float) -> float:
    """The pour with as much sugar as written, by the table."""
    return written * sugar_g_per_ml(standard_brix, 1.0) / sugar_g_per_ml(brix, 1.0)


def on_jigger(exact: float, written: float, step: float) -> float:
    """The nearest of a jigger's pours and the written one, which wins a tie; never nothing."""
    marked = max(step, step * floor(exact / step + 0.5))
    return written if abs(exact - written) <= abs(marked - exact) else marked


class Free(NamedTuple):
    """A pour that may be moved: as written, and what a ml brings now, in % of the drink's sugar."""

    written: float
    percent_per_ml: float


def any_within(pours: Sequence[Free], as_written_percent: float, tolerance_percent: float, step: float) -> bool:
    """Whether any jigger pours, up to twice the written ones, bring a drink within tolerance: tried one by one."""
    choices = [
        [pour.written, *(step * count for count in range(1, floor(2.0 * pour.written / step) + 1))] for pour in pours
    ]
    for poured in product(*choices):
        moved = sum((ml - pour.written) * pour.percent_per_ml for ml, pour in zip(poured, pours, strict=True))
        if abs(as_written_percent + moved) <= tolerance_percent + _SAME:
            return True
    return False
