"""No row of an answer sets ml beside g for one thing, and what the screen says is what the JSON holds.

Houses are made at random: ml and ounces, jigger steps and lines, free pours, and pours that go on a scale.
"""

from __future__ import annotations

import re
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.across import swap_all
from balancer.engine.swaps.aim import aim
from balancer.engine.swaps.at import At, Strength
from balancer.engine.swaps.compare import compare
from balancer.engine.swaps.fits import fits
from balancer.engine.swaps.moved import Held
from balancer.engine.swaps.swap import swap
from balancer.errors import BalancerError
from balancer.output.data.aim import aim_data
from balancer.output.data.compare import compare_data
from balancer.output.data.fits import fits_data
from balancer.output.data.swap import swap_data
from balancer.output.screen.aim import aim_text
from balancer.output.screen.compare import compare_text
from balancer.output.screen.fits import fits_text
from balancer.output.screen.swap import menu_text, swap_text
from balancer.units import parse_number
from tests.engine.builders import LIME, PLAIN, RUM, bar, drink, ingredient, syrup
from tests.examples import examples

RICH = syrup("rich syrup", standard="66.67 °Bx", allergens=[])
TART = syrup("tart syrup", standard="50 °Bx", acid="9 g/kg", allergens=[])
DRY = ingredient("white sugar", sugar="1000 g/kg", allergens=[])
SWEET = ingredient("orange liqueur", abv="40 %", sugar="250 g/l", allergens=[])
OUT = ("plain-syrup", "rich-syrup", "white-sugar", "orange-liqueur")

POURING: list[dict[str, Any]] = [
    {},
    {"jigger_step": "1/4 oz"},
    {"jigger_lines": ["15 ml", "20 ml", "25 ml"], "jigger_barspoon": "true"},
    {"pour_style": "free"},
    {"pour_style": "scale"},
    {"pour_style": "scale", "scale": {"division": "0.1 g"}},
]
SHOWN: list[dict[str, Any]] = [{}, {"show": "oz"}, {"show": "oz", "ounce": "30 ml"}]
HOUSES = st.tuples(st.sampled_from(POURING), st.sampled_from(SHOWN)).map(lambda keys: keys[0] | keys[1])
SWEETENED = st.tuples(st.sampled_from(OUT), st.integers(10, 60), st.sampled_from(["ml", "g", "oz"])).map(
    lambda pour: (
        f"{pour[1] / 2} g {pour[0]}"
        if pour[2] == "g" or pour[0] == "white-sugar"
        else f"{pour[1] / 2} ml {pour[0]}"
        if pour[2] == "ml"
        else f"{pour[1] / 40} oz {pour[0]}"
    )
)

KITCHEN = (2, 3, 4, 8)
"""The parts of an ounce that a card writes a pour in where one is within 2 %."""

_NUMBER = r"(?:\d+ )?\d+/\d+|−?\d+(?:\.\d+)?"
_CHANGE = re.compile(rf"({_NUMBER})(?: (ml)(?= → {_NUMBER} oz))? → ({_NUMBER}) (ml|oz|g)\b")
_NOT = re.compile(rf"({_NUMBER}) (ml|oz|g) ([a-z ]+), not ({_NUMBER})(?: (ml|oz|g))?\b")


def kitchen(house: dict[str, Any], pour: str) -> tuple[Bar, Any]:
    """A bar of everything, and a sour that pours a sweetener."""
    spec = drink("Slip", "60 ml gold rum", "22.5 ml lime juice", pour)
    return bar(RUM, LIME, PLAIN, RICH, TART, DRY, SWEET, spec, **house), spec


@settings(max_examples=examples(150), deadline=None)
@given(
    house=HOUSES,
    pour=SWEETENED,
    into=st.sampled_from([*OUT, "tart-syrup"]),
    brix=st.floats(30.0, 70.0),
    held=st.lists(st.sampled_from(["sugar", "acid", "volume"]), min_size=1, unique=True),
)
def test_swap_has_one_unit_a_pour(house: dict[str, Any], pour: str, into: str, brix: float, held: list[Held]) -> None:
    kept, spec = kitchen(house, pour)
    out = spec.pours[2].of
    at = At("tonight", {into: Strength(brix, "RED-1")} if into in kept.specs.syrups else {})
    try:
        result = swap(kept, spec, out, into, held, at)
    except BalancerError:
        return
    rows = unwrapped(swap_text(result, kept.specs.house))
    data = swap_data(result, kept.specs.house)
    menu = unwrapped(menu_text(*swap_all(kept, out, into, held, at), kept.specs.house))

    by_name = {row["name"]: row for row in data["pours"]}
    assert [row["unit"] for row in data["pours"]] == [pour.poured.unit for pour in result.pours]
    for text, unit, name, old, old_unit in _NOT.findall("\n".join(rows + menu)):
        line = by_name[name]
        assert old_unit in ("", unit)
        check(text, unit, line, "poured", kept)
        check(old, unit, line, "spec", kept)
    new = next(row for row in data["pours"] if row["ingredient"] == into)
    # Dry sugar is weighed everywhere; a syrup in its place is poured, unless everything goes on the scale.
    weighed = " g " in pour and out != "white-sugar"
    assert new["unit"] == ("g" if house.get("pour_style") == "scale" or weighed or into == "white-sugar" else "ml")
    changes = [found for row in menu for found in _CHANGE.findall(row)]
    assert changes or result.new_pour.spec is None or result.new_pour.stays
    for spec_text, spec_unit, poured_text, unit in changes:
        check_change((spec_text, spec_unit or unit), (poured_text, unit), new, kept)


