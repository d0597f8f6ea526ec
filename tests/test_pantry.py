"""The pantry: every figure has its source, says so in its entry, and is what that source says.

Figures that cite USDA SR28 are checked against the tables themselves; the others against limits of physics, which
a slip of a digit breaks. Nothing here is read with the code that copies the entries.
"""

from __future__ import annotations

import re
import shutil
import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, get_args

import pytest
from ruamel.yaml import YAML

from balancer.components import ETHANOL, INDEX, SUGARS
from balancer.engine.drink.liquid import ETHANOL_G_PER_ML, ingredient_liquid
from balancer.files.house.load import load
from balancer.files.house.pantry import FOLDER, pantry
from balancer.models.ingredient import Ingredient, IngredientKind
from balancer.models.names import slug
from balancer.properties import sucrose
from tests.cli.runner import CHECKOUT
from tests.open_data import FAT, SUGAR_KINDS, TOTAL_SUGARS, WATER, Amount, Foods, NotAnalysedError

CITED = re.compile(r"USDA SR28 NDB (\d{5})")
MEASURES_ML = {"cup": 236.5882365, "fluid ounce": 29.5735295625, "tablespoon": 14.7867647813}
WITH_ALCOHOL = {"spirit", "liqueur", "wine", "beer", "bitters"}
SOUR = {"juice", "fruit", "wine", "beer"}
ANNEX_II = {"gluten", "eggs", "peanuts", "soybeans", "milk", "tree nuts", "celery", "sulphites"}
"""The groups of Regulation (EU) No 1169/2011, Annex II, that the pantry meets, by the words of the demo house."""

NUMBERS = dict(
    enumerate(["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"])
)


@dataclass(frozen=True)
class Item:
    """An entry as plain YAML, and its lines with their comments."""

    group: str
    keys: dict[str, Any]
    text: str

    @property
    def name(self) -> str:
        return str(self.keys["ingredient"])

    def comment(self, key: str) -> str:
        """What stands behind a value."""
        found = re.search(rf"^  {key}: .*?(?:\s# (.*))?$", self.text, re.MULTILINE)
        return (found[1] or "") if found else ""

    @property
    def ndb(self) -> str | None:
        """The record that `source` cites."""
        cited = CITED.search(self.keys.get("source", ""))
        return cited[1] if cited else None

    def record(self, key: str) -> str | None:
        """The record that a value comes from: one named behind it, else that of `source`."""
        named = CITED.search(self.comment(key))
        return named[1] if named else self.ndb


@cache
def items() -> tuple[Item, ...]:
    found = []
    for path in sorted(FOLDER.glob("*.yaml")):
        text = path.read_text(encoding="utf-8")
        loaded = YAML(typ="safe").load(text)
        texts = text.split("\n- ingredient: ")[1:]
        assert len(loaded) == len(texts)
        found += [Item(path.stem, keys, body) for keys, body in zip(loaded, texts, strict=True)]
    return tuple(found)


@cache
def foods() -> Foods:
    return Foods({ndb for item in items() for ndb in CITED.findall(item.text)})


def number(text: str, unit: str) -> float:
    value, written = text.split()
    assert written == unit, f"{text}: expected {unit}"
    return float(value)


def per_kilogram(item: Item, key: str) -> float:
    """A concentration by weight; one by volume is by its density, or water's, which takes too much."""
    value, unit = item.keys[key].split()
    density = number(item.keys["density"], "g/ml") if "density" in item.keys else 1.0
    return float(value) / (density if unit == "g/l" else 1.0)


def total(item: Item) -> Amount:
    assert item.ndb is not None
    amount = foods().amount(item.ndb, TOTAL_SUGARS)
    assert amount is not None, f"{item.name}: the record has no total sugar"
    return amount


def cited_sugar() -> list[Item]:
    return [item for item in items() if item.ndb and "sugar" in item.keys]


def test_about_150_in_sixteen_groups() -> None:
    assert 150 <= len(items()) <= 200
    assert {item.group for item in items()} >= {
        "juices", "fruit", "sugars", "honeys", "dairy", "eggs", "mixers", "tea-and-coffee",
        "spirits", "wines", "liqueurs", "bitters",
    }  # fmt: skip


def test_the_files_are_inside_the_package_which_the_wheel_takes_whole() -> None:
    project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))
    wheel = project["tool"]["hatch"]["build"]["targets"]["wheel"]
    assert (wheel["packages"], wheel.keys() & {"exclude", "only-include"}) == (["balancer"], set())
    assert FOLDER.parent == CHECKOUT / "balancer"
    assert len(list(FOLDER.iterdir())) == len(pantry().heads)


