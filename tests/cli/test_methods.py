"""A method without stated water: everything but what is in the glass; words of the trade; the house's usual water."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.runner import copy_of_house, run

POURS = "pours: [60 ml gold rum, 22.5 ml lime juice, 22.5 ml berry syrup]\n"


def house_with(folder: Path, method: str, more: str = "", house: str = "") -> Path:
    specs = copy_of_house(folder, drinks__new=f"drink: Rolling Fog\nmethod: {method}\n{POURS}{more}")
    with (specs / "house.yaml").open("a", encoding="utf-8") as file:
        file.write(house)
    return specs


def test_it_loads_and_only_the_glass_is_unknown(tmp_path: Path) -> None:
    specs = house_with(tmp_path, "rolled")
    assert run("check", specs=specs).code == 0
    done = run("totals", "rolling", specs=specs)
    first = done.out.splitlines()[0]
    assert done.code == 0
    assert first == "Rolling Fog: 105 ml before ice at 22.9 % ABV, 14 g sugar, 1.3 g acid (as citric)"
    assert '  in the glass      unknown: nothing says how much water "rolled" adds' in done.out
    assert "19 g, 1.4 standard drinks (us)" in done.out
    data = run("totals", "rolling", "--json", specs=specs).data
    assert data["dilution"]["basis"] == "unknown"
    glass = {key for key, value in data["served"].items() if value is None}
    assert glass == {"volume_ml", "abv_percent", "sugar_g_per_100ml", "acid_g_per_100ml"}


def test_it_is_rescaled(tmp_path: Path) -> None:
    specs = house_with(tmp_path, "rolled")
    rows = {
        row["drink"]: row
        for row in run("rescale", "--syrup", "berry", "--brix", "55", "--json", specs=specs).data["drinks"]
    }
    fog, anchor = rows["rolling-fog"], rows["anchor-sour"]  # the same pours, shaken
    assert fog["pour"] == anchor["pour"]
    assert fog["verdict"] == "new pour"
    assert fog["mix_volume_change_ml"] == pytest.approx(anchor["mix_volume_change_ml"])
    assert (fog["served_volume_change_ml"], anchor["served_volume_change_ml"] is None) == (None, False)
    assert "Rolling Fog" in run("rescale", "--syrup", "berry", "--brix", "55", specs=specs).out


@pytest.mark.parametrize("command", ["cards", "strips", "labels", "sheet rail", "sheet allergens"])
def test_it_prints(tmp_path: Path, command: str) -> None:
    specs = house_with(tmp_path, "rolled")
    sours = specs / "drinks" / "sours.yaml"  # one of them is in a script that the font of the pages has not
    sours.write_text(sours.read_text(encoding="utf-8").replace("燈台守の夏の夕暮れのサワー", "Lamp"), encoding="utf-8")
    run("batch", "add", "berry", "--brix", "55", "--mass", "1 kg", specs=specs)
    run("batch", "open", "BER-1", specs=specs)
    done = run(*command.split(), "--out", str(tmp_path / "page.pdf"), "--json", specs=specs)
    assert done.code == 0, done.err
    assert command in ("strips", "labels") or "rolling-fog" in done.out


def test_it_is_poured_tonight(tmp_path: Path) -> None:
    specs = house_with(tmp_path, "rolled")
    run("batch", "add", "berry", "--brix", "55", specs=specs)
    run("batch", "open", "BER-1", specs=specs)
    data = run("tonight", "--json", specs=specs).data
    row = next(row for row in data["drinks"] if row["drink"] == "rolling-fog")
    assert (row["verdict"], row["served_volume_change_ml"]) == ("new pour", None)


@pytest.mark.parametrize(
    ("word", "like"), [("Shake & double strain", "shaken"), ("dry shake", "shaken"), ("Stir", "stirred")]
)
def test_the_bars_own_words(tmp_path: Path, word: str, like: str) -> None:
    """The water goes by what is meant; the word stays."""
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    own = run("totals", "rolling", "--json", specs=house_with(tmp_path / "a", word)).data
    plain = run("totals", "rolling", "--json", specs=house_with(tmp_path / "b", like)).data
    assert own["method"] == word
    assert own["dilution"] == plain["dilution"]
    assert own["dilution"]["basis"] == like


def test_the_houses_usual_water(tmp_path: Path) -> None:
    """15 % of the mix; a drink's own dilution goes before it, and another method has none of it."""
    usual = "dilution: {built: 15 %, flash blend: 60 %}\n"
    for number, (method, more, percent) in enumerate(
        [("build in glass", "", 15), ("Flash  Blend", "", 60), ("build", "dilution: 30 %\n", 30), ("rolled", "", None)]
    ):
        folder = tmp_path / str(number)
        folder.mkdir()
        data = run("totals", "rolling", "--json", specs=house_with(folder, method, more, usual)).data
        found, mix_ml = data["dilution"], data["mix"]["volume_ml"]
        assert found["percent_of_mix"] == percent, method
        assert found["basis"] == ("unknown" if percent is None else "stated")
        if percent:
            assert found["melt_water_g"] == pytest.approx(percent / 100 * mix_ml * 0.9982, rel=1e-4)


def test_it_is_exported_as_the_houses_and_not_as_the_drinks_own(tmp_path: Path) -> None:
    specs = house_with(tmp_path, "built", house="dilution: {built: 15 %}\n")
    out = tmp_path / "drinks.csv"
    assert run("export", "drinks", "--out", str(out), specs=specs).code == 0
    assert "15 %" not in out.read_text(encoding="utf-8-sig")


def test_a_slip_is_told_and_the_drink_stays(tmp_path: Path) -> None:
    specs = house_with(tmp_path, "shakn")
    done = run("totals", "rolling", specs=specs)
    assert done.code == 1
    assert done.out.startswith('"shakn" is no method known here')
    assert 'did you mean "shaken"?' in run("check", specs=specs).out
    assert json.loads(run("rescale", "--syrup", "berry", "--brix", "55", "--json", specs=specs).out)["drinks"]
