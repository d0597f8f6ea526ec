"""Taking back and bringing back: always what was meant, and the rest as if it had never been logged."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.batch import events, undoing
from balancer.engine.batch.history import batches, history
from balancer.engine.batch.record import Deed, record
from balancer.engine.batch.undoing import Chosen
from balancer.engine.prep.chart import chart
from balancer.engine.service.bottled import bottled
from balancer.engine.service.tonight import tonight
from balancer.errors import BalancerError, CannotError, UsageError
from balancer.models.batch import Batch, LogEntry
from balancer.output.data.tonight import tonight_data
from tests.engine.batch.test_events import BAR, BERRY, DAY, SPECS, Log
from tests.engine.builders import LIME, PLAIN, bar, drink
from tests.examples import examples

POURING = bar(
    BERRY, PLAIN, LIME, drink("Berry Sour", "30 ml lime juice", "22.5 ml berry syrup"),
    drink("Plain Berry", "10 ml berry syrup", "20 ml plain syrup"),
)  # fmt: skip
Outcome = tuple[list[LogEntry], tuple[Deed, ...]]


def undo(log: Log, batch: str | None = None, number: int | None = None, *, all_of_it: bool = False) -> Outcome:
    """As the command does it: chosen from the log as it is seen."""
    return undoing.take_back(log, chosen(log, batch, number, all_of_it=all_of_it), log.stamp())


def chosen(log: Log, batch: str | None, number: int | None = None, *, all_of_it: bool = False) -> tuple[Chosen, ...]:
    if batch is None:
        return (undoing.last_logged(log),)
    one = undoing.last_of(log, SPECS, batch) if number is None else undoing.numbered(log, SPECS, batch, number)
    return undoing.with_all_since(log, [one]) if all_of_it else (one,)


def restore(log: Log, batch: str | None = None) -> Outcome:
    return undoing.bring_back(log, undoing.last_undo(log, batch), log.stamp(), batch)


def said(deeds: Sequence[Deed]) -> list[tuple[str, str]]:
    return [(deed.entry.batch, deed.event) for deed in deeds]


def evening() -> Log:
    """BER-1 made and read at 50, opened, read at 48, corrected; BER-2 opened in its place."""
    log = Log()
    log.add(mass=1000.0)
    log.do(events.open_batch, "BER-1")
    log += events.reading(log, SPECS, "BER-1", LogEntry("", "reading", log.stamp().at, brix=48.0))
    log += events.correct(log, BAR, "BER-1", log.stamp())
    log.add()
    log += events.open_batch(log, SPECS, "BER-2", log.stamp(), replaces="BER-1")
    return log


def test_undo_takes_back_command_by_command() -> None:
    log = Log()
    log.add(), log.add(is_open=True)
    log += events.open_batch(log, SPECS, "BER-1", log.stamp(), replaces="BER-2")
    seen = []
    for _ in range(3):
        entries, undone = undo(log)
        log += entries
        seen.append(said(undone))
    assert seen == [
        [("BER-1", "open")],
        [("BER-2", "made"), ("BER-2", "open")],
        [("BER-1", "made")],
    ]
    assert log.states() == {}
    with pytest.raises(CannotError, match="nothing to take back"):
        undo(log)


def test_restore_brings_back_undo_by_undo() -> None:
    log = Log()
    log.add(), log.add()
    for _ in range(2):
        log += undo(log)[0]
    for known in (["BER-1"], ["BER-1", "BER-2"]):
        entries, back = restore(log)
        log += entries
        assert list(log.states()) == known
        assert said(back) == [(known[-1], "made")]
    with pytest.raises(CannotError, match="nothing was taken back"):
        restore(log)
    log += undo(log)[0]
    assert list(log.states()) == ["BER-1"]


def test_a_line_without_a_time_cannot_be_undone() -> None:
    log = Log([LogEntry("BER-1", "made", None, liquid="berry-syrup")])
    for batch in (None, "BER-1"):
        with pytest.raises(CannotError, match="written by hand") as caught:
            undo(log, batch)
        assert "batches.yaml" in caught.value.remedy


def test_the_last_of_one_batch_whatever_came_after_of_others() -> None:
    log = Log()
    log.add(is_open=True), log.add()
    log += undo(log, "ber-1")[0]
    assert log.states() == {"BER-1": "made", "BER-2": "made"}
    log += undo(log, "BER-1")[0]
    assert log.states() == {"BER-2": "made"}
    with pytest.raises(CannotError, match="nothing of BER-1 to take back"):
        undo(log, "BER-1")


def test_numbers_count_every_line_and_never_change() -> None:
    log = evening()
    whats = ["made", "reading", "open", "reading", "correct", "open"]
    assert [line.deed.event for line in record(log, SPECS, "BER-1").lines] == whats
    log += undo(log, "BER-1", 4)[0]
    log.do(events.empty, "BER-2")
    lines = record(log, SPECS, "BER-1").lines
    assert [line.deed.event for line in lines] == whats
    assert [line.number for line in lines if line.standing == "undone"] == [4]
    log += undo(log, "BER-1", 3)[0]
    lines = record(log, SPECS, "BER-1").lines
    assert [line.number for line in lines if line.standing == "undone"] == [3, 4]
    assert lines[3].undone_by is not None
    assert lines[3].undone_by.by == "Ida"


def test_a_chosen_reading_is_taken_back_and_the_rest_stays() -> None:
    log = evening()
    before = batches([entry for entry in log if entry.brix != 48.0], SPECS)
    log += undo(log, "BER-1", 4)[0]
    assert log.found == before
    assert log.found[0].readings == (50.0,)


def test_what_was_read_when_it_was_made_can_be_taken_back_alone() -> None:
    log = Log()
    log.add(brix=84.0, mass=1400.0, cause="boiled", is_open=True)
    taken, undone = undo(log, "BER-1", 2)
    assert said(undone) == [("BER-1", "reading")]
    log += taken
    found = log.found[0]
    assert (found.brix, found.readings, found.verified, found.cause) == (None, (), False, None)
    assert (found.state, found.mass) == ("open", 1400.0)
    log += events.reading(log, SPECS, "BER-1", LogEntry("", "reading", log.stamp().at, brix=48.0))
    assert [point.brix for point in chart(BERRY, log.found, 1.0).points] == [48.0]
    log += undo(log)[0]
    log += undo(log, "BER-1", 3)[0]
    assert log.states() == {"BER-1": "made"}


def test_the_acid_of_a_juice_can_be_taken_back_alone() -> None:
    log = Log()
    log.add("lime-juice", brix=None, acid=SPECS.ingredients["lime-juice"].acid)
    log += undo(log, "LIM-1", 2)[0]
    assert log.found[0].acid is None
    entries, back = restore(log)
    log += entries
    assert said(back) == [("LIM-1", "reading")]
    assert log.found[0].acid is not None


def test_a_making_with_more_since_is_taken_back_with_all_of_it_or_not() -> None:
    log = evening()
    log = Log(log[:4])
    with pytest.raises(CannotError, match="BER-1 was opened and read and corrected since it was made") as caught:
        undo(log, "BER-1", 1)
    assert "--yes" in caught.value.remedy
    before = log.found
    entries, undone = undo(log, "BER-1", 1, all_of_it=True)
    log += entries
    assert log.found == ()
    assert sorted(said(undone)) == sorted(
        [("BER-1", "made"), ("BER-1", "open"), ("BER-1", "reading"), ("BER-1", "correct")]
    )
    log += restore(log)[0]
    assert log.found == before


def test_a_making_that_another_batch_names_stays() -> None:
    log = evening()
    for all_of_it in (False, True):
        with pytest.raises(CannotError) as caught:
            undo(log, "BER-1", 1, all_of_it=all_of_it)
        assert caught.value.code == "built-on"
    log += undo(log, "BER-1")[0]
    assert log.states() == {"BER-1": "open", "BER-2": "made"}
    log += undo(log, "BER-1", 1, all_of_it=True)[0]
    assert log.states() == {"BER-2": "made"}


def test_a_number_that_is_not_there_or_was_taken_back_already() -> None:
    log = evening()
    for number in (0, 7, -1):
        with pytest.raises(UsageError, match=f"no entry number {number}"):
            undo(log, "BER-1", number)
    log += undo(log, "BER-1", 4)[0]
    with pytest.raises(CannotError, match=r"number 4 \(read\): undone already by Ida"):
        undo(log, "BER-1", 4)


@pytest.mark.parametrize("batch", [None, "BER-1"])
@pytest.mark.parametrize("number", [None, 3])
def test_two_people_at_once_do_not_take_back_two_things(batch: str | None, number: int | None) -> None:
    """Both saw the same last thing; the second one finds it gone, and nothing else goes."""
    log = evening()
    seen = chosen(log, batch, number if batch else None)
    log += undoing.take_back(log, seen, log.stamp())[0]
    with pytest.raises(CannotError, match=r"undone already by Ida.*nothing is changed now"):
        undoing.take_back(log, seen, log.stamp())


def test_what_was_seen_is_taken_back_although_somebody_logs_meanwhile() -> None:
    log = evening()
    seen = chosen(log, None)
    log.add("berlin-syrup")
    entries, undone = undoing.take_back(log, seen, log.stamp())
    assert said(undone) == [("BER-2", "open")]
    assert batches([*log, *entries], SPECS)[-1].id == "BER-3"


def test_two_people_who_bring_back_at_once_bring_back_one_thing() -> None:
    log = evening()
    log += undo(log)[0]
    log += undo(log)[0]
    seen = undoing.last_undo(log)
    log += undoing.bring_back(log, seen, log.stamp())[0]
    with pytest.raises(CannotError, match="brought back just now"):
        undoing.bring_back(log, seen, log.stamp())


def test_restore_ends_when_something_new_is_logged() -> None:
    log = evening()
    log += undo(log)[0]
    log.add("berlin-syrup")
    with pytest.raises(CannotError, match="BER-3 was added since the undo") as caught:
        restore(log)
    assert "batch show BER-2" in caught.value.remedy
    log += undo(log)[0]
    log += restore(log)[0]  # what the last undo took away, which is the new batch
    assert list(log.states()) == ["BER-1", "BER-2", "BER-3"]
    with pytest.raises(CannotError, match="since the undo"):
        restore(log)


def test_restore_of_one_batch_ends_only_with_news_of_what_it_is_about() -> None:
    log = evening()
    log += undo(log, "BER-2")[0]  # BER-2 opened in the place of BER-1
    log.add("berlin-syrup")
    log += restore(log, "BER-2")[0]
    assert log.states() == {"BER-1": "empty", "BER-2": "open", "BER-3": "made"}
    log += undo(log, "BER-2")[0]
    log += events.reading(log, SPECS, "BER-1", LogEntry("", "reading", log.stamp().at, brix=48.0))
    with pytest.raises(CannotError, match="BER-1 was read since the undo"):
        restore(log, "BER-2")
    assert not undoing.can_bring_back(log, "BER-2")


def test_an_undo_means_its_own_batch_where_a_hand_gave_two_lines_one_time() -> None:
    at = datetime(2026, 11, 25, 16, 45, tzinfo=UTC)
    log = Log([LogEntry(f"BER-{number}", "made", at, liquid="berry-syrup", brix=50.0) for number in (1, 2)])
    log += [LogEntry("BER-1", "open", at), LogEntry("BER-2", "open", at)]
    log += undo(log, "BER-2")[0]
    assert log.states() == {"BER-1": "open", "BER-2": "made"}
    log += undo(log, "BER-2")[0]
    assert log.states() == {"BER-1": "open"}
    log += undo(log, "BER-1", 1)[0]
    assert log.states() == {}
    for _ in range(3):
        log += restore(log)[0]
    assert log.states() == {"BER-1": "open", "BER-2": "open"}
    assert history(log, SPECS).faults == ()


def test_a_log_of_before_means_what_it_meant() -> None:
    """An undo without `only` takes back everything of its moment, of whatever batch."""
    at = datetime(2026, 11, 25, 16, 45, tzinfo=UTC)
    log = [
        LogEntry("BER-1", "made", at, liquid="berry-syrup", brix=50.0),
        LogEntry("BER-2", "made", at, liquid="berry-syrup", brix=50.0),
    ]
    undone = LogEntry("BER-2", "undo", at + timedelta(minutes=1), refers=(at.isoformat(),))
    assert batches([*log, undone]) == ()
    assert [batch.brix for batch in batches([*log, replace(undone, only="reading")])] == [50.0, None]


def test_an_undo_of_one_event_that_is_not_above_it_is_told() -> None:
    log = evening()
    log.append(LogEntry("BER-2", "undo", log.stamp().at, refers=(log[0].at.isoformat(),), only="reading"))  # type: ignore[union-attr]
    assert [fault.message for fault in history(log).faults] == ["this undo refers to nothing above it"]


# A second account of what an undo means, kept beside the log: which lines are gone, and which were only unread.


class Gone(NamedTuple):
    lines: frozenset[int]
    unread: frozenset[int]


class Book:
    """The lines that are no undos, and what is gone of them; written without looking at the code under test."""

    def __init__(self) -> None:
        self.lines: list[LogEntry] = []
        self.gone = Gone(frozenset(), frozenset())
        self.undone: list[Gone] = []

    def write(self, entries: Sequence[LogEntry]) -> None:
        self.lines += entries
        self.undone.clear()

    def counting(self) -> list[LogEntry]:
        return [
            replace(line, brix=None, uncertainty=None, acid=None, cause=None) if index in self.gone.unread else line
            for index, line in enumerate(self.lines)
            if index not in self.gone.lines
        ]

    def numbered(self, batch: str) -> list[tuple[int, bool]]:
        found = []
        for index, line in enumerate(self.lines):
            if batch in (line.batch, *line.refers):
                found.append((index, False))
                if line.event == "made" and line.brix is not None and not line.refers:
                    found.append((index, True))
        return found

    def undo(self, batch: str | None, number: int | None) -> None:
        """Only ever asked after the code under test has done it."""
        unread: set[int] = set()
        left = [index for index in range(len(self.lines)) if index not in self.gone.lines]
        if batch is None:
            lines = {index for index in left if self.lines[index].at == self.lines[left[-1]].at}
        elif number is None:
            lines = {[index for index in left if batch in (self.lines[index].batch, *self.lines[index].refers)][-1]}
        else:
            index, is_reading = self.numbered(batch)[number - 1]
            assert index not in self.gone.lines
            lines, unread = (set(), {index}) if is_reading else ({index}, set())
        for index in [*lines]:
            if self.lines[index].event == "made":
                mine = (self.lines[index].batch, self.lines[index].at)
                lines |= {other for other in left if (self.lines[other].batch, self.lines[other].at) == mine}
        self.undone.append(self.gone)
        self.gone = Gone(self.gone.lines | lines, self.gone.unread | unread)

    def undo_all(self, batch: str) -> None:
        self.undone.append(self.gone)
        mine = {index for index, line in enumerate(self.lines) if line.batch == batch}
        self.gone = Gone(self.gone.lines | mine, self.gone.unread)

    def restore(self) -> None:
        self.gone = self.undone.pop()


DOING: dict[str, Callable[[Log, str, str], list[LogEntry]]] = {
    "add": lambda log, _, __: events.add(
        log, SPECS, LogEntry("", "made", log.stamp().at, liquid="berry-syrup", brix=49.0, mass=100.0, made=DAY)
    ),
    "add open": lambda log, _, __: events.add(
        log, SPECS, LogEntry("", "made", log.stamp().at, liquid="berry-syrup", brix=51.0, made=DAY), is_open=True
    ),
    "open": lambda log, one, _: events.open_batch(log, SPECS, one, log.stamp()),
    "replace": lambda log, one, other: events.open_batch(log, SPECS, one, log.stamp(), replaces=other),
    "empty": lambda log, one, _: events.empty(log, SPECS, one, log.stamp()),
    "discard": lambda log, one, _: events.discard(log, SPECS, one, log.stamp()),
    "correct": lambda log, one, _: events.correct(log, BAR, one, log.stamp()),
    "weigh": lambda log, one, _: events.correct(log, BAR, one, log.stamp(), mass=90.0),
    "reading": lambda log, one, _: events.reading(log, SPECS, one, LogEntry("", "reading", log.stamp().at, brix=48.0)),
    "combine": lambda log, one, other: events.combined(log, SPECS, one, other, log.stamp()),
}
IDS = st.sampled_from(["BER-1", "BER-2", "BER-3"])
STEPS = st.one_of(
    st.tuples(st.just("do"), st.sampled_from(list(DOING)), IDS, IDS),
    st.tuples(st.just("undo"), st.none() | IDS, st.none() | st.integers(1, 9), st.booleans()),
    st.tuples(st.just("restore"), st.none(), st.none(), st.none()),
)


@given(st.lists(STEPS, max_size=30))
def test_what_is_left_is_the_log_without_what_was_taken_back(steps: list[tuple[str, object, object, object]]) -> None:
    """For any evening, by batch, by number and brought back again; and list, chart and tonight agree on it."""
    log, book = Log(), Book()
    for word, first, second, third in steps:
        try:
            if word == "do":
                added = DOING[str(first)](log, str(second), str(third))
                log += added
                book.write(added)
            elif word == "undo":
                batch = None if first is None else str(first)
                number = second if isinstance(second, int) and batch is not None else None
                makes = batch is not None and number is not None and _is_making(book, batch, number)
                log += undo(log, batch, number, all_of_it=bool(third) and makes)[0]
                if batch is not None and makes and third:
                    book.undo_all(batch)
                else:
                    book.undo(batch, number)
            else:
                log += restore(log)[0]
                book.restore()
        except BalancerError:
            continue
        left = book.counting()
        assert log.found == batches(left, SPECS)
        assert history(log, SPECS).faults == ()
        assert chart(BERRY, log.found, 1.0) == chart(BERRY, batches(left, SPECS), 1.0)
        _same_tonight(log, left)


def _is_making(book: Book, batch: str, number: int) -> bool:
    lines = book.numbered(batch)
    if number > len(lines):
        return False
    index, is_reading = lines[number - 1]
    return not is_reading and book.lines[index].event == "made" and book.lines[index].batch == batch


def _same_tonight(log: Log, left: list[LogEntry]) -> None:
    one, other = (tonight(POURING, batches(entries, SPECS), DAY, bottled(entries)) for entries in (log, left))
    assert tonight_data(one, POURING.specs) == tonight_data(other, POURING.specs)


@given(st.lists(st.tuples(st.sampled_from(list(DOING)), IDS, IDS), max_size=examples(40)))
def test_any_evening_can_be_undone_and_restored(evening_of: list[tuple[str, str, str]]) -> None:
    """After each command that is possible, undo gives the batches before it and restore those after it."""
    log = Log()
    for name, one, other in evening_of:
        before: tuple[Batch, ...] = log.found
        try:
            added = DOING[name](log, one, other)
        except BalancerError:
            continue
        log += added
        after = log.found
        back, undone = undo(log)
        log += back
        assert [deed.entry for deed in undone] == added
        assert log.found == before
        again, restored = restore(log)
        log += again
        assert [deed.entry for deed in restored] == added
        assert log.found == after
