"""The batch log on disk: what people write in it, what breaks it, and that a broken line harms only itself."""

from __future__ import annotations

import errno
import json
import os
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from filelock import FileLock, Timeout
from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

from balancer.errors import CannotError, Problem
from balancer.files.log.batch_log import FILE, LOCK, LogRead, append_log, read_log
from balancer.models.batch import CAUSES, EVENTS, LogEntry
from balancer.units import Quantity
from tests.examples import examples

NOON = datetime(2026, 11, 25, 12, 0, 0, 1, tzinfo=UTC)
MADE = LogEntry("RAS-1", "made", NOON, liquid="raspberry-syrup", brix=46.5, mass=2000.0, made=NOON.date())
FULL = LogEntry(
    "RAS-2",
    "made",
    NOON,
    liquid="raspberry-syrup",
    brix=46.25,
    uncertainty=0.3,
    cause="boiled",
    mass=2160.5,
    made=date(2026, 11, 25),
    discard=date(2026, 12, 1),
    by="Ida Østby",
    refers=("RAS-1", "BER-1"),
    note='a "quoted" remark: with, commas # and more',
    acid=Quantity(9.0, "g/kg"),
)
SOUND = '- {"batch": "RAS-1", "syrup": "raspberry-syrup", "event": "made", "brix": 46.5}'


def write(folder: Path, *lines: str | bytes) -> Path:
    raw = b"".join((line.encode() if isinstance(line, str) else line) + b"\n" for line in lines)
    (folder / FILE).write_bytes(raw)
    return folder


def read(folder: Path) -> tuple[tuple[LogEntry, ...], tuple[Problem, ...]]:
    """The entries and the problems of a log."""
    log = read_log(folder)
    return log.entries, log.problems


def one_problem(folder: Path, *lines: str | bytes) -> tuple[tuple[LogEntry, ...], Problem]:
    """The entries and the only problem of a log with a sound line, some lines, and a sound line."""
    entries, problems = read(write(folder, SOUND, *lines, '- {"batch": "RAS-1", "event": "open"}'))
    assert [entries[0].event, entries[-1].event] == ["made", "open"]
    (problem,) = problems
    assert problem.path == str(folder / FILE)
    assert problem.line == 2
    assert problem.column is not None
    assert problem.remedy
    return entries[1:-1], problem


# Writing


def test_no_log_is_an_empty_log(tmp_path: Path) -> None:
    assert read(tmp_path) == ((), ())


def test_a_line_is_a_hyphen_and_one_json_object(tmp_path: Path) -> None:
    append_log(tmp_path, lambda _: [FULL])
    (line,) = (tmp_path / FILE).read_text(encoding="utf-8").splitlines()
    assert line.startswith("- {")
    assert json.loads(line[2:]) == {
        "batch": "RAS-2",
        "syrup": "raspberry-syrup",
        "event": "made",
        "brix": 46.25,
        "uncertainty": 0.3,
        "acid": "9 g/kg",
        "cause": "boiled",
        "mass": 2160.5,
        "made": "2026-11-25",
        "discard": "2026-12-01",
        "by": "Ida Østby",
        "at": "2026-11-25T12:00:00.000001+00:00",
        "refers": ["RAS-1", "BER-1"],
        "note": 'a "quoted" remark: with, commas # and more',
    }


WORDS = st.text(st.characters(blacklist_categories=["Cs"], blacklist_characters="\0"), min_size=1, max_size=12).map(
    lambda text: " ".join(text.split())
)  # as read: runs of spaces are one
WORD = WORDS.filter(bool)
ENTRIES = st.builds(
    LogEntry,
    WORD,
    st.sampled_from(EVENTS),
    st.datetimes(datetime(1990, 1, 1), datetime(2100, 1, 1), timezones=st.just(UTC)),
    liquid=WORD,
    brix=st.none() | st.floats(0.001, 85),
    uncertainty=st.none() | st.floats(0.001, 20),
    cause=st.sampled_from([None, *CAUSES]),
    mass=st.none() | st.floats(1e-3, 1e6),
    made=st.none() | st.dates(date(1970, 1, 1), date(2200, 12, 31)),
    discard=st.none() | st.dates(date(1970, 1, 1), date(2200, 12, 31)),
    by=st.none() | WORD,
    refers=st.lists(WORD, min_size=1, max_size=3).map(tuple),
    note=st.none() | WORD,
    acid=st.none() | st.builds(Quantity, st.floats(0.001, 1600), st.sampled_from(["g/l", "g/kg"])),
)


