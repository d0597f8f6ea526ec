"""What a strip or label calls written is what the card says, letter by letter; and the new pour is another one."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.card import card
from balancer.engine.service.lines import lines_of
from balancer.engine.service.rescale import Rescale, rescale
from balancer.output.paper.card_lines import amount
from balancer.output.paper.language import words_of
from balancer.output.paper.strips import spelt_line
from balancer.output.words.tonight import told
from balancer.units import parse_number
from tests import pdf
from tests.across.houses import tried
from tests.cli.runner import copy_of_house, run
from tests.engine.builders import BERRY, LIME, RUM, bar, drink

# The US and the imperial fluid ounce (NIST Handbook 44, Appendix C; Weights and Measures Act 1985), and rounded ones.
OUNCES = ("29.5735295625 ml", "28.4130625 ml", "30 ml")
STEPS = ("1/8 oz", "1/4 oz", "1/2 oz", "2.5 ml", "5 ml", "0.5 ml")
ENGLISH = words_of("en")
WRITTEN = (
    *(f"{ml} ml" for ml in ("7.5", "10", "12.5", "15", "17.5", "20", "22", "22.5", "25", "30", "33.3", "45", "1.33")),
    *("2 cl", "1.5 cl", "1/4 oz", "1/2 oz", "0.76 oz", "3/4 oz", "5/8 oz", "1 oz", "1 1/2 oz", "2/3 oz"),
    *("1 barspoon", "2 barspoons", "3 dashes", "1 tablespoon", "20 g", "28.25 g"),
)


@st.composite
def kept(draw: DrawFn) -> Rescale:
    """A batch against a menu, in a house that measures in its own way."""
    ounce = draw(st.one_of(st.sampled_from(OUNCES), st.floats(28.4, 30.0).map(lambda ml: f"{ml:.3f} ml")))
    pours = draw(st.lists(st.sampled_from(WRITTEN), min_size=1, max_size=5, unique=True))
    drinks = [
        drink(f"Drink {number}", "50 ml gold rum", "20 ml lime juice", f"{pour} berry syrup")
        for number, pour in enumerate(pours)
    ]
    weighs = draw(st.booleans()) and draw(st.booleans())
    house = bar(
        RUM, LIME, BERRY, *drinks,
        ounce=ounce,
        jigger_step=draw(st.sampled_from(STEPS)),
        show=draw(st.sampled_from(("ml", "oz"))),
        **({"pour_style": "scale", "scale": {"division": draw(st.sampled_from(("1 g", "0.1 g")))}} if weighs else {}),
    )  # fmt: skip
    return rescale(house, BERRY.id, draw(st.floats(42.0, 59.0)))


def on_cards(house: Bar) -> dict[str, str]:
    """By drink, what its card says of the syrup, number and unit."""
    show = house.specs.house.show
    return {
        each.id: " ".join(
            next(amount(line, show, ENGLISH) for line in card(house, each).pours if line.liquid.id == BERRY.id)
        ).strip()
        for each in house.specs.drinks.values()
    }


def as_written(line: tuple[str, str, str]) -> str:
    """Number and unit of what a line of a strip calls written."""
    written, _, unit = line
    written = written.replace("\u00a0", " ")
    return written if " " in written else f"{written} {unit}"


@tried(400)
@given(kept())
def test_the_written_side_is_what_the_card_says(result: Rescale) -> None:
    house = result.rows[0].menu.bar
    lines = lines_of(result)
    said = on_cards(house)
    printed = {
        as_written(spelt_line(line.change, ENGLISH)) for line in told(lines, house.specs.house, on_card=True).lines
    }
    served = {row.drink.id for row in result.rows if row.verdict == "new pour"}
    named = told(lines, house.specs.house, on_card=True)
    served -= {each.id for each, _ in named.others} | {each.id for each in named.asked}
    assert printed <= {said[each] for each in served}
    for row in result.rows:
        if row.drink.id in served and said[row.drink.id] not in printed:
            # Left out only where who pours what the card says pours the new amount already, or is past it.
            number, unit = said[row.drink.id].split(" ")
            assert unit == house.specs.house.show
            shown = parse_number(number.replace("\u202f", " ")) * (house.specs.house.ounce if unit == "oz" else 1.0)
            assert abs(row.poured.value - shown) <= abs(row.poured.value - row.written.value)


@tried(400)
@given(kept())
def test_a_line_says_another_pour_than_the_card_in_the_direction_of_the_change(result: Rescale) -> None:
    house = result.rows[0].menu.bar.specs.house
    lines = lines_of(result)
    said = told(lines, house, on_card=True)
    for change, _ in said.lines:
        assert (change.before, change.before_unit) != (change.after, change.unit)
        if change.before_unit == change.unit:
            rises = result.batch_brix < result.standard_brix
            assert (parse_number(change.after) > parse_number(change.before)) == rises, change
    named = [each.id for each, _ in said.others]
    assert len(named) == len(set(named))


@tried(200)
@given(kept())
def test_nothing_is_lost_between_lines_and_strip(result: Rescale) -> None:
    """A bottle that has something to say of a pour says it; one that has nothing has no strip."""
    house = result.rows[0].menu.bar.specs.house
    lines = lines_of(result)
    said = told(lines, house, on_card=True)
    assert (bool(said.lines) or any(not change.is_none for _, change in said.others)) == lines.moves_on_paper(house)


# As it comes out of the printer


def ounces(folder: Path, pour: str, step: str = "1/8 oz", brix: str = "54", **house: str) -> Path:
    """A bar that measures in US ounces, with one drink and one batch."""
    specs = copy_of_house(
        folder, drinks__new=f"drink: Cabin Sour\nmethod: shaken\npours: [60 ml gold rum, {pour} berry syrup]\n"
    )
    for path in (specs / "drinks").iterdir():
        if path.name != "new.yaml":
            path.unlink()
    lines = ["format: 1", "house: The Test Quay", "show: oz", f"jigger step: {step}", *map(": ".join, house.items())]
    (specs / "house.yaml").write_text("\n".join(lines) + "\n", encoding="utf-8")
    run("batch", "add", "berry", brix, "--open", specs=specs, env={"BALANCER_NOW": "2026-11-25T18:00+00:00"})
    return specs


def out(specs: Path, *words: str) -> str:
    path = specs.parent / f"{words[0]}.pdf"
    done = run(*words, "--out", str(path), specs=specs, env={"BALANCER_NOW": "2026-11-25T18:00+00:00"})
    return done.out if not path.exists() else pdf.text(path)


def test_card_strip_and_label_of_an_ounce_bar_write_one_thing(tmp_path: Path) -> None:
    """22.5 ml is 0.761 US ounces. At 56 °Bx 22.5 × 50 × 1.2297 / (56 × 1.2634) = 19.55 ml, 0.66 oz, hold as much sugar.

    Densities in kg/l at 20 °C, from memory.
    """
    specs = ounces(tmp_path, "22.5 ml", brix="56")
    assert re.search("¾ ?oz berry syrup", out(specs, "cards").replace("\u00a0", " "))
    assert "pour ¾ ⅝ oz" in out(specs, "strips").replace("\u00a0", " ")
    assert "¾ ⅝ oz" in out(specs, "labels").replace("\u00a0", " ")
    assert "3/4 → 5/8 oz" in run("rescale", "--syrup", "berry", "--brix", "56", specs=specs).out


def test_a_bottle_whose_pours_the_cards_say_already_has_no_strip(tmp_path: Path) -> None:
    """22.5 ml reads ¾ oz on the card; of a bottle a little too strong ¾ oz (22.2 ml) is the new pour."""
    specs = ounces(tmp_path, "22.5 ml", step="1/4 oz", brix="50.7", tolerance="0.1 %")
    said = out(specs, "strips")
    assert "as written" in said
    assert not (tmp_path / "strips.pdf").exists()


@pytest.mark.parametrize("pour", ["2 barspoons", "2 cl", "20 g"])
def test_a_pour_keeps_the_unit_that_its_card_has(tmp_path: Path, pour: str) -> None:
    specs = ounces(tmp_path, pour, step="0.5 ml", tolerance="0.1 %")
    strip = out(specs, "strips").replace("\u00a0", " ")
    said = {"2 barspoons": f"pour 2 {ENGLISH.unit('barspoons')} ", "2 cl": "pour 2⁄3 ", "20 g": "pour 20 "}[pour]
    assert said in strip
