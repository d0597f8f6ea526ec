"""`import` as a manager uses it: a dry run, the faults, the files, and that nothing else is touched."""

from __future__ import annotations

import ast
import os
from collections.abc import Iterable
from contextlib import AbstractContextManager
from pathlib import Path

import pytest
from filelock import FileLock
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from balancer.errors import CannotError
from balancer.files import save as files_save
from balancer.files.house.load import load
from balancer.files.house.writing import writing
from tests.cli.runner import CHECKOUT, HOUSE, Run, copy_of_house, run
from tests.docs.tables import tables, ticked
from tests.examples import examples
from tests.files.sheets.test_planted import tree

LONG = """\
Cocktail,Item,Qty,Technique,Glassware
Slack Water,gold rum,60 ml,shaken,coupe
,lime juice,3/4 oz,,
,Plain Syrup,22.5ml,,
"""


@pytest.fixture
def specs(tmp_path: Path) -> Path:
    return copy_of_house(tmp_path)


def imported(specs: Path, text: str | bytes, *options: str, name: str = "menu.csv") -> Run:
    path = specs.parent / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return run("import", str(path), *options, specs=specs)


def told(done: Run) -> list[tuple[int | None, int | None, str]]:
    return [(problem["line"], problem["column"], problem["code"]) for problem in done.data["problems"]]


def test_a_dry_run_answers_first_and_writes_nothing(specs: Path) -> None:
    before = tree(specs)
    done = imported(specs, LONG)
    assert (done.code, done.err) == (0, "")
    assert done.first == "menu.csv: 1 drink ready"
    assert tree(specs) == before


def test_what_is_written(specs: Path) -> None:
    before = tree(specs)
    done = imported(specs, LONG, "--write")
    assert done.first.endswith("1 drink written")
    after = tree(specs)
    assert after.keys() - before.keys() == {"drinks/slack-water.yaml"}
    assert after["drinks/slack-water.yaml"].decode() == (
        "# from menu.csv, rows 2-4\ndrink: Slack Water\nmethod: shaken\npours:\n  - 60 ml gold rum\n"
        "  - 3/4 oz lime juice\n  - 22.5 ml plain syrup\nglass: coupe\n"
    )
    assert load(specs).problems == ()


def test_the_second_time_it_is_already_there(specs: Path) -> None:
    imported(specs, LONG, "--write")
    before = tree(specs)
    done = imported(specs, LONG, "--write")
    assert (done.code, done.first.partition(": ")[2]) == (0, "0 drinks ready, 1 already there")
    assert tree(specs) == before


def test_a_drink_that_differs_is_never_overwritten(specs: Path) -> None:
    imported(specs, LONG, "--write")
    before = tree(specs)
    done = imported(specs, LONG.replace("60 ml", "50 ml"), "--write")
    assert done.code == 1
    assert 'row 2, A "Cocktail": "Slack Water" is already in' in done.out
    assert "slack-water.yaml, and differs" in done.out
    assert tree(specs) == before


def test_a_file_of_that_name_is_never_overwritten(specs: Path) -> None:
    (specs / "drinks" / "slack-water.yaml").write_text("drink: Other\nmethod: shaken\npours: [60 ml gold rum]\n")
    (specs / "ingredients" / "imported.yaml").write_text("ingredient: mine\n")
    before = tree(specs)
    imported(specs, LONG.replace("lime juice", "pear brandy"), "--write")
    after = tree(specs)
    assert after.keys() - before.keys() == {"drinks/slack-water-2.yaml", "ingredients/imported-2.yaml"}
    assert {name: after[name] for name in before} == before


def test_what_is_new_is_listed_with_what_it_may_have_meant(specs: Path) -> None:
    text = LONG.replace("lime juice", "gin dry").replace("Plain Syrup", "berry")
    done = imported(specs, text, "--write", "--json")
    new = {one["name"]: one["did_you_mean"] for one in done.data["ingredients"]}
    assert new == {"gin dry": "dry gin", "berry": "berry syrup"}, "whole names only: berry is not berry syrup"
    stubs = (specs / "ingredients" / "imported.yaml").read_text()
    assert "- ingredient: gin dry\n  # row 3\n- ingredient: berry\n  # row 4\n" in stubs
    found = load(specs).specs.ingredients["gin-dry"]
    assert (found.sugar, found.allergens) == (None, None), "unknown, never zero and never none"


