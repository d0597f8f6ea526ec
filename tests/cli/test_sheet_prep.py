"""Every figure on the printed prep sheet is the one that JSON, `correct` and `make` give."""

from __future__ import annotations

import contextlib
import json
import re
from pathlib import Path

import pytest

from tests.cli.runner import copy_of_house, run
from tests.prep_sheet import day, figure, number, printed

pytestmark = pytest.mark.slow

NOW = {"BALANCER_NOW": "2026-11-25T15:00+01:00"}
DEMO = Path(__file__).parent.parent.parent / "specs"

AT_MORE_LENGTH = {
    "keep its bottle and jigger apart from the others": "allergens: keep tools, bottle and jigger apart",
    "the powder stings eyes and lungs": "acid powder hurts eyes and lungs: add it to water, never water to it; "
    "pour it slowly; label it; your local food rules decide what may be sold",
}
"""How the head of the page says the cautions of the demo house's files; it says each once."""


def part(text: str, section: str, name: str) -> str:
    """What stands in a row of a section, up to a row that follows."""
    rest = text[text.index(f"{section} ") :]
    return rest[rest.index(name) :][:500]


def test_what_to_add_is_what_json_says(tmp_path: Path) -> None:
    data, text = printed(tmp_path, DEMO, NOW)
    rows = [row for row in data["batches"] if row["todo"] == "correct"]
    assert len(rows) == 5
    for row in rows:
        shown, add = part(text, "Correct, stir, read", f"{row['batch']} {row['name']}"), row["add"]
        assert f"{row['brix']:g} → {row['standard_brix']:g} °Bx" in shown
        assert f"{figure(add['g_per_kg'])} {add['name']} per kg {figure(add['all_g'])} " in shown
        assert f"{figure(add['first_g_per_kg'])} first, per kg ({figure(add['first_g'])} for all)" in shown
        assert f" {figure(add['mass_g'])} " in shown
        assert f"should read {number(row['shows']['reading_brix'])}" in shown


def test_and_what_correct_says(tmp_path: Path) -> None:
    _, text = printed(tmp_path, DEMO, NOW)
    for batch in ("PIN-1", "RAS-12", "STR-1", "GIN-2", "DEM-1"):
        way = run("correct", "--batch", batch, "--json", specs=DEMO, env=NOW).data
        shown = part(text, "Correct, stir, read", batch)
        assert f"{way['name']} per kg {figure(way['add_g'])} " in shown
        assert f"({figure(way['first_add_g'])} for all)" in shown
        assert f"should read {number(way['final_reading_brix'])}" in shown


def test_what_to_make_is_what_json_and_make_say(tmp_path: Path) -> None:
    data, text = printed(tmp_path, DEMO, NOW)
    assert len(data["make"]) == 5
    for made in data["make"]:
        shown = part(text, "Make", made["name"])
        answer = run("make", made["name"], "--json", specs=DEMO, env=NOW).data
        assert [one["mass_g"] for one in answer["parts"]] == [one["mass_g"] for one in made["parts"]]
        weighed = " ".join(f"{figure(one['mass_g'], whole_from=100.0)} {one['name']}" for one in made["parts"])
        assert weighed in shown
        strength = number(answer["brix"])
        strength += f" to {number(answer['high_brix'])}" if answer["high_brix"] else ""
        assert f"gives {answer['mass_g']:.0f} g, {answer['volume_ml']:.0f} ml, at {strength} °Bx" in shown
        assert f"use by {day(made['discard'])}" in shown
        shows = made["shows"]
        if shows["sample_g"] is None:
            assert f"should read {number(shows['reading_brix'])}" in shown
        else:
            assert f"with {shows['water_g']:.0f} g water should read {number(shows['diluted_reading_brix'])}" in shown
        for allergen in made["allergens"]:
            assert f"contains {allergen}" in shown
        for caution in made["cautions"]:
            said = AT_MORE_LENGTH[caution["text"]]
            (number_of,) = re.findall(rf" (\d) {re.escape(said)}: {made['name']} ", text)
            assert f"caution {number_of} " in shown
            assert text.count(said) == 1
    assert sum(len(made["cautions"]) for made in data["make"]) == 2


def test_what_runs_out_is_said_once_decided(tmp_path: Path) -> None:
    """Berry syrup's last batch ends today, and the menu pours it: said on screen, paper and in JSON."""
    specs = copy_of_house(tmp_path)
    entry = {"event": "open", "at": "2026-11-24T10:00:00+00:00"}
    log = [
        {"batch": "BER-1", "syrup": "berry-syrup", "event": "made", "brix": 50, "made": "2026-11-20",
         "discard": "2026-11-25", "at": "2026-11-20T10:00:00+00:00"},
        {"batch": "BER-1", **entry},
    ]  # fmt: skip
    (specs / "batches.yaml").write_text("".join(f"- {json.dumps(line)}\n" for line in log), encoding="utf-8")
    data, text = printed(tmp_path, specs, NOW)
    (row,) = [row for row in data["batches"] if row["todo"] == "last day"]
    assert (row["batch"], row["no_other"], row["make_more"]) == ("BER-1", True, True)
    (made,) = [made for made in data["make"] if made["syrup"] == "berry-syrup"]
    assert made["runs_out"] == "2026-11-25"
    assert "BER-1 berry syrup open, use by Wed 25 Nov runs out today: make more" in text
    assert "what is left runs out Wed 25 Nov: make more" in text
    with contextlib.chdir(tmp_path):
        screen = run("sheet", "prep", "--out", "prep.pdf", specs=specs, env=NOW).out
    assert "last day: BER-1 berry syrup today: runs out, make more" in " ".join(screen.split())


def test_what_the_font_cannot_show_is_told_on_screen_and_in_json(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    odd = {"syrup": "石榴糖浆", "id": "pomegranate", "standard": "50 °Bx", "recipe": ["1 kg white sugar", "1 kg water"]}
    (specs / "syrups" / "odd.yaml").write_text(json.dumps(odd), encoding="utf-8")
    for path in (specs / "drinks").iterdir():
        path.unlink()
    drink = {"drink": "Odd", "method": "shaken", "pours": ["60 ml gold rum", "20 ml pomegranate"]}
    (specs / "drinks" / "odd.yaml").write_text(json.dumps(drink), encoding="utf-8")
    data, text = printed(tmp_path, specs, NOW)
    assert data["left_off"] == ["石榴糖浆"]
    assert "1 text this font cannot show: see the screen" in text
    assert "[see the screen] pomegranate" in text
    with contextlib.chdir(tmp_path):
        done = run("sheet", "prep", "--out", "prep.pdf", specs=specs, env=NOW)
    assert "not on the page, the font cannot show it: 石榴糖浆" in done.out
