"""Nothing in a bar's folders vanishes: what cannot be read or followed is told with its path, and links end."""

from __future__ import annotations

import io
import os
import socket
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from balancer.errors import Problem
from balancer.files.house import folders
from balancer.files.house.load import Loaded, load, load_house
from balancer.files.sizes import SPECS
from tests.files.folders import SOUND, write
from tests.permissions import permissions_hold

DRINK = "drink: New Drink\nmethod: shaken\npours: [30 ml gold rum]\n"
DRINKS = {"slipway-sour", "quay-cooler", "half-tide"}


@pytest.fixture
def bar(tmp_path: Path) -> Path:
    """The sound bar in a folder of its own, so that things can stand beside it."""
    return write(tmp_path / "bar")


def told(loaded: Loaded, folder: Path) -> list[tuple[str, str]]:
    """Code and path of every problem, the path from the bar's folder on."""
    return [(problem.code, os.path.relpath(problem.path or "", folder)) for problem in loaded.problems]


def only(loaded: Loaded) -> Problem:
    (problem,) = loaded.problems
    assert problem.remedy
    return problem


def in_time(work: Callable[[], Loaded]) -> Loaded:
    """What a work returns, unless it waits for something that never comes."""
    done: list[Loaded] = []
    thread = threading.Thread(target=lambda: done.append(work()), daemon=True)
    thread.start()
    thread.join(10.0)
    assert done, "it hangs"
    return done[0]


