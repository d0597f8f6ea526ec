"""The working can be followed with a pocket calculator, from the printed numbers alone.

Every line is worked again from what it prints. The result may differ from the printed one by what the
rounding of the printed numbers makes of it, and no more: see tests/output/working/calculator.py.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.components import STANDARD_DRINK_G
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.totals import totals
from balancer.engine.service.pour import pour
from balancer.engine.service.rescale import Rescale, rescale
from balancer.files.house.load import load
from balancer.models.drink import Drink
from balancer.output.working.pour import pour_steps
from balancer.output.working.rescale import rescale_steps
from balancer.output.working.totals import totals_steps
from tests.cli.runner import CHECKOUT, HOUSE, copy_of_house
from tests.engine.builders import LIME, RUM, drink, syrup
from tests.engine.builders import bar as shelf
from tests.output.working.calculator import COEFFICIENTS, equation, joined

TABLE_LINES = (
    re.compile(r"(standard|batch): a ml at [0-9.]+ °Bx weighs [0-9.]+ g \(density table(, and its acid)?\)"),
    re.compile(r"  shares by weight: ((solids|acids|crystals) [0-9.]+ g(, )?)+"),
    re.compile(r".*: [0-9.]+ g sugar in the whole drink as designed \(see totals\)"),
    re.compile(r"    standard: a ml weighs [0-9.]+ g \(density table\)"),
    re.compile(r"    a (ml|g) of it holds [0-9.]+ g sugar, [0-9.]+ at standard"),
    re.compile(r"  energy balance of drink, ice and vessel, down to −?[0-9.]+ °C: [0-9.]+ g"),
)
PLAIN_LINES = (
    re.compile(r"|before ice|in the glass|dilution, (stated|weighed|shaken|stirred|energy)|dilution: .*"),
    re.compile(r"each pour in grams; .*"),
    re.compile(r"  from D\. Arnold.*|  read in texts .*|  judged sound at .*|  for ice at 0 °C; .*"),
    re.compile(r"  .*: a rinse, not counted"),
    re.compile(r"    (sugar|acid|alcohol): (unknown, counted as none|at least this, the rest is unknown)"),
    re.compile(r"  rule: [^0-9]*|  .* is not at standard either:|  (as written|poured [0-9. and]+):"),
    re.compile(r"  .*: [0-9.]+ g(, after the ice)?"),  # weighed, or a sum of one
)


@cache
def bar_of(specs: Path) -> Bar:
    loaded = load(specs)
    assert loaded.problems == ()
    return Bar(loaded.specs)


def bars() -> Iterator[Bar]:
    yield bar_of(HOUSE)
    yield bar_of(CHECKOUT / "specs")


DRINKS = [(bar, drink) for bar in bars() for drink in bar.specs.drinks]
SYRUPS = [(bar, syrup) for bar in bars() for syrup in bar.specs.syrups]


def follow(
    lines: list[str], given: Iterable[float], *, percent_digits: int, may_come_from_a_table: Callable[[str, str], bool]
) -> int:
    """Work every line again; the number of equations.

    given   what the files and the command line say: exact, if it is printed in full
    Every other number must stand above the line that uses it, or be one that may come from a table.
    """
    known = list(given)
    exact = {
        f"{number:.{digits}f}".rstrip("0").rstrip(".")
        for digits in (3, 10)
        for number in known
        if abs(number - round(number, digits)) < 1e-12
    }
    worked = 0
    above: set[float] = set()
    for line in joined(lines):
        found = equation(line)
        if found is None:
            assert any(form.fullmatch(line) for form in (*TABLE_LINES, *PLAIN_LINES)), f"nobody can follow: {line!r}"
        else:
            value, half = found.value(exact), found.half_digit(percent_digits)
            printed = found.printed() * (0.01 if "%" in found.result else 1.0)
            half *= 0.01 if "%" in found.result else 1.0
            slack = half + 1e-9  # a tie may be rounded either way
            assert value.low - slack <= printed <= value.high + slack, line
            enough = max(20 * half, 0.001 * value.high)
            assert value.high - value.low <= enough, f"too few digits to follow: {line}"
            unknown = {number for number in found.inputs() if float(number) not in above} - exact - COEFFICIENTS
            assert {number for number in unknown if not may_come_from_a_table(line, number)} == set(), line
            worked += 1
        above |= {float(number) for number in re.findall(r"[0-9]+(?:\.[0-9]+)?", line)}
    return worked


def whole(_: str, number: str) -> bool:
    """100 of percent, 1000 g in a kilogram: nothing else may come from nowhere."""
    return number in ("100", "1000")


def table(line: str, number: str) -> bool:
    """Densities and shares by weight come from tables and files; energy is counted for each kind of sugar."""
    return whole(line, number) or len(number.partition(".")[2]) >= 4 or "kcal" in line


def given_in(bar: Bar, drink: Drink) -> Iterator[float]:
    """The numbers of a drink's file and of the house's, as they are printed."""
    yield from dict(bar.measures.sizes()).values()
    for written in drink.pours:
        yield written.amount.value
        yield from (size.value for size in bar.liquid(written.of).each.values())
    yield from (drink.weighed.before, drink.weighed.after) if drink.weighed else ()
    yield from (drink.dilution,) if drink.dilution is not None else ()
    yield STANDARD_DRINK_G[bar.specs.house.standard_drink]


@pytest.mark.parametrize(("bar", "drink"), DRINKS, ids=[drink for _, drink in DRINKS])
def test_totals(bar: Bar, drink: str) -> None:
    lines = totals_steps(totals(bar, bar.specs.drinks[drink]), bar.specs.house)
    given = given_in(bar, bar.specs.drinks[drink])
    assert follow(lines, given, percent_digits=2, may_come_from_a_table=table) >= 8
    assert max(len(line) for line in lines) <= 80


def followed(result: Rescale) -> int:
    """The working of a rescale, worked again; the number of its equations."""
    given = [result.batch_brix, result.standard_brix, result.syrup.sugar_share]
    for row in result.rows:
        decided = row.decided
        given += [part.pour.amount.value for part in decided.parts]
        given += [size for _, size in row.menu.bar.measures.sizes()]
        changed = zip(decided.off, decided.decision.poured, strict=True)
        given += [amount.value for off, amount in changed if not amount.is_same(off.written)]
        given += [row.line.value] if not row.line.is_same(row.written) else []
    lines = rescale_steps(result)
    return follow(lines, given, percent_digits=1, may_come_from_a_table=whole)


@pytest.mark.parametrize("brix", [43.0, 46.5, 49.999, 52.4, 54.0, 57.3, 66.7])
@pytest.mark.parametrize(("bar", "syrup"), SYRUPS, ids=[syrup for _, syrup in SYRUPS])
def test_rescale(bar: Bar, syrup: str, brix: float) -> None:
    result = rescale(bar, syrup, brix)
    assert followed(result) >= 2 + len(result.rows)


@pytest.mark.parametrize("off", [(1.07, 0.93), (0.93, 1.07), (1.02, 1.08), (0.9, 0.95)])
@pytest.mark.parametrize(("bar", "syrup"), SYRUPS, ids=[syrup for _, syrup in SYRUPS])
def test_rescale_where_every_other_syrup_is_off_too(bar: Bar, syrup: str, off: tuple[float, float]) -> None:
    """By so many parts of its strength, by turns."""
    strengths = {one: bar.standard(one) * off[place % 2] for place, one in enumerate(bar.specs.syrups)}
    result = rescale(bar, syrup, strengths.pop(syrup), others=strengths)
    assert followed(result) >= 2 + len(result.rows)
    assert_what_others_hold(result)


def assert_what_others_hold(result: Rescale) -> None:
    """What stands for another syrup is its sugar in a ml or a g, at its strength and at standard; none is left out."""
    lines = "\n".join(rescale_steps(result))
    for row in result.rows:
        for place, (off, part) in enumerate(zip(row.decided.off, row.decided.parts, strict=True)):
            if place == row.place or not off.is_off:
                continue
            liquid, unit = row.decided.now[place], off.written.unit
            now, then = (
                one.sugar_per_g if unit == "g" else one.sugar_per_g * (one.density or 0.0)
                for one in (liquid, part.liquid)
            )
            assert f"  {part.liquid.name} is not at standard either:" in lines
            assert f"    a {unit} of it holds {now:.4f} g sugar, {then:.4f} at standard" in lines


MIXED = (
    syrup("first syrup"), syrup("second syrup", standard="60 °Bx"), syrup("third syrup", standard="66.7 °Bx")
)  # fmt: skip
FIXED_SECOND = {"pour": "22.5 ml", "of": "second syrup", "fixed": "true"}


SEVERAL: list[tuple[str, tuple[float, float, float], tuple[str | dict[str, str], ...]]] = [
    ("as written", (54.0, 56.0, 66.7), ("22.5 ml first syrup", "22.5 ml second syrup")),
    ("own lines", (54.0, 60.0, 71.0), ("22.5 ml first syrup", "30 ml third syrup")),
    ("own lines", (54.0, 63.5, 71.0), ("25 g first syrup", "30 ml third syrup", "30 ml second syrup")),
    ("searched", (58.0, 52.6, 66.7), ("40 ml first syrup", FIXED_SECOND)),
    ("searched", (54.0, 60.0, 71.8), ("15 ml first syrup", "15 ml third syrup")),
    ("out of reach", (54.0, 56.0, 66.7), ("10 ml first syrup", {**FIXED_SECOND, "pour": "60 ml"})),
    ("out of reach", (54.0, 56.0, 74.0), ("10 g first syrup", {**FIXED_SECOND, "pour": "90 ml"}, "8 ml third syrup")),
]


@pytest.mark.parametrize(("way", "read", "pours"), SEVERAL, ids=[f"{way}, {len(pours)}" for way, _, pours in SEVERAL])
@pytest.mark.parametrize("which", [0, 1, 2])
def test_rescale_of_several_syrups(
    way: str, read: tuple[float, float, float], pours: tuple[str | dict[str, str], ...], which: int
) -> None:
    """Two and three syrups off, measured, weighed and fixed, seen from each of them."""
    spec = drink("Any", "60 ml gold rum", "22.5 ml lime juice", *pours)
    bar = shelf(RUM, LIME, *MIXED, spec)
    strengths = {one.id: brix for one, brix in zip(MIXED, read, strict=True)}
    syrup_id = MIXED[which].id
    result = rescale(bar, syrup_id, strengths.pop(syrup_id), others=strengths)
    assert {row.decided.decision.way for row in result.rows} <= {way}
    assert followed(result) >= 2 + 4 * len(result.rows)
    assert_what_others_hold(result)


@pytest.mark.parametrize(
    ("written", "keys"),
    [
        ("22.5 ml", {"pour_style": "scale"}),
        ("22.5 ml", {"pour_style": "scale", "scale": {"division": "0.1 g"}}),
        ("3/4 oz", {"jigger_step": "1/8 oz", "show": "oz"}),
        ("3/4 oz", {"jigger_step": "1/8 oz", "show": "oz", "ounce": "30 ml"}),
    ],
)
def test_a_pour_that_is_written_in_another_unit(written: str, keys: dict[str, Any]) -> None:
    """Written in ml and weighed, or written in ounces: where its grams or ml come from is printed too."""
    spec = drink("Any", "60 ml gold rum", f"{written} first syrup", "22.5 ml lime juice", "15 ml second syrup")
    bar = shelf(RUM, LIME, *MIXED, spec, **keys)
    assert followed(rescale(bar, "first-syrup", 54.0)) >= 6
    assert followed(rescale(bar, "first-syrup", 54.0, others={"second-syrup": 64.0})) >= 8


def test_no_line_of_the_working_is_too_wide() -> None:
    """80 columns, for every way a decision is come by."""
    spec = drink("Any", "60 ml gold rum", "40 ml first syrup", FIXED_SECOND)
    for first, second in ((57.5, 50.5), (54.0, 58.0), (50.5, 60.5), (50.0, 50.0)):
        result = rescale(shelf(RUM, LIME, *MIXED, spec), "first-syrup", first, others={"second-syrup": second})
        assert [line for line in rescale_steps(result) if len(line) > 80] == []


@given(
    spec=st.floats(1.0, 120.0).map(lambda ml: round(ml, 2)),
    standard=st.floats(20.0, 80.0).map(lambda brix: round(brix, 1)),
    batch=st.floats(20.0, 80.0).map(lambda brix: round(brix, 2)),
)
def test_pour(spec: float, standard: float, batch: float) -> None:
    lines = pour_steps(pour(spec, standard, batch))
    assert follow(lines, [spec, standard, batch], percent_digits=1, may_come_from_a_table=whole) == 4


def test_every_unit_a_pour_may_have(tmp_path: Path) -> None:
    """Down to grams from whatever the spec says, the house's own measures among them."""
    own = "- ingredient: cube tonic\n  kind: mixer\n  sugar: 80 g/l\n  each: {can: 150 ml}\n  allergens: []\n"
    units = ["1½ oz gold rum", "2 cl dry gin", "0.03 l lime juice", "2 dashes aromatic bitters"]
    units += ["1 barspoon lemon juice", "1 tsp berry syrup", "3 drops rye whiskey", "0.5 part white vermouth"]
    units += ["0.012 kg honey syrup", "7 g rich syrup", "2 cubes white sugar", "1 can cube tonic"]
    units += ["1/3 oz plain syrup", "rinse anise spirit"]
    drink = "drink: All Hands\nmethod: shaken\npours:\n" + "".join(f"  - {unit}\n" for unit in units)
    bar = bar_of(copy_of_house(tmp_path, ingredients__own=own, drinks__all=drink))
    spec = bar.specs.drinks["all-hands"]
    lines = totals_steps(totals(bar, spec), bar.specs.house)
    assert follow(lines, given_in(bar, spec), percent_digits=2, may_come_from_a_table=table) >= len(units)
    assert "  gold rum: 1.5 oz × 30 ml × 0.9480 g/ml = 42.66 g" in lines
    assert "  white sugar: 2 cubes × 4 g = 8.00 g" in lines
    assert "  honey syrup: 0.012 kg × 1000 g = 12.00 g" in lines


