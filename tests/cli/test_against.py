"""`totals --against` as it is typed."""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

from balancer.files.house.printed import FILE
from balancer.output.words.numbers import width
from tests.cli.runner import HOUSE, Run, answered, copy_of_house, edited_house, run

NOW = {"BALANCER_NOW": "2026-11-25T18:00+01:00"}
SOUR = "drink: Lee Shore\nmethod: shaken\npours: [60 ml gold rum, 25 ml lime juice, 22.5 ml plain syrup]\n"
TWO = (
    "- {drink: Lee Shore, method: shaken, pours: [60 ml gold rum, 25 ml lime juice, 22.5 ml plain syrup]}\n"
    "- {drink: Weather Side, method: shaken, pours: [50 ml gold rum, 20 ml nonsuch]}\n"
)
PRINTED = "drink: NAME\nmethod: shaken\npours: [60 ml gold rum, 25 ml lime juice, 20 ml plain syrup]\n"


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def beside(other: str, *words: str, drink: str = "anchor", specs: Path = HOUSE) -> Run:
    return run("totals", drink, "--against", other, *words, specs=specs, env=NOW)


def text(done: Run) -> str:
    return re.sub(r"\s+", " ", done.out)


# Another drink of the house


def test_both_are_what_totals_says_of_each() -> None:
    data = beside("foam", "--json").data
    assert data["drink"] == run("totals", "anchor", "--json").data
    assert data["against"] == run("totals", "foam", "--json").data
    assert data["from"] == {"kind": "house", "path": None, "version": None, "date": None}
    one, other = data["drink"]["served"], data["against"]["served"]
    assert data["moved"]["abv_points"] == pytest.approx(one["abv_percent"] - other["abv_percent"])
    assert data["moved"]["sugar_percent"] == pytest.approx(100 * (one["sugar_g"] / other["sugar_g"] - 1))
    assert data["alcohol_added_g"] == pytest.approx(one["ethanol_g"] - other["ethanol_g"])


def test_the_first_line_says_what_moved_and_the_columns_what_is_held() -> None:
    done = beside("foam")
    assert (done.code, done.err) == (0, "")
    assert done.first.startswith("Anchor Sour against Foam Line: ")
    rows = done.out.splitlines()
    head = next(row for row in rows if row.rstrip().endswith("moved"))
    assert head.split("  ")[-1] == "moved"
    for label in ("before ice", "in the glass", "sugar", "acid", "sugar to acid", "per 100 ml", "alcohol"):
        assert any(row.strip().startswith(label) for row in rows), label


def test_unknown_is_unknown_in_the_columns_too() -> None:
    done = beside("dark")
    assert "sugar unknown" in text(done)
    (row,) = [row for row in done.out.splitlines() if row.startswith("    sugar  ")]
    assert "≥" in row
    assert row.endswith("unknown")
    assert not re.search(r"\b0 g", row)


def test_ounces(tmp_path: Path) -> None:
    specs = edited_house(tmp_path, "house.yaml", "show: ml", "show: oz")
    done = beside("foam", specs=specs)
    assert " oz" in done.out
    assert " ml " not in done.out.replace("per 100 ml", "")


def test_the_working_is_of_both() -> None:
    done = beside("foam", "--steps")
    for drink in ("anchor", "foam"):
        steps = run("totals", drink, "--steps").out.partition("\n\n")[2]
        assert steps.rstrip("\n") in done.out


