"""Whatever command changes a spec: the next card has another version, date and mark than the one it replaces."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from balancer.files.house.load import load
from balancer.files.house.printed import FILE
from tests.cli.runner import copy_of_house, run

PRINTED_ON = {"BALANCER_NOW": "2026-11-25T18:00+01:00"}
LATER = {"BALANCER_NOW": "2026-11-26T18:00+01:00"}
DRINK = """\
drink: Cabin Sour
id: cabin
method: shaken
dilution: 20 %
glass: coupe
pours:
  - 60 ml gold rum
  - 22.5 ml lime juice
  - 22.5 ml berry syrup
version: 3
date: 2026-11-12
"""

EDITS = {
    "set a pour": ("set", "cabin", "berry", "20ml"),
    "set --to": ("set", "cabin", "berry", "--to", "honey syrup"),
    "set --add": ("set", "cabin", "--add", "10 ml honey syrup"),
    "set --remove": ("set", "cabin", "berry", "--remove"),
    "set several": ("set", "cabin", "berry", "20ml", "--add", "10 ml honey syrup"),
    "set a standard": ("set", "berry", "standard", "52"),
    "set a standard, drinks kept": ("set", "berry", "standard", "52", "--keep-drinks"),
    "swap": ("swap", "cabin", "--out", "berry", "--in", "honey syrup", "--write"),
    "adjust": ("adjust", "cabin", "--sugar", "-10%", "--write"),
    "adjust to a size": ("adjust", "cabin", "--volume", "110ml", "--write"),
}


def card(specs: Path) -> dict[str, str]:
    """What was noted of the card that was printed last, with the date of its spec."""
    cards = json.loads((specs / FILE).read_text(encoding="utf-8"))["cards"]
    found = next(each for each in cards if each["drink"] == "cabin")
    return {key: found[key] for key in ("version", "mark")} | {"date": found["spec"]["drinks"][0]["date"]}


@pytest.mark.parametrize("words", EDITS.values(), ids=list(EDITS))
def test_the_next_card_tells_itself_from_the_old_one(tmp_path: Path, words: tuple[str, ...]) -> None:
    specs = copy_of_house(tmp_path, drinks__cabin=DRINK)
    assert run("cards", "cabin", "--out", str(tmp_path / "old.pdf"), specs=specs, env=PRINTED_ON).code == 0
    old = card(specs)
    assert (old["version"], old["date"]) == ("3", "2026-11-12")
    done = run(*words, "--yes", specs=specs, env=LATER)
    assert done.code == 0, done.out + done.err
    told = run("cards", "--changed", "--json", "--out", str(tmp_path / "new.pdf"), specs=specs, env=LATER)
    assert "cabin" in told.data["changed"]
    assert told.data["same_version"] == []
    new = card(specs)
    assert (new["version"], new["date"]) == ("4", "2026-11-26")
    assert new["mark"] != old["mark"]


def test_a_drink_kept_under_a_name_of_its_own_is_the_first_of_its_kind(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path, drinks__cabin=DRINK)
    run("cards", "cabin", "--out", str(tmp_path / "old.pdf"), specs=specs, env=PRINTED_ON)
    assert run("set", "cabin", "berry", "20ml", "--as", "Dry Cabin", "--yes", specs=specs, env=LATER).code == 0
    drinks = load(specs).specs.drinks
    assert (drinks["cabin"].version, drinks["cabin"].date) == ("3", "2026-11-12")
    assert (drinks["dry-cabin"].version, drinks["dry-cabin"].date) == ("1", "2026-11-26")


def test_a_standard_raises_no_drink_whose_card_stays(tmp_path: Path) -> None:
    """One that says what it is written for, and one that does not pour the syrup."""
    apart = DRINK.replace("Cabin", "Apart").replace("id: cabin", "id: apart") + "written for: {berry syrup: 46 °Bx}\n"
    other = DRINK.replace("Cabin", "Other").replace("id: cabin", "id: other").replace("berry", "honey")
    specs = copy_of_house(tmp_path, drinks__cabin=DRINK, drinks__apart=apart, drinks__other=other)
    files = {path.name: path.read_bytes() for path in (specs / "drinks").iterdir()}
    assert run("set", "berry", "standard", "52", "--yes", specs=specs, env=LATER).code == 0
    changed = {path.name for path in (specs / "drinks").iterdir() if path.read_bytes() != files[path.name]}
    assert "cabin.yaml" in changed
    assert not {"apart.yaml", "other.yaml"} & changed
