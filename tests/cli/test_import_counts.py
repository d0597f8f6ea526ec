"""What an import says it wrote is what stands in its files: no more, no less, and nothing that no drink pours."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest

from balancer.files.house.load import load
from tests.cli.runner import run

LINES = [
    "white rum,60,ml", "lime juice,22.5,ml", "mezcal,45,ml", "yuzu juice,20,ml", "quince syrup,15,ml", "zork,10,ml",
    "aged rum,some,ml", "mezcal,lots,", "yuzu juice,3,fathoms", "zork,,", "pisco,50,ml", "Grappa di Nessuno,30,ml",
]  # fmt: skip
COUNTS = re.compile(r"(?P<drinks>\d+) drinks? written|(?P<new>\d+) ingredients? new|(?P<taken>\d+) out of the pantry")
ENTRY = re.compile(r"^(?:- )?ingredient: (.+?)(?: +#.*)?$", re.MULTILINE)


def entries(bar: Path) -> dict[str, list[str]]:
    """The ingredients of a house, by the file that they stand in."""
    return {path.name: ENTRY.findall(path.read_text(encoding="utf-8")) for path in (bar / "ingredients").iterdir()}


@pytest.mark.parametrize("pantry", [True, False], ids=["pantry", "alone"])
@pytest.mark.parametrize("seed", range(12))
def test_counts_are_of_what_is_written(tmp_path: Path, seed: int, pantry: bool) -> None:
    chosen = random.Random(seed)  # noqa: S311 - a sheet, no secret
    bar, sheet = tmp_path / "bar", tmp_path / "sheet.csv"
    run("start", str(bar), specs=None)
    rows = [
        f"Number {number},{line},shaken"
        for number in range(1, chosen.randint(2, 6))
        for line in chosen.sample(LINES, chosen.randint(1, 4))
    ]
    sheet.write_text("\n".join(["Drink,Ingredient,Amount,Unit,Method", *rows]) + "\n", encoding="utf-8")
    before, drinks_before = entries(bar), {*(bar / "drinks").iterdir()}
    done = run("import", str(sheet), "--write", *(["--pantry"] if pantry else []), specs=bar)
    told = " ".join(done.out.split())
    groups = [found.groupdict() for found in COUNTS.finditer(told)]
    said = {name: int(value) for group in groups for name, value in group.items() if value and value != "0"}
    files = {name: names for name, names in entries(bar).items() if name not in before}
    new = files.pop("imported.yaml", [])
    taken = [name for names in files.values() for name in names]
    written = {*(bar / "drinks").iterdir()} - drinks_before
    assert said == {
        name: number
        for name, number in {"drinks": len(written), "new": len(new), "taken": len(taken)}.items()
        if number
    }
    loaded = load(bar)
    assert [problem for problem in loaded.problems if problem.code not in ("glass", "doubt")] == []
    specs = loaded.specs
    of_them = [drink for drink in specs.drinks.values() if drink.name.startswith("Number ")]
    assert len(of_them) == len(written)
    poured = {pour.of for drink in of_them for pour in drink.pours}
    assert all(specs.find_liquid(one) is not None for one in poured)
    assert {specs.liquid_names.whole(name) for name in (*new, *taken)} <= poured, "only what a drink pours is written"


def test_what_only_a_drink_with_faults_pours_stays_where_it_is(tmp_path: Path) -> None:
    """Mezcal came out of the pantry for a drink that was left out, and four names were counted that nobody wrote."""
    bar, sheet = tmp_path / "bar", tmp_path / "sheet.csv"
    run("start", str(bar), specs=None)
    sheet.write_text(
        "Drink,Ingredient,Amount,Unit,Method\nHazel,pisco,50,ml,shaken\nHazel,zork,10,ml,shaken\n"
        "Smoke,mezcal,some,ml,shaken\nSmoke,quince syrup,20,ml,shaken\nFizz,prosecco,,,built\n",
        encoding="utf-8",
    )
    done = run("import", str(sheet), "--pantry", "--write", specs=bar)
    assert done.first == "sheet.csv: 1 drink written, 2 with faults, 1 ingredient new, 1 out of the pantry"
    assert entries(bar)["imported.yaml"] == ["zork"]
    assert entries(bar)["spirits.yaml"] == ["pisco"]
    told = " ".join(done.out.split())
    assert f"fromthelabel,in{bar / 'ingredients' / 'imported.yaml'}" in "".join(done.out.split())
    assert "not in the house quince syrup" in told
    assert "only in drinks that are left out, so not written" in told


@pytest.mark.parametrize("more", [(), ("--unit", "ml")])
def test_an_egg_is_one_of_its_own_unit(tmp_path: Path, more: tuple[str, ...]) -> None:
    """The pantry says 33 g for a white and 50 g for an egg, after published records named there."""
    bar, sheet = tmp_path / "bar", tmp_path / "sheet.csv"
    run("start", str(bar), specs=None)
    sheet.write_text(
        "Drink,Ingredient,Amount,Unit,Method\nHazel,pisco,50,ml,shaken\nHazel,egg white,1,,shaken\n"
        "Flip,pisco,50,ml,shaken\nFlip,whole egg,1,,shaken\nMint,pisco,50,ml,shaken\nMint,mint leaves,8,,shaken\n",
        encoding="utf-8",
    )
    before = run("import", str(sheet), *more, specs=bar)
    assert "the pantry knows what one weighs: take it with --pantry" in " ".join((before.out + before.err).split())
    done = run("import", str(sheet), "--pantry", "--write", *more, specs=bar)
    assert (done.code, done.first[:27]) == (0, "sheet.csv: 3 drinks written")
    drinks = load(bar).specs.drinks
    assert [str(pour.amount) for pour in drinks["hazel"].pours][1:] == ["1 white"]
    assert [str(pour.amount) for pour in drinks["flip"].pours][1:] == ["1 egg"]
    assert [str(pour.amount) for pour in drinks["mint"].pours][1:] == ["8 leaf"]
    assert run("check", specs=bar).code == 0
