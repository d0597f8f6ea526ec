"""What is kept of a printed drink gives it back as it was printed, whatever was changed since."""

from __future__ import annotations

import json
import random
import re
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.totals import totals
from balancer.errors import CannotError
from balancer.files.house.load import Loaded, load
from balancer.files.house.printed import FILE, read_printed, remember
from balancer.files.house.printed_spec import spec_to_keep, specs_as_printed
from balancer.models.printed import Printed
from balancer.output.data.totals import totals_data
from tests.across.houses import bars, tried
from tests.cli.runner import CHECKOUT, HOUSE, copy_of_house, run

pytestmark = pytest.mark.slow

DEMO = CHECKOUT / "specs"
PRINTED_ON = {"BALANCER_NOW": "2026-11-25T18:00+01:00"}
LATER = {"BALANCER_NOW": "2026-12-02T18:00+01:00"}
OLD = """\
{"format": 1, "cards": [
  {"drink": "anchor-sour", "name": "Anchor Sour", "version": "2", "date": "2026-11-01", "content": "ab"}
]}
"""


def noted(loaded: Loaded) -> list[Printed]:
    """Every drink as if its card were printed."""
    return [
        Printed(one.id, one.name, one.version, "2026-11-25", "ab", spec_to_keep(loaded, one))
        for one in loaded.specs.drinks.values()
    ]


def held(loaded: Loaded) -> dict[str, Any]:
    bar = Bar(loaded.specs)
    return {one.id: totals_data(totals(bar, one)) for one in loaded.specs.drinks.values()}


@pytest.mark.parametrize("folder", [DEMO, HOUSE], ids=["demo", "tests"])
def test_every_drink_comes_back_out_of_the_file_without_the_house(folder: Path, tmp_path: Path) -> None:
    """Nothing of the house is left but the list of what was printed."""
    loaded = load(folder)
    remember(tmp_path, noted(loaded))
    before = held(loaded)

    cards = read_printed(tmp_path)

    assert set(cards) == set(loaded.specs.drinks)
    for card in cards.values():
        specs = specs_as_printed(card, tmp_path)
        assert totals_data(totals(Bar(specs), specs.drinks[card.drink])) == before[card.drink]
        assert specs.drinks[card.drink] == loaded.specs.drinks[card.drink]


HOUSE_TEXT = """\
format: 1
house: Odd Measures
ounce: 28.4130625 ml
dash: 0.9 ml
barspoon: 1/8 oz
part: 1 oz
standard drink: uk
dilution: {built: 12.5 %, swizzled: 1/3 %}
chill: {ice: 130 g, ice temperature: 10 °F, start: 21.7 °C, vessel: 60 J/K}
"""
ODD = """\
- {drink: Oz, method: shaken, pours: [1½ oz gold rum, 3 dashes bitters, 2 cubes lump, rinse fizz]}
- {drink: Built, method: built, pours: [2 parts gold rum, {pour: 1/3 oz, of: "odd: syrup", fixed: yes}, 60 ml fizz]}
- {drink: "Odd \\u2028 name \\U0001F378", method: swizzled, id: odd, pours: [{pour: 20 g, of: gold rum, top: true}]}
- {drink: Stirred, method: stirred, chill: {stop: -2 °C}, pours: [60 ml gold rum, 10 ml odd syrup two]}
- {drink: Weighed, method: shaken, weighed: {before: 60 g, after: 80 g}, pours: [63 ml gold rum]}
"""
LIQUIDS = """\
- {ingredient: gold rum, kind: spirit, abv: 40 %, sugar: 0 g/l, also: [rum, "1984"]}
- {ingredient: bitters, kind: bitters, abv: "44,7 %", allergens: [Almonds]}
- {ingredient: lump, kind: sugar, sugar: 1000 g/kg, each: {cube: 4 g}}
- {ingredient: fizz, kind: mixer, sugar: 0 g/l, top: true}
- {ingredient: malic, kind: seasoning, acids: {malic: 1000 g/kg}, sugar: 0 g/kg, allergens: [apple]}
"""
SYRUPS = """\
- {syrup: "odd: syrup", standard reading: 50.3 °Bx, sugars: {fructose: 1/3 %, sucrose: 99.7 %}, acids: {malic: 9 g/kg}}
- {syrup: odd syrup two, standard: 50 °Bx, allergens: [], recipe: [9 g lump, 1 g malic, {pour: 2 g, of: "odd: syrup"}]}
"""