def test_it_fits_any_width(monkeypatch: pytest.MonkeyPatch) -> None:
    for columns in (40, 60, 80, 120):
        monkeypatch.setattr("balancer.cli.runner.columns_of", lambda _, columns=columns: columns)
        lines = beside("燈台", drink="the long").out.splitlines()
        assert max(map(width, lines)) <= columns, lines
        assert not any("not –" in line for line in lines)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["totals", "--against", "foam"], "nothing says which drink"),
        (["totals", "anchor", "--sort", "sugar"], "for the whole menu"),
        (["totals", "anchor", "--reverse"], "for the whole menu"),
        (["totals", "--sort", "taste"], "choose one of name, volume, abv"),
        (["totals", "anchor", "--against", "nonsuch"], 'no drink is called "nonsuch"'),
        (["totals", "anchor", "--against", "nonsuch.yaml"], 'there is no file "nonsuch.yaml"'),
        (["totals", "anchor", "--against", "else/where"], "there is no file"),
        (["totals", "anchor", "--against", "~nobody-at-all/x.yml"], "there is no file"),
    ],
)
def test_wrong_usage(words: list[str], says: str) -> None:
    done = run(*words)
    assert (done.code, done.out) == (2, "")
    assert says in done.err


# A file


def test_a_file_outside_the_house() -> None:
    Path("new.yaml").write_text(SOUR, encoding="utf-8")
    done = beside("new.yaml", "--json")
    assert (done.code, done.err) == (0, "")
    data = done.data
    assert (data["against"]["name"], data["from"]["kind"], data["from"]["path"]) == ("Lee Shore", "file", "new.yaml")
    lime = next(pair for pair in data["pours"] if pair["ingredient"] == "lime-juice")
    assert (lime["drink"]["volume_ml"], lime["against"]["volume_ml"], lime["same"]) == (22.5, 25.0, False)
    assert beside("new.yaml").first.startswith("Anchor Sour against Lee Shore in new.yaml: ")
    assert run("totals", "lee shore").code == 2  # it is not of the house