class TestUnreadable:
    @pytest.mark.skipif(os.name != "posix", reason="the permissions of POSIX")
    def test_a_folder_and_a_file_without_permission(self, bar: Path) -> None:
        for path in (bar / "drinks" / "long", bar / "drinks" / "slipway-sour.yaml"):
            path.chmod(0)
        with permissions_hold():
            loaded = load(bar)
        (bar / "drinks" / "long").chmod(0o700)
        assert told(loaded, bar) == [("unreadable", "drinks/long"), ("unreadable", "drinks/slipway-sour.yaml")]
        assert (set(loaded.specs.drinks), len(loaded.missing)) == (set(), 2)

    def test_a_folder_that_cannot_be_listed(self, bar: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        real = os.scandir

        def scandir(path: str | Path) -> object:
            if Path(path).name == "long":
                raise PermissionError(13, "Permission denied")
            return real(path)

        monkeypatch.setattr("balancer.files.house.folders.os.scandir", scandir)
        loaded = load(bar)
        assert told(loaded, bar) == [("unreadable", "drinks/long")]
        assert "Permission denied" in only(loaded).message
        assert loaded.missing == loaded.problems
        assert set(loaded.specs.drinks) == {"slipway-sour"}
        assert loaded.left_out("drinks") == [f"whatever is in {bar}/drinks/long"]

    def test_a_file_that_cannot_be_opened(self, bar: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        real = io.open

        def open_(path: str | Path, *arguments: Any) -> object:
            if str(path).endswith("two.yaml"):
                raise OSError(5, "Input/output error")
            return real(path, *arguments)

        monkeypatch.setattr("io.open", open_)
        loaded = load(bar)
        assert told(loaded, bar) == [("unreadable", "drinks/long/two.yaml")]
        assert loaded.missing == loaded.problems

    def test_a_file_that_is_too_large_may_hold_anything(self, bar: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr("balancer.files.house.base.SPECS", SPECS._replace(most=400))
        (bar / "drinks" / "large.yaml").write_text(DRINK + "#" * 400, encoding="utf-8")
        loaded = load(bar)
        assert ("too-large", "drinks/large.yaml") in told(loaded, bar)
        assert [problem.path for problem in loaded.missing] == [
            path for path in map(str, sorted(bar.rglob("*.yaml"))) if Path(path).stat().st_size > 400
            and Path(path).name != "house.yaml"
        ]  # fmt: skip

    @pytest.mark.parametrize("kind", ["ingredients", "syrups", "drinks"])
    def test_a_file_in_place_of_a_folder(self, bar: Path, kind: str) -> None:
        (bar / kind).rename(bar / f"{kind}.old")
        (bar / kind).write_text("", encoding="utf-8")
        loaded = load(bar)
        assert ("unreadable", kind) in told(loaded, bar)
        assert [problem.path for problem in loaded.missing] == [str(bar / kind)]

    @pytest.mark.skipif(os.name != "posix", reason="such things have no names elsewhere")
    @pytest.mark.parametrize("what", ["a pipe", "a socket", "a device", "a folder"])
    @pytest.mark.parametrize("name", ["drinks/new.yaml", "syrups/new.yml", "house.yaml"])
    def test_what_only_has_the_name_of_a_file(
        self, bar: Path, monkeypatch: pytest.MonkeyPatch, what: str, name: str
    ) -> None:
        path = bar / name
        path.unlink(missing_ok=True)
        if what == "a pipe":
            os.mkfifo(path)
        elif what == "a socket":
            monkeypatch.chdir(path.parent)  # its name may be no longer than a hundred letters
            with socket.socket(socket.AF_UNIX) as one:
                one.bind(path.name)
        elif what == "a device":
            path.symlink_to("/dev/zero")
        else:
            path.mkdir()
            (path / "in.yaml").write_text(DRINK, encoding="utf-8")
        loaded = in_time(lambda: load(bar))
        assert told(loaded, bar) == [("unreadable", name)]
        assert f"it is {what}, not a file" in only(loaded).message
        assert loaded.missing == (() if name == "house.yaml" else loaded.problems)
        assert set(loaded.specs.drinks) == DRINKS

    def test_what_is_no_file_of_the_bar_is_left_alone(self, bar: Path) -> None:
        for name in ("note.txt", ".hidden"):
            os.mkfifo(bar / "drinks" / name)
        (bar / "drinks" / ".#new.yaml").symlink_to("me@here.1")  # what an editor leaves beside an open file
        assert load(bar).problems == ()

    @pytest.mark.parametrize(
        ("raw", "is_known"),
        [
            (DRINK.encode("utf-16"), True),
            (b"\xff\xfe\x00d\x00r", False),
            (b"\t- what", False),
            (DRINK.replace("rum", "caf\xe9").encode("cp1252"), True),
            (f"{DRINK}[".encode(), True),
        ],
    )
    def test_a_file_of_which_no_name_can_be_read(self, bar: Path, raw: bytes, is_known: bool) -> None:
        """Nobody knows which drink is missing, so whatever is answered misses it; of a known one, what it is about."""
        (bar / "drinks" / "new.yaml").write_bytes(raw)
        loaded = load(bar)
        assert [path for _, path in told(loaded, bar)] == ["drinks/new.yaml"]
        assert loaded.missing == (() if is_known else loaded.problems)
        assert [entry.id for entry in loaded.broken] == (["new-drink"] if is_known else [])


class TestLinks:
    @pytest.mark.parametrize("name", ["new.yaml", "more", "more/new.yaml"])
    def test_a_link_that_leads_nowhere(self, bar: Path, name: str) -> None:
        path = bar / "drinks" / name
        path.parent.mkdir(exist_ok=True)
        path.symlink_to("../gone")
        loaded = load(bar)
        assert told(loaded, bar) == [("link", f"drinks/{name}")]
        assert 'it is a link to "../gone", where nothing is' in only(loaded).message
        assert loaded.missing == loaded.problems

    @pytest.mark.parametrize("name", ["drinks", "house.yaml"])
    def test_a_place_of_the_bar_that_leads_nowhere(self, bar: Path, name: str) -> None:
        """As after a shared folder was moved: the bar would go on without its menu, or in other measures."""
        (bar / name).rename(bar / "was")
        (bar / name).symlink_to(bar / "gone")
        loaded = load(bar)
        assert told(loaded, bar) == [("link", name)]
        assert bool(loaded.missing) == (name == "drinks")
        assert bool(loaded.house_problems) == bool(load_house(bar)[1]) == (name == "house.yaml")

    @pytest.mark.parametrize("inside", [True, False])
    def test_a_folder_and_a_file_are_followed(self, bar: Path, tmp_path: Path, inside: bool) -> None:
        shared = (bar if inside else tmp_path) / "shared"
        shared.mkdir()
        (shared / "new.yaml").write_text(DRINK, encoding="utf-8")
        (shared / "other.txt").write_text(DRINK.replace("New", "Other"), encoding="utf-8")
        (bar / "drinks" / "all").symlink_to(shared)
        (bar / "drinks" / "other.yml").symlink_to(shared / "other.txt")
        loaded = load(bar)
        assert loaded.problems == ()
        assert set(loaded.specs.drinks) == {*DRINKS, "new-drink", "other-drink"}

    def test_all_three_folders_may_be_links(self, bar: Path, tmp_path: Path) -> None:
        for kind in ("ingredients", "syrups", "drinks"):
            (bar / kind).rename(tmp_path / kind)
            (bar / kind).symlink_to(tmp_path / kind)
        loaded = load(bar)
        assert (loaded.problems, loaded.files) == ((), len(SOUND))

    @pytest.mark.parametrize("name", ["again.yaml", "0.yaml"])
    def test_a_second_way_to_a_file_names_both(self, bar: Path, name: str) -> None:
        """Whatever the alphabet says, the file itself is read and the link is told."""
        (bar / "drinks" / name).symlink_to("slipway-sour.yaml")
        loaded = load(bar)
        assert told(loaded, bar) == [("same-file", f"drinks/{name}")]
        assert f'"{bar}/drinks/slipway-sour.yaml" once more' in only(loaded).message
        assert (loaded.missing, set(loaded.specs.drinks)) == ((), DRINKS)

    def test_a_second_name_of_a_file(self, bar: Path) -> None:
        os.link(bar / "drinks" / "slipway-sour.yaml", bar / "drinks" / "twin.yaml")
        loaded = load(bar)
        assert told(loaded, bar) == [("same-file", "drinks/twin.yaml")]
        assert set(loaded.specs.drinks) == DRINKS

    def test_a_second_way_to_a_folder_names_both(self, bar: Path, tmp_path: Path) -> None:
        (tmp_path / "shared" / "new").mkdir(parents=True)
        (tmp_path / "shared" / "new" / "new.yaml").write_text(DRINK, encoding="utf-8")
        for name in ("a", "b"):
            (bar / "drinks" / name).symlink_to(tmp_path / "shared")
        loaded = load(bar)
        assert told(loaded, bar) == [("same-file", "drinks/b")]
        assert f'the folder "{bar}/drinks/a" once more' in only(loaded).message
        assert "new-drink" in loaded.specs.drinks

    @pytest.mark.parametrize("target", ["long", "..", ".", "../.."])
    def test_a_link_to_where_it_is_ends(self, bar: Path, target: str) -> None:
        (bar / "drinks" / "long" / "again").symlink_to(target, target_is_directory=True)
        if target == "long":
            (bar / "drinks" / "long" / "long").symlink_to("again")
        loaded = load(bar)
        assert {code for code, _ in told(loaded, bar)} == {"link"}
        assert ("link", "drinks/long/again") in told(loaded, bar)
        assert ("leads back" in loaded.problems[0].message) == (target != "long")
        assert set(loaded.specs.drinks) == DRINKS

    def test_two_folders_that_link_to_each_other_end(self, bar: Path, tmp_path: Path) -> None:
        for name, other in (("one", "two"), ("two", "one")):
            (tmp_path / name).mkdir()
            (tmp_path / name / f"{name}.yaml").write_text(DRINK.replace("New", name), encoding="utf-8")
            (tmp_path / name / "over").symlink_to(tmp_path / other)
        (bar / "drinks" / "way").symlink_to(tmp_path / "one")
        loaded = load(bar)
        assert told(loaded, bar) == [("same-file", "drinks/way/over/over")]
        assert {"one-drink", "two-drink"} <= set(loaded.specs.drinks)

    def test_a_link_to_too_much_is_not_followed_at_all(
        self, bar: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr(folders, "MOST_SEEN", 20)
        (tmp_path / "much").mkdir()
        for number in range(30):
            (tmp_path / "much" / f"{number}.yaml").write_text(DRINK, encoding="utf-8")
        (bar / "drinks" / "a").symlink_to(tmp_path / "much")
        (bar / "drinks" / "b.yaml").symlink_to(tmp_path / "much" / "7.yaml")
        loaded = load(bar)
        assert told(loaded, bar) == [("too-many", "drinks/a")]
        assert (loaded.missing, set(loaded.specs.drinks)) == (loaded.problems, {*DRINKS, "new-drink"})

    @pytest.mark.skipif(os.name != "posix", reason="there is one root only here")
    def test_a_link_to_everything_ends(self, bar: Path) -> None:
        (bar / "drinks" / "all").symlink_to("/usr")
        (bar / "drinks" / "root").symlink_to("/")
        loaded = in_time(lambda: load(bar))
        assert ("link", "drinks/root") in told(loaded, bar)
        assert ("too-many", "drinks/all") in told(loaded, bar)
        assert set(loaded.specs.drinks) == DRINKS


def test_too_many_files_of_the_bar_itself(bar: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Those that were looked at are read, so that the answer is as good as it can be."""
    monkeypatch.setattr(folders, "MOST_SEEN", 3)
    for number in range(5):
        (bar / "syrups" / f"z{number}.txt").write_text("", encoding="utf-8")
    loaded = load(bar)
    assert told(loaded, bar) == [("too-many", "syrups")]
    assert (loaded.missing, set(loaded.specs.drinks)) == (loaded.problems, DRINKS)


def test_too_deep(bar: Path) -> None:
    deepest = bar.joinpath("drinks", *["in"] * folders.MOST_DEEP)
    (deepest / "in").mkdir(parents=True)
    (deepest / "new.yaml").write_text(DRINK, encoding="utf-8")
    loaded = load(bar)
    assert told(loaded, bar) == [("too-deep", os.path.relpath(deepest / "in", bar))]
    assert "new-drink" in loaded.specs.drinks