def test_new_names_of_faulty_drinks_are_listed_and_not_written(specs: Path) -> None:
    done = imported(specs, LONG.replace("lime juice,3/4 oz", "pear brandy,04-Mar"), "--write", "--json")
    assert done.data["drinks"][0]["state"] == "faulty"
    assert done.data["files"] == []
    assert tree(specs) == tree(HOUSE)


def test_a_new_name_that_makes_an_old_one_unclear_is_refused(specs: Path) -> None:
    """An old spec says "herbal" for herbal liqueur; a new herbal bitter must not take that away from it."""
    (specs / "drinks" / "old.yaml").write_text("drink: Old\nmethod: shaken\npours: [20 ml herbal, 60 ml gold rum]\n")
    before = tree(specs)
    done = imported(specs, LONG.replace("lime juice", "herbal tonic"), "--write", "--json")
    assert (done.code, told(done)) == (1, [(None, None, "import-spoils")])
    assert "old.yaml:3" in done.data["problems"][0]["message"]
    assert tree(specs) == before


def test_every_fault_of_every_row_in_one_run(specs: Path) -> None:
    text = (
        "Drink,Ingredient,Amount,Unit,Method,Dilution,Zero proof\n"
        "A,gold rum,3-Apr,oz,shakn,,\n"
        'A,lime juice,"1,000",ml,,,\n'
        "B,gold rum,60,,,45,perhaps\n"
        "C,gold rum,60,ml,shaken,,yes\n"
    )
    done = imported(specs, text, "--json")
    assert told(done) == [
        (2, 3, "import-date"), (2, 5, "doubt"), (3, 3, "number-ambiguous"), (4, 1, "import-method"),
        (4, 3, "unit-missing"), (4, 6, "unit-missing"), (4, 7, "choice"), (5, 3, "zero-proof"),
    ]  # fmt: skip
    assert done.data["problems"][0]["message"].endswith(
        '"3-Apr" is a date, made by a spreadsheet out of what was probably 3/4'
    )


def test_the_row_is_the_spreadsheets_row(specs: Path) -> None:
    text = (
        "a title\n\nDrink,Ingredient,Amount,Method,Notes\n"
        'A,gold rum,60 ml,shaken,"one\ntwo\nthree"\n\nB,gold rum,60,shaken,\n'
    )
    done = imported(specs, text)
    assert ':6:3: row 6, C "Amount": "60" of "gold rum" has no unit' in done.out


def test_defaults_for_units_and_methods(specs: Path) -> None:
    text = "Drink,Ingredient,Amount\nA,gold rum,2\n,lime juice,1 barspoon\n"
    done = imported(specs, text, "--unit", "fl oz", "--method", "shaken", "--write")
    assert done.code == 0
    assert (specs / "drinks" / "a.yaml").read_text().endswith("pours:\n  - 2 oz gold rum\n  - 1 barspoon lime juice\n")
    assert imported(specs, text, "--unit", "glugs").code == 2
    assert imported(specs, text, "--method", " ").code == 2


@pytest.mark.parametrize(("word", "way"), [("Shake", "shaken"), ("Stir & strain", "stirred"), ("dry shake", "shaken")])
def test_methods_in_the_bars_own_words(specs: Path, word: str, way: str) -> None:
    """What a card prints stays the bar's own word; what it means for the water is read from it."""
    imported(specs, LONG.replace("shaken", word), "--write")
    found = load(specs).specs.drinks["slack-water"]
    assert (found.method, found.way) == (word, way)


def test_headings_twice(specs: Path) -> None:
    done = imported(specs, "Drink,Ingredient,Qty,Qty,Method\nA,gold rum,60 ml,2,shaken\n", "--json")
    assert told(done) == [(1, 4, "import-heading-twice")]


def test_a_unit_in_the_heading(specs: Path) -> None:
    imported(specs, "Drink,Ingredient,Amount (oz),Method\nA,gold rum,1½,shaken\n", "--write")
    assert "- 1½ oz gold rum" in (specs / "drinks" / "a.yaml").read_text()


WIDE = """\
drink,id,family,method,time,glass,ice,strain,garnish,dilution,weighed before,weighed after,chill ice,chill stop,\
zero proof,version,date,by,notes,steps,extras,ingredient 1,amount 1,fixed 1,top 1,ingredient 2,amount 2
Wide,w-1,sour,rolled,12 s,coupe,"none","double","wheel, thin",20 %,107 g,165 g,120 g,-2 °C,\
no,3,2026-03-14,Runa,"one
two",shake,8 mint leaves,gold rum,60 ml,yes,no,lime juice,20 ml
"""


