"""What jiggers can pour: steps, lines, a line and a barspoon; and the house keys that say so."""

from __future__ import annotations

from itertools import product
from math import ceil, floor

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.jigger import Jigger, jigger_of, pours_near, weighed_step_g
from balancer.engine.service.decision import OffPour, decide
from balancer.engine.service.rescale import rescale
from tests.engine.builders import LIME, PLAIN, RUM, bar, drink, house

OUNCES = ["1/4 oz", "1/2 oz", "3/4 oz", "1 oz"]
SPEC = drink("Spec", "60 ml gold rum", "22.5 ml lime juice", "22.5 ml plain syrup")


def test_quarter_ounce_lines_pour_every_quarter_up_to_two_ounces() -> None:
    """In the house's own ounce: the largest pour is the largest line twice."""
    found = jigger_of(house(ounce="30 ml", jigger_lines=OUNCES))

    assert found.pours == tuple(7.5 * count for count in range(1, 9))
    assert found.step == 7.5


def test_two_lines_reach_what_no_line_has() -> None:
    """25 and 15 ml: each alone, twice, and together; nothing else, and no third pour."""
    assert jigger_of(house(jigger_lines=["25 ml", "15 ml"])).pours == (15.0, 25.0, 30.0, 40.0, 50.0)


def test_a_barspoon_comes_on_top_of_one_line_only() -> None:
    found = jigger_of(house(jigger_lines=["15 ml", "25 ml"], jigger_barspoon="true", barspoon="4 ml"))

    assert found.pours == (4.0, 15.0, 19.0, 25.0, 29.0, 30.0, 40.0, 50.0)


def test_equal_pours_count_once() -> None:
    """Half an ounce twice is the ounce line."""
    assert jigger_of(house(ounce="29.57 ml", jigger_lines=["1/2 oz", "1 oz"])).pours == pytest.approx(
        (14.785, 29.57, 44.355, 59.14)
    )


def test_without_lines_the_step_decides() -> None:
    assert jigger_of(house(jigger_step="1/8 oz", ounce="30 ml")) == Jigger(3.75, ())


@given(target=st.floats(0.1, 100.0), step=st.sampled_from([1.0, 2.5, 3.75, 5.0]), reach=st.integers(1, 3))
def test_steps_near_a_target_are_every_multiple_within_reach(target: float, step: float, reach: int) -> None:
    found = pours_near(target, step, reach)

    multiples = [step * count for count in range(1, 200) if abs(step * count - target) <= reach * step * (1.0 - 1e-6)]
    assert set(multiples) <= set(found)
    assert all(abs(pour - target) <= reach * step * (1.0 + 1e-6) for pour in found) or found == [step]


@given(target=st.floats(0.1, 100.0), reach=st.integers(1, 3))
def test_lines_near_a_target_are_so_many_to_either_side(target: float, reach: int) -> None:
    pours = (7.5, 15.0, 22.5, 30.0, 37.5, 45.0)
    found = pours_near(target, 7.5, reach, pours)

    assert found == [*[p for p in pours if p < target][-reach:], *[p for p in pours if p >= target][:reach]]


@given(low=st.floats(-20.0, 60.0), width=st.floats(0.0, 40.0))
def test_all_pours_between_limits_or_the_nearest(low: float, width: float) -> None:
    lines = jigger_of(house(jigger_lines=["15 ml", "20 ml"]))
    inside = [pour for pour in lines.pours if low - 1e-9 <= pour <= low + width + 1e-9]
    assert lines.between(low, low + width) == (inside or [min(lines.pours, key=lambda pour: abs(pour - low))])

    steps = Jigger(2.5).between(low, low + width)
    first, last = ceil(low / 2.5 - 1e-9), floor((low + width) / 2.5 + 1e-9)
    assert steps in ([2.5 * count for count in range(max(1, first), last + 1)], [2.5 * max(1, first)])


def test_the_best_pour_of_lines_is_the_nearest_one_or_the_written() -> None:
    pours = (7.5, 15.0, 22.5, 30.0)
    for exact_ml, spec_ml in product((8.0, 11.3, 20.4, 26.3, 60.0), (10.0, 22.5)):
        best = min([*pours, spec_ml], key=lambda pour: abs(pour - exact_ml))
        assert Jigger(7.5, pours).nearest(exact_ml, spec_ml) == best


def test_lines_decide_a_verdict() -> None:
    """22.5 ml at 0.6148 g/ml, the batch 0.4 g/ml: 34.58 ml is exact; of 30, 37.5 the latter is nearer."""
    off = OffPour(Amount(22.5), 22.5 * 0.6148, 0.4, Jigger(7.5, (7.5, 15.0, 22.5, 30.0, 37.5)))
    found = decide([off], 22.5 * 0.6148, 10.0)

    assert (found.verdict, found.poured) == ("new pour", (Amount(37.5),))


def test_a_rescale_uses_the_lines_of_the_house() -> None:
    """A 1:1 at 40 °Bx needs 29.4 ml for 22.5 (0.6148 / (0.4 x 1.1764)): two lines of 15 pour 30."""
    (row,) = rescale(bar(RUM, LIME, PLAIN, SPEC, jigger_lines=["15 ml", "20 ml"]), "plain-syrup", 40.0).rows

    assert (row.verdict, row.poured) == ("new pour", Amount(30.0))


def test_a_free_pouring_house_is_never_asked_for_a_new_pour() -> None:
    (row,) = rescale(bar(RUM, LIME, PLAIN, SPEC, pour_style="free"), "plain-syrup", 40.0).rows

    assert (row.verdict, row.poured) == ("out of reach", Amount(22.5))


def test_a_weighing_house_pours_whole_grams() -> None:
    """22.5 ml at 50 °Bx weigh 27.67 g and hold 13.83 g sugar: 34.58 g at 40 °Bx, so 35 g."""
    (row,) = rescale(bar(RUM, LIME, PLAIN, SPEC, pour_style="scale"), "plain-syrup", 40.0).rows

    assert (row.written.unit, row.poured) == ("g", Amount(35.0, "g"))
    assert row.written.value == pytest.approx(27.67, abs=0.01)
    assert row.exact.value == pytest.approx(34.58, abs=0.01)


def test_the_scale_divides_as_the_house_says() -> None:
    assert weighed_step_g(house()) == 1.0
    assert weighed_step_g(house(scale={"division": "0.1 g"})) == 0.1


@pytest.mark.parametrize("keys", [{"pour_style": "by ear"}, {"jigger_lines": ["40 %"]}, {"jigger_barspoon": "maybe"}])
def test_what_no_jigger_is_is_refused(keys: dict[str, object]) -> None:
    with pytest.raises(ValidationError):
        house(**keys)
