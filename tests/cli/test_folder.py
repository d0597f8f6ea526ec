"""Where the bar's folder is found, in which order, and what is said when it is nowhere."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

import balancer
from balancer.desk.folder import find_folder
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
    named(inside / "specs", "beside")
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
    """A folder of that name is common; only here, where it was always looked for, is one with drinks enough."""
    (tmp_path / "a" / "specs" / "drinks").mkdir(parents=True)
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


@pytest.mark.parametrize("theirs", [None, "foo.rb"])
def test_specs_of_somebody_else_is_passed_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, theirs: str | None
) -> None:
    """Empty, or holding the tests of a program: the bar is beside it, above it, or nowhere."""
    specs = tmp_path / "bar" / "deep" / "specs"
    specs.mkdir(parents=True)
    if theirs:
        (specs / theirs).write_text("describe")
    monkeypatch.chdir(specs.parent)
    assert find_folder() is None
    done = run("tonight", specs=None)
    assert (done.code, done.out) == (1, "")
    assert "no bar in its folder specs" in done.err
    (tmp_path / "bar" / "house.yaml").write_text("format: 1\nhouse: above\n")
    assert find_folder() == Path("..")
    (specs.parent / "house.yaml").write_text("format: 1\nhouse: beside\n")
    assert find_folder() == Path()


@pytest.mark.parametrize("part", ["house.yaml", "ingredients", "syrups", "drinks"])
def test_specs_with_any_part_of_a_bar_is_one(tmp_path: Path, part: str) -> None:
    (tmp_path / "specs").mkdir()
    if part == "house.yaml":
        (tmp_path / "specs" / part).write_text("garbage: [")
    else:
        (tmp_path / "specs" / part).mkdir()
    assert find_folder() == Path("specs")


@pytest.mark.parametrize(
    "line", ["tonight", "totals anchor", "batch add berry 54", "batch list", "rescale -s berry -b 54"]
)
def test_a_folder_without_a_bar_gives_no_answer(tmp_path: Path, line: str) -> None:
    """Somebody names the folder of the drinks, or another one: nothing is known of any drink there."""
    theirs = tmp_path / "a" / "drinks"
    theirs.mkdir(parents=True)
    (theirs / "sour.yaml").write_text("drink: Sour\n")
    done = run(*line.split(), "--specs", "a/drinks", specs=None)
    assert (done.code, done.out) == (1, "")
    assert 'there is no bar in "a/drinks": no house.yaml, no drinks/, no syrups/ and no ingredients/' in done.err
    assert "balancer start a/drinks" in done.err
    told = run(*line.split(), "--specs", "a/drinks", "--json", specs=None).data
    assert [each["code"] for each in told["problems"]] == ["no-folder"]
    assert [each.name for each in theirs.iterdir()] == ["sour.yaml"]
    for needless in ("measure 54", "pour 22.5ml -b 54 --standard 50"):
        assert run(*needless.split(), "--specs", "a/drinks", specs=None).code == 0


@pytest.mark.parametrize("line", [[], ["tonight"]])
@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("garbage: [\n", "house.yaml cannot be read, the usual measures are taken"),
        ("- 1\n", "house.yaml cannot be read, the usual measures are taken"),
        ("format: 1\nhouse: Lee\nday ends: noon-ish\n", "house.yaml has a fault, the usual measures stand in"),
    ],
)
def test_a_house_that_cannot_be_read_is_said_first(tmp_path: Path, line: list[str], text: str, first: str) -> None:
    shutil.copytree(HOUSE, tmp_path / "specs")
    sound = run(*line, specs=None).out
    assert "house.yaml" not in sound
    (tmp_path / "specs" / "house.yaml").write_text(text)
    done = run(*line, specs=None)
    assert done.code == 1
    start, _, rest = " ".join(done.out.split()).partition(": ")
    assert start.startswith("tonight")
    assert rest.startswith(f"{first}; by those: ")


@pytest.mark.skipif(os.name != "posix", reason="elsewhere a folder that somebody is in cannot be deleted")
@pytest.mark.parametrize(
    "words", [["start", "x"], ["start", "x", "--base", "y"], ["pour", "22ml", "--standard", "50", "--brix", "54"]]
)
def test_a_folder_that_was_deleted_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: list[str]) -> None:
    """It was a fault of the program."""
    here = tmp_path / "here"
    here.mkdir()
    monkeypatch.chdir(here)
    here.rmdir()
    done = run(*words, specs=None)
    assert (done.code, done.out) == (1, "")
    assert "the folder that you are in was deleted" in done.err
    with pytest.raises(balancer.BalancerError, match="the folder that you are in was deleted"):
        balancer.load("bar")