@settings(max_examples=examples(40))  # the YAML parser in Python takes its time
@given(st.lists(ENTRIES, min_size=1, max_size=4, unique_by=lambda entry: entry.at))
def test_what_is_written_reads_back_and_is_yaml(entries: list[LogEntry]) -> None:
    """By our reader, by the standard library's JSON, and by a YAML parser that knows nothing of logs."""
    from tempfile import TemporaryDirectory  # noqa: PLC0415 - a fixture would be shared by all examples

    with TemporaryDirectory() as name:
        folder = Path(name)
        written = append_log(folder, lambda _: entries)
        found, _ = read(folder)
        assert list(found) == list(written) == entries
        text = (folder / FILE).read_bytes().decode()
        by_line = [json.loads(line[2:]) for line in text.split("\n")[:-1]]
        by_yaml = YAML(typ="safe", pure=True).load(text)
        assert [item["batch"] for item in by_yaml] == [item["batch"] for item in by_line] == [e.batch for e in entries]
        assert [item.get("note") for item in by_yaml] == [entry.note for entry in entries]


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({"brix": 1e-9}, "cannot be right"),
        ({"mass": 2e6}, "cannot be right"),
        ({"discard": date(2201, 1, 1)}, "not in the years 1970 to 2200"),
        ({"note": "x" * 1001}, "goes on for 1,001 letters"),
    ],
)
def test_nothing_is_written_that_could_not_be_read_again(tmp_path: Path, keys: dict[str, Any], said: str) -> None:
    with pytest.raises(CannotError, match=said):
        append_log(tmp_path, lambda _: [MADE, replace(MADE, batch="RAS-2", **keys)])
    assert not (tmp_path / FILE).exists()


def test_half_a_character_from_the_command_line_is_replaced(tmp_path: Path) -> None:
    """What a terminal passes on that is not UTF-8 arrives as a lone surrogate, which no file can hold."""
    append_log(tmp_path, lambda _: [LogEntry("RAS-1", "made", NOON, liquid="raspberry-syrup", by="Zo\udceb")])
    entries, problems = read(tmp_path)
    assert (entries[0].by, problems) == ("Zo\ufffd", ())


def test_remarks_are_kept_on_one_line_and_empty_ones_not_at_all(tmp_path: Path) -> None:
    append_log(tmp_path, lambda _: [LogEntry("A-1", "made", NOON, liquid="a", by="  ", note="two\nlines  here\t")])
    entries, problems = read(tmp_path)
    assert (entries[0].by, entries[0].note, problems) == (None, "two lines here", ())


def test_a_command_gets_a_moment_of_its_own(tmp_path: Path) -> None:
    """A clock that stands still, or goes back, must not make one undo take two commands."""
    for _ in range(3):
        written = append_log(tmp_path, lambda _: [MADE, LogEntry("RAS-1", "open", NOON)])
        assert written[0].at == written[1].at
    entries, _ = read(tmp_path)
    assert len({entry.at for entry in entries}) == 3
    assert [entry.at for entry in entries[::2]] == [NOON + timedelta(microseconds=count) for count in range(3)]


def test_the_ids_are_chosen_from_the_log_as_it_is_under_the_lock(tmp_path: Path) -> None:
    append_log(tmp_path, lambda _: [MADE])
    seen: list[LogEntry] = []

    def make(log: LogRead) -> list[LogEntry]:
        with pytest.raises(Timeout):
            FileLock(str(tmp_path / LOCK)).acquire(timeout=0)
        seen.extend(log.entries)
        return []

    append_log(tmp_path, make)
    assert tuple(seen) == read_log(tmp_path).entries != ()


def test_nothing_to_add_leaves_no_file(tmp_path: Path) -> None:
    assert append_log(tmp_path, lambda _: []) == ()
    assert not (tmp_path / FILE).exists()


def test_what_was_there_is_never_rewritten(tmp_path: Path) -> None:
    """Comments, blank lines, hand-made spacing, Windows line ends and broken lines stay to the byte."""
    before = (
        b"\xef\xbb\xbf# ours\r\n\r\n-   {batch: RAS-1, syrup: raspberry-syrup, event: made}   # tape\r\nrubbish\xff\n"
    )
    (tmp_path / FILE).write_bytes(before)
    append_log(tmp_path, lambda _: [LogEntry("RAS-1", "open", NOON)])
    after = (tmp_path / FILE).read_bytes()
    assert after.startswith(before)
    assert after.count(b"\n") == before.count(b"\n") + 1


# Reading what people write


