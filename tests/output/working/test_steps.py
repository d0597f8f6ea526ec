"""The working can be followed with a pocket calculator, from the printed numbers alone.

Every line is worked again from what it prints. The result may differ from the printed one by what the
rounding of the printed numbers makes of it, and no more: see tests/output/working/calculator.py.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.components import STANDARD_DRINK_G
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.totals import totals
from balancer.engine.service.pour import pour
from balancer.engine.service.rescale import rescale
from balancer.files.house.load import load
from balancer.models.drink import Drink
from balancer.output.working.pour import pour_steps
from balancer.output.working.rescale import rescale_steps
from balancer.output.working.totals import totals_steps
from tests.cli.runner import CHECKOUT, HOUSE, copy_of_house
from tests.output.working.calculator import COEFFICIENTS, equation, joined

TABLE_LINES = (
    re.compile(r"(standard|batch): a ml at [0-9.]+ °Bx weighs [0-9.]+ g \(density table(, and its acid)?\)"),
    re.compile(r"  shares by weight: ((solids|acids|crystals) [0-9.]+ g(, )?)+"),
    re.compile(r".*: [0-9.]+ g sugar in the whole drink as designed \(see totals\)"),
    re.compile(r"  energy balance of drink, ice and vessel, down to −?[0-9.]+ °C: [0-9.]+ g"),
)
PLAIN_LINES = (
    re.compile(r"|before ice|in the glass|dilution, (stated|weighed|shaken|stirred|energy)|dilution: .*"),
    re.compile(r"each pour in grams; .*"),
    re.compile(r"  .*: a rinse, not counted|    sugar: unknown, counted as none"),
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
    exact = {f"{number:.3f}".rstrip("0").rstrip(".") for number in given if abs(number - round(number, 3)) < 1e-9}
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
            assert value.low - half <= printed <= value.high + half, line
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


@pytest.mark.parametrize("brix", [43.0, 46.5, 49.999, 52.4, 54.0, 57.3, 66.7])
@pytest.mark.parametrize(("bar", "syrup"), SYRUPS, ids=[syrup for _, syrup in SYRUPS])
def test_rescale(bar: Bar, syrup: str, brix: float) -> None:
    result = rescale(bar, syrup, brix)
    given = [brix, result.standard_brix, result.syrup.sugar_share]
    for row in result.rows:
        given += [row.pour.amount.value, row.rounded.spec_ml, row.rounded.poured_ml]
        given += [row.rounded.poured_ml * (result.batch.density or 0.0)] * row.by_weight  # whole grams, on the scale
    worked = follow(rescale_steps(result), given, percent_digits=1, may_come_from_a_table=whole)
    assert worked >= 2 + len(result.rows)


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
    own = "- ingredient: cube tonic\n  sugar: 80 g/l\n  each: {can: 150 ml}\n  allergens: []\n"
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
