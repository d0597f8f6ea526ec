"""Least movement and least error over rows of choices, against every combination and against cut steps."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.engine.service.search import Choice, least_error, least_movement
from tests.examples import examples


def row(rate: float, steps: int, first: float = 1.0) -> list[Choice]:
    """Steps of a scale, each changing as much; the first may be a part of one, where the written pour is between."""
    moved = [0.0, *[first + count for count in range(steps)]]
    return [Choice(movement, rate * movement) for movement in moved]


rows = st.lists(
    st.builds(
        row,
        rate=st.integers(-60, 60).filter(bool).map(lambda tenths: tenths / 10.0),
        steps=st.integers(0, 6),
        first=st.sampled_from([0.25, 0.5, 1.0]),
    ),
    min_size=1,
    max_size=4,
)


errors = st.integers(-300, 300).map(lambda tenths: tenths / 10.0)


def measured(rows: list[list[Choice]], error: float, places: tuple[int, ...]) -> tuple[float, float]:
    """What a combination moves in all, and the error it leaves."""
    chosen = [row[place] for row, place in zip(rows, places, strict=True)]
    left = error + sum(choice.change for choice in chosen)
    return round(sum(choice.movement for choice in chosen), 7), round(abs(left), 7)


@settings(max_examples=examples(400))
@given(
    rows=rows,
    error=st.integers(-300, 300).map(lambda tenths: tenths / 10.0),
    tolerance=st.sampled_from([0.5, 2.0, 5.0]),
)
def test_the_least_movement_is_that_of_every_combination(
    rows: list[list[Choice]], error: float, tolerance: float
) -> None:
    found = least_movement(rows, error, tolerance)
    every = [measured(rows, error, places) for places in product(*[range(len(row)) for row in rows])]
    within = [pair for pair in every if pair[1] <= tolerance + 1e-7]

    assert (found is None) == (not within)
    if found is not None:
        assert measured(rows, error, found) == pytest.approx(min(within), abs=1e-6)


@settings(max_examples=examples(400))
@given(rows=rows, error=errors)
def test_the_least_error_is_that_of_every_combination(rows: list[list[Choice]], error: float) -> None:
    movement, left = measured(rows, error, least_error(rows, error))
    every = [measured(rows, error, places)[::-1] for places in product(*[range(len(row)) for row in rows])]

    assert (left, movement) == pytest.approx(min(every), abs=1e-6)


@pytest.mark.parametrize("count", [4, 6, 8])
def test_fine_steps_move_hardly_more_than_cut_ones(count: int) -> None:
    """Sixty steps a row, as on a scale of 0.1 g, in rows that change nearly as much: no combination can be listed.

    Cut anywhere, the rows that change most come first; whole steps, and a first one that is a part, add at most one
    step for each row that moves.
    """
    rows = [row(-(0.100 + place / 1000.0), 60, first=0.2 + 0.1 * (place % 3)) for place in range(count)]
    error, tolerance = 0.1 * 60 * (count - 1.5), 2.0
    found = least_movement(rows, error, tolerance)

    assert found is not None
    movement, left = measured(rows, error, found)
    over, cut = error - tolerance, 0.0
    for choices in reversed(rows):
        most = min(-choices[-1].change, over)
        cut += most / (choices[-1].change / -choices[-1].movement)
        over -= most
    assert left <= tolerance + 1e-7
    assert cut - 1e-6 <= movement <= cut + count
