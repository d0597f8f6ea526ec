"""`start`: a folder that appears whole or not at all, and works at once."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from contextlib import AbstractContextManager
from pathlib import Path

import pytest

from balancer.files.house import starter
from balancer.files.house.broken_off import clear_starts, left_starts, start_lock
from tests.cli.runner import CHECKOUT, run


def tree(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def visible(found: dict[str, bytes]) -> dict[str, bytes]:
    return {name: raw for name, raw in found.items() if not any(part.startswith(".") for part in name.split("/"))}


def test_the_starter_folder_answers_at_once(tmp_path: Path) -> None:
    bar = tmp_path / "bar"
    done = run("start", str(bar), specs=None)
    assert (done.code, done.err, done.first) == (0, "", f"{bar} is ready: 4 files to read and change")
    checked = run("check", specs=bar)
    assert (checked.code, checked.out) == (0, "all well: 1 drink, 1 syrup, 3 ingredients in 4 files\n")
    totals = run("totals", "first sour", specs=bar)
    assert (totals.code, totals.err) == (0, "")
    assert totals.first.startswith("First Sour: ")
    rescaled = run("rescale", "--syrup", "simple", "--brix", "54", specs=bar)
    assert (rescaled.code, rescaled.first) == (0, "change pours: simple syrup 22.5 → 20 ml")


def test_every_starter_file_explains_itself(tmp_path: Path) -> None:
    run("start", str(tmp_path / "bar"), specs=None)
    assert {name for name, raw in tree(tmp_path / "bar").items() if not raw.startswith(b"# ")} == set()


def test_the_demo_is_the_demo_house(tmp_path: Path) -> None:
    done = run("start", str(tmp_path / "bar"), "--demo", specs=None)
    assert done.code == 0
    assert tree(tmp_path / "bar") == visible(tree(CHECKOUT / "specs"))
    assert run("check", specs=tmp_path / "bar").code == 0


def test_json(tmp_path: Path) -> None:
    bar = tmp_path / "bar"
    data = run("start", str(bar), "--json", specs=None).data
    assert data["folder"] == str(bar)
    assert sorted(data["files"]) == sorted(str(bar / name) for name in tree(bar))


def test_parents_are_made(tmp_path: Path) -> None:
    assert run("start", str(tmp_path / "far" / "off" / "bar"), specs=None).code == 0
    assert len(tree(tmp_path / "far" / "off" / "bar")) == 4


@pytest.mark.parametrize("demo", [[], ["--demo"]])
def test_what_is_there_is_never_touched(tmp_path: Path, demo: list[str]) -> None:
    (tmp_path / "house.yaml").write_text("mine")
    done = run("start", str(tmp_path), *demo, specs=None)
    assert (done.code, done.out) == (1, "")
    assert "exists and is not empty\n  name a folder that does not exist yet" in done.err
    assert tree(tmp_path) == {"house.yaml": b"mine"}
    told = run("start", str(tmp_path), "--json", specs=None)
    assert [problem["code"] for problem in told.data["problems"]] == ["not-empty"]


def test_a_file_is_no_folder(tmp_path: Path) -> None:
    (tmp_path / "bar").write_text("mine")
    assert run("start", str(tmp_path / "bar"), specs=None).code == 1
    assert tree(tmp_path) == {"bar": b"mine"}


def test_an_empty_folder_is_filled_and_stays_the_same_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Somebody may stand in it."""
    monkeypatch.chdir(tmp_path)
    before = tmp_path.stat().st_ino
    assert run("start", ".", specs=None).code == 0
    assert tmp_path.stat().st_ino == before
    assert sorted(path.name for path in Path().iterdir()) == ["drinks", "house.yaml", "ingredients", "syrups"]


def test_below_a_file_nothing_can_be_written(tmp_path: Path) -> None:
    """Holds for root too, whom no permission stops."""
    (tmp_path / "file").write_text("mine")
    for folder in (tmp_path / "file" / "bar", tmp_path / "file" / "far" / "bar"):
        done = run("start", str(folder), specs=None)
        assert (done.code, done.out) == (1, "")
        assert f'"{tmp_path / "file"}" is there, and is no folder: nothing can be put into it' in done.err
    assert tree(tmp_path) == {"file": b"mine"}


