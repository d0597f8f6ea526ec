"""`totals` without a drink: the menu as a table."""

from __future__ import annotations

import csv
import re
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given

from balancer.output.words.numbers import width
from tests.across.houses import bars, tried
from tests.cli.runner import CHECKOUT, HOUSE, Run, copy_of_house, edited_house, run

pytestmark = pytest.mark.slow

NOW = {"BALANCER_NOW": "2026-11-25T18:00+01:00"}


def text(done: Run) -> str:
    return re.sub(r"\s+", " ", done.out)


def menu(*words: str, specs: Path = HOUSE) -> Run:
    return run("totals", *words, specs=specs, env=NOW)


def test_the_menu_is_what_totals_says_of_each_drink() -> None:
    data = menu("--json").data
    assert data["drinks"] == [run("totals", one["drink"], "--json").data for one in data["drinks"]]
    assert (data["sort"], data["reverse"], data["cannot"]) == (None, False, [])


def test_the_menu_by_sugar_the_unknown_last() -> None:
    names = [one["served"]["sugar_g"] for one in menu("--sort", "sugar", "--json").data["drinks"]]
    known = [value for value in names if value is not None]
    assert names[: len(known)] == sorted(known, reverse=True)
    turned = menu("--sort", "sugar", "--reverse", "--json").data["drinks"]
    assert [one["served"]["sugar_g"] for one in turned][: len(known)] == sorted(known)


def test_the_menu_is_cut_and_all_shows_the_rest() -> None:
    whole = menu("--json").data["drinks"]
    cut, everything = menu(), menu("--all")
    assert cut.first.startswith(f"{len(whole)} drinks: ")
    left = len(whole) - 7
    assert f"--all shows {left} more drinks" in text(cut)
    assert "more drinks" not in everything.out
    for one in whole:
        assert one["name"] in text(everything)


def test_unknown_is_shown_so_in_the_menu(tmp_path: Path) -> None:
    vague = "{ingredient: vague, kind: liqueur, abv: 20 %, density: 1.05 g/ml, allergens: []}\n"
    drinks = (
        "- {drink: Some, method: shaken, pours: [40 ml vague, 20 ml plain syrup]}\n"
        "- {drink: None Known, method: built, pours: [40 ml vague]}\n"
    )
    specs = copy_of_house(tmp_path, ingredients__vague=vague, drinks__vague=drinks)
    rows = menu("--all", specs=specs).out.splitlines()
    (some,) = [row.split() for row in rows if row.startswith("  Some ")]
    (none,) = [row.split() for row in rows if row.startswith("  None Known ")]
    assert some[3].startswith("≥")
    assert none[2:5] == ["?", "?", "?"]
    assert "?: not known" in " ".join(rows)


def test_a_broken_drink_is_left_out_of_the_menu_and_told(tmp_path: Path) -> None:
    broken = "drink: Loose Plank\nmethod: shaken\npours: [20 ml nonsuch]\n"
    done = menu(specs=copy_of_house(tmp_path, drinks__broken=broken))
    assert (done.code, "1 drink left out, see below" in text(done)) == (1, True)
    assert "nonsuch" in done.err


def test_a_house_without_drinks_says_so(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    for path in (specs / "drinks").iterdir():
        path.unlink()
    done = menu(specs=specs)
    assert (done.code, "there are no drinks" in done.err) == (1, True)


def table(specs: Path, out: Path) -> dict[str, dict[str, str]]:
    run("export", "totals", "--out", str(out), specs=specs, env=NOW)
    with out.open(encoding="utf-8-sig", newline="") as file:
        return {row["id"]: row for row in csv.DictReader(file)}


COLUMNS = {
    "volume_ml": "in the glass ml", "abv_percent": "ABV % vol", "sugar_g": "sugar g", "acid_g": "acid (as citric) g",
    "ethanol_g": "alcohol g",
}  # fmt: skip


def agree(specs: Path, out: Path) -> None:
    """The menu, each drink and the export say the same figures; what is not known is null here and empty there."""
    exported = table(specs, out)
    listed: list[dict[str, Any]] = menu("--json", "--sort", "abv", specs=specs).data["drinks"]
    assert {one["drink"] for one in listed} == set(exported)
    for one in listed:
        assert one == run("totals", one["drink"], "--json", specs=specs, env=NOW).data
        for key, heading in COLUMNS.items():
            cell = exported[one["drink"]][heading]
            assert (None if cell == "" else float(cell)) == one["served"][key]


def test_menu_totals_and_export_agree_of_both_houses(tmp_path: Path) -> None:
    for folder in (HOUSE, CHECKOUT / "specs"):
        agree(folder, tmp_path / "totals.csv")


@tried(40)
@given(made=bars())
def test_menu_totals_and_export_agree_of_any_house(made: Any, tmp_path_factory: pytest.TempPathFactory) -> None:
    folder = tmp_path_factory.mktemp("bar")
    specs = folder / "specs"
    specs.mkdir()
    agree(made.write(specs), folder / "totals.csv")


def test_ounces(tmp_path: Path) -> None:
    head = menu(specs=edited_house(tmp_path, "house.yaml", "show: ml", "show: oz")).out.splitlines()[1]
    assert head.split()[3] == "oz"


def test_the_working_is_of_every_drink() -> None:
    found = menu("--steps", "--all").out
    for identity in ("anchor", "dark"):
        assert run("totals", identity, "--steps").out.partition("\n\n")[2].strip() in found


@pytest.mark.parametrize("by", [None, "ratio", "alcohol"])
def test_it_fits_any_width_and_keeps_the_column_it_is_sorted_by(
    by: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    heads = {None: "ABV", "ratio": "sugar:acid", "alcohol": "std drinks"}
    for columns in (40, 50, 80, 120):
        monkeypatch.setattr("balancer.cli.runner.columns_of", lambda _, columns=columns: columns)
        lines = menu("--all", *(["--sort", by] if by else [])).out.splitlines()
        assert max(map(width, lines)) <= columns, lines
        assert any(heads[by] in line for line in lines if "in the glass" in line)
