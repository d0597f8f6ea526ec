"""`pour` on the screen."""

from __future__ import annotations

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.doubts import IMPLAUSIBLE_PERCENT
from balancer.engine.service.pour import PourAnswer
from balancer.models.house import House
from balancer.output.words.amounts import amount_text, change_numbers
from balancer.output.words.numbers import brix, percent, trim
from balancer.output.words.page import page


def pour_text(answer: PourAnswer, house: House) -> str:
    """The answer of `pour`."""
    decision = answer.decision
    spec, poured = change_numbers(answer.off.written, answer.poured, house)
    written, after = percent(decision.as_written_percent), percent(decision.after_percent)
    allowed = f"{trim(answer.tolerance_percent, 1)} %"
    rows = [f"{brix(answer.batch_brix)}, standard {trim(answer.standard_brix, 1)}: sugar {written} as written"]
    if decision.verdict == "as written":
        first = f"pour {spec} {house.show}, as written"
        rows[0] += "; too small a pour to change" if answer.is_left_small else f", within {allowed}"
    elif decision.verdict == "new pour":
        first = f"pour {poured} {house.show}, not {spec}"
        rows[0] += f", {after} with {poured}"
    else:
        first = f"out of reach: no pour keeps the sugar within {allowed}; correct the batch"
        rows[0] += f", {after} with {poured}" if poured != spec else ""
        rows.append(f"the jigger pours in steps of {amount_text(Amount(answer.off.jigger.step), house)}")
    if abs(decision.as_written_percent) > IMPLAUSIBLE_PERCENT:
        rows.append("so far from its standard: stir and read again, unless it is another syrup")
    return page(first, rows, "--steps shows the working; percents are of the syrup's own sugar")