@pytest.mark.parametrize("folder", ["bar", "far/off/bar", "empty"])
def test_a_full_disk_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, folder: str) -> None:
    (tmp_path / "empty").mkdir()
    write_bytes = Path.write_bytes
    written: list[Path] = []

    def fill(path: Path, raw: bytes) -> int:
        if len(written) == 2:
            raise OSError(errno.ENOSPC, "No space left on device")
        written.append(path)
        return write_bytes(path, raw)

    monkeypatch.setattr(Path, "write_bytes", fill)
    done = run("start", str(tmp_path / folder), specs=None)
    assert (done.code, len(written)) == (1, 2)
    assert "cannot be written: No space left on device\n  choose another place, or make room" in done.err
    assert [path.name for path in tmp_path.rglob("*")] == ["empty"]


@pytest.mark.parametrize("places", range(4))
def test_stopped_while_filling_an_empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, places: int) -> None:
    place = starter._place
    done_before: list[Path] = []

    def stop(entry: Path, target: Path) -> None:
        if len(done_before) == places:
            raise OSError(errno.EACCES, "Permission denied")
        done_before.append(target)
        place(entry, target)

    monkeypatch.setattr(starter, "_place", stop)
    assert run("start", str(tmp_path), specs=None).code == 1
    assert list(tmp_path.iterdir()) == []


