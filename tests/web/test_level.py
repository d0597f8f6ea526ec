"""The line of a reading: everything on it stands where its value is, and its words say the same."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.web.level import WIDTH, level


@given(
    strength=st.floats(0.1, 85.0),
    plus_minus=st.floats(0.01, 60.0),
    standard=st.none() | st.floats(1.0, 80.0),
    tolerance=st.floats(0.1, 5.0),
)
def test_everything_stands_where_its_value_is(
    strength: float, plus_minus: float, standard: float | None, tolerance: float
) -> None:
    """Two marks of the scale fix the line; every value lies on it, in the drawing and in order."""
    drawn = level(strength, plus_minus, standard, tolerance if standard is not None else None)
    shown = [drawn.low, drawn.at, drawn.high, *drawn.limits, *([] if drawn.standard is None else [drawn.standard])]
    assert drawn.low <= drawn.at <= drawn.high
    assert len(drawn.marks) >= 2
    assert all(place <= WIDTH for place in (*shown, *drawn.marks))
    # A place is rounded to a tenth of a unit: so is a length.
    per_brix = (drawn.high - drawn.low) / (2.0 * plus_minus)
    assert (drawn.at - drawn.low) == pytest.approx(per_brix * plus_minus, abs=0.2)
    if standard is not None and drawn.standard is not None:
        assert (drawn.at - drawn.standard) * plus_minus * 2.0 == pytest.approx(
            (strength - standard) * (drawn.high - drawn.low), abs=0.2 * (abs(strength - standard) + 2.0 * plus_minus)
        )
        assert drawn.limits[0] <= drawn.standard <= drawn.limits[1]
    assert len(drawn.marks) <= 26


def test_it_says_what_it_shows() -> None:
    assert level(54.2, 0.6, 50.0, 1.0).said == ("54.2 °Bx, between 53.6 and 54.8; standard 50, prep lets pass 49 to 51")
    assert level(54.2, 0.6, None, None).said == "54.2 °Bx, between 53.6 and 54.8"
    assert [word for _, word in level(54.2, 0.6, 50.0, 1.0).ends] == ["48", "56"]
