"""`swap` on the screen."""

from __future__ import annotations

from collections.abc import Sequence

from balancer.engine.drink.liquid import Liquid
from balancer.engine.swaps.at import Strength
from balancer.engine.swaps.moved import Held
from balancer.engine.swaps.swap import Swap
from balancer.errors import BalancerError
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.output.words.amounts import amount_text, change_text
from balancer.output.words.known import known_change, unknown_contents
from balancer.output.words.look import columns
from balancer.output.words.numbers import brix, count, pad, percent, some, trim, width
from balancer.output.words.page import ROWS, act, few, labelled, page
from balancer.output.words.safety import MORE
from balancer.output.words.strengths import assumed, batch_note, for_what, open_too
from balancer.output.words.swap import (
    NOT_A_SWAP,
    QUANTITY_WORDS,
    abv_change,
    changed_pour,
    glass_words,
    in_all,
    not_a_swap,
    obstacle_words,
    poured_text,
    reason_text,
    unknown_alcohol,
)
from balancer.output.words.taste import LABEL, published_text, taste_text

_NAMED = 3


def swap_text(result: Swap, house: House) -> str:
    """The answer for one drink. What a guest must be told comes before what to pour."""
    first = _first(result, house)
    rows = [*_reason_rows(result, house), *_obstacle_rows(result, house), *_strength_rows(result), *_moves_rows(result)]
    rows.append(labelled("glass", glass_words(result.new, result.volume_change_ml, result.fill, house)))
    if result.feasible:
        rows.extend(_one_for_one_rows(result))
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
    return page(first, [*_standard_rows(one), *rows], "; ".join(more))


def _once(found: Sequence[Swap]) -> list[str]:
    """What a guest must be told of what comes, once for all drinks, and in which of them it is nothing new."""
    told = []
    for allergen in sorted({name for result in found for name in result.gained}):
        others = [result.drink.name for result in found if allergen not in result.gained]
        told.append(f"allergen gained: {allergen}" + (f", but for {some(others, _NAMED)}" if others else ""))
    if any(result.unknown for result in found):
        told.append(_unknown_allergens(found[0]))
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
    elif _warnings(best, house):
        first = act("; ".join([*_warnings(best, house), first]))
    rows = []
    shown, left = few(found, ROWS)
    for result in shown:
        said = "; ".join([*_warnings(result, house), _changes(result)])
        named = f"{result.into.name}{batch_note(result.strength)}"
        rows.append(f"{_poured(result, house, named)}: {said}")
    ranked = "ranked by what each is, then by how little moves; allergens, alcohol and what is not a swap last"
    return page(first, rows, "; ".join([*left, *assumed(best.at, _concerned(found)), ranked, *more]))


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
    warnings = _warnings(result, house)
    return act("; ".join([*warnings, answer])) if warnings else answer


def _concerned(found: Sequence[Swap]) -> list[tuple[Liquid, Strength]]:
    """The syrups of several swaps, each once."""
    return list({liquid.id: (liquid, strength) for one in found for liquid, strength in one.concerned}.values())


def _answer(result: Swap, house: House) -> str:
    parts = [f"{result.out.name} replaced by {_poured(result, house, result.into.name)}"]
    parts += [changed_pour(pour, house) for pour in result.free_pours if not pour.is_new]
    lead = f"{result.drink.name} {for_what(result.at, result.concerned)}: "
    if not result.feasible:
        return act(f"{lead}cannot hold {_listed(result.held)} at once")
    missed = [f"{QUANTITY_WORDS[quantity]} {percent(change)}" for quantity, change in result.held_misses]
    held = [f"no pour holds it closer: {', '.join(missed)}"] if missed else []
    held += [f"{_listed(result.held)} held"] if result.is_of_a_sour and not missed else []
    return lead + "; ".join([*filter(None, parts), *held])


def _poured(result: Swap, house: House, name: str) -> str:
    """What to pour of what comes: 25 ml rich syrup in all, 15 before."""
    return in_all(f"{poured_text(result.new_pour, house)} {name}", result.before, house)


def _warnings(result: Swap, house: House) -> list[str]:
    """What stands before the answer: that it is no swap, then what a guest must be told."""
    verdict = not_a_swap(result.reasons, result.into, result.drink, house)
    found = [verdict] if verdict else []
    found += [f"allergen gained: {', '.join(result.gained)}"] if result.gained else []
    found += [_unknown_allergens(result)] if result.unknown else []
    return found


