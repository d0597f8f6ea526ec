"""The working of `adjust`."""

from __future__ import annotations

from balancer.engine.swaps.adjust import AdjustedDrink
from balancer.engine.swaps.adjust_goals import Goal
from balancer.models.house import House
from balancer.output.words.sums import amount, grams, ratio, wrapped
from balancer.output.words.swap import poured_text


def adjust_steps(result: AdjustedDrink, house: House) -> list[str]:
    """The working: what each quantity should come to, then its sum exactly and as poured."""
    lines: list[str] = []
    for goal in result.goals:
        lines += [*([""] if lines else []), _goal_line(goal, result)]
        if goal.quantity in ("sugar", "acid"):
            lines += _sum_steps("exactly", goal, result, poured=False)
            lines += _sum_steps("poured", goal, result, poured=True)
        else:
            exactly, poured = grams(goal.value(result.exact)), grams(goal.value(result.new))
            lines.append(f"  by the volume model: exactly {exactly}, poured {poured} {_UNITS[goal.quantity]}")
    free = [pour for pour in result.pours if pour.is_free]
    exactly = " · ".join(f"{amount(pour.exact.value)} {pour.exact.unit} {pour.liquid.name}" for pour in free)
    best = " · ".join(f"{poured_text(pour, house)} {pour.liquid.name}" for pour in free)
    return [*lines, "", *wrapped(f"exact pours: {exactly}"), *wrapped(f"closest match: {best}")]


_UNITS = {"sugar": "g", "acid": "g", "abv": "% vol", "volume": "ml", "sweetness": ""}


def _goal_line(goal: Goal, result: AdjustedDrink) -> str:
    unit = _UNITS[goal.quantity]
    now = grams(goal.value(result.old))
    wanted = f"{'asked' if goal.asked else 'to be held at'} {grams(goal.target)} {unit}"
    return f"{goal.quantity} as written {now} {unit}, {wanted}"


def _sum_steps(label: str, goal: Goal, result: AdjustedDrink, *, poured: bool) -> list[str]:
    terms = []
    for pour in result.pours:
        value = (pour.poured if poured else pour.exact).value
        per = pour.sugar_per_unit if goal.quantity == "sugar" else pour.acid_per_unit
        if per and value:
            terms.append(f"{amount(value)} × {ratio(per)}")
    total = goal.value(result.new if poured else result.exact)
    return wrapped(f"  {label}: {' + '.join(terms) or '0'} = {grams(total)} g")
