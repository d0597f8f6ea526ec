"""A drink that is written for another strength than the standard is swapped as what it is, not as its numbers look."""

from __future__ import annotations

import pytest

from balancer.engine.swaps.aim import aim
from balancer.engine.swaps.fits import fits
from balancer.engine.swaps.kept_drinks import kept_drinks
from balancer.engine.swaps.swap import swap
from balancer.models.drink import Drink
from tests.engine.builders import PLAIN, RUM, bar, drink, syrup
from tests.engine.service.test_tonight import sugar_g
from tests.engine.service.test_written_for import BERRY, HOUSE, LONG, NEW, OLD, line

SHELF = bar(RUM, BERRY, PLAIN, OLD, NEW)


@pytest.mark.parametrize(("one", "brix"), [(OLD, 50.0), (NEW, 54.0)])
def test_equal_sugar_is_the_sugar_it_was_written_with(one: Drink, brix: float) -> None:
    """Both syrups are all sucrose: of the plain one at 50 °Bx it takes 22.5 ml for the old drink, 24.74 for the new."""
    wanted = pytest.approx(22.5 * sugar_g(brix) / sugar_g(50), rel=1e-4)
    assert fits(SHELF, one, "berry-syrup", ["plain-syrup"]).fits[0].exact.value == wanted
    swapped = swap(SHELF, one, "berry-syrup", "plain-syrup")
    assert swapped.old.sugar_g == pytest.approx(22.5 * sugar_g(brix), rel=1e-4)
    assert swapped.moved_exact.sugar_percent == pytest.approx(0.0, abs=1e-6)


def test_one_for_one_is_of_the_standard() -> None:
    """Plain made as sweet as the berry of today is too sweet, ml for ml, by what 54 °Bx hold more than 50."""
    moved = {row.drink.id: row.moved.sugar_percent for row in aim(SHELF, "plain-syrup", "berry-syrup").drinks}
    assert moved["old-sour"] == pytest.approx(100.0 * (sugar_g(54) / sugar_g(50) - 1.0), abs=0.02)
    assert moved["new-sour"] == pytest.approx(0.0, abs=1e-6)


def test_drinks_kept_as_they_are() -> None:
    """54 → 50 °Bx: New Sour, kept, pours 25 ml of it; the others said already what they were written for."""
    found = kept_drinks(HOUSE, BERRY, 50.0)
    assert [(each.id, each.written_for) for each in found.drinks] == [("new-sour", {"berry-syrup": 54.0})]
    assert (found.old_brix, [each.id for each in found.apart]) == (54.0, ["old-sour", "old-long"])
    assert found.at_new.conversions == ()  # 22.5 ml is the standard's line again, and stays
    assert {row.drink.id: row.poured.value for row in found.at_new.rows} == {
        "old-sour": 22.5,
        "new-sour": 25.0,
        "old-long": 30.0,
    }


def test_a_rinse_of_it_keeps_nothing() -> None:
    rinsed = drink("Rinsed", "60 ml gold rum", "rinse berry syrup")
    found = kept_drinks(bar(RUM, BERRY, LONG, rinsed), BERRY, 50.0)
    assert (found.drinks, [each.id for each in found.apart]) == ((), ["old-long"])
    assert kept_drinks(bar(RUM, BERRY, NEW), BERRY, 60.0).at_new.conversions == (line(22.5, 20.0),)


def test_a_syrup_is_aimed_at_what_the_drinks_asked_are_written_for() -> None:
    """40 °Bx in the drink, 55 the standard: 40 it is; the drink that pours the new one already is told with its own."""
    old = syrup("berry syrup", standard="55 °Bx", allergens=[])
    spec = drink("Spec", "60 ml gold rum", "20 ml berry syrup", written_for={"berry-syrup": "40 °Bx"})
    other = drink("Other", "60 ml gold rum", "20 ml plain syrup", written_for={"plain-syrup": "60 °Bx"})
    house = bar(RUM, PLAIN, old, spec, other)

    found = aim(house, "plain-syrup", "berry-syrup", [spec])

    assert found.brix == pytest.approx(40.0, abs=1e-6)
    assert [(each.name, each.brix) for each in found.others] == [("Other", 60.0)]
    assert found.drinks[0].moved.sugar_percent == pytest.approx(0.0, abs=1e-6)
