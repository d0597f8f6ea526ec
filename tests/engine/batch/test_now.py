"""Which batches are in use on a day, and which one counts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.batch.now import InUse, acid_off_percent, in_use, is_past, measured_juice
from balancer.errors import BalancerError
from balancer.models.batch import Batch, BatchState
from balancer.units import Quantity
from tests.engine.builders import BERRY, LIME, PLAIN, bar, ingredient, syrup
from tests.engine.service.test_tonight import batch

DAY = date(2026, 11, 25)
AT = datetime(2026, 11, 25, 18, tzinfo=UTC)
SOURED = syrup("soured syrup", acid="300 g/kg")
SODA = ingredient("soda water", sugar="0 g/l")
BAR = bar(BERRY, PLAIN, LIME, SOURED, SODA)


def berry(identity: str = "BER-1", brix: float | None = 54.0, **changes: object) -> Batch:
    return batch(identity, "berry-syrup", brix, **{"opened": AT, **changes})


def lime(identity: str, acid: float | None = 50.0, *, hours: int = 0, **changes: object) -> Batch:
    measured = None if acid is None else Quantity(acid, "g/l")
    return batch(identity, "lime-juice", None, acid=measured, opened=AT + timedelta(hours=hours), **changes)


def now(*batches: Batch, day: date = DAY) -> InUse:
    return in_use(BAR, batches, day)


def ids(batches: Sequence[Batch]) -> list[str]:
    return [one.id for one in batches]


def counting(found: InUse) -> dict[str, str]:
    return {liquid: one.id for liquid, one in found.counting.items()}


def read_of(found: InUse, syrup_id: str) -> tuple[Batch, ...]:
    return tuple(batch for batch in found.read() if batch.liquid == syrup_id)


def test_an_open_batch_with_a_strength_counts() -> None:
    found = now(berry())
    assert (ids(found.usable), counting(found)) == (["BER-1"], {"berry-syrup": "BER-1"})
    assert found.strengths == {"berry-syrup": 54.0}
    assert (found.past, found.doubled, found.unread, found.unverified, found.undated) == ((), (), (), (), ())
    assert (found.unsure, found.impossible) == ((), ())


@pytest.mark.parametrize("state", ["made", "empty", "discarded"])
def test_what_is_not_open_is_not_in_use(state: BatchState) -> None:
    found = now(berry(state=state))
    assert (found.usable, found.past, found.counting) == ((), (), {})


def test_the_last_day_itself_still_counts_and_the_next_does_not() -> None:
    one = berry(discard=DAY)
    assert not is_past(one, DAY)
    assert counting(now(one)) == {"berry-syrup": "BER-1"}
    assert is_past(one, DAY + timedelta(days=1))
    late = now(one, day=DAY + timedelta(days=1))
    assert (late.usable, ids(late.past), late.counting, late.strengths) == ((), ["BER-1"], {}, {})


def test_a_batch_past_its_last_day_is_in_no_other_list() -> None:
    """Neither read again nor doubled: it is to be discarded, and that is all there is to say of it."""
    past = berry("BER-1", brix=None, discard=DAY - timedelta(days=1), verified=False)
    found = now(past, berry("BER-2"))
    assert ids(found.past) == ["BER-1"]
    assert (found.doubled, found.unread, found.unverified) == ((), (), ())
    assert ids(read_of(found, BERRY.id)) == ["BER-2"]
    assert counting(found) == {"berry-syrup": "BER-2"}


def test_without_a_last_day_a_batch_is_never_past_and_is_told() -> None:
    one = berry(discard=None)
    assert not is_past(one, date(2099, 1, 1))
    assert ids(now(one).undated) == ["BER-1"]


def test_the_first_opened_counts_in_whatever_order_the_log_has_them() -> None:
    three = [berry(f"BER-{n}", brix=50.0 + n, opened=AT + timedelta(hours=n)) for n in (1, 2, 3)]
    for order in permutations(three):
        found = now(*order)
        assert ids(found.usable) == ["BER-1", "BER-2", "BER-3"]
        assert found.strengths == {"berry-syrup": 51.0}
        assert [ids(group) for group in found.doubled] == [["BER-1", "BER-2", "BER-3"]]
        assert ids(read_of(found, "berry-syrup")) == ["BER-1", "BER-2", "BER-3"]


def test_the_instant_decides_and_not_the_local_time() -> None:
    """18:00 at +02:00 is before 17:00 at UTC."""
    east = berry("BER-2", opened=datetime.fromisoformat("2026-11-25T18:00+02:00"))
    utc = berry("BER-1", opened=datetime.fromisoformat("2026-11-25T17:00+00:00"))
    assert counting(now(utc, east)) == {"berry-syrup": "BER-2"}


def test_a_bottle_whose_opening_has_no_time_was_open_before() -> None:
    assert counting(now(berry("BER-1"), berry("BER-2", opened=None))) == {"berry-syrup": "BER-2"}


def test_what_was_not_read_does_not_count_and_the_next_opened_does() -> None:
    """The doubled bottles are told all the same."""
    found = now(berry("BER-1", brix=None), berry("BER-2", opened=AT + timedelta(hours=1)))
    assert ids(found.unread) == ["BER-1"]
    assert counting(found) == {"berry-syrup": "BER-2"}
    assert [ids(group) for group in found.doubled] == [["BER-1", "BER-2"]]
    assert ids(read_of(found, "berry-syrup")) == ["BER-2"]


def test_a_predicted_strength_counts_and_is_told() -> None:
    found = now(berry(verified=False))
    assert (ids(found.unverified), counting(found)) == (["BER-1"], {"berry-syrup": "BER-1"})


@pytest.mark.parametrize(
    ("brix", "unsure"),
    [
        (57.5, False),  # 0.575 x 1.2720 / 0.6148: 19 % more sugar in a ml, by the printed densities
        (58.5, True),  # 0.585 x 1.2778 / 0.6148: 22 % more
        (42.0, False),  # 0.42 x 1.1868 / 0.6148: 19 % less
        (40.0, True),  # 0.40 x 1.1764 / 0.6148: 23 % less
        (66.7, True),  # WE-05: a 2:1 has 44 % more
    ],
)
def test_a_strength_that_is_read_again_first_does_not_count(brix: float, unsure: bool) -> None:
    """Off by more than 20 % of the sugar in a ml; a bottle opened later that is not counts instead."""
    found = now(berry("BER-1", brix=brix), berry("BER-2", brix=51.0, opened=AT + timedelta(hours=1)))
    assert ids(found.unsure) == ["BER-1"] * unsure
    assert counting(found) == {"berry-syrup": "BER-2" if unsure else "BER-1"}
    assert ids(read_of(found, "berry-syrup")) == ["BER-1", "BER-2"]


def test_a_strength_no_such_syrup_can_have_does_not_count() -> None:
    """80 °Bx and 30 % acid leave no water; nothing at all is no syrup either."""
    sour, empty = batch("SOU-1", "soured-syrup", 80.0), berry(brix=0.0)
    found = now(sour, empty)
    assert sorted(one.id for one, why in found.impossible if why) == ["BER-1", "SOU-1"]
    assert (found.counting, found.unsure) == ({}, ())
    assert read_of(found, "soured-syrup") == read_of(found, "berry-syrup") == ()


def test_of_a_juice_the_first_opened_with_a_measured_acid_counts() -> None:
    """As of a syrup; one whose acid nobody measured tells nothing."""
    three = [lime("LIM-1", 50.0), lime("LIM-2", 52.0, hours=1), lime("LIM-3", None, hours=2)]
    for order in permutations(three):
        found = now(*order)
        assert counting(found) == {"lime-juice": "LIM-1"}
        assert ids(found.measured) == ["LIM-1", "LIM-2"]
        assert found.strengths == {}
        assert found.unread == ()
        assert [ids(group) for group in found.doubled] == [["LIM-1", "LIM-2", "LIM-3"]]


def test_the_strength_of_a_juice_is_none_of_a_syrup() -> None:
    """A refractometer shows something in juice too."""
    found = now(replace(lime("LIM-1"), brix=8.2))
    assert found.strengths == {}
    assert counting(found) == {"lime-juice": "LIM-1"}


@pytest.mark.parametrize(("acid", "possible"), [(73.0, True), (74.0, False), (19.0, True), (18.0, False)])
def test_an_acid_far_off_is_a_slip(acid: float, possible: bool) -> None:
    """More than 60 % from 46 g/l: above 73.6 or below 18.4. The juice opened after it counts instead."""
    found = now(lime("LIM-1", acid), lime("LIM-2", 50.0, hours=1))
    assert counting(found) == {"lime-juice": "LIM-1" if possible else "LIM-2"}
    assert ids([one for one, _ in found.impossible]) == ([] if possible else ["LIM-1"])


def test_acid_off_is_that_of_a_millilitre() -> None:
    assert acid_off_percent(BAR, lime("LIM-1", 54.0)) == pytest.approx(100.0 * (54.0 / 46.0 - 1.0))
    assert measured_juice(BAR, lime("LIM-1", 54.0)).acid_g_per_ml == pytest.approx(0.054)


def test_an_acid_where_the_specs_count_on_none_is_off_by_nothing_known() -> None:
    one = batch("SOD-1", "soda-water", None, acid=Quantity(5.0, "g/l"))
    assert acid_off_percent(BAR, one) is None


def test_what_the_files_do_not_know_is_passed_over() -> None:
    found = now(batch("GON-1", "gone-syrup", 54.0, discard=date(2026, 1, 1)), batch("GON-2", "gone-syrup", 54.0))
    assert (found.usable, found.past, found.doubled, found.counting) == ((), (), (), {})


@st.composite
def logged(draw: st.DrawFn) -> Batch:
    """A batch as a log may have it."""
    liquid = draw(st.sampled_from(["berry-syrup", "plain-syrup", "lime-juice", "soured-syrup", "gone-syrup"]))
    acid = draw(st.none() | st.sampled_from([20.0, 50.0, 90.0])) if liquid == "lime-juice" else None
    days = draw(st.none() | st.integers(-2, 2))
    return batch(
        f"ONE-{draw(st.integers(1, 999))}",
        liquid,
        draw(st.none() | st.sampled_from([0.0, 30.0, 46.0, 50.0, 54.0, 80.0])),
        acid=None if acid is None else Quantity(acid, "g/l"),
        discard=None if days is None else DAY + timedelta(days=days),
        opened=AT + timedelta(hours=draw(st.integers(-48, 0))),
        state=draw(st.sampled_from(["made", "open", "open", "open", "empty", "discarded"])),
    )


@given(st.lists(logged(), max_size=8, unique_by=lambda one: one.id))
def test_what_counts_is_open_good_and_believed(listed: list[Batch]) -> None:
    """Whatever the log holds; and every open batch that the files know is either usable or past."""
    found = now(*listed)
    known = [one for one in listed if one.state == "open" and one.liquid != "gone-syrup"]
    assert sorted(ids(found.usable) + ids(found.past)) == sorted(ids(known))
    doubted = {*ids(found.unsure), *[one.id for one, _ in found.impossible]}
    for liquid, one in found.counting.items():
        assert one.liquid == liquid
        assert one in found.usable
        assert one.id not in doubted
        assert one.discard is None or one.discard >= DAY
        value = one.acid if liquid == "lime-juice" else one.brix
        assert value is not None
    assert all(liquid in BAR.specs.syrups for liquid in found.strengths)


def test_a_juice_that_nothing_can_be_is_refused_by_what_reckons_with_it() -> None:
    with pytest.raises(BalancerError):
        measured_juice(BAR, batch("LIM-1", "lime-juice", None, acid=Quantity(1500.0, "g/l")))
