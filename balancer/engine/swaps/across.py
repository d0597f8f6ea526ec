"""A sweetener replaced across the menu, and what is open that could stand in for it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.at import STANDARD, At, Strength
from balancer.engine.swaps.likeness import Likeness, LikenessTo
from balancer.engine.swaps.moved import Held
from balancer.engine.swaps.roles import sours, usually_held
from balancer.engine.swaps.swap import Swap, check_going, swap
from balancer.errors import BalancerError
from balancer.models.drink import Drink


def swap_all(
    bar: Bar,
    out_id: str,
    in_id: str,
    held: Sequence[Held] = (),
    at: At = STANDARD,
) -> tuple[tuple[Swap, ...], tuple[tuple[Drink, BalancerError], ...]]:
    """The swap in every drink that pours it, in the order of the menu, and the drinks where there is no answer.

    Raises CannotError when what comes is past its last day.
    """
    at.check_not_past(bar, in_id)
    found, failed = [], []
    for drink in bar.specs.drinks_with(out_id):
        try:
            found.append(swap(bar, drink, out_id, in_id, held, at))
        except BalancerError as error:
            failed.append((drink, error))
    return tuple(found), tuple(failed)


def stand_ins(
    bar: Bar,
    drink: Drink,
    out_id: str,
    open_ones: Iterable[tuple[str, Strength]],
    held: Sequence[Held] = (),
    at: At = STANDARD,
) -> tuple[Swap, ...]:
    """What is open that could stand in for a sweetener, the one that moves the drink least first.

    open_ones  syrup ids and the strengths of their open batches
    at         how strong every other syrup of the drink is
    Whatever brings an allergen, an unknown one, or alcohol into a drink without comes last; before how much moves
    counts what each is.
    """
    held = held or usually_held(bar, out_id)
    check_going(bar, drink, out_id, held, at)
    alike = LikenessTo(bar, drink, out_id)
    found = []
    for identity, strength in open_ones:
        if identity != out_id:
            try:
                found.append(swap(bar, drink, out_id, identity, held, at.pouring(identity, strength)))
            except BalancerError:  # it holds no sugar, or cannot be poured as strong as it is
                continue

    def rank(item: Swap) -> tuple[bool, bool, bool, Likeness, float, str, str]:
        batch = (item.strength and item.strength.batch) or ""
        return *_last(item), alike.of(item.into), item.effort, item.into.id, batch

    return tuple(sorted(found, key=rank))


def sour_stand_ins(
    bar: Bar, drink: Drink, out_id: str, held: Sequence[Held] = (), at: At = STANDARD
) -> tuple[Swap, ...]:
    """Every other sour of the house in the place of one, what moves the drink least first.

    What is not a swap comes last, before it what brings an allergen or an unknown one; one without an answer is left
    out. Raises CannotError as `swap` does where the old one cannot go.
    """
    held = held or usually_held(bar, out_id)
    check_going(bar, drink, out_id, held, at)
    found = []
    for identity in sours(bar):
        if identity != out_id:
            try:
                found.append(swap(bar, drink, out_id, identity, held, at))
            except BalancerError:  # nobody knows its acid, or it is poured already and fixed
                continue
    return tuple(sorted(found, key=lambda one: (*_last(one), one.effort, one.into.id)))


def _last(item: Swap) -> tuple[bool, bool, bool]:
    """What puts it behind others, the gravest first."""
    return bool(item.reasons), not item.is_harmless, not item.feasible