def test_names_stand_for_one_thing_and_never_for_a_group() -> None:
    names = [slug(name) for item in items() for name in (item.name, *item.keys.get("also", []))]
    assert sorted(names) == sorted(set(names))
    assert {item.group for item in items()}.isdisjoint(names)
    assert "all" not in names


def test_what_is_copied_is_what_the_files_say() -> None:
    """The lines that the pantry is taken apart by, against the YAML reader."""
    assert [(one.name, list(one.also), one.kind, one.group) for one in pantry().entries] == [
        (item.name, item.keys.get("also", []), item.keys["kind"], item.group) for item in items()
    ]
    for one, item in zip(pantry().entries, items(), strict=True):
        assert YAML(typ="safe").load(one.text) == [item.keys]


def test_every_entry_has_a_kind() -> None:
    assert {item.keys["kind"] for item in items()} == set(get_args(IngredientKind))


def test_alcohol_is_left_to_the_label() -> None:
    for item in items():
        assert "abv" not in item.keys
        assert ("\n  # abv: read the label\n" in item.text) == (item.keys["kind"] in WITH_ALCOHOL), item.name


def test_what_is_unknown_has_no_key_and_says_why() -> None:
    for item in items():
        wanted = {"sugar", "allergens"} | ({"acid"} if item.keys["kind"] in SOUR else set())
        unknown = set(re.findall(r"^  # (sugar|acid|allergens): unknown", item.text, re.MULTILINE))
        assert unknown == wanted - set(item.keys), item.name
    reasons = [item for item in items() if re.search(r"^  # (sugar|allergens): unknown$", item.text, re.MULTILINE)]
    assert reasons == []
    assert sum("allergens" not in item.keys for item in items()) >= 30


def test_allergens_are_words_of_the_regulation() -> None:
    told = {word for item in items() for word in item.keys.get("allergens", [])}
    assert told == ANNEX_II


@pytest.mark.parametrize("key", ["sugar", "sugars", "acid", "acids", "density", "each", "keeps"])
def test_every_figure_has_its_source_behind_it(key: str) -> None:
    figures = [item for item in items() if key in item.keys]
    bare = [item.name for item in figures if not item.comment(key) and not (key in ("sugar", "sugars") and item.ndb)]
    assert bare == []
    assert len(figures) >= 5


def test_a_figure_from_memory_or_practice_says_so() -> None:
    """Whatever cites no record, law, author or formula is common practice, or what a thing is by its name."""
    published = re.compile(
        r"record|USDA|Regulation|Directive|CFR|McGee|Belitz|Penniston|Ramaiya|BMC|formula|analys|literature|memory"
        r"|the same table|common practice|pure|of its own weight|by variety|tap water|frozen water|20 g salt"
        r"|law counts|the grape's|anhydrous"
    )
    for item in items():
        for key in ("sugar", "sugars", "acid", "acids", "density", "each", "keeps"):
            comment = item.comment(key)
            assert not comment or published.search(comment), f"{item.name}: {key} # {comment}"


def test_a_legal_minimum_is_told_as_a_lower_bound() -> None:
    minimums = [item for item in items() if "legal minimum" in item.comment("sugar")]
    assert [item.name for item in minimums if "a lower bound" not in item.keys["note"]] == []
    assert len(minimums) >= 20
    assert {entry.name for entry in pantry().entries if entry.is_least_sugar} == {item.name for item in minimums}


def test_sugar_is_the_records() -> None:
    for item in cited_sugar():
        assert number(item.keys["sugar"], "g/kg") == pytest.approx(10.0 * total(item).value, abs=0.051), item.name
    assert len(cited_sugar()) >= 80


def test_what_a_record_only_imputes_is_admitted() -> None:
    """The tables' own zeros are not: nobody looks for sugar in tap water."""
    imputed = [item for item in cited_sugar() if not total(item).is_analysed and item.keys["sugar"] != "0 g/kg"]
    silent = [item.name for item in imputed if not re.search(r"imputed|labels", item.keys.get("note", ""))]
    assert silent == []
    assert len(imputed) >= 20


