"""`compare` on the screen."""

from __future__ import annotations

from balancer.engine.swaps.compare import Compared, Comparison
from balancer.engine.swaps.swap import Strength
from balancer.output.words.numbers import brix, cut, fit, some, trim
from balancer.output.words.page import COLUMNS, ROWS, page

_NAME = 22


def compare_text(result: Comparison) -> str:
    """The answer of `compare`: what the sugar comes to in plain 1:1 syrup, then a line each."""
    house = cut(result.house.name, 30)
    head = f"{fit('in 10 ml', _NAME)}{'sugar':>7}{'acid':>7}{'water':>7}{_equals(result):>9}{'as sweet as':>13}  °Bx"
    room = ROWS - 1
    rows = [head] if result.rows else []
    rows += [_row(row) for row in result.rows[:room]]
    rows += [f"{name}: {why}" for _, name, why in result.failed][: room - len(rows) + 1]
    left = len(result.rows) + len(result.failed) - room
    more = [f"{left} more (--json lists them)"] if left > 0 else []
    strengths = [row.strength for row in result.rows if row.strength and row.strength.also_open]
    more += [f"{some(each.also_open, 3)} open too: {each.batch} counts" for each in strengths]
    against = f"ml of {house}, {_strength(result.house_strength)}" if result.house.id else f"ml of {house}"
    more.append(f"in g; {_equals(result)}: {against} with as much sugar (--against NAME for another)")
    more.append("as sweet as: g of sucrose, published range; °Bx: standard, or as the open batch named was read")
    return page(_first(result, house), rows, "; ".join(more))


def _first(result: Comparison, house: str) -> str:
    if not result.rows:
        return "nothing to compare"
    if len(result.rows) == 1:
        row = result.rows[0]
        return f"10 ml {cut(row.liquid.name, 30)}: as much sugar as {trim(row.house_ml, 1)} ml {house}"
    least, most = result.least, result.most
    span = f"{trim(least.house_ml, 1)} ml ({cut(least.liquid.name, 22)}) to {trim(most.house_ml, 1)} ml"
    return f"10 ml hold as much sugar as {span} ({cut(most.liquid.name, 22)}) of {house}"


def _equals(result: Comparison) -> str:
    return "= ml" if result.house.id else "= 1:1"


def _row(row: Compared) -> str:
    low, _, high = row.sweetness
    sweet = trim(low, 1) if trim(low, 1) == trim(high, 1) else f"{trim(low, 1)}–{trim(high, 1)}"
    figures = f"{trim(row.sugar_g, 1):>7}{trim(row.acid_g, 2):>7}{trim(row.water_g, 1):>7}{trim(row.house_ml, 1):>9}"
    line = f"{fit(row.liquid.name, _NAME)}{figures}{sweet:>13}"
    said = ""
    if row.strength:
        said = f"{trim(row.strength.brix, 1)} {row.strength.batch or ''}"
    return cut(f"{line}  {said}".rstrip(), COLUMNS - 2)


def _strength(strength: Strength | None) -> str:
    if strength is None:
        return "as its file has it"
    return f"{brix(strength.brix)}, " + (f"as {strength.batch} was read" if strength.batch else "its standard")
