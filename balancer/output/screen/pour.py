"""`pour` on the screen."""

from __future__ import annotations

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.doubts import IMPLAUSIBLE_PERCENT
from balancer.engine.service.pour import PourAnswer
from balancer.models.house import House
from balancer.output.words.advice import NO_POUR, beside_spec, sugar_moved
from balancer.output.words.amounts import amount_text, change_of
from balancer.output.words.numbers import percent, trim
from balancer.output.words.page import act, fine, page, watch


def pour_text(answer: PourAnswer, house: House) -> str:
    """The answer of `pour`."""
    decision = answer.decision
    change = change_of(answer.off.written, answer.poured, house)
    spec, poured = change.before, f"{change.after} {change.unit}"
    written = percent(decision.as_written_percent)
    allowed = f"{trim(answer.tolerance_percent, 1)} %"
    strengths = beside_spec(answer.batch_brix, answer.standard_brix)
    said = f"sugar {written}"
    rows: list[str] = []
    if decision.verdict == "as written":
        first = fine(f"pour {poured}, as written")
        said += "; too small a pour to change" if answer.is_left_small else f", within {allowed}"
    elif decision.verdict == "new pour":
        first = watch(f"pour {poured}" if change.is_none else f"pour {poured}, not {spec}")
        said = sugar_moved(decision.after_percent, decision.as_written_percent)
    else:
        first = act(f"{NO_POUR}: none keeps the sugar within {allowed}; correct the batch")
        said += f", {percent(decision.after_percent)} with {change.after}" if not change.is_none else ""
        rows.append(f"the jigger pours in steps of {amount_text(Amount(answer.off.jigger.step), house)}")
    rows.insert(0, f"{strengths}: {said}")
    if abs(decision.as_written_percent) > IMPLAUSIBLE_PERCENT:
        rows.append(act("so far off: stir, balancer measure READING, unless it is another syrup"))
    return page(first, rows, "--steps shows the working; percents are of the syrup's own sugar")