def test_every_key_of_a_drink(specs: Path) -> None:
    done = imported(specs, WIDE, "--write")
    assert done.code == 0, done.out
    drink = load(specs).specs.drinks["w-1"]
    said = drink.model_dump(exclude_none=True, exclude={"pours"})
    assert said.pop("weighed") == {"before": 107.0, "after": 165.0}
    assert said.pop("chill") == {"ice": 120.0, "stop": -2.0}
    assert [(pour.of, pour.fixed, pour.top) for pour in drink.pours] == [
        ("gold-rum", True, False), ("lime-juice", False, None)
    ]  # fmt: skip
    assert said == {
        "name": "Wide", "id": "w-1", "family": "sour", "method": "rolled", "dilution": 20.0, "glass": "coupe",
        "ice": "none", "strain": "double", "time": "12 s", "garnish": "wheel, thin", "steps": ("shake",),
        "extras": ("8 mint leaves",), "zero_proof": False, "notes": ("one", "two"), "version": "3",
        "date": "2026-03-14", "by": "Runa", "written_for": {},
    }  # fmt: skip


HOSTILE = (
    "<script>alert(1)</script>", "=1+1", "- x", "#import", "a: b", "& ! * % @ ~ q", "null", "yes", "1984", "007",
    'say "so"', "back\\slash", "'tis", "🍸 שלום", "of the sea", "ml", "oz gin", "a, b; c", "CON", 298 * "n", "½ pint",
)  # fmt: skip


def test_hostile_names(specs: Path) -> None:
    rows = ["drink,ingredient,amount,method,garnish"]
    rows += [
        ",".join(f'"{cell}"' for cell in (_cell(name), _cell(f"{name} x"), "60 ml", "shaken", _cell(name)))
        for name in HOSTILE
    ]
    done = imported(specs, "\n".join(rows), "--write", "--json")
    assert (done.code, done.data["problems"]) == (0, [])
    after = load(specs)
    assert after.problems == ()
    written = {drink.name: drink for drink in after.specs.drinks.values()}
    for name in HOSTILE:
        assert written[name].garnish == name
        assert after.specs.ingredients[written[name].pours[0].of].name == f"{name} x"


def _cell(name: str) -> str:
    return name.replace('"', '""')


@pytest.mark.parametrize("folder", [CHECKOUT / "specs", HOUSE])
def test_an_export_comes_back_the_same(tmp_path: Path, folder: Path) -> None:
    specs = copy_of_house(tmp_path)
    for path in specs.rglob("*.yaml"):
        path.unlink()
    for path in folder.rglob("*.yaml"):
        if path.parent.name in ("ingredients", "syrups") or path.name == "house.yaml":
            (specs / path.relative_to(folder)).write_bytes(path.read_bytes())
    sheet = tmp_path / "all.csv"
    assert run("export", "drinks", "--out", str(sheet), specs=folder).code == 0
    done = run("import", str(sheet), "--write", specs=specs)
    assert done.code == 0, done.out
    assert load(specs).specs.drinks == load(folder).specs.drinks


AWKWARD = """\
- drink: "!!!"
  id: bang
  method: shake
  dilution: 12,5 %
  pours: [1/3 oz gold rum, {pour: 20 ml, of: lime juice, fixed: true, top: false}, rinse anise spirit]
  notes: ["one; two, three", "=1+1", "'tis", "-", "- x", "it said \\"so\\""]
- drink: Total
  id: sum-7
  method: Shaken
  pours: [2 cubes white sugar, 1 large egg white, 60 g total, 0.7 ml ml, {pour: 30 ml, of: of rum}]
  chill: {ice: 99.5 g, ice temperature: -18 °C, start: 4 °C, vessel: 0 J/K}
  garnish: "'=x"
  steps: [shake, strain, shake]
  extras: [8 mint leaves, "1 peel, thin"]
- drink: "null"
  method: Build hard, then strain into a coupe; garnish with mint
  zero proof: yes
  pours: [{pour: 90 ml, of: soda water, top: true}, 12.5 ml lime juice]
  weighed: {before: 102.5 g, after: 130 g}
  version: "007"
  date: "3-Apr"
  ice: "none"
  glass: chilled coupe
  by: Ansgar
"""
MORE = "- {ingredient: total, sugar: 0 g/l}\n- {ingredient: ml, sugar: 0 g/l}\n- {ingredient: of rum, sugar: 0 g/l}\n"