@pytest.mark.parametrize(
    "extra",
    [
        "chill: {stop: -2 °C}",
        "chill: {stop: -2 °C, ice: 200 g}",
        "dilution: 0 %",
        "weighed: {before: 60 g, after: 90 g}",
    ],
)
def test_every_way_to_a_dilution(tmp_path: Path, extra: str) -> None:
    drink = f"drink: Cold Iron\nmethod: stirred\n{extra}\npours:\n  - 60 ml rye whiskey\n  - 20 ml white vermouth\n"
    bar = bar_of(copy_of_house(tmp_path, drinks__cold=drink))
    spec = bar.specs.drinks["cold-iron"]
    lines = totals_steps(totals(bar, spec), bar.specs.house)
    assert follow(lines, given_in(bar, spec), percent_digits=2, may_come_from_a_table=table) >= 8


@pytest.mark.parametrize(
    ("line", "fits"),
    [
        ("a: 22.5 × 0.6148 = 13.83 g", True),
        ("a: 22.5 × 0.6148 = 13.84 g", False),
        ("a: 22.5 × 0.6148 = 13.82 g", False),
        ("a: (22.5 × 0.6791 − 22.5 × 0.6175) ÷ 14.28 = 9.7 %", True),
        ("a: (22.5 × 0.6791 − 22.5 × 0.6175) ÷ 14.28 = 9.8 %", False),
        ("a: 0.203 + 1.742 × 22.91 % − 1.567 × 22.91 % × 22.91 % = 51.98 %", True),
        ("a: 0.203 + 1.742 × 22.91 % − 1.567 × 22.91 % × 22.91 % = 52.1 %", False),
        ("a: 180 g − 125 g = 55.00 g", True),
        ("a: 180 g − 125 g = 55.01 g", False),
    ],
)
def test_the_calculator_itself(line: str, fits: bool) -> None:
    """Worked by hand: 22.5 x 0.6148 = 13.833; (15.280 - 13.894) / 14.28 = 9.71 %; 0.203 + 0.3991 - 0.0822 = 51.98 %."""
    digits = 2 if "0.203" in line else 1
    try:
        assert follow([line], [], percent_digits=digits, may_come_from_a_table=lambda *_: True) == 1
    except AssertionError:
        assert not fits
    else:
        assert fits


def test_a_number_out_of_nowhere_is_seen() -> None:
    lines = ["standard: a ml at 50 °Bx weighs 1.2297 g (density table)", "  1.2520 g × 50 ÷ 100 = 0.6260 g"]
    with pytest.raises(AssertionError, match=r"1\.2520"):
        follow(lines, [50.0], percent_digits=1, may_come_from_a_table=whole)