class TestOnABase:
    """`--base`: a house that has nothing of its own but its name."""

    @pytest.fixture
    def group(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
        monkeypatch.chdir(tmp_path)
        run("start", "group", "--demo", specs=None)
        return tmp_path / "group"

    @pytest.mark.parametrize("folder", ["bars/low-stair", "low stair", "bars/Nº 7: ours", "group/bars/one"])
    def test_it_answers_at_once_as_its_base_does(self, group: Path, folder: str) -> None:
        done = run("start", folder, "--base", "group", specs=None)
        assert (done.code, done.first) == (0, f"{folder} is ready: 1 file to read and change")
        assert [*tree(group.parent / folder)] == ["house.yaml"]
        checked = run("check", folder, specs=None)
        assert (checked.code, "  base              group" in checked.out.splitlines()) == (0, True)
        assert checked.first.startswith("no problems; not known: ")
        own, base = (run("totals", "slipway", "--specs", each, specs=None) for each in (folder, "group"))
        assert own == base

    def test_its_name_is_that_of_its_folder(self, group: Path) -> None:
        run("start", "bars/low-stair", "--base", str(group), specs=None)
        text = (group.parent / "bars" / "low-stair" / "house.yaml").read_text(encoding="utf-8")
        assert "house: Low Stair\n" in text
        assert "base: ../../group\n" in text

    def test_behind_a_link_it_counts_from_where_it_is(self, group: Path) -> None:
        (group.parent / "far" / "off").mkdir(parents=True)
        (group.parent / "here").symlink_to("far/off")
        assert run("start", "here/bar", "--base", "group", specs=None).code == 0
        assert run("check", "here/bar", specs=None).code == 0
        assert run("check", "far/off/bar", specs=None).code == 0

    @pytest.mark.usefixtures("group")
    @pytest.mark.parametrize(
        ("words", "code", "said"),
        [
            (["bar", "--base", "nowhere"], 1, 'there is no folder "nowhere"'),
            (["bar", "--base", "group/drinks"], 1, '"group/drinks" holds nothing of a bar'),
            (["group", "--base", "group"], 1, '"group" exists and is not empty'),
            (["bar", "--base", "group", "--demo"], 2, "--base and --demo"),
            (["bar", "--base", "group", "--pantry", "juices"], 2, "first --base, then the same line with --pantry"),
        ],
    )
    def test_what_cannot_be_is_told_and_nothing_is_written(self, words: list[str], code: int, said: str) -> None:
        done = run("start", *words, specs=None)
        assert (done.code, done.out) == (code, "")
        assert said in done.err
        assert not Path("bar").exists()

    def test_out_of_the_pantry_comes_what_neither_has(self, group: Path) -> None:
        run("start", "bar", "--base", "group", specs=None)
        done = run("start", "bar", "--pantry", "juices", "--json", specs=None)
        assert "lime juice" in {one["ingredient"] for one in done.data["already_there"]}
        assert run("check", "bar", specs=None).code == 0
        assert visible(tree(group)) == visible(tree(CHECKOUT / "specs"))


def test_what_somebody_puts_there_meanwhile_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two starts at once each took the other's files away, and a person's own file was written over."""
    place = starter._place

    def late(entry: Path, target: Path) -> None:
        if target.name == "house.yaml":
            target.write_text("house: Mine\n", encoding="utf-8")
        place(entry, target)

    monkeypatch.setattr(starter, "_place", late)
    assert run("start", str(tmp_path), specs=None).code == 1
    assert [path.name for path in tmp_path.iterdir()] == ["house.yaml"]
    assert (tmp_path / "house.yaml").read_text(encoding="utf-8") == "house: Mine\n"


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("menu/bar", '"menu" is there, and is no folder: nothing can be put into it'),
        ("menu/deep/bar", '"menu" is there, and is no folder: nothing can be put into it'),
        ("menu", '"menu" is there, and is no folder'),
        ("a" * 300, "its name is too long\n  give it a shorter name"),
        ("deep/" + "b" * 300, "its name is too long\n  give it a shorter name"),
        ("c" * 300 + "/bar", "its name is too long\n  give it a shorter name"),
    ],
)
def test_where_no_folder_can_be_says_why(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, told: str) -> None:
    """It was "File exists" of what does not exist, and "name another file" of a folder."""
    monkeypatch.chdir(tmp_path)
    Path("menu").write_text("a list\n", encoding="utf-8")
    for words in ([], ["--demo"], ["--pantry", "juices"]):
        done = run("start", name, *words, specs=None)
        assert (done.code, done.out) == (1, "")
        assert told in done.err
        assert [path.name for path in tmp_path.iterdir()] == ["menu"]


def test_who_starts_there_at_the_same_moment_is_told_of(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The later one was told "Directory not empty", of a folder that was to be a new one."""
    copy = starter._copy
    folder = tmp_path / "bar"

    def late(source: Path, made: Path) -> None:
        copy(source, made)
        folder.mkdir()
        (folder / "house.yaml").write_text("house: Theirs\n", encoding="utf-8")

    monkeypatch.setattr(starter, "_copy", late)
    done = run("start", str(folder), specs=None)
    assert done.code == 1
    assert "came to be meanwhile" in done.err
    assert (folder / "house.yaml").read_text(encoding="utf-8") == "house: Theirs\n"
    assert [path.name for path in tmp_path.iterdir()] == ["bar"]


def test_a_start_that_is_not_held_yet_is_not_taken_away_while_it_fills(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One that began beside it took its files away while it wrote them, and it said that it was ready.

    The other one looks for what was left after the hidden folder was made and before it is held, and clears it at its
    own end: here that is when half of the files are written.
    """
    lock, copy = start_lock, starter._copy
    listed: list[list[Path]] = []

    def held(made: Path) -> AbstractContextManager[None]:
        if not listed:
            listed.append(left_starts(tmp_path))
        return lock(made)

    def halfway(source: Path, made: Path) -> None:
        copy(source, made)
        clear_starts(listed[0])

    monkeypatch.setattr(starter, "start_lock", held)
    monkeypatch.setattr(starter, "_copy", halfway)
    done = run("start", str(tmp_path / "bar"), "--demo", specs=None)
    assert len(listed[0]) == 1
    assert done.code == 0
    assert visible(tree(tmp_path / "bar")) == visible(tree(CHECKOUT / "specs"))


def test_a_start_whose_folder_is_taken_before_it_is_held_makes_another(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lock = start_lock
    taken: list[Path] = []

    def late(made: Path) -> AbstractContextManager[None]:
        if not taken:
            taken.append(made)
            clear_starts(left_starts(tmp_path))
            assert not made.exists()
        return lock(made)

    monkeypatch.setattr(starter, "start_lock", late)
    assert run("start", str(tmp_path / "bar"), "--demo", specs=None).code == 0
    assert visible(tree(tmp_path / "bar")) == visible(tree(CHECKOUT / "specs"))
    assert [path.name for path in tmp_path.iterdir()] == ["bar"]


@pytest.mark.slow
def test_starts_beside_each_other_are_all_whole(tmp_path: Path) -> None:
    """Programs of their own, six at once, four times."""
    for number in range(4):
        words = [sys.executable, "-m", "balancer", "start"]
        environment = {**os.environ, "PYTHONPATH": str(CHECKOUT)}
        names = [f"bar{number}-{place}" for place in range(6)]
        quiet = subprocess.DEVNULL
        begun = [
            subprocess.Popen([*words, name, "--demo"], cwd=tmp_path, env=environment, stdout=quiet) for name in names
        ]
        assert [each.wait(timeout=120) for each in begun] == [0] * len(names)
        for name in names:
            assert visible(tree(tmp_path / name)) == visible(tree(CHECKOUT / "specs"))