@pytest.mark.parametrize(
    "chill", ["", "chill: {ice: 150 g, start: 20 °C}\n", "glasses: {chilled coupe: 180 ml, coupe: 150 ml}\n"]
)
def test_awkward_drinks_come_back_the_same(tmp_path: Path, chill: str) -> None:
    specs = copy_of_house(tmp_path, drinks__awkward=AWKWARD, ingredients__more=MORE)
    with (specs / "house.yaml").open("a", encoding="utf-8") as house:
        house.write(chill)
    before = load(specs)
    assert before.problems == ()
    sheet = tmp_path / "all.csv"
    assert run("export", "drinks", "--out", str(sheet), specs=specs).code == 0
    there = run("import", str(sheet), "--json", specs=specs)
    assert {drink["state"] for drink in there.data["drinks"]} == {"already there"}, there.data["problems"]
    for path in (specs / "drinks").iterdir():
        path.unlink()
    done = run("import", str(sheet), "--write", specs=specs)
    assert done.code == 0, done.out
    assert load(specs).specs.drinks == before.specs.drinks


def test_a_disk_that_fills_up_leaves_nothing_behind(specs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    text = LONG.replace("lime juice", "pear brandy") + "Ebb,gold rum,60 ml,shaken,\nFlow,gold rum,50 ml,shaken,\n"
    before = tree(specs)
    count = [0]

    def save(path: Path, raw: bytes, *, remedy: str = "") -> None:
        count[0] += 1
        if count[0] == 4:
            raise CannotError("unwritable", f"{path}: No space left on device", remedy)
        path.write_bytes(raw)

    monkeypatch.setattr(files_save, "save", save)
    done = imported(specs, text, "--write")
    assert (done.code, done.out, count[0]) == (1, "", 4)
    assert "nothing was written" in done.err
    assert tree(specs) == before


def test_folders_made_for_nothing_are_taken_away(specs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for path in (specs / "drinks").iterdir():
        path.unlink()
    (specs / "drinks").rmdir()

    def save(path: Path, _: bytes, *, remedy: str = "") -> None:
        raise CannotError("unwritable", str(path), remedy)

    with monkeypatch.context() as patched:
        patched.setattr(files_save, "save", save)
        assert imported(specs, LONG, "--write").code == 1
    assert not (specs / "drinks").exists()
    assert imported(specs, LONG, "--write").code == 0


def test_what_is_passed_over_is_listed(specs: Path) -> None:
    head, _, rest = LONG.partition("\n")
    text = (
        f"{head},Cost\n"
        + "\n".join(f"{row},1" for row in rest.splitlines())
        + f"\n\n{head},Cost\nTotal,,,,,3\n,,,,TOTAL:,3\n"
    )
    done = imported(specs, text, "--json")
    assert done.data["columns_not_read"] == [{"column": "F", "heading": "Cost"}]
    assert [(row["row"], row["why"]) for row in done.data["rows_not_read"]] == [
        (6, "headings again"),
        (7, '"Total"'),
        (8, '"TOTAL:"'),
    ]
    assert told(done) == []


def test_a_broken_ingredient_is_named(specs: Path) -> None:
    (specs / "ingredients" / "bad.yaml").write_text("ingredient: fig wine\nabv: lots\n")
    done = imported(specs, LONG.replace("lime juice", "fig wine"), "--json")
    assert told(done) == [(3, 3, "broken-ingredient")]


def test_an_empty_file_and_one_that_is_not_there(specs: Path) -> None:
    assert told(imported(specs, "", "--json")) == [(None, None, "import-empty")]
    assert run("import", str(specs / "no.csv"), specs=specs).code == 1


CELLS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12) | st.sampled_from(
    ["gold rum", "60 ml", "3-Apr", "shaken", '"', "\n", "=1", "Total", "1,000", "drink", "yes", "½ oz", "\x00", "#REF!"]
)
HEADS = st.sampled_from(
    ["drink", "ingredient", "amount", "unit", "method", "pours", "top", "amount 2", "notes", "x", ""]
)


@settings(deadline=None, max_examples=examples(60), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(HEADS, min_size=1, max_size=7),
    st.lists(st.lists(CELLS, max_size=8), max_size=8),
    st.sampled_from([",", ";", "\t"]),
    st.sampled_from(["utf-8", "utf-16", "utf-16-le"]),
)
def test_no_table_makes_it_stumble(
    tmp_path: Path, heads: list[str], rows: list[list[str]], delimiter: str, encoding: str
) -> None:
    text = "\n".join(delimiter.join(row) for row in [heads, *rows])
    path = tmp_path / "any.csv"
    path.write_bytes(text.encode(encoding))
    done = run("import", str(path), "--json")
    assert done.code == bool(done.data["problems"])
    assert all(problem["message"] and problem["remedy"] for problem in done.data["problems"])


PAGE = CHECKOUT / "docs" / "how-to" / "import-specs-from-a-spreadsheet.md"


def test_every_code_is_on_the_page() -> None:
    """Codes of imports only, and no code that is gone."""
    rows = tables(PAGE)["Faults of a spreadsheet"][0].rows
    written = set()
    sheets = (CHECKOUT / "balancer" / "files" / "sheets").glob("*.py")
    for path in [*sheets, CHECKOUT / "balancer" / "models" / "import_map.py"]:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value.startswith("import-"):
                written.add(node.value)
    listed = {ticked(row[0]) for row in rows}
    assert written == {code for code in listed if code and code.startswith("import-")}
    assert all(row[1] for row in rows)


def test_an_import_waits_for_who_writes_into_the_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    specs, sheet = copy_of_house(tmp_path), tmp_path / "menu.csv"
    sheet.write_text("Drink,Method,Glass,Item,Qty\nOne,shaken,coupe,gold rum,60 ml\n", encoding="utf-8")
    before = sorted(specs.rglob("*.yaml"))
    monkeypatch.setattr("balancer.files.house.writing.LOCK_SECONDS", 0.05)
    with FileLock(str(specs / ".batches.lock")):
        done = run("import", str(sheet), "--write", specs=specs)
    assert (done.code, done.out, "another command has been writing" in done.err) == (1, "", True)
    assert sorted(specs.rglob("*.yaml")) == before
    assert run("import", str(sheet), "--write", specs=specs).code == 0


def test_an_import_into_a_folder_that_changed_meanwhile_writes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another device gave the house a drink of that name while this one planned."""
    specs, sheet = copy_of_house(tmp_path), tmp_path / "menu.csv"
    sheet.write_text("Drink,Method,Glass,Item,Qty\nOne,shaken,coupe,gold rum,60 ml\n", encoding="utf-8")
    real = writing

    def late(folder: Path, files: Iterable[Path]) -> AbstractContextManager[None]:
        (specs / "drinks" / "theirs.yaml").write_text("drink: One\nmethod: built\npours: 20 ml gold rum\n")
        return real(folder, files)

    monkeypatch.setattr("balancer.files.sheets.write.writing", late)
    done = run("import", str(sheet), "--write", specs=specs)
    assert (done.code, done.out, "was changed meanwhile; nothing was written" in done.err) == (1, "", True)
    assert not (specs / "drinks" / "one.yaml").exists()
    monkeypatch.undo()
    told = run("import", str(sheet), "--write", "--json", specs=specs).data["problems"]
    assert [one["code"] for one in told] == ["import-exists"]


def test_a_full_disk_takes_an_import_back_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    specs, sheet = copy_of_house(tmp_path), tmp_path / "menu.csv"
    rows = "".join(f"Drink {number},shaken,coupe,gold rum,60 ml\n" for number in range(6))
    sheet.write_text(f"Drink,Method,Glass,Item,Qty\n{rows}", encoding="utf-8")
    before = {path: path.read_bytes() for path in specs.rglob("*") if path.is_file()}
    synced = os.fsync
    room = [4]

    def full(descriptor: int) -> None:
        room[0] -= 1
        if room[0] < 0:
            raise OSError(28, "No space left on device")
        synced(descriptor)

    with monkeypatch.context() as patched:
        patched.setattr(os, "fsync", full)
        done = run("import", str(sheet), "--write", specs=specs)
    assert (done.code, done.out) == (1, "")
    assert "No space left on device" in done.err
    assert "nothing was written; make room" in done.err
    files = (path for path in specs.rglob("*") if path.is_file() and path.name != ".batches.lock")
    assert {path: path.read_bytes() for path in files} == before
    assert run("check", "--json", specs=specs).data["problems"] == []


@pytest.mark.parametrize(("name", "code"), [("", 2), (".", 2), ("/", 2), ("..", 1)])
def test_a_folder_is_no_spreadsheet(tmp_path: Path, name: str, code: int) -> None:
    done = run("import", name, "--write", specs=copy_of_house(tmp_path))
    assert (done.code, done.out) == (code, "")
    assert "is no file" in done.err or "folder" in done.err.lower() or "directory" in done.err.lower()
