"""A juice whose acid was measured: the pour nearest to equal acid, and what keeps its pour."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.drink.amount import Amount
from balancer.engine.service.juices import JuiceTonight, juice_tonight
from balancer.models.drink import Drink
from balancer.units import Quantity
from tests.engine.builders import BERRY, LIME, RUM, SOUR, bar, drink, ingredient
from tests.engine.service.test_tonight import batch

SMALL = drink("Small", "60 ml gold rum", "7.5 ml lime juice", method="stirred")
LARGE = drink("Large", "60 ml gold rum", "30 ml lime juice")
FIXED = drink("Fixed", "60 ml gold rum", {"pour": "22.5 ml", "of": "lime juice", "fixed": "true"})
RINSED = drink("Rinsed", "60 ml gold rum", "rinse lime juice", method="stirred")
SODA = ingredient("soda water", sugar="0 g/l")
MENU = (SOUR, SMALL, LARGE, FIXED, RINSED)
G_PER_ML = 1.0229
"""Of lime juice, by USDA's cup."""


def maybe(acid: float, *menu: Drink, only: list[Drink] | None = None, **house: Any) -> JuiceTonight | None:
    """Lime juice with an acid in g/l, where the specs count on 46."""
    shelf = bar(RUM, LIME, BERRY, SODA, *(menu or MENU), **house)
    return juice_tonight(shelf, batch("LIM-1", "lime-juice", None, acid=Quantity(acid, "g/l")), only)


def juice(acid: float, *menu: Drink, only: list[Drink] | None = None, **house: Any) -> JuiceTonight:
    found = maybe(acid, *menu, only=only, **house)
    assert found is not None
    return found


def pours(found: JuiceTonight) -> dict[str, Amount]:
    return {row.drink.name: row.poured for row in found.rows}


def test_every_drink_that_pours_it_has_a_row() -> None:
    """A rinse is no pour."""
    assert list(pours(juice(54.0))) == ["Test Sour", "Small", "Large", "Fixed"]


def test_the_nearest_pour_to_equal_acid() -> None:
    """54 for 46 g/l: 22.5 × 46/54 = 19.17 ml, so 20; 30 × 46/54 = 25.56, so 25. 7.5 ml and a fixed pour stay."""
    found = juice(54.0)
    assert found.acid_percent == pytest.approx(100.0 * (54.0 / 46.0 - 1.0))
    assert found.is_off
    assert pours(found) == {
        "Test Sour": Amount(20.0), "Small": Amount(7.5), "Large": Amount(25.0), "Fixed": Amount(22.5),
    }  # fmt: skip
    assert [row.drink.name for row in found.moved] == ["Test Sour", "Large"]
    assert found.conversions == ((Amount(22.5), Amount(20.0)), (Amount(30.0), Amount(25.0)))


def test_a_weak_juice_is_poured_more_of() -> None:
    """40 for 46 g/l: 22.5 × 46/40 = 25.88, so 25; 30 × 46/40 = 34.5, so 35."""
    assert juice(40.0, SOUR, LARGE).conversions == ((Amount(22.5), Amount(25.0)), (Amount(30.0), Amount(35.0)))


def test_a_fixed_pour_is_an_exception_where_a_conversion_says_otherwise() -> None:
    assert [(row.drink.name, row.poured) for row in juice(54.0).exceptions] == [("Fixed", Amount(22.5))]
    assert juice(54.0, LARGE, FIXED).exceptions == ()


@pytest.mark.parametrize(("acid", "off"), [(48.3, False), (48.31, True), (43.7, False), (43.69, True)])
def test_the_edge_of_the_tolerance_is_inside(acid: float, off: bool) -> None:
    """46 g/l × 1.05 = 48.3, × 0.95 = 43.7. In steps of 0.5 ml."""
    found = juice(acid, SOUR, LARGE, jigger_step="0.5 ml")
    assert (found.is_off, bool(found.moved)) == (off, off)