def test_the_spread_of_the_analyses_is_the_records() -> None:
    checked = 0
    for item in cited_sugar():
        said = re.search(r"(\w+) analys[ei]s", item.comment("sugar"))
        if not said:
            continue
        amount = total(item)
        assert said[1] in (NUMBERS.get(amount.analyses), str(amount.analyses)), item.name
        spread = re.search(r"([\d.]+) to ([\d.]+)", item.comment("sugar"))
        if spread:
            assert amount.low is not None
            assert amount.high is not None
            assert (float(spread[1]), float(spread[2])) == pytest.approx((10 * amount.low, 10 * amount.high), abs=0.051)
            checked += 1
        else:
            assert amount.analyses == 1 or amount.low in (None, amount.high) or "holds more" in item.comment("sugar")
    assert checked >= 25


def test_kinds_of_sugar_are_the_records() -> None:
    told = 0
    for item in cited_sugar():
        assert item.ndb is not None
        try:
            kinds = foods().analysed_kinds(item.ndb)
        except NotAnalysedError:
            assert "sugars" not in item.keys, f"{item.name} names kinds that its source does not know"
            continue
        if "sugars" not in item.keys:
            assert not kinds.keys() - {"sucrose"}, item.name
            continue
        found = sum(amount.value for amount in kinds.values())
        ours = {kind: number(share, "%") for kind, share in item.keys["sugars"].items()}
        assert sum(ours.values()) == pytest.approx(100.0)
        for kind in SUGAR_KINDS:
            theirs = kinds[kind].value if kind in kinds else 0.0
            assert ours.get(kind, 0.0) == pytest.approx(100.0 * theirs / found, abs=1.0), f"{kind} of {item.name}"
        told += 1
    assert told >= 50


def test_density_is_a_published_household_weight() -> None:
    checked = 0
    for item in items():
        said = re.search(r"([\d.]+) g to (?:8 )?a? ?(cup|fluid ounce|tablespoon)", item.comment("density"))
        if not said:
            assert "density" not in item.keys or "common practice" in item.comment("density"), item.name
            continue
        ndb, mass_g, measure = item.record("density"), float(said[1]), said[2]
        assert ndb is not None
        word = {"cup": "cup", "fluid ounce": "fl oz", "tablespoon": "tbsp"}[measure]
        listed = [one for one in foods().weights(ndb) if one.measure.startswith(word) and one.amount == 1.0]
        assert any(one.mass_g == mass_g for one in listed), f"{item.name}: {listed}"
        assert number(item.keys["density"], "g/ml") == pytest.approx(mass_g / MEASURES_ML[measure], abs=0.0006)
        checked += 1
    assert checked >= 40


def test_what_one_piece_weighs_is_the_records() -> None:
    checked = 0
    for item in items():
        for unit, mass in item.keys.get("each", {}).items():
            ndb = item.record("each")
            assert ndb is not None
            weights = [one.mass_g / one.amount for one in foods().weights(ndb)]
            weights += [one.mass_g / 10.0 for one in foods().weights(ndb) if one.measure.startswith("10 ")]
            weights += [one.mass_g / 5.0 for one in foods().weights(ndb) if one.measure.startswith("5 ")]
            assert any(number(mass, "g") == pytest.approx(one) for one in weights), f"{unit} of {item.name}: {weights}"
            checked += 1
    assert checked >= 25


ACID_IS_ANOTHER_AUTHORS = 5.0
"""How much more than the record's solids sugar and acid may be, in g/kg: the acid is of other fruit."""


def test_sugar_and_acid_find_room_in_the_solids() -> None:
    checked = 0
    for item in items():
        sugar = per_kilogram(item, "sugar") if "sugar" in item.keys else 0.0
        acid = per_kilogram(item, "acid") if "acid" in item.keys else 0.0
        assert sugar + acid <= 1000.0, item.name
        water = foods().amount(item.ndb, WATER) if item.ndb else None
        if water is not None and item.keys["kind"] not in WITH_ALCOHOL and "vinegar" not in item.name:
            assert sugar + acid <= 1000.0 - 10.0 * water.value + ACID_IS_ANOTHER_AUTHORS, item.name
            checked += 1
    assert checked >= 80


NO_SUGAR_WATER = {"worcestershire sauce": 0.07, "glucose syrup": 0.04, "egg yolk": 0.035}
"""Salt and starch weigh more than as much sugar; a yolk's fat is bound to its protein."""

FAT_G_PER_ML = 0.92
"""Milk fat and plant oils at room temperature: 0.91 to 0.93, common practice."""


