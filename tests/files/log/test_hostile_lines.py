"""One hostile line anywhere in a log: every other line counts as before, and the trouble is told at that line."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import example, given, settings
from hypothesis import strategies as st

from balancer.engine.batch.history import batches
from balancer.files.log.batch_log import FILE, LogRead, append_log, read_log
from tests.examples import examples
from tests.files.log import hostile

SOUND = (
    b'- {"batch": "BER-1", "syrup": "berry-syrup", "event": "made", "brix": 46.5, "at": "2026-11-24T12:00:00+00:00"}',
    b'- {"batch": "BER-1", "event": "open", "at": "2026-11-24T13:00:00+00:00"}',
    b'- {"batch": "BER-1", "event": "reading", "brix": 47, "at": "2026-11-24T14:00:00+00:00"}',
)
NOW = datetime.fromisoformat("2026-11-25T18:00:00+00:00")


def read(*lines: bytes) -> LogRead:
    with TemporaryDirectory() as name:
        (Path(name) / FILE).write_bytes(b"".join(line + b"\n" for line in lines))
        return read_log(Path(name), NOW)


WHOLE = read(*SOUND)


@settings(max_examples=examples(150), deadline=None)
@given(hostile.lines, st.integers(0, len(SOUND)))
@example(b'- {"batch": "BER-1", "event": "reading", "brix": ' + b"9" * 310 + b"}", 1)
@example(b'- {"batch": "BER-1", "event": "open", "at": "0001-01-01T00:00:00+14:00"}', 1)
@example(b'- {"batch": "BER-1", "event": "reading", "note": "\\ud800"}', 1)
@example(b"\xff\xfe\x00", 0)
def test_a_hostile_line_harms_only_itself(line: bytes, place: int) -> None:
    """The entries are those of the sound log, and at most one more: what could be made out of that line."""
    log = read(*SOUND[:place], line, *SOUND[place:])
    assert log.unreadable is None
    entries = list(log.entries)
    if len(entries) > len(WHOLE.entries):
        own = entries.pop(place)
        for text in (own.batch, own.liquid, own.by, own.note, *own.refers):
            assert text is None or (text.encode().decode() == text and "\0" not in text)
            assert text is None or len(text) <= 1_000
        for number in (own.brix, own.mass, own.uncertainty):
            assert number is None or 0.0 < number <= 1e6
        for day in (own.made, own.discard, own.at):
            assert day is None or 1970 <= day.year <= 2200
    assert tuple(entries) == WHOLE.entries
    for problem in (*log.problems, *log.ahead):
        assert problem.line == place + 1
        assert problem.column is not None
        assert problem.remedy
        assert len(problem.message) < 500
        problem.message.encode()
    (ours,) = (batch for batch in batches(log.entries) if batch.id == "BER-1")
    assert (ours.state, ours.brix) == ("open", 47.0)


@settings(max_examples=examples(30), deadline=None)
@given(hostile.lines)
def test_after_a_hostile_line_the_log_can_be_added_to(line: bytes) -> None:
    with TemporaryDirectory() as name:
        folder = Path(name)
        (folder / FILE).write_bytes(SOUND[0] + b"\n" + line)
        append_log(folder, lambda _: WHOLE.entries[1:])
        assert [entry for entry in read_log(folder).entries if entry.batch == "BER-1"] == list(WHOLE.entries)
