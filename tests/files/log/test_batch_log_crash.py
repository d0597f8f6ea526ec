"""The log under real processes: killed, crowded, on a full disk, where nobody may write."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from balancer.files.log.batch_log import FILE, read_log
from balancer.models.batch import LogEntry

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(os.name != "posix", reason="processes are forked, limited and killed"),
]
SCRIPT = Path(__file__).parent / "log_writer.py"
CHECKOUT = SCRIPT.parents[3]
FIRST = '- {"batch": "RAS-1", "syrup": "raspberry-syrup", "event": "made", "at": "2026-11-25T12:00:00+00:00"}\n'


def writer(mode: str, folder: Path, number: int = 0) -> Any:
    """Run the writer and return what it printed."""
    done = subprocess.run(
        [sys.executable, str(SCRIPT), mode, str(folder), str(number)],
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
        env=os.environ | {"PYTHONPATH": str(CHECKOUT)},
    )
    assert done.returncode == 0, done.stderr[-2000:]
    return json.loads(done.stdout)


def ids(entries: tuple[LogEntry, ...], event: str) -> list[str]:
    return [entry.batch for entry in entries if entry.event == event]


def test_killed_two_hundred_times_it_loses_nothing_it_acknowledged(tmp_path: Path) -> None:
    """The writer itself checks after each kill that the log loads with all that was acknowledged."""
    acknowledged = writer("killed", tmp_path, 200)["acknowledged"]
    log = read_log(tmp_path)
    assert len(acknowledged) > 50, "killed before it wrote anything"
    assert len(set(acknowledged)) == len(acknowledged)
    assert set(acknowledged) <= set(ids(log.entries, "open"))
    assert {problem.code for problem in log.problems} <= {"torn-line"}
    made, opened = ids(log.entries, "made"), ids(log.entries, "open")
    assert len(set(made)) == len(made)
    assert set(opened) <= set(made)


def test_eight_writers_at_once_keep_every_entry(tmp_path: Path) -> None:
    """8 × 25 batches, each with a number of its own."""
    assert writer("crowd", tmp_path, 8)["codes"] == [0] * 8
    log = read_log(tmp_path)
    assert log.problems == ()
    assert sorted(ids(log.entries, "made")) == sorted(f"RAS-{number}" for number in range(1, 201))
    assert len({entry.at for entry in log.entries}) == 200


@pytest.mark.parametrize("link", [os.link, os.symlink])
def test_writers_of_two_folders_with_one_log_give_no_id_twice(
    tmp_path: Path, link: Callable[[Path, Path], None]
) -> None:
    """4 × 25 batches, two writers a folder."""
    for name in ("one", "other"):
        (tmp_path / name).mkdir()
    (tmp_path / "one" / FILE).write_text(FIRST)
    link(tmp_path / "one" / FILE, tmp_path / "other" / FILE)
    assert writer("crowd", tmp_path, 4)["codes"] == [0] * 4
    for name in ("one", "other"):
        log = read_log(tmp_path / name)
        assert log.problems == ()
        assert sorted(ids(log.entries, "made")) == sorted(f"RAS-{number}" for number in range(1, 102))


@pytest.mark.parametrize("room", [0, 1, 60, 120])
def test_no_room_for_the_whole_line_is_told_and_leaves_no_half(tmp_path: Path, room: int) -> None:
    (tmp_path / FILE).write_text(FIRST)
    said = writer("no-room", tmp_path, room)
    assert said["code"] == "unwritable"
    assert "nothing was logged" in said["message"]
    assert "make room" in said["remedy"]
    assert (tmp_path / FILE).read_text() == FIRST


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of its own with room for a few pages; only the superuser can make one."""
    command = ["mount", "-t", "tmpfs", "-o", "size=16k", "tmpfs", str(tmp_path)]
    if os.getuid() != 0 or subprocess.run(command, check=False, capture_output=True).returncode != 0:
        pytest.skip("this user cannot mount a small disk; the limit on the size of a file is tested instead")
    try:
        yield tmp_path
    finally:
        subprocess.run(["umount", str(tmp_path)], check=True)  # noqa: S607


def test_a_full_disk_is_told_and_leaves_whole_lines(small_disk: Path) -> None:
    said = writer("full-disk", small_disk)
    assert "No space left" in said["message"]
    log = read_log(small_disk)
    assert log.problems == ()
    assert len(said["acknowledged"]) > 5
    assert ids(log.entries, "open") == said["acknowledged"] == ids(log.entries, "made")


@pytest.mark.parametrize("which", ["folder", "file"])
def test_where_nobody_may_write_it_says_so(tmp_path: Path, which: str) -> None:
    """A folder, or only the log, without permission to write."""
    folder = tmp_path / "specs"
    folder.mkdir()
    (folder / FILE).write_text(FIRST)
    (folder / FILE).chmod(0o444)
    folder.chmod(0o555 if which == "folder" else 0o777)
    try:
        said = writer("no-permission", folder)
        assert said["code"] == "unwritable"
        assert "Permission denied" in said["message"]
        assert "check its permissions" in said["remedy"]
        assert (folder / FILE).read_text() == FIRST
    finally:
        folder.chmod(0o755)
