"""docs/reference/file-format.md names every key there is, its examples load, its defaults are the defaults."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any, NamedTuple, get_args

import pytest

from balancer.components import ACIDS, STANDARD_DRINK_G, SUGARS
from balancer.files.house.load import load
from balancer.files.log.log_line import entry_line
from balancer.models.batch import CAUSES, EVENTS, LogEntry
from balancer.models.chill import Chill
from balancer.models.drink import Drink, Weighed
from balancer.models.fields import FileModel
from balancer.models.house import House, Instrument, Scale
from balancer.models.import_map import ImportMap
from balancer.models.ingredient import Ingredient, IngredientKind
from balancer.models.look import HouseLook
from balancer.models.pour import Part, Pour
from balancer.models.syrup import Syrup
from balancer.units import UNITS, Quantity
from tests.docs.pages import DOCS
from tests.docs.tables import tables, ticked

PAGE = DOCS / "reference" / "file-format.md"
TABLES = tables(PAGE)

HOUSE = {"format": "1", "house": "Slip"}
INGREDIENT = {"ingredient": "raspberries", "sugar": "44 g/kg", "acid": "16 g/kg"}
SYRUP = {"syrup": "gold syrup", "standard": "50 °Bx", "acid": "9 g/kg"}
DRINK = {"drink": "Slip", "method": "stirred", "pours": "[60 ml gold rum, 10 ml gold syrup]"}
OTHERS = (
    "- {ingredient: gold rum, abv: 40 %, sugar: 0 g/l, acid: 1 g/l}\n"
    "- {ingredient: granulated sugar, sugar: 998 g/kg}\n"
)


class Section(NamedTuple):
    """A table, its model, and where its keys are written: in an entry of a kind, or inside one key of it."""

    model: type[FileModel]
    kind: str
    inside: str = ""


SECTIONS: Mapping[str, Section] = {
    "house.yaml": Section(House, "house"),
    "instrument": Section(Instrument, "house", "instrument"),
    "scale": Section(Scale, "house", "scale"),
    "chill": Section(Chill, "house", "chill"),
    "look": Section(HouseLook, "house", "look"),
    "Ingredients": Section(Ingredient, "ingredient"),
    "Syrups": Section(Syrup, "syrup"),
    "Drinks": Section(Drink, "drink"),
    "weighed": Section(Weighed, "drink", "weighed"),
    "A pour": Section(Pour, "drink", "pours"),
}
APART = ("standard reading", "zero proof")
"""Keys that do not go with the other examples."""
ONE_OF_TWO = {"standard reading": "standard"}
ZERO_PROOF = {"zero proof": {"pours": "[10 ml gold syrup]"}}


def aliases(model: type[FileModel]) -> set[str]:
    return {info.alias or name for name, info in model.model_fields.items()}


def flow(keys: Mapping[str, str]) -> str:
    return "{" + ", ".join(f"{key}: {text}" for key, text in keys.items()) + "}"


def loaded(folder: Path, heading: str, keys: Mapping[str, str], without: str = "") -> list[Any]:
    """Everything in a small bar with some keys of a section set; it loads without a problem."""
    section = SECTIONS[heading]
    entries = {"house": dict(HOUSE), "ingredient": dict(INGREDIENT), "syrup": dict(SYRUP), "drink": dict(DRINK)}
    entry = entries[section.kind]
    if section.inside == "pours":
        entry["pours"] = f"[{flow({'pour': '60 ml', 'of': 'gold rum', **keys})}]"
    elif section.inside:
        entry[section.inside] = flow(keys)
    else:
        entry |= keys
    entry.pop(without, None)
    texts = {f"{kind}s/one": flow(held) for kind, held in entries.items() if kind != "house"}
    texts |= {"house": flow(entries["house"]), "ingredients/others": OTHERS, "../group/house": flow(HOUSE)}
    folder = folder / "bar"
    folder.mkdir(exist_ok=True)
    for name, text in texts.items():
        path = folder / f"{name}.yaml"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    result = load(folder)
    assert [problem.message for problem in result.problems] == []
    specs = result.specs
    return [specs.house, *specs.ingredients.values(), *specs.syrups.values(), *specs.drinks.values()]


def rows(heading: str) -> Iterator[tuple[str, str, str, str]]:
    """Key, example, what absence means, and the meaning."""
    for key, example, absent, meaning in TABLES[heading][0].rows:
        yield ticked(key) or "", ticked(example) or "", absent, meaning


@pytest.mark.parametrize("heading", SECTIONS)
def test_every_key_is_documented(heading: str) -> None:
    keys = [ticked(row[0]) for row in TABLES[heading][0].rows]
    assert sorted(map(str, keys)) == sorted(aliases(SECTIONS[heading].model))


def test_no_model_is_left_out() -> None:
    """Every model of the files has a table, but for a part, whose keys a pour has too, and the map of an import.

    That has its table on its own page, see tests/cli/test_import_map.py.
    """
    models = {model for base in (FileModel, Part) for model in base.__subclasses__()}
    assert models - {Part, ImportMap} == {section.model for section in SECTIONS.values()}


@pytest.mark.parametrize("heading", SECTIONS)
def test_examples_load(tmp_path: Path, heading: str) -> None:
    """Every example is accepted, and something is said about every key."""
    assert all(all(row) for row in rows(heading))
    examples = {key: example for key, example, *_ in rows(heading)}
    apart = {key: examples.pop(key) for key in APART if key in examples}
    loaded(tmp_path, heading, examples)
    for key, example in apart.items():
        loaded(tmp_path, heading, {key: example, **ZERO_PROOF.get(key, {})}, without=ONE_OF_TWO.get(key, ""))


@pytest.mark.parametrize("heading", SECTIONS)
def test_defaults(tmp_path: Path, heading: str) -> None:
    """The defaults in backticks, written out, are the same as nothing; what is required is called so, nothing else."""
    model = SECTIONS[heading].model
    info = {field.alias or name: field for name, field in model.model_fields.items()}
    for key, _, absent, _ in rows(heading):
        if key != "id":  # the loader makes it from the name
            assert info[key].is_required() == (absent == "required"), key
            if ticked(absent) is None and not info[key].is_required():
                usual = info[key].get_default(call_default_factory=True, validated_data={})
                assert usual in (None, 0.0, ()), key
    required = {key: example for key, example, absent, _ in rows(heading) if absent == "required"}
    defaults = {key: ticked(absent) or "" for key, _, absent, _ in rows(heading) if ticked(absent)}
    assert loaded(tmp_path, heading, required | defaults) == loaded(tmp_path, heading, required)


def test_absent_by_kind() -> None:
    """What the page says an absent abv or acid means is what the model makes of it; every kind has its row."""
    told = {"no alcohol": 0.0, "alcohol unknown": None, "no acid": Quantity(0.0, "g/kg"), "acid unknown": None}
    table = next(found for found in TABLES["Ingredients"] if len(found.rows[0]) == 3)
    kinds: list[str] = []
    for of, abv, acid in table.rows:
        named: list[str | None] = [None] if of == "none given" else [*of.split(", ")]
        for kind in named:
            found = Ingredient.model_validate({"ingredient": "one", "id": "one"} | ({"kind": kind} if kind else {}))
            assert found.abv == told[abv], of
            assert found.acid == told["acid unknown" if acid.endswith("else unknown") else acid], of
            kinds += [kind] if kind else []
    assert sorted(kinds) == sorted(get_args(IngredientKind))


def test_batch_log() -> None:
    """Every key that the log can hold; events and causes are all named."""
    full = LogEntry(
        "RAS-1", "made", datetime(2026, 11, 25, tzinfo=UTC), "raspberry-syrup", 50.0, 0.3, "sugar", 1000.0,
        date(2026, 11, 25), date(2026, 12, 1), "Runa", ("RAS-0",), "a remark", None,
    )  # fmt: skip
    keys = set(json.loads(entry_line(full).decode().removeprefix("- "))) | {"acid", "only"}
    told = {str(ticked(row[0])): row[2] for row in TABLES["batches.yaml"][0].rows}
    assert set(told) == keys
    assert all(f"`{event}`" in told["event"] for event in EVENTS)
    assert all(f"`{cause}`" in told["cause"] for cause in CAUSES)


def test_units_and_kinds() -> None:
    """Every unit, sugar, acid and country is named."""
    text = PAGE.read_text(encoding="utf-8")
    first = " ".join(row[0] for row in TABLES["Amounts"][0].rows)
    assert [unit.name for unit in UNITS if unit.name not in first] == []
    assert [kind for kind in (*SUGARS, *ACIDS) if kind not in text] == []
    row = next(row for row in TABLES["house.yaml"][0].rows if row[0] == "`standard drink`")
    assert [
        f"{country} {grams:g}" for country, grams in STANDARD_DRINK_G.items() if f"{country} {grams:g}" not in row[3]
    ] == []
