"""What a bartender reads on a strip is what `tonight` decided: every figure on paper, read with another's eyes."""

from __future__ import annotations

import re
import tempfile
import unicodedata
from fractions import Fraction
from pathlib import Path
from typing import Any, Final

import pytest
from hypothesis import given

from balancer.files.house.load import load
from tests import pdf
from tests.across.houses import Bar, answer, bars, tried
from tests.cli.runner import CHECKOUT, run
from tests.strip_lines import Printed, lines_of

_NOW: Final = {"BALANCER_NOW": "2026-11-25T19:00+01:00"}
_OFF_ML: Final = 0.06
"""Volumes are printed to a tenth, or to a quarter where they are one."""
_OFF_SHARE: Final = 0.02
"""Of an ounce in fractions, see `balancer.units.format_fraction`."""


def number(text: str) -> float:
    """What is printed, as a number: 17.5, ⅝, 1¾, 2⁄3, 1 2⁄3."""
    spelt = "".join(f" {unicodedata.normalize('NFKC', sign)}" if sign in "¼½¾⅓⅔⅛⅜⅝⅞⅚" else sign for sign in text)
    return float(sum(Fraction(part.replace("⁄", "/")) for part in spelt.split()))


def off(unit: str, value: float, ounce: float, division_g: float) -> float:
    """How far what is printed may be from what was decided, ml or g."""
    if unit == "g":
        return max(division_g, 0.1) / 2.0 + 1e-6
    return max(_OFF_ML, _OFF_SHARE * value, 0.005 * ounce) if unit == "oz" else _OFF_ML


def assert_printed(path: Path, strips: list[dict[str, Any]], ounce: float, division_g: float) -> None:
    """Every line of JSON is printed, in its order, and nothing else is."""
    printed = lines_of(path)
    place = 0
    for strip in strips:
        for line in strip["conversions"]:
            unit = line["unit"]
            written, poured = line[f"spec_{unit}"], line[f"poured_{unit}"]

            def is_it(shown: Printed, written: float = written, poured: float = poured) -> bool:
                in_ml = ounce if shown.unit == "oz" else 1.0
                pairs = [(shown.poured, poured), (shown.written, written)]
                # What is written in another unit than the one to pour in is not told in JSON.
                return all(
                    abs(number(text) * in_ml - value) <= off(shown.unit, value, ounce, division_g)
                    for text, value in pairs[: 1 if shown.written[-1].isalpha() else 2]
                )

            before = place
            while place < len(printed) and is_it(printed[place]):
                place += 1
            if place == before and not (place and is_it(printed[place - 1])):  # two that read alike are printed once
                alike = 2.0 * off("oz" if unit == "ml" else unit, written, ounce, division_g)
                assert abs(written - poured) <= alike, f"{strip['batch']}: {written} → {poured} is not in {printed}"
    assert place == len(printed), f"{printed[place:]} was never decided"


def assert_drinks(path: Path, strips: list[dict[str, Any]]) -> None:
    """Every drink that the lines are not for is named, with what JSON says of it."""
    text = " ".join(pdf.text(path).split())
    for strip in strips:
        for own in strip["own_pours"]:
            moves = own[f"spec_{own['unit']}"] != own[f"poured_{own['unit']}"]
            # Of a pour that stays, the scale still says what its card says in ml.
            stays = r"(as written|\S+ (ml|oz) → \S+ g)" if own["unit"] == "g" else "as written"
            said = r"(\S+ ?\S* → \S+ ?\S* (ml|oz|g)|as written)" if moves else stays
            assert re.search(rf"{re.escape(own['name'])} {said}", text), f"{own['name']} in {text}"
        for drink in strip["ask"]:
            assert re.search(
                rf"{re.escape(drink['name'])} (no jigger pour works: ask|its pour is fixed: ask|ask first)", text
            )


@pytest.mark.slow
@given(bar=bars(most_syrups=4, most_drinks=6))
@tried(40)
def test_every_figure_on_paper_is_the_one_that_was_decided(bar: Bar) -> None:
    with tempfile.TemporaryDirectory() as folder:
        specs, path = bar.write(Path(folder)), Path(folder) / "strips.pdf"
        data = answer(specs, "strips", "--out", str(path), "--json").data
        if not data["files"]:
            assert data["strips"] == []
            return
        assert all(strip["printed"] for strip in data["strips"])
        house = load(specs).specs.house
        assert_printed(path, data["strips"], house.ounce, bar.house.division_g)
        assert_drinks(path, data["strips"])
        ids = list(dict.fromkeys(entry.partition(" ")[0] for entry in pdf.outline(path)))
        assert ids == [strip["batch"] for strip in data["strips"]]


@pytest.mark.slow
@pytest.mark.parametrize("on", ["a4", "letter", "receipt", "receipt58"])
def test_the_demo_house(tmp_path: Path, on: str) -> None:
    path = tmp_path / "strips.pdf"
    data = run("strips", "--on", on, "--out", str(path), "--json", specs=CHECKOUT / "specs", env=_NOW).data
    assert len(data["strips"]) == 3
    assert_printed(path, data["strips"], 30.0, 1.0)
    assert_drinks(path, data["strips"])
    decided = run("tonight", "--json", specs=CHECKOUT / "specs", env=_NOW).data
    lines = {item["batch"]: item["conversions"] for item in decided["batches"]}
    assert [strip["conversions"] for strip in data["strips"][:2]] == [lines["RAS-12"], lines["GIN-2"]]
