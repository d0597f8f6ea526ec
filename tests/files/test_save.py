"""A file is written whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from balancer.errors import CannotError
from balancer.files.save import save


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
