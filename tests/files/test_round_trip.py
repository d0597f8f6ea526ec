"""What `export drinks` writes, `import` reads back to equal drinks."""

from __future__ import annotations

import json
import shutil
import tempfile
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.files.house.load import load
from balancer.files.house.remarks import DRINK_REMARKS
from balancer.models.drink import Drink
from tests.cli.runner import CHECKOUT, run
from tests.examples import examples
from tests.files.folders import write

SHELVES = ("house.yaml", "ingredients", "syrups")
TOLD = "\x85\xa0\u2028\u2029\ufeff"


def there_and_back(folder: Path) -> tuple[dict[str, Drink], dict[str, Drink]]:
    """The drinks of a folder, and what a folder with the same shelves has after importing their export."""
    loaded = load(folder)
    assert {problem.code for problem in loaded.problems} <= set(DRINK_REMARKS)
    other, sheet = folder.parent / "other", folder.parent / "menu.csv"
    other.mkdir()
    for name in SHELVES:
        source = folder / name
        (shutil.copytree if source.is_dir() else shutil.copyfile)(source, other / name)
    exported = run("export", "drinks", "--out", str(sheet), specs=folder)
    assert exported.code == 0, exported.err
    imported = run("import", str(sheet), "--write", specs=other)
    assert imported.code == 0, imported.out + imported.err
    back = load(other)
    assert {problem.message for problem in back.problems} == {problem.message for problem in loaded.problems}
    return loaded.specs.drinks, back.specs.drinks


def test_the_demo_house(tmp_path: Path) -> None:
    shutil.copytree(CHECKOUT / "specs", tmp_path / "specs")
    before, after = there_and_back(tmp_path / "specs")
    assert len(before) > 10
    assert after == before


def test_a_house_that_chills_everything(tmp_path: Path) -> None:
    """What a shaken drink has from the house it has again, and its own stays its own."""
    folder = tmp_path / "specs"
    shutil.copytree(CHECKOUT / "specs", folder)
    house, sour = folder / "house.yaml", folder / "drinks/slipway-sour.yaml"
    house.write_text(house.read_text(encoding="utf-8") + "chill: {ice: 150 g, start: 8 °C}\n", encoding="utf-8")
    sour.write_text(sour.read_text(encoding="utf-8") + "chill: {ice: 150 g, stop: -2 °C}\n", encoding="utf-8")
    before, after = there_and_back(folder)
    assert after == before
    house.write_text(house.read_text(encoding="utf-8").replace("start: 8", "start: 9"), encoding="utf-8")
    (tmp_path / "other/house.yaml").write_text(house.read_text(encoding="utf-8"), encoding="utf-8")
    assert load(tmp_path / "other").specs.drinks == load(folder).specs.drinks


def words(**keys: Any) -> st.SearchStrategy[str]:
    """A line of text as a person may type it, with what spreadsheets and YAML take for something else."""
    letters = st.characters(codec="utf-8", categories=["L", "N", "P", "S", "Zs"], exclude_characters=TOLD)
    tricky = st.sampled_from(
        ["=1+1", "-2 °C", "@bar", "+5", "'=1", "''", "007", "1-2", "3/4", "yes", "null", "# x", "a: b", "a; =b", '"q"',
         "[a, b]", "{a}", "50 %", "Crème", "燈台 😀", "＝1", "\u00a0x", "1,5", "x\u200by"]
    )  # fmt: skip
    return st.one_of(tricky, st.text(letters, max_size=12, **keys)).filter(lambda text: bool(text.strip()))


AMOUNT = st.sampled_from(
    ["22.5 ml", "3/4 oz", "1 1/3 oz", "2 dashes", "0,1 cl", "1 barspoon", "31 g", "1.333333333 ml"]
)
POURS = {"gold rum": AMOUNT, "lime juice": AMOUNT, "soda water": AMOUNT, "raspberry syrup": AMOUNT | st.just("1 rinse")}
POURS["granulated sugar"] = st.sampled_from(["2 cubes", "1 cube", "1 teaspoon", "5 g"])
FLAG = st.sampled_from(["yes", "no"])
GRAMS = st.integers(1_000, 2_000_000).map(lambda number: f"{number / 10_000} g")


@st.composite
def pours(draw: st.DrawFn) -> list[dict[str, str]]:
    names = draw(st.lists(st.sampled_from(sorted(POURS)), min_size=1, unique=True))
    flags = st.fixed_dictionaries({}, optional={"fixed": FLAG, "top": FLAG})
    return [{"pour": draw(POURS[name]), "of": name, **draw(flags)} for name in names]


CHILL = st.fixed_dictionaries(
    {"stop": st.sampled_from(["-2 °C", "0 °C", "28 °F"])},
    optional={
        "ice": GRAMS,
        "ice temperature": st.just("-18 °C"),
        "start": st.just("8.5 °C"),
        "vessel": st.just("64 J/K"),
    },
)
DRINK = st.fixed_dictionaries(
    {
        "method": words(),
        "pours": pours(),
        "dilution": st.integers(0, 4_000_000).map(lambda number: f"{number / 10_000} %"),
    },
    optional={
        **dict.fromkeys(("family", "glass", "ice", "strain", "time", "garnish", "version", "date", "by"), words()),
        **dict.fromkeys(("steps", "extras", "notes"), st.lists(words(), min_size=1, max_size=3)),
        "weighed": GRAMS.map(lambda before: {"before": before, "after": "250 g"}),
        "chill": CHILL,
        "id": st.from_regex(r"[a-z]{3,8}", fullmatch=True),
    },
)


@settings(max_examples=examples(20), deadline=None)
@given(st.lists(DRINK, min_size=1, max_size=3), st.data())
def test_any_drinks(entries: list[dict[str, Any]], data: st.DataObject) -> None:
    for number, entry in enumerate(entries):  # names that no two of them share
        entry["drink"] = f"{data.draw(words())} slip {number}"
        entry["id"] = f"{entry.get('id', 'slip')}-{number}" if "id" in entry else f"slip-{number}"
    with tempfile.TemporaryDirectory() as name:
        folder = write(Path(name) / "specs")
        shutil.rmtree(folder / "drinks")
        (folder / "drinks").mkdir()
        text = json.dumps(entries, ensure_ascii=False)
        (folder / "drinks/all.yaml").write_text(text, encoding="utf-8")
        before, after = there_and_back(folder)
    assert len(before) == len(entries)
    assert after == before
