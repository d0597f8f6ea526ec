"""Words that `adjust` says: what was asked, what came of it, and what is in the way."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, Literal

from balancer.engine.swaps.adjust import AdjustedDrink
from balancer.engine.swaps.adjust_goals import Asked, Goal
from balancer.engine.swaps.adjust_search import Missed, Stays
from balancer.engine.swaps.moved import Held
from balancer.models.house import House
from balancer.output.words.known import AT_LEAST
from balancer.output.words.numbers import percent, some, trim
from balancer.output.words.page import house_volume

_WHY: Final[dict[Stays | Literal["least", "most"], str]] = {
    "fixed": "fixed",
    "rinse": "a rinse",
    "spirit": "a spirit, which moves only with --abv or --volume",
    "counted": "counted, not measured",
    "bystander": "not there for that",
    "least": "would come down to the least the bar measures",
    "most": "as much of one thing as a drink holds",
}
_NAMED: Final = 3


def asked_words(asked: Asked, house: House) -> str:
    """What the drink should become: "sugar −10 %, 12 % ABV"."""
    said = []
    for what, wanted in (("sugar", asked.sugar), ("acid", asked.acid)):
        if wanted is not None:
            grams = trim(wanted.grams or 0.0, 1)
            said.append(f"{grams} g {what}" if wanted.percent is None else f"{what} {percent(wanted.percent)}")
    if asked.abv_percent is not None:
        said.append(f"{trim(asked.abv_percent, 1)} % ABV")
    if asked.volume_ml is not None:
        said.append(f"{house_volume(asked.volume_ml, house)} in the glass")
    if asked.glass is not None:
        said.append(f"for the {asked.glass}")
    return ", ".join(said)


def goal_row(goal: Goal, result: AdjustedDrink, house: House) -> tuple[str, str]:
    """One quantity that was asked: its label, what it is as poured, what it was, and what was asked."""
    quantity: Held = goal.quantity
    if quantity == "abv":
        was = result.old.as_drunk.abv_percent
        return "ABV", f"{_abv(goal.value(result.new))} % vol (was {_abv(was)}), asked {_abv(goal.target)}"
    if quantity == "volume":
        now, was_ml = result.new.as_drunk.volume_ml, result.old.as_drunk.volume_ml
        target = house_volume(goal.target, house)
        return "in the glass", f"{house_volume(now, house)} (was {house_volume(was_ml, house)}), asked {target}"
    wanted = result.asked.sugar if quantity == "sugar" else result.asked.acid
    change = result.moved.sugar_percent if quantity == "sugar" else result.moved.acid_percent
    if wanted is None or wanted.percent is None:
        asked = f"{trim(goal.target, 1)} g"
    elif result.asked.resizes:
        held, size = trim(goal.value(result.new), 1), trim(goal.target, 1)
        return quantity, f"{held} g; asked {size} g, {percent(wanted.percent)} for its new size"
    else:
        asked = percent(wanted.percent)
    grams = f"{trim(goal.value(result.new), 1)} g"
    return quantity, f"{grams}, {percent(change or 0.0)}; asked {asked}"


def stronger_words(result: AdjustedDrink) -> str:
    """How much more alcohol a guest would be served."""
    before, after = (
        f"{AT_LEAST if result.new.is_least('abv') else ''}{trim(each, 1)}" for each in result.standard_drinks
    )
    return f"heed: {after} standard drinks in it, {before} before; local rules and the guest come first"


def overflow_words(result: AdjustedDrink, house: House) -> str:
    """That its glass does not hold it; empty where it does."""
    glass = result.fill
    if glass is None or result.is_drink:
        return ""
    return f"{house_volume(glass.after_ml, house)} is more than the {glass.glass} holds"


def missed_words(missed: Missed, house: House) -> str:
    """The closest to what cannot be had."""
    goal = missed.goal
    if goal.quantity == "abv":
        closest, target = f"{_abv(missed.value)} % ABV", f"{_abv(goal.target)} %"
    elif goal.quantity == "volume":
        closest, target = f"{house_volume(missed.value, house)} in the glass", house_volume(goal.target, house)
    else:
        closest, target = f"{trim(missed.value, 1)} g {goal.quantity}", f"{trim(goal.target, 1)} g"
    return f"the closest is {closest}, {'asked' if goal.asked else 'to be held at'} {target}"


def stuck_rows(missed: Sequence[Missed], most: int = _NAMED) -> list[str]:
    """What is in the way, each pour once, those for one reason together; most: so many of them by name."""
    ways: dict[str, list[str]] = {}
    for each in missed:
        for stuck in each.stuck:
            names = ways.setdefault(_WHY[stuck.why], [])
            if stuck.liquid.name not in names:
                names.append(stuck.liquid.name)
    return [f"{some(names, most)}: {why}" for why, names in ways.items()]


def _abv(value: float) -> str:
    return trim(value, 1)
