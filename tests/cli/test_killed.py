"""Commands killed at each of their writes: nothing is half there, they can be run again, and what is left is told."""

from __future__ import annotations

import os
import shutil
from collections.abc import Sequence
from pathlib import Path

import pytest

from tests.cli.runner import CHECKOUT, copy_of_house, run
from tests.killed import every_kill

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(os.name != "posix", reason="processes are forked and killed"),
]

SHEET = """\
Drink,Method,Glass,Item,Qty
One,shaken,coupe,gold rum,60 ml
One,shaken,coupe,lime juice,20 ml
Two,stirred,coupe,marsh root cordial,60 ml
Three,built,coupe,gold rum,30 ml
"""


@pytest.fixture(autouse=True)
def evening(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BALANCER_NOW", "2026-11-25T18:30+01:00")
    monkeypatch.delenv("BALANCER_SPECS", raising=False)


def tree(folder: Path) -> dict[str, bytes]:
    """All that is there but locks, which are held by nobody."""
    files = (path for path in folder.rglob("*") if path.is_file() and not path.name.endswith("lock"))
    return {str(path.relative_to(folder)): path.read_bytes() for path in files}


def left(folder: Path) -> list[str]:
    """What is hidden and no lock."""
    found = (path for path in folder.rglob(".*") if not path.name.endswith("lock"))
    return sorted(str(path.relative_to(folder)) for path in found)


def told(folder: Path) -> list[tuple[str, str, str]]:
    """What `check` says was broken off: where, what, and what to do."""
    problems = run("check", "--json", specs=folder).data["problems"]
    return [(one["path"], one["message"], one["remedy"]) for one in problems if one["code"] == "broken-off"]


class TestStart:
    """`start` killed, and run again as it was."""

    @pytest.mark.parametrize("where", ["new", "empty", "far/off"])
    @pytest.mark.parametrize("options", [[], ["--demo"], ["--pantry", "juices"], ["--base", "group"]], ids=" ".join)
    def test_run_again(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, where: str, options: Sequence[str]
    ) -> None:
        monkeypatch.chdir(tmp_path)
        shutil.copytree(CHECKOUT / "specs", tmp_path / "group")
        within = tmp_path / "bars"
        bar = within / where

        def begin() -> None:
            shutil.rmtree(within, ignore_errors=True)
            within.mkdir()
            if where == "empty":
                bar.mkdir()

        begin()
        assert run("start", str(bar), *options, specs=None).code == 0
        whole = tree(bar)
        assert left(within) == []

        def look(number: int) -> None:
            if bar.is_dir() and left(bar) and tree(bar) != whole:
                checked = run("check", specs=bar)
                assert (checked.code, "a start was broken off here" in checked.out) == (1, True), number
            again = run("start", str(bar), *options, specs=None)
            assert (again.code, again.err) == (0, ""), number
            assert tree(bar) == whole, number
            assert left(within) == [], number
            assert told(bar) == [], number

        assert every_kill(["start", str(bar), *options], within, begin, look) > 6

    def test_what_somebody_wrote_since_is_never_touched(self, tmp_path: Path) -> None:
        """Killed while it filled an empty folder, then edited: that is no longer its own."""
        bar = tmp_path / "bar"
        seen: list[str] = []

        def begin() -> None:
            shutil.rmtree(bar, ignore_errors=True)
            bar.mkdir()

        def look(number: int) -> None:
            if not (bar / "house.yaml").exists() or not left(bar):
                return
            (bar / "house.yaml").write_text("format: 1\nhouse: Ours\n", encoding="utf-8")
            before = tree(bar)
            again = run("start", str(bar), specs=None)
            assert (again.code, "run that start again as it was" in " ".join(again.err.split())) == (1, True), number
            assert '"house.yaml" is not as this one would write it' in " ".join(again.err.split())
            other = run("start", str(bar), "--demo", specs=None)
            assert other.code == 1
            assert tree(bar) == before
            seen.append("edited")

        every_kill(["start", str(bar)], bar, begin, look)
        assert seen

    def test_one_that_is_at_work_is_left_alone(self, tmp_path: Path) -> None:
        from balancer.files.house.broken_off import left_starts, start_lock  # noqa: PLC0415

        made = tmp_path / ".start-abcd1234"
        made.mkdir()
        assert left_starts(tmp_path) == [made]
        with start_lock(made):
            assert left_starts(tmp_path) == []
        assert left_starts(tmp_path) == [made]
        (made / "mine").touch()
        assert left_starts(tmp_path) == []  # somebody else's


def test_an_import_says_what_is_half_and_writes_the_rest(tmp_path: Path) -> None:
    sheet = tmp_path / "menu.csv"
    sheet.write_text(SHEET, encoding="utf-8")
    specs = tmp_path / "specs"
    words = ["import", str(sheet), "--write", "--specs", str(specs)]

    def begin() -> None:
        shutil.rmtree(specs, ignore_errors=True)
        copy_of_house(tmp_path)

    begin()
    before = tree(specs)
    assert run(*words, specs=None).code == 0
    whole = tree(specs)
    new = len(whole) - len(before)
    assert (new, left(specs)) == (4, [])
    halves: set[str] = set()

    def look(number: int) -> None:
        now = tree(specs)
        visible = {name: raw for name, raw in now.items() if "/." not in f"/{name}"}
        assert visible.items() <= whole.items(), number
        written = len(visible) - len(before)
        said = told(specs)
        assert bool(said) == (bool(left(specs)) or 0 < written < new), number
        mark = next((one for one in said if "import-" in one[0]), None)
        if 0 < written < new:
            assert mark is not None, number
            were = "was" if written == 1 else "were"
            assert f'"{sheet}" was broken off: {written} of its {new} files {were} written' in mark[1]
            assert f"balancer import {sheet} --write" in mark[2]
            halves.add(mark[1])
        again = run(*words, specs=None)
        assert again.code == 0, number
        after = tree(specs)
        assert {name: raw for name, raw in after.items() if "/." not in f"/{name}"} == whole, number
        assert not any("import-" in path for path, _, _ in told(specs)), number

    assert every_kill(words, specs, begin, look) > 12
    assert len(halves) == new - 1


EDITS: dict[str, list[str]] = {
    "set": ["set", "slipway", "raspberry", "20ml", "--yes"],
    "set --as": ["set", "slipway", "raspberry", "20ml", "--as", "Slipway Dry", "--yes"],
    "standard": ["set", "raspberry", "standard", "52", "--keep-drinks", "--yes"],
    "swap": ["swap", "slipway", "--out", "raspberry", "--in", "honey", "--write", "--yes"],
    "log": ["batch", "add", "raspberry", "--brix", "50", "--by", "Noor"],
    "export": ["export", "drinks", "--out", "OUT/menu.csv"],
}


@pytest.mark.parametrize("name", EDITS)
def test_a_file_is_as_it_was_or_as_it_should_be(tmp_path: Path, name: str) -> None:
    """And what is left beside it is told, or taken away by the next who writes it."""
    specs = tmp_path / "bar" / "specs"
    words = [word.replace("OUT", str(tmp_path / "bar")) for word in EDITS[name]]

    def begin() -> None:
        shutil.rmtree(tmp_path / "bar", ignore_errors=True)
        shutil.copytree(CHECKOUT / "specs", specs)

    begin()
    before = tree(tmp_path / "bar")
    assert run(*words, specs=specs).code in {0, 1}  # 1 where something is doubted
    whole = tree(tmp_path / "bar")
    changed = {key for key in whole if whole[key] != before.get(key)}
    assert changed

    def look(number: int) -> None:
        now = tree(tmp_path / "bar")
        for key in whole:
            assert now.get(key) in {before.get(key), whole[key]}, (number, key)
        over = left(tmp_path / "bar")
        assert {path for path, _, _ in told(specs)} == {
            str(tmp_path / "bar" / key) for key in over if key.startswith("specs/")
        }, number
        assert all(key.endswith(".unfinished") for key in over)
        for key in over:
            os.utime(tmp_path / "bar" / key, (0, 0))
        again = run(*words, specs=specs)
        assert again.code in {0, 1}
        if again.code == 0 and name not in {"set --as", "export"}:
            assert [key for key in left(tmp_path / "bar") if key.startswith("specs/drinks")] == [], number

    assert every_kill([*words, "--specs", str(specs)], tmp_path / "bar", begin, look) > 1