@settings(max_examples=examples(80), deadline=None)
@given(house=HOUSES, pour=SWEETENED)
def test_fits_and_aim_have_one_unit_a_pour(house: dict[str, Any], pour: str) -> None:
    kept, spec = kitchen(house, pour)
    out = spec.pours[2].of
    found = fits(kept, spec, out, [identity for identity in (*OUT, "tart-syrup") if identity != out])
    rows = unwrapped(fits_text(found, kept.specs.house))
    said = 0
    for fit in fits_data(found, kept.specs.house)["fits"]:
        pattern = re.compile(rf"^\s*({_NUMBER}) (ml|oz|g) {fit['name']}:")
        for row in rows:
            for text, unit in pattern.findall(row):
                check(text, unit, fit, "poured", kept)
                said += 1
    assert said == len(found.fits)

    try:
        wanted = aim(kept, "tart-syrup", out)
    except BalancerError:
        return
    (row,) = aim_data(wanted)["drinks"]
    aimed = "\n".join(unwrapped(aim_text(wanted, kept.specs.house)))
    changed = _CHANGE.findall(aimed)
    assert row["unit"] == ("g" if house.get("pour_style") == "scale" or " g " in pour else "ml")
    assert bool(changed) != bool(re.search(rf"({_NUMBER}) (ml|oz|g) as written", aimed))
    for spec_text, spec_unit, poured_text, unit in changed:
        assert (spec_unit, unit, row["unit"]) == ("", "g", "g")
        check_change((spec_text, unit), (poured_text, unit), row, kept)


@settings(max_examples=examples(20), deadline=None)
@given(house=HOUSES)
def test_compare_counts_in_ml(house: dict[str, Any]) -> None:
    """Its table is of 10 ml of each, whatever the house pours in; the house syrup is told in ml too."""
    kept, _ = kitchen(house, "20 ml plain-syrup")
    result = compare(kept)
    rows = unwrapped(compare_text(result))
    assert not [row for row in rows if re.search(rf"(?:{_NUMBER}) oz\b", row)]
    for line in compare_data(result)["sweeteners"]:
        (row,) = [row for row in rows if row.strip().startswith(f"{line['name']} ")]
        figures = row.split(line["name"])[1].split()
        for text, key in zip(figures[:4], ("sugar_g", "acid_g", "water_g", "house_ml"), strict=True):
            assert abs(float(parse_number(text)) - line[key]) <= half_digit(text) + 1e-9


def unwrapped(text: str) -> list[str]:
    """The rows of an answer, each on one line: what runs on is indented by four columns or more."""
    rows: list[str] = []
    for line in text.splitlines():
        if line.startswith("    "):
            rows[-1] += f" {line.strip()}"
        else:
            rows.append(line)
    return rows


def check(text: str, unit: str, row: dict[str, Any], what: str, kept: Bar) -> None:
    """What is printed is the JSON's amount, in its unit: within the printed digits, or the kitchen fraction near it.

    A house that says ¾ oz of 22.5 ml does so of what is written and of what to pour, as its cards do: one amount
    never reads in two ways.
    """
    value = row[f"{what}_g"] if unit == "g" else row[f"{what}_ml"]
    if row["unit"] == "g":
        assert unit == "g"
    else:
        assert unit == kept.specs.house.show or is_too_fine(value, unit, what, kept)
    value /= kept.specs.house.ounce if unit == "oz" else 1.0
    printed = float(parse_number(text.replace("−", "-")))
    if unit == "oz" and any(abs(printed - one) <= 1e-9 for one in nearest(value)):
        return
    assert abs(printed - value) <= (0.0 if "/" in text else half_digit(text)) + 1e-9


def nearest(ounces: float) -> list[float]:
    """The half, third, quarter or eighth that is nearest to a volume, both where two are; none that is over 2 % off."""
    near = [round(ounces * part) / part for part in KITCHEN]
    least = min(abs(one - ounces) for one in near)
    return [one for one in near if abs(one - ounces) <= min(least + 1e-9, 0.02 * ounces)]


def check_change(before: tuple[str, str], after: tuple[str, str], row: dict[str, Any], kept: Bar) -> None:
    """Both sides of a change are the JSON's, and the printed one goes the way that the pour goes."""
    check(*before, row, "spec", kept)
    check(*after, row, "poured", kept)
    if before[1] == after[1]:
        old, new = (float(parse_number(text.replace("−", "-"))) for text, _ in (before, after))
        weight = "g" if after[1] == "g" else "ml"
        assert (new > old) == (row[f"poured_{weight}"] > row[f"spec_{weight}"])
        assert new != old


def is_too_fine(ml: float, unit: str, what: str, kept: Bar) -> bool:
    """Whether it is a written pour that stays in ml on a card in ounces: their figures are more than 2 % off it."""
    ounces = ml / kept.specs.house.ounce
    near = [round(ounces, 2), *(round(ounces * part) / part for part in KITCHEN)]
    is_off = all(abs(one - ounces) > 0.02 * ounces for one in near)
    return is_off and (unit, what, kept.specs.house.show) == ("ml", "spec", "oz")


def half_digit(text: str) -> float:
    """Half of the last digit printed; a whole number may have lost a zero behind the point."""
    return 0.5 * 10.0 ** -len(text.partition(".")[2])


def test_the_patterns_find_what_they_look_for() -> None:
    assert _CHANGE.findall("Slip  3/4 → 0.41 oz; 28.2 → 27.7 g") == [
        ("3/4", "", "0.41", "oz"),
        ("28.2", "", "27.7", "g"),
    ]
    assert _CHANGE.findall("Slip  5.5 ml → 3/8 oz; 5 ml → 3 g") == [("5.5", "ml", "3/8", "oz")]
    assert _NOT.findall("20 ml lime juice, not 22.5") == [("20", "ml", "lime juice", "22.5", "")]
