"""Two batches together: masses add, strength is the mean by mass, dates are the oldest part's."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.batch.history import batches, discard_date
from balancer.engine.batch.mixture import Mixture, combine
from balancer.errors import CannotError
from balancer.models.batch import Batch
from balancer.units import Quantity
from tests.engine.batch.test_history import DAY, WORKED, made, numbers

PART = batches([made("BER-1", 0, brix=52.0, mass=600.0, uncertainty=0.4)])[0]


def pairs(cell: str) -> dict[str, float]:
    return {name.strip(): float(value) for name, value in (pair.split("=") for pair in cell.split(";"))}


def test_strength_together_is_the_mean_by_mass() -> None:
    """WE-69: mass balance, by hand (600 × 52 + 1400 × 49) / 2000 = 49.9."""
    given_, expected = pairs(WORKED["WE-69"]["inputs"]), pairs(WORKED["WE-69"]["expected"])
    tolerance = pairs(WORKED["WE-69"]["tolerance"])
    mixture = combine(
        replace(PART, mass=given_["first_g"], brix=given_["first_brix"]),
        replace(PART, id="BER-2", mass=given_["second_g"], brix=given_["second_brix"]),
    )
    assert mixture.mass == pytest.approx(expected["mass_g"], abs=tolerance["mass_g"])
    assert mixture.brix == pytest.approx(expected["brix"], abs=tolerance["brix"])


def test_uncertainties_of_independent_readings_add_by_weight() -> None:
    """By hand: shares 0.3 and 0.7 of 0.4 and 0.3 °Bx: sqrt(0.12² + 0.21²) = 0.2419."""
    mixture = combine(PART, replace(PART, id="BER-2", mass=1400.0, uncertainty=0.3))
    assert mixture.uncertainty == pytest.approx(0.24187, abs=1e-5)


def test_acid_together_is_by_mass() -> None:
    """By hand: 0.3 × 50 + 0.7 × 40 = 43 g/l."""
    first = replace(PART, liquid="lime-juice", brix=None, acid=Quantity(50.0, "g/l"))
    second = replace(first, id="LIM-2", mass=1400.0, acid=Quantity(40.0, "g/l"))
    mixture = combine(first, second)
    assert mixture.acid is not None
    assert mixture.acid.value == pytest.approx(43.0)
    assert mixture.acid.unit == "g/l"
    assert combine(first, replace(second, acid=Quantity(40.0, "g/kg"))).acid is None


def test_what_one_part_does_not_tell_the_mixture_does_not_either() -> None:
    mixture = combine(PART, replace(PART, id="BER-2", brix=None, uncertainty=None, made=None))
    assert (mixture.brix, mixture.uncertainty, mixture.made) == (None, None, None)


def test_a_last_day_that_is_known_stays_a_limit() -> None:
    """A part without a date may be older or not; the known day is never passed."""
    assert combine(replace(PART, discard=DAY), replace(PART, id="BER-2")).discard == DAY


@pytest.mark.parametrize(("first", "second", "together"), [("boiled", "boiled", "boiled"), ("boiled", "sugar", None)])
def test_a_cause_holds_where_both_share_it(first: Any, second: Any, together: str | None) -> None:
    assert combine(replace(PART, cause=first), replace(PART, id="BER-2", cause=second)).cause == together


@pytest.mark.parametrize(
    ("second", "said"),
    [
        (replace(PART, id="ber 1"), "named twice"),
        (replace(PART, id="PLA-1", liquid="plain-syrup"), "plain syrup"),
        (replace(PART, id="BER-2", mass=None), "the mass of BER-2 is not in the log"),
    ],
)
def test_what_cannot_be_combined(second: Batch, said: str) -> None:
    with pytest.raises(CannotError, match=said) as caught:
        combine(PART, second, name_of={"berry-syrup": "berry syrup", "plain-syrup": "plain syrup"}.__getitem__)
    assert caught.value.remedy


@given(st.floats(1, 85), st.floats(1, 85), st.floats(1, 1e6), st.floats(1, 1e6))
def test_a_mixture_lies_between_its_parts(one: float, other: float, mass: float, more: float) -> None:
    first, second = replace(PART, brix=one, mass=mass), replace(PART, id="BER-2", brix=other, mass=more)
    mixture: Mixture = combine(first, second)
    assert mixture.brix is not None
    assert min(one, other) - 1e-9 <= mixture.brix <= max(one, other) + 1e-9
    swapped = combine(second, first)
    assert swapped.brix == pytest.approx(mixture.brix, abs=1e-9)


def test_a_mixture_takes_the_date_of_its_oldest_part() -> None:
    """WE-66, the same FAQ: a component of 1 June in a mix of 3 June."""
    row = WORKED["WE-66"]
    old, new = numbers(r"(\d+) June", row["inputs"])
    expires = numbers(r"(\d+) June", row["expected"])
    parts = [
        replace(PART, id=f"BER-{day}", made=date(2026, 6, day), discard=discard_date(date(2026, 6, day), 7))
        for day in (new, old)
    ]
    mixture = combine(*parts)
    assert (mixture.made, mixture.discard) == (date(2026, 6, old), date(2026, 6, expires[0]))
