"""A log out of reach is no empty log, and what stands in it from another clock is told."""

from __future__ import annotations

import errno
import os
import threading
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from filelock import FileLock

from balancer.engine.batch.history import CLOCKS_APART
from balancer.engine.batch.ids import next_batch_id
from balancer.errors import CannotError, ProblemsError
from balancer.files import lock as lock_module
from balancer.files.lock import by_itself
from balancer.files.log.batch_log import FILE, LOCK, LogRead, append_log, read_log
from balancer.files.log.log_line import entry_line
from balancer.models.batch import LogEntry

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
MADE = LogEntry("RAS-1", "made", NOON, liquid="raspberry-syrup", brix=46.5)
OPEN = LogEntry("RAS-1", "open", NOON + timedelta(hours=1))
BOTH = b"".join(map(entry_line, (MADE, OPEN)))


def nowhere(path: Path) -> None:
    path.symlink_to(path.parent / "gone" / "batches.yaml")


def circle(path: Path) -> None:
    path.symlink_to(path)


def folder(path: Path) -> None:
    path.mkdir()


def pipe(path: Path) -> None:
    os.mkfifo(path)


def device(path: Path) -> None:
    path.symlink_to("/dev/zero")


def utf16(path: Path) -> None:
    path.write_bytes(BOTH.decode().encode("utf-16"))


def utf16_without_mark(path: Path) -> None:
    path.write_bytes(BOTH.decode().encode("utf-16-be"))


WAYS: list[tuple[Callable[[Path], None], str]] = [
    (nowhere, "where nothing is"),
    (circle, "round in a circle"),
    (folder, "it is a folder"),
    (pipe, "it is a pipe"),
    (device, "it is a device"),
    (utf16, "UTF-16"),
    (utf16_without_mark, "UTF-16"),
]


def in_time(work: Callable[[], LogRead]) -> LogRead:
    """What a work returns, unless it waits for something that never comes."""
    done: list[LogRead] = []
    thread = threading.Thread(target=lambda: done.append(work()), daemon=True)
    thread.start()
    thread.join(10.0)
    assert done, "it hangs"
    return done[0]


@pytest.mark.skipif(os.name != "posix", reason="such things have no names elsewhere")
@pytest.mark.parametrize(("make", "said"), WAYS, ids=[make.__name__ for make, _ in WAYS])
def test_out_of_reach_is_not_empty(tmp_path: Path, make: Callable[[Path], None], said: str) -> None:
    """Taken as empty, the next batch would get an id that is on a bottle already."""
    make(tmp_path / FILE)
    log = in_time(lambda: read_log(tmp_path))
    assert log.unreadable is not None
    assert (log.problems, log.entries, log.lost) == ((log.unreadable,), (), ())
    assert log.unreadable.message.startswith("what is open is unknown: ")
    assert said in log.unreadable.message
    assert (log.unreadable.path, bool(log.unreadable.remedy)) == (str(tmp_path / FILE), True)
    before = (tmp_path / FILE).read_bytes() if make in (utf16, utf16_without_mark) else None
    called: list[LogRead] = []
    with pytest.raises(ProblemsError) as caught:
        append_log(tmp_path, lambda log: called.append(log) or [MADE])  # type: ignore[func-returns-value]
    assert (caught.value.problems(), called) == ((log.unreadable,), [])
    assert before is None or (tmp_path / FILE).read_bytes() == before
    assert not (tmp_path / "gone").exists()


def test_a_log_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / FILE).write_bytes(BOTH)

    def refuse(*_: object) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("balancer.files.log.batch_log.read_bytes", refuse)
    log = read_log(tmp_path)
    assert log.unreadable is not None
    assert "Permission denied" in log.unreadable.message
    with pytest.raises(ProblemsError):
        append_log(tmp_path, lambda _: [MADE])


def test_an_odd_first_line_is_no_utf16(tmp_path: Path) -> None:
    """What starts like UTF-16 and goes on in lines of a log harms only its own line."""
    for first in (b"\xff\xfe- x", b"\xfe\xff", b"a\x00b\x00", b"\x00a\x00b", b"\x00\x00\x00\x00"):
        (tmp_path / FILE).write_bytes(first + b"\n" + BOTH)
        log = read_log(tmp_path)
        assert (log.entries, log.unreadable) == ((MADE, OPEN), None), first
        assert {problem.line for problem in log.problems} == {1}, first


def test_two_houses_that_share_a_log_share_its_lock(tmp_path: Path) -> None:
    for name in ("one", "other"):
        (tmp_path / name).mkdir()
    (tmp_path / "one" / FILE).write_bytes(BOTH)
    (tmp_path / "other" / FILE).symlink_to(tmp_path / "one" / FILE)
    with FileLock(str(tmp_path / "one" / LOCK)), pytest.raises(CannotError, match="another command"):
        append_log(tmp_path / "other", lambda _: [MADE], seconds=0.05)
    append_log(tmp_path / "other", lambda log: [LogEntry(log.entries[0].batch, "empty", NOON + timedelta(hours=2))])
    assert [entry.event for entry in read_log(tmp_path / "one").entries] == ["made", "open", "empty"]
    assert (tmp_path / "other" / FILE).is_symlink()


