"""How long a syrup keeps at another strength than its standard."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.drink.keeping import COLD_C, KEPT_BY_STRENGTH, Keeping, keeping
from balancer.models.syrup import Syrup
from tests.engine.builders import bar, syrup
from tests.reference.facts import facts

RICH = syrup("rich syrup", standard="66.7 °Bx", flavour="none", keeps="28 days", storage="20 °C")
SPICED = syrup("spiced rich syrup", standard="66.7 °Bx", keeps="21 days", storage="20 °C")
SIMPLE = syrup("simple syrup", flavour="none", keeps="14 days")
BERRY = syrup("berry syrup", keeps="7 days")


def kept(one: Syrup, brix: float | None, *others: Syrup, **house: str) -> Keeping:
    return keeping(bar(one, *others, **house).specs, one, brix)


def test_the_limits_are_the_printed_ones() -> None:
    printed = {row["what"]: float(row["limit"]) for row in facts("keeping")}
    assert printed["cold holding"] == COLD_C
    assert printed["water activity with no credit above"] == KEPT_BY_STRENGTH


@pytest.mark.parametrize("brix", [None, 65.7, 66.7, 70.0])
def test_at_standard_within_tolerance_or_unread_the_file_decides(brix: float | None) -> None:
    found = kept(RICH, brix, SIMPLE)
    assert (found.days, found.storage_c, found.weaker, found.lost) == (28.0, 20.0, False, False)


@pytest.mark.parametrize("brix", [65.6, 60.0, 50.0, 40.0])
def test_a_rich_syrup_made_weaker_loses_days_and_room_temperature(brix: float) -> None:
    """Nothing in the house tells how long it keeps then."""
    found = kept(SPICED, brix, SIMPLE, RICH)
    assert (found.days, found.storage_c, found.own_days, found.weaker, found.lost) == (None, 4.0, 21.0, True, True)


def test_cold_is_cold_whatever_the_house_stores_at() -> None:
    assert kept(SPICED, 60.0, storage="12 °C").storage_c == COLD_C


def test_a_plain_one_has_the_days_of_the_plain_syrup_it_is_as_strong_as() -> None:
    """What is richer than simple syrup keeps as long at least; weaker than that, nothing tells."""
    assert (kept(RICH, 52.0, SIMPLE).days, kept(RICH, 52.0, SIMPLE).like) == (14.0, "simple syrup")
    assert kept(RICH, 48.0, SIMPLE).days is None
    assert kept(RICH, 52.0, BERRY).days is None


def test_what_the_cold_keeps_has_its_days_at_most_until_it_lacks_a_fifth() -> None:
    """1:1 has a water activity of 0.935 (tests/reference/sucrose_water_activity.csv): not its sugar keeps it."""
    near, far = kept(SIMPLE, 46.0), kept(SIMPLE, 39.9)
    assert (near.days, near.weaker, near.lost) == (14.0, True, False)
    assert (far.days, far.weaker, far.lost) == (None, True, True)


def test_its_own_tolerance_counts() -> None:
    wide = syrup("rich syrup", standard="66.7 °Bx", keeps="28 days", tolerance="3 °Bx")
    assert not kept(wide, 64.0).weaker
    assert kept(wide, 63.6).lost


def test_what_alcohol_keeps_on_the_shelf_is_not_kept_by_its_sugar() -> None:
    assert not kept(syrup("bitter syrup", abv="20 %", storage="20 °C", keeps="60 days"), 47.0).lost


@given(
    standard=st.floats(30.0, 75.0),
    brix=st.floats(20.0, 80.0),
    own=st.none() | st.integers(1, 60),
    other=st.none() | st.integers(1, 60),
    other_brix=st.floats(30.0, 75.0),
)
def test_nothing_weaker_ever_keeps_longer_or_warmer(
    standard: float, brix: float, own: int | None, other: int | None, other_brix: float
) -> None:
    days = {"keeps": f"{own} days"} if own else {}
    mine = syrup("mine", standard=f"{standard} °Bx", flavour="none", storage="20 °C", **days)
    told = {"keeps": f"{other} days"} if other else {}
    found = kept(mine, brix, syrup("other", standard=f"{other_brix} °Bx", flavour="none", **told))
    assert found.days is None or own is None or found.days <= own
    if brix < standard - 1.0 - 1e-6:
        assert found.storage_c <= COLD_C
        assert found.days is None or (other is not None and other_brix <= brix + 1.0 + 1e-6 and found.days <= other)
