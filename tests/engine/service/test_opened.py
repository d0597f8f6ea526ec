"""What stands on a bottle that was opened and is no batch."""

from __future__ import annotations

from datetime import date

import pytest

from balancer.engine.service.opened import opened_bottle
from balancer.errors import CannotError
from tests.engine.builders import bar, ingredient

TODAY = date(2026, 11, 25)


def test_opening_day_is_day_one() -> None:
    """Seven days from Wed 25 Nov: the last one is Tue 1 Dec (by the calendar)."""
    wine = ingredient("sweet vermouth", kind="wine", abv="16 %", keeps="7 days", allergens=["sulphites"])
    house = bar(wine)
    found = opened_bottle(house, house.specs.ingredients["sweet-vermouth"], TODAY, TODAY)
    assert (found.opened, found.use_by) == (TODAY, date(2026, 12, 1))
    assert found.storage_c == house.specs.house.storage
    assert found.allergens == ("sulphites",)


def test_a_life_nobody_knows_is_no_day_and_a_list_nobody_wrote_is_none() -> None:
    house = bar(ingredient("dry sherry", kind="wine", abv="17 %"))
    found = opened_bottle(house, house.specs.ingredients["dry-sherry"], TODAY, TODAY)
    assert found.use_by is None
    assert found.allergens is None
    assert found.storage_c is None  # so strong that nothing says it must be cold


def test_what_can_spoil_is_kept_cold_all_the_same() -> None:
    house = bar(ingredient("apple juice", kind="juice", sugar="100 g/l", acid="5 g/l"))
    found = opened_bottle(house, house.specs.ingredients["apple-juice"], TODAY, TODAY)
    assert (found.use_by, found.storage_c) == (None, house.specs.house.storage)


def test_past_its_last_day_it_gets_no_label() -> None:
    """Two days from 23 Nov: 24 Nov was the last one."""
    house = bar(ingredient("lime juice", kind="juice", keeps="2 days"))
    lime = house.specs.ingredients["lime-juice"]
    assert opened_bottle(house, lime, date(2026, 11, 24), TODAY).use_by == TODAY
    with pytest.raises(CannotError, match=r"past its last day \(24 Nov\)"):
        opened_bottle(house, lime, date(2026, 11, 23), TODAY)


def test_nothing_was_opened_tomorrow() -> None:
    house = bar(ingredient("lime juice", kind="juice", keeps="2 days"))
    with pytest.raises(CannotError, match="yet to come"):
        opened_bottle(house, house.specs.ingredients["lime-juice"], date(2026, 11, 26), TODAY)


def test_egg_is_raw_egg() -> None:
    house = bar(ingredient("egg white", kind="egg", keeps="2 days", allergens=["eggs"]))
    assert "raw egg" in opened_bottle(house, house.specs.ingredients["egg-white"], TODAY, TODAY).cautions
