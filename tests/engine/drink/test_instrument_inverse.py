"""From a strength back to what the scale shows."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.drink.instrument import inverted_fraction, reading_from_strength, strength_from_reading
from balancer.errors import OutOfRangeError
from tests.engine.builders import syrup

shares = st.floats(min_value=0.0, max_value=1.0)


@given(
    reading=st.floats(min_value=6.0, max_value=75.0),
    acid=st.floats(min_value=0.0, max_value=6.0),
    inverted=shares,
    temperature=st.one_of(st.none(), st.floats(min_value=5.0, max_value=40.0)),
)
def test_there_and_back(reading: float, acid: float, inverted: float, temperature: float | None) -> None:
    """The inverse of a reading's strength is the reading."""
    brix = strength_from_reading(reading, acid, inverted, temperature)
    if brix >= 0.0:
        assert reading_from_strength(brix, acid, inverted, temperature) == pytest.approx(reading, abs=1e-9)


def test_a_plain_syrup_reads_what_it_is() -> None:
    assert reading_from_strength(50.0) == pytest.approx(50.0, abs=1e-12)


@pytest.mark.parametrize(
    ("total_brix", "acid_percent", "shown"),
    [(6.87, 4.5, 6.0), (51.0, 1.0, 50.8), (54.0, 4.0, 53.22)],
)
def test_acid_raises_the_reading(total_brix: float, acid_percent: float, shown: float) -> None:
    """21 CFR 146.132(a)(1) and WE-42, WE-43, WE-46: total solids are the reading and the table's correction."""
    assert reading_from_strength(total_brix - acid_percent, acid_percent) == pytest.approx(shown, abs=0.016)


def test_a_warm_prism_shows_less() -> None:
    """OIV-MA-AS2-02, Table I: 0.31 °Bx to take off at 50 °Bx and 16 °C, so a cold one shows more."""
    assert reading_from_strength(50.0 - 0.31, temperature_c=16.0) == pytest.approx(50.0, abs=0.03)


@pytest.mark.parametrize(("brix", "temperature"), [(86.0, None), (80.0, 20.0)])
def test_no_reading_beyond_the_corrections(brix: float, temperature: float | None) -> None:
    """They end at 85 °Bx, and that for temperature at 75."""
    assert reading_from_strength(brix, 0.0, 0.5, temperature) is None


def test_the_temperature_has_a_range() -> None:
    with pytest.raises(OutOfRangeError, match="temperature of 45"):
        strength_from_reading(50.0, temperature_c=45.0)


def test_how_much_of_a_syrup_is_inverted() -> None:
    """Glucose and fructose, as a part of all of its solids."""
    assert inverted_fraction(syrup("plain")) == 0.0
    berry = syrup("berry", sugars={"sucrose": "60 %", "glucose": "20 %", "fructose": "20 %"})
    assert inverted_fraction(berry) == pytest.approx(0.4)
    agave = syrup("agave", sugars={"fructose": "82 %", "glucose": "18 %"}, sugar_share="88 %")
    assert inverted_fraction(agave) == pytest.approx(0.88)
