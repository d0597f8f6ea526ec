"""How far off drinks end up as written, by the rule of thumb, by the workbook and by us, in grams of sugar.

Every way is judged by our totals. What no way can do is found by trying every pour of the jigger.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import groupby
from math import ceil
from statistics import fmean
from typing import Any, Final, NamedTuple

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.totals import contribute
from balancer.engine.service.menu import DrinkDecision, Menu
from balancer.units import Quantity
from tests.benchmarks.against import menus, rules
from tests.benchmarks.against.rules import Free
from tests.benchmarks.against.workbook import Line, lines_of

EXACT: Final = ("ratio, exact", "workbook, exact")
WAYS: Final = ("as written", *EXACT, "ratio, jigger", "workbook, jigger", "balancer")
_SAME: Final = 1e-9


class Judged(NamedTuple):
    """One drink on one evening: grams of sugar too much by every way, its sugar, how many syrups it pours.

    possible  some pour of the jigger is within tolerance
    small     a small pour of a syrup that is off was left as written by us, whatever its drink is off by
    """

    extra_g: Mapping[str, float]
    sugar_g: float
    syrups: int
    possible: bool
    small: bool


class Sheet:
    """What the workbook works out of a menu, in Python: the same straight lines between the rows of the same table."""

    def __init__(self, bar: Bar) -> None:
        self._bar = bar
        self._syrups = {syrup.name: syrup for syrup in bar.specs.syrups.values()}
        self._bought = {one.name: rules.ingredient_sugar(one) for one in bar.specs.ingredients.values()}
        self._standards = {syrup.name: round(bar.standard(syrup.id), 2) for syrup in bar.specs.syrups.values()}
        self.lines = {name: list(lines) for name, lines in groupby(lines_of(bar), key=lambda line: line.drink)}

    def sugar_per_unit(self, line: Line, strengths: Mapping[str, float] | None = None) -> float:
        """Sugar in a ml of what is poured, or in a g where it is weighed, g; without strengths at standard."""
        syrup = self._syrups.get(line.what)
        if syrup is None:
            return self._bought[line.what][line.by_weight]
        brix = self._standards[line.what] if strengths is None else strengths[syrup.id]
        return rules.sugar_g_per_ml(brix, syrup.sugar_share / 100.0)

    def designed_g(self, drink: str) -> float:
        """Sugar of a drink as designed, g."""
        return sum(line.amount * self.sugar_per_unit(line) for line in self.lines[drink])

    def poured(self, drink: str, strengths: Mapping[str, float]) -> dict[str, float]:
        """What the workbook pours of a drink's syrups, ml by their ids: as written where it finds that near enough."""
        designed = self.designed_g(drink)
        now = sum(line.amount * self.sugar_per_unit(line, strengths) for line in self.lines[drink])
        stays = not designed or abs(100.0 * (now / designed - 1.0)) <= self._bar.specs.house.tolerance
        found = {}
        for line in self.lines[drink]:
            syrup = self._syrups.get(line.what)
            if syrup is not None:
                exact = rules.by_sugar(line.amount, self._standards[line.what], strengths[syrup.id])
                moved = rules.on_jigger(exact, line.amount, self._bar.step_ml)
                found[syrup.id] = line.amount if stays or line.fixed or line.by_weight else moved
        return found


def judge(bar: Bar, sheet: Sheet, strengths: dict[str, float]) -> list[Judged]:
    """Every drink of a menu that pours syrups, on an evening on which the syrups read these strengths, °Bx by id.

    Drinks with a pour that is never changed are left out: no way can change it.
    """
    menu = Menu(bar, strengths)
    decided = [menu.decide(drink) for drink in bar.specs.drinks.values()]
    return [_judged(bar, sheet, strengths, one) for one in decided if one.off and not any(off.fixed for off in one.off)]


def _judged(bar: Bar, sheet: Sheet, strengths: Mapping[str, float], decided: DrinkDecision) -> Judged:
    off, step = decided.off, bar.step_ml
    brix = list(
        zip([bar.written_for(decided.drink, part.pour.of) for part in decided.parts], decided.brix, strict=True)
    )

    def extra(amounts: Iterable[float]) -> float:
        return sum(pour.extra_g(amount) for pour, amount in zip(off, amounts, strict=True))

    written = [pour.written.value for pour in off]
    ratio = [rules.by_ratio(pour.written.value, *pair) for pour, pair in zip(off, brix, strict=True)]
    by_table = [rules.by_sugar(pour.written.value, *pair) for pour, pair in zip(off, brix, strict=True)]
    sheet_pours = sheet.poured(decided.drink.name, strengths)
    ways = {
        "as written": extra(written),
        "ratio, exact": extra(ratio),
        "workbook, exact": extra(by_table),
        "ratio, jigger": extra(rules.on_jigger(*pair, step) for pair in zip(ratio, written, strict=True)),
        "workbook, jigger": extra(sheet_pours[part.pour.of] for part in decided.parts),
        "balancer": extra(amount.value for amount in decided.decision.poured),
    }
    tolerance = bar.specs.house.tolerance
    possible = any(_is_within(ways[way], decided.sugar_g, tolerance) for way in ("as written", "balancer"))
    if not possible:
        free = [Free(pour.written.value, 100.0 * pour.per_unit_g / decided.sugar_g) for pour in off]
        possible = rules.any_within(free, decided.decision.as_written_percent, tolerance, step)
    pairs = zip(off, decided.decision.poured, strict=True)
    small = any(pour.small and pour.is_off and amount.is_same(pour.written) for pour, amount in pairs)
    return Judged(ways, decided.sugar_g, len(off), possible, small)