@pytest.mark.parametrize(
    "line",
    [
        "- {batch: RAS-1, event: reading, brix: 47.5}",
        "-  { batch: RAS-1 , event: Reading, brix: 47.5 °Bx }   # read twice",
        '- {"batch":"RAS-1","event":"reading","brix":"47,5 °Bx"}',
        '- {batch: RAS-1, event: reading, brix: "47,5"}',
        "- {batch: 'RAS-1', event: reading, brix: 47½ °Bx, note: , by: ~}",
        '- {"batch": "RAS-1", "event": "reading", "brix": 47.5, "note": "", "by": " "}',
        '  - {"batch": "RAS-1", "event": "reading", "brix": 4.75e1, "mass": null}',
        "- {batch: RAS-1, event: reading, brix: 4.75e1}",
    ],
)
def test_a_line_by_hand_means_the_same(tmp_path: Path, line: str) -> None:
    entries, problems = read(write(tmp_path, SOUND, line))
    assert problems == ()
    assert entries[1] == LogEntry("RAS-1", "reading", None, brix=47.5)


@pytest.mark.parametrize(("text", "grams"), [("2 kg", 2000.0), ("2,5kg", 2500.0), ("800 g", 800.0), ("900", 900.0)])
def test_masses_with_units(tmp_path: Path, text: str, grams: float) -> None:
    entries, problems = read(write(tmp_path, f'- {{"batch": "A-1", "syrup": "a", "event": "made", "mass": "{text}"}}'))
    assert (entries[0].mass, problems) == (grams, ())


def test_dates_and_moments_by_hand(tmp_path: Path) -> None:
    line = (
        '- {batch: RAS-1, syrup: raspberry-syrup, event: made, made: 25.11.2026, at: "2026-11-25T12:00Z", refers: A-1}'
    )
    entries, _ = read(write(tmp_path, line))
    assert (entries[0].made, entries[0].at, entries[0].refers) == (NOON.date(), NOON.replace(microsecond=0), ("A-1",))


def test_comments_blank_lines_and_document_marks_are_no_entries(tmp_path: Path) -> None:
    assert read(write(tmp_path, "# ours", "", "   ", "---", SOUND, "  # more", "...")) == read(write(tmp_path, SOUND))


# Reading what is broken


@pytest.mark.parametrize(
    ("line", "code", "column", "said"),
    [
        ('- {"batch": "RAS-12", "ev', "torn-line", 25, "breaks off"),
        ("- {", "torn-line", 3, "breaks off"),
        ("-", "shape", 1, "no entry"),
        ("rubbish", "shape", 1, "no entry"),
        ("- rubbish", "shape", 1, "no entry"),
        ("- [batch, event]", "shape", 1, "no entry"),
        ("batch: RAS-1", "shape", 1, "one line"),
        ('- {"batch": "RAS-1", "event": "opn"}', "choice", 31, '"opn" is no event'),
        ('- {"batch": "RAS-1", "event": ["open"]}', "shape", 31, "one text"),
        ('- {"event": "open"}', "missing-key", 3, '"batch" is missing'),
        ('- {"batch": "", "event": "open"}', "missing-key", 3, '"batch" is missing'),
        ("- {batch: , event: open}", "missing-key", 3, '"batch" is missing'),
        ('- {"batch": "RAS-1"}', "missing-key", 3, '"event" is missing'),
        ('- {"batch": "RAS-1", "evnt": "open"}', "unknown-key", 22, 'unknown key "evnt"'),
        ('- {"batch": "RAS-9", "event": "made"}', "missing-key", 3, '"syrup" is missing'),
        ('- {"batch": "RAS-1", "event": "undo"}', "missing-key", 3, '"refers" is missing'),
        ('- {"batch": "RAS-9", "event": "open"}', "log", 14, 'no line above says that "RAS-9" was made'),
        ('- {"batch": "RAS-1", "event": "made", "syrup": "a"}', "log", 14, "made already"),
        ("- {batch: RAS-1, event: open, at: 2026-11-25T18:04:05}", "time-quotes", 35, "needs quotes"),
        (b'- {"batch": "RAS-\xff", "event": "open"}', "encoding", 18, "the line is not UTF-8"),
        (b"\x00\x00\x00\x00", "torn-line", 1, "zero bytes"),
        ('- {"batch": ' + "[" * 100_000 + "}", "too-deep", None, "nested"),
        ("- {batch: &a RAS-1, event: open}", "anchor", 11, "&a"),
    ],
    ids=lambda value: value[:30] if isinstance(value, str) else None,
)  # fmt: skip
def test_a_broken_line_harms_only_itself(
    tmp_path: Path, line: str | bytes, code: str, column: int | None, said: str
) -> None:
    _, problem = one_problem(tmp_path, line)
    assert problem.code == code
    assert said in problem.message
    assert column is None or problem.column == column
    if isinstance(line, str) and len(line) < 200:
        assert problem.excerpt == line


