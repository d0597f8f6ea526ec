"""The page says what the command line says: every pour on it is one of `tonight --json`."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given

from balancer.files.house.load import load
from balancer.units import parse_number
from tests.across.houses import CLOCK, NIGHT, Bar, answer, bars, tried
from tests.cli.runner import CHECKOUT, run
from tests.web.browsing import Node, read, visitor

Pours = dict[tuple[str, str, float], float]
"""By bottle, unit and written amount, what to pour."""


def shown_pours(page: Node, ounce: float, show: str) -> Pours:
    found: Pours = {}
    for bottle in page.find("article", "bottle"):
        tape = bottle.find("span", "tape")[0].text
        for pair in bottle.find("span", "pair"):
            written = pair.find("span", "was")[0].text.removeprefix("written ").removesuffix("→").strip()
            *number, unit = pair.find("span", "now")[0].text.replace(", in doubt,", "").removeprefix("pour ").split()
            factor = ounce if unit == "oz" else 1.0
            key = (tape, "g" if unit == "g" else "ml", round(parse_number(written) * factor, 1))
            assert unit in ("g", show)
            found[key] = parse_number(" ".join(number)) * factor
    return found


def told_pours(data: dict[str, Any]) -> Pours:
    found: Pours = {}
    rows = [*data["batches"], *data["ingredients"]]
    for row in rows:
        if row.get("advice") in ("read again", "pull"):
            continue
        for one in row["conversions"]:
            unit = one["unit"]
            found[(row["batch"], unit, round(one[f"spec_{unit}"], 1))] = one[f"poured_{unit}"]
    return found


def moving(data: dict[str, Any]) -> list[tuple[str, str, str, float]]:
    """Every drink that pours otherwise than written, its bottle, and what is written."""
    rows = [(row["batch"], row["name"], row["pour"]) for row in data["drinks"] if row["verdict"] == "new pour"]
    rows += [(juice["batch"], row["name"], row) for juice in data["ingredients"] for row in juice["drinks"]]
    return [(name, tape, pour["unit"], round(pour[f"spec_{pour['unit']}"], 1)) for tape, name, pour in rows]


@given(bar=bars())
@tried(200)
def test_every_pour_of_the_page_is_that_of_the_command_line(bar: Bar) -> None:
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        specs = bar.write(Path(folder))
        for name, value in CLOCK.items():
            patch.setenv(name, value)
        data = answer(specs, "tonight", "--json").data
        house = load(specs).specs.house
        page = read(visitor(specs).get("/").text)
        shown, told = shown_pours(page, house.ounce, house.show), told_pours(data)
        near_ml = 0.051 if house.show == "ml" else 0.02 * 30  # as finely as the page prints it
        assert {key[0] for key in shown} == {key[0] for key in told}
        for (tape, unit, written), poured in told.items():
            tolerance = 0.51 if unit == "g" else near_ml
            near = [
                value
                for (other, kind, amount), value in shown.items()
                if (other, kind) == (tape, unit) and abs(amount - written) <= tolerance
            ]
            if not any(abs(value - poured) <= tolerance for value in near):
                # Another pour that reads the same has the line: who pours this one is named beside it.
                names = [name for name, *pour in moving(data) if pour == [tape, unit, written]]
                beside = " ".join(one.text for one in page.find("article", "bottle") if tape in one.text)
                assert near, (tape, unit, written, poured, shown)
                assert names, (tape, unit, written, poured, shown)
                assert [name for name in names if name not in beside] == []
        held = " ".join(node.text for node in page.find("section", "stop"))
        for row in data["drinks"]:
            if row["verdict"] == "out of reach":
                advice = next(one["advice"] for one in data["batches"] if one["batch"] == row["batch"])
                assert advice in ("read again", "pull") or row["name"] in held
        for batch in data["discard"]:
            assert batch in held
        assert NIGHT.strftime("%a") in page.find("h1")[0].text


def test_what_stands_in_for_another_syrup_is_told_in_the_words_of_the_command(tmp_path: Path) -> None:
    specs = tmp_path / "specs"
    shutil.copytree(CHECKOUT / "specs", specs)
    now = {"BALANCER_NOW": "2026-11-25T18:30+01:00"}
    run("batch", "discard", "ALM-1", specs=specs, env=now)
    run("batch", "add", "almond syrup", "50", "--open", "--replaces", "RAS-12", specs=specs, env=now)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("BALANCER_NOW", now["BALANCER_NOW"])
        client = visitor(specs)
        tonight = read(client.get("/").text).text
        drink = read(client.get("/drinks/slipway-sour").text).text
        other = read(client.get("/drinks/port-hand-buoy").text).text
    note = run("tonight", "--json", specs=specs, env=now).data["notes"][0]
    assert note.startswith("ALM-2 almond syrup in place of raspberry syrup: tree nuts not on the cards of ")
    assert note in " ".join(tonight.split())
    told = "ALM-2 almond syrup in place of raspberry syrup: tree nuts, not on the card: tell the guest"
    assert told in " ".join(drink.split())
    assert "ALM-2" not in other
