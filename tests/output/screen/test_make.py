"""How a recipe is shown: the answer first, few rows, a working that a calculator follows."""

from __future__ import annotations

import re
from typing import Any

import pytest

from balancer.engine.prep.make import Making
from balancer.output.data.make import make_data
from balancer.output.screen.make import make_text
from balancer.output.words.make import CAUTION
from balancer.output.words.numbers import width
from balancer.output.working.make import make_steps
from tests.engine.builders import house, ingredient, syrup
from tests.engine.kitchen import made

LONG = ("sugar", "water", "pulp", "lime juice", "plums", "vodka", "cube sugar")
CORDIAL = ("400 g lime juice", "620 g sugar", "200 g water", "25 g citric acid")
_VALUE = re.compile(r"[-−]?[0-9]+(\.[0-9]+)?")
_UNITS = re.compile(r"(?<=[0-9]) (g/ml|g/kg|ml|cups?|cubes|oz|g|°Bx)\b")


def text(*lines: str, **keys: Any) -> list[str]:
    return make_text(made(*lines, **keys), house()).splitlines()


def joined(*lines: str, **keys: Any) -> str:
    return " ".join(" ".join(text(*lines, **keys)).split())


def test_the_answer_comes_first() -> None:
    assert text("1000 g sugar", "1000 g water")[0] == "test syrup: makes 2 kg, 1.63 l at 50 °Bx"
    assert text("2000 g sugar", "1000 g water", mass_g=750.0)[0] == "test syrup: makes 750 g, 565 ml at 66.7 °Bx"
    assert text("500 g plums", "500 g sugar")[0] == "test syrup: makes 1 kg, 813 ml at ≥ 50 °Bx"
    strained = text("1000 g pulp", "700 g sugar", keys={"yield": "1500 g"})
    assert strained[0].endswith("at 43.8 to 49.6 °Bx")
    assert text(*CORDIAL, acid="45 g/l")[0].endswith("°Bx, 45 g/l acid")


def test_weights_stand_in_the_order_of_the_recipe() -> None:
    rows = text("180 ml lime juice", "10 cubes cube sugar", "8.25 g malic acid", "2 oz water")[1:5]
    assert [row.split("  ")[-1] for row in rows] == [
        "lime juice (184 g)",  # 1.023 g/ml by a household weight of USDA SR28 NDB 09160
        "cube sugar (40 g)",
        "malic acid",
        "water (59 g)",
    ]
    assert [row.strip().rpartition("  ")[0].strip() for row in rows] == ["180 ml", "10 cubes", "8.2 g", "2 oz"]


@pytest.mark.parametrize(
    ("lines", "wanted"),
    [
        (("10 g citric acid", "1000 g water", "1000 g sugar"), {}),
        (("1000 ml lime juice",), {"acid": "60 g/l"}),
        (tuple(f"{g} g {name}" for g, name in enumerate(("citric acid", "malic acid", *LONG), 20)), {}),
    ],
    ids=["in the recipe", "asked for", "in a long recipe"],
)  # fmt: skip
def test_powders_always_come_with_their_caution(lines: tuple[str, ...], wanted: dict[str, Any]) -> None:
    assert CAUTION in joined(*lines, **wanted)
    assert CAUTION in make_data(made(*lines, **wanted))["cautions"]


def test_without_powder_no_caution() -> None:
    assert CAUTION not in joined("1000 ml lime juice", "500 g sugar")
    assert make_data(made("1000 ml lime juice", "500 g sugar"))["cautions"] == []


@pytest.mark.parametrize(
    ("said", "lines", "keys"),
    [
        ("sugar unknown: plums", ("500 g plums", "400 g sugar"), {}),
        ("weighed, the same numbers would give 50 °Bx; a US cup is 237 ml", ("1 cup cube sugar", "1 cup water"), {}),
        ("crystals may grow at 4 °C, where 64.8 °Bx", ("2000 g sugar", "1000 g water"), {}),
        ("yield of 16 oz is not believed: 838 g", ("454 g sugar", "13 oz water"), {"keys": {"yield": "16 oz"}}),
        ("only 2 kg, 1.63 l go in", ("1000 g sugar", "1000 g water"), {"keys": {"yield": "2100 g"}}),
        ("does not fit: 1.63 l go in", ("1 kg sugar", "1 kg water"), {"mass_g": 2000.0, "container_ml": 1500.0}),
        ("to the brim: leave room to stir", ("1 kg sugar", "1 kg water"), {"container_ml": 4000.0}),
        ("200 g (12 %) stay behind", ("1000 g pulp", "700 g sugar"), {"keys": {"yield": "1500 g"}}),
        ("the higher strength if it is dry pulp", ("1000 g pulp", "700 g sugar"), {"keys": {"yield": "1500 g"}}),
        ("standard 50 °Bx: the recipe gives it", ("1000 g sugar", "1000 g water"), {}),
        ("the recipe is 10 over; --strength 50 brings it there", ("1200 g sugar", "800 g water"), {}),
        ("the recipe is 0.6 over, within 1", ("1012 g sugar", "988 g water"), {}),
        ("changed, per kg of the recipe: water 500 g → 409 g", ("1 kg sugar", "1 kg water"), {"brix": 55.0}),
        ("this is 5 over, as asked", ("1 kg sugar", "1 kg water"), {"brix": 55.0}),
        ("limited by pulp", ("1000 g pulp", "700 g sugar"), {"have": ["1 kg pulp"]}),
        ("read it before the spirit goes in", ("1000 g sugar", "1000 g water", "50 ml vodka"), {}),
        ("says 44 g powder, which comes to 88 g/l", ("1000 ml lime juice",), {"acid": "90 g/l"}),
        ("keeps 1 day, the day it is made counted", ("1 g sugar", "1 g water"), {"keys": {"keeps": "1 day"}}),
    ],
)
def test_what_to_know_is_said(said: str, lines: tuple[str, ...], keys: dict[str, Any]) -> None:
    assert said in joined(*lines, **keys)