@pytest.mark.parametrize(
    ("line", "code", "column", "said"),
    [
        ('- {"batch": "RAS-1", "event": "correct", "mass": "2.1 l"}', "unit-kind", 50, '"2.1 l" is a volume'),
        ('- {"batch": "RAS-1", "event": "correct", "mass": "2 °Bx"}', "unit-kind", 50, "does not fit"),
        ('- {"batch": "RAS-1", "event": "correct", "mass": -3}', "value", 50, '"-3" cannot be right'),
        ('- {"batch": "RAS-1", "event": "reading", "brix": 1e999}', "value", 50, "cannot be right"),
        ('- {"batch": "RAS-1", "event": "reading", "brix": NaN}', "number", 50, '"NaN"'),
        ('- {"batch": "RAS-1", "event": "reading", "brix": true}', "number", 50, '"true"'),
        ('- {"batch": "RAS-1", "event": "reading", "brix": {"a": 1}}', "shape", 50, "one value"),
        ('- {"batch": "RAS-1", "event": "reading", "brix": "0"}', "value", 50, "above 0"),
        ('- {"batch": "RAS-1", "event": "reading", "acid": "5 %"}', "value", 50, "no acid content"),
        ('- {"batch": "RAS-1", "event": "reading", "colour": 1}', "unknown-key", 42, 'unknown key "colour"'),
        ('- {"batch": "RAS-1", "event": "reading", "made": "04/05/2026"}', "date-ambiguous", 50, "or 2026-05-04"),
        ('- {"batch": "RAS-1", "event": "reading", "cause": "hail"}', "choice", 51, '"hail" is no cause'),
        ('- {"batch": "RAS-1", "event": "reading", "at": "soon"}', "time", 48, '"soon" is not a date with a time'),
        ('- {"batch": "RAS-1", "batch": "RAS-1", "event": "reading"}', "duplicate-key", 22, "written twice"),
        ("- {batch: RAS-1, event: reading, note: 46,5}", "decimal-comma", 40, "46,5"),
    ],
)  # fmt: skip
def test_a_wrong_value_is_left_out_and_the_rest_of_its_line_counts(
    tmp_path: Path, line: str, code: str, column: int, said: str
) -> None:
    (entry,), problem = one_problem(tmp_path, line)
    assert (problem.code, problem.column, problem.excerpt) == (code, column, line)
    assert said in problem.message
    assert (entry.batch, entry.brix, entry.mass, entry.cause, entry.at) == ("RAS-1", None, None, None, None)


def test_an_entry_over_several_lines_is_told_once(tmp_path: Path) -> None:
    _, problem = one_problem(tmp_path, "- batch: RAS-1", "  event: empty", "  note: late")
    assert problem.code == "shape"
    assert "one line" in problem.message