def test_density_fits_what_is_dissolved() -> None:
    """A household weight against the solids of the same record, taken as sugar in water with the fat beside it."""
    checked = 0
    for item in items():
        ndb = item.record("density")
        if "density" not in item.keys or ndb is None:
            continue
        water, fat = foods().amount(ndb, WATER), foods().amount(ndb, FAT)
        assert water is not None
        assert fat is not None
        lean = 100.0 - fat.value
        ml_per_g = lean / (sucrose.density(100.0 * (lean - water.value) / lean) / 1000.0) + fat.value / FAT_G_PER_ML
        ours = number(item.keys["density"], "g/ml")
        allowed = NO_SUGAR_WATER.get(item.name, 0.025)
        assert ours == pytest.approx(100.0 / ml_per_g, rel=allowed), item.name
        checked += 1
    assert checked >= 40


@pytest.mark.parametrize("acid", ["citric", "malic", "tartaric", "lactic"])
def test_a_pure_acid_is_all_acid(acid: str) -> None:
    assert ingredient_liquid(load_all()[f"{acid}-acid"]).per_g[INDEX[acid]] == pytest.approx(1.0)


@pytest.mark.parametrize(("vinegar", "grams"), [("cider", 50.0), ("white", 50.0), ("wine", 60.0)])
def test_vinegar_holds_its_percent_of_acetic_acid_by_volume(vinegar: str, grams: float) -> None:
    """5 % on a label is 50 g in a litre; by the drink's arithmetic 53.3 g as citric (64.041/60.052)."""
    ingredient = load_all()[f"{vinegar}-vinegar"]
    liquid = ingredient_liquid(ingredient)
    assert liquid.density is not None
    assert 1000.0 * liquid.density * liquid.per_g[INDEX["acetic"]] == pytest.approx(grams)
    assert 1000.0 * liquid.acid_g_per_ml == pytest.approx(grams * 64.041 / 60.052, rel=1e-4)


def test_formulas_give_what_a_crystal_with_water_holds() -> None:
    """Glucose with one water, by molar masses: 180.156 of 198.171 (C6H12O6, H2O 18.015)."""
    item = next(one for one in items() if one.name == "glucose powder")
    assert number(item.keys["sugar"], "g/kg") == pytest.approx(1000.0 * 180.156 / 198.171, abs=0.5)
    assert set(item.keys["sugars"]) <= set(SUGARS)


HIGHEST_ABV = {"spirit": 75.0, "liqueur": 40.0, "wine": 22.0, "beer": 14.0, "bitters": 60.0}
"""What a label may say of the class; 22 is the limit of Regulation (EU) No 1308/2013 for liqueur wine."""


@pytest.mark.parametrize("kind", sorted(HIGHEST_ABV))
def test_there_is_room_for_the_alcohol_of_a_label(kind: str, tmp_path: Path) -> None:
    """A bar adds `abv:` and nothing else, and what it pours is then wholly known but for what is marked unknown."""
    entries = [one for one in pantry().entries if one.kind == kind]
    (tmp_path / "ingredients").mkdir()
    for abv in (0.5, HIGHEST_ABV[kind]):
        labelled = "\n".join(one.text.replace("  # abv: read the label", f"  abv: {abv} %") for one in entries)
        (tmp_path / "ingredients" / "mine.yaml").write_text(labelled, encoding="utf-8")
        loaded = load(tmp_path)
        assert (loaded.problems, loaded.broken, loaded.doubts) == ((), (), {})
        for ingredient in loaded.specs.ingredients.values():
            liquid = ingredient_liquid(ingredient)
            assert liquid.density is not None
            ethanol_ml = liquid.per_g[ETHANOL] * liquid.density / ETHANOL_G_PER_ML
            assert 100.0 * ethanol_ml == pytest.approx(abv), ingredient.name


def test_everything_can_be_weighed_and_what_has_a_density_poured() -> None:
    assert len(pantry().entries) == len(items())
    for ingredient in load_all().values():
        liquid = ingredient_liquid(ingredient)
        assert sum(liquid.per_g) == pytest.approx(1.0), ingredient.name
        assert liquid.sugar_unknown == (ingredient.sugar is None)
        if ingredient.density is not None:
            assert liquid.density == ingredient.density


@cache
def load_all() -> dict[str, Ingredient]:
    """The pantry as the loader reads it."""
    with TemporaryDirectory() as folder:
        shutil.copytree(FOLDER, Path(folder) / "ingredients")
        loaded = load(Path(folder))
    assert loaded.problems == ()
    return loaded.specs.ingredients