def odd_house(folder: Path) -> Path:
    for kind, text in (("ingredients", LIQUIDS), ("syrups", SYRUPS), ("drinks", ODD)):
        (folder / kind).mkdir(parents=True)
        (folder / kind / "all.yaml").write_text(text, encoding="utf-8")
    (folder / "house.yaml").write_text(HOUSE_TEXT, encoding="utf-8")
    return folder


def test_odd_measures_units_and_names_come_back(tmp_path: Path) -> None:
    loaded = load(odd_house(tmp_path / "odd"))
    assert [
        problem.message
        for problem in loaded.problems
        if not problem.is_doubt and problem.code not in ("recipe", "unseen")
    ] == []
    assert len(loaded.specs.drinks) == 5
    remember(tmp_path, noted(loaded))
    before = held(loaded)
    assert before["stirred"]["allergens"] == ["apple"]
    for card in read_printed(tmp_path).values():
        specs = specs_as_printed(card, tmp_path)
        assert totals_data(totals(Bar(specs), specs.drinks[card.drink])) == before[card.drink]


@tried(60)
@given(made=bars())
def test_houses_nobody_thought_of_come_back(made: Any, tmp_path_factory: pytest.TempPathFactory) -> None:
    folder = tmp_path_factory.mktemp("bar")
    loaded = load(made.write(folder))
    before = held(loaded)
    remember(folder, noted(loaded))
    for card in read_printed(folder).values():
        specs = specs_as_printed(card, folder)
        assert totals_data(totals(Bar(specs), specs.drinks[card.drink])) == before[card.drink]


_NUMBER = re.compile(r"(?<=[ {:])(?P<number>[0-9]+(?:\.[0-9]+)?)(?= (?:ml|g|%|°Bx|g/l|g/kg|dash))")


def changed(text: str, chance: random.Random) -> str:
    """Some of the amounts of a file made a little less."""

    def other(match: re.Match[str]) -> str:
        if chance.random() > 0.3:
            return match["number"]
        return f"{max(float(match['number']) * chance.uniform(0.7, 1.0), 0.01):.4g}"

    return _NUMBER.sub(other, text)


@pytest.fixture(scope="module")
def printed_demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo house, every card of it printed."""
    folder = tmp_path_factory.mktemp("printed")
    shutil.copytree(DEMO, folder / "specs")
    done = run("cards", "--out", str(folder / "cards.pdf"), specs=folder / "specs", env=PRINTED_ON)
    assert done.code == 0, done.err
    return folder / "specs"


@tried(40)
@given(seed=st.integers(0, 2**32))
def test_random_edits_do_not_touch_what_was_printed(
    seed: int, printed_demo: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Print the cards, change the house at random, and ask as a person does: the printed drink is as it was."""
    chance = random.Random(seed)  # noqa: S311 - no secret
    specs = tmp_path_factory.mktemp("changed") / "specs"
    shutil.copytree(printed_demo, specs)
    for path in specs.rglob("*.yaml"):
        if path.name != "batches.yaml":
            path.write_text(changed(path.read_text(encoding="utf-8"), chance), encoding="utf-8")
    now = load(specs)
    before = held(load(DEMO))
    assert held(now) != before

    asked = [each for each in before if each in now.specs.drinks]
    for identity in chance.sample(asked, min(3, len(asked))):
        done = run("totals", identity, "--against", "printed", "--json", specs=specs, env=LATER)
        assert done.data["against"] == before[identity]
        assert done.data["drink"] == totals_data(totals(Bar(now.specs), now.specs.drinks[identity]))
        assert done.data["from"] == {
            "kind": "printed", "path": None, "date": "2026-11-25",
            "version": load(DEMO).specs.drinks[identity].version,
        }  # fmt: skip


