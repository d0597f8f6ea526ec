"""A drink that is written for another strength than the standard, as a bar and a manager meet it."""

from __future__ import annotations

import contextlib
from pathlib import Path

import pytest

from balancer.files.house.load import load
from tests import pdf
from tests.cli.runner import Run, copy_of_house, run

NOW = {"BALANCER_NOW": "2026-11-25T18:00+00:00"}
OLD = """\
drink: Old Sour
method: shaken
pours: [60 ml gold rum, 22.5 ml lime juice, 22.5 ml berry syrup]
written for: {berry syrup: 46 °Bx}
dilution: 45 %
"""
"""By the printed densities 46 °Bx holds 0.5556 g sugar in a ml, 50 °Bx, the standard, 0.6148: 22.5 ml of 46 are
20.33 ml of 50, which the jigger pours as 20."""


@pytest.fixture
def specs(tmp_path: Path) -> Path:
    return copy_of_house(tmp_path, drinks__old=OLD)


def ask(specs: Path, *words: str) -> Run:
    return run(*words, specs=specs, env=NOW)


def test_tonight_names_it_although_nothing_is_open(specs: Path) -> None:
    done = ask(specs, "tonight")
    assert (done.code, done.first) == (0, "tonight 25 Nov: berry syrup changes 1 drink")
    assert "berry syrup, not read, assumed at standard 50: Old Sour 22.5 → 20 ml" in " ".join(done.out.split())
    data = ask(specs, "tonight", "--json").data
    (assumed,) = data["assumed"]
    assert (assumed["syrup"], assumed["conversions"]) == ("berry-syrup", [])
    (old,) = [row for row in assumed["drinks"] if row["drink"] == "old-sour"]
    assert (old["written_for_brix"], old["pour"]["poured_ml"]) == (46.0, 20.0)
    assert any("Old Sour 22.5 → 20 ml" in note for note in data["notes"])
    assert "written for 46 °Bx: a ml at 46 °Bx weighs" in ask(specs, "tonight", "--steps").out


def test_totals_say_what_they_count_on(specs: Path) -> None:
    """At 46 °Bx a gram holds 0.46 g of sugar, whatever acid is in it."""
    done = ask(specs, "totals", "old-sour")
    assert "written for       berry syrup 46 °Bx, standard 50" in done.out
    data = ask(specs, "totals", "old-sour", "--json").data
    assert data["written_for"] == [
        {"syrup": "berry-syrup", "name": "berry syrup", "written_for_brix": 46.0, "standard_brix": 50.0}
    ]
    berry = next(pour for pour in data["pours"] if pour["ingredient"] == "berry-syrup")
    assert berry["sugar_g"] == pytest.approx(0.46 * berry["mass_g"])
    assert ask(specs, "totals", "anchor", "--json").data["written_for"] == []


def test_the_card_and_the_rail_say_it(specs: Path, tmp_path: Path) -> None:
    """The spec as written, and beside it the strength that it is written for."""
    with contextlib.chdir(tmp_path):
        assert ask(specs, "cards", "old-sour", "--out", "old.pdf").code == 0
        rail = ask(specs, "sheet", "rail", "--out", "rail.pdf", "--json").data
        card, sheet = [" ".join(pdf.text(tmp_path / name).split()) for name in ("old.pdf", "rail.pdf")]
    for text in (card, sheet):
        assert "written for 46 °Bx" in text.replace("\u00a0", " ")
    (pour,) = [
        pour
        for drink in rail["drinks"]
        if drink["drink"] == "old-sour"
        for pour in drink["pours"]
        if pour["ingredient"] == "berry-syrup"
    ]
    assert (pour["standard_brix"], pour["written_for_brix"]) == (50.0, 46.0)


def test_a_card_changes_only_where_the_strength_does(specs: Path, tmp_path: Path) -> None:
    """To say that a drink is written for the standard changes no card; to say another strength changes its own."""
    file = specs / "drinks" / "old.yaml"
    file.write_text(OLD.replace("written for: {berry syrup: 46 °Bx}\n", ""), encoding="utf-8")

    def printed() -> Run:
        with contextlib.chdir(tmp_path):
            return ask(specs, "cards", "old-sour", "--changed", "--out", "new.pdf")

    assert printed().first.startswith("1 card")
    file.write_text(OLD.replace("46 °Bx", "50 °Bx"), encoding="utf-8")
    assert printed().first.startswith("no card has changed")
    file.write_text(OLD, encoding="utf-8")
    assert printed().first.startswith("1 card")


def test_a_spreadsheet_takes_it_there_and_back(specs: Path, tmp_path: Path) -> None:
    before = load(specs).specs.drinks["old-sour"]
    sheet = tmp_path / "all.csv"
    assert ask(specs, "export", "drinks", "--out", str(sheet)).code == 0
    for path in (specs / "drinks").iterdir():
        path.unlink()
    assert ask(specs, "import", str(sheet), "--write").code == 0
    assert load(specs).specs.drinks["old-sour"] == before
    assert before.written_for == {"berry-syrup": 46.0}


def test_a_strength_of_nothing_is_told_in_the_sheet(specs: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "new.csv"
    text = "drink,method,ingredient,amount,written for\nNew,shaken,berry syrup,20 ml,46 °Bx\n"
    sheet.write_text(text, encoding="utf-8")
    done = ask(specs, "import", str(sheet), "--json")
    assert [(one["line"], one["column"], one["code"]) for one in done.data["problems"]] == [(2, 5, "written-for")]
