"""`check` of a house on a base, and of many houses in one call."""

from __future__ import annotations

from pathlib import Path

import pytest

from balancer.files.house import base as base_module
from balancer.files.yaml.document import Document
from tests.cli.runner import run
from tests.files.house.test_base import SOUR, files, on_base

KEYS = ("problems", "not_known", "base", "overrides")
NOW = {"BALANCER_NOW": "2026-11-25T18:00:00+01:00"}


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the sound bar as group/, and a house on it as stair/ that has its own of one drink."""
    on_base(tmp_path, {"drinks/sour.yaml": SOUR})
    monkeypatch.chdir(tmp_path)
    return tmp_path


def check(*words: str) -> list[str]:
    return run("check", *words, specs=None, env=NOW).out.splitlines()


@pytest.mark.usefixtures("here")
def test_a_house_on_a_base_says_what_it_has_its_own_for() -> None:
    assert check("stair") == [
        "no problems; not known: allergens of 3 drinks",
        "  loads             3 drinks, 2 syrups, 4 ingredients in 8 files",
        "  base              group",
        "  of its own        1 entry in place of what it says: Slipway Sour",
        "  not noted         Slipway Sour: what the base said; nobody knows if that",
        "                    changed since",
        "more: balancer totals DRINK says what lacks it; --all says where each is, and",
        "    what changed; where yours stays as it is: balancer check --agree NAME, or",
        "    all",
    ]
    assert "  where             Slipway Sour: stair/drinks/sour.yaml:1; base" in check("stair", "--all")
    assert run("check", "stair", "--json", specs=None).data == {
        "problems": [],
        "not_known": [
            {"what": "allergens", "drinks": ["Quay Cooler", "Half Tide", "Slipway Sour"]},
        ],
        "base": ["group"],
        "overrides": [
            {
                "kind": "drinks",
                "id": "slipway-sour",
                "name": "Slipway Sour",
                "place": "stair/drinks/sour.yaml:1",
                "base_place": "group/drinks/slipway-sour.yaml:1",
                "since": "unknown",
                "identical": False,
                "changes": [],
            }
        ],
    }


@pytest.mark.parametrize("name", ["all", "slipway", "Slipway Sour", "slipway-sour"])
def test_what_was_seen_is_noted_and_a_change_is_told(here: Path, name: str) -> None:
    assert check("stair", "--agree", name)[0] == "noted what the base says now of Slipway Sour"
    assert "not noted" not in "\n".join(check("stair"))
    assert check("stair", "--agree", name) == ["nothing to note: what the base says of it was seen already"]
    path = here / "group" / "drinks" / "slipway-sour.yaml"
    path.write_text(path.read_text("utf-8").replace("60 ml gold rum", "55 ml gold rum"), "utf-8")
    assert "  base changed      Slipway Sour (pours): group/drinks/slipway-sour.yaml:1" in check("stair")
    assert "                    pours: 60 ml gold rum → 55 ml gold rum" in check("stair", "--all")
    done = run("check", "stair", specs=None)
    assert done.code == 0  # nothing is wrong with the house's own
    (one,) = run("check", "stair", "--json", specs=None).data["overrides"]
    assert one["since"] == "changed"
    assert [change["key"] for change in one["changes"]] == ["pours"]


def test_what_the_base_no_longer_has_is_told(here: Path) -> None:
    check("stair", "--agree", "all")
    (here / "group" / "drinks" / "slipway-sour.yaml").unlink()
    assert "  base changed      Slipway Sour is no longer in it" in check("stair")


def test_what_is_the_same_as_the_base_may_go(here: Path) -> None:
    text = (here / "group" / "drinks" / "slipway-sour.yaml").read_text("utf-8")
    files(here / "stair", {"drinks/sour.yaml": f"# ours\n{text}"})
    assert "  same as the base  Slipway Sour: delete yours to follow it" in check("stair")


@pytest.mark.parametrize("words", [("--agree", "half tide"), ("--agree", "zzz")])
def test_agreeing_to_what_is_not_there(here: Path, words: tuple[str, ...]) -> None:
    done = run("check", "stair", *words, specs=None)
    assert (done.code, done.out) == (2, "")
    assert '"Slipway Sour"; or all' in done.err
    assert not (here / "stair" / "overrides.yaml").exists()


def test_a_torn_note_is_a_problem_with_its_place(here: Path) -> None:
    files(here / "stair", {"overrides.yaml": "<<<<<<< HEAD\n"})
    done = run("check", "stair", specs=None)
    assert done.code == 1
    assert "stair/overrides.yaml:1:1: this line does not say what the base said of an entry" in done.out


class TestMany:
    @pytest.fixture
    def bars(self, here: Path) -> list[str]:
        """Three houses on one base, the last of them broken."""
        for number in range(3):
            files(here / "bars" / f"{number}", {"house.yaml": f"format: 1\nhouse: Bar {number}\nbase: ../../group\n"})
        files(here / "bars" / "2", {"drinks/bad.yaml": "drink: Bad\nmethod: shaken\npours: [60 ml gold rim]\n"})
        return ["bars/0", "bars/1", "bars/2"]

    def test_all_sound(self, bars: list[str]) -> None:
        done = run("check", *bars[:2], specs=None)
        assert (done.code, done.first) == (0, "all 2 are sound; figures not known in 2")

    def test_the_first_line_says_which_are_not(self, bars: list[str]) -> None:
        done = run("check", *bars, "nowhere", specs=None)
        assert done.code == 1
        assert done.first == "2 of 4 are sound; not: bars/2 (1 problem), nowhere (1 problem)"
        assert "bars/2/drinks/bad.yaml:3:15:" in done.out
        assert 'there is no folder "nowhere"' in done.out

    def test_a_problem_of_the_base_is_told_once(self, bars: list[str], here: Path) -> None:
        files(here / "group", {"drinks/bad.yaml": "drink: Worse\nmethod: shaken\npours: [60 ml gold rim]\n"})
        done = run("check", *bars[:2], specs=None)
        assert done.first == "0 of 2 are sound; not: bars/0 (1 problem), bars/1 (1 problem)"
        assert done.out.count("group/drinks/bad.yaml:3:15") == 1
        data = run("check", *bars[:2], "--json", specs=None).data
        assert [len(one["problems"]) for one in data["folders"]] == [1, 1]
        assert len(data["problems"]) == 1
        assert [one["sound"] for one in data["folders"]] == [False, False]

    def test_each_is_told_as_it_is_alone(self, bars: list[str], here: Path) -> None:
        """One shelf for all of them changes no answer."""
        files(here / "bars" / "1", {"ingredients/lime.yaml": "ingredient: lime juice\nsugar: 9 g/l\nacid: 50 g/l\n"})
        together = run("check", *bars, "group", "--json", specs=None).data["folders"]
        for one in together:
            alone = run("check", one["folder"], "--json", specs=None).data
            assert {"base": [], "overrides": []} | alone == {key: one[key] for key in KEYS}

    def test_what_they_share_is_read_once(self, bars: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
        read: list[str] = []
        usual = base_module.read_file

        def noted(path: Path) -> Document:
            read.append(str(path))
            return usual(path)

        monkeypatch.setattr(base_module, "read_file", noted)
        run("check", *bars, specs=None)
        assert len(read) == len(set(read)) == 10  # six files of the group, its three kinds of them; four of the bars

    def test_what_changed_in_the_base_is_told_by_house(self, bars: list[str], here: Path) -> None:
        for bar in bars[:2]:
            files(here / bar, {"drinks/sour.yaml": SOUR})
        check("bars/0", "--agree", "all")
        path = here / "group" / "drinks" / "slipway-sour.yaml"
        path.write_text(path.read_text("utf-8").replace("60 ml gold rum", "55 ml gold rum"), "utf-8")
        assert check(*bars[:2]) == [
            "all 2 are sound; figures not known in 2",
            "  not known         bars/0 (allergens of 3 drinks), bars/1 (allergens of 3",
            "                    drinks)",
            "  of their own      2 entries of 2 houses in place of what their base says",
            "  base changed      bars/0: Slipway Sour (pours)",
            "  not noted         bars/1 (1): what the base said of so many",
            "more: balancer check bars/0",
        ]

    def test_wrong_usage(self, bars: list[str]) -> None:
        assert run("check", *bars, "--agree", "all", specs=None).code == 2
        assert run("check", *bars, specs=Path("group")).code == 2


HOUSE = "format: 1\nhouse: The Low Stair\n"
LEMON = "ingredient: lemon\n"  # neither kind nor anything else: nothing is known of it
SODA = "ingredient: soda\nkind: mixer\n"
FIRM = "ingredient: firm\nkind: spirit\nabv: 40 %\nsugar: 0 g/l\nallergens: []\n"
"""Alcohol, acid, sugar and allergens are told."""


def drink(name: str, *pours: str) -> str:
    return f"drink: {name}\nmethod: shaken\npours: [{', '.join(pours)}]\n"


class TestNotKnown:
    """Exit code 0 and "all well" of a bar of which nobody knows the figures read as fine."""

    @pytest.fixture
    def bar(self, tmp_path: Path) -> Path:
        """By hand: one drink is known whole, one pours soda without its sugar, two pour lemon, one of them a dash."""
        files(
            tmp_path / "bar",
            {
                "house.yaml": HOUSE,
                "ingredients/lemon.yaml": LEMON,
                "ingredients/soda.yaml": SODA,
                "ingredients/firm.yaml": FIRM,
                "drinks/neat.yaml": drink("Neat", "60 ml firm"),
                "drinks/long.yaml": drink("Long", "60 ml firm", "90 ml soda"),
                "drinks/sour.yaml": drink("Sour", "60 ml firm", "30 ml lemon"),
                "drinks/drop.yaml": drink("Drop", "60 ml firm", "1 dash lemon"),
            },
        )
        return tmp_path / "bar"

    def test_the_first_line_says_what_and_of_how_many(self, bar: Path) -> None:
        done = run("check", specs=bar)
        assert done.code == 0
        # A dash of lemon is a footnote for sugar; alcohol and acid of it count, and allergens always do.
        assert done.out.splitlines()[:3] == [
            "no problems; not known: ABV of 2 drinks, sugar of 2, acid of 2, allergens of 3",
            "  loads             4 drinks, 0 syrups, 3 ingredients in 8 files",
            "more: --all says of which drinks; balancer totals DRINK says what lacks it",
        ]

    def test_all_names_the_drinks(self, bar: Path) -> None:
        told = run("check", "--all", specs=bar).out.splitlines()
        assert "  ABV of            Drop, Sour" in told
        assert "  sugar of          Long, Sour" in told
        assert "  acid of           Drop, Sour" in told
        assert "  allergens of      Drop, Long, Sour" in told
        data = run("check", "--json", specs=bar).data["not_known"]
        assert [(one["what"], one["drinks"]) for one in data][1] == ("sugar", ["Long", "Sour"])

    def test_it_is_told_beside_problems(self, bar: Path) -> None:
        files(bar, {"drinks/bad.yaml": drink("Bad", "60 ml fire water")})
        done = run("check", specs=bar)
        assert (done.code, done.first[:10]) == (1, "1 problem;")
        assert "not known         ABV of 2 drinks, sugar of 2, acid of 2," in done.out

    def test_all_well_is_said_where_all_is_known(self, bar: Path) -> None:
        for name in ("long", "sour", "drop"):
            (bar / "drinks" / f"{name}.yaml").unlink()
        done = run("check", "--json", specs=bar)
        assert (done.code, done.data["not_known"]) == (0, [])
        assert run("check", specs=bar).out == "all well: 1 drink, 0 syrups, 3 ingredients in 5 files\n"

    def test_many_folders_say_it_too(self, bar: Path, tmp_path: Path) -> None:
        files(
            tmp_path / "well",
            {"house.yaml": HOUSE, "ingredients/firm.yaml": FIRM, "drinks/neat.yaml": drink("Neat", "60 ml firm")},
        )
        told = run("check", str(bar), str(tmp_path / "well"), specs=None)
        assert (told.code, told.first) == (0, "all 2 are sound; figures not known in 1")
        assert "(ABV of 2 drinks, sugar of 2, acid of 2, allergens of 3)" in " ".join(told.out.split())
