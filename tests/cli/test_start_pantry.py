"""`start --pantry`: the pantry as a bar gets it, and what a drink of it is said to hold."""

from __future__ import annotations

from pathlib import Path

import pytest

from balancer.files.house.pantry import pantry
from tests.cli.runner import CHECKOUT, run


def test_all_of_it_is_a_house_without_a_problem(tmp_path: Path) -> None:
    bar = tmp_path / "bar"
    started = run("start", str(bar), "--pantry", "all", specs=None)
    assert (started.code, started.err) == (0, "")
    assert "already there lime juice, white rum, granulated sugar" in " ".join(started.out.split())
    checked = run("check", specs=bar)
    # The starter's own three entries stand for those three of the pantry.
    assert checked.out == f"all well: 1 drink, 1 syrup, {len(pantry().entries)} ingredients in 20 files\n"


def test_groups_become_the_houses_own_files(tmp_path: Path) -> None:
    bar = tmp_path / "bar"
    started = run("start", str(bar), "--pantry", "juices,spirits", specs=None)
    assert started.first == f"{bar} is ready: 6 files to read and change"
    assert "out of the pantry juices 18, spirits 21" in started.out
    assert "ABV unknown       21 of them: read the labels" in started.out
    assert {path.name for path in (bar / "ingredients").iterdir()} == {"juices.yaml", "spirits.yaml", "starter.yaml"}


def test_sugar_that_is_only_the_legal_minimum_is_told(tmp_path: Path) -> None:
    """An orange liqueur has 100 g/l at least, by law; honey and lime juice were analysed."""
    started = run("start", str(tmp_path / "bar"), "--pantry", "orange liqueur,honey", specs=None)
    told = "sugar at least orange liqueur: the legal minimum, a lower bound; ask the maker"
    assert told in " ".join(started.out.split())
    juices = run("start", str(tmp_path / "other"), "--pantry", "juices", specs=None)
    assert "sugar at least" not in juices.out


def test_a_house_that_is_there_gets_one_more_ingredient(tmp_path: Path) -> None:
    bar = tmp_path / "bar"
    run("start", str(bar), specs=None)
    added = run("start", str(bar), "--pantry", "yuzu juice", specs=None)
    assert (added.code, added.first) == (0, f"1 ingredient added to {bar} out of the pantry")
    again = run("start", str(bar), "--pantry", "yuzu juice", "--json", specs=None)
    assert again.code == 0
    assert again.data == {
        "folder": str(bar),
        "files": [],
        "added": [],
        "already_there": [{"ingredient": "yuzu juice", "house_name": "yuzu juice"}],
    }


def test_the_demo_house_with_more(tmp_path: Path) -> None:
    done = run("start", str(tmp_path / "bar"), "--demo", "--pantry", "bitters", specs=None)
    assert done.code == 0
    assert run("check", specs=tmp_path / "bar").code == 0
    for path in (CHECKOUT / "specs").glob("ingredients/*.yaml"):
        assert (tmp_path / "bar" / "ingredients" / path.name).read_bytes() == path.read_bytes()


@pytest.mark.parametrize("word", ["jucies", "honey liqeur", "bar"])
def test_an_unknown_word_writes_nothing(tmp_path: Path, word: str) -> None:
    done = run("start", str(tmp_path / "bar"), "--pantry", f"juices,{word}", specs=None)
    assert (done.code, done.out) == (2, "")
    assert f'the pantry has no group or ingredient called "{word}"' in done.err
    assert "groups: beers " in done.err
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_no_house_is_refused_and_the_house_below_it_named(tmp_path: Path) -> None:
    run("start", str(tmp_path / "specs"), specs=None)
    done = run("start", str(tmp_path), "--pantry", "juices", specs=None)
    assert done.code == 1
    assert f'the house is in "{tmp_path / "specs"}": name that folder' in done.err
    with_demo = run("start", str(tmp_path / "specs"), "--demo", "--pantry", "juices", specs=None)
    assert (with_demo.code, "exists and is not empty" in with_demo.err) == (1, True)


def test_a_drink_of_it_holds_at_least_what_is_known(tmp_path: Path) -> None:
    """Gin has no ABV until a label is read: beside a rum of 40 % the alcohol is a lower bound, and gin is named."""
    bar = tmp_path / "bar"
    run("start", str(bar), "--pantry", "gin,lemon juice", specs=None)
    pours = "[25 ml white rum, 25 ml gin, 22.5 ml lemon juice, 15 ml simple syrup]"
    (bar / "drinks" / "fog.yaml").write_text(f"drink: Fog\nmethod: shaken\ndilution: 20 %\npours: {pours}\n")
    told = run("totals", "fog", specs=bar)
    assert "≥" in told.first
    assert "alcohol unknown   gin" in told.out
    data = run("totals", "fog", "--json", specs=bar).data
    assert {(one["ingredient"], one["what"]) for one in data["unknown"]} == {("gin", "abv")}
    # 22.5 ml lemon at 1.031 g/ml and 25.2 g/kg, 15 ml of 50 °Bx at 1.2296 g/ml: hand arithmetic
    assert data["mix"]["sugar_g"] == pytest.approx(22.5 * 1.031 * 0.0252 + 15 * 1.2296 * 0.5, abs=0.01)
    # 25 ml of 40 % at 0.78924 g/ml of ethanol (OIML R 22)
    assert data["mix"]["ethanol_g"] == pytest.approx(25 * 0.40 * 0.78924, abs=0.01)
