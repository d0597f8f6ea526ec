"""batches.yaml: one line an entry, `- ` and a JSON object, appended and never rewritten.

A line that is not JSON is read as YAML, because people write here too. A line that is broken is told
and passed over; it harms no other line.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, Final

from balancer.engine.batch.history import counting_entries, from_future, history
from balancer.engine.batch.ids import free_id
from balancer.engine.batch.merged import Twin, in_time, told_apart
from balancer.errors import CannotError, Problem, ProblemsError
from balancer.files.lock import acquire, by_itself, lock_of
from balancer.files.log.log_line import STARTS, entry_from_json, entry_line, entry_of, fields_of, missing_key
from balancer.files.reading import is_there, read_bytes, unreadable
from balancer.files.save import append
from balancer.files.sizes import LOG
from balancer.files.yaml import tree
from balancer.models.batch import LogEntry
from balancer.models.lengths import refuse_long

FILE: Final = "batches.yaml"
LOCK: Final = ".batches.lock"
LOCK_SECONDS: Final = 10.0

_EMPTY: Final = re.compile(rb"\s*(#.*|---\s*|\.\.\.\s*)?")
_MERGE_MARK: Final = re.compile(rb"(<{7}|\|{7}|={7}|>{7})( .*)?")
_BATCH: Final = re.compile(r"""["']?batch["']?\s*:\s*["']?([^"',}]+)""")
_BARE_TIME: Final = re.compile(r"[^\"'0-9]([0-9]{4}-[0-9]{2}-[0-9]{2}[ T][0-9]{2}:[^\s,}]+)")
_LONGEST_SHOWN: Final = 400
_RETYPE: Final = "type the line again if you know what it said, or delete it; every other line counts"
_NUL: Final = b"\x00"
_UTF16: Final = (b"\xff\xfe", b"\xfe\xff")
_UTF8_MARK: Final = b"\xef\xbb\xbf"

_UNKNOWN: Final = "what is open is unknown: "


@dataclass(frozen=True, slots=True)
class LogRead:
    """What the log of a folder says.

    entries     in the order of their lines; what happened to one batch in the order in which it happened
    problems    those of its lines; where nothing could be read, `unreadable` alone
    lost        ids in lines too broken to be entries: their tape may be on a bottle all the same
    unreadable  why nothing could be read. What is open is unknown then, and nothing may be answered from the log
    future      entries that count and are from after now; they are told, in `ahead`, and touch no answer
    """

    path: str
    entries: tuple[LogEntry, ...] = ()
    problems: tuple[Problem, ...] = ()
    lost: tuple[str, ...] = ()
    unreadable: Problem | None = None
    future: tuple[LogEntry, ...] = ()
    ahead: tuple[Problem, ...] = ()
    _lines: Sequence[bytes] = ()
    _numbers: Sequence[int] = ()

    def live(self) -> Iterator[tuple[int, LogEntry]]:
        """The entries that no undo takes away, as they count, each with its index."""
        counting = counting_entries(self.entries)
        return ((index, entry) for index, entry in enumerate(counting) if entry is not None)

    def line(self, index: int) -> int:
        """The line of one of the entries."""
        return self._numbers[index]

    def problem(self, index: int, word: str, code: str, message: str, remedy: str) -> Problem:
        """A problem of one of the entries, at the word of its line that is meant."""
        number = self._numbers[index]
        text = self._lines[number - 1].decode(errors="replace")
        column = max(text.find(word), 0) + 1
        width = len(word) if word and word in text else 1
        return _shortened(Problem(code, message, remedy, self.path, number, column, text, width), text)


Make = Callable[[LogRead], Sequence[LogEntry]]


def read_log(folder: Path, now: datetime | None = None) -> LogRead:
    """The log of a folder. One that is not there is empty; nothing is raised.

    now  the moment after which an entry is told to be from the future; without it nothing is told, and what happened
         to a batch is in the order of the lines
    """
    path = folder / FILE
    try:
        raw = read_bytes(path, LOG) if is_there(path) else b""
    except OSError as error:
        return _unknown(unreadable(path, error, "the batch log", message=_UNKNOWN))
    if _is_utf16(raw):
        told = f"{_UNKNOWN}the batch log is UTF-16 text, not UTF-8"
        return _unknown(Problem("encoding", told, "save it again as UTF-8 (in the editor: Save as)", str(path)))
    lines = _Lines(str(path))
    lines.read(raw)
    entries, twins = told_apart(lines.entries, lines.numbers)
    order = in_time(entries, now) if now is not None else range(len(entries))
    log = LogRead(
        lines.path,
        tuple(entries[place] for place in order),
        lost=tuple(lines.lost),
        _lines=lines.lines,
        _numbers=[lines.numbers[place] for place in order],
    )
    faults = [
        log.problem(fault.place, fault.word, "log", fault.message, fault.remedy)
        for fault in history(log.entries).faults
    ]
    faults += _twin_problems(log, twins)
    problems = sorted([*lines.problems, *faults], key=lambda problem: (problem.line or 0, problem.column or 0))
    ahead = from_future(log.entries, now) if now is not None else ()
    return replace(
        log,
        problems=tuple(problems),
        future=tuple(log.entries[index] for index in ahead),
        ahead=(_ahead_problem(log, ahead),) if ahead else (),
    )


def append_log(
    folder: Path, make: Make, *, seconds: float = LOCK_SECONDS, now: datetime | None = None
) -> tuple[LogEntry, ...]:
    """Append entries to a folder's log, and return them once they are safely on the disk.

    make     gets the log as it stands and returns the entries to add; nobody else can write meanwhile,
             so an id or a state that it finds is still true when its entries are written
    seconds  how long to wait for another writer
    now      as in `read_log`
    The `at` of the entries is moved on by microseconds where the log has it already. Either all entries
    are written or none.
    Raises CannotError when the log cannot be locked or written, or an entry could not be read again; UsageError for
    what is longer than it may be; ProblemsError
    when the log cannot be read, because an id could be given twice; and whatever make raises.
    """
    path = folder / FILE
    with _locked(folder, seconds):
        log = read_log(folder, now)
        if log.unreadable:
            raise ProblemsError([log.unreadable])
        entries = _unique_times(make(log), log.entries)
        for entry in entries:
            refuse_long("by", entry.by)
            refuse_long("note", entry.note)
        if entries:
            data = b"".join(map(entry_line, entries))
            written = _Lines(str(path))
            written.read(data)
            for problem in written.problems:  # nothing is written that could not be read again
                raise CannotError(problem.code, problem.message, problem.remedy)
            try:
                append(path, data)
            except OSError as error:
                raise _unwritable(path, error) from None
    return entries


def _unknown(problem: Problem) -> LogRead:
    return LogRead(problem.path or "", problems=(problem,), unreadable=problem)


def _twin_problems(log: LogRead, twins: Sequence[Twin]) -> list[Problem]:
    """What to do about two batches with one id: which lines are whose, and a number that is free."""
    found: list[Problem] = []
    given: list[str] = [*log.lost]
    for twin in twins:
        given.append(free_id(log.entries, twin.tape, given))
        numbers = [str(line) for line in twin.others]
        lines = f"{', '.join(numbers[:-1])} and {numbers[-1]}" if len(numbers) > 1 else "".join(numbers)
        below = f"; line{'s' if len(numbers) > 1 else ''} {lines} below count{'' if len(numbers) > 1 else 's'} for it"
        told = (
            f"{twin.tape} was made already, in line {twin.first}: two devices gave one id. "
            f"Both batches are kept, this one as {log.entries[twin.place].batch}{below if numbers else ''}"
        )
        remedy = (
            f"look at both tapes: write {given[-1]} in place of {twin.tape} on one, and in the lines that are its own"
        )
        found.append(log.problem(twin.place, twin.tape, "log", told, remedy))
    return found


def _ahead_problem(log: LogRead, ahead: Sequence[int]) -> Problem:
    """The first entry from the future at its line; a clock that is wrong makes many."""
    first = log.entries[ahead[0]]
    moment = first.at.isoformat(" ", "minutes") if first.at else ""
    more = f", and {len(ahead) - 1} more of the log" if len(ahead) > 1 else ""
    told = f"{first.batch} {first.event} is from {moment}, which is still to come{more}: it counts all the same"
    word = first.at.isoformat()[:10] if first.at else ""
    return log.problem(
        ahead[0], word, "future", told, "is the clock of the device right that logged it, and of this one?"
    )


def _is_utf16(raw: bytes) -> bool:
    """Whether a log is UTF-16 text, by its mark or by its zeros, and not one with a line torn into zeros."""
    first, second, third, fourth = (byte == 0 for byte in (raw[:4] + b"....")[:4])
    if not raw.startswith(_UTF16) and not (first != second and first == third and second == fourth):
        return False
    return all(_NUL in line for line in raw.splitlines() if line.strip(b"\x00"))


@contextmanager
def _locked(folder: Path, seconds: float) -> Iterator[None]:
    """Hold the lock of the folder's log, beside it and on what it really is."""
    if not folder.is_dir():  # or it would be made
        raise CannotError("no-folder", f'there is no folder "{folder}"', "name yours with --specs DIR")
    log = folder / FILE
    path = lock_of(log, LOCK)
    try:
        held = acquire(path, "the batch log", seconds)
    except (OSError, NotImplementedError) as error:
        raise _unwritable(path, error) from None
    with held, by_itself(log, "the batch log", seconds):
        yield


def _unwritable(path: Path, error: Exception) -> CannotError:
    reason = (error.strerror if isinstance(error, OSError) else None) or str(error)
    return CannotError(
        "unwritable", f'"{path}" cannot be written: {reason}; nothing was logged', "check its permissions and make room"
    )


def _unique_times(entries: Sequence[LogEntry], logged: Sequence[LogEntry]) -> tuple[LogEntry, ...]:
    """The entries, with a time that no other command has: an undo tells commands apart by it."""
    taken = {entry.at for entry in logged}
    later = timedelta()
    while any(entry.at is not None and entry.at + later in taken for entry in entries):
        later += timedelta(microseconds=1)
    return tuple(replace(entry, at=entry.at + later) if entry.at and later else entry for entry in entries)


class _Lines:
    """The lines of a log on their way to entries. numbers holds the line of each entry."""

    def __init__(self, path: str) -> None:
        self.path = path
        self.entries: list[LogEntry] = []
        self.numbers: list[int] = []
        self.problems: list[Problem] = []
        self.lost: list[str] = []
        self.lines: list[bytes] = []

    def read(self, raw: bytes) -> None:
        """Take every line; each is sound, empty, or a problem."""
        self.lines = raw.removeprefix(_UTF8_MARK).splitlines()
        block = False
        known: set[bytes] = set()
        for number, line in enumerate(self.lines, start=1):
            entry = entry_from_json(line)
            if entry is not None and entry.at is not None:
                if line in known:
                    continue  # one event, in the log twice since it was merged with its copy: no two share a moment
                known.add(line)
            if entry is None and _EMPTY.fullmatch(line):
                continue
            if entry is None and block and line[:1].isspace() and not line.lstrip().startswith(b"-"):
                continue  # the rest of an entry that was told at its first line
            block = False
            if entry is None:
                entry, block = self._look_closely(line, number)
            if entry is not None:
                self.entries.append(entry)
                self.numbers.append(number)

    def _look_closely(self, line: bytes, number: int) -> tuple[LogEntry | None, bool]:
        """What of a line can be read; its problems are told. And whether it goes on over further lines."""
        if _NUL in line:
            told = "zero bytes stand here: the machine may have stopped while writing"
            self.problems.append(Problem("torn-line", told, _RETYPE, self.path, number, 1))
            self._lose(line.replace(_NUL, b"").decode(errors="replace"))
            return None, False
        if _MERGE_MARK.fullmatch(line):
            told = "git left this mark where two logs were merged; the lines of both count"
            remedy = "delete it, and no other line; with batches.yaml merge=union in .gitattributes git leaves none"
            text = line.decode(errors="replace")
            self.problems.append(Problem("merge-mark", told, remedy, self.path, number, 1, text, len(text)))
            return None, False
        document = tree.read_document(self.path, line)
        node = document.root
        if isinstance(node, tree.Sequence) and len(node.items) == 1:
            node = node.items[0]
        fields: dict[str, Any] = {}
        block = isinstance(node, tree.Mapping) and not node.flow and not document.found
        if document.found and STARTS.match(line) and not line.rstrip().endswith(b"}"):
            document.found.clear()
            end = max(len(document.text.rstrip()) - 1, 0)
            document.report("torn-line", end, "the line breaks off here", _RETYPE)
        elif document.cut and (bare := _BARE_TIME.search(document.text)):
            document.found.clear()
            told = f"a time inside {{ }} needs quotes: {bare[1]}"
            document.report("time-quotes", bare.start(1), told, f'write "{bare[1]}"', width=len(bare[1]))
        elif isinstance(node, tree.Mapping) and node.flow and not document.cut:
            fields = fields_of(node, document)
        elif not document.found:
            told = "an entry of the log is one line" if block else "this is no entry of the log"
            document.report("shape", 0, told, "write it like - {batch: RAS-12, event: open}")
        self.problems += [_of_line(problem, number, document.text) for _, problem in document.found]
        if not fields or missing_key(fields):
            self._lose(document.text)
            return None, block
        return entry_of(fields), False

    def _lose(self, text: str) -> None:
        self.lost += [identity.strip() for identity in _BATCH.findall(text)]


def _of_line(problem: Problem, number: int, text: str) -> Problem:
    """A problem found in a line by itself, at its place in the log."""
    message, remedy = problem.message, problem.remedy
    if problem.code == "duplicate-key":
        message = message.rpartition(", first")[0] or message
    elif problem.code == "encoding":
        message, remedy = "the line is not UTF-8 text from here on", _RETYPE
    line = number + (problem.line or 1) - 1
    return _shortened(replace(problem, message=message, remedy=remedy, line=line), text)


def _shortened(problem: Problem, text: str) -> Problem:
    """A problem with its line beside it, unless that is endless."""
    if len(text) > _LONGEST_SHOWN:
        return replace(problem, excerpt=None)
    return problem if problem.excerpt is not None else replace(problem, excerpt=text)