def _is_within(extra_g: float, sugar_g: float, tolerance_percent: float) -> bool:
    return abs(100.0 * extra_g / sugar_g) <= tolerance_percent + _SAME


def summed(found: Sequence[Judged], tolerance_percent: float) -> dict[str, dict[str, float]]:
    """By way: percent of drinks out of tolerance, mean and 95th percentile of the grams that they are off.

    behind: drinks that the workbook brings within tolerance and we do not; small: those with a small pour left alone.
    """
    summary = {}
    for way in WAYS:
        grams = sorted(abs(one.extra_g[way]) for one in found)
        out = sum(not _is_within(one.extra_g[way], one.sugar_g, tolerance_percent) for one in found)
        summary[way] = {
            "out_percent": 100.0 * out / len(found),
            "mean_g": fmean(grams),
            "p95_g": grams[ceil(0.95 * len(grams)) - 1],
        }
    never = sum(not one.possible for one in found)
    behind = [
        one
        for one in found
        if _is_within(one.extra_g["workbook, jigger"], one.sugar_g, tolerance_percent)
        and not _is_within(one.extra_g["balancer"], one.sugar_g, tolerance_percent)
    ]
    return summary | {
        "no pour": {"out_percent": 100.0 * never / len(found)},
        "behind": {"drinks": len(behind), "small": sum(one.small for one in behind)},
    }


def evening(bar: Bar, strengths: dict[str, float]) -> dict[str, dict[str, float]]:
    """The summary of one evening on a menu."""
    return summed(judge(bar, Sheet(bar), strengths), bar.specs.house.tolerance)


def by_syrups(found: Sequence[Judged], tolerance_percent: float) -> dict[str, dict[str, dict[str, float]]]:
    """The summary of drinks with one syrup, and of those with several."""
    rooms = {"one": [one for one in found if one.syrups == 1], "several": [one for one in found if one.syrups > 1]}
    return {name: summed(room, tolerance_percent) | {"drinks": {"n": len(room)}} for name, room in rooms.items()}


def with_step(bar: Bar, step_ml: float) -> Bar:
    """The same bar with another jigger."""
    house = bar.specs.house.model_copy(update={"jigger_step": Quantity(step_ml, "ml")})
    return Bar(replace(bar.specs, house=house))


def standards_of(bar: Bar) -> dict[str, float]:
    """What the house's syrups are made to, °Bx by id."""
    return {syrup: bar.standard(syrup) for syrup in bar.specs.syrups}


def sweep(bar: Bar, offsets: Sequence[float]) -> list[dict[str, Any]]:
    """Every syrup of the house off by the same, for each offset in °Bx."""
    sheet, standards = Sheet(bar), standards_of(bar)
    found: list[dict[str, Any]] = []
    for off in offsets:
        judged = judge(bar, sheet, {syrup: standard + off for syrup, standard in standards.items()})
        found.append({"off_brix": off, **by_syrups(judged, bar.specs.house.tolerance)})
    return found


def evenings(bar: Bar, sd_brix: float, count: int) -> dict[str, dict[str, dict[str, float]]]:
    """Evenings on which every syrup was drawn around its standard, taken together."""
    sheet, standards = Sheet(bar), standards_of(bar)
    chance = random.Random(menus.SEED)  # noqa: S311 - a simulation that repeats, not a secret
    found = [one for _ in range(count) for one in judge(bar, sheet, menus.readings(standards, sd_brix, chance))]
    return by_syrups(found, bar.specs.house.tolerance)


def totals_apart(bar: Bar) -> dict[str, float | str]:
    """How far the workbook's sugar of a drink as designed is from ours, g; of unknown sugar it has none.

    worst_pour  the pour of the worst drink that has most to do with it
    """
    sheet = Sheet(bar)
    ours = {
        drink.name: {part.liquid.name: part.sugar_g for part in contribute(bar, drink, {}, {})}
        for drink in bar.specs.drinks.values()
    }
    apart = {name: sheet.designed_g(name) - sum(pours.values()) for name, pours in ours.items()}
    worst = max(apart, key=lambda name: abs(apart[name]))
    by_pour = {
        line.what: line.amount * sheet.sugar_per_unit(line) - ours[worst][line.what] for line in sheet.lines[worst]
    }
    return {
        "mean_g": fmean(map(abs, apart.values())),
        "worst_g": apart[worst],
        "worst_drink": worst,
        "worst_drink_g": sum(ours[worst].values()),
        "worst_pour": max(by_pour, key=lambda what: abs(by_pour[what])),
        "worst_pour_g": max(by_pour.values(), key=abs),
    }


def unknown_sugar(bar: Bar) -> dict[str, int]:
    """How many drinks of a menu pour something whose sugar nobody knows, where it matters."""
    found = [
        any(part.liquid.sugar_unknown and not part.is_small for part in Menu(bar, {}).decide(drink).designed)
        for drink in bar.specs.drinks.values()
    ]
    return {"drinks": len(found), "unknown": sum(found)}
