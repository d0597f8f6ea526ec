"""The individuals chart against a published example, and what it says about made-up histories."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from math import pi, sqrt
from random import Random
from statistics import fmean, pstdev
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.drink.blend import addition_g
from balancer.engine.prep.chart import ENOUGH, RANGE_LIMIT, RANGE_OF_TWO, RUN, Chart, chart, individuals
from balancer.models.batch import Batch
from tests.engine.builders import syrup
from tests.reference.facts import facts

ROWS = {row["name"]: row for row in facts("individuals_chart")}
FLOWRATES = [float(row["expected"]) for name, row in ROWS.items() if name.startswith("flowrate")]
FIRST_DAY = date(2026, 3, 1)


def batch(number: int, *readings: float, **keys: Any) -> Batch:
    held: dict[str, Any] = {
        "id": f"BER-{number}",
        "liquid": "berry-syrup",
        "state": "empty",
        "brix": readings[-1] if readings else None,
        "uncertainty": None,
        "cause": None,
        "mass": None,
        "made": FIRST_DAY + timedelta(days=number),
        "discard": None,
        "by": None,
        "opened": None,
        "readings": readings,
        "verified": True,
        "parts": (),
        "acid": None,
        "note": None,
    }
    return Batch(**{**held, **keys})


def history(values: Sequence[float], **keys: Any) -> list[Batch]:
    return [batch(number, value, **keys) for number, value in enumerate(values, 1)]


def charted(values: Sequence[float], tolerance: float = 1.0, **keys: Any) -> Chart:
    return chart(syrup("berry syrup"), history(values, **keys), tolerance)


def around(centre: float, *offsets: float) -> list[float]:
    return [centre + offset for offset in offsets]


UNEVEN = (0.2, -0.1, 0.3, -0.3, 0.1, -0.2, 0.2, -0.1, 0.1, -0.2)


@pytest.mark.parametrize("name", ["centre", "mean range", "upper", "lower"])
def test_the_handbooks_example(name: str) -> None:
    found = individuals(FLOWRATES)._asdict()[name.replace(" ", "_")]
    assert found == pytest.approx(float(ROWS[name]["expected"]), abs=float(ROWS[name]["tolerance"]))


def test_the_constants_are_those_of_two_normal_values() -> None:
    """d2 = 2/√π and D4 = 1 + 3 √(1 − 2/π)/√(2/π), by integration; printed with three decimals."""
    assert pytest.approx(2.0 / sqrt(pi), abs=float(ROWS["d2"]["tolerance"])) == RANGE_OF_TWO
    spread = sqrt(1.0 - 2.0 / pi) / sqrt(2.0 / pi)
    assert pytest.approx(1.0 + 3.0 * spread, abs=float(ROWS["D4"]["tolerance"])) == RANGE_LIMIT
    assert float(ROWS["d2"]["expected"]) == RANGE_OF_TWO
    assert float(ROWS["D4"]["expected"]) == RANGE_LIMIT


@given(values=st.lists(st.floats(20.0, 80.0), min_size=2, max_size=60), shift=st.floats(-10.0, 10.0))
def test_the_lines_move_with_the_values(values: list[float], shift: float) -> None:
    here, there = individuals(values), individuals([value + shift for value in values])
    assert there.centre == pytest.approx(here.centre + shift)
    assert there.upper - there.centre == pytest.approx(here.upper - here.centre, abs=1e-9)
    assert here.upper - here.centre == pytest.approx(here.centre - here.lower, abs=1e-9)
    assert len(here.ranges) == len(values) - 1
    assert here.lower <= here.centre <= here.upper


def test_a_batch_counts_with_its_first_reading() -> None:
    """Read strong, corrected, read again: the recipe gave the first."""
    corrected = [batch(number, 54.0, 50.1) for number in range(1, 10)]
    result = chart(syrup("berry syrup"), corrected, 1.0)
    assert {point.brix for point in result.points} == {54.0}
    assert result.word == "always strong"


def test_what_is_not_a_making_is_left_out() -> None:
    batches = [
        batch(1, 50.0),
        batch(2),
        batch(3, 51.0, parts=("BER-1", "BER-2")),
        batch(4, 52.0, liquid="lime-juice"),
        batch(5, 50.5, state="discarded"),
    ]
    assert [point.batch for point in chart(syrup("berry syrup"), batches, 1.0).points] == ["BER-1", "BER-5"]


def test_batches_stand_in_the_order_made_when_all_days_are_known() -> None:
    late = [batch(1, 50.0, made=date(2026, 5, 2)), batch(2, 51.0, made=date(2026, 5, 1))]
    assert [point.batch for point in chart(syrup("berry syrup"), late, 1.0).points] == ["BER-2", "BER-1"]
    undated = [late[0], batch(2, 51.0, made=None)]
    assert [point.batch for point in chart(syrup("berry syrup"), undated, 1.0).points] == ["BER-1", "BER-2"]


@pytest.mark.parametrize(("shift", "word"), [(3.0, "always strong"), (-3.0, "always weak")])
def test_always_strong_and_always_weak(shift: float, word: str) -> None:
    result = charted(around(50.0 + shift, *UNEVEN))
    assert result.word == word
    assert result.same_side == len(UNEVEN)
    assert result.offset_brix == pytest.approx(shift)
    assert result.out_of_tolerance == len(UNEVEN)


@pytest.mark.parametrize("brix", [53.0, 47.0])
def test_what_to_change_brings_the_mean_to_standard(brix: float) -> None:
    """A kilogram with that much more or less sugar, or water, is at 50 °Bx."""
    result = charted(around(brix, *UNEVEN))
    assert result.sugar_g_per_kg is not None
    assert result.water_g_per_kg is not None
    assert 100.0 * (10.0 * brix + result.sugar_g_per_kg) / (1000.0 + result.sugar_g_per_kg) == pytest.approx(50.0)
    assert 100.0 * 10.0 * brix / (1000.0 + result.water_g_per_kg) == pytest.approx(50.0)
    if brix > 50.0:
        assert result.water_g_per_kg == pytest.approx(addition_g(1000.0, brix, 50.0, 0.0))


def test_up_and_down_is_not_a_bias() -> None:
    result = charted(around(50.0, 2.1, -1.9, 2.4, -2.2, 1.8, -2.0, 2.2, -2.4, 2.0, -2.0))
    assert result.word == "up and down"
    assert result.spread_brix is not None
    assert result.spread_brix > 1.0


def test_steady_within_the_tolerance_although_the_mean_is_not_exact() -> None:
    assert charted(around(50.3, *UNEVEN)).word == "steady"
    assert charted(around(50.3, *UNEVEN), tolerance=0.4).word == "always strong"


def test_the_syrups_own_tolerance_comes_first() -> None:
    wide = syrup("berry syrup", tolerance="4 °Bx")
    assert chart(wide, history(around(51.5, *UNEVEN)), 1.0).word == "steady"


def test_too_few_to_say() -> None:
    """One fewer than eight, however strong: no run of eight can show."""
    assert charted(around(55.0, *UNEVEN[: ENOUGH - 1])).word == "too few"
    assert charted(around(55.0, *UNEVEN[:ENOUGH])).word == "always strong"
    assert ENOUGH == RUN


@pytest.mark.parametrize("values", [[], [51.0], [50.0, 52.0], around(51.0, *UNEVEN[: ENOUGH - 1])])
def test_no_limits_from_few_batches(values: list[float]) -> None:
    result = charted(values)
    assert (result.word, result.lines, result.spread_brix) == ("too few", None, None)
    assert result.offset_brix == (pytest.approx(1.0, abs=0.05) if values else None)
    assert len(result.ranges) == max(0, len(values) - 1)


@pytest.mark.parametrize(("count", "low", "high"), [(2, 0.70, 0.80), (ENOUGH, 0.29, 0.36)])
def test_how_well_so_many_batches_tell_the_spread(count: int, low: float, high: float) -> None:
    """Of two, the spread found is off by three quarters of itself, of eight by a third: twenty thousand made-up series.

    By theory the range of two normal values has a relative deviation of √(π/2 − 1) = 0.756.
    """
    draw = Random(12)  # noqa: S311 - no secret
    found = [individuals([draw.gauss(0.0, 1.0) for _ in range(count)]).sigma for _ in range(20_000)]
    assert fmean(found) == pytest.approx(1.0, abs=0.02)
    assert low < pstdev(found) < high


def test_a_batch_outside_the_limits_stands_out() -> None:
    result = charted([*around(50.0, *UNEVEN), 51.5])
    assert [point.batch for point in result.outside] == ["BER-11"]
    assert result.word == "steady"


def test_a_move_that_stays_is_dated() -> None:
    """Ten batches at 50, then nine at 47.5: the middle between them is the centre, and every one is on its side."""
    result = charted([*around(50.0, *UNEVEN), *around(47.5, *UNEVEN[:9])])
    assert result.word == "moved"
    assert result.moved is not None
    assert result.moved.since == "BER-11"
    assert result.moved.change_brix == pytest.approx(-2.5, abs=0.05)
    assert result.offset_brix == pytest.approx(-2.5, abs=0.05)
    assert result.outside == ()


def test_a_move_is_seen_before_it_has_run_for_eight_batches() -> None:
    result = charted([*around(50.0, *UNEVEN), *around(47.5, *UNEVEN[:5])])
    assert result.moved is not None
    assert result.moved.since == "BER-11"


def test_a_move_smaller_than_the_tolerance_is_no_news() -> None:
    assert charted([*around(50.0, *UNEVEN), *around(49.4, *UNEVEN[:9])]).word == "steady"


def test_equal_strengths_are_steady() -> None:
    """Limits of no width: rounding of the mean must not put every batch outside them."""
    result = charted([50.1] * 9)
    assert (result.word, result.outside) == ("steady", ())


def test_makers_are_compared_when_there_are_two_with_enough_batches() -> None:
    values = around(50.0, *UNEVEN)
    batches = [
        batch(number, value + 2.0 * (number % 2), by="Ana" if number % 2 else "Joss")
        for number, value in enumerate(values, 1)
    ]
    makers = {maker.by: maker for maker in chart(syrup("berry syrup"), batches, 1.0).makers}
    assert makers["Ana"].offset_brix - makers["Joss"].offset_brix == pytest.approx(2.0, abs=0.5)
    assert charted(values, by="Ana").makers == ()


def test_a_cause_is_named_when_most_batches_with_one_share_it() -> None:
    values = around(53.0, *UNEVEN)
    assert charted(values, cause="boiled").cause == "boiled"
    assert charted(values).cause is None
    mixed = [batch(number, value, cause="boiled" if number % 2 else "sugar") for number, value in enumerate(values, 1)]
    assert chart(syrup("berry syrup"), mixed, 1.0).cause is None


@given(values=st.lists(st.floats(30.0, 70.0), min_size=0, max_size=40), tolerance=st.floats(0.1, 5.0))
def test_every_history_says_something(values: list[float], tolerance: float) -> None:
    result = charted(values, tolerance)
    assert (result.word == "too few") == (len(values) < ENOUGH)
    assert len(result.points) == len(values)
    assert 0 <= result.same_side <= len(values)
    if result.word == "always strong":
        assert result.sugar_g_per_kg is not None
        assert result.sugar_g_per_kg < 0.0
