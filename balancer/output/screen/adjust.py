"""`adjust` on the screen."""

from __future__ import annotations

from typing import Final

from balancer.engine.swaps.adjust import AdjustedDrink
from balancer.models.house import House
from balancer.output.words.adjust import asked_words, goal_row, missed_words, overflow_words, stronger_words, stuck_rows
from balancer.output.words.known import known_change, unknown_contents
from balancer.output.words.numbers import percent
from balancer.output.words.page import ROWS, act, few, house_volume, labelled, page
from balancer.output.words.swap import abv_change, changed_pour, glass_words
from balancer.output.words.taste import LABEL, published_text, taste_text

AS_WRITTEN: Final = "as written is the closest that can be poured"
WEIGHED: Final = "it was weighed as written; weigh one again before and after the ice"


def adjust_text(result: AdjustedDrink, house: House) -> str:
    """The answer: the pours that change, then what came of it."""
    changes = [changed_pour(pour, house) for pour in result.changed]
    lead = f"{result.drink.name}, {asked_words(result.asked, house)}: "
    rows: list[str] = []
    if not result.feasible:
        first: str = act(f"{lead}{not_had(result)}")
        rows += missed_rows(result, house)
        rows += stuck_rows(result.missed)
        rows.append(labelled("its pours", ", ".join(changes) or "as written"))
    elif not changes:
        first = f"{lead}{AS_WRITTEN}"
    else:
        first = lead + "; ".join(changes)
    if result.is_stronger and result.feasible:
        rows.insert(0, act(stronger_words(result)))
    overflow = overflow_words(result, house) if result.feasible else ""
    first = act(f"{overflow}; {first}") if overflow else first
    for goal in result.goals:
        if goal.asked:
            rows.append(labelled(*goal_row(goal, result, house)))
    moves = moves_text(result)
    rows += [labelled("moves", moves)] if moves else []
    if result.asked.volume_ml is None:
        rows.append(labelled("glass", glass_words(result.new, result.volume_change_ml, result.fill, house)))
    if result.drink.weighed is not None:
        rows.append(f"heed: {WEIGHED}")
    shown, more = few(rows, ROWS - 1)
    tasting = result.taste.besides([goal.quantity for goal in result.goals if goal.asked])
    if result.feasible:
        shown = [*shown, labelled(LABEL, taste_text(tasting))]
        more += [] if tasting.dilution_unknown else [published_text(tasting)]
    if result.shrinks_without_water:
        more.append(f"--volume {house_volume(result.old.as_drunk.volume_ml, house).replace(' ', '')} adds water to it")
    more += ["balancer bottle mixes several serves"] if _is_at_most(result) else []
    unknown = unknown_contents(result.new.unknown)
    more += [f"not known: {', '.join(unknown)}"] if unknown else []
    return page(first, shown, "; ".join([*more, "--steps shows the working"]))


def not_had(result: AdjustedDrink) -> str:
    """That not all can be had: what is asked, or that only by moving what is held."""
    return "cannot be had" if any(each.goal.asked for each in result.missed) else "not without moving what is held"


def missed_rows(result: AdjustedDrink, house: House) -> list[str]:
    """The closest to what is asked and cannot be had; where all that can, to what is held."""
    asked = [missed for missed in result.missed if missed.goal.asked]
    return [missed_words(missed, house) for missed in asked or result.missed]


def _is_at_most(result: AdjustedDrink) -> bool:
    """Whether something in the way is as much as a drink holds of one thing."""
    return any(stuck.why == "most" for missed in result.missed for stuck in missed.stuck)


def moves_text(result: AdjustedDrink) -> str:
    """What changes that was not asked and is not said as what a guest may notice; where resized, per 100 ml."""
    tasted = result.taste.says
    if result.asked.resizes:
        left = [item for item in result.noticed if item.quantity != "abv" and not tasted(item.quantity)]
        found = [item for item in left if item.quantity != "sugar" or not tasted("sweetness")]
        return f"per 100 ml {', '.join(f'{item.quantity} {percent(item.change)}' for item in found)}" if found else ""
    asked = {goal.quantity for goal in result.goals if goal.asked}
    change = result.moved
    asked |= {quantity for quantity in ("sugar", "acid", "abv") if tasted(quantity)}
    said = [known_change("sugar", change.sugar_percent, change, says_none=False)] if "sugar" not in asked else []
    said += [known_change("acid", change.acid_percent, change, says_none=False)] if "acid" not in asked else []
    if "abv" not in asked and change.abv_points is not None and result.old.ethanol_g:
        said.append(abv_change(change.abv_points, says_none=False))
    return ", ".join(filter(None, said))
