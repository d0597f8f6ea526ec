"""Two devices log apart and are merged by git, line by line: nothing is lost, and two batches stay two."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.engine.batch.history import batches
from balancer.files.log.batch_log import FILE, read_log
from balancer.files.log.log_line import entry_line
from balancer.models.batch import Batch, LogEntry
from tests.cli.runner import Run, run
from tests.docs.pages import DOCS
from tests.examples import examples
from tests.files.folders import write
from tests.git import GIT, git

pytestmark = [pytest.mark.slow, pytest.mark.skipif(not GIT, reason="there is no git here")]
START = datetime(2026, 11, 25, 9, tzinfo=UTC)


class Device:
    """A clone of the house, and who works on it."""

    def __init__(self, folder: Path, letters: str = "") -> None:
        self.folder = folder
        self.letters = letters

    def git(self, *words: str) -> str:
        return git(self.folder, *words)

    def batch(self, minute: int, *words: str) -> Run:
        """Log something so many minutes after nine."""
        now = (START + timedelta(minutes=minute)).isoformat()
        env = {"BALANCER_NOW": now, "BALANCER_DEVICE": self.letters or None}
        return run("batch", *words, specs=self.folder, env=env)  # type: ignore[arg-type] # None takes it away

    def keep(self) -> None:
        self.git("commit", "-qam", "the log")

    def take(self, other: Device) -> None:
        self.git("pull", "-q", "--no-rebase", "--no-edit", str(other.folder), "main")

    @property
    def log(self) -> list[str]:
        return (self.folder / FILE).read_text(encoding="utf-8").splitlines()

    @property
    def known(self) -> dict[str, Batch]:
        return {batch.id: batch for batch in batches(read_log(self.folder).entries)}

    @property
    def told(self) -> list[str]:
        return [f"{problem.line}: {problem.message}" for problem in read_log(self.folder).problems]


@pytest.fixture
def devices(tmp_path: Path) -> tuple[Device, Device]:
    """Two clones of one house, whose log has a batch already."""
    return two_clones(tmp_path, "", "")


def two_clones(folder: Path, *letters: str) -> tuple[Device, Device]:
    house = write(folder / "house")
    (house / ".gitattributes").write_text("batches.yaml merge=union\n", encoding="utf-8")
    (house / ".gitignore").write_text(".*.lock\n", encoding="utf-8")
    git(house, "init", "-q", "-b", "main")
    first = Device(house, letters[0])
    first.batch(0, "add", "raspberry", "--brix", "50", "--mass", "2kg")
    first.git("add", ".")
    first.git("commit", "-qm", "the house")
    git(folder, "clone", "-q", str(house), "other")
    return first, Device(folder / "other", letters[1])


def test_both_logs_are_kept_and_one_id_of_two_batches_is_told(devices: tuple[Device, Device]) -> None:
    ours, theirs = devices
    assert "RAS-2" in ours.batch(10, "add", "raspberry", "--brix", "52", "--by", "Tove", "--open").out
    assert "RAS-2" in theirs.batch(5, "add", "raspberry", "--brix", "47", "--by", "Runa").out
    theirs.batch(6, "open", "RAS-2")
    ours.keep()
    theirs.keep()
    before = {*ours.log, *theirs.log}
    ours.take(theirs)

    assert {*ours.log} == before  # nothing is lost
    assert len(ours.log) == len(before)
    assert {(batch.id, batch.brix, batch.by, batch.state) for batch in ours.known.values()} == {
        ("RAS-1", 50.0, None, "made"),
        ("RAS-2", 52.0, "Tove", "open"),
        ("RAS-2 (line 4)", 47.0, "Runa", "open"),
    }
    done = run("check", specs=ours.folder)
    assert done.code == 1
    assert "batches.yaml:4:14: RAS-2 was made already, in line 2: two devices gave one id." in done.out
    assert "line 5 below counts for it" in done.out
    assert "write RAS-3 in place of RAS-2 on one" in done.out
    assert run("tonight", specs=ours.folder, env={"BALANCER_NOW": "2026-11-25T18:00+00:00"}).code == 1


def test_what_the_page_shows_is_what_is_told(tmp_path: Path) -> None:
    """docs/how-to/share-specs-in-a-group.md, wrapped there as at a terminal."""
    lines = [entry_line(LogEntry(name, "made", START, liquid="simple-syrup")) for name in ("SIM-1", "RAS-B1")]
    later = LogEntry("SIM-1", "made", START + timedelta(minutes=5), liquid="simple-syrup")
    (tmp_path / FILE).write_bytes(b"".join([*lines, entry_line(later)]))
    (problem,) = read_log(tmp_path).problems
    page = (DOCS / "how-to" / "share-specs-in-a-group.md").read_text(encoding="utf-8")
    assert f"bars/low-stair/batches.yaml:3:14: {problem.message} {problem.remedy}" in " ".join(page.split())
    assert (problem.line, problem.column) == (3, 14)


def test_nothing_is_logged_under_an_id_that_two_batches_have(devices: tuple[Device, Device]) -> None:
    ours, theirs = devices
    for place, device in enumerate(devices):
        device.batch(5 + place, "add", "raspberry", "--brix", "50")
        device.batch(7 + place, "open", "RAS-2")
        device.keep()
    ours.take(theirs)
    before = ours.log
    for words in (("empty", "RAS-2"), ("discard", "ras 2"), ("empty", "RAS-2 (line 4)"), ("reading", "RAS-2", "47.5")):
        done = ours.batch(20, *words)
        assert done.code == 2, done
        assert "two batches with one id" in done.err
    assert ours.batch(21, "open", "RAS-1").code == 0  # the others go on
    assert "RAS-3" in ours.batch(22, "add", "raspberry", "--brix", "50").out  # and no third one gets it
    assert ours.log[: len(before)] == before


def test_with_the_lines_renumbered_as_told_all_is_well(devices: tuple[Device, Device]) -> None:
    ours, theirs = devices
    ours.batch(10, "add", "raspberry", "--brix", "52")
    theirs.batch(11, "add", "raspberry", "--brix", "47")
    theirs.batch(12, "open", "RAS-2")
    ours.keep()
    theirs.keep()
    ours.take(theirs)
    lines = ours.log
    lines[2:] = [line.replace("RAS-2", "RAS-3") for line in lines[2:]]
    (ours.folder / FILE).write_text("\n".join(lines) + "\n", encoding="utf-8")
    assert ours.told == []
    assert {(one.id, one.brix, one.state) for one in ours.known.values()} == {
        ("RAS-1", 50.0, "made"), ("RAS-2", 52.0, "made"), ("RAS-3", 47.0, "open"),
    }  # fmt: skip
    assert ours.batch(30, "empty", "RAS-3").code == 0


def test_lines_that_came_later_are_named_to_be_looked_at(devices: tuple[Device, Device]) -> None:
    """Whose they are nobody can tell from the log: every one of them is in the message."""
    ours, theirs = devices
    ours.batch(10, "add", "raspberry", "--brix", "52")
    theirs.batch(11, "add", "raspberry", "--brix", "47")
    for device in devices:
        device.keep()
    theirs.take(ours)
    ours.batch(30, "open", "RAS-2")  # it knows nothing of the other yet
    ours.keep()
    theirs.take(ours)
    made = next(index for index, line in enumerate(theirs.log, 1) if "47" in line)
    opened = next(index for index, line in enumerate(theirs.log, 1) if '"open"' in line)
    (told,) = theirs.told
    assert told.startswith(f"{max(made, 3)}: RAS-2 was made already")
    assert f"line {opened} below counts for it" in told


@pytest.mark.parametrize("turned", [False, True])
def test_the_last_reading_counts_whichever_log_comes_last(devices: tuple[Device, Device], turned: bool) -> None:
    ours, theirs = devices[::-1] if turned else devices
    ours.batch(30, "reading", "RAS-1", "46.5", "--yes")
    theirs.batch(20, "reading", "RAS-1", "49")
    theirs.batch(21, "undo")
    theirs.batch(22, "reading", "RAS-1", "48")
    for device in devices:
        device.keep()
    ours.take(theirs)
    log = read_log(ours.folder, START + timedelta(hours=1))
    assert log.problems == ()
    (batch,) = batches(log.entries)
    assert (batch.brix, batch.readings) == (46.5, (50.0, 48.0, 46.5))
    assert [log.line(index) for index, _ in enumerate(log.entries)] != sorted(range(1, 6)) or turned


def test_a_clock_that_was_wrong_orders_nothing(devices: tuple[Device, Device]) -> None:
    """A reading from next year is followed by true ones: they count in the order of the lines."""
    ours, _ = devices
    ours.batch(500_000, "reading", "RAS-1", "49")
    ours.batch(30, "reading", "RAS-1", "48")
    (batch,) = batches(read_log(ours.folder, START + timedelta(hours=1)).entries)
    assert batch.readings == (50.0, 49.0, 48.0)


def test_devices_with_letters_never_give_one_id(tmp_path: Path) -> None:
    ours, theirs = two_clones(tmp_path, "a", "B")
    for device in (ours, theirs):
        device.batch(10, "add", "raspberry", "--brix", "52", "--open")
        device.batch(11, "add", "raspberry", "--brix", "51")
        device.keep()
    ours.take(theirs)
    assert ours.told == []
    assert [*ours.known] == ["RAS-A1", "RAS-A2", "RAS-A3", "RAS-B1", "RAS-B2"]
    assert ours.batch(20, "empty", "ras b1").code == 0


def test_marks_of_a_merge_that_git_left_are_told_and_both_logs_count(tmp_path: Path) -> None:
    """Without a line in .gitattributes git asks a person to merge."""
    ours, theirs = two_clones(tmp_path, "A", "B")
    for device in (ours, theirs):
        (device.folder / ".gitattributes").unlink()
        device.batch(10, "add", "raspberry", "--brix", "52", "--open")
        device.keep()
    with pytest.raises(AssertionError, match="Merge conflict"):
        ours.take(theirs)
    assert [*ours.known] == ["RAS-A1", "RAS-A2", "RAS-B1"]
    assert len(ours.told) == 3
    assert all("git left this mark" in told for told in ours.told)
    text = (ours.folder / FILE).read_text(encoding="utf-8").splitlines(keepends=True)
    (ours.folder / FILE).write_text("".join(line for line in text if line.startswith("- ")), encoding="utf-8")
    assert ours.told == []


@pytest.mark.parametrize("letters", ["1", "ABC", "A B", "-"])
def test_letters_are_one_or_two(tmp_path: Path, letters: str) -> None:
    device = Device(write(tmp_path), letters)
    done = device.batch(0, "add", "raspberry", "--brix", "52")
    assert done.code == 2
    assert "set it to a letter or two" in done.err
    assert not (tmp_path / FILE).exists()


def test_a_line_that_came_twice_counts_once(devices: tuple[Device, Device]) -> None:
    ours, _ = devices
    ours.batch(10, "add", "raspberry", "--brix", "52", "--open")
    ours.batch(20, "reading", "RAS-2", "51")
    once = ours.known
    path = ours.folder / FILE
    path.write_bytes(path.read_bytes() + b"".join(path.read_bytes().splitlines(keepends=True)[1:]))
    assert ours.known == once
    assert ours.told == []


def entries(letters: str, events: list[tuple[int, str]], minute: int) -> list[LogEntry]:
    """What one device logs about its own batches: each is made first, then what is drawn happens to one of them."""
    found: list[LogEntry] = []
    for offset, (number, event) in enumerate(events):
        at = START + timedelta(minutes=minute + offset, microseconds=ord(letters))
        identity = f"RAS-{letters}{number}"
        if not any(entry.batch == identity for entry in found):
            found.append(LogEntry(identity, "made", at, liquid="raspberry-syrup", brix=50.0 + number))
        else:
            found.append(LogEntry(identity, event, at, brix=48.0 if event == "reading" else None))  # type: ignore[arg-type]
    return found


EVENTS = st.lists(st.tuples(st.integers(1, 3), st.sampled_from(["open", "reading", "empty", "correct"])), max_size=8)


@settings(max_examples=examples(200), deadline=None)
@given(EVENTS, EVENTS, st.integers(-30, 30), st.booleans())
def test_batches_of_two_devices_are_as_each_device_has_them(
    ours: list[tuple[int, str]], theirs: list[tuple[int, str]], apart: int, turned: bool
) -> None:
    """A merge by lines puts one block behind the other, in either order, whatever the clocks said."""
    first, second = entries("A", ours, 0), entries("B", theirs, apart)
    merged = [*second, *first] if turned else [*first, *second]
    assert {one.id: one for one in batches(merged)} == {
        one.id: one for one in (*batches(first), *batches(second))
    }  # fmt: skip


@settings(max_examples=examples(200), deadline=None)
@given(EVENTS, EVENTS)
def test_batches_with_the_same_ids_are_told_apart(
    tmp_path_factory: pytest.TempPathFactory, ours: list[tuple[int, str]], theirs: list[tuple[int, str]]
) -> None:
    """Right after the merge each batch is what its own device has of it, under its own id or one with its line."""
    first, second = entries("A", ours, 0), [
        entry for entry in entries("A", theirs, 100) if entry.at is not None
    ]  # fmt: skip
    folder = tmp_path_factory.mktemp("log")
    (folder / FILE).write_bytes(b"".join(map(entry_line, [*first, *second])))
    log = read_log(folder)
    found = batches(log.entries)
    wanted = [*batches(first), *batches(second)]
    plain = [(one.id.partition(" (")[0], one.state, one.brix, one.readings) for one in found]
    assert sorted(plain) == sorted((one.id, one.state, one.brix, one.readings) for one in wanted)
    both = {one.id for one in batches(first)} & {one.id for one in batches(second)}
    assert sum("two devices gave one id" in problem.message for problem in log.problems) == len(both)
