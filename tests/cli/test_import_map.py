"""The map of an import: what it may say, how its mistakes are told, asking at a terminal, and keeping the answers."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

import balancer.cli.commands.import_ as command
from balancer.cli.terminal import say
from balancer.files.house.load import load
from balancer.models.import_map import ImportMap
from tests.cli.runner import copy_of_house
from tests.cli.test_import import LONG, PAGE, imported, told
from tests.docs.tables import tables, ticked


@pytest.fixture
def specs(tmp_path: Path) -> Path:
    return copy_of_house(tmp_path)


MAP = """\
columns: {drink: Serve, ingredient: What, amount: C}
heading row: 2
unit: ml
method: stirred
delimiter: ";"
encoding: windows-1252
ignore: [Margin]
ingredients: {green lime: lime juice}
"""
OURS = "Our menu;;;\nServe;What;How;Margin\nFête;gold rum;60;1\n;green lime;22,5;1\n".encode("cp1252")


def test_a_map(specs: Path) -> None:
    path = specs.parent / "map.yaml"
    path.write_text(MAP)
    done = imported(specs, OURS, "--map", str(path), "--write", "--json")
    assert (done.code, done.data["problems"], done.data["columns_not_read"]) == (0, [], [])
    drink = load(specs).specs.drinks["fete"]
    assert (drink.name, drink.method) == ("Fête", "stirred")
    assert [(str(pour.amount), pour.of) for pour in drink.pours] == [("60 ml", "gold-rum"), ("22.5 ml", "lime-juice")]


def test_a_saved_map_reads_the_same_again(specs: Path) -> None:
    saved = specs.parent / "saved.yaml"
    first = imported(specs, LONG, "--save-map", str(saved), "--json", "--unit", "ml")
    again = imported(specs, LONG, "--map", str(saved), "--save-map", str(saved), "--json")
    assert first.data == again.data
    assert "columns:\n  drink: Cocktail\n" in saved.read_text()
    other = imported(specs, LONG, "--save-map", str(saved), "--unit", "oz")
    assert (other.code, other.out) == (1, "")
    assert "is there already, and differs" in other.err


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("columns: {drnk: A}", "import-field"),
        ("colums: {drink: A}", "unknown-key"),
        ("columns: {drink: Nonsuch}", "import-heading"),
        ("heading row: soon", "number"),
        ("heading row: 99", "import-heading"),
        ("unit: glug", "unit"),
        ("delimiter: x", "choice"),
        ("encoding: klingon", "choice"),
        ("- a list", "shape"),
        ("", "shape"),
    ],
)
def test_mistakes_in_a_map_are_told_with_their_place(specs: Path, text: str, code: str) -> None:
    path = specs.parent / "map.yaml"
    path.write_text(text)
    done = imported(specs, LONG, "--map", str(path), "--json")
    assert done.code == 1
    problem = done.data["problems"][0]
    assert (problem["path"], problem["code"]) == (str(path), code)
    assert problem["line"] == 1
    assert problem["remedy"]


def test_headings_nobody_knows_are_told(specs: Path) -> None:
    done = imported(specs, "Alpha,Beta,Glass,Ice\nA,gold rum,coupe,1\n", "--json")
    assert told(done) == [(1, None, "import-heading"), (1, None, "import-heading")]
    assert "columns: {drink: HEADING}; not placed: A Alpha, B Beta" in done.data["problems"][0]["remedy"]


def test_amounts_in_a_column_nobody_knows_are_told_once(specs: Path) -> None:
    done = imported(specs, "Drink,Ingredient,Alpha,Method\nA,gold rum,60 ml,shaken\n,lime juice,20 ml,\n", "--json")
    assert told(done) == [(1, None, "import-heading")]
    assert "columns: {amount: HEADING}; not placed: C Alpha" in done.data["problems"][0]["remedy"]


def test_somebody_at_a_terminal_is_asked(specs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(command, "is_terminal", lambda: True)
    said = io.StringIO("drink\nnonsense\ningredient\n\n")
    told_apart = []

    def answer(text: str, *, asks: bool = False) -> str | None:
        told_apart.append(text)
        return said.readline().strip() if asks else None

    monkeypatch.setattr(command, "say", answer)
    saved = specs.parent / "saved.yaml"
    text = "Alpha,Beta,Qty,Method,Margin\nA,gold rum,60 ml,shaken,1\n"
    done = imported(specs, text, "--save-map", str(saved), "--json")
    assert done.data["drinks"][0]["state"] == "ready"
    assert '"nonsense" is not open here' in told_apart
    assert "drink: Alpha\n  ingredient: Beta\n" in saved.read_text()


def test_a_question_shows_a_heading_as_any_name_is_shown(
    specs: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing in it turns the line around."""
    monkeypatch.setattr(command, "is_terminal", lambda: True)
    asked = []

    def answer(text: str, *, asks: bool = False) -> str:
        asked.append(text)
        return "" if asks else text

    monkeypatch.setattr(command, "say", answer)
    imported(specs, "Drink,Al\u202epha,Beta,Qty,Method\nA,gold rum,60 ml,,shaken\n")
    (question,) = [text for text in asked if "pha" in text]
    say(question)
    assert 'column B "Al�pha"' in capsys.readouterr().err


def test_every_key_of_a_map_is_on_the_page() -> None:
    listed = [ticked(row[0]) for row in tables(PAGE)["Say which column is which"][0].rows]
    assert listed == [field.alias or name for name, field in ImportMap.model_fields.items()]
