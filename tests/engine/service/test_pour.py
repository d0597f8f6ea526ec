"""One pour without files, against arithmetic on the printed densities of sucrose solutions.

g/ml at 20 °C: 40 °Bx 1.1764, 46 1.2079, 50 1.2296, 54 1.2519, 60 1.2865, 65 1.3163, 66.67 1.3265
(standard sucrose tables, US Bureau of Standards Circular C440, 1942, from memory).
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.jigger import Jigger
from balancer.engine.service.pour import pour
from balancer.errors import OutOfRangeError

PRINTED = {40.0: 1.1764, 46.0: 1.2079, 50.0: 1.2296, 54.0: 1.2519, 60.0: 1.2865, 65.0: 1.3163, 66.67: 1.3265}


@pytest.mark.parametrize(
    ("standard", "batch", "exact_ml"),
    [
        (50.0, 54.0, 20.46),  # 22.5 x 0.5 x 1.2296 / (0.54 x 1.2519)
        (50.0, 46.0, 24.90),  # 22.5 x 0.5 x 1.2296 / (0.46 x 1.2079)
        (66.67, 60.0, 25.78),  # 22.5 x 0.6667 x 1.3265 / (0.6 x 1.2865)
        (50.0, 40.0, 29.40),  # 22.5 x 0.5 x 1.2296 / (0.4 x 1.1764)
    ],
)
def test_the_exact_pour_by_hand(standard: float, batch: float, exact_ml: float) -> None:
    """22.5 ml as designed, in ml of the batch, to the hundredth of a ml that the printed densities give."""
    answer = pour(22.5, standard, batch)
    by_hand = 22.5 * standard * PRINTED[standard] / (batch * PRINTED[batch])

    assert answer.off.exact.unit == "ml"
    assert answer.off.exact.value == pytest.approx(exact_ml, abs=0.006)
    assert answer.off.exact.value == pytest.approx(by_hand, abs=0.006)


def test_a_strong_batch_in_the_jigger() -> None:
    """54 °Bx for 50: the sugar of 22.5 ml is 10 % up, 20 ml are 2.3 % down: worked from the printed densities."""
    found = pour(22.5, 50.0, 54.0).decision

    assert (found.verdict, found.poured) == ("new pour", (Amount(20.0),))
    assert found.as_written_percent == pytest.approx(9.96, abs=0.03)
    assert found.after_percent == pytest.approx(-2.26, abs=0.03)


def test_a_batch_between_two_pours_is_out_of_reach() -> None:
    """52.4 °Bx with steps of 2.5 ml and 5 %: 22.5 ml are 5.9 % up, 20 ml are 5.8 % down.

    1.2430 g/ml at 52.4 °Bx lies in a straight line between the printed 1.2296 and 1.2519.
    """
    found = pour(22.5, 50.0, 52.4).decision

    assert found.verdict == "out of reach"
    assert found.as_written_percent == pytest.approx(5.94, abs=0.03)
    assert found.after_percent == pytest.approx(-5.83, abs=0.03)


def test_the_ratio_of_strengths_alone_is_wrong() -> None:
    """Between 50 and 65 °Bx a ml weighs 7 % more: by °Bx alone the pour would be 17.31 ml, and it is 16.17."""
    exact_ml = pour(22.5, 50.0, 65.0).off.exact.value
    by_brix_alone = 22.5 * 50.0 / 65.0

    assert exact_ml == pytest.approx(16.17, abs=0.006)
    assert by_brix_alone / exact_ml == pytest.approx(PRINTED[65.0] / PRINTED[50.0], abs=0.0005)
    assert by_brix_alone / exact_ml == pytest.approx(1.07, abs=0.005)


def test_three_quarters_of_simple_is_half_of_rich() -> None:
    """The rule of the trade, 3/4 oz of 1:1 for 1/2 oz of 2:1; by the printed densities it is 0.521 oz."""
    assert pour(0.75 * 30.0, 50.0, 66.67).off.exact.value / 30.0 == pytest.approx(0.521, abs=0.001)


def test_the_answer_shows_the_numbers_it_stands_on() -> None:
    """Density and sugar of a ml, at standard and as it is."""
    answer = pour(30.0, 50.0, 54.0, Jigger(5.0), tolerance_percent=3.0)

    assert answer.standard_density == pytest.approx(1.2296, abs=0.0002)
    assert answer.batch_density == pytest.approx(1.2519, abs=0.0002)
    assert answer.standard_sugar == pytest.approx(0.6148, abs=0.0001)
    assert answer.batch_sugar == pytest.approx(0.6760, abs=0.0001)
    assert (answer.off.jigger.step, answer.tolerance_percent) == (5.0, 3.0)


def test_step_and_tolerance_are_those_asked_for() -> None:
    """54 for 50 with steps of 1 ml gives 20 ml, of 5 ml 20 ml too; 12 % of tolerance gives the written pour."""
    assert pour(22.5, 50.0, 54.0, Jigger(1.0)).poured == Amount(20.0)
    assert pour(22.5, 50.0, 54.0, Jigger(5.0)).poured == Amount(20.0)
    assert pour(24.0, 50.0, 54.0, Jigger(1.0)).poured == Amount(22.0)  # 21.82 exactly
    assert pour(22.5, 50.0, 54.0, tolerance_percent=12.0).decision.verdict == "as written"


def test_a_small_pour_is_not_worth_changing() -> None:
    """7.5 ml at 54 for 50 °Bx are 10 % off: as written up to 20 %; at 60 °Bx they are 26 % off."""
    assert pour(7.5, 50.0, 54.0).decision.verdict == "as written"
    assert pour(7.5, 50.0, 60.0, Jigger(1.25)).poured == Amount(6.25)  # 5.97 exactly


@given(
    spec_ml=st.floats(min_value=1.0, max_value=120.0),
    standard=st.floats(min_value=1.0, max_value=85.0),
    batch=st.floats(min_value=1.0, max_value=85.0),
)
def test_the_sugar_is_restored(spec_ml: float, standard: float, batch: float) -> None:
    """Exact pour times sugar in a ml: what the spec was designed with."""
    answer = pour(spec_ml, standard, batch)

    assert answer.off.exact.value * answer.batch_sugar == pytest.approx(spec_ml * answer.standard_sugar, rel=1e-9)


@given(st.floats(min_value=1.0, max_value=120.0), st.floats(min_value=1.0, max_value=85.0))
def test_at_standard_nothing_changes(spec_ml: float, brix: float) -> None:
    """The written pour, and no change of sugar."""
    found = pour(spec_ml, brix, brix).decision

    assert (found.verdict, found.poured) == ("as written", (Amount(spec_ml),))
    assert found.as_written_percent == pytest.approx(0.0, abs=1e-9)


def test_beyond_the_density_table_it_refuses() -> None:
    """85 °Bx is where the density formula ends."""
    with pytest.raises(OutOfRangeError):
        pour(22.5, 50.0, 86.0)
