"""Bar-facing text fits: 80 columns, at most eight rows between the answer and `more:`, no digits nobody can pour."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import replace
from functools import cache
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.jigger import Jigger
from balancer.engine.drink.totals import totals
from balancer.engine.service.pour import pour
from balancer.engine.service.rescale import Rescale, rescale
from balancer.files.house.load import load
from balancer.models.house import House
from balancer.output.screen.pour import pour_text
from balancer.output.screen.rescale import rescale_text
from balancer.output.screen.totals import totals_text
from balancer.output.words.numbers import cut, pad, percent, trim, volume_change, width
from balancer.output.words.page import labelled, page
from balancer.units import Quantity
from tests.cli.runner import CHECKOUT, HOUSE

Unit = Literal["ml", "oz"]
FOLDERS = {"tests": HOUSE, "demo": CHECKOUT / "specs"}
NAMES = (
    "The Longshoreman's Second-Best Sunday Overcoat, Brushed and Hung in the Hall, with Its Buttons Sewn On Again",
    "燈台守の夏の夕暮れのサワー、港の灯りと波の音を添えて、もう一杯おかわりをどうぞ",
    "Crème-de-la-Crème-de-Violette-sans-Espace-ni-Pause-jusqu’au-Bout-de-la-Jetée-et-Retour",
    "à" * 40,
)


@cache
def bar_of(folder: str, unit: Unit) -> Bar:
    loaded = load(FOLDERS[folder])
    step = {"ml": Quantity(2.5, "ml"), "oz": Quantity(0.125, "oz")}[unit]
    house = loaded.specs.house.model_copy(update={"show": unit, "jigger_step": step})
    return Bar(replace(loaded.specs, house=house))


LONG = (*NAMES, *(each.name for each in load(FOLDERS["tests"]).specs.drinks.values() if len(each.name) > 24))
"""Names that make a row run on, for none is cut; wide letters take two columns."""
LONG += ("燈台守の夏の夕暮れのサワー",)


def columns(line: str) -> int:
    """As a terminal counts: wide characters two, combining marks none."""
    wide = sum(unicodedata.east_asian_width(char) in "WF" for char in line)
    return len(line) + wide - sum(unicodedata.combining(char) != 0 for char in line)


def assert_fits(text: str) -> None:
    lines = text.splitlines()
    assert [line for line in lines if columns(line) > 80] == []
    rows = [line for line in lines[1:] if re.match(r"  \S", line)]
    assert len(rows) <= 8, text
    assert sum(line.startswith("more: ") for line in lines) == 1
    before, _, after = text.partition("\nmore: ")
    kept = re.sub(r"(?m)^  caution .*(\n {20}.*)+", "", before)  # the house's own words, never cut
    if not any("".join(name.split()) in "".join(text.split()) for name in LONG):
        assert "\n    " not in kept, f"a row runs on: {text}"
    assert "…" not in text.replace("--brix …", "")
    assert "\n  " not in re.sub(r"\n    ", " ", after)


def assert_pourable(text: str, unit: Unit) -> None:
    """Whole millilitres or steps, one decimal of °Bx, whole percents of change."""
    assert re.findall(r"[0-9.]*\.[0-9]{2,} (?:ml|%|°Bx)", text) == []
    assert re.findall(r"[+−][0-9]+\.[0-9]+ %", text) == []
    if unit == "ml":
        pours = [float(number) for number in re.findall(r"([0-9.]+) → ", text)]
        assert [pour for pour in pours if round(pour * 4) != pour * 4] == []


@pytest.mark.parametrize("unit", ["ml", "oz"])
@pytest.mark.parametrize("folder", FOLDERS)
def test_totals_of_every_drink(folder: str, unit: Unit) -> None:
    bar = bar_of(folder, unit)
    assert len(bar.specs.drinks) >= 9
    for drink in bar.specs.drinks.values():
        text = totals_text(totals(bar, drink), bar.specs.house)
        assert_fits(text)
        assert_pourable(text, unit)


def rescaled(bar: Bar, syrup: str, brix: float, uncertainty: float | None, cause: str | None) -> Rescale:
    return rescale(bar, syrup, brix, uncertainty_brix=uncertainty, cause=cause)


@pytest.mark.parametrize("unit", ["ml", "oz"])
@pytest.mark.parametrize("folder", FOLDERS)
@pytest.mark.parametrize("off", [-16.0, -6.0, -4.0, -2.5, -1.0, 0.0, 1.0, 2.4, 4.0, 6.0, 16.0])
def test_rescale_of_every_syrup(folder: str, unit: Unit, off: float) -> None:
    bar = bar_of(folder, unit)
    assert len(bar.specs.syrups) >= 4
    for syrup in bar.specs.syrups:
        for uncertainty, cause in ((None, None), (0.4, None), (None, "sugar"), (1.0, "boiled")):
            text = rescale_text(rescaled(bar, syrup, bar.standard(syrup) + off, uncertainty, cause), bar.specs.house)
            assert_fits_but_reason(text)
            assert_pourable(text, unit)


def assert_fits_but_reason(text: str) -> None:
    """The one reason sentence may name drinks, and then run on."""
    first, second, *rest = text.splitlines()
    while rest and rest[0].startswith("    "):
        rest.pop(0)
    assert columns(second) <= 80
    assert_fits("\n".join([first, *rest]))


@pytest.mark.parametrize("unit", ["ml", "oz"])
@pytest.mark.parametrize("name", NAMES)
def test_names_of_any_length_and_script(name: str, unit: Unit) -> None:
    """Every drink of the menu gets the name, and every answer still fits."""
    bar = bar_of("tests", unit)
    named = [drink.model_copy(update={"name": name}) for drink in bar.specs.drinks.values()]
    for drink in named:
        assert_fits(totals_text(totals(bar, drink), bar.specs.house))
    for syrup in ("berry-syrup", "plain-syrup", "honey-syrup"):
        for brix in (46.0, 54.0):
            assert_fits_but_reason(rescale_text(rescale(bar, syrup, brix, named), bar.specs.house))


@given(
    spec=st.floats(2.0, 90.0),
    standard=st.floats(30.0, 75.0),
    batch=st.floats(30.0, 75.0),
    tolerance=st.floats(0.5, 15.0),
    unit=st.sampled_from(["ml", "oz"]),
)
def test_pour(spec: float, standard: float, batch: float, tolerance: float, unit: Unit) -> None:
    house = House.model_validate({"format": "1", "house": "Quay", "show": unit})
    text = pour_text(pour(spec, standard, batch, Jigger(2.5), tolerance), house)
    assert_fits(text)
    assert text.startswith(("pour ", "no jigger pour works: "))


TEXTS = st.text(st.characters(exclude_categories=["Cc", "Cs", "Zl", "Zp"]), max_size=200)


@given(TEXTS, TEXTS, TEXTS)
def test_a_page_of_any_text(first: str, row: str, more: str) -> None:
    """Nothing is lost but spaces, and no line is too wide."""
    text = page(first, [row], more)
    assert [line for line in text.split("\n") if columns(line) > 80] == []
    assert "".join(text.split()) == "".join(f"{first}{row}{'more:' if more else ''}{more}".split())


@given(TEXTS, st.integers(2, 40))
def test_a_cut_name(text: str, room: int) -> None:
    assert width(cut(text, room)) <= room
    assert width(pad(cut(text, room), room)) == room
    assert cut(text, max(width(text), 2)) == text


def test_a_row_runs_on_below_its_own_text() -> None:
    text = page("x", [labelled("allergens unknown", ", ".join(["red bitter aperitif"] * 6))], "y")
    assert text.splitlines()[2].startswith(" " * 20 + "aperitif, red")


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.49, "0 %"), (-0.49, "0 %"), (0.51, "+1 %"), (-9.96, "−10 %"), (-2.26, "−2 %"), (120.4, "+120 %")],
)
def test_percent(value: float, text: str) -> None:
    assert percent(value) == text


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [(54.04, 1, "54"), (54.06, 1, "54.1"), (0.04, 1, "0"), (-0.04, 1, "0"), (-2.5, 1, "−2.5"), (100.0, 0, "100")],
)
def test_trim(value: float, digits: int, text: str) -> None:
    assert trim(value, digits) == text


@pytest.mark.parametrize(
    ("ml", "unit", "text"),
    [(-3.2, "ml", "−3 ml"), (3.2, "ml", "+3 ml"), (0.3, "ml", "0 ml"), (-3.2, "oz", "−0.1 oz"), (0.9, "oz", "0 oz")],
)
def test_change_of_volume(ml: float, unit: Unit, text: str) -> None:
    assert volume_change(ml, unit) == text
