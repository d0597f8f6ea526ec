"""The page says what the command line says: every pour on it is one of `tonight --json`."""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given

from balancer.files.house.load import load
from balancer.units import parse_number
from tests.across.houses import CLOCK, NIGHT, Bar, MadeBatch, MadeHouse, MadeSyrup, answer, bars, tried
from tests.cli.runner import CHECKOUT, run
from tests.web.browsing import Node, read, visitor

Pours = dict[tuple[str, str, float], float]
"""By bottle, unit and written amount, what to pour. A syrup that nobody read has its name in place of a tape."""


@dataclass
class Beside:
    """Drinks that the lines of a bottle are not for: with what they pour, as written, or not to be poured of it."""

    moved: dict[str, tuple[float, str]] = field(default_factory=dict)
    as_written: set[str] = field(default_factory=set)
    not_in: set[str] = field(default_factory=set)


def titled(bottle: Node) -> str:
    tapes = bottle.find("span", "tape")
    return tapes[0].text if tapes else bottle.find("h2")[0].text


def shown_pours(page: Node, ounce: float, show: str) -> Pours:
    found: Pours = {}
    for bottle in page.find("article", "bottle"):
        for pair in bottle.find("span", "pair"):
            written = pair.find("span", "was")[0].text.removeprefix("written ").removesuffix("→").strip()
            *number, unit = pair.find("span", "now")[0].text.replace(", in doubt,", "").removeprefix("pour ").split()
            factor = ounce if unit == "oz" else 1.0
            key = (titled(bottle), "g" if unit == "g" else "ml", round(parse_number(written) * factor, 1))
            assert unit in ("g", show)
            found[key] = parse_number(" ".join(number)) * factor
    return found


def shown_beside(page: Node, names: set[str], ounce: float) -> dict[str, Beside]:
    """By bottle, the drinks that are named below its lines; every sentence there that begins with one is understood."""
    found: dict[str, Beside] = {}
    for bottle in page.find("article", "bottle"):
        beside = found[titled(bottle)] = Beside()
        for said in (rest.text for rest in bottle.find("p", "rest")):
            if said.startswith("as written: "):
                beside.as_written |= {*said.removeprefix("as written: ").split(", ")}
            elif said.startswith("not in "):
                beside.not_in |= {*said.removeprefix("not in ").split(", ")}
            elif said.startswith("no pour for "):
                waiting = said.removeprefix("no pour for ").removesuffix(" until it is corrected")
                beside.not_in |= {*waiting.split(", ")}
            elif (name := said.partition(" ")[0]) in names:
                *number, unit = said.partition(" → ")[2].split()
                amount = parse_number(" ".join(number)) * (ounce if unit == "oz" else 1.0)
                beside.moved[name] = (amount, "g" if unit == "g" else "ml")
        assert beside.as_written | beside.not_in <= names
    return found


