"""The menu in an order: what is known by size, what is not known last."""

from __future__ import annotations

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.drink.menu_totals import Figure, MenuTotals, SortedBy, figure_of, is_lower, menu_totals
from balancer.engine.drink.totals import totals
from balancer.models.drink import Drink
from tests.engine.builders import LIME, PLAIN, RUM, bar, drink, ingredient

VAGUE = ingredient("vague liqueur", kind="liqueur", abv="20 %", density="1.05 g/ml")
SOUR = drink("Sour", "60 ml gold rum", "20 ml lime juice", "20 ml plain syrup", dilution="50 %")
STRONG = drink("Strong", "60 ml gold rum", "5 ml plain syrup", dilution="20 %")
BUILT = drink("Built", "40 ml gold rum", "10 ml plain syrup", method="built")
VAGUELY = drink("vaguely", "40 ml gold rum", "30 ml vague liqueur", dilution="30 %")
PARTLY = drink("Partly", "40 ml vague liqueur", "30 ml plain syrup", dilution="30 %")
DRINKS = (SOUR, STRONG, BUILT, VAGUELY, PARTLY)
SHELF = bar(RUM, LIME, PLAIN, VAGUE, *DRINKS)


def menu(*drinks: Drink) -> MenuTotals:
    return menu_totals(SHELF, drinks or DRINKS)


def ids(found: MenuTotals) -> list[str]:
    return [one.drink.id for one in found.drinks]


def test_each_is_what_totals_says() -> None:
    assert menu().drinks == tuple(totals(SHELF, one) for one in DRINKS)


@pytest.mark.parametrize(
    ("by", "order"),
    [
        (None, ["sour", "strong", "built", "vaguely", "partly"]),
        ("name", ["built", "partly", "sour", "strong", "vaguely"]),
        ("sugar", ["partly", "sour", "built", "strong", "vaguely"]),
        ("abv", ["strong", "vaguely", "sour", "partly", "built"]),
        ("ratio", ["sour", "strong", "built", "vaguely", "partly"]),
    ],
)
def test_orders(by: SortedBy | None, order: list[str]) -> None:
    """By hand: 30, 20, 10 and 5 ml of the one syrup; nobody knows the liqueur's sugar, nor what building adds."""
    assert ids(menu().ordered(by)) == order


def test_what_is_not_known_is_last_the_other_way_round_too() -> None:
    assert ids(menu().ordered("sugar", reverse=True))[-1] == "vaguely"
    assert ids(menu().ordered("abv", reverse=True))[-1] == "built"


def test_a_lower_bound_is_marked_and_nothing_known_is_none() -> None:
    partly, vaguely = menu(PARTLY, VAGUELY).drinks
    assert is_lower(partly, "sugar")
    assert figure_of(partly, "sugar") == pytest.approx(totals(SHELF, PARTLY).sugar_g)
    assert figure_of(vaguely, "sugar") is None


def test_ends_are_of_what_is_known() -> None:
    ends = menu().ends("abv")
    assert ends is not None
    assert [one.drink.id for one in ends] == ["partly", "strong"]
    assert menu(BUILT).ends("abv") is None
    assert menu().unknown("abv") == 1
    assert (menu().in_part("sugar"), menu().unknown("sugar"), menu().in_part("volume")) == (1, 1, 0)


def test_what_cannot_be_worked_out_is_told_and_stops_nothing() -> None:
    cup = drink("Cup", "1 cup gold rum")
    failing = menu_totals(bar(RUM, PLAIN, cup, STRONG), [cup, STRONG])
    assert ids(failing) == ["strong"]
    assert [one.id for one, _ in failing.failed] == ["cup"]
    assert failing.problems()[0].message.startswith("Cup: ")


@given(st.lists(st.sampled_from(DRINKS), max_size=12), st.sampled_from(get_args(Figure)), st.booleans())
def test_an_order_loses_nothing_and_is_one(drinks: list[Drink], by: Figure, reverse: bool) -> None:
    found = menu_totals(SHELF, drinks)
    order = found.ordered(by, reverse=reverse)
    assert sorted(ids(order)) == sorted(ids(found))
    values = [figure_of(one, by) for one in order.drinks]
    known = [value for value in values if value is not None]
    assert values == [*known, *[None] * (len(values) - len(known))]
    assert known == sorted(known, reverse=not reverse)
