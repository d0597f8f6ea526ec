"""What `bottle` prints: it fits, the answer stands first, and its working can be worked again."""

from __future__ import annotations

import re
from datetime import date

import pytest

from balancer.engine.drink.bar import Bar
from balancer.engine.service.bottle import Bottle, bottle
from balancer.files.house.load import load
from balancer.output.data.bottle import bottle_data
from balancer.output.screen.bottle import bottle_text
from balancer.output.words.bottle import left_out_text
from balancer.output.words.numbers import width
from balancer.output.working.bottle import bottle_steps
from tests.cli.runner import CHECKOUT
from tests.engine.service.test_bottle import batch, shelf
from tests.output.working.calculator import equation, joined

DEMO = Bar(load(CHECKOUT / "specs").specs)
NIGHT = date(2026, 11, 25)
DRINKS = list(DEMO.specs.drinks)


def bottled(drink: str, serves: float | None = 12.0, vessel_ml: float | None = None) -> Bottle:
    return bottle(DEMO, DEMO.specs.drinks[drink], serves=serves, vessel_ml=vessel_ml, made=NIGHT)


@pytest.mark.parametrize("drink", DRINKS)
@pytest.mark.parametrize(("serves", "vessel_ml"), [(12.0, None), (None, 750.0)])
def test_every_line_of_the_working_works(drink: str, serves: float | None, vessel_ml: float | None) -> None:
    """With a pocket calculator, from the printed numbers, to within their rounding."""
    result = bottled(drink, serves, vessel_ml)
    worked = 0
    for line in joined(bottle_steps(result)):
        found = equation(line)
        if found is None:
            assert re.fullmatch(r"one serve in grams .*|  volume: .* \(volume model\)|  all: [0-9.]+ g", line), line
            continue
        value, half = found.value({"12", "3"}), found.half_digit(1)
        assert value.low - half <= found.printed() <= value.high + half, line
        worked += 1

    assert worked > len(result.lines)


@pytest.mark.parametrize("drink", DRINKS)
def test_the_answer_fits_and_names_everything(drink: str) -> None:
    result = bottled(drink)
    text = bottle_text(result, DEMO.specs, NIGHT, logged=False)
    flat = " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())
    rows = [line for line in text.splitlines()[1:] if line.startswith("  ") and line[2] != " "]

    assert text.startswith("12 serves of ")
    assert max(width(line) for line in text.splitlines()) <= 80
    assert all(("water (replaces ice melt)" if line.is_melt else line.name) in flat for line in result.lines)
    assert all(left_out_text(item) in flat.split("label: ")[0] for item in result.left_out)
    assert all(left_out_text(item) in flat.split("label: ")[1] for item in result.left_out)
    assert len(rows) <= 8
    note, label = flat.split("label: ")
    assert " · keep cold · " in f"{label.split(' more: ')[0]} · "
    assert "a full or glass bottle may burst there, leave 10 % empty" in note
    if result.allergens:
        contains = f"contains {', '.join(result.allergens)}"
        assert contains in note
        assert contains in label
    assert all(name in note for name in result.allergens_unknown)
    assert all(text in note for text in result.cautions)


def test_a_batch_stands_on_the_label_and_in_the_answer() -> None:
    house = shelf()
    result = bottle(house, house.specs.drinks["test-sour"], serves=12.0, batch=batch(54.0, mass=100.0), made=NIGHT)
    text = bottle_text(result, house.specs, NIGHT, logged=True)
    data = bottle_data(result, house.specs.house, NIGHT, logged=True)

    assert "BER-3 at 54 °Bx: 20.5 ml a serve, not 22.5; only 100 g of it are left" in " ".join(text.split())
    assert "BER-3" in data["label"]
    assert (data["from"]["batch"], data["from"]["enough"], data["from"]["logged"]) == ("BER-3", False, True)
    assert data["last_day"] == "2026-11-25"


def test_json_is_unrounded_and_marks_what_is_unknown() -> None:
    """The aperitif of this drink has an unknown sugar: its sugar is a lower bound."""
    data = bottle_data(bottled("last-lamp-on-pier-nine"), DEMO.specs.house, NIGHT, logged=False)

    assert data["total"]["lower_bound"] is True
    assert data["lines"][0]["ml"] == pytest.approx(540.0)
    assert data["from"] is None
    assert [line["start_low"] for line in data["lines"]] == [False, False, False, True, False]


@pytest.mark.parametrize(
    ("drink", "said"),
    [
        ("lock-keepers-half", "caution: honey syrup: not for infants under 12 months"),
        ("marline-hitch", "caution: almond syrup: keep its bottle and jigger apart"),
    ],
)
def test_a_caution_says_what_it_is_about(drink: str, said: str) -> None:
    assert said in " ".join(bottle_text(bottled(drink), DEMO.specs, NIGHT, logged=False).split())
