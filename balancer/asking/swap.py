"""One sweetener or sour replaced by another: in a drink, across the menu, or by what is open tonight."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from balancer.asking import names
from balancer.asking.coming import coming, named
from balancer.asking.outcome import Outcome
from balancer.brief import brief
from balancer.desk.desk import Desk
from balancer.desk.swapping import held_of, strengths
from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.across import stand_ins, swap_all
from balancer.engine.swaps.at import offered, past_syrups
from balancer.engine.swaps.moved import Held
from balancer.engine.swaps.roles import usually_held
from balancer.engine.swaps.swap import Swap, swap
from balancer.errors import BalancerError, CannotError, Problem
from balancer.models.drink import Drink
from balancer.output.data.swap import menu_data, stand_ins_data, swap_data


@dataclass(frozen=True, slots=True)
class OneSwap:
    """One swap of one drink, by ids. bar: the bar with what comes in it; is_made_up: no file has that yet."""

    outcome: Outcome[Swap]
    bar: Bar
    drink: Drink
    out_id: str
    is_made_up: bool


@dataclass(frozen=True, slots=True)
class MenuSwaps:
    """A swap in every drink that pours what goes: those that have an answer, and those that have none, with why."""

    swaps: tuple[Swap, ...]
    failed: tuple[tuple[Drink, BalancerError], ...]

    __repr__ = brief


@dataclass(frozen=True, slots=True)
class StandIns:
    """What is open and could stand in, the least change first. past: names of syrups open past their last day."""

    drink: Drink
    out_id: str
    swaps: tuple[Swap, ...]
    past: tuple[str, ...]

    __repr__ = brief


def swapped(desk: Desk, drink: str, out: str, into: str, hold: str | None = None, *, tonight: bool = False) -> OneSwap:
    """One drink, one thing that comes for another, all by name; a syrup that no file has yet may come too.

    hold     what is held, in one text with commas; what is usual for what goes where nothing is said
    tonight  whether the open batches count as they read, not the spec
    Raises UsageError for a name that nothing has, and CannotError for what the drink does not pour.
    """
    found, out_id = _meant(desk, drink, out)
    held = _held(desk, hold, out_id)
    bar, into_id, is_made_up = coming(desk, into, "--in", out_id)
    at = strengths(desk, tonight=tonight)
    result = swap(bar, found, out_id, into_id, held, at.inventing(into_id) if is_made_up else at)
    outcome = Outcome(
        result,
        partial(swap_data, result, desk.house),
        about=(result.drink.id, *([] if is_made_up else [into_id])),
        touching=_touching(sound=result.is_sound),
    )
    return OneSwap(outcome, bar, found, out_id, is_made_up)


def swapped_everywhere(
    desk: Desk, out: str, into: str, hold: str | None = None, *, tonight: bool = False
) -> Outcome[MenuSwaps]:
    """The same in every drink that pours what goes. Raises CannotError where none does."""
    at = strengths(desk, tonight=tonight)
    out_id = named(desk, out, "--out")
    held = _held(desk, hold, out_id)
    bar, into_id, is_made_up = coming(desk, into, "--in", out_id)
    found, failed = swap_all(bar, out_id, into_id, held, at.inventing(into_id) if is_made_up else at)
    if not found and not failed:
        name = desk.specs.liquid(out_id).name
        raise CannotError("not-poured", f"no drink pours {name}", f"name what a drink pours with {desk.calls('--out')}")
    sound = not failed and all(result.is_sound for result in found)
    return Outcome(
        MenuSwaps(tuple(found), tuple(failed)),
        partial(menu_data, at, out_id, into_id, held, found, failed, desk.house),
        about=None,
        touching=[*_touching(sound=sound), *desk.loaded.broken_pouring(out_id)],
    )


def open_instead(desk: Desk, drink: str, out: str, hold: str | None = None) -> Outcome[StandIns]:
    """What is open tonight that could stand in for what goes of a drink."""
    found, out_id = _meant(desk, drink, out)
    held = _held(desk, hold, out_id)
    past = past_syrups(desk.bar, desk.in_use)
    swaps = stand_ins(desk.bar, found, out_id, offered(desk.in_use), held, strengths(desk, tonight=True))
    return Outcome(
        StandIns(found, out_id, tuple(swaps), tuple(past)),
        partial(stand_ins_data, found, out_id, held, swaps, past, desk.house),
        about=(found.id, *(one.into.id for one in swaps)),
        touching=_touching(sound=any(not result.reasons for result in swaps)),
    )


def _meant(desk: Desk, drink: str, out: str) -> tuple[Drink, str]:
    """The drink, and the id of what of it goes."""
    found = names.drink(desk.loaded, drink)
    return found, names.liquid(desk, out, "--out", [pour.of for pour in found.pours])


def _held(desk: Desk, text: str | None, out_id: str) -> tuple[Held, ...]:
    """What is held, each once, in the order written; what is usual for what goes where nothing is."""
    if text is None:
        return usually_held(desk.bar, out_id)
    return held_of(text.split(","), desk.calls("--hold"))


def _touching(*, sound: bool) -> Sequence[Problem]:
    """Why it is no answer."""
    return [] if sound else [Problem("not-held", "not everything can be held", "")]
