"""A drink made drier, sourer, stronger, lighter or larger."""

from __future__ import annotations

from functools import partial

from balancer.asking import names
from balancer.asking.outcome import Outcome
from balancer.desk.desk import Desk
from balancer.engine.swaps.adjust import AdjustedDrink, adjust
from balancer.engine.swaps.adjust_goals import Asked
from balancer.errors import Problem, UsageError
from balancer.output.data.adjust import adjust_data


def adjusted(desk: Desk, drink: str, asked: Asked) -> Outcome[AdjustedDrink]:
    """A drink, by its name, as it is asked for.

    Raises UsageError where nothing is asked, or two sizes are.
    """
    if asked.volume_ml is not None and asked.glass is not None:
        told = f"{desk.calls('--volume')} and {desk.calls('--glass')}: one of them says how large"
        raise UsageError("usage", told, "leave one out")
    if not (asked.sugar or asked.acid or asked.moves_spirits):
        *first, last = (desk.calls(f"--{word}") for word in ("sugar", "acid", "abv", "volume", "glass"))
        raise UsageError("usage", "nothing says what it should become", f"give {', '.join(first)} or {last}")
    result = adjust(desk.bar, names.drink(desk.loaded, drink), asked)
    return Outcome(result, partial(adjust_data, result), about=(result.drink.id,), touching=_touching(result))


def _touching(result: AdjustedDrink) -> list[Problem]:
    """Why it is no answer, or one that no bar would serve."""
    found = [] if result.feasible else [Problem("not-reached", "not all that is asked can be had", "")]
    return found if result.is_drink else [*found, Problem("too-much", "it is more than a drink", "")]
