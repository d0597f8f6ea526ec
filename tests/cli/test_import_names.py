"""Names that the house does not have: asked name by name at a terminal, kept in the map, and never guessed."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

import balancer.cli.commands.import_ as command
from balancer.cli import unknown_names
from balancer.files.house.load import load
from balancer.files.sheets.map_file import Answers, keep_answers, read_map
from tests.cli.runner import Run, answered, copy_of_house, run
from tests.files.layouts import GLASSES

SHEET = """\
Cocktail,Item,Qty,Technique,Glass
Tin Lantern,dry gin,45 ml,shake,Collins
,Lemon,22.5 ml,,
,Pear syrup,15 ml,,
,yuzu juice,5 ml,,
,mint sprig,1,,
Harbour Kite,gold rum,60 ml,smoke gently,rocks
,Soda,60 ml,,
"""
SAID = {"Lemon": "1", "Pear syrup": "", "yuzu juice": "1", "mint sprig": "-", "Soda": "soda w", "Collins": "1"}


@pytest.fixture
def specs(tmp_path: Path) -> Path:
    specs = copy_of_house(tmp_path)
    with (specs / "house.yaml").open("a", encoding="utf-8") as house:
        house.write(GLASSES)
    (tmp_path / "menu.csv").write_text(SHEET)
    return specs


class Person:
    """Somebody at the terminal, who answers by name and remembers what was asked."""

    def __init__(self, said: dict[str, str | None], *, keeps: bool = True) -> None:
        self.said = said
        self.keeps = keeps
        self.asked: list[str] = []
        self.told: list[str] = []

    def say(self, text: str, *, asks: bool = False) -> str | None:
        if not asks:
            self.told.append(text)
            return None
        self.asked.append(text)
        return self.said[text.split('"')[1]]

    def ask(self, question: str) -> bool:
        self.asked.append(question)
        return self.keeps


@pytest.fixture
def person(monkeypatch: pytest.MonkeyPatch) -> Person:
    there = Person(dict(SAID))
    monkeypatch.setattr(command, "is_terminal", lambda: True)
    monkeypatch.setattr(unknown_names, "say", there.say)
    monkeypatch.setattr(command, "ask", there.ask)
    return there


def imported(specs: Path, *options: str) -> Run:
    return run("import", str(specs.parent / "menu.csv"), *options, specs=specs)


def test_each_name_is_asked_once_with_what_it_may_be(specs: Path, person: Person) -> None:
    imported(specs)
    lemon, pear, yuzu, mint, soda, glass, keep = person.asked
    assert lemon.splitlines()[:2] == ['"Lemon" (1 drink, row 3) is not in the house, and may be:', "  1 lemon juice"]
    assert pear.startswith('"Pear syrup" (1 drink, row 4) is not in the house.\n')
    assert "  1 yuzu juice (pantry)" in yuzu
    assert "  1 mint leaves (pantry)" in mint
    assert "  1 soda water\n" in soda
    assert "vodka" not in soda
    assert "  1 highball\n" in glass
    assert "menu.map.yaml" in keep


def test_the_answers_are_used_kept_and_not_asked_again(specs: Path, person: Person) -> None:
    first = imported(specs, "--write")
    assert first.first == "menu.csv: 2 drinks written, 1 ingredient new, 1 out of the pantry"
    assert "not poured        1 mint sprig in Tin Lantern" in first.out
    after = load(specs)
    assert after.problems == ()
    drink = after.specs.drinks["tin-lantern"]
    assert [pour.of for pour in drink.pours] == ["dry-gin", "lemon-juice", "pear-syrup", "yuzu-juice"]
    assert drink.glass == "highball"
    assert after.specs.drinks["harbour-kite"].pours[1].of == "soda-water"
    assert "left out: 1 mint sprig" in (specs / "drinks" / "tin-lantern.yaml").read_text()
    person.asked.clear()
    again = imported(specs)
    assert person.asked == []
    assert again.first == "menu.csv: 0 drinks ready, 2 already there"
    assert "with the map" in " ".join(again.out.split())


def test_a_dry_run_keeps_the_answers_too(specs: Path, person: Person) -> None:
    """What comes out of the pantry is in the map as such, so that it comes the next time, unasked."""
    imported(specs)
    kept = read_map(specs.parent / "menu.map.yaml").found
    assert kept.ingredients == {
        "Lemon": "lemon juice", "Pear syrup": "Pear syrup", "yuzu juice": "yuzu juice", "Soda": "soda water"
    }  # fmt: skip
    assert (kept.leave_out, kept.pantry, kept.glasses) == (("mint sprig",), ("yuzu juice",), {"Collins": "highball"})
    person.asked.clear()
    done = imported(specs, "--json")
    assert person.asked == []
    assert done.data["from_pantry"] == ["yuzu juice"]
    assert done.data["lacking"] == [
        {"name": "Pear syrup", "what": ["alcohol", "sugar", "acid"]}, {"name": "yuzu juice", "what": ["sugar", "acid"]}
    ]  # fmt: skip


def test_nobody_keeps_what_is_not_wanted(specs: Path, person: Person) -> None:
    person.keeps = False
    imported(specs)
    assert not (specs.parent / "menu.map.yaml").exists()


def test_a_map_that_is_given_gets_the_answers(specs: Path, person: Person) -> None:
    """It keeps its comments and the way it is written."""
    path = specs.parent / "ours.yaml"
    path.write_text("# our own\ningredients: {Lemon: lemon juice}   # theirs: ours\nunit: ml\n")
    imported(specs, "--map", str(path))
    text = path.read_text()
    assert text.startswith("# our own\ningredients: {Lemon: lemon juice, Pear syrup: Pear syrup, ")
    assert "   # theirs: ours\nunit: ml\n" in text
    assert '"Lemon"' not in "".join(person.asked)
    assert not (specs.parent / "menu.map.yaml").exists()


@pytest.mark.parametrize(("said", "first"), [("zork", "nothing is called"), ("h", None), ("9", "nothing is called")])
def test_a_name_that_is_not_clear_is_asked_again(
    specs: Path, person: Person, monkeypatch: pytest.MonkeyPatch, said: str, first: str | None
) -> None:
    answers = iter([said, ""])
    say = person.say

    def one(text: str, *, asks: bool = False) -> str | None:
        if asks and '"Pear syrup"' in text:
            person.asked.append(text)
            return next(answers)
        return say(text, asks=asks)

    monkeypatch.setattr(unknown_names, "say", one)
    imported(specs)
    pear = [question for question in person.asked if '"Pear syrup"' in question]
    assert len(pear) == 2
    assert any(told.startswith(first) for told in person.told) if first else "  1 herbal liqueur\n" in pear[1]


def test_stop_asks_no_more(specs: Path, person: Person) -> None:
    person.said["Pear syrup"] = "stop"
    done = imported(specs)
    assert len(person.asked) == 3  # two names, and whether to keep what was said
    assert "Soda (did you mean soda water" in " ".join(done.out.split())
    assert read_map(specs.parent / "menu.map.yaml").found.ingredients == {"Lemon": "lemon juice"}


def test_where_nobody_can_be_asked_nothing_is_guessed(specs: Path) -> None:
    done = imported(specs, "--json")
    new = {one["name"]: [each["name"] for each in one["may_be"]] for one in done.data["ingredients"]}
    assert new["Lemon"][0] == "lemon juice"
    assert new["Soda"][0] == "soda water"
    assert new["Pear syrup"] == []
    drinks = {one["name"]: one["pours"] for one in done.data["drinks"]}
    assert drinks["Harbour Kite"] == ["60 ml gold rum", "60 ml Soda"]
    assert done.data["glasses"] == [{"name": "Collins", "rows": [2], "did_you_mean": "highball"}]


def test_a_drink_whose_method_tells_no_water_is_named(specs: Path) -> None:
    done = imported(specs)
    assert 'dilution unknown  Harbour Kite ("smoke gently")' in done.out
    data = imported(specs, "--json").data["drinks"]
    assert {one["name"]: one["dilution_known"] for one in data} == {"Tin Lantern": True, "Harbour Kite": False}


def test_long_names_are_whole_with_all(specs: Path) -> None:
    name = "Pear syrup of the long orchard behind the house by the river, second pressing"
    (specs.parent / "menu.csv").write_text(SHEET.replace("Pear syrup", f'"{name}"'))
    assert name not in " ".join(imported(specs).out.split())
    assert name in " ".join(imported(specs, "--all").out.split())


def test_a_person_at_a_real_terminal(specs: Path) -> None:
    """What is typed stays on its line, Ctrl-D ends the asking, and the answer follows."""
    code, seen = answered(
        '"Lemon"', "1\n-\n\x04n\n", "import", str(specs.parent / "menu.csv"), "--specs", str(specs), "--unit", "ml"
    )
    assert code == 1, seen
    assert '"Pear syrup" (1 drink, row 4) is not in the house.' in seen
    assert "menu.csv: 1 drink ready, 1 with faults" in seen


def test_a_hard_link_to_the_map_is_told_when_it_is_parted(specs: Path) -> None:
    kept, also = specs.parent / "menu.map.yaml", specs.parent / "also.yaml"
    kept.write_text("unit: ml\n", encoding="utf-8")
    os.link(kept, also)
    code, seen = answered('"Lemon"', "1\n\x04", "import", str(specs.parent / "menu.csv"), "--specs", str(specs))
    assert (code, "the map had another name on the disk (a hard link)" in " ".join(seen.split())) == (1, True)
    assert (also.read_text(encoding="utf-8"), "Lemon" in kept.read_text(encoding="utf-8")) == ("unit: ml\n", True)


def test_answers_go_into_a_map_of_any_writing(tmp_path: Path) -> None:
    answers = Answers({"Soda": "soda water", "a, b": "x: y"}, {"OF": "rocks"}, ("ice",), ("gin",))
    for text in (
        "",
        "unit: ml",
        "ingredients:\n    Lime: lime juice   # fresh\n# end\n",
        "ingredients: {}\nleave out: [mint]\npantry:\n  - rum\n",
        "leave out:\n- mint\nglasses: {N&N: coupe}\n",
    ):
        path = tmp_path / "map.yaml"
        path.write_text(text)
        before = read_map(path).found if text else read_map(None).found
        keep_answers(path, answers)
        found = read_map(path).found
        assert found.ingredients == {**before.ingredients, **answers.ingredients}
        assert found.glasses == {**before.glasses, **answers.glasses}
        assert set(found.leave_out) == {*before.leave_out, "ice"}
        assert set(found.pantry) == {*before.pantry, "gin"}
        assert found.unit == before.unit
        assert all(part in path.read_text() for part in ("# fresh", "# end") if part in text)
    assert json.dumps(found.glasses) == '{"N&N": "coupe", "OF": "rocks"}'
