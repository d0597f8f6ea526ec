"""`balancer export` as a person types it: the file, what is said of it, and what is not in it."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from balancer.files.sheets.table import plain_cell
from tests.cli.runner import CHECKOUT, copy_of_house, edited_house, run

NOW = {"BALANCER_NOW": "2026-11-25T18:30+01:00"}
BROKEN = "drink: Loose Plank\nmethod: shaken\npours:\n  - 20 ml berry syrup\n  - 20 ml nonsuch\n"


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where files are named without their folder: a long one would be broken into lines."""
    monkeypatch.chdir(tmp_path)


def table(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def test_drinks() -> None:
    out = Path("menu.csv")
    done = run("export", "drinks", "--out", str(out))
    rows = table(out)
    names = list(dict.fromkeys(row["drink"] for row in rows))
    assert (done.code, done.err) == (0, "")
    assert done.first == f"{len(names)} drinks, {len(rows)} pours → {out}"
    anchor = [row for row in rows if row["drink"] == "Anchor Sour"]
    assert [(row["amount"], row["unit"], row["ingredient"]) for row in anchor] == [
        ("60", "ml", "gold rum"), ("22.5", "ml", "lime juice"), ("22.5", "ml", "berry syrup"),
    ]  # fmt: skip
    assert "燈台守の夏の夕暮れのサワー" in names


def test_totals() -> None:
    out = Path("totals.csv")
    done = run("export", "totals", "--out", str(out))
    (anchor,) = [row for row in table(out) if row["drink"] == "Anchor Sour"]
    data = run("totals", "anchor", "--json").data
    assert done.first == f"{len(table(out))} drinks → {out}"
    assert float(anchor["sugar g"]) == data["served"]["sugar_g"]
    assert float(anchor["in the glass ml"]) == data["served"]["volume_ml"]


def test_totals_of_unknown_sugar_have_no_quotient_and_say_that_the_energy_is_a_part(tmp_path: Path) -> None:
    part = (
        "drink: Half Told\nmethod: shaken\ndilution: 20 %\npours: [20 ml lime juice, 20 ml plain syrup, 20 ml stuff]\n"
    )
    stuff = "ingredient: stuff\nkind: liqueur\nabv: 20 %\ndensity: 1.05 g/ml\nallergens: []\n"
    out = tmp_path / "totals.csv"
    run(
        "export",
        "totals",
        "--out",
        str(out),
        specs=copy_of_house(tmp_path, drinks__half=part, ingredients__stuff=stuff),
    )

    rows = {row["drink"]: row for row in table(out)}

    half, whole = rows["Half Told"], rows["Anchor Sour"]
    assert (half["sugar at least"], half["sugar to acid"], half["energy at least"]) == ("yes", "", "yes")
    assert float(half["energy kcal"]) > 0
    assert (whole["energy at least"], float(whole["sugar to acid"]) > 0) == ("no", True)


def test_batches() -> None:
    out = Path("log.csv")
    done = run("export", "batches", "--out", str(out), specs=CHECKOUT / "specs", env=NOW)
    told = run("batch", "list", "--json", specs=CHECKOUT / "specs", env=NOW).data["batches"]
    rows = table(out)
    assert (done.code, done.first) == (0, f"{len(told)} batches → {out}")
    assert [(row["batch"], row["state"], row["made"]) for row in rows] == [
        (batch["batch"], batch["state"], batch["made"]) for batch in told
    ]
    assert next(row for row in rows if row["batch"] == "LIM-1")["strength °Bx"] == ""


def test_no_log_is_no_batches() -> None:
    out = Path("log.csv")
    assert run("export", "batches", "--out", str(out)).first == f"0 batches → {out}"


def test_json() -> None:
    out = Path("menu.csv")
    done = run("export", "drinks", "--out", str(out), "--json")
    assert done.code == 0
    assert done.data == {
        "export": "drinks", "out": str(out), "drinks": done.data["drinks"], "pours": len(table(out)), "left_out": [],
    }  # fmt: skip


@pytest.mark.parametrize("what", ["drinks", "totals"])
def test_what_does_not_load_is_missing_and_told(tmp_path: Path, what: str) -> None:
    specs, out = copy_of_house(tmp_path, drinks__broken=BROKEN), Path("menu.csv")
    done = run("export", what, "--out", str(out), specs=specs)
    assert done.code == 1
    assert "not in it: Loose Plank" in done.out
    assert 'no ingredient or syrup is called "nonsuch"' in done.err
    names = {row["drink"] for row in table(out)}
    assert "Anchor Sour" in names
    assert "Loose Plank" not in names


def test_a_menu_of_which_nothing_loads_replaces_no_file(tmp_path: Path) -> None:
    specs, out = copy_of_house(tmp_path, drinks__broken=BROKEN), Path("menu.csv")
    for name in ("sours", "strong"):
        (specs / f"drinks/{name}.yaml").unlink()
    out.write_text("the last good one", encoding="utf-8")
    done = run("export", "drinks", "--out", str(out), specs=specs)
    assert (done.code, done.out) == (1, "")
    assert out.read_text(encoding="utf-8") == "the last good one"


def test_a_formula_in_a_name_is_text(tmp_path: Path) -> None:
    specs = edited_house(
        tmp_path, "drinks/sours.yaml", "- drink: Anchor Sour", '- drink: "=1+1"\n  notes: ["-2 °C", "x"]'
    )
    out = Path("menu.csv")
    run("export", "drinks", "--out", str(out), specs=specs)
    (first,) = [row for row in table(out) if row["drink"] == "'=1+1" and row["id"]]
    assert first["notes"] == "'-2 °C\nx"
    assert plain_cell(first["notes"]) == "-2 °C\nx"


def test_a_drinks_own_chill_and_not_the_houses(tmp_path: Path) -> None:
    """Anchor Sour says one thing as the house says it, and the rest not at all."""
    specs = edited_house(tmp_path, "house.yaml", "format: 1", "format: 1\nchill: {ice: 130 g, start: 20 °C}")
    path = specs / "drinks/sours.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(
        text.replace("- drink: Anchor Sour\n", "- drink: Anchor Sour\n  chill: {ice: 130 g}\n"), encoding="utf-8"
    )
    out = Path("menu.csv")
    assert run("export", "drinks", "--out", str(out), specs=specs).code == 0
    said = {row["drink"]: (row["chill ice"], row["chill start"]) for row in table(out) if row["id"]}
    assert said["Anchor Sour"] == ("130 g", "")
    assert said["Bollard"] == ("", "")


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("everything", "--out", "menu.csv"), 2, "choose drinks, totals, batches"),
        (("drinks", "--out", "menu.xlsx"), 2, "end it in .csv"),
        (("drinks",), 2, "--out"),
        (("drinks", "--out", "nowhere/menu.csv"), 1, "cannot be written"),
    ],
)
def test_what_is_not_understood(tmp_path: Path, words: tuple[str, ...], code: int, said: str) -> None:
    done = run("export", *words)
    assert (done.code, done.out) == (code, "")
    assert said in done.err
    assert list(tmp_path.iterdir()) == []
