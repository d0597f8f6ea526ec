"""The schemas for editors: not stale, wide enough for good files, and strict where an editor can be."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft7Validator
from ruamel.yaml import YAML

from balancer.files.house.load import load
from balancer.files.house.schema import FOLDER, schema_text, schemas
from tests.files.folders import SOUND, load_with

CHECKOUT = Path(__file__).parents[3]
SCHEMAS = schemas()


def as_editor_sees(text: str) -> Any:
    """YAML as an editor reads it: 1984 is a number, yes is text, a date is text."""
    return _json(YAML(typ="safe").load(text))


def _json(value: Any) -> Any:
    if isinstance(value, date | datetime):
        return value.isoformat()
    if isinstance(value, list):
        return [_json(item) for item in value]
    return {key: _json(item) for key, item in value.items()} if isinstance(value, dict) else value


def complaints(kind: str, text: str) -> list[str]:
    return [error.message for error in Draft7Validator(SCHEMAS[kind]).iter_errors(as_editor_sees(text))]


def files_of(folder: Path) -> Iterator[tuple[str, Path]]:
    """Every file of a bar's folder with the name of its schema."""
    yield "house", folder / "house.yaml"
    for kind in ("ingredients", "syrups", "drinks"):
        for path in sorted((folder / kind).rglob("*.yaml")):
            yield kind, path


@pytest.mark.parametrize("kind", sorted(SCHEMAS))
def test_written_schema_is_not_stale(kind: str) -> None:
    written = (FOLDER / f"{kind}.json").read_text(encoding="utf-8")
    assert written == schema_text(SCHEMAS[kind]), "run: python -m balancer.files.house.schema"


def test_nothing_else_lies_in_the_folder() -> None:
    assert {path.stem for path in FOLDER.iterdir()} == set(SCHEMAS)


@pytest.mark.parametrize("kind", sorted(SCHEMAS))
def test_schema_is_a_schema(kind: str) -> None:
    Draft7Validator.check_schema(SCHEMAS[kind])


@pytest.mark.parametrize("folder", ["specs", "balancer/files/house/starter_files"])
def test_shipped_files_are_good(folder: str) -> None:
    """The demo house and the starter files pass the schema, and the loader too."""
    found = list(files_of(CHECKOUT / folder))
    assert len(found) >= 4
    for kind, path in found:
        assert complaints(kind, path.read_text(encoding="utf-8")) == [], path
    assert load(CHECKOUT / folder).problems == ()


@pytest.mark.parametrize("name", sorted(SOUND))
def test_sound_bar_is_good(name: str) -> None:
    assert complaints(name.removesuffix(".yaml").partition("/")[0], SOUND[name]) == []


