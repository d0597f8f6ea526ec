"""`pour` on the screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from balancer.engine.drink.doubts import IMPLAUSIBLE_PERCENT
from balancer.models.house import House
from balancer.output.words.numbers import brix, percent, trim
from balancer.output.words.page import (
    house_pour,
    page,
)

if TYPE_CHECKING:
    from balancer.engine.service.pour import PourAnswer


def pour_text(answer: PourAnswer, house: House) -> str:
    """The answer of `pour`."""
    rounded = answer.rounded
    spec, poured = house_pour(rounded.spec_ml, house), house_pour(rounded.poured_ml, house)
    written, after = percent(rounded.as_written_percent), percent(rounded.after_percent)
    allowed = f"{trim(answer.tolerance_percent, 1)} %"
    rows = [f"{brix(answer.batch_brix)}, standard {trim(answer.standard_brix, 1)}: sugar {written} as written"]
    if rounded.verdict == "as written":
        first = f"pour {spec} {house.show}, as written"
        small = abs(rounded.as_written_percent) > answer.tolerance_percent
        rows[0] += "; too small a pour to change" if small else f", within {allowed}"
    elif rounded.verdict == "new pour":
        first = f"pour {poured} {house.show}, not {spec}"
        rows[0] += f", {after} with {poured}"
    else:
        first = f"out of reach: no pour keeps the sugar within {allowed}; correct the batch"
        rows[0] += f", {after} with {poured}" if poured != spec else ""
        rows.append(f"the jigger pours in steps of {house_pour(answer.step_ml, house)} {house.show}")
    if abs(rounded.as_written_percent) > IMPLAUSIBLE_PERCENT:
        rows.append("so far from its standard: stir and read again, unless it is another syrup")
    return page(first, rows, "--steps shows the working; percents are of the syrup's own sugar")
