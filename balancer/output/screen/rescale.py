"""`rescale` on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from balancer.engine.drink.liquid import Liquid
from balancer.engine.service.rescale import DrinkRow, Rescale
from balancer.models.house import House
from balancer.output.words.numbers import brix, fit, percent, trim, weight, width
from balancer.output.words.page import (
    COLUMNS,
    ROWS,
    conversions_text,
    house_change,
    house_pour,
    page,
)

if TYPE_CHECKING:
    pass


def rescale_text(result: Rescale, house: House) -> str:
    """The answer of `rescale`: advice and conversions, then the drinks that move."""
    word, reason = result.advice
    strengths = f"{brix(result.batch_brix)}, standard {trim(result.standard_brix, 1)}"
    if result.conversions and word == "change pours":
        first = f"{word}: {result.syrup.name} {conversions_text(result.conversions, house)}"
        rows = [f"{strengths}: {reason}"]
    else:
        first = f"{word}: {result.syrup.name} at {strengths}"
        rows = [reason]
    moved = [row for row in result.rows if row.rounded.verdict != "as written"]
    if word in ("read again", "pull"):
        return page(first, rows, "no pours on such a reading; --json has them, --steps the working")
    moved.sort(key=lambda row: row.rounded.verdict != "out of reach")
    room = ROWS - 2
    if not result.rows and word != "as written":
        rows.append("none of the drinks asked for pours it")
    rows.extend(drink_rows([(row, result.batch) for row in moved[:room]], house))
    if result.correct.add:
        lead = "to correct it" if word == "correct the batch" else "or correct it"
        grams = f"{trim(result.correct.g_per_kg, 0)} g {result.correct.add} per kg"
        rows.append(f"{lead}: {grams} brings it to {brix(result.standard_brix)}; stir and read again")
    return page(first, rows, "; ".join([*_rescale_more(result, moved, room), "--steps shows the working"]))


def _rescale_more(result: Rescale, moved: list[DrinkRow], room: int) -> list[str]:
    more = []
    if len(moved) > room:
        more.append(f"{len(moved) - room} more change (--json lists them)")
    still = [row for row in result.rows if row.rounded.verdict == "as written"]
    if still and result.advice.word != "as written":
        names = ", ".join(row.drink.name for row in still)
        more.append(f"as written: {names}" if len(still) <= 3 else f"{len(still)} others as written")
    doubtful = [row.drink.name for row in still if row.could_be]
    if doubtful:
        more.append(f"so near the limit that the reading may mislead: {', '.join(doubtful[:3])}")
    if result.not_pouring and result.rows:
        more.append(f"not poured in {', '.join(drink.name for drink in result.not_pouring)}")
    bounded = [row.drink.name for row in moved if row.unknown_sugar]
    if bounded:
        more.append(f"sugar not fully known in {', '.join(bounded[:3])}: they move by less")
    return more


def drink_rows(rows: Sequence[tuple[DrinkRow, Liquid]], house: House, leads: Sequence[str] = ()) -> list[str]:
    """Drinks that change and the batch they pour, one a line: what leads it, the name in a column, what to pour.

    A name is cut rather than let a line run on.
    """
    said = [_change(row, batch, house) for row, batch in rows]
    lead = max((width(text) + 2 for text in leads), default=0)
    room = COLUMNS - 4 - lead - max((width(text) for text in said), default=0)
    columns = min(max((width(row.drink.name) for row, _ in rows), default=0), max(room, 8))
    lines = [f"{fit(row.drink.name, columns)}  {text}" for (row, _), text in zip(rows, said, strict=True)]
    return [f"{fit(text, lead)}{line}" for text, line in zip(leads, lines, strict=True)] if leads else lines


def _change(row: DrinkRow, batch: Liquid, house: House) -> str:
    rounded = row.rounded
    spec, poured, unit = house_pour(rounded.spec_ml, house), house_pour(rounded.poured_ml, house), str(house.show)
    if row.by_weight and batch.density:
        spec, poured, unit = weight(rounded.spec_ml, batch.density), weight(rounded.poured_ml, batch.density), "g"
    written, after = percent(rounded.as_written_percent), percent(rounded.after_percent)
    if rounded.verdict == "new pour":
        return f"{spec} → {poured} {unit}  sugar {after}, not {written}{_aside(row, house)}"
    nearest = f", {after} with {poured} {unit}" if poured != spec else ""
    fixed = "; its pour is fixed" if row.pour.fixed else ""
    return f"out of reach: sugar {written}{nearest}{fixed}"


def _aside(row: DrinkRow, house: House) -> str:
    """The one further thing to say of a new pour: what moves with it, a doubt, its flavour, or the glass."""
    if row.companions:
        moves = [f"{name} {house_pour(spec, house)} → {house_pour(to, house)}" for name, spec, to in row.companions]
        return f"; with {', '.join(moves)}"
    if row.could_be:
        return f"; may be {row.could_be[0]}" if len(row.could_be) == 1 else "; too unsure a reading"
    if row.flavour_percent is not None and row.flavour_percent[0] == row.flavour_percent[1]:
        return f"; flavour {percent(row.flavour_percent[0])}"
    return f"; glass {house_change(row.served_change_ml, house)}" if row.served_change_ml is not None else ""
