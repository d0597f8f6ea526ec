"""Bringing a syrup to strength: the balance is checked by mixing the two."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from balancer.components import add_scaled, composition, scale
from balancer.engine.drink.blend import addition_g, per_kilogram
from balancer.engine.drink.liquid import syrup_liquid
from balancer.engine.drink.totals import state
from tests.engine.builders import PLAIN

strengths = st.floats(min_value=0.5, max_value=84.0)


def mixed_brix(mass_g: float, brix: float, added_g: float, additive_brix: float) -> float:
    """Strength of what a batch and an addition make together, by their compositions."""
    batch = scale(mass_g, syrup_liquid(PLAIN, brix).per_g)
    additive = composition({"sucrose": additive_brix / 100.0, "water": 1.0 - additive_brix / 100.0})
    made = state(add_scaled(batch, added_g, additive))
    return 100.0 * made.sugar_g / made.mass_g


@given(
    mass_g=st.floats(min_value=1.0, max_value=20_000.0),
    brix=strengths,
    target=strengths,
    additive=st.floats(min_value=0.0, max_value=100.0),
)
def test_what_is_added_brings_the_batch_to_target(mass_g: float, brix: float, target: float, additive: float) -> None:
    """Whatever is added, the two together have the target's strength; or no amount could do it."""
    assume(abs(target - brix) > 1e-6 and abs(additive - target) > 1e-3)
    added = addition_g(mass_g, brix, target, additive)
    between = min(brix, additive) <= target <= max(brix, additive)

    assert (added is not None) == between
    if added is not None:
        assert added > 0.0
        assert mixed_brix(mass_g, brix, added, additive) == pytest.approx(target, abs=1e-9)


@pytest.mark.parametrize(
    ("brix", "target", "additive", "grams"),
    [
        (54.0, 50.0, 0.0, 80.0),  # 1000 x 4/50
        (46.0, 50.0, 100.0, 80.0),  # 1000 x 4/50
        (66.67, 50.0, 0.0, 333.4),  # WE-28
        (12.8, 50.0, 100.0, 744.0),  # WE-29: 37.2/50
        (46.0, 50.0, 66.67, 239.95),  # 1000 x 4/16.67
        (50.0, 50.0, 0.0, 0.0),
    ],
)
def test_additions_worked_by_hand(brix: float, target: float, additive: float, grams: float) -> None:
    """m (T - B)/(R - T), on paper."""
    assert addition_g(1000.0, brix, target, additive) == pytest.approx(grams, abs=0.01)


@pytest.mark.parametrize(
    ("brix", "target", "additive"),
    [(54.0, 50.0, 100.0), (46.0, 50.0, 0.0), (46.0, 50.0, 50.0), (54.0, 50.0, 50.0), (54.0, 50.0, 60.0)],
)
def test_what_cannot_help_gives_no_answer(brix: float, target: float, additive: float) -> None:
    """The target must lie between the batch and what is added; something of the target's own strength never does."""
    assert addition_g(1000.0, brix, target, additive) is None


@pytest.mark.parametrize(
    ("brix", "add", "g_per_kg"),
    [(54.0, "water", 80.0), (46.0, "sugar", 80.0), (50.5, "water", 10.0), (49.5, "sugar", 10.0), (50.0, None, 0.0)],
)
def test_per_kilogram(brix: float, add: str | None, g_per_kg: float) -> None:
    """Water for a strong batch, dry sugar for a weak one: half of the difference over 50, by hand."""
    found = per_kilogram(brix, 50.0)

    assert found.add == add
    assert found.g_per_kg == pytest.approx(g_per_kg, abs=1e-9)


@given(brix=strengths, target=strengths)
def test_a_kilogram_ends_at_target(brix: float, target: float) -> None:
    """The grams per kg that a batch is told restore its standard."""
    found = per_kilogram(brix, target)
    additive = 0.0 if found.add == "water" else 100.0

    assert mixed_brix(1000.0, brix, found.g_per_kg, additive) == pytest.approx(target, abs=1e-9)
