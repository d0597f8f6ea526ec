"""`compare` on the screen."""

from __future__ import annotations

from balancer.engine.swaps.at import Strength
from balancer.engine.swaps.compare import Compared, Comparison
from balancer.output.words.look import columns
from balancer.output.words.numbers import brix, pad, some, trim, width
from balancer.output.words.page import ROWS, few, page
from balancer.output.words.strengths import for_what, open_too

_NAME = 22
_NARROW_NAME = 21
_NAMED = 3


def compare_text(result: Comparison) -> str:
    """The answer of `compare`: what the sugar comes to in plain 1:1 syrup, then a line each."""
    house = result.house.name
    table = [_head(result), *(_row(row) for row in result.rows)]
    narrow = any(width(f"  {line}") > columns() for line in table)
    if narrow:
        table = [_narrow_head(result), *(_narrow_row(row) for row in result.rows)]
    head, *lines = table
    rows = lines + [f"{name}: {why}" for _, name, why in result.failed]
    shown, more = few(rows, ROWS - 1, "sweeteners")
    syrups = [(row.liquid, row.strength) for row in result.rows if row.strength]
    more += open_too(syrups)
    without = [liquid.name for liquid, strength in syrups if not strength.batch] if result.at.is_tonight else []
    more += [f"not read, assumed at standard: {some(without, 3)}"] if without else []
    more += ["?: not known"] if any(row.liquid.unknown for row in result.rows) else []
    against = f"ml of {house}, {_strength(result.house_strength)}" if result.house.id else f"ml of {house}"
    more.append(f"in g; {_equals(result)}: {against} with as much sugar (--against NAME for another)")
    if narrow:
        more.append("water and sweetness: a wider terminal, or --json")
    else:
        more.append("as sweet as: g of sucrose, published range")
    return page(_first(result, house), [*([head] if result.rows else []), *shown], "; ".join(more))


def _first(result: Comparison, house: str) -> str:
    if not result.rows:
        return "nothing to compare"
    few_rows = result.rows if len(result.rows) <= _NAMED else ()
    said = for_what(result.at, [(row.liquid, row.strength) for row in few_rows if row.strength])
    if len(result.rows) == 1:
        row = result.rows[0]
        return f"{said}: 10 ml {row.liquid.name}: as much sugar as {trim(row.house_ml, 1)} ml {house}"
    least, most = result.least, result.most
    span = f"{trim(least.house_ml, 1)} ml ({least.liquid.name}) to {trim(most.house_ml, 1)} ml"
    return f"{said}: 10 ml hold as much sugar as {span} ({most.liquid.name}) of {house}"


def _equals(result: Comparison) -> str:
    return "= ml" if result.house.id else "= 1:1"


def _head(result: Comparison) -> str:
    return f"{pad('in 10 ml', _NAME)}{'sugar':>7}{'acid':>7}{'water':>7}{_equals(result):>9}{'as sweet as':>13}  °Bx"


def _narrow_head(result: Comparison) -> str:
    return f"{pad('in 10 ml', _NARROW_NAME)}{'sugar':>6}{'acid':>6}{_equals(result):>7}{'°Bx':>6}"


def _narrow_row(row: Compared) -> str:
    """A row without its water, its sweetness and the name of its batch."""
    figures = f"{trim(row.sugar_g, 1):>6}{_or_unknown(row.acid_g, 2):>6}{trim(row.house_ml, 1):>7}"
    said = trim(row.strength.brix, 1) if row.strength else ""
    return f"{pad(row.liquid.name, _NARROW_NAME)}{figures}{said:>6}".rstrip()


def _row(row: Compared) -> str:
    low, _, high = row.sweetness
    sweet = trim(low, 1) if trim(low, 1) == trim(high, 1) else f"{trim(low, 1)}–{trim(high, 1)}"
    figures = f"{trim(row.sugar_g, 1):>7}{_or_unknown(row.acid_g, 2):>7}{_or_unknown(row.water_g, 1):>7}"
    figures += f"{trim(row.house_ml, 1):>9}"
    line = f"{pad(row.liquid.name, _NAME)}{figures}{sweet:>13}"
    said = ""
    if row.strength:
        said = f"{trim(row.strength.brix, 1)} {row.strength.batch or ''}"
    return f"{line}  {said}".rstrip()


def _or_unknown(grams: float | None, digits: int) -> str:
    return "?" if grams is None else trim(grams, digits)


def _strength(strength: Strength | None) -> str:
    if strength is None:
        return "as its file has it"
    return f"{brix(strength.brix)}, " + (f"as {strength.batch} was read" if strength.batch else "its standard")
