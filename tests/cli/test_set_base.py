"""`set` of what the base has: a copy in the house is offered, and the base stays as it is."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from balancer.files.house.load import load
from tests.cli.runner import answered, run
from tests.files.house.test_base import files, on_base
from tests.files.house.test_own_copy import contents

QUESTION = "make the copy in the house and change it there? [y/N]"


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    on_base(tmp_path)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("BALANCER_SPECS", "stair")
    return tmp_path


SET = ("set", "slipway", "gold", "55ml", "--specs", "stair")


def test_nobody_can_be_asked(here: Path) -> None:
    before = contents(here)
    done = run(*SET, specs=None)
    assert (done.code, done.first) == (1, "not written: Slipway Sour: 55 ml gold rum, not 60 ml")
    assert "a copy of group/drinks/slipway-sour.yaml, which is shared and stays as it is" in done.out
    assert contents(here) == before


def test_somebody_who_is_sure(here: Path) -> None:
    before = contents(here / "group")
    done = run(*SET, "--yes", specs=None)
    assert (done.code, done.first) == (0, "written: Slipway Sour: 55 ml gold rum, not 60 ml")
    assert contents(here / "group") == before
    text = (here / "stair" / "drinks" / "slipway-sour.yaml").read_text(encoding="utf-8")
    assert text.startswith("drink: Slipway Sour\nmethod: shaken\npours:\n  - 55 ml gold rum\n  - 22.5 ml lime juice\n")
    data = run("totals", "slipway", "--json", "--specs", "stair", specs=None).data
    assert (
        data["mix"]["ethanol_g"]
        < run("totals", "slipway", "--json", "--specs", "group", specs=None).data["mix"]["ethanol_g"]
    )
    again = run("set", "slipway", "gold", "50ml", "--yes", "--json", "--specs", "stair", specs=None)
    assert (again.data["path"], again.data["copy_of"]) == ("stair/drinks/slipway-sour.yaml", None)


@pytest.mark.skipif(sys.platform == "win32", reason="a terminal of its own")
@pytest.mark.parametrize("answer", ["y", "n"])
def test_at_a_terminal_the_copy_is_offered(here: Path, answer: str) -> None:
    before = contents(here / "group")
    code, screen = answered(QUESTION, f"{answer}\n", "set", "slipway", "gold", "55ml", "--specs", str(here / "stair"))
    assert "which is shared and stays as it is" in " ".join(screen.split())
    assert contents(here / "group") == before
    assert code == (0 if answer == "y" else 1)
    assert (here / "stair" / "drinks" / "slipway-sour.yaml").exists() == (answer == "y")


def test_json_says_what_it_is_a_copy_of(here: Path) -> None:
    data = run(*SET, "--json", specs=None).data
    assert (data["path"], data["copy_of"], data["written"]) == (
        "stair/drinks/slipway-sour.yaml", "group/drinks/slipway-sour.yaml", False,
    )  # fmt: skip
    assert data["diff"].startswith("--- group/drinks/slipway-sour.yaml\n+++ stair/drinks/slipway-sour.yaml\n")
    assert not (here / "stair" / "drinks").exists()


def test_a_standard_of_the_base(here: Path) -> None:
    before = contents(here / "group")
    done = run("set", "raspberry", "standard", "52", "--yes", "--specs", "stair", specs=None)
    assert done.code == 0
    assert "a copy of group/syrups/raspberry-syrup.yaml, which is shared and stays as it is" in done.out
    assert contents(here / "group") == before
    assert "base              group" in run("check", "stair", specs=None).out


def test_drinks_of_the_base_that_stay_what_they_are(here: Path) -> None:
    """Each gets a copy that says what it is written for, and so does the syrup; two files of one name too."""
    drink = "drink: {}\nmethod: shaken\npours: [50 ml gold rum, 20 ml raspberry syrup]\n"
    files(here / "group", {f"drinks/{name}/x.yaml": drink.format(name) for name in ("Ebb", "Neap")})
    before = contents(here / "group")
    done = run("set", "raspberry", "standard", "52", "--keep-drinks", "--yes", "--specs", "stair", specs=None)
    assert (done.code, done.err) == (0, "")
    assert done.out.count("which is shared and stays as it is") == 4
    assert contents(here / "group") == before
    loaded = load(here / "stair")
    assert loaded.problems == ()
    assert {one.id for one in loaded.overrides} == {"raspberry-syrup", "slipway-sour", "ebb", "neap"}
    assert loaded.specs.drinks["ebb"].written_for == {"raspberry-syrup": 50.0}
    assert "not noted" not in run("check", "stair", specs=None).out


def test_a_drink_of_the_base_keeps_its_version_and_nobody_is_asked_to_raise_it(here: Path) -> None:
    files(here / "stair", {"drinks/own.yaml": OWN})
    drink = here / "group" / "drinks" / "slipway-sour.yaml"
    drink.write_text(f"version: 3\n{drink.read_text('utf-8')}", encoding="utf-8")
    before = contents(here / "group")
    run("cards", "--out", "a.pdf", "--specs", "stair", specs=None)
    done = run("set", "raspberry", "standard", "52", "--yes", "--specs", "stair", specs=None)
    assert "their version and date rise: Own Sour" in " ".join(done.out.split())
    assert "Slipway Sour is of the base and keeps its version: the mark tells the new card" in " ".join(
        done.out.split()
    )
    assert contents(here / "group") == before
    assert not (here / "stair" / "drinks" / "slipway-sour.yaml").exists()
    cards = run("cards", "--changed", "--out", "b.pdf", "--specs", "stair", specs=None)
    said = " ".join(cards.out.split())
    assert "same version, other mark: Slipway Sour, of the base: the mark tells old from new" in said
    assert "raise version" not in said


OWN = "drink: Own Sour\nversion: 7\nmethod: shaken\npours: [50 ml gold rum, 20 ml raspberry syrup]\n"
