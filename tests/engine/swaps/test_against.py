"""Two drinks side by side, worked by hand."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.drink.totals import totals
from balancer.engine.swaps.against import Against, DrinkSource, against
from balancer.models.drink import Drink
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, bar, drink, ingredient, syrup

AMARO = ingredient("amaro", kind="liqueur", abv="30 %")
NUTS = ingredient("nut liqueur", kind="liqueur", abv="20 %", sugar="250 g/l", allergens=["almonds"])
SODA = ingredient("soda", kind="mixer", sugar="80 g/l", allergens=[], top=True)
SHELF: tuple[Any, ...] = (RUM, LIME, PLAIN, BERRY, AMARO, NUTS, SODA)


def sour(name: str = "Sour", rum: float = 60.0, lime: float = 20.0, plain: float = 20.0, **keys: Any) -> Drink:
    pours = (f"{rum} ml gold rum", f"{lime} ml lime juice", f"{plain} ml plain syrup")
    return drink(name, *pours, **({"dilution": "50 %"} | keys))


def beside(one: Drink, other: Drink, **keys: Any) -> Against:
    shelf = bar(*SHELF, **keys)
    return against(shelf, one, shelf, other, DrinkSource())


def test_changes_are_from_the_other_to_this_one() -> None:
    """A quarter more of the only sweet thing: +25 % where the juice brings none."""
    found = beside(
        drink("A", "50 ml gold rum", "25 ml plain syrup", dilution="30 %"),
        drink("B", "50 ml gold rum", "20 ml plain syrup", dilution="30 %"),
    )
    assert found.moved.sugar_percent == pytest.approx(25.0)
    assert found.mix_volume_ml == pytest.approx(5.0, abs=0.1)
    assert found.volume_ml == pytest.approx(6.5, abs=0.2)
    assert found.moved.abv_points is not None
    assert found.moved.abv_points < 0
    assert found.ethanol_g == pytest.approx(0.0, abs=1e-9)


def test_a_drink_against_itself_differs_in_nothing() -> None:
    found = beside(sour(glass="coupe"), sour(glass="coupe"))
    assert found.is_alike
    assert all(pair.is_same for pair in found.pours)
    assert (found.said, found.gained, found.lost, found.only_one) == ((), (), (), ())


def test_what_may_be_noticed_is_ranked_from_the_other_to_this_one() -> None:
    """40 % more acid is 2.9 times the middle of 9.53 and 17.96 %; 25 % less sugar 4 times that of 4.2 and 8.14 %."""
    found = beside(sour(lime=28.0, plain=15.0), sour())
    assert [item.quantity for item in found.tasting.first[:2]] == ["sugar", "acid"]
    sugar, acid = (item.change for item in found.tasting.first[:2])
    assert sugar is not None
    assert acid is not None
    assert sugar < 0 < acid


def test_pours_stand_beside_the_same_thing_in_the_order_of_this_spec() -> None:
    one = drink("A", "20 ml lime juice", "60 ml gold rum", "22.5 ml berry syrup", dilution="50 %")
    other = drink("B", "60 ml gold rum", "25 ml lime juice", "20 ml plain syrup", dilution="50 %")
    found = beside(one, other)
    assert [(pair.id, pair.ours is not None, pair.theirs is not None) for pair in found.pours] == [
        ("lime-juice", True, True), ("gold-rum", True, True), ("berry-syrup", True, False),
        ("plain-syrup", False, True),
    ]  # fmt: skip
    assert [pair.differs for pair in found.pours] == [("amount",), (), (), ()]
    assert [pair.is_same for pair in found.pours] == [False, True, False, False]


def test_the_same_amount_in_other_words_is_the_same() -> None:
    """Of a bar that pours 30 ml as its ounce."""
    other = drink("B", "2 oz gold rum", "2 cl lime juice", "20 ml plain syrup", dilution="50 %")
    assert beside(sour(), other, ounce="30 ml").is_alike


def test_allergens_gained_lost_and_unknown() -> None:
    one = drink("A", "60 ml gold rum", "10 ml amaro", dilution="50 %", extras=["mint"])
    other = drink("B", "60 ml gold rum", "10 ml nut liqueur", dilution="50 %")
    found = beside(one, other)
    assert (found.gained, found.lost, found.unknown) == ((), ("almonds",), ("amaro", "mint"))
    back = beside(other, one)
    assert (back.gained, back.lost, back.unknown) == (("almonds",), (), ())


def test_unknown_is_never_a_change() -> None:
    """Nobody knows the sugar of what only one pours; where both pour as much of it, the change is at most that."""
    plain = drink("A", "60 ml gold rum", "20 ml plain syrup", dilution="50 %")
    bitter = drink("B", "60 ml gold rum", "20 ml plain syrup", "20 ml amaro", dilution="50 %")
    sweeter = drink("C", "60 ml gold rum", "25 ml plain syrup", "20 ml amaro", dilution="50 %")
    found = beside(plain, bitter)
    assert found.moved.sugar_percent is None
    assert "sugar" in found.moved.unknown
    assert found.only_one == ()
    part = beside(sweeter, bitter)
    assert part.moved.sugar_percent == pytest.approx(25.0)
    assert "sugar" in part.moved.at_most


def test_what_only_one_has() -> None:
    found = beside(sour(), drink("B", "60 ml gold rum", dilution="50 %"))
    assert found.only_one == ("acid", "sugar")
    assert found.is_new("acid")
    assert not beside(drink("B", "60 ml gold rum", dilution="50 %"), sour()).is_new("acid")


def test_a_dilution_that_is_unknown_leaves_the_glass_unknown() -> None:
    found = beside(sour(), drink("B", "60 ml gold rum", "20 ml plain syrup", method="built"))
    assert not found.are_served
    assert (found.volume_ml, found.noticed, found.moved.abv_points) == (None, (), None)
    assert found.shown_volume_ml == found.mix_volume_ml > 0


def test_a_top_has_its_sugar_in_the_glass_only() -> None:
    one = drink("A", "60 ml gold rum", "100 ml soda", dilution="20 %")
    found = beside(one, drink("B", "60 ml gold rum", "10 ml plain syrup", dilution="20 %"))
    assert found.differs_before_ice("sugar")
    assert found.before_ice_percent("sugar") == pytest.approx(-100.0)
    assert found.ours.sugar_g == pytest.approx(8.0, rel=0.01)
    assert not found.differs_before_ice("acid")


def test_another_standard_of_the_same_syrup_is_told() -> None:
    weaker, stronger = bar(*SHELF), bar(RUM, LIME, syrup("plain syrup", standard="60 °Bx", allergens=[]))
    found = against(weaker, sour(), stronger, sour(), DrinkSource("printed"))
    (pair,) = [each for each in found.pours if not each.is_same]
    assert (pair.id, pair.differs) == ("plain-syrup", ("strength",))
    assert pair.theirs is not None
    assert pair.theirs.standard_brix == 60.0
    assert found.moved.sugar_percent is not None
    assert found.moved.sugar_percent < 0


def test_a_drink_written_for_another_strength_says_so() -> None:
    """As much of a weaker syrup holds less sugar."""
    found = beside(sour(written_for={"plain-syrup": "46 °Bx"}), sour())
    (pair,) = [each for each in found.pours if not each.is_same]
    assert pair.differs == ("strength",)
    assert pair.ours is not None
    assert pair.theirs is not None
    assert (pair.ours.standard_brix, pair.theirs.standard_brix) == (46.0, 50.0)
    assert found.moved.sugar_percent is not None
    assert found.moved.sugar_percent < 0


def test_what_else_the_specs_say() -> None:
    found = beside(sour(glass="coupe", garnish="lime"), sour(glass="rocks", garnish="lime", time="10 s"))
    assert [(said.what, said.ours, said.theirs) for said in found.said] == [
        ("time", None, "10 s"),
        ("glass", "coupe", "rocks"),
    ]


amounts = st.floats(min_value=1.0, max_value=80.0)


@given(st.tuples(amounts, amounts, amounts), st.tuples(amounts, amounts, amounts))
def test_it_is_the_difference_of_the_totals_and_turns_round(
    one: tuple[float, float, float], other: tuple[float, float, float]
) -> None:
    first, second = sour("A", *one), sour("B", *other)
    found, back = beside(first, second), beside(second, first)
    ours, theirs = totals(bar(*SHELF), first), totals(bar(*SHELF), second)
    assert (found.ours, found.theirs) == (ours, theirs)
    assert ours.served is not None
    assert theirs.served is not None
    assert found.volume_ml == pytest.approx(ours.served.volume_ml - theirs.served.volume_ml)
    assert found.moved.abv_points == pytest.approx(ours.served.abv_percent - theirs.served.abv_percent)
    assert found.ethanol_g == pytest.approx(ours.ethanol_g - theirs.ethanol_g)
    for there, here in ((found.moved.sugar_percent, back.moved.sugar_percent),
                        (found.moved.acid_percent, back.moved.acid_percent)):  # fmt: skip
        assert there is not None
        assert here is not None
        assert (1 + there / 100) * (1 + here / 100) == pytest.approx(1.0)
