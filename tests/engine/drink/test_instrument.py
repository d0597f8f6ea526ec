"""From a reading to a strength: the published corrections, added up by hand."""

from __future__ import annotations

import pytest

from balancer.engine.drink.instrument import strength_from_reading
from balancer.errors import OutOfRangeError


def test_a_plain_syrup_is_what_it_reads() -> None:
    """The scale is made for sucrose at 20 °C."""
    assert strength_from_reading(50.7) == 50.7


@pytest.mark.parametrize(
    ("acid_percent", "table"), [(1.0, 0.20), (2.4, 0.47), (3.4, 0.66), (4.6, 0.89), (6.0, 1.15), (8.2, 1.58)]
)
def test_acid_is_corrected_and_then_taken_off(acid_percent: float, table: float) -> None:
    """Citrus table (Kimball 1991, app. A) to total solids, less the acid: 0.016 is what the table steps by."""
    assert strength_from_reading(50.0, acid_percent) == pytest.approx(50.0 + table - acid_percent, abs=0.016)


def test_invert_sugar_reads_low() -> None:
    """AOAC 932.14: 0.022 °Bx to add for every % of invert sugar in a strong syrup (from memory)."""
    assert strength_from_reading(70.0, 0.0, 1.0) == pytest.approx(70.0 + 70.0 * 0.022, abs=1e-9)
    assert strength_from_reading(70.0, 0.0, 0.5) == pytest.approx(70.0 + 35.0 * 0.022, abs=1e-9)


def test_both_corrections_add_up() -> None:
    """A raspberry syrup at 62 °Bx, 1 % acid, 40 % inverted: 62 + 0.20 - 1 + 0.4 x 62 x 0.022."""
    assert strength_from_reading(62.0, 1.0, 0.4) == pytest.approx(62.0 + 0.20 - 1.0 + 0.5456, abs=0.016)


@pytest.mark.parametrize(("reading", "acid", "inverted"), [(50.0, 39.0, 0.0), (86.0, 0.0, 0.5), (50.0, 0.0, 1.1)])
def test_outside_the_tables_nothing_is_said(reading: float, acid: float, inverted: float) -> None:
    """The ranges are those of the corrections."""
    with pytest.raises(OutOfRangeError):
        strength_from_reading(reading, acid, inverted)
