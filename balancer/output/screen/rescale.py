"""A batch against the menu on the screen: the answer first, at most eight rows, then where there is more."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Final

from balancer.engine.batch.read_it import is_fooled, measure_line
from balancer.engine.service.lines import lines_of
from balancer.engine.service.rescale import DrinkRow, Rescale
from balancer.models.batch import Batch
from balancer.models.house import House
from balancer.output.words.advice import (
    BORDERLINE,
    advice_row,
    advice_word,
    beside_spec,
    beside_text,
    borderline,
    less_or_more,
    sugar_moved,
    unreached_names,
    unreached_text,
    written_for_text,
)
from balancer.output.words.amounts import change_text
from balancer.output.words.batches import past_text
from balancer.output.words.look import columns
from balancer.output.words.numbers import count, pad, some, width
from balancer.output.words.page import ROWS, act, house_change, page
from balancer.output.words.tonight import correction_rows, pours_text

_NAME: Final = 18
"""Columns a name has at least, even if its row then runs on."""


def rescale_text(
    result: Rescale, house: House, *, everything: bool = False, past: Sequence[Batch] = (), today: date | None = None
) -> str:
    """The answer of `rescale`: advice and conversions, then the drinks that move.

    everything  every drink that moves, however many rows it takes
    past        open batches of the syrup after their last day of use
    """
    word, reason = advice_word(result.advice), result.advice.reason
    strengths = beside_spec(result.batch_brix, result.standard_brix, result.written_for)
    if result.is_part and not result.advice.is_unsure:
        first, rows = _named(result, house), [f"{strengths}; the whole menu: {word}"]
    elif word == "change pours":
        first = f"{word}: {result.syrup.name} {pours_text(lines_of(result), house)}"
        rows = [f"{strengths}: {reason}"]
    elif word == "as written" and any(row.is_to_blame for row in result.rows):
        first = act(f"{unreached_names(row.drink for row in result.rows if row.is_to_blame)}: {result.syrup.name}")
        rows = [f"{strengths}: else as written"]
    else:
        first = f"{word}: {result.syrup.name} at {strengths}"
        rows = [reason]
    first = advice_row(result.advice, first)
    rows = [*(act(past_text(batch, today)) for batch in past), *rows]
    if result.advice.is_unsure:
        line = measure_line(f"--syrup {result.syrup.id}")
        rows += [f"read it: {line}"] * (result.advice.word == "read again" and not is_fooled(result.syrup))
        return page(first, rows, "no pours on such a reading; --steps shows the working")
    moved = [row for row in result.rows if row.moves or row.is_to_blame]
    moved.sort(key=lambda row: row.verdict != "out of reach")
    room = len(moved) if everything else ROWS - 1 - len(rows)
    rows.extend(drink_rows(moved[:room], house))
    if word != "as written" or result.is_outside:
        rows += correction_rows(result, "to correct it" if word == "correct the batch" else "or correct it", house)
    return page(first, rows, "; ".join([*_rescale_more(result, moved, room), "--steps shows the working"]))


def _named(result: Rescale, house: House) -> str:
    """The answer for the drinks that were named."""
    name = result.syrup.name
    if not result.rows:
        return f"none of the drinks named pours {name}"
    if any(row.is_to_blame for row in result.rows):
        return _in_drinks(f"no pour of {name} is right for", [row for row in result.rows if row.is_to_blame])
    if any(row.moves for row in result.rows):
        return f"pour {name} {pours_text(lines_of(result), house)}"
    return _in_drinks(f"pour {name} as written in", result.rows)


def _in_drinks(lead: str, rows: Sequence[DrinkRow]) -> str:
    if len(rows) > 1:
        return f"{lead} {count(len(rows), 'drinks')}"
    return f"{lead} {rows[0].drink.name}"


def _rescale_more(result: Rescale, moved: list[DrinkRow], room: int) -> list[str]:
    more = []
    if len(moved) > room:
        more.append(f"{len(moved) - room} more change: --all")
    still = [row for row in result.rows if row.verdict == "as written"]
    if still and result.advice.word != "as written":
        names = ", ".join(row.drink.name for row in still)
        others = "other" if len(still) == 1 else "others"
        more.append(f"as written: {names}" if len(still) <= 3 else f"{len(still)} {others} as written")
    doubtful = [row for row in result.rows if row.could_be]
    if doubtful:
        more.append(f"{borderline(doubtful[0].plus_minus_brix)}: {some([row.drink.name for row in doubtful], 3)}")
    if result.not_pouring and result.rows:
        more.append(f"not poured in {', '.join(drink.name for drink in result.not_pouring)}")
    more += beside_text(result)
    bounded = [row.drink.name for row in moved if row.unknown_sugar]
    if bounded:
        more.append(f"sugar not fully known in {some(bounded, 3)}: they move by less")
    return more


def drink_rows(rows: Sequence[DrinkRow], house: House, leads: Sequence[str] = ()) -> list[str]:
    """Drinks that change, one a line: what leads it, the name in a column, what to pour.

    A name that is longer than its column stays whole, and its line runs on.
    """
    lines = named_rows([row.drink.name for row in rows], [drink_change(row, house) for row in rows], leads)
    return [act(line) if row.verdict == "out of reach" else line for row, line in zip(rows, lines, strict=True)]


def named_rows(names: Sequence[str], said: Sequence[str], leads: Sequence[str] = ()) -> list[str]:
    """What is said of drinks, one a line, each after what leads it and its name in columns."""
    lead = max((width(text) + 2 for text in leads), default=0)
    room = columns() - 4 - lead - max((width(text) for text in said), default=0)
    column = min(max((width(name) for name in names), default=0), max(room, _NAME))
    led = [pad(text, lead) for text in leads] or [""] * len(said)
    return [f"{start}{pad(name, column)}  {text}" for start, name, text in zip(led, names, said, strict=True)]


def drink_change(row: DrinkRow, house: House) -> str:
    """What to pour in a drink, and what that does to it; or why no pour is right."""
    if row.verdict == "new pour":
        moved = sugar_moved(row.after_percent, row.as_written_percent)
        return f"{change_text(row.written, row.poured, house)}  {moved}{_aside(row, house)}"
    return unreached_text(row, house)


def _aside(row: DrinkRow, house: House) -> str:
    """The one further thing to say of a new pour: what moves with it, why, a doubt, its flavour, or the glass."""
    if row.companions:
        moves = [f"{one.name} {change_text(one.written, one.poured, house)}" for one in row.companions]
        return f"; with {', '.join(moves)}"
    if row.is_apart:
        return f"; {written_for_text(row.written_brix)}"
    if row.could_be:
        return f"; {BORDERLINE}"
    if row.flavour_percent is not None and row.flavour_percent[0] == row.flavour_percent[1]:
        return f"; {less_or_more(row.flavour_percent[0], 'flavour')}"
    return f"; glass {house_change(row.served_change_ml, house)}" if row.served_change_ml is not None else ""