GOOD = {
    "names like numbers": ("drinks", "drink: 1984\nmethod: shaken\npours: [30 ml 007, 20 ml lime juice]\nversion: 3\n"),
    "names like truths": (
        "drinks",
        "drink: no\nmethod: shaken\npours: 30 ml gold rum\nglass: true\ndate: 2026-03-14\n",
    ),
    "one pour as a group": ("drinks", "drink: A\nmethod: shaken\npours: {pour: 1½ oz, of: 1984, fixed: yes}\n"),
    "a rinse": (
        "drinks",
        "drink: A\nmethod: shaken\npours: [rinse anise spirit, 2 dashes of orange bitters, .5oz gin]\n",
    ),
    "one or a list": (
        "drinks",
        "drink: A\nmethod: shaken\npours: [3 cl gin]\nnotes: one\nsteps: [one, 2]\nextras: []\n",
    ),
    "keys with a space": ("drinks", "drink: A\nmethod: shaken\npours: [3 cl gin]\nzero proof: false\n"),
    "an id": ("ingredients", "- ingredient: absinthe\n  id: 2\n- ingredient: water\n"),
    "shares": ("ingredients", "ingredient: honey\nsugar: 821,2 g/kg\nsugars: {fructose: 50 %, glucose: 50 %}\n"),
    "own units": ("ingredients", "ingredient: sugar\nsugar: 998 g/kg\neach: {cube: 4 g, 2nd size: 5 g}\nalso: white\n"),
    "a recipe": ("syrups", "syrup: A\nstandard reading: 50,7ºBx\nrecipe: [1000 g water, {pour: 1 kg, of: sugar}]\n"),
    "a yield": ("syrups", "syrup: A\nstandard: 50 °Bx\nyield: 90 %\nabv: 0 %\n"),
    "house keys": ("house", "format: 1\nhouse: 7\njigger step: 1/8 oz\nday ends: 06:00\nstandard drink: uk\n"),
    "an instrument": (
        "house",
        "format: 1\nhouse: A\ninstrument: {scale: 0 to 55 °Bx, atc: no}\nscale: {division: 1 g}\n",
    ),
}
BAD = {
    "a number without a unit": ("drinks", "drink: A\nmethod: shaken\npours: [3 cl gin]\ndilution: 45\n"),
    "a number in quotes without a unit": ("drinks", 'drink: A\nmethod: shaken\npours: [3 cl gin]\ndilution: "45"\n'),
    "a bare zero": ("ingredients", "ingredient: A\nsugar: 0\n"),
    "a pour without a name": ("drinks", "drink: A\nmethod: shaken\npours: [22.5 ml]\n"),
    "a pour without an amount": ("drinks", "drink: A\nmethod: shaken\npours: [gin]\n"),
    "a pour group without a name": ("drinks", "drink: A\nmethod: shaken\npours: [{pour: 22.5 ml}]\n"),
    "a decimal comma in a group": ("drinks", "drink: A\nmethod: shaken\npours: [{pour: 22,5 ml, of: gin}]\n"),
    "an unknown key": ("drinks", "drink: A\nmethod: shaken\npours: [3 cl gin]\ngarnsh: lime\n"),
    "an unknown key in a group": ("drinks", "drink: A\nmethod: shaken\npours: [{pour: 3 cl, of: gin, fixd: true}]\n"),
    "a field name for a key": ("house", "format: 1\nhouse: A\njigger_step: 5 ml\n"),
    "a missing key": ("drinks", "drink: A\npours: [3 cl gin]\n"),
    "a group for text": ("drinks", "drink: A\nmethod: shaken\npours: [3 cl gin]\nglass: {kind: coupe}\n"),
    "an empty value": ("drinks", "drink: A\nmethod: shaken\npours: [3 cl gin]\nglass:\n"),
    "an unknown sugar": ("ingredients", "ingredient: A\nsugars: {dextrose: 100 %}\n"),
    "a syrup among the drinks": ("drinks", "syrup: A\nstandard: 50 °Bx\n"),
    "a format to come": ("house", "format: 2\nhouse: A\n"),
    "a choice that is none": ("house", "format: 1\nhouse: A\nshow: cups\n"),
    "a bare word": ("drinks", "Slipway Sour\n"),
}


@pytest.mark.parametrize("case", GOOD.values(), ids=GOOD)
def test_good_text_passes(case: tuple[str, str]) -> None:
    assert complaints(*case) == []


@pytest.mark.parametrize("case", GOOD.values(), ids=GOOD)
def test_good_text_loads(case: tuple[str, str], tmp_path: Path) -> None:
    """What the schema lets pass, the loader understands; names that other files would hold are another matter."""
    kind, text = case
    name = "house.yaml" if kind == "house" else f"{kind}/new.yaml"
    problems = load_with(tmp_path, {name: text}).problems
    assert {problem.code for problem in problems} <= {"unknown-name", "glass"}


@pytest.mark.parametrize("case", BAD.values(), ids=BAD)
def test_bad_text_is_refused(case: tuple[str, str]) -> None:
    assert complaints(*case) != []


@pytest.mark.parametrize("case", BAD.values(), ids=BAD)
def test_bad_text_is_refused_by_the_loader_too(case: tuple[str, str], tmp_path: Path) -> None:
    kind, text = case
    name = "house.yaml" if kind == "house" else f"{kind}/new.yaml"
    problems = load_with(tmp_path, {name: text}).problems
    assert {problem.code for problem in problems} - {"unknown-name"}


def test_hover_text_comes_from_the_models() -> None:
    entry = SCHEMAS["ingredients"]["definitions"]["entry"]
    assert entry["properties"]["sugar"]["description"].startswith("g/l or g/kg")
