"""`swap` on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from balancer.engine.drink.liquid import Liquid
from balancer.engine.swaps.at import Strength
from balancer.engine.swaps.swap import Swap
from balancer.errors import BalancerError
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.output.words.amounts import amount_text, change_text
from balancer.output.words.known import known_change, unknown_contents
from balancer.output.words.look import columns
from balancer.output.words.numbers import count, pad, percent, some, width
from balancer.output.words.page import ROWS, act, few, labelled, page
from balancer.output.words.safety import MORE
from balancer.output.words.strengths import assumed, batch_note, for_what, open_too
from balancer.output.words.swap import (
    NOT_A_SWAP,
    QUANTITY_WORDS,
    changed_pour,
    glass_words,
    in_all,
    not_a_swap,
    obstacle_words,
    poured_text,
)
from balancer.output.words.swapped import (
    cannot_hold,
    cautions_of,
    coming_rows,
    held_text,
    moves_rows,
    one_for_one_text,
    reasons_of,
    unknown_allergens,
    warnings_of,
)
from balancer.output.words.taste import LABEL, published_text, taste_text

_NAMED = 3
SOURS_RANKED: Final = "ranked by how little moves; allergens and what is not a swap last"
STAND_INS_RANKED: Final = (
    "ranked by what each is, then by how little moves; allergens, alcohol and what is not a swap last"
)


def swap_text(result: Swap, house: House) -> str:
    """The answer for one drink. What a guest must be told comes before what to pour."""
    first = _first(result, house)
    rows = [*_reason_rows(result, house), *_obstacle_rows(result, house), *_strength_rows(result)]
    rows += [labelled(*row) for row in moves_rows(result)]
    rows.append(labelled("glass", glass_words(result.new, result.volume_change_ml, result.fill, house)))
    if result.feasible and (equal := one_for_one_text(result)):
        rows.append(labelled("or", equal))
    shown, more = few(rows, ROWS - 1)
    shown = [*shown, labelled(LABEL, taste_text(result.taste))]
    more += [] if result.taste.dilution_unknown else [published_text(result.taste)]
    unknown = unknown_contents(result.new.unknown)
    more += [f"not known: {', '.join(unknown)}"] if unknown else []
    more += [MORE] if result.obstacle and result.obstacle.is_short_of_acid else []
    return page(first, shown, "; ".join([*more, "--steps shows the working"]))


def menu_text(found: Sequence[Swap], failed: Sequence[tuple[Drink, BalancerError]], house: House) -> str:
    """The answer for the whole menu: what is told once, then each drink with its written pour and the new one.

    What is not a swap comes last.
    """
    if not found:
        return page("no drink has an answer", [_failed(drink, error) for drink, error in failed], "balancer check")
    one = found[0]
    everything = _concerned(found)
    lead = (
        f"{for_what(one.at, everything)}: {one.out.name} replaced by {one.into.name} in {count(len(found), 'drinks')}"
    )
    refused = [result.drink.name for result in found if result.reasons]
    where = f"any of {count(len(found), 'drinks')}" if len(refused) == len(found) else some(refused, _NAMED)
    told = [f"{NOT_A_SWAP} in {where}"] if refused else []
    told += _once(found)
    first = act("; ".join([*told, lead])) if told else lead
    listed = sorted(found, key=lambda result: bool(result.reasons))
    said = [_menu_row(result, house) for result in listed]
    column = max(width(result.drink.name) for result in found)
    in_columns = column + 4 + max(width(text) for text in said) <= columns()
    rows = [
        f"{pad(result.drink.name, column)}  {text}" if in_columns else f"{result.drink.name}: {text}"
        for result, text in zip(listed, said, strict=True)
    ]
    rows.extend(_failed(drink, error) for drink, error in failed)
    more = [*assumed(one.at, everything), *open_too(everything), "swap DRINK shows what moves in each"]
    return page(first, [*(labelled(*row) for row in coming_rows(one)), *rows], "; ".join(more))


def _once(found: Sequence[Swap]) -> list[str]:
    """What a guest must be told of what comes, once for all drinks, and in which of them it is nothing new."""
    told = []
    for allergen in sorted({name for result in found for name in result.gained}):
        others = [result.drink.name for result in found if allergen not in result.gained]
        told.append(f"allergen gained: {allergen}" + (f", but for {some(others, _NAMED)}" if others else ""))
    if any(result.unknown for result in found):
        told.append(unknown_allergens(found[0]))
    return told


def stand_ins_text(drink: Drink, out: str, found: Sequence[Swap], past: Sequence[str], house: House) -> str:
    """The answer to "we are out of it": what is open, the least change first.

    past  ids of open batches that were left out because their last day of use is over
    """
    more = [f"left out, past their last day: {', '.join(past)}"] if past else []
    if not found:
        return page(
            f"nothing open tonight can stand in for {out} in {drink.name}",
            ["log an open batch with its strength, or name what comes with --in"],
            "; ".join([*more, "balancer batch list shows what is open"]),
        )
    best = found[0]
    first = _stand_in(best, house)
    if best.reasons:
        first = act(f"nothing open tonight can stand in for {out} in {drink.name}: what is open is {NOT_A_SWAP}")
    elif warnings_of(best, house):
        first = act("; ".join([*warnings_of(best, house), first]))
    shown, left = few(found, ROWS)
    rows = [
        f"{stand_in_pour(result, house)}: {'; '.join([*warnings_of(result, house), stand_in_moves(result)])}"
        for result in shown
    ]
    return page(first, rows, "; ".join([*left, *assumed(best.at, _concerned(found)), STAND_INS_RANKED, *more]))


def stand_in_pour(result: Swap, house: House) -> str:
    """What to pour of what is open, and of which batch."""
    return _poured(result, house, f"{result.into.name}{batch_note(result.strength)}")


def _stand_in(result: Swap, house: House) -> str:
    """What is open that comes closest: what to pour of it for what."""
    if not result.feasible:
        return _answer(result, house)
    read = {liquid.id: batch_note(strength) for liquid, strength in result.concerned}
    comes = _poured(result, house, f"{result.into.name}{batch_note(result.strength)}")
    goes = f"{result.out.name}{read.get(result.out.id, '')}"
    others = [changed_pour(pour, house) for pour in result.free_pours if not pour.is_new]
    said = "; ".join([f"{comes} for {goes}", *filter(None, others)])
    return f"{result.drink.name} for tonight: {said}; the closest match open now"


def _first(result: Swap, house: House) -> str:
    """The answer, behind what a guest must be told."""
    answer = _answer(result, house)
    warnings = warnings_of(result, house)
    return act("; ".join([*warnings, answer])) if warnings else answer


def _concerned(found: Sequence[Swap]) -> list[tuple[Liquid, Strength]]:
    """The syrups of several swaps, each once."""
    return list({liquid.id: (liquid, strength) for one in found for liquid, strength in one.concerned}.values())


def _answer(result: Swap, house: House) -> str:
    parts = [f"{result.out.name} replaced by {_poured(result, house, result.into.name)}"]
    parts += [changed_pour(pour, house) for pour in result.free_pours if not pour.is_new]
    lead = f"{result.drink.name} {for_what(result.at, result.concerned)}: "
    if not result.feasible:
        return act(f"{lead}{cannot_hold(result)}")
    missed = [f"{QUANTITY_WORDS[quantity]} {percent(change)}" for quantity, change in result.held_misses]
    held = [f"no pour holds it closer: {', '.join(missed)}"] if missed else []
    held += [f"{held_text(result.held)} held"] if result.is_of_a_sour and not missed else []
    return lead + "; ".join([*filter(None, parts), *held])


def _poured(result: Swap, house: House, name: str) -> str:
    """What to pour of what comes: 25 ml rich syrup in all, 15 before."""
    return in_all(f"{poured_text(result.new_pour, house)} {name}", result.before, house)


def _reason_rows(result: Swap, house: House) -> list[str]:
    """The other reasons, and what is to be said of what comes."""
    others = reasons_of(result, house)[1:]
    rows: list[str] = [act(labelled("not a swap", f"{'; '.join(others)}"))] if others else []
    return rows + [labelled("caution", text) for text in cautions_of(result)]


def _strength_rows(result: Swap) -> list[str]:
    rows: list[str] = [labelled(*row) for row in coming_rows(result)]
    said = [*assumed(result.at, result.concerned), *open_too(result.concerned)]
    return rows + [labelled("strengths", "; ".join(said))] * bool(said)


def stand_in_moves(result: Swap) -> str:
    """What moves with it."""
    change = result.moved
    said = [known_change("sugar", change.sugar_percent, change), known_change("acid", change.acid_percent, change)]
    said = [text for text in said if text]
    volume = change.known_volume_percent
    return ", ".join([*said, f"volume {percent(volume)}"] if volume is not None else said)


def _obstacle_rows(result: Swap, house: House) -> list[str]:
    words = obstacle_words(result, house)
    if not words:
        return []
    pours = ", ".join(f"{poured_text(pour, house)} {pour.liquid.name}" for pour in result.free_pours)
    return [*words, labelled("its pours", pours)]


def _menu_row(result: Swap, house: House) -> str:
    new = result.new_pour
    if new.spec is None or result.before is not None or new.measured is not None:
        poured = in_all(poured_text(new, house), result.before, house)
        pour = f"{amount_text(result.replaced, house)} → {poured}"
    else:
        pour = change_text(new.spec, new.poured, house)
    written = f" ({amount_text(new.written, house)} as written)" if new.written else ""
    verdict = not_a_swap(result.reasons, result.into, result.drink, house)
    flags = [verdict] if verdict else []
    flags += [] if result.feasible else [f"cannot hold {held_text(result.held)}"]
    others = [changed_pour(pour, house) for pour in result.free_pours if not pour.is_new]
    change = result.moved
    moves = [known_change("sugar", change.sugar_percent, change), known_change("acid", change.acid_percent, change)]
    moves = [text for text in moves if text]
    return "; ".join([*flags, f"{pour}{written}", *filter(None, others), ", ".join(moves)])


def _failed(drink: Drink, error: BalancerError) -> str:
    return f"{drink.name}: {error.problems()[0].message}"