def test_every_cut_of_the_last_line_leaves_the_rest(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Cut after each byte: at most that line is lost, and the next entry starts a line of its own."""
    monkeypatch.setattr("balancer.files.save.os.fsync", lambda _: None)
    append_log(tmp_path, lambda _: [MADE])
    whole = (tmp_path / FILE).read_bytes()
    append_log(tmp_path, lambda _: [LogEntry("RAS-1", "reading", NOON, brix=46.0, by="Øyvind", note="cold")])
    both = (tmp_path / FILE).read_bytes()
    for end in range(len(whole), len(both) + 1):
        (tmp_path / FILE).write_bytes(both[:end])
        entries, problems = read(tmp_path)
        is_whole = end >= len(both) - 1  # only the line end is missing
        assert len(entries) == 1 + is_whole, end
        assert [problem.line for problem in problems] == [2] * (not is_whole and end > len(whole)), end
        append_log(tmp_path, lambda _: [LogEntry("RAS-1", "open", NOON)])
        entries, problems = read(tmp_path)
        assert [entry.event for entry in entries] == ["made", *["reading"] * is_whole, "open"], end
        assert len(problems) == (not is_whole and end > len(whole)), end


def test_ids_in_broken_lines_are_not_given_again(tmp_path: Path) -> None:
    write(tmp_path, SOUND, '- {"batch": "RAS-12", "syr', "- {batch: RAS-13, event: mde}", b'\x00- {"batch": "RAS-14"')
    assert read_log(tmp_path).lost == ("RAS-12", "RAS-13", "RAS-14")


@given(st.binary(max_size=60) | st.text("-{}[]\":,# \n'batchevno&*!|>%@", max_size=60).map(str.encode))
def test_any_bytes_are_read(raw: bytes) -> None:
    """Whatever stands there, a sound line before and after it is an entry."""
    from tempfile import TemporaryDirectory  # noqa: PLC0415 - a fixture would be shared by all examples

    with TemporaryDirectory() as name:
        folder = Path(name)
        sound = SOUND.encode()
        (folder / FILE).write_bytes(sound + b"\n" + raw + b"\n" + sound.replace(b"RAS-1", b"RAS-2") + b"\n")
        entries, problems = read(folder)
        assert entries[0].batch == "RAS-1"
        assert entries[-1].batch == "RAS-2"
        assert all(problem.line and problem.column and problem.remedy for problem in problems)


# When the disk does not do its part


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(CannotError) as caught:
        append_log(tmp_path / "gone", lambda _: [MADE])
    assert caught.value.remedy


def test_a_second_writer_waits_and_then_says_so(tmp_path: Path) -> None:
    with FileLock(str(tmp_path / LOCK)), pytest.raises(CannotError, match="another command") as caught:
        append_log(tmp_path, lambda _: [MADE], seconds=0.05)
    assert caught.value.code == "log-busy"
    assert not (tmp_path / FILE).exists()


@pytest.mark.parametrize("existing", [b"", SOUND.encode() + b"\n"])
@pytest.mark.parametrize("fails", ["write", "short", "fsync"])
def test_what_fails_is_taken_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, existing: bytes, fails: str) -> None:
    """A full disk before, within and after the write: the file is as it was, and not there if it was not."""
    if existing:
        (tmp_path / FILE).write_bytes(existing)
    real = os.write

    def no_room(*_: object) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    def some(descriptor: int, data: bytes) -> int:
        return real(descriptor, data[:30])

    name, how = {"write": ("write", no_room), "short": ("write", some), "fsync": ("fsync", no_room)}[fails]
    with monkeypatch.context() as patched:
        patched.setattr(f"balancer.files.save.os.{name}", how)
        with pytest.raises(CannotError, match="No space left") as caught:
            append_log(tmp_path, lambda _: [MADE])
    assert caught.value.code == "unwritable"
    assert "make room" in caught.value.remedy
    assert (tmp_path / FILE).exists() == bool(existing)
    assert not existing or (tmp_path / FILE).read_bytes() == existing


def test_it_is_on_the_disk_before_it_is_acknowledged(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One write, then the file is synced, then (once) the folder that names it."""
    calls: list[str] = []
    real_write, real_fsync = os.write, os.fsync

    def write_(descriptor: int, data: bytes) -> int:
        calls.append(f"write {data.count(b'batch')}")
        return real_write(descriptor, data)

    def fsync(descriptor: int) -> None:
        is_folder = os.path.isdir(f"/proc/self/fd/{descriptor}") if os.path.isdir("/proc/self/fd") else False
        calls.append("sync folder" if is_folder else "sync file")
        real_fsync(descriptor)

    monkeypatch.setattr("balancer.files.save.os.write", write_)
    monkeypatch.setattr("balancer.files.save.os.fsync", fsync)
    for _ in range(2):
        append_log(tmp_path, lambda _: [MADE, LogEntry("RAS-1", "open", NOON)])
    first = [call for call in calls if call != "sync folder"]
    assert first == ["write 2", "sync file", "write 2", "sync file"]
    if os.path.isdir("/proc/self/fd"):
        assert calls == ["write 2", "sync file", "sync folder", "write 2", "sync file"]


def json_line(number: int) -> str:
    """A line as the program writes it."""
    at = (NOON + timedelta(seconds=number)).isoformat()
    return (
        f'- {{"batch": "RAS-{number}", "syrup": "raspberry-syrup", "event": "made", "brix": 46.5, "uncertainty": 0.3, '
        f'"mass": 2000, "made": "2026-11-25", "discard": "2026-12-01", "by": "Ida", "at": "{at}"}}'
    )


def test_sound_lines_never_meet_the_yaml_parser(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is fifty times slower; tests/benchmarks/reading.py has the figures."""
    write(tmp_path, *[json_line(number) for number in range(50)])
    monkeypatch.setattr("balancer.files.log.batch_log.tree.read_document", None)
    entries, problems = read(tmp_path)
    assert (len(entries), problems) == (50, ())
