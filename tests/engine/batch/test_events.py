"""What each command adds to the log: checked against the state it finds, and undone exactly."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta

import pytest

from balancer.engine.batch import events
from balancer.engine.batch.events import Stamp
from balancer.engine.batch.history import batches
from balancer.errors import CannotError, UsageError
from balancer.models.batch import Batch, LogEntry
from balancer.units import Quantity
from tests.engine.builders import LIME, PLAIN, bar, syrup

DAY = date(2026, 11, 25)
BERRY = syrup("berry syrup", keeps="7 days")
BERLIN = syrup("berlin syrup")
BAR = bar(BERRY, BERLIN, PLAIN, LIME)
SPECS = BAR.specs
for liquid in (BERRY, BERLIN, PLAIN, LIME):
    SPECS.liquid_names.add(liquid.id, [liquid.name])


class Log(list[LogEntry]):
    """A log, and one minute more on the clock for every command."""

    def stamp(self) -> Stamp:
        return Stamp(datetime(2026, 11, 25, 12, tzinfo=UTC) + timedelta(minutes=len(self)), by="Ida")

    def add(self, liquid: str = "berry-syrup", *, is_open: bool = False, **keys: object) -> str:
        draft = LogEntry("", "made", self.stamp().at, liquid=liquid, **({"made": DAY, "brix": 50.0} | keys))  # type: ignore[arg-type]
        self += events.add(self, SPECS, draft, is_open=is_open)
        return next(line.batch for line in reversed(self) if line.event == "made")

    def do(self, act: Callable[..., list[LogEntry]], *names: str, **keys: object) -> None:
        context = BAR if act is events.correct else SPECS
        first, *more = names
        self += act(self, context, first, *more[:1], self.stamp(), *more[1:], **keys)

    @property
    def found(self) -> tuple[Batch, ...]:
        return batches(self, SPECS)

    def states(self) -> dict[str, str]:
        return {batch.id: batch.state for batch in self.found}


def test_an_added_batch_gets_its_id_and_its_last_day() -> None:
    log = Log()
    assert [log.add(), log.add("berlin-syrup"), log.add("plain-syrup")] == ["BER-1", "BER-2", "PLA-1"]
    assert [batch.discard for batch in log.found] == [date(2026, 12, 1), None, None]


def test_added_and_opened_is_one_command() -> None:
    log = Log()
    log.add(is_open=True)
    assert log.states() == {"BER-1": "open"}
    assert log[0].at == log[1].at


def test_a_last_day_before_the_first_is_refused() -> None:
    with pytest.raises(UsageError, match="before it was made"):
        Log().add(discard=date(2026, 11, 24))


def test_opening_emptying_discarding() -> None:
    log = Log()
    log.add(), log.add(), log.add()
    log.do(events.open_batch, "ber-1")
    log += events.open_batch(log, SPECS, "Ber 2", log.stamp(), replaces="BER-1")
    log.do(events.discard, "BER3")
    assert log.states() == {"BER-1": "empty", "BER-2": "open", "BER-3": "discarded"}
    log.do(events.empty, "berry")
    assert log.states()["BER-2"] == "empty"


@pytest.mark.parametrize("act", [events.empty, events.discard, events.open_batch, events.correct])
def test_a_closed_batch_is_left_alone(act: Callable[..., list[LogEntry]]) -> None:
    log = Log()
    log.add()
    log.do(events.empty, "BER-1")
    with pytest.raises(CannotError, match="BER-1 is empty") as caught:
        log.do(act, "BER-1")
    assert "undo" in caught.value.remedy


def test_opening_what_is_open_or_itself() -> None:
    log = Log()
    log.add(is_open=True)
    with pytest.raises(CannotError, match="open already"):
        log.do(events.open_batch, "BER-1")
    log.add()
    with pytest.raises(CannotError, match="cannot replace itself"):
        events.open_batch(log, SPECS, "BER-2", log.stamp(), replaces="BER-2")


def test_corrected_means_to_standard_unless_said_otherwise() -> None:
    log = Log()
    log.add(brix=54.0, mass=2000.0)
    log.do(events.correct, "BER-1")
    assert (log.found[0].brix, log.found[0].verified) == (50.0, False)
    log.do(events.correct, "BER-1", brix=51.0, mass=2200.0)
    assert (log.found[0].brix, log.found[0].mass) == (51.0, 2200.0)
    log.add("lime-juice", brix=None, acid=Quantity(52.0, "g/l"))
    with pytest.raises(CannotError, match="standard of LIM-1"):
        log.do(events.correct, "LIM-1")


def test_a_reading_goes_to_the_batch_it_names() -> None:
    log = Log()
    log.add()
    log += events.reading(log, SPECS, "berry", LogEntry("", "reading", log.stamp().at, brix=49.0, uncertainty=0.3))
    assert (log.found[0].brix, log.found[0].uncertainty) == (49.0, 0.3)


def test_acid_is_logged_for_ingredients_only() -> None:
    log = Log()
    acid = Quantity(9.0, "g/kg")
    with pytest.raises(UsageError, match="only an ingredient's acid"):
        log.add(acid=acid)
    log.add()
    with pytest.raises(UsageError, match="only an ingredient's acid"):
        events.reading(log, SPECS, "BER-1", LogEntry("", "reading", None, acid=acid))


def test_combined_is_a_new_batch_in_use_where_a_part_was() -> None:
    log = Log()
    log.add(brix=52.0, mass=600.0, made=date(2026, 11, 20), is_open=True)
    log.add(brix=49.0, mass=1400.0)
    log += events.combined(log, SPECS, "BER-1", "BER-2", log.stamp())
    assert log.states() == {"BER-1": "empty", "BER-2": "empty", "BER-3": "open"}
    whole = log.found[2]
    assert whole.brix == pytest.approx(49.9)  # WE-69
    assert (whole.made, whole.discard, whole.mass) == (date(2026, 11, 20), date(2026, 11, 26), 2000.0)
    assert (whole.verified, whole.by, whole.parts) == (False, "Ida", ("BER-1", "BER-2"))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("BER-7", 'no batch is called "BER-7"'),
        ("berry", '"berry" may be BER-1, BER-2'),
        ("ber", "may be"),
        ("plain syrup", 'no batch is called "plain syrup"'),
        ("lime", "waits to be opened"),
        ("", "no batch is named"),
        (" ", "no batch is named"),
    ],
)
def test_a_name_that_means_no_one_batch(text: str, said: str) -> None:
    log = Log()
    log.add(), log.add(), log.add("lime-juice", brix=None)
    log.do(events.empty, "LIM-1")
    with pytest.raises(UsageError) as caught:
        log.do(events.open_batch, text)
    assert said in caught.value.message
    assert caught.value.remedy


def test_a_syrup_names_its_batch_where_only_one_is_meant() -> None:
    """One waits, one is open: each command knows which it is about."""
    log = Log()
    log.add(is_open=True), log.add()
    log.do(events.open_batch, "Berry Syrup")
    assert log.states() == {"BER-1": "open", "BER-2": "open"}


def test_many_batches_are_not_all_listed() -> None:
    log = Log()
    for _ in range(9):
        log.add()
    with pytest.raises(UsageError, match="and 3 more"):
        log.do(events.open_batch, "berry")