def _unknown_allergens(result: Swap) -> str:
    return f"allergens of {result.into.name} unknown: ask before it is served"


def _reason_rows(result: Swap, house: House) -> list[str]:
    """The other reasons, and what is to be said of what comes."""
    others = [reason_text(reason, result.into, result.drink, house) for reason in result.reasons[1:]]
    rows: list[str] = [act(labelled("not a swap", f"{'; '.join(others)}"))] if others else []
    return rows + [labelled("caution", f"{result.into.name}: {text}") for text in result.cautions]


def _strength_rows(result: Swap) -> list[str]:
    rows = _standard_rows(result)
    said = [*assumed(result.at, result.concerned), *open_too(result.concerned)]
    return rows + [labelled("strengths", "; ".join(said))] * bool(said)


def _standard_rows(result: Swap) -> list[str]:
    """How strong what comes is, where the first line does not say it."""
    if result.strength is None:
        if result.is_of_a_sour:
            return [labelled("new sour", f"{result.into.name}, {trim(result.into.acid_g_per_kg, 0)} g acid per kg")]
        return [labelled("new sweetener", f"{result.into.name}, {trim(result.into.sugar_g_per_kg, 0)} g sugar per kg")]
    if result.into.id == result.at.made_up:
        return [labelled("new syrup", f"{brix(result.strength.brix)}, made up: no file has it")]
    if result.at.is_tonight:
        return []
    whose = "as this drink is written for" if result.into.id in result.drink.written_for else "its standard"
    return [labelled("new syrup", f"{brix(result.strength.brix)}, {whose}")]


def _moves_rows(result: Swap) -> list[str]:
    """What changes in the glass and is not said as what a guest may notice."""
    change, tasted = result.moved, result.taste.says
    said = [] if tasted("sugar") else [known_change("sugar", change.sugar_percent, change, says_none=False)]
    said += [] if tasted("acid") else [known_change("acid", change.acid_percent, change, says_none=False)]
    if change.abv_points is not None and not tasted("abv"):
        said.append(abv_change(change.abv_points, says_none=False))
    if result.brings_acid and not tasted("acid"):
        grams = trim(result.new.acid_g, 1)
        said.append(f"acid {'under 0.1' if grams == '0' else grams} g in a drink that had none")
    alcohol = unknown_alcohol(result)
    rows = [("moves", ", ".join(filter(None, said)) or "nothing else"), ("ABV", alcohol)]
    return [labelled(label, text) for label, text in rows if text]


def _changes(result: Swap) -> str:
    change = result.moved
    said = [known_change("sugar", change.sugar_percent, change), known_change("acid", change.acid_percent, change)]
    said = [text for text in said if text]
    volume = change.known_volume_percent
    return ", ".join([*said, f"volume {percent(volume)}"] if volume is not None else said)


def _one_for_one_rows(result: Swap) -> list[str]:
    strength = result.make_at_brix
    if strength is None:
        return []
    return [labelled("or", f"make it at {brix(strength)} and it pours one for one")]


def _obstacle_rows(result: Swap, house: House) -> list[str]:
    words = obstacle_words(result, house)
    if not words:
        return []
    pours = ", ".join(f"{poured_text(pour, house)} {pour.liquid.name}" for pour in result.free_pours)
    return [*words, labelled("its pours", pours)]


def _listed(held: Sequence[Held]) -> str:
    *others, last = [QUANTITY_WORDS[quantity] for quantity in held]
    return f"{', '.join(others)} and {last}" if others else last


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
    flags += [] if result.feasible else [f"cannot hold {_listed(result.held)}"]
    others = [changed_pour(pour, house) for pour in result.free_pours if not pour.is_new]
    change = result.moved
    moves = [known_change("sugar", change.sugar_percent, change), known_change("acid", change.acid_percent, change)]
    moves = [text for text in moves if text]
    return "; ".join([*flags, f"{pour}{written}", *filter(None, others), ", ".join(moves)])


def _failed(drink: Drink, error: BalancerError) -> str:
    return f"{drink.name}: {error.problems()[0].message}"
