"""Where the bar's folder is found, in which order, and what is said when it is nowhere."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from balancer.cli.folder import find_folder
from tests.cli.runner import HOUSE, run


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("BALANCER_SPECS", raising=False)
    monkeypatch.chdir(tmp_path)


def named(folder: Path, name: str) -> Path:
    """A house of its own name, to be told apart."""
    folder.mkdir(parents=True)
    (folder / "house.yaml").write_text(f"format: 1\nhouse: {name}\n")
    return folder


def test_the_order(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The one named, the variable, specs/ here, this folder, then the nearest above: each hides the next."""
    assert find_folder() is None
    above = named(tmp_path / "bar", "above")
    inside = above / "print" / "tonight"
    inside.mkdir(parents=True)
    monkeypatch.chdir(inside)
    assert find_folder() == Path("../..")
    (inside / "house.yaml").write_text("format: 1\nhouse: here\n")
    assert find_folder() == Path()
    (inside / "specs").mkdir()
    assert find_folder() == Path("specs")
    monkeypatch.setenv("BALANCER_SPECS", "elsewhere")
    assert find_folder() == Path("elsewhere")
    assert find_folder(Path("named")) == Path("named")


def test_a_folder_above_that_holds_specs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    named(tmp_path / "bar" / "specs", "above")
    (tmp_path / "bar" / "print").mkdir()
    monkeypatch.chdir(tmp_path / "bar" / "print")
    assert find_folder() == Path("../specs")


def test_specs_without_a_house_above_is_no_bar(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder of that name is common; only here, where it was always looked for, is it enough."""
    (tmp_path / "a" / "specs").mkdir(parents=True)
    (tmp_path / "a" / "b").mkdir()
    monkeypatch.chdir(tmp_path / "a" / "b")
    assert find_folder() is None
    monkeypatch.chdir(tmp_path / "a")
    assert find_folder() == Path("specs")


def test_every_command_answers_from_inside_the_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(HOUSE, tmp_path / "specs")
    before = run("totals", "anchor", specs=None)
    assert before.code == 0
    for place in ("specs", "specs/drinks"):
        monkeypatch.chdir(tmp_path / place)
        assert run("totals", "anchor", specs=None) == before
        assert run("pour", "22.5ml", "-b", "54", "--standard", "50", specs=None).code == 0


def test_when_there_is_none_it_says_where_it_looked(tmp_path: Path) -> None:
    done = run("tonight", specs=None)
    assert (done.code, done.out) == (1, "")
    first, remedy = done.err.splitlines()
    assert first == (
        f'no bar is here: no folder specs in "{tmp_path}", and no house.yaml in it or in any folder above it'
    )
    assert all(way in remedy for way in ("--specs DIR", "balancer start specs", "balancer tonight --demo"))
    assert run("tonight", "--json", specs=None).data["problems"][0]["code"] == "no-folder"


def test_a_folder_named_and_missing_is_named(tmp_path: Path) -> None:
    shutil.copytree(HOUSE, tmp_path / "specs")
    done = run("tonight", "--specs", "nowhere", specs=None)
    assert done.code == 1
    assert done.err.startswith('nowhere: there is no folder "nowhere"')


def test_what_needs_no_bar_needs_none() -> None:
    assert run("pour", "22.5ml", "-b", "54", "--standard", "50", specs=None).code == 0
    assert run("measure", "54", specs=None).code == 0


def test_nobody_minds_a_folder_that_is_gone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Deleted while somebody stands in it."""
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    assert find_folder() is None
    done = run("tonight", specs=None)
    assert done.code == 1
    assert "this folder" in done.err