@pytest.mark.parametrize(
    ("acid", "poured"),
    [
        (55.2, 7.5),  # 20 % exactly
        (55.3, 6.25),  # 7.5 × 46/55.3 = 6.24
        (36.8, 7.5),
        (36.7, 9.0),  # 9.40
    ],
)
def test_a_small_pour_stays_unless_the_acid_is_far_off(acid: float, poured: float) -> None:
    """A jigger is no better than 20 % of 7.5 ml. Steps of 1.25 ml, or of 1 for the last."""
    step = "1 ml" if poured == 9.0 else "1.25 ml"
    assert pours(juice(acid, SMALL, jigger_step=step))["Small"] == Amount(poured)


def test_a_weighing_house_reads_grams() -> None:
    """22.5 ml weigh 23.0 g; × 46/54 = 19.6 g, so 20 on a scale of 1 g, and 19.6 on one of 0.1."""
    (whole,), (tenth,) = (
        juice(54.0, SOUR, pour_style="scale", scale={"division": division}).conversions for division in ("1 g", "0.1 g")
    )
    assert whole.written == tenth.written
    assert whole.written.unit == "g"
    assert whole.written.value == pytest.approx(22.5 * G_PER_ML, abs=0.15)
    assert whole.poured == Amount(20.0, "g")
    assert tenth.poured.unit == "g"
    assert abs(tenth.poured.value - whole.written.value * 46.0 / 54.0) < 0.1
    assert (10.0 * tenth.poured.value) % 1.0 == pytest.approx(0.0, abs=1e-6)


def test_one_weighed_pour_among_measured_ones_is_in_grams() -> None:
    """40 g × 46/54 = 34.07 g, but for what more acid adds to its density."""
    weighed = drink("Weighed", "60 ml gold rum", "40 g lime juice")
    assert juice(54.0, weighed, SOUR).conversions == (
        (Amount(22.5), Amount(20.0)),
        (Amount(40.0, "g"), Amount(34.0, "g")),
    )


def test_a_house_that_pours_free_is_told_and_asked_nothing() -> None:
    found = juice(54.0, pour_style="free")
    assert found.is_off
    assert (found.moved, found.conversions, found.exceptions) == ((), (), ())
    assert len(found.rows) == 4


def test_jigger_lines_are_what_it_is_poured_with() -> None:
    """19.17 ml: of 15 and 20 ml, and 22.5 as written, 20 is nearest."""
    assert pours(juice(54.0, SOUR, jigger_lines=["15 ml", "20 ml"])) == {"Test Sour": Amount(20.0)}
    assert pours(juice(54.0, SOUR, jigger_lines=["15 ml", "30 ml"])) == {"Test Sour": Amount(22.5)}


def test_drinks_in_a_bottle_are_left_out() -> None:
    """Only those made to order are asked for."""
    assert list(pours(juice(54.0, only=[LARGE]))) == ["Large"]


def test_where_the_specs_count_on_no_acid_nothing_can_be_kept() -> None:
    shelf = bar(RUM, SODA, drink("Long", "60 ml gold rum", "90 ml soda water"))
    assert juice_tonight(shelf, batch("SOD-1", "soda-water", None, acid=Quantity(5.0, "g/l"))) is None


@given(
    acid=st.floats(28.0, 70.0),
    written=st.sampled_from([5.0, 7.5, 10.0, 15.0, 20.0, 22.5, 30.0, 45.0]),
    step=st.sampled_from([1.0, 2.5, 3.75, 5.0]),
)
def test_no_pour_is_nearer_to_equal_acid(acid: float, written: float, step: float) -> None:
    """Of every multiple of the step, and the written pour; where it moves it moves towards equal acid."""
    spec = drink("Any", "60 ml gold rum", f"{written} ml lime juice")
    (poured,) = pours(juice(acid, spec, jigger_step=f"{step} ml")).values()
    exact = written * 46.0 / acid
    percent = abs(100.0 * (acid / 46.0 - 1.0))
    if percent <= 5.0 or (percent <= 20.0 and written <= 7.5):
        assert poured == Amount(written)
    else:
        every = [written, *[step * count for count in range(1, 120)]]
        assert abs(poured.value - exact) == pytest.approx(min(abs(one - exact) for one in every), abs=1e-9)
        assert (poured.value - written) * (exact - written) >= 0.0
