"""An answer as changes of a file: what is written then is the drink that was answered, in amounts a bar writes."""

from __future__ import annotations

from typing import Any

import pytest

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.totals import totals
from balancer.engine.swaps.adjust import adjust
from balancer.engine.swaps.adjust_goals import Asked, Wanted
from balancer.engine.swaps.kept import bar_amount, changes_of
from balancer.engine.swaps.moved import Held
from balancer.engine.swaps.swap import swap
from balancer.errors import BalancerError
from balancer.files.house.load import load
from balancer.models.changes import PourChange, pours_after
from balancer.units import Quantity, format_quantity
from tests.cli.runner import CHECKOUT
from tests.engine.builders import bar, drink, ingredient, syrup

HELD: tuple[tuple[Held, ...], ...] = (("sugar",), ("sugar", "acid", "volume"), ("sugar", "abv"))
COMING = ("raspberry-syrup", "honey-syrup", "ginger-syrup", "demerara-sugar")


@pytest.mark.parametrize(
    ("ml", "like", "keys", "written"),
    [
        (22.5, "ml", {}, "22.5 ml"),
        (22.5, "oz", {"ounce": "30 ml"}, "3/4 oz"),
        (20.0, "oz", {"ounce": "30 ml"}, "2/3 oz"),
        (17.5, "oz", {"ounce": "30 ml"}, "17.5 ml"),  # 7/12 oz is nothing a bar writes
        (0.75 * 29.5735295625, "oz", {}, "3/4 oz"),
        (22.5, "oz", {}, "22.5 ml"),
        (22.5, "cl", {}, "2.25 cl"),
        (1.6, "dash", {"dash": "0.8 ml"}, "2 dashes"),
        (2.0, "dash", {"dash": "0.8 ml"}, "2 ml"),
        (7.5, "barspoon", {"barspoon": "5 ml"}, "1 1/2 barspoons"),
        (22.5, "", {"show": "oz", "ounce": "30 ml"}, "3/4 oz"),
        (22.5, "cubes", {}, "22.5 ml"),
        (22.5, "g", {}, "22.5 ml"),
        (22.499999999, "ml", {}, "22.5 ml"),
        (14.78676478, "ml", {"jigger_step": "1/4 oz"}, "1/2 oz"),
        (14.78676478, "ml", {}, "14.79 ml"),
    ],
)
def test_an_amount_as_a_bar_writes_it(ml: float, like: str, keys: dict[str, Any], written: str) -> None:
    assert format_quantity(bar_amount(bar(**keys), Amount(ml), like), glyphs=False) == written


def test_a_weight_stays_a_weight() -> None:
    assert bar_amount(bar(), Amount(22.449, "g"), "ml") == Quantity(22.45, "g")


def test_what_comes_takes_the_place_of_what_goes() -> None:
    rum = ingredient("rum", abv="40 %", sugar="0 g/l", density="0.95 g/ml")
    berry, plain = syrup("berry"), syrup("plain")
    slip = drink("Slip", "50 ml rum", "20 ml berry", dilution="20 %")
    here = bar(rum, berry, plain, slip)
    answer = swap(here, slip, "berry", "plain", ("sugar",))
    assert changes_of(here, slip, answer.pours, "berry") == (PourChange(slip.pours[1], "plain", Quantity(20.0, "ml")),)


def test_what_is_there_already_takes_it_all() -> None:
    """It is poured once, with more of it, and the other one goes."""
    rum = ingredient("rum", abv="40 %", sugar="0 g/l", density="0.95 g/ml")
    berry, plain = syrup("berry"), syrup("plain")
    slip = drink("Slip", "50 ml rum", "20 ml berry", "5 ml plain", dilution="20 %")
    here = bar(rum, berry, plain, slip)
    changes = changes_of(here, slip, swap(here, slip, "berry", "plain", ("sugar",)).pours, "berry")
    assert [(pour.of, pour.amount) for pour in pours_after(slip, changes)] == [
        ("rum", Quantity(50.0, "ml")),
        ("plain", Quantity(25.0, "ml")),
    ]


def test_a_rinse_stays_in_the_file() -> None:
    """It pours nothing that is counted, and is no pour that came to nothing."""
    rum = ingredient("rum", abv="40 %", sugar="0 g/l", density="0.95 g/ml")
    berry, plain = syrup("berry"), syrup("plain")
    slip = drink("Slip", "rinse rum", "20 ml berry", dilution="20 %")
    here = bar(rum, berry, plain, slip)
    swapped = changes_of(here, slip, swap(here, slip, "berry", "plain", ("sugar",)).pours, "berry")
    assert swapped == (PourChange(slip.pours[1], "plain", Quantity(20.0, "ml")),)
    drier = changes_of(here, slip, adjust(here, slip, Asked(sugar=Wanted(percent=-25.0))).pours)
    assert drier == (PourChange(slip.pours[1], "berry", Quantity(15.0, "ml")),)


@pytest.mark.slow
def test_it_is_the_drink_that_was_answered() -> None:
    """Every sweet pour of the demo house for four others; a pour after the ice counts elsewhere and is left out."""
    specs = load(CHECKOUT / "specs").specs
    house = Bar(specs)
    seen = 0
    for each in specs.drinks.values():
        for pour in each.pours:
            for into in COMING if not pour.top else ():
                for held in HELD:
                    try:
                        answer = swap(house, each, pour.of, into, held)
                    except BalancerError:
                        continue
                    changes = changes_of(house, each, answer.pours, pour.of)
                    made = totals(house, each.model_copy(update={"pours": pours_after(each, changes)}))
                    assert made.mix.volume_ml == pytest.approx(answer.new.mix.volume_ml, abs=0.02)
                    assert made.sugar_g == pytest.approx(answer.new.sugar_g, abs=0.02)
                    assert made.acid_g == pytest.approx(answer.new.acid_g, abs=0.02)
                    seen += 1
    assert seen > 400
