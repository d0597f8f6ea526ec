"""The log folded: states, ids, days of use, two batches together; and no order of entries breaks it."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.batch.history import (
    batch_key,
    batches,
    counted,
    discard_date,
    from_future,
    history,
    live_entries,
    night_of,
)
from balancer.engine.batch.ids import next_batch_id
from balancer.models.batch import CAUSES, EVENTS, Batch, Event, LogEntry
from tests.engine.builders import BERRY, LIME, PLAIN, bar, syrup
from tests.reference.facts import facts

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
DAY = NOON.date()
WORKED = {row["id"]: row for row in facts("worked_examples")}


def entry(batch: str, event: Event, minute: int | None, **keys: Any) -> LogEntry:
    """An entry logged so many minutes after noon; without a time when None."""
    return LogEntry(batch, event, None if minute is None else NOON + timedelta(minutes=minute), **keys)


def made(batch: str, minute: int, **keys: Any) -> LogEntry:
    return entry(batch, "made", minute, **({"liquid": "berry-syrup", "made": DAY} | keys))


def undo(minute: int, of: int) -> LogEntry:
    return entry("any", "undo", minute, refers=((NOON + timedelta(minutes=of)).isoformat(),))


def only(entries: list[LogEntry]) -> Batch:
    (found,) = batches(entries)
    return found


# States


def test_a_batch_lives_from_made_to_empty() -> None:
    log = [made("BER-1", 0, brix=46.5, mass=2000.0, by="Ida"), entry("BER-1", "open", 1), entry("BER-1", "empty", 2)]
    assert [batches(log[:count])[0].state for count in (1, 2, 3)] == ["made", "open", "empty"]
    first = batches(log[:1])[0]
    assert (first.brix, first.mass, first.by, first.readings, first.verified) == (46.5, 2000.0, "Ida", (46.5,), True)
    assert batches(log)[0].opened == NOON + timedelta(minutes=1)


def test_a_batch_without_a_strength_is_not_verified() -> None:
    found = only([made("BER-1", 0)])
    assert (found.brix, found.readings, found.verified) == (None, (), False)


@pytest.mark.parametrize(("event", "state"), [("empty", "empty"), ("discard", "discarded")])
def test_closed_stays_closed(event: Event, state: str) -> None:
    """Whichever came first; opening it after that is an impossible line."""
    found = history([made("BER-1", 0), entry("BER-1", event, 1), entry("BER-1", "empty", 2), entry("BER-1", "open", 3)])
    assert found.batches[0].state == state
    assert [fault.place for fault in found.faults] == [3]


def test_opening_in_its_place_empties_the_other() -> None:
    log = [made("BER-1", 0), entry("BER-1", "open", 1), made("BER-2", 2), entry("BER-2", "open", 3, refers=("ber-1",))]
    assert [batch.state for batch in batches(log)] == ["empty", "open"]


def test_a_batch_cannot_replace_itself() -> None:
    assert only([made("BER-1", 0), entry("BER-1", "open", 1, refers=("BER-1",))]).state == "open"


def test_a_reading_counts_from_then_on() -> None:
    found = only([made("BER-1", 0, brix=46.5), entry("BER-1", "reading", 1, brix=47.0, uncertainty=0.3)])
    assert (found.brix, found.uncertainty, found.readings, found.verified) == (47.0, 0.3, (46.5, 47.0), True)


def test_a_correction_is_predicted_until_it_is_read() -> None:
    log = [made("BER-1", 0, brix=54.0, mass=2000.0), entry("BER-1", "correct", 1, brix=50.0, mass=2160.0)]
    corrected = only(log)
    assert (corrected.brix, corrected.mass, corrected.verified, corrected.readings) == (50.0, 2160.0, False, (54.0,))
    assert only([*log, entry("BER-1", "reading", 2, brix=50.1)]).verified


def test_after_a_correction_the_old_mass_is_not_known_any_more() -> None:
    """Water went in; how much, only the scale knows."""
    assert only([made("BER-1", 0, brix=54.0, mass=2000.0), entry("BER-1", "correct", 1, brix=50.0)]).mass is None


def test_weighing_again_leaves_the_strength_as_it_was() -> None:
    found = only([made("BER-1", 0, brix=54.0, mass=2000.0), entry("BER-1", "correct", 1, mass=900.0)])
    assert (found.brix, found.mass, found.verified) == (54.0, 900.0, True)


def test_ids_are_the_same_whatever_their_case() -> None:
    found = only([made("BER-1", 0), entry("ber 1", "open", 1)])
    assert (found.id, found.state) == ("BER-1", "open")


def test_entries_without_a_time_count_in_the_order_of_lines() -> None:
    assert only([made("BER-1", 5), entry("BER-1", "open", None), entry("BER-1", "reading", None, brix=49.0)]).brix == 49


# Undo


def test_undone_counts_for_nothing_and_undoing_the_undo_brings_it_back() -> None:
    log = [made("BER-1", 0), entry("BER-1", "open", 1)]
    states = []
    for count, more in enumerate([undo(2, of=1), undo(3, of=2), undo(4, of=1), undo(5, of=4), undo(6, of=5)]):
        log.append(more)
        states.append(batches(log)[0].state)
        assert history(log).faults == (), count
    assert states == ["made", "open", "made", "open", "made"]


def test_undoing_a_command_takes_all_its_entries() -> None:
    """`open --replaces` is one entry, `add --open` two of the same moment."""
    both = [made("BER-2", 3), entry("BER-2", "open", 3)]
    before = [made("BER-1", 0), entry("BER-1", "open", 1)]
    assert batches([*before, *both, undo(4, of=3)]) == batches(before)


def test_an_undo_reaches_only_what_is_above_it() -> None:
    found = history([undo(0, of=1), made("BER-1", 1)])
    assert [batch.id for batch in found.batches] == ["BER-1"]
    assert [fault.place for fault in found.faults] == [0]


# Impossible lines


@pytest.mark.parametrize(
    ("log", "places", "said"),
    [
        ([entry("BER-9", "open", 0)], [0], 'no line above says that "BER-9" was made'),
        ([entry("BER-9", "open", 0), entry("ber-9", "empty", 1)], [0], "its lines count for nothing"),
        ([entry("BER-1", "open", 0), made("BER-1", 1)], [0], "no line above"),
        ([made("BER-1", 0), made("ber-1", 1)], [1], "ber-1 was made already"),
        ([made("BER-1", 0), entry("BER-1", "open", 1, refers=("BER-7",))], [1], '"BER-7" was made'),
        ([made("BER-1", 0), entry("BER-1", "undo", 1, refers=("soon",))], [1], "refers to nothing above it"),
        ([made("BER-1", 0), undo(1, of=0), entry("BER-1", "open", 2)], [2], "no line above"),
    ],
)
def test_an_impossible_entry_is_left_out_and_told(log: list[LogEntry], places: list[int], said: str) -> None:
    found = history(log)
    assert [fault.place for fault in found.faults] == places
    assert said in found.faults[0].message
    assert found.faults[0].remedy


def test_an_id_may_be_made_again_once_its_making_is_undone() -> None:
    found = history([made("BER-1", 0, brix=50.0), undo(1, of=0), made("BER-1", 2, brix=46.0)])
    assert [batch.brix for batch in found.batches] == [46.0]
    assert found.faults == ()


IDS = ("BER-1", "ber-1", "BER-2", "LIM 3", "燈-4", "")
MINUTES = st.none() | st.integers(0, 12)
ENTRIES = st.builds(
    entry,
    st.sampled_from(IDS),
    st.sampled_from(EVENTS),
    MINUTES,
    liquid=st.sampled_from([None, "berry-syrup", "Berry", "gone", ""]),
    brix=st.none() | st.floats(1, 85),
    mass=st.none() | st.floats(1, 1e6),
    made=st.none() | st.dates(),
    discard=st.none() | st.dates(),
    cause=st.sampled_from([None, *CAUSES]),
    refers=st.lists(
        st.sampled_from(IDS) | st.text(max_size=3) | st.integers(0, 12).map(
            lambda minute: (NOON + timedelta(minutes=minute)).isoformat()
        ),
        max_size=2,
    ).map(tuple),
)  # fmt: skip


@given(st.lists(ENTRIES, max_size=15))
def test_no_order_of_entries_breaks_the_fold(log: list[LogEntry]) -> None:
    """Whatever is in it: every batch was made by an entry that counts, once, and faults point at entries."""
    specs = bar(BERRY, LIME).specs
    found = history(log, specs)
    live = live_entries(log)
    making = {batch_key(line.batch) for line, counts in zip(log, live, strict=True) if counts and line.event == "made"}
    assert sorted(batch_key(batch.id) for batch in found.batches) == sorted(making)
    assert all(0 <= fault.place < len(log) and fault.message for fault in found.faults)
    assert all(batch.verified <= bool(batch.readings) for batch in found.batches)
    assert found.batches == batches(log, specs)


@given(st.lists(ENTRIES, max_size=12), ENTRIES)
def test_an_undo_is_the_inverse_and_its_own_undo_too(log: list[LogEntry], last: LogEntry) -> None:
    """For any log and any entry with a moment of its own that is no undo."""
    if last.event == "undo":
        last = replace(last, event="open")
    last = replace(last, at=NOON + timedelta(minutes=20))
    with_last = batches([*log, last])
    assert batches([*log, last, undo(21, of=20)]) == batches(log)
    assert batches([*log, last, undo(21, of=20), undo(22, of=21)]) == with_last


# Names


def test_a_name_in_the_log_is_turned_into_its_id() -> None:
    specs = bar(BERRY, PLAIN).specs
    specs.liquid_names.add("berry-syrup", ["berry syrup"])
    found = batches([made("BER-1", 0, liquid="Berry Syrup"), made("GON-1", 1, liquid="gone syrup")], specs)
    assert [batch.liquid for batch in found] == ["berry-syrup", "gone syrup"]


@pytest.mark.parametrize(
    ("name", "identity"),
    [
        ("raspberry syrup", "RAS-1"),
        ("2:1 syrup", "SYR-1"),
        ("Ö", "O-1"),
        ("малиновый сироп", "МАЛ-1"),
        ("桂花糖浆", "桂花糖-1"),
        ("1984", "B-1"),
        ("", "B-1"),
    ],
)
def test_ids_are_letters_of_the_name_and_a_number(name: str, identity: str) -> None:
    assert next_batch_id((), name) == identity


def test_numbers_go_on_through_syrups_of_the_same_letters_undos_and_lost_lines() -> None:
    log = [made("RAS-3", 0, liquid="raspberry-syrup"), made("ras-4", 1, liquid="raspberry-shrub"), undo(2, of=1)]
    assert next_batch_id(log, "raspberry shrub") == "RAS-5"
    assert next_batch_id(log, "rasher syrup", reserved=["RAS-11", "RAS-x", "ROS-40"]) == "RAS-12"
    assert next_batch_id([made("RAS-9999999999", 0)], "raspberry syrup") == "RAS-1"


@pytest.mark.parametrize(
    "spelt", ["ras 13", "RAS -13", "RAS–13", "Ras - 13", "RAS13", "ＲＡＳ-１３", "RAS_13", " ras-13 "]
)
def test_a_number_counts_however_its_id_is_spelt(spelt: str) -> None:
    assert next_batch_id([made(spelt, 0)], "raspberry syrup") == "RAS-14"
    assert next_batch_id((), "raspberry syrup", reserved=[spelt]) == "RAS-14"


def test_no_id_is_given_twice_where_numbers_are_long() -> None:
    log = [made("RAS-999999999", 0)]
    for minute in range(1, 5):
        log.append(made(next_batch_id(log, "raspberry syrup"), minute))
    assert len({batch_key(line.batch) for line in log}) == len(log) == 5


@given(st.lists(st.text(max_size=8), max_size=5), st.text(max_size=12))
def test_a_new_id_is_nobody_elses(others: list[str], name: str) -> None:
    log = [made(other, minute) for minute, other in enumerate(others)]
    for _ in range(3):
        identity = next_batch_id(log, name)
        assert batch_key(identity) not in {batch_key(line.batch) for line in log}
        assert re.fullmatch(r"\w{1,3}-[0-9]+", identity)
        log.append(made(identity, len(log)))


# Days


def numbers(pattern: str, text: str) -> list[int]:
    return [int(found) for found in re.findall(pattern, text)]


def test_the_day_it_was_made_is_day_one() -> None:
    """WE-65, Southern Nevada Health District, FAQ "How long can I keep TCS food?"."""
    row = WORKED["WE-65"]
    days, first = numbers(r"(\d+)-day", row["inputs"]), numbers(r"(\d+) April", row["inputs"])
    last = numbers(r"(\d+) April", row["expected"])
    assert discard_date(date(2026, 4, first[0]), days[0]) == date(2026, 4, last[0])


@pytest.mark.parametrize(("keeps", "day"), [(1.0, 1), (1.5, 1), (0.5, 1), (10.5, 10), (14.0, 14)])
def test_part_of_a_day_does_not_count(keeps: float, day: int) -> None:
    assert discard_date(date(2026, 4, 1), keeps) == date(2026, 4, day)


@given(st.dates(), st.floats(0, 3650))
def test_a_last_day_is_never_before_the_first(made_on: date, keeps: float) -> None:
    """Checked by counting the days of use; the calendar ends in 9999."""
    last = discard_date(made_on, keeps)
    assert last == date.max or (last - made_on).days + 1 == max(math.floor(keeps), 1)


def test_the_log_says_the_day_or_the_file_does_or_nobody() -> None:
    keeps = syrup("kept syrup", keeps="7 days")
    specs = bar(BERRY, keeps).specs
    log = [
        made("KEP-1", 0, liquid="kept-syrup", made=date(2026, 4, 1)),
        made("KEP-2", 1, liquid="kept-syrup", made=date(2026, 4, 1), discard=date(2026, 4, 3)),
        made("KEP-3", 2, liquid="kept-syrup", made=None),
        made("BER-1", 3),
    ]
    assert [batch.discard for batch in batches(log, specs)] == [date(2026, 4, 7), date(2026, 4, 3), None, None]


@pytest.mark.parametrize(
    ("hour", "minute", "ends", "day"),
    [(5, 59, "06:00", 24), (6, 0, "06:00", 25), (23, 59, "06:00", 25), (0, 0, "00:00", 25), (2, 30, "03:00", 24)],
)
def test_until_the_day_ends_it_is_yesterdays_night(hour: int, minute: int, ends: str, day: int) -> None:
    assert night_of(NOON.replace(hour=hour, minute=minute), ends) == date(2026, 11, day)


# Which entries count for a night

EAST, WEST = timezone(timedelta(hours=13)), timezone(timedelta(hours=-11))


def at(moment: datetime | None) -> LogEntry:
    return LogEntry("BER-1", "open", moment)


@pytest.mark.parametrize("zone", [UTC, EAST, WEST])
def test_an_entry_counts_by_its_instant_whatever_its_local_date(zone: timezone) -> None:
    """A device set to another zone writes tomorrow's date, or yesterday's, for the same moment."""
    now = NOON + timedelta(days=1)
    inside, outside = NOON + timedelta(hours=17, minutes=59), NOON + timedelta(hours=18)  # until 06:00
    log = [at(inside.astimezone(zone)), at(outside.astimezone(zone)), at(None)]
    assert counted(log, DAY, now, "06:00") == (log[0], log[2])


def test_the_end_of_the_day_is_of_the_zone_of_now() -> None:
    local = datetime(2026, 11, 27, 12, tzinfo=EAST)
    ends = datetime(2026, 11, 26, 6, tzinfo=EAST)
    log = [at(ends.astimezone(UTC) - timedelta(seconds=1)), at(ends.astimezone(UTC))]
    assert counted(log, DAY, local, "06:00") == (log[0],)


@pytest.mark.parametrize("night", [DAY, DAY + timedelta(days=3), date.max])
def test_tonight_everything_counts_the_future_too(night: date) -> None:
    log = [at(NOON), at(NOON + timedelta(hours=20)), at(NOON + timedelta(days=400)), at(None)]
    assert counted(log, night, NOON, "06:00") == tuple(log)


def test_before_the_day_ends_last_night_is_still_tonight() -> None:
    log = [at(NOON + timedelta(hours=30))]
    assert counted(log, DAY, NOON + timedelta(hours=17), "06:00") == tuple(log)
    assert counted(log, DAY, NOON + timedelta(hours=18), "06:00") == ()


@given(
    st.lists(st.none() | st.datetimes(datetime(1990, 1, 1), datetime(2100, 1, 1), timezones=st.just(UTC))),
    st.dates(date(1990, 1, 1), date(2100, 1, 1)),
    st.dates(date(1990, 1, 1), date(2100, 1, 1)),
)
def test_a_later_night_never_counts_less(moments: list[datetime | None], one: date, other: date) -> None:
    log = [at(moment) for moment in moments]
    earlier, later = (counted(log, night, NOON, "06:00") for night in sorted((one, other)))
    assert set(earlier) <= set(later)
    assert list(later) == [entry for entry in log if entry in later], "in the order of the lines"


def test_an_undo_means_an_instant_however_it_is_written() -> None:
    """18:00 an hour east of here is 17:00 here."""
    for text in ("2026-11-25T13:01:00+01:00", "2026-11-25T12:01:00Z", "2026-11-25T01:01:00-11:00"):
        log = [made("BER-1", 0), entry("BER-1", "open", 1), entry("any", "undo", 2, refers=(text,))]
        assert (only(log).state, history(log).faults) == ("made", ()), text


def test_what_counts_for_the_future_is_what_still_counts() -> None:
    log = [made("BER-1", 0), entry("BER-1", "open", 300), entry("BER-1", "empty", 400), undo(1, of=400), at(None)]
    assert from_future(log, NOON) == (1,)


def test_a_hand_written_mixture_takes_its_dates_and_syrup_from_its_parts() -> None:
    log = [
        made("BER-1", 0, made=date(2026, 6, 1), discard=date(2026, 6, 7)),
        made("BER-2", 1, made=date(2026, 6, 3), discard=date(2026, 6, 9)),
        entry("BER-3", "made", 2, refers=("BER-2", "BER-1"), brix=50.0),
    ]
    *parts, mixture = batches(log)
    assert [part.state for part in parts] == ["empty", "empty"]
    assert (mixture.liquid, mixture.made, mixture.discard) == ("berry-syrup", date(2026, 6, 1), date(2026, 6, 7))
    assert (mixture.verified, mixture.readings, mixture.parts) == (False, (), ("BER-2", "BER-1"))