def test_measures_are_counted_as_people_do() -> None:
    rows = text("1 cup cube sugar", "1 cup water", volume_ml=1000.0)
    assert [row.split()[:2] for row in rows[1:3]] == [["2.77", "cups"], ["2.77", "cups"]]
    spoons = text("1 tablespoon cube sugar", "1/2 oz water", bulk=0.8)
    assert [row.split()[:2] for row in spoons[1:3]] == [["1", "tablespoon"], ["1/2", "oz"]]


def test_ounces_where_the_house_shows_ounces() -> None:
    result = made("1000 g sugar", "1000 g water")
    assert make_text(result, house(show="oz", ounce="30 ml")).startswith("test syrup: makes 2 kg, 54.2 oz at 50 °Bx")


@pytest.mark.parametrize("name", ["sirop d'orgeat très long " * 6, "סירופ רימונים", "石榴糖浆" * 20])
def test_lines_fit_a_terminal(name: str) -> None:
    fruit = ingredient(name)
    lines = text(f"1000 g {' '.join(name.split())}", "700 g sugar", "10 g citric acid", among=(fruit,))
    assert max(width(line) for line in lines) <= 80


def answers() -> list[Making]:
    rich = syrup("rich syrup", standard="66 °Bx")
    return [
        made("1000 g sugar", "1000 g water", brix=55.0),
        made("1000 g pulp", "700 g sugar", brix=50.0, keys={"yield": "1500 g"}, mass_g=777.0),
        made(*CORDIAL, acid="45 g/l", brix=52.0, volume_ml=2000.0),
        made("3 cups cube sugar", "2 cups water"),
        made("1 kg rich syrup", "2 oz lime juice", "10 cubes cube sugar", among=(rich,)),
    ]


@pytest.mark.parametrize("place", range(5))
def test_the_working_is_right_on_a_calculator(place: int) -> None:
    """Each line with = is worked from its printed numbers; the last printed digit may be off by what they round."""
    checked = 0
    for line in make_steps(answers()[place], house()):
        assert width(line) <= 80
        left, equals, right = line.partition(" = ")
        if equals:
            expression = _UNITS.sub("", left.rpartition(": ")[2]).translate(str.maketrans("×÷−", "*/-"))
            value = _VALUE.match(right)
            assert value is not None
            assert re.fullmatch(r"[0-9.+*/() -]+", expression), expression
            assert eval(expression) == pytest.approx(float(value[0]), rel=2e-4, abs=0.02), line  # noqa: S307
            checked += 1
    assert checked >= 4


def test_the_working_shows_both_ends_of_a_strained_syrup() -> None:
    result = answers()[1]
    steps = "\n".join(make_steps(result, house()))
    assert "what stays in strainer and pot changes the mass, not the strength" in steps
    assert f"= {result.high_brix:.2f}".rstrip("0") in steps


def test_json_is_unrounded_and_says_what_is_not_defined() -> None:
    data = make_data(made("1000 g pulp", "700 g sugar", keys={"yield": "1500 g", "keeps": "7 days"}, mass_g=100.0))
    assert data["brix"] == pytest.approx(100.0 * 744.0 / 1700.0, rel=1e-12)
    assert data["mass_g"] == pytest.approx(100.0)
    assert sum(part["mass_g"] for part in data["parts"]) == pytest.approx(data["goes_in"]["mass_g"])
    assert data["lost"]["mass_g"] == pytest.approx(data["goes_in"]["mass_g"] - data["mass_g"])
    assert data["yield"] == {"stated": {"value": 1500.0, "unit": "g"}, "doubt": None}
    assert (data["fits"], data["container_ml"], data["acid_rule"], data["by_weight_brix"]) == (None,) * 4
    assert data["keeps_days"] == 7.0
    assert [part["ingredient"] for part in data["parts"]] == ["pulp", "sugar"]