def test_the_printed_drink_outlives_what_it_pours(printed_demo: Path, tmp_path: Path) -> None:
    """Its syrup is another one now; the old one has no file any more."""
    specs = tmp_path / "specs"
    shutil.copytree(printed_demo, specs)
    (specs / "syrups/raspberry-syrup.yaml").unlink()
    for path in (specs / "drinks").glob("*.yaml"):
        text = path.read_text(encoding="utf-8").replace("raspberry syrup", "honey syrup")
        path.write_text(text, encoding="utf-8")
    done = run("totals", "slipway", "--against", "printed", "--json", specs=specs, env=LATER)
    assert done.data["against"] == held(load(DEMO))["slipway-sour"]
    theirs = [pair["ingredient"] for pair in done.data["pours"] if pair["drink"] is None]
    assert theirs == ["raspberry-syrup"]


# Files of another time


def test_a_list_from_before_is_read_and_stays_as_it_was(tmp_path: Path) -> None:
    (tmp_path / FILE).write_text(OLD, encoding="utf-8")
    (card,) = read_printed(tmp_path).values()
    assert (card.drink, card.version, card.spec) == ("anchor-sour", "2", None)
    remember(tmp_path, [])
    assert (tmp_path / FILE).read_text(encoding="utf-8") == OLD


def test_a_card_from_before_is_told_to_be_printed_once_more(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    (specs / FILE).write_text(OLD, encoding="utf-8")
    done = run("totals", "anchor", "--against", "printed", specs=specs)
    assert done.code == 1
    assert "the card of Anchor Sour was printed before its pours were kept with it" in done.err
    assert "print it once more: balancer cards anchor-sour --out card.pdf" in done.err


def _broken(change: Callable[[dict[str, Any]], None]) -> Callable[[Printed], Printed]:
    def broken(card: Printed) -> Printed:
        spec = json.loads(json.dumps(card.spec))
        change(spec)
        return replace(card, spec=spec)

    return broken


@pytest.mark.parametrize(
    "change",
    [
        lambda spec: spec.pop("house"),
        lambda spec: spec.pop("drinks"),
        lambda spec: spec.update(drinks=[]),
        lambda spec: spec.update(drinks="Anchor Sour"),
        lambda spec: spec.update(drinks=[[["x"]]]),
        lambda spec: spec.update(drinks=[{"drink": 7}]),
        lambda spec: spec.update(drinks=[{"drink": None, "pours": [1.5]}]),
        lambda spec: spec.update(house=[]),
        lambda spec: spec.update(house={"house": "x", "ounce": "-3 ml"}),
        lambda spec: spec.update(house={"house": "x", "ounce": {"a": ["b"]}}),
        lambda spec: spec.update(syrups=[]),
        lambda spec: spec["drinks"][0].update(pours=["60 ml gold rum", "nonsense"]),
        lambda spec: spec["drinks"][0].update(id="another"),
        lambda spec: spec["syrups"][0].update(standard="900 °Bx"),
        lambda spec: spec["ingredients"][0].update(abv={"deep": [[[["x"]]]]}),
    ],
)
def test_what_was_kept_and_is_spoilt_is_told_and_never_a_traceback(
    change: Callable[[dict[str, Any]], None], tmp_path: Path
) -> None:
    (card,) = [card for card in noted(load(HOUSE)) if card.drink == "anchor-sour"]
    remember(tmp_path, [_broken(change)(card)])
    with pytest.raises(CannotError, match="not what was written"):
        specs_as_printed(read_printed(tmp_path)["anchor-sour"], tmp_path)


@pytest.mark.parametrize("spec", ['"text"', "[]", "7", "true"])
def test_a_list_whose_rows_are_something_else_is_not_guessed_at(spec: str, tmp_path: Path) -> None:
    (tmp_path / FILE).write_text(OLD.replace('"ab"', f'"ab", "spec": {spec}'), encoding="utf-8")
    with pytest.raises(CannotError, match="not the list of printed cards"):
        read_printed(tmp_path)