def test_a_file_with_a_drink_of_the_same_name(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    Path("anchor.yaml").write_text(SOUR.replace("Lee Shore", "Anchor Sour"), encoding="utf-8")
    done = beside("anchor.yaml", specs=specs)
    assert (done.code, done.err) == (0, "")
    assert "Anchor Sour (file)" in done.out


def test_of_several_drinks_one_is_named_and_the_others_problems_are_told() -> None:
    Path("two.yaml").write_text(TWO, encoding="utf-8")
    unsaid = beside("two.yaml")
    assert unsaid.code == 2
    assert 'holds 2 drinks: Lee Shore, Weather Side\n  say which: --against "two.yaml:Lee Shore"' in unsaid.err
    sound = beside("two.yaml:lee")
    assert (sound.code, sound.first.startswith("Anchor Sour against Lee Shore in two.yaml")) == (1, True)
    assert 'two.yaml:2:71: no ingredient or syrup is called "nonsuch"' in sound.err
    broken = beside("two.yaml:weather")
    assert (broken.code, broken.out) == (1, "")
    assert 'two.yaml:2:71: no ingredient or syrup is called "nonsuch"' in broken.err
    other = beside("two.yaml:port")
    assert other.code == 2
    assert 'holds no drink called "port"\n  it holds Lee Shore, Weather Side' in other.err


def test_a_person_is_asked_which(tmp_path: Path) -> None:
    path = tmp_path / "two.yaml"
    path.write_text(TWO, encoding="utf-8")
    code, seen = answered("drinks:", "1\n", "totals", "anchor", "--against", str(path), "--specs", str(HOUSE))
    assert "Anchor Sour against Lee Shore" in seen
    assert code == 1


def test_the_exact_name_of_a_drink_goes_before_a_path(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path, drinks__half=SOUR.replace("Lee Shore", "Half/Half"))
    assert beside("half/half", specs=specs).first.startswith("Anchor Sour against Half/Half: ")


def test_home_is_known(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    (tmp_path / "new.yml").write_text(SOUR, encoding="utf-8")
    assert beside("~/new.yml").code == 0


def test_what_cannot_be_a_file_is_told_in_kitchen_words() -> None:
    os.mkfifo("pipe.yaml")
    Path("folder.yaml").mkdir()
    Path("nowhere.yaml").symlink_to("gone")
    Path("round.yaml").symlink_to("round.yaml")
    Path("empty.yaml").write_text("", encoding="utf-8")
    Path("junk.yaml").write_bytes(b"- {a: [" * 1_200_000)
    Path("bytes.yaml").write_bytes(bytes(range(0x80, 0x100)) * 8000)
    Path("list.yaml").write_text("- just\n- text\n", encoding="utf-8")
    Path("syrup.yaml").write_text("syrup: berry\nstandard: 50 °Bx\n", encoding="utf-8")
    said = {
        "pipe.yaml": "it is a pipe, not a file",
        "folder.yaml": "it is a folder, not a file",
        "nowhere.yaml": "where nothing is",
        "round.yaml": "round in a circle",
        "empty.yaml": "the file is empty",
        "junk.yaml": "junk.yaml",
        "bytes.yaml": "not saved as UTF-8",
        "list.yaml": "list.yaml:1:3",
        "syrup.yaml": "syrup.yaml:1:1",
    }
    for name, words in said.items():
        done = beside(name)
        assert (done.code, done.out) == (1, ""), name
        assert words in done.err, name


def test_what_is_doubted_of_the_file_comes_first() -> None:
    Path("slip.yaml").write_text(SOUR.replace("25 ml", "250 ml"), encoding="utf-8")
    done = beside("slip.yaml")
    assert done.code == 1
    assert "250 ml" in done.first


# As printed


def test_as_printed_says_when_and_which_version(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path, drinks__lee=f"{SOUR}version: 3\n")
    unprinted = beside("printed", drink="lee", specs=specs)
    assert unprinted.code == 1
    assert "no card of Lee Shore was printed yet\n  print one: balancer cards lee-shore" in unprinted.err
    assert run("cards", "lee", "--out", "lee.pdf", specs=specs, env=NOW).code == 0
    same = beside("printed", drink="lee", specs=specs)
    assert same.first == "Lee Shore against its card of 25 Nov, version 3: nothing differs"
    changed = SOUR.replace("22.5 ml plain", "15 ml plain")
    (specs / "drinks" / "lee.yaml").write_text(f"{changed}version: 4\n", encoding="utf-8")
    data = beside("printed", "--json", drink="lee", specs=specs).data
    assert data["from"] == {"kind": "printed", "path": None, "version": "3", "date": "2026-11-25"}
    (pair,) = [pair for pair in data["pours"] if not pair["same"]]
    assert (pair["ingredient"], pair["drink"]["volume_ml"], pair["against"]["volume_ml"]) == ("plain-syrup", 15, 22.5)


def test_a_draft_is_no_card(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    assert run("cards", "anchor", "--draft", "--out", "a.pdf", specs=specs, env=NOW).code == 0
    assert beside("printed", specs=specs).code == 1


def test_a_gained_allergen_of_the_same_drink_is_in_the_first_line(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path, drinks__lee=SOUR)
    assert run("cards", "lee", "--out", "lee.pdf", specs=specs, env=NOW).code == 0
    path = specs / "syrups" / "all.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("allergens: []", "allergens: [almonds]"), encoding="utf-8")
    assert "allergen gained: almonds" in beside("printed", drink="lee", specs=specs).first


@pytest.mark.parametrize(("called", "typed", "kind"), [
    ("Printed Matter", "printed", "printed"),
    ("Printed Matter", "printed m", "house"),
    ("Printed", "printed", "house"),
    ("Printed", "as printed", "printed"),
    ("Lee Shore", "Printed", "printed"),
])  # fmt: skip
def test_a_drink_whose_name_begins_so_is_within_reach(called: str, typed: str, kind: str, tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path, drinks__named=PRINTED.replace("NAME", called))
    assert run("cards", "anchor", "--out", "a.pdf", specs=specs, env=NOW).code == 0
    assert beside(typed, "--json", specs=specs).data["from"]["kind"] == kind


def test_a_spoilt_list_is_told(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    (specs / FILE).write_text("{", encoding="utf-8")
    done = beside("printed", specs=specs)
    assert (done.code, "is not the list of printed cards" in done.err) == (1, True)
