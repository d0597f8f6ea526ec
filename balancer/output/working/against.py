"""The working of `totals --against`: that of either drink."""

from __future__ import annotations

from balancer.engine.swaps.against import Against
from balancer.models.house import House
from balancer.output.words.against import other_called
from balancer.output.words.taste import taste_steps
from balancer.output.working.totals import totals_steps


def against_steps(result: Against, house: House) -> list[str]:
    """The working of `totals --against`, line by line. The other drink's is in its own house's measures."""
    return [
        f"{result.ours.drink.name}:",
        *totals_steps(result.ours, house),
        "",
        f"{other_called(result)}:",
        *totals_steps(result.theirs, result.their_house),
        *taste_steps(result.tasting),
    ]