def believed(data: dict[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    """Everything that has lines, with its tape; a syrup that nobody read with its name."""
    batches = [(row["batch"], row) for row in data["batches"] if row["advice"] not in ("read again", "pull")]
    juices = [(row["batch"], row) for row in data["ingredients"]]
    return [*batches, *juices, *((row["name"], row) for row in data["assumed"])]


def told_pours(data: dict[str, Any]) -> Pours:
    found: Pours = {}
    for tape, row in believed(data):
        for one in row["conversions"]:
            unit = one["unit"]
            found[(tape, unit, round(one[f"spec_{unit}"], 1))] = one[f"poured_{unit}"]
    return found


def moving(data: dict[str, Any]) -> list[tuple[str, tuple[str, str, float], float]]:
    """Every drink that pours otherwise than written; its bottle, unit and written amount; and what it pours."""
    rows = [(row["batch"], row["name"], row["pour"]) for row in data["drinks"] if row["verdict"] == "new pour"]
    rows += [(juice["batch"], row["name"], row) for juice in data["ingredients"] for row in juice["drinks"]]
    rows += [
        (syrup["name"], row["name"], row["pour"])
        for syrup in data["assumed"]
        for row in syrup["drinks"]
        if row["verdict"] == "new pour"
    ]
    found = [(name, tape, pour["unit"], pour) for tape, name, pour in rows]
    return [
        (name, (tape, unit, round(pour[f"spec_{unit}"], 1)), pour[f"poured_{unit}"]) for name, tape, unit, pour in found
    ]


def check_lines(shown: Pours, told: Pours, beside: dict[str, Beside], data: dict[str, Any], near_ml: float) -> None:
    """Every line is one of the command line's, and every other one of those stands beside by the drinks that pour it.

    Another pour that reads the same has its line, or a person decides on every drink of it.
    """

    def is_near(unit: str, one: float, other: float) -> bool:
        return abs(one - other) <= (0.51 if unit == "g" else near_ml)

    for (tape, unit, amount), value in shown.items():
        assert any(
            key[:2] == (tape, unit) and is_near(unit, key[2], amount) and is_near(unit, poured, value)
            for key, poured in told.items()
        ), (tape, unit, amount, value, told)
    excepted = {tape: {*row.get("exceptions", [])} for tape, row in believed(data)}
    for (tape, unit, written), poured in told.items():
        near = [value for key, value in shown.items() if key[:2] == (tape, unit) and is_near(unit, key[2], written)]
        if any(is_near(unit, value, poured) for value in near):
            continue
        names = {name for name, key, _ in moving(data) if key == (tape, unit, written)}
        assert names, (tape, unit, written, poured, shown)
        asked = names & beside[tape].not_in
        assert {name.casefold() for name in asked} <= excepted[tape]
        assert names == asked or near, (tape, unit, written, poured, shown)
        assert names - asked <= {*beside[tape].moved}
    for tape, named in beside.items():
        for name, (value, kind) in named.moved.items():
            pours = [(key[1], poured) for who, key, poured in moving(data) if (who, key[0]) == (name, tape)]
            assert any(unit == kind and is_near(unit, poured, value) for unit, poured in pours), (tape, name, value)
        for name, (_, unit, written), poured in (one for one in moving(data) if one[1][0] == tape):
            assert name not in named.as_written or is_near(unit, written, poured), (tape, name, written, poured)


def check_held(held: str, data: dict[str, Any]) -> None:
    """What nobody should pour is named."""
    unsure = {row["batch"] for row in data["batches"] if row["advice"] in ("read again", "pull")}
    rows = [row for row in data["drinks"] if row["batch"] not in unsure]
    rows += [row for syrup in data["assumed"] for row in syrup["drinks"]]
    assert [row["name"] for row in rows if row["verdict"] == "out of reach" and row["name"] not in held] == []
    assert [batch for batch in data["discard"] if batch not in held] == []


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
        told, beside = told_pours(data), shown_beside(page, {*bar.drinks}, house.ounce)
        assert {key[0] for key in told} <= {*beside}
        near_ml = 0.051 if house.show == "ml" else 0.02 * 30  # as finely as the page prints it
        check_lines(shown_pours(page, house.ounce, house.show), told, beside, data, near_ml)
        check_held(" ".join(node.text for node in page.find("section", "stop")), data)
        assert NIGHT.strftime("%a") in page.find("h1")[0].text


def tonight_of(bar: Bar, folder: Path) -> tuple[str, Node]:
    """What the command line says of the evening of a bar, on one line, and its page."""
    with pytest.MonkeyPatch.context() as patch:
        for name, value in CLOCK.items():
            patch.setenv(name, value)
        specs = bar.write(folder)
        return " ".join(answer(specs, "tonight").out.split()), read(visitor(specs).get("/").text)


def held_on(page: Node) -> Node:
    """The drinks that no pour saves."""
    (found,) = [part for part in page.find("section", "stop") if part.attributes["id"] == "hold"]
    return found


def test_a_syrup_that_nobody_read_is_shown_where_drinks_are_written_for_another_strength(tmp_path: Path) -> None:
    """22.5 ml at 44 °Bx hold 11.9 g of sugar, 20 ml at 50 °Bx 12.3 g: 4 % more, within the tolerance of 5 %.

    10 ml at 44 °Bx hold 5.3 g, beside 3.1 g of the other syrup: 10 ml at 50 °Bx are 11 % too much for the drink and
    7.5 ml 8 % too little. Densities of sucrose solutions at 20 °C, 1.198 and 1.230 g/ml: from memory.
    """
    house = "format: 1\nhouse: Nobody's Slip\npour style: jigger\njigger step: 2.5 ml\nshow: ml\ntolerance: 5 %\n"
    syrups = tuple(
        MadeSyrup(name, 50.0, None, f"syrup: {name}\nstandard: 50 °Bx\nallergens: []\n")
        for name in ("ash syrup", "elder syrup")
    )
    rest = "written for: {elder syrup: 44 °Bx}\ndilution: 45 %\n"
    pours = {"Anchor": ["22.5 ml elder syrup"], "Beacon": ["5 ml ash syrup", "10 ml elder syrup"]}
    drinks = {
        name: f"drink: {name}\nmethod: shaken\npours: [50 ml gold rum, {', '.join(said)}]\n{rest}"
        for name, said in pours.items()
    }
    bar = Bar(MadeHouse(house, "jigger", 2.5, 1.0, (), None, 5.0, 1.0), syrups, drinks, (), 46.0)
    _, page = tonight_of(bar, tmp_path)
    (bottle,) = page.find("article", "bottle")
    assert shown_pours(page, 30.0, "ml") == {("elder syrup", "ml", 22.5): 20.0}
    assert bottle.find("p", "why")[0].text == "spec 50, drinks written for 44: not read, assumed at standard"
    assert [rest.text for rest in bottle.find("p", "rest")] == ["not in Beacon"]
    assert page.find("p", "lead")[0].text.startswith("1 bottle pours a new amount, in ml.")
    assert page.find("p", "jump")[0].text == "1 drink waits"
    held = held_on(page)
    assert "elder syrup, not read, assumed at standard" in held.text
    (others,) = [part for part in page.find("section") if part.attributes.get("aria-labelledby") == "standard-title"]
    assert others.find("p")[0].text == "ash syrup"
    assert "Beacon: no jigger pour works: sugar +11 %, −8 % with 7.5 ml; written for 44 °Bx" in held.text


def test_a_drink_is_named_that_waits_for_a_bottle_that_is_read_again(tmp_path: Path) -> None:
    """15 ml at 44 °Bx and 15 ml at 30 °Bx hold 13.0 g of sugar; at 50 and 28 °Bx they hold 13.9 g: 7 % more.

    With half of the one they hold 28 % less, with half of the other 11 % less. The bottle at 28 °Bx is not to blame:
    with it at 30 °Bx it would be 10 % more. Densities of sucrose solutions at 20 °C, 1.198, 1.127, 1.230 and
    1.118 g/ml: from memory.
    """
    house = "format: 1\nhouse: Nobody's Slip\npour style: jigger\njigger step: 7.5 ml\nshow: ml\ntolerance: 5 %\n"
    syrups = tuple(
        MadeSyrup(f"{name} syrup", standard, None, f"syrup: {name} syrup\nstandard: {standard} °Bx\nallergens: []\n")
        for name, standard in (("ash", 30.0), ("beech", 50.0))
    )
    pours = "[50 ml gold rum, 15 ml beech syrup, 15 ml ash syrup]"
    drinks = {
        "Halyard": f"drink: Halyard\nmethod: shaken\npours: {pours}\nwritten for: {{beech syrup: 44 °Bx}}\n"
        "dilution: 45 %\n"
    }
    batches = tuple(
        MadeBatch(f"{tape}-1", f"{name}-syrup", "counts", -2, 4, brix)
        for tape, name, brix in (("ASH", "ash", 28.0), ("BEE", "beech", 39.0))
    )
    bar = Bar(MadeHouse(house, "jigger", 7.5, 1.0, (), None, 5.0, 1.0), syrups, drinks, batches, 46.0)
    told, page = tonight_of(bar, tmp_path)
    assert told.startswith("tonight 25 Nov: read BEE-1 again; no pour is right for Halyard")
    assert "beech syrup Halyard no jigger pour works: sugar +7 %; written for 44 °Bx" in told
    held = held_on(page)
    assert "beech syrup, not read, assumed at standard" in held.text
    assert "Halyard: no jigger pour works: sugar +7 %; written for 44 °Bx" in held.text
    assert page.find("p", "jump")[0].text == "1 drink waits"


def test_a_drink_is_named_that_is_off_beside_the_second_bottle_for_another_syrup(tmp_path: Path) -> None:
    """22.5 ml of each at 50 °Bx hold 27.7 g of sugar; cedar at 46 °Bx takes 1.3 g of it, dogwood at 52 °Bx gives 0.7 g.

    So it is 2 % less with the bottle at 52 °Bx, and 5 % less with the one at 50 °Bx, which is not to blame: it is as
    the card says. 30 ml of that would be 12 % more. Densities of sucrose solutions at 20 °C, 1.208, 1.230 and
    1.241 g/ml: from memory.
    """
    house = "format: 1\nhouse: Nobody's Slip\npour style: jigger\njigger step: 7.5 ml\nshow: ml\ntolerance: 4 %\n"
    syrups = tuple(
        MadeSyrup(f"{name} syrup", 50.0, None, f"syrup: {name} syrup\nstandard: 50 °Bx\nallergens: []\n")
        for name in ("cedar", "dogwood")
    )
    pours = "[50 ml gold rum, 22.5 ml dogwood syrup, {pour: 22.5 ml, of: cedar syrup, fixed: true}]"
    drinks = {"Halyard": f"drink: Halyard\nmethod: shaken\npours: {pours}\ndilution: 45 %\n"}
    batches = (
        MadeBatch("CED-1", "cedar-syrup", "counts", -5, 4, 46.0),
        MadeBatch("DOG-1", "dogwood-syrup", "counts", -5, 4, 52.0),
        MadeBatch("DOG-2", "dogwood-syrup", "second", -4, 5, 50.0),
    )
    bar = Bar(MadeHouse(house, "jigger", 7.5, 1.0, (), None, 4.0, 1.0), syrups, drinks, batches, 46.0)
    told, page = tonight_of(bar, tmp_path)
    assert told.startswith("tonight 25 Nov: no pour is right for Halyard")
    assert "DOG-2 Halyard no jigger pour works: sugar −5 %" in told
    held = held_on(page)
    assert held.find("span", "tape")[0].text == "DOG-2"
    assert "Halyard: no jigger pour works: sugar −5 %" in held.text


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