@pytest.mark.parametrize("link", [os.link, os.symlink])
def test_two_houses_that_share_a_log_never_give_one_id_twice(
    tmp_path: Path, link: Callable[[Path, Path], None]
) -> None:
    """Whatever kind of link: while one decides on an id, the other waits, and then sees it."""
    for name in ("one", "other"):
        (tmp_path / name).mkdir()
    (tmp_path / "one" / FILE).write_bytes(BOTH)
    link(tmp_path / "one" / FILE, tmp_path / "other" / FILE)

    def made(log: LogRead) -> list[LogEntry]:
        identity = next_batch_id(log.entries, "raspberry syrup")
        return [LogEntry(identity, "made", NOON + timedelta(hours=3), liquid="raspberry-syrup")]

    def slowly(log: LogRead) -> list[LogEntry]:
        entries = made(log)
        with pytest.raises(CannotError, match="another command"):
            append_log(tmp_path / "other", made, seconds=0.05)
        return entries

    append_log(tmp_path / "one", slowly)
    append_log(tmp_path / "other", made)
    for name in ("one", "other"):
        ids = [entry.batch for entry in read_log(tmp_path / name).entries if entry.event == "made"]
        assert ids == ["RAS-1", "RAS-2", "RAS-3"]


def test_a_log_that_was_replaced_while_it_was_waited_for_is_the_one_that_is_held(tmp_path: Path) -> None:
    """git and editors put another file in its place: who holds the old one holds nothing."""
    log = tmp_path / FILE
    log.write_bytes(BOTH)
    with by_itself(log, "the batch log", 0.05):
        (tmp_path / "new").write_bytes(BOTH)
        (tmp_path / "new").replace(log)
        with by_itself(log, "the batch log", 0.05), pytest.raises(CannotError, match="another command"):  # noqa: SIM117
            with by_itself(log, "the batch log", 0.05):
                pass


def test_where_files_cannot_be_held_the_lock_beside_them_is_enough(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As on Windows, and on shared disks that lock nothing."""
    (tmp_path / FILE).write_bytes(BOTH)
    with monkeypatch.context() as patched:
        patched.setattr(lock_module, "fcntl", None)
        append_log(tmp_path, lambda _: [LogEntry("RAS-1", "empty", NOON + timedelta(hours=2))])

    def no_locks(_descriptor: int, _how: int) -> None:
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr("fcntl.flock", no_locks)
    with by_itself(tmp_path / FILE, "the batch log", 0.05):
        pass
    assert [entry.event for entry in read_log(tmp_path).entries] == ["made", "open", "empty"]


def test_what_is_from_the_future_counts_and_is_told_at_its_line(tmp_path: Path) -> None:
    (tmp_path / FILE).write_bytes(b"# ours\n" + BOTH)
    log = read_log(tmp_path, NOON)
    assert (log.entries, log.problems, log.future) == ((MADE, OPEN), (), (OPEN,))
    (told,) = log.ahead
    assert (told.code, told.path, told.line) == ("future", str(tmp_path / FILE), 3)
    assert told.excerpt is not None
    assert told.column is not None
    assert told.excerpt[told.column - 1 :].startswith("2026-11-25T13:00")
    assert "RAS-1 open is from 2026-11-25 13:00+00:00, which is still to come" in told.message
    assert "is the clock of the device right" in told.remedy
    assert read_log(tmp_path).ahead == ()


@pytest.mark.parametrize(
    ("ahead", "told"), [(-CLOCKS_APART, False), (CLOCKS_APART, False), (CLOCKS_APART + timedelta(seconds=1), True)]
)
def test_clocks_may_differ_by_minutes(tmp_path: Path, ahead: timedelta, told: bool) -> None:
    (tmp_path / FILE).write_bytes(BOTH)
    assert bool(read_log(tmp_path, NOON + timedelta(hours=1) - ahead).future) == told


def test_many_from_the_future_are_told_once(tmp_path: Path) -> None:
    """A clock a year ahead would fill the screen of every shift."""
    (tmp_path / FILE).write_bytes(BOTH)
    (told,) = read_log(tmp_path, NOON - timedelta(days=1)).ahead
    assert "and 1 more of the log" in told.message
    assert told.line == 1


def test_what_was_taken_back_is_not_told(tmp_path: Path) -> None:
    (tmp_path / FILE).write_bytes(BOTH)
    assert OPEN.at is not None
    undo = LogEntry("RAS-1", "undo", NOON, refers=(OPEN.at.isoformat(),))
    append_log(tmp_path, lambda _: [undo])
    assert read_log(tmp_path, NOON).ahead == ()
