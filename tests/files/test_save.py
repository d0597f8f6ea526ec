"""A file is written whole or not at all."""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

from balancer.errors import CannotError
from balancer.files.save import save, save_new


def test_a_file_is_replaced_whole(tmp_path: Path) -> None:
    path = tmp_path / "chart.svg"
    save(path, b"first, and longer")
    save(path, "zweite °Bx".encode())
    assert path.read_text(encoding="utf-8") == "zweite °Bx"
    assert [held.name for held in tmp_path.iterdir()] == ["chart.svg"]


def test_others_may_read_it_as_any_file(tmp_path: Path) -> None:
    mask = os.umask(0o022)
    try:
        save(tmp_path / "chart.svg", b"x")
    finally:
        os.umask(mask)
    assert (tmp_path / "chart.svg").stat().st_mode & 0o777 == 0o644


@pytest.mark.parametrize("mode", [0o600, 0o664, 0o640])
def test_a_file_that_is_there_keeps_its_permissions(tmp_path: Path, mode: int) -> None:
    path = tmp_path / "chart.svg"
    path.write_bytes(b"old")
    path.chmod(mode)
    save(path, b"new")
    assert (path.read_bytes(), path.stat().st_mode & 0o7777) == (b"new", mode)


def test_a_file_of_a_shared_group_stays_with_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the owner cannot be kept, as for anybody but root, the group is."""
    path = tmp_path / "chart.svg"
    path.write_bytes(b"old")
    asked = []

    def chown(_name: str, owner: int, group: int) -> None:
        asked.append((owner, group))
        if owner != -1:
            raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "chown", chown)
    save(path, b"new")
    there = path.stat()
    assert asked == [(there.st_uid, there.st_gid), (-1, there.st_gid)]


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    target, link = tmp_path / "real" / "chart.svg", tmp_path / "chart.svg"
    target.write_bytes(b"old")
    link.symlink_to(target)
    save(link, b"new")
    assert link.is_symlink()
    assert target.read_bytes() == b"new"


def test_a_read_only_file_is_not_replaced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its folder would let it be."""
    path = tmp_path / "chart.svg"
    path.write_bytes(b"old")
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(CannotError, match="cannot be written: Permission denied"):
        save(path, b"new")
    assert path.read_bytes() == b"old"


def test_a_failure_leaves_what_was_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "chart.svg"
    save(path, b"old")

    def full(_descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(CannotError, match="No space left on device"):
        save(path, b"new")
    assert path.read_bytes() == b"old"
    assert [held.name for held in tmp_path.iterdir()] == ["chart.svg"]


@pytest.mark.parametrize("place", ["missing/chart.svg", "file.txt/chart.svg"])
def test_a_place_that_cannot_be_written_is_told(tmp_path: Path, place: str) -> None:
    (tmp_path / "file.txt").write_text("x", encoding="utf-8")
    with pytest.raises(CannotError, match="cannot be written"):
        save(tmp_path / place, b"x")


def test_a_folder_is_not_replaced(tmp_path: Path) -> None:
    (tmp_path / "chart.svg").mkdir()
    with pytest.raises(CannotError, match="cannot be written"):
        save(tmp_path / "chart.svg", b"x")
    assert [held.name for held in tmp_path.iterdir()] == ["chart.svg"]


def test_what_is_no_file_is_not_replaced(tmp_path: Path) -> None:
    """A program may be reading from a pipe, or a printer hang on a device."""
    path = tmp_path / "chart.svg"
    os.mkfifo(path)
    with pytest.raises(CannotError, match="cannot be written: it is a pipe, not a file") as told:
        save(path, b"x")
    assert told.value.remedy == "name another file"
    assert path.is_fifo()
    with pytest.raises(CannotError, match="it is a device, not a file"):
        save(Path(os.devnull), b"x")


def test_a_link_in_a_circle_is_told_and_stays(tmp_path: Path) -> None:
    one, other = tmp_path / "one.svg", tmp_path / "other.svg"
    one.symlink_to(other)
    other.symlink_to(one)
    with pytest.raises(CannotError, match="cannot be written: it is a link that leads round in a circle"):
        save(one, b"x")
    assert one.is_symlink()
    assert other.is_symlink()


def test_a_name_as_long_as_a_name_may_be_is_written_and_a_longer_one_told(tmp_path: Path) -> None:
    """The unfinished file has a name too; NAME_MAX is 255 bytes on the usual file systems (Linux, limits.h)."""
    longest = tmp_path / f"{'a' * 251}.svg"
    save(longest, b"x")
    assert longest.read_bytes() == b"x"
    with pytest.raises(CannotError, match="cannot be written: its name is too long"):
        save(tmp_path / f"{'a' * 252}.svg", b"x")


def test_no_new_file_has_too_long_a_name(tmp_path: Path) -> None:
    with pytest.raises(CannotError, match="its name is too long"):
        save_new({tmp_path / f"{'a' * 300}.yaml": b"x"}, code="there", again="try again")
    assert list(tmp_path.iterdir()) == []


def test_what_a_killed_write_left_is_taken_away_when_it_is_old(tmp_path: Path) -> None:
    """By the disk's clock: a young one may be another's who writes now. What others call so stays."""
    path = tmp_path / "chart.svg"
    path.write_bytes(b"old")
    old, young = tmp_path / ".chart.svg.abcd1234.unfinished", tmp_path / ".chart.svg.efgh5678.unfinished"
    others = [tmp_path / name for name in (".chart.svg.download", ".other.svg.abcd1234.unfinished", "chart.svg.bak")]
    for left in (old, young, *others):
        left.write_bytes(b"half")
    for left in (old, *others):
        os.utime(left, (1_000_000_000, 1_000_000_000))
    save(path, b"new")
    assert path.read_bytes() == b"new"
    assert {held.name for held in tmp_path.iterdir()} == {path.name, young.name, *(left.name for left in others)}


def test_while_it_is_written_it_has_a_name_that_check_knows(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[str] = []
    monkeypatch.setattr(os, "fsync", lambda _: seen.extend(held.name for held in tmp_path.iterdir()))
    save(tmp_path / f"{'é' * 100}.yaml", b"x")
    (name,) = seen
    assert re.fullmatch(r"\.é{40}\.[a-z0-9_]{8}\.unfinished", name)
    assert len(name.encode()) <= 255
