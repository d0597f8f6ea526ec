"""What the page says of a swap, an adjusted drink and a card is what `swap`, `fits`, `adjust` and `totals` say."""

from __future__ import annotations

import re
import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from balancer.files.house.demo import demo_folder
from balancer.files.house.load import load
from balancer.models.specs import Specs
from balancer.units import parse_number
from balancer.web.typed import untyped
from tests.across.houses import Bar, ask, bars, tried
from tests.cli.runner import Run, run
from tests.examples import examples
from tests.web.browsing import Node, read, visitor
from tests.web.sitting import on_its_night

pytestmark = pytest.mark.slow

EVENING = {"BALANCER_NOW": "2026-11-25T18:30+01:00"}
HELD = ("sugar", "acid", "volume", "abv", "sweetness")
MINUS = "\N{MINUS SIGN}"


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo house."""
    folder = tmp_path_factory.mktemp("demo") / "specs"
    shutil.copytree(demo_folder(), folder)
    return folder


@pytest.fixture(autouse=True)
def _evening(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BALANCER_NOW", EVENING["BALANCER_NOW"])


def part(page: Node, identity: str) -> str:
    """The words of an element; "" where there is none."""
    return next((each.text for each in page.find() if each.attributes.get("id") == identity), "")


def pours(page: Node) -> dict[str, float]:
    """What the page pours, by id, in ml or g as it stands in the table."""
    return {each.attributes["data-pour"]: float(each.attributes["value"]) for each in page.find("data")}


def printed_pours(page: Node, ounce: float) -> dict[str, tuple[float, str]]:
    """The same as a person reads it, in ml or g; without what is counted in a measure of its own."""
    found = {}
    for cell in page.find("td", "tonight"):
        data, unit = cell.find("data")[0], [each.text for each in cell.find("small")]
        if unit and unit[0] in ("ml", "g", "oz"):
            value = parse_number(data.text) * (ounce if unit[0] == "oz" else 1.0)
            found[data.attributes["data-pour"]] = (value, "g" if unit[0] == "g" else "ml")
    return found


def same_pours(page: Node, data: Mapping[str, Any], specs: Specs, out: str = "") -> None:
    """The table pours what the object says, and what goes is there as none."""
    rows = [row for row in data["pours"] if row["poured_g"] or row["spec_g"] or row["ingredient"] != "water"]
    told = {row["ingredient"]: row[f"poured_{row['unit']}"] for row in rows}
    shown = pours(page)
    if out and out not in told:
        assert shown.pop(out) == 0.0
    assert shown == pytest.approx(told)
    ounce = specs.house.ounce
    near_ml = 0.13 if specs.house.show == "ml" else 0.02 * ounce
    for identity, (value, unit) in printed_pours(page, ounce).items():
        if identity in told:
            assert value == pytest.approx(told[identity], abs=0.51 if unit == "g" else near_ml)


def facts(page: Node, within: str) -> dict[str, str]:
    """Words and texts of a list of facts."""
    section = next(each for each in page.find("section") if each.attributes.get("id") == within)
    return {word.text: text.text for word, text in zip(section.find("dt"), section.find("dd"), strict=True)}


def same_moved(page: Node, data: Mapping[str, Any]) -> None:
    """What moved, as the object has it, to the whole percent and the tenth of a point or gram."""
    shown = facts(page, "moved")
    for what in ("sugar", "acid"):
        value = data["moved"][f"{what}_percent"]
        if value is not None:
            said = re.match(rf"([+{MINUS}]?[0-9.]+) %", shown[what])
            assert said, shown
            assert number(said[1]) == pytest.approx(value, abs=0.51)
            assert ("at most" in shown[what]) == (what in data["moved"]["at_most"] and bool(value))
    points = data["moved"]["abv_points"]
    if points is not None and "ABV" in shown:
        assert number(shown["ABV"].partition(" %")[0]) == pytest.approx(points, abs=0.0501)
    added = data["alcohol_added_g"]
    if added is None:
        assert shown["alcohol"] == "not known"
    elif "alcohol" in shown:
        assert number(shown["alcohol"].removesuffix(" g")) == pytest.approx(added, abs=0.0501)
    for one in data["noticed"]:
        label = "ABV" if one["quantity"] == "abv" else one["quantity"]
        if label in shown and shown[label] != "not known":
            assert one["words"] in shown[label]


def number(text: str) -> float:
    """A signed number as the page prints it."""
    return float(text.replace(MINUS, "-"))


def check_swap(client: TestClient, specs: Specs, done: Run, fields: dict[str, str]) -> None:
    """One swap at both doors."""
    answer = client.get("/swap", params=fields)
    page, data = read(answer.text), done.data
    if "problems" in data:
        assert answer.status_code == 422
        wrong = " ".join(each.text for each in page.find("p", "doubt"))
        for problem in data["problems"]:
            assert problem["message"].removeprefix("--hold: ") in wrong
        assert not page.find("table")
        return
    assert answer.status_code == 200
    same_pours(page, data, specs, data["out"])
    same_moved(page, data)
    stop = part(page, "stop").casefold()
    assert ("not a swap" in stop) == (data["verdict"] != "swap")
    for reason in data["reasons"]:
        assert reason["words"].casefold() in stop
    for allergen in data["allergens"]["gained"]:
        assert allergen.casefold() in stop
    assert ("unknown: ask before it is served" in stop) == bool(data["allergens"]["unknown"])
    assert bool(stop) == bool(data["reasons"] or data["allergens"]["gained"] or data["allergens"]["unknown"])
    for caution in data["cautions"]:
        assert caution["caution"] in page.text
    assert ("cannot hold" in part(page, "cannot").casefold()) == (not data["feasible"])
    if data["obstacle"]:
        for words in filter(None, map(untyped, data["obstacle"]["words"])):
            assert " ".join(words.split()).casefold() in page.text.casefold()
    assert len(page.find("ol", "taste")) == bool(
        [each for each in data["taste_first"] if each["quantity"] != "flavour"]
    )
    for one in data["strengths"]:
        for batch in one["also_open"]:
            assert one["batch"] is None or f"{batch} open too" in page.text.replace("GIN-2 and", "GIN-2 open too and")


def swap_words(fields: dict[str, str]) -> list[str]:
    """The same question as it is typed."""
    said = [fields["drink"], "--out", fields["out"]]
    said += ["--in", fields["in"]] if "in" in fields else []
    said += ["--hold", fields["hold"]] if "hold" in fields else []
    return said + (["--tonight"] if fields.get("at") == "tonight" else [])


@st.composite
def questions(draw: st.DrawFn, specs: Specs) -> dict[str, str]:
    """A swap that somebody may ask for."""
    drink = draw(st.sampled_from([*specs.drinks.values()]))
    out = draw(st.sampled_from([pour.of for pour in drink.pours]))
    held = draw(st.lists(st.sampled_from(HELD), unique=True, max_size=3))
    return {
        "drink": drink.id,
        "out": out,
        "in": draw(st.sampled_from([*specs.syrups, *specs.syrups, *specs.ingredients])),
        "at": draw(st.sampled_from(["standard", "tonight"])),
        **({"hold": ",".join(held)} if held else {}),
    }


def test_a_swap_of_the_demo_is_that_of_the_command_line(demo: Path) -> None:
    client, specs = visitor(demo), load(demo).specs

    @given(fields=questions(specs))
    @settings(max_examples=examples(150), deadline=None, suppress_health_check=[HealthCheck.too_slow])
    def each(fields: dict[str, str]) -> None:
        if meant_otherwise(specs, fields):
            return
        done = run("swap", *swap_words(fields), "--json", specs=demo, env=EVENING)
        check_swap(client, specs, done, fields)

    each()


def meant_otherwise(specs: Specs, fields: dict[str, str]) -> bool:
    """Whether a typed id is short for a syrup, as "ginger" is: the page sends what was chosen from a list."""
    return any(
        fields[name] in specs.ingredients and any(syrup.startswith(f"{fields[name]}-") for syrup in specs.syrups)
        for name in ("out", "in")
    )


@given(bar=bars(), data=st.data())
@tried(100)
def test_a_swap_of_any_house_is_that_of_the_command_line(bar: Bar, data: st.DataObject) -> None:
    with on_its_night(bar) as specs:
        loaded, client = load(specs).specs, visitor(specs)
        for _ in range(3):
            fields = data.draw(questions(loaded))
            check_swap(client, loaded, ask(specs, "swap", *swap_words(fields), "--json"), fields)


@pytest.mark.parametrize("at", ["standard", "tonight"])
def test_what_could_come_in_is_ranked_as_typed(demo: Path, at: str) -> None:
    client, specs = visitor(demo), load(demo).specs
    for drink in specs.drinks.values():
        for pour in drink.pours:
            if pour.of not in specs.syrups:
                continue
            fields = {"drink": drink.id, "out": pour.of, "at": at}
            page = read(client.get("/swap", params=fields).text)
            shown = [each.attributes["href"] for each in page.find("ol", "fits") for each in each.find("a")]
            ids = [re.search(r"[?&]in=([^&]+)", address)[1] for address in shown]  # type: ignore[index]
            if at == "standard":
                told = run("fits", drink.id, "--out", pour.of, "--json", specs=demo, env=EVENING).data
                assert ids == [each["id"] for each in told.get("fits", [])]
            else:
                told = run("swap", drink.id, "--out", pour.of, "--json", specs=demo, env=EVENING).data
                assert ids == [each["in"] for each in told.get("stand_ins", [])]
                for batch in told.get("past", []):
                    assert batch in page.text


def test_other_sours_are_each_the_swap_of_the_command_line(demo: Path) -> None:
    client = visitor(demo)
    for at in ("standard", "tonight"):
        fields = {"drink": "slipway-sour", "out": "lime-juice", "at": at}
        page = read(client.get("/swap", params=fields).text)
        links = [each for found in page.find("ol", "fits") for each in found.find("a")]
        assert len(links) >= 3
        told = []
        for link in links:
            identity = re.search(r"[?&]in=([^&]+)", link.attributes["href"])[1]  # type: ignore[index]
            data = run("swap", *swap_words({**fields, "in": identity}), "--json", specs=demo, env=EVENING).data
            row = next(each for each in data["pours"] if each["ingredient"] == identity)
            amount, unit = link.text.split()[:2]
            assert parse_number(amount) == pytest.approx(row[f"poured_{unit}"], abs=0.13 if unit == "ml" else 0.51)
            gained = data["allergens"]["gained"] or data["allergens"]["unknown"]
            told.append((data["verdict"] != "swap", bool(gained), not data["feasible"], data["effort"]))
        assert told == sorted(told)


@st.composite
def wishes(draw: st.DrawFn, specs: Specs) -> dict[str, str]:
    """What a drink should become."""
    drink = draw(st.sampled_from([*specs.drinks.values()]))
    found = {"drink": drink.id}
    for name in draw(st.sets(st.sampled_from(["sugar", "acid", "abv", "volume", "glass"]), min_size=1, max_size=3)):
        match name:
            case "sugar" | "acid":
                found[name] = draw(st.sampled_from(["-10%", "+5 %", "+30%", "−100 %", "12 g", "0.6 g"]))
            case "abv":
                found[name] = draw(st.sampled_from(["8", "12%", "14,5 %", "30 %"]))
            case "volume":
                found[name] = draw(st.sampled_from(["90 ml", "120ml", "6 oz"]))
            case _:
                found[name] = draw(st.sampled_from([*specs.house.glasses, "bucket"]))
    return found


def check_adjust(client: TestClient, specs: Specs, done: Run, fields: dict[str, str]) -> None:
    """One adjusted drink at both doors."""
    answer = client.get("/adjust", params=fields)
    page = read(answer.text)
    if done.code == 2 or "problems" in done.data:
        told = done.data["problems"] if done.out.strip() else []
        assert answer.status_code == 422
        wrong = " ".join(each.text for each in page.find("p", "doubt"))
        for problem in told:
            if "volume" not in fields or "glass" not in fields:
                assert problem["message"].partition(": ")[2] in wrong or problem["message"] in wrong
        return
    data = done.data
    assert answer.status_code == 200
    same_pours(page, data, specs)
    same_moved(page, data)
    assert bool(part(page, "cannot")) == (not data["feasible"])
    for missed in data["missed"]:
        for stuck in missed["stuck"]:
            assert specs.name_of(stuck["ingredient"]).casefold() in page.text.casefold()
    asked = [key for key in ("sugar", "acid", "abv") if fields.get(key)]
    asked += ["in the glass"] if fields.get("volume") or fields.get("glass") else []
    assert {word.casefold() for word in facts(page, "asked")} == {*asked}


def adjust_words(fields: dict[str, str]) -> list[str]:
    """The same question as it is typed."""
    return [fields["drink"], *(f"--{name}={text}" for name, text in fields.items() if name != "drink")]


def test_an_adjusted_drink_of_the_demo_is_that_of_the_command_line(demo: Path) -> None:
    client, specs = visitor(demo), load(demo).specs

    @given(fields=wishes(specs))
    @settings(max_examples=examples(100), deadline=None, suppress_health_check=[HealthCheck.too_slow])
    def each(fields: dict[str, str]) -> None:
        done = run("adjust", *adjust_words(fields), "--json", specs=demo, env=EVENING)
        check_adjust(client, specs, done, fields)

    each()


@given(bar=bars(), data=st.data())
@tried(60)
def test_an_adjusted_drink_of_any_house_is_that_of_the_command_line(bar: Bar, data: st.DataObject) -> None:
    with on_its_night(bar) as specs:
        loaded, client = load(specs).specs, visitor(specs)
        for _ in range(3):
            fields = data.draw(wishes(loaded))
            check_adjust(client, loaded, ask(specs, "adjust", *adjust_words(fields), "--json"), fields)


def test_a_card_tells_what_totals_tells(demo: Path) -> None:
    client = visitor(demo)
    for identity in load(demo).specs.drinks:
        page = read(client.get(f"/drinks/{identity}").text)
        data = run("totals", identity, "--json", specs=demo, env=EVENING).data
        text = run("totals", identity, specs=demo, env={**EVENING, "COLUMNS": "1000"}).out
        tags = [each.text for each in page.find("", "tag") if "dotted" not in each.attributes["class"]]
        dotted = [each.text for each in page.find("", "dotted")]
        assert tags == data["allergens"]
        names = [each["name"] for each in data["unknown"] if each["what"] == "allergens"]
        assert dotted[: len(names)] == names
        said = part(page, "allergens")
        leads = [each.text for each in page.find("span", "tags-word")]
        assert leads == [*["contains"] * bool(tags), *["not known"] * bool(dotted)]
        assert ("none listed by the house; that is not “free from”" in said.casefold()) == (not tags)
        assert ("Garnish not counted." in said) == ("garnish" in facts(page, "made"))
        told = re.sub(r"\n {3,}", " ", text.partition("\nmore: ")[0])
        first, *rows = told.splitlines()
        assert first.partition(": ")[2] in page.text
        holds = [*facts(page, "holds").items()]
        for row in rows:
            label, said = row[2:20].strip(), " ".join(row[20:].split())
            if label == "written for":
                assert said in page.text
            elif label not in ("allergens", "allergens unknown", "caution"):
                assert (label, said) in holds


def test_why_no_pour_is_right_is_said_alike_wherever_it_stands(demo: Path) -> None:
    client = visitor(demo)
    held = {one["href"]: text for one, text in _held_on(read(client.get("/").text))}
    (menu,) = read(client.get("/drinks").text).find("ul", "menu")
    why = {
        row.find("a")[0].attributes["href"]: row.find("span", "word")[0].text
        for row in menu.find("li")
        if row.find("span", "word") and row.find("span", "word")[0].text != "pours a new amount"
    }
    assert set(why.values()) == {"its pour is fixed", "no jigger pour works"}
    assert why.keys() == held.keys()
    for address, word in why.items():
        page = read(client.get(address).text)
        (line,) = page.find("tr", "waits")
        (stop,) = [
            part for part in page.find("section", "stop") if part.attributes.get("aria-labelledby") == "waits-title"
        ]
        assert line.find("span", "word")[0].text == word
        assert f": {word}: sugar" in stop.text
        assert f": {word}: sugar" in held[address]


def _held_on(page: Node) -> list[tuple[dict[str, str], str]]:
    """The drinks that wait, by their link, and what is said of each."""
    (hold,) = [part for part in page.find("section", "stop") if part.attributes.get("id") == "hold"]
    return [(row.find("a")[0].attributes, row.text) for row in hold.find("li")]


def test_two_open_bottles_have_a_row_each_and_states_are_words(demo: Path) -> None:
    client = visitor(demo)
    data = run("tonight", "--json", "--all", specs=demo, env=EVENING).data
    advice = {one["batch"]: one["advice"] for one in data["batches"]}
    seen = set()
    for identity in load(demo).specs.drinks:
        page = read(client.get(f"/drinks/{identity}").text)
        rows = {each.find("span", "tape")[0].text: each for each in page.find("tr") if each.find("span", "tape")}
        for row in data["drinks"]:
            if row["drink"] != identity:
                continue
            line = rows[row["batch"]]
            word = line.find("td", "tonight")[0].find("span", "word")[0].text
            seen.add(row["verdict"])
            if advice[row["batch"]] in ("read again", "pull"):
                assert word == "read it again first"
            elif row["verdict"] == "out of reach":
                fixed = any(pour.fixed for pour in load(demo).specs.drinks[identity].pours if pour.of == row["syrup"])
                assert word == ("its pour is fixed" if fixed else "no jigger pour works")
                assert line.attributes["class"] == "waits"
                assert not any(part.find("span", "now-s") for part in page.find("table", "spec"))
                assert f"{row['batch']}: " in " ".join(each.text for each in page.find("section", "stop"))
            else:
                assert ("in doubt" in word) == bool(row["could_be"])
                assert word.startswith("the same") == (row["verdict"] == "as written")
    assert seen == {"as written", "new pour", "out of reach"}
    specs = load(demo).specs
    unread = {each for each in specs.syrups if each not in {one["syrup"] for one in data["batches"]}}
    for drink in specs.drinks.values():
        lines = read(client.get(f"/drinks/{drink.id}").text).find("tr")[1:]
        said = {line.find("th")[0].text: line.find("span", "word")[-1].text for line in lines}
        for pour in drink.pours:
            if pour.of in unread:
                assert said[specs.name_of(pour.of)] == "not read, assumed at standard"
    page = read(client.get("/drinks/chandlers-cup").text)
    notes = [
        (each.find("span", "tape")[0].text, each.find("span", "note")[0].text)
        for each in page.find("th")
        if each.find("span", "note")
    ]
    assert notes == [("GIN-1", "opened first"), ("GIN-2", "open too")]
    for held, out in (("strawberry-pilot", "strawberry-syrup"), ("port-hand-buoy", "")):
        stop = read(client.get(f"/drinks/{held}").text).find("section", "stop")[1]
        links = [each.attributes["href"] for each in stop.find("a")]
        assert links == ([f"/swap?drink={held}&out={out}&at=tonight"] if out else [])  # a fixed pour is not swapped
