"""`swap` on the screen."""

from __future__ import annotations

from collections.abc import Sequence

from balancer.engine.drink.liquid import Liquid
from balancer.engine.swaps.at import Strength
from balancer.engine.swaps.moved import CAVEAT, Held, Noticed
from balancer.engine.swaps.swap import Swap
from balancer.errors import BalancerError
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.output.words.amounts import amount_text, change_text
from balancer.output.words.known import known_change, unknown_contents
from balancer.output.words.look import columns
from balancer.output.words.numbers import brix, count, pad, percent, trim, width
from balancer.output.words.page import ROWS, act, few, labelled, page
from balancer.output.words.strengths import assumed, batch_note, for_what, open_too
from balancer.output.words.swap import (
    QUANTITY_WORDS,
    changed_pour,
    glass_words,
    obstacle_words,
    poured_text,
    unknown_alcohol,
)


def swap_text(result: Swap, house: House) -> str:
    """The answer for one drink. What a guest must be told comes before what to pour."""
    first = _first(result, house)
    rows = [*_obstacle_rows(result, house), *_strength_rows(result), *_taste_rows(result)]
    rows.append(labelled("glass", glass_words(result.new, result.volume_change_ml, result.fill, house)))
    if result.feasible:
        rows.extend(_one_for_one_rows(result))
    shown, more = few(rows, ROWS)
    more += [CAVEAT] if result.noticed else []
    unknown = unknown_contents(result.new.unknown)
    more += [f"not known: {', '.join(unknown)}"] if unknown else []
    return page(first, shown, "; ".join([*more, "--steps shows the working"]))


def menu_text(found: Sequence[Swap], failed: Sequence[tuple[Drink, BalancerError]], house: House) -> str:
    """The answer for the whole menu: the conversions, then the drinks."""
    if not found:
        return page("no drink has an answer", [_failed(drink, error) for drink, error in failed], "balancer check")
    one = found[0]
    warnings = [text for result in found for text in _warnings(result)]
    everything = _concerned(found)
    lead = (
        f"{for_what(one.at, everything)}: {one.out.name} replaced by {one.into.name} in {count(len(found), 'drinks')}"
    )
    first = act(f"{warnings[0]}; {lead}") if warnings else lead
    said = [_menu_row(result, house) for result in found]
    room = columns() - 4 - max(width(text) for text in said)
    column = min(max(width(result.drink.name) for result in found), max(room, 8))
    rows = [f"{pad(result.drink.name, column)}  {text}" for result, text in zip(found, said, strict=True)]
    rows.extend(_failed(drink, error) for drink, error in failed)
    more = [*assumed(one.at, everything), *open_too(everything), "swap DRINK shows what moves in each"]
    return page(first, [*_standard_rows(one), *rows], "; ".join(more))


def stand_ins_text(drink: Drink, out: str, found: Sequence[Swap], past: Sequence[str], house: House) -> str:
    """The answer to "we are out of it": what is open, the least change first.

    past  ids of open batches that were left out because their last day of use is over
    """
    more = [f"left out, past their last day: {', '.join(past)}"] if past else []
    if not found:
        return page(
            f"nothing open tonight can stand in for {out} in {drink.name}",
            ["log an open batch with its strength, or name a syrup with --in"],
            "; ".join([*more, "balancer batch list shows what is open"]),
        )
    best = found[0]
    first = _first(best, house) if _warnings(best) else f"closest match, open now: {_answer(best, house)}"
    rows = []
    shown, left = few(found, ROWS)
    for result in shown:
        said = "; ".join([*_warnings(result), _changes(result)])
        named = f"{result.into.name}{batch_note(result.strength)}"
        rows.append(f"{poured_text(result.new_pour, house)} {named}: {said}")
    ranked = "ranked by how little moves; what brings an allergen or alcohol comes last"
    return page(first, rows, "; ".join([*left, *assumed(best.at, _concerned(found)), ranked, *more]))


def _first(result: Swap, house: House) -> str:
    """The answer, behind what a guest must be told."""
    answer = _answer(result, house)
    warnings = _warnings(result)
    return act("; ".join([*warnings, answer])) if warnings else answer


def _concerned(found: Sequence[Swap]) -> list[tuple[Liquid, Strength]]:
    """The syrups of several swaps, each once."""
    return list({liquid.id: (liquid, strength) for one in found for liquid, strength in one.concerned}.values())


def _answer(result: Swap, house: House) -> str:
    parts = [f"{result.out.name} replaced by {poured_text(result.new_pour, house)} {result.into.name}"]
    parts += [changed_pour(pour, house) for pour in result.free_pours if not pour.is_new]
    lead = f"{result.drink.name} {for_what(result.at, result.concerned)}: "
    if not result.feasible:
        return act(f"{lead}cannot hold {_listed(result.held)} at once")
    return lead + "; ".join(part for part in parts if part)


