"""The working of an answer about pours, line by line, to follow with a pocket calculator.

Every line stands on numbers that the files or the command give, that are marked as table values, or that
are printed above it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.liquid import Liquid
from balancer.engine.service.decision import OffPour
from balancer.engine.service.menu import DrinkDecision
from balancer.engine.service.rescale import DrinkRow, Rescale, key_of
from balancer.output.words.numbers import MINUS, trim
from balancer.output.words.sums import amount, grams, percents, ratio

_RULE: Final = {
    "own lines": "each outside its batch tolerance pours the closest to exact",
    "searched": "the closest pours are not enough: the least movement within tolerance",
    "out of reach": "no pours up to the exact ones are right: those with the least error",
}
_NAME: Final = 24


def rescale_steps(result: Rescale) -> list[str]:
    """The working of `rescale`: the two strengths, each written pour once, then each drink."""
    standard, batch, share = result.standard, result.batch, result.syrup.sugar_share
    source = "density table" + (", and its acid" if result.syrup.acid else "")
    lines = [
        *strength_steps(
            "standard", result.standard_brix, standard.density or 0.0, standard.sugar_g_per_ml, share, source
        ),
        *strength_steps("batch", result.batch_brix, batch.density or 0.0, batch.sugar_g_per_ml, share, source),
    ]
    for strength, liquid in _written_apart(result).items():
        lines += strength_steps(
            f"written for {amount(strength)} °Bx", strength, liquid.density or 0.0, liquid.sugar_g_per_ml, share, source
        )
    by_weight = any(row.written.unit == "g" for row in result.rows)
    if by_weight:
        lines += [
            f"standard: in a g {_sugar_share(result.standard_brix, share)} = {ratio(standard.sugar_per_g)} g sugar",
            f"batch: in a g {_sugar_share(result.batch_brix, share)} = {ratio(batch.sugar_per_g)} g sugar",
            *[
                f"written for {amount(strength)} °Bx: in a g {_sugar_share(strength, share)}"
                f" = {ratio(liquid.sugar_per_g)} g sugar"
                for strength, liquid in _written_apart(result).items()
            ],
        ]
    written = {(key_of(row.written), row.written_brix): row for row in result.rows}
    for _, row in sorted(written.items(), key=lambda pair: (pair[0][0].unit != "ml", pair[0][0].value, pair[0][1])):
        designed = row.decided.parts[row.place].liquid
        lines += ["", *_written_steps(row, row.place), *written_pour_steps(row.own, _per_unit(row.written, designed))]
    for row in result.rows:
        lines += ["", *_row_steps(row)]
    if result.correct.add:
        target, brix = amount(result.standard_brix), amount(result.batch_brix)
        divisor = target if result.correct.add == "water" else f"(100 {MINUS} {target})"
        difference = f"({brix} {MINUS} {target})" if result.correct.add == "water" else f"({target} {MINUS} {brix})"
        lines += [
            "",
            f"{result.correct.add} per kg: 1000 g × {difference} ÷ {divisor} = {grams(result.correct.g_per_kg)} g",
        ]
    return lines


def _written_apart(result: Rescale) -> dict[float, Liquid]:
    """The strengths other than the standard that drinks are written for, °Bx, with the syrup at each."""
    found = {row.written_brix: row.decided.parts[row.place].liquid for row in result.rows if row.is_apart}
    return dict(sorted(found.items()))


def strength_steps(
    label: str, brix: float, density: float, sugar: float, share: float = 100.0, source: str = "density table"
) -> list[str]:
    """Sugar in a millilitre at a strength."""
    return [
        f"{label}: a ml at {amount(brix)} °Bx weighs {ratio(density)} g ({source})",
        f"  {ratio(density)} g × {_sugar_share(brix, share)} = {ratio(sugar)} g sugar in a ml",
    ]


def written_pour_steps(off: OffPour, standard_per_unit: float) -> list[str]:
    """A written pour in grams of sugar, and the pour that restores it."""
    spec, unit, wanted = amount(off.written.value), off.written.unit, grams(off.designed_g)
    exact = f"{wanted} ÷ {ratio(off.per_unit_g)} = {grams(off.exact.value)} {unit}"
    return [
        f"{spec} {unit} as designed: {spec} × {ratio(standard_per_unit)} = {wanted} g sugar",
        f"  of the batch: {exact}; closest pour {amount(off.line.value)} {unit}",
    ]


def _row_steps(row: DrinkRow) -> list[str]:
    decided = row.decided
    lines = [f"{row.drink.name}: {grams(decided.sugar_g)} g sugar in the whole drink as designed (see totals)"]
    others = [place for place in range(len(decided.off)) if place != row.place and decided.off[place].is_off]
    for place in others:
        unit, now = decided.off[place].written.unit, decided.now[place]
        density = ratio(decided.parts[place].liquid.density or 0.0)
        held = ratio(_per_unit(decided.off[place].written, decided.parts[place].liquid))
        is_apart = row.menu.bar.is_apart(row.drink, now.id)
        label = f"{amount(row.menu.bar.written_for(row.drink, now.id))} °Bx" if is_apart else "standard"
        lines += [
            f"  {now.name} is not at {label} either{', which this drink is written for' if is_apart else ''}:",
            *[f"    {label}: a ml weighs {density} g (density table)"] * (unit == "g"),
            *[f"    {line}" for line in _written_steps(row, place)],
            f"    a {unit} of it holds {ratio(decided.off[place].per_unit_g)} g sugar, {held} at {label}",
        ]
    places = sorted([row.place, *others])
    standards = {place: decided.parts[place].liquid for place in places}
    written = [decided.off[place].written for place in places]
    poured = [decided.decision.poured[place] for place in places]
    lines += _sum_steps("as written", decided, places, written, standards, row.as_written_percent)
    if any(not one.is_same(other) for one, other in zip(poured, written, strict=True)):
        said = f"poured {' and '.join(amount(one.value) for one in poured)}"
        lines += _sum_steps(said, decided, places, poured, standards, row.after_percent)
    return [*lines, f"  rule: {_rule(row)}"]


def _rule(row: DrinkRow) -> str:
    """How the decision was come by."""
    decided, tolerance = row.decided, row.menu.bar.specs.house.tolerance
    if decided.decision.way == "as written":
        return "within tolerance as written" if abs(row.as_written_percent) <= tolerance else "no pour may move"
    if decided.decision.way == "own lines" and not any(off.outside and off.is_off for off in decided.off):
        return "each pours the closest to exact"
    return _RULE[decided.decision.way]


def _written_steps(row: DrinkRow, place: int) -> list[str]:
    """Where a written amount comes from, where the spec has it in another unit than it is poured in."""
    part, written = row.decided.parts[place], row.decided.off[place].written
    spec = part.pour.amount
    if spec.unit == written.unit:
        return []
    size = dict(row.menu.bar.measures.sizes()).get(spec.unit)
    factors = [f"{amount(spec.value)} {spec.unit}"]
    factors += [f"{trim(size, 10)} ml"] if size is not None and spec.unit != "ml" else []
    factors += [f"{ratio(part.liquid.density or 0.0)} g/ml"] if spec.kind != "mass" and written.unit == "g" else []
    factors += ["1000 g"] if spec.unit == "kg" else []
    if len(factors) == 1:  # in a unit of the syrup's own
        return [f"{factors[0]} is {amount(written.value)} {written.unit} (see totals)"]
    return [f"{' × '.join(factors)} = {amount(written.value)} {written.unit}"]


def _sum_steps(
    label: str,
    decided: DrinkDecision,
    places: Sequence[int],
    amounts: Sequence[Amount],
    standards: dict[int, Liquid],
    change: float,
) -> list[str]:
    """The change of a drink's sugar: of one syrup in one line, of several a line each and their sum."""
    lines, extras = [], []
    for place, poured in zip(places, amounts, strict=True):
        off = decided.off[place]
        designed = f"{amount(off.written.value)} × {ratio(_per_unit(off.written, standards[place]))}"
        extras.append(f"{amount(poured.value)} × {ratio(off.per_unit_g)} {MINUS} {designed}")
        if len(places) > 1:
            extra = _signed_grams(off.extra_g(poured.value))
            lines.append(f"    {decided.now[place].name}: {extras[-1]} = {extra} g")
            extras[-1] = extra
    total = extras[0]
    for extra in extras[1:]:
        total += f" {MINUS} {extra[1:]}" if extra.startswith(MINUS) else f" + {extra}"
    summed = f"({total}) ÷ {grams(decided.sugar_g)} = {percents(change)}"
    return [f"  {label}:", *lines, f"    {summed}"] if lines else [f"  {label}: {summed}"]


def _per_unit(amount: Amount, liquid: Liquid) -> float:
    """Sugar in one ml or one g, as the amount is measured."""
    return liquid.sugar_per_g if amount.unit == "g" else liquid.sugar_g_per_ml


def _signed_grams(value: float) -> str:
    text = grams(value)
    return text.replace("-", MINUS)


def _sugar_share(brix: float, share: float) -> str:
    return f"{amount(brix)} ÷ 100" + (f" × {percents(share, 3)}" if share != 100.0 else "")
