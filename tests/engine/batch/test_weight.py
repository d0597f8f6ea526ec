"""Masses nobody weighed: by the density of the sugar tables, and by the mass balance."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.batch import events
from balancer.engine.batch.weight import mass_after, mass_of
from balancer.errors import CannotError
from balancer.models.batch import Batch
from tests.engine.batch.test_events import BAR, Log
from tests.engine.batch.test_notes import batch
from tests.engine.builders import PLAIN, bar, ingredient


def weighed(mass: float | None, brix: float | None, **changes: object) -> Batch:
    return replace(batch(), mass=mass, brix=brix, **changes)  # type: ignore[arg-type]


def test_water_into_what_was_too_strong() -> None:
    """WE-24 of tests/reference/facts/worked_examples.csv: 160 g of water bring 2 kg from 54 to 50 °Bx."""
    after = mass_after(weighed(2000.0, 54.0), 50.0)
    assert after is not None
    assert (round(after.added_g), after.additive_brix, round(after.mass_g)) == (160, 0.0, 2160)


def test_sugar_into_what_was_too_weak() -> None:
    """By hand: 1000 g at 46 hold 540 g of water, which is half of 1080 g."""
    after = mass_after(weighed(1000.0, 46.0), 50.0)
    assert after is not None
    assert after.additive_brix == 100.0
    assert after.mass_g == pytest.approx(1080.0)


def test_a_richer_syrup_instead() -> None:
    """By hand: 1000 g at 46 and x at 66 make 50: 460 + 0.66 x = 0.5 (1000 + x), so x is 250 g."""
    after = mass_after(weighed(1000.0, 46.0), 50.0, 66.0)
    assert after is not None
    assert after.mass_g == pytest.approx(1250.0)


@pytest.mark.parametrize(("mass", "brix"), [(None, 54.0), (1000.0, None)])
def test_what_is_not_known_is_not_reckoned(mass: float | None, brix: float | None) -> None:
    assert mass_after(weighed(mass, brix), 50.0) is None


def test_what_cannot_have_done_it_is_refused() -> None:
    with pytest.raises(CannotError, match="water cannot have brought it to 50"):
        mass_after(weighed(1000.0, 46.0), 50.0, 0.0)


@given(st.floats(100, 10_000), st.floats(20, 80), st.floats(20, 80))
def test_no_sugar_and_no_water_is_lost(mass: float, brix: float, to: float) -> None:
    """What was added holds all that the strength changed by."""
    after = mass_after(weighed(mass, brix), to)
    assert after is not None
    sugar = mass * brix + after.added_g * after.additive_brix
    assert sugar == pytest.approx(after.mass_g * to)
    assert after.added_g >= 0.0


def test_a_correction_keeps_the_mass_in_the_log_and_its_undo_gives_the_old_one_back() -> None:
    log = Log()
    log.add(brix=54.0, mass=2000.0)
    log += events.correct(log, BAR, "BER-1", log.stamp())
    assert log[-1].mass == 2160.0
    assert (log.found[0].brix, log.found[0].mass, log.found[0].verified) == (50.0, 2160.0, False)
    log += events.correct(log, BAR, "BER-1", log.stamp(), brix=48.0, mass=2300.0)
    assert log.found[0].mass == 2300.0  # weighed is better than reckoned


def test_a_volume_weighs_what_the_table_says() -> None:
    """Sucrose solution of 55 °Bx at 20 °C: 1257.54 kg/m³ (NBS C440 table 114, tests/reference/sucrose_density.csv)."""
    pure = bar(PLAIN)
    assert mass_of(pure, "plain-syrup", 2000.0, 55.0) == pytest.approx(2.0 * 1257.54, abs=0.7)
    assert mass_of(pure, "plain-syrup", 2000.0, None) == mass_of(pure, "plain-syrup", 2000.0, 50.0)


def test_what_has_no_density_is_not_guessed() -> None:
    with pytest.raises(CannotError, match="nothing tells what a ml of dry sugar weighs") as caught:
        mass_of(bar(ingredient("dry sugar", sugar="998 g/kg")), "dry-sugar", 1000.0, None)
    assert "--mass" in caught.value.remedy