def _warnings(result: Swap) -> list[str]:
    found: list[str] = []
    if result.gained:
        found.append(act(f"allergen gained: {', '.join(result.gained)}"))
    if result.unknown:
        found.append(act(f"allergens of {result.into.name} unknown: ask before it is served"))
    if result.may_break_zero_proof:
        found.append(act(f"alcohol of {result.into.name} unknown, in a drink without"))
    elif result.breaks_zero_proof and result.alcohol_added_g is not None:
        found.append(act(f"puts {trim(result.alcohol_added_g, 1)} g alcohol into a drink without"))
    return found


def _strength_rows(result: Swap) -> list[str]:
    rows = _standard_rows(result)
    said = [*assumed(result.at, result.concerned), *open_too(result.concerned)]
    return rows + [labelled("strengths", "; ".join(said))] * bool(said)


def _standard_rows(result: Swap) -> list[str]:
    """How strong what comes is, where the first line does not say it."""
    if result.strength is None:
        return [labelled("new sweetener", f"{result.into.name}, {trim(result.into.sugar_g_per_kg, 0)} g sugar per kg")]
    if result.at.is_tonight:
        return []
    return [labelled("new syrup", f"{brix(result.strength.brix)}, its standard")]


def _taste_rows(result: Swap) -> list[str]:
    change = result.moved
    totals = {"sugar": change.sugar_percent, "acid": change.acid_percent}
    rows: list[str] = []
    for item in result.noticed:
        if item.quantity == "abv":
            rows.append(labelled("ABV", f"{_points(item.change)} % vol: {item.words}{_published(item)}"))
        else:
            whole, tasted = percent(totals[item.quantity] or 0.0), percent(item.change)
            glass = f", {tasted} per 100 ml" if whole != tasted else ""
            rows.append(labelled(item.quantity, f"{whole}{glass}: {item.words}{_published(item)}"))
    if not rows:
        rows.append(labelled("moves", _changes(result)))
    else:
        open_ends = (*change.unknown, *change.at_most)
        partly = [known_change("sugar", change.sugar_percent, change)] if "sugar" in open_ends else []
        partly += [known_change("acid", change.acid_percent, change)] if "acid" in open_ends else []
        rows += [labelled("moves", ", ".join(filter(None, partly)))] if any(partly) else []
    alcohol = unknown_alcohol(result)
    rows += [labelled("ABV", alcohol)] if alcohol else []
    if result.brings_acid:
        rows.append(labelled("acid", f"{trim(result.new.acid_g, 1)} g in a drink that had none"))
    span = change.sweetness
    if span and {percent(span.low), percent(span.high)} != {percent(change.sugar_percent or 0.0)}:
        limits = f"{percent(span.low)} to {percent(span.high)}"
        rows.append(labelled("sweetness", f"{limits}: sources disagree on its sugars"))
    return rows


def _published(item: Noticed) -> str:
    """The published band, where the change is not far below it."""
    if not item.may_be:
        return ""
    low, high, unit = item.threshold.low, item.threshold.high, item.threshold.unit
    digits = 0 if unit == "%" else 1
    return f" (tasters: {trim(low, digits)}–{trim(high, digits)} {unit})"


def _points(value: float) -> str:
    text = trim(value, 1)
    return text if text.startswith("−") or text == "0" else f"+{text}"


def _changes(result: Swap) -> str:
    change = result.moved
    said = [known_change("sugar", change.sugar_percent, change), known_change("acid", change.acid_percent, change)]
    said = [text for text in said if text]
    volume = change.known_volume_percent
    return ", ".join([*said, f"volume {percent(volume)}"] if volume is not None else said)


def _one_for_one_rows(result: Swap) -> list[str]:
    strength = result.other_brix
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
    pour = amount_text(new.poured, house) if new.spec is None else change_text(new.spec, new.poured, house)
    written = f" ({amount_text(new.written, house)} as written)" if new.written else ""
    flags = _warnings(result) + ([] if result.feasible else [f"cannot hold {_listed(result.held)}"])
    others = [changed_pour(pour, house) for pour in result.free_pours if not pour.is_new]
    change = result.moved
    moves = [known_change("sugar", change.sugar_percent, change), known_change("acid", change.acid_percent, change)]
    moves = [text for text in moves if text]
    return "; ".join([f"{pour}{written}", *filter(None, others), ", ".join(moves), *flags])


def _failed(drink: Drink, error: BalancerError) -> str:
    return f"{drink.name}: {error.problems()[0].message}"
