"""`balancer set` as a person types it: what it shows, asks and writes."""

from __future__ import annotations

import os
import re
import shutil
import unicodedata
from pathlib import Path

import pytest

from balancer.files.house.demo import demo_folder
from balancer.files.house.load import load
from tests.cli.runner import Run, answered, copy_of_house, edited_house, run

pty = pytest.importorskip("pty", reason="no such terminal on this system")

SOURS = "drinks/sours.yaml"
SYRUPS = "syrups/all.yaml"
DATED = "  version: 2\n  date: 2026-11-25\n"
"""What a drink without version and date gets."""


@pytest.fixture(autouse=True)
def evening(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BALANCER_NOW", "2026-11-25T18:00:00+01:00")


def width(line: str) -> int:
    return sum(2 if unicodedata.east_asian_width(char) in "WF" else 1 for char in line)


def read(specs: Path, file: str = SOURS) -> str:
    return (specs / file).read_text(encoding="utf-8")


def typed(specs: Path, answer: str, *words: str) -> tuple[int, str]:
    """Run it at a terminal and answer its question: exit code, and all that stands on the screen."""
    return answered("[y/N]", answer, "set", *words, "--specs", str(specs))


@pytest.mark.parametrize("answer", ["y\n", pytest.param("Yes\n", marks=pytest.mark.slow)])
def test_it_asks_and_writes(tmp_path: Path, answer: str) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs)
    code, screen = typed(specs, answer, "anchor", "berry", "20ml")
    assert code == 0
    assert screen.startswith(f"Anchor Sour: 20 ml berry syrup, not 22.5 ml\n{specs / SOURS}, line 6\n-    - ")
    assert "write it? [y/N]" in screen
    assert screen.rstrip().endswith(f"written: {specs / SOURS}")
    now = before.replace("22.5 ml berry syrup\n", f"20 ml berry syrup\n{DATED}")
    assert re.sub(r"2\d{3}-\d\d-\d\d", "2026-11-25", read(specs)) == now


@pytest.mark.parametrize(
    "answer", ["n\n", *(pytest.param(said, marks=pytest.mark.slow) for said in ("\n", "\x04", "yesterday\n"))]
)
def test_anything_but_yes_writes_nothing(tmp_path: Path, answer: str) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs)
    code, screen = typed(specs, answer, "anchor", "berry", "20ml")
    assert code == 1
    assert screen.rstrip().endswith("nothing was written")
    assert read(specs) == before


def test_a_hard_link_is_told_before_it_is_parted(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    os.link(specs / SOURS, tmp_path / "also")
    before = (tmp_path / "also").read_bytes()
    said = "it has another name on this disk (a hard link): the text stays as it was there"
    shown = run("set", "anchor", "berry", "20ml", specs=specs)
    assert (shown.code, shown.out.splitlines()[2]) == (1, said)
    assert run("set", "anchor", "berry", "20ml", "--yes", "--json", specs=specs).data["other_names"] == 1
    assert (tmp_path / "also").read_bytes() == before != (specs / SOURS).read_bytes()
    again = run("set", "anchor", "berry", "22.5ml", "--yes", specs=specs)
    assert (again.code, said in again.out) == (0, False)


def test_the_answer_and_the_change_come_first(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    done = run("set", "anchor sour", "berry", "20ml", "--yes", specs=specs)
    path = specs / SOURS
    assert (done.code, done.err) == (0, "")
    assert done.out.splitlines()[:4] == [
        "written: Anchor Sour: 20 ml berry syrup, not 22.5 ml",
        f"{path}, line 6",
        "-    - 22.5 ml berry syrup",
        "+    - 20 ml berry syrup",
    ]
    assert done.out.splitlines()[4:6] == ["+  version: 2", "+  date: 2026-11-25"]
    assert done.out.splitlines()[6].startswith("sugar of the drink −11 %, acid −")  # lime has little sugar: 20/22.5
    assert "balancer cards --changed" in " ".join(done.out.split())
    assert max(map(width, done.out.replace(str(path), "").splitlines())) <= 80


def test_no_terminal_and_no_yes_writes_nothing(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs)
    done = run("set", "anchor", "berry", "20ml", specs=specs)
    assert done.code == 1
    assert done.first == "not written: Anchor Sour: 20 ml berry syrup, not 22.5 ml"
    assert "--yes writes it" in done.out
    assert read(specs) == before


@pytest.mark.parametrize("yes", [True, False])
def test_json(tmp_path: Path, yes: bool) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs)
    done = run("set", "anchor", "berry", "20ml", "--json", *(["--yes"] if yes else []), specs=specs)
    assert done.code == (0 if yes else 1)
    assert done.data["written"] is yes
    assert done.data["diff"].endswith(
        "\n-    - 22.5 ml berry syrup\n+    - 20 ml berry syrup\n+  version: 2\n+  date: 2026-11-25"
    )
    assert (done.data["line"], done.data["path"]) == (6, str(specs / SOURS))
    assert (done.data["from"], done.data["to"]) == ({"amount": 22.5, "unit": "ml"}, {"amount": 20.0, "unit": "ml"})
    assert (read(specs) != before) is yes


@pytest.mark.parametrize("amount", ["22.5ml", "22,5 ml", "22½ ml"])
def test_nothing_to_change(tmp_path: Path, amount: str) -> None:
    specs = copy_of_house(tmp_path)
    done = run("set", "anchor", "berry", amount, "--yes", specs=specs)
    assert (done.code, done.first) == (0, "nothing to change: Anchor Sour pours 22.5 ml berry syrup already")
    assert run("set", "anchor", "berry", amount, "--json", specs=specs).data["written"] is False
    assert not (specs / ".batches.lock").exists()


def test_several_words_of_an_amount_need_no_quotes(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    assert run("set", "anchor", "berry", "1", "1/2", "oz", "--yes", specs=specs).code == 0
    assert "- 1 1/2 oz berry syrup\n" in read(specs)


def test_a_fixed_pour_is_changed_with_a_warning(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    done = run("set", "foam", "plain", "17,5ml", "--yes", specs=specs)
    assert done.code == 0
    assert "this pour is fixed" in done.out
    assert "weigh one again" in done.out
    assert "{pour: 17.5 ml, of: plain syrup, fixed: true}" in read(specs)


def test_a_standard(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    before, drinks = read(specs, SYRUPS), read(specs)
    done = run("set", "berry", "standard", "52", "--yes", specs=specs, env={"BALANCER_NOW": "2026-11-25T18:00+01:00"})
    assert (done.code, done.first) == (0, "written: berry syrup: standard 52 °Bx, not 50")
    said = " ".join(done.out.split())
    assert "3 drinks are written for it, and their pours are NOT changed: Anchor Sour, Breakwater Fizz, Bollard" in said
    changed = [
        (old, new) for old, new in zip(before.splitlines(), read(specs, SYRUPS).splitlines(), strict=True) if old != new
    ]
    assert changed == [("  standard: 50 °Bx", "  standard: 52 °Bx")]
    assert "their cards say it, so their version and date rise" in said
    dated = ["  version: 2", "  date: 2026-11-25"]
    assert [line for line in read(specs).splitlines() if line not in dated] == drinks.splitlines(), "nothing else"
    assert [drink.version for drink in load(specs).specs.drinks.values() if drink.version] == ["2"] * 3
    assert run("set", "berry", "standard", "52°Bx", specs=specs).first.startswith("nothing to change: ")


def test_a_standard_reading_is_left_alone(tmp_path: Path) -> None:
    specs = edited_house(tmp_path, SYRUPS, "standard: 66.7 °Bx", "standard reading: 66.7 °Bx")
    before = read(specs, SYRUPS)
    done = run("set", "rich", "standard", "65", "--yes", specs=specs)
    assert done.code == 1
    assert 'no standard but what a refractometer reads: "standard reading: 66.7 °Bx"' in done.err
    assert "standard: 65 °Bx" in done.err
    assert read(specs, SYRUPS) == before


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (
            ("anchor", "dry gin", "20ml"),
            1,
            "Anchor Sour does not pour dry gin\n  it pours 60 ml gold rum, 22.5 ml lime",
        ),
        (("anchor", "nonsuch", "20ml"), 2, 'Anchor Sour pours nothing called "nonsuch"'),
        (("anchor", "sour", "berry", "20ml"), 2, "in quotes"),
        (("anchor", "berry", "syrup", "20ml"), 2, "in quotes"),
        (("nonsuch", "berry", "20ml"), 2, 'no drink is called "nonsuch"'),
        (("nonsuch", "standard", "52"), 2, 'no syrup is called "nonsuch"'),
        (("anchor", "standard", "20ml"), 2, 'Anchor Sour pours nothing called "standard"'),
        (("anchor", "berry", "20"), 2, "AMOUNT"),
        (("anchor", "berry", "0ml"), 2, "above zero"),
        (("anchor", "berry", "1,000 ml"), 2, "may be 1000 or 1.000"),
        (("anchor", "berry", "20 °Bx"), 2, "not something to pour"),
        (("anchor", "berry", "2 cubes"), 1, 'unknown unit "cubes" for berry syrup'),
        (("berry", "standard", "520"), 2, "STRENGTH"),
        (("berry", "standard", "52 ml"), 2, "STRENGTH"),
        (("anchor", "berry"), 2, "AMOUNT"),
    ],
)
def test_what_is_not_understood(tmp_path: Path, words: tuple[str, ...], code: int, said: str) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs), read(specs, SYRUPS)
    done = run("set", *words, "--yes", specs=specs)
    assert (done.code, done.out) == (code, "")
    assert said in done.err
    assert (read(specs), read(specs, SYRUPS)) == before


def test_a_drink_that_does_not_load(tmp_path: Path) -> None:
    specs = edited_house(
        tmp_path,
        SOURS,
        "    - 60 ml gold rum\n    - 22.5 ml lime juice\n    - 22.5 ml berry",
        "    - 60 ml nonsuch\n    - 22.5 ml berry",
    )
    assert "nonsuch" in run("set", "anchor", "berry", "20ml", "--yes", specs=specs).err
    done = run("set", "breakwater", "berry", "22.5ml", "--yes", specs=specs)
    assert done.code == 0, "what is wrong elsewhere stops nobody"
    assert "nonsuch" in done.err
    assert "- 22.5 ml berry syrup\n    - 60 ml soda water" in read(specs)


def test_a_folder_nobody_may_write(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs)
    monkeypatch.setattr(os, "access", lambda _path, mode, **_: mode != os.W_OK)
    done: Run = run("set", "anchor", "berry", "20ml", "--yes", specs=specs)
    assert (done.code, done.out) == (1, "")
    assert "cannot be written: Permission denied" in done.err
    assert read(specs) == before


ANCHOR = "- drink: Anchor Sour\n  method: shaken\n  pours:\n    - 60 ml gold rum\n"
LIME, BERRY = "    - 22.5 ml lime juice\n", "    - 22.5 ml berry syrup\n"


@pytest.mark.parametrize(
    ("words", "pours", "first"),
    [
        (
            ("berry", "--to", "plain"),
            f"{LIME}    - 22.5 ml plain syrup\n",
            "22.5 ml plain syrup, not 22.5 ml berry syrup",
        ),
        (
            ("berry", "3/4", "oz", "--to", "plain syrup"),
            f"{LIME}    - 3/4 oz plain syrup\n",
            "3/4 oz plain syrup, not 22.5 ml berry syrup",
        ),
        (
            ("--add", "10ml plain syrup"),
            f"{LIME}{BERRY}    - 10 ml plain syrup\n",
            "10 ml plain syrup added",
        ),
        (
            ("--add", "7,5", "ml", "of", "plain", "syrup"),
            f"{LIME}{BERRY}    - 7,5 ml plain syrup\n",
            "7.5 ml plain syrup added",
        ),
        (
            ("--add", "rinse of dry gin", "--add", "1 large egg white"),
            f"{LIME}{BERRY}    - rinse dry gin\n    - 1 large egg white\n",
            "a rinse of dry gin added; 1 large egg white added",
        ),
        (("lime", "--remove"), BERRY, "22.5 ml lime juice removed"),
        (
            ("lime", "22.5ml", "--add", "5 ml plain syrup"),
            f"{LIME}{BERRY}    - 5 ml plain syrup\n",
            "5 ml plain syrup added",
        ),
        (
            ("lime", "20ml", "--add", "1/2 oz plain syrup"),
            f"    - 20 ml lime juice\n{BERRY}    - 1/2 oz plain syrup\n",
            "20 ml lime juice, not 22.5 ml; 1/2 oz plain syrup added",
        ),
        (
            ("berry", "--remove", "--add", "2 barspoons plain syrup"),
            f"{LIME}    - 2 barspoons plain syrup\n",
            "22.5 ml berry syrup removed; 2 barspoons plain syrup added",
        ),
    ],
)
def test_pours_replaced_added_and_removed(tmp_path: Path, words: tuple[str, ...], pours: str, first: str) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs)
    done = run("set", "anchor", *words, "--yes", specs=specs)
    assert (done.code, done.err, done.first) == (0, "", f"written: Anchor Sour: {first}")
    rest = before.removeprefix(f"{ANCHOR}{LIME}{BERRY}")
    assert rest != before
    assert read(specs) == f"{ANCHOR}{pours}{DATED}{rest}"
    assert run("check", specs=specs).code == 0


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (
            ("anchor", "--add", "10 ml berry syrup"),
            1,
            "Anchor Sour pours berry syrup already: 22.5 ml\n  change that one",
        ),
        (("anchor", "lime", "--to", "berry"), 1, "Anchor Sour pours berry syrup already: 22.5 ml"),
        (("anchor", "gin", "--remove"), 1, "Anchor Sour does not pour dry gin"),
        (("anchor", "--remove"), 2, "nothing says which pour"),
        (("anchor", "--to", "plain"), 2, "nothing says which pour"),
        (("anchor",), 2, "needs INGREDIENT"),
        (("anchor", "berry"), 2, "needs AMOUNT"),
        (("anchor", "berry", "20ml", "--remove"), 2, "--remove leaves nothing to pour"),
        (("anchor", "berry", "--to", "plain", "--remove"), 2, "--remove leaves nothing to pour"),
        (("anchor", "--add", "10ml"), 2, '--add: "10ml" does not say of what'),
        (("anchor", "--add", "10 plain syrup"), 2, '--add: "10 plain syrup" has no unit'),
        (("anchor", "--add", "plain syrup"), 2, "--add: "),
        (("anchor", "--add", "10 ml nonsuch"), 2, '--add: no syrup or ingredient is called "nonsuch"'),
        (("anchor", "--add", "2 cubes plain syrup"), 1, 'unknown unit "cubes" for plain syrup'),
        (("anchor", "berry", "--to", "nonsuch"), 2, '--to: no syrup or ingredient is called "nonsuch"'),
        (("anchor", "berry", "20ml", "--by", " "), 2, "--by: nobody is named"),
        (("anchor", "berry", "20ml", "--as", "Bollard"), 1, '"Bollard" is already a drink'),
        (("anchor", "berry", "20ml", "--as", "?"), 1, '"?" has no letter or digit'),
        (("berry", "standard", "52", "--as", "X"), 2, "a standard has no pours"),
        (("berry", "standard", "--to", "plain"), 2, "a standard has no pours"),
        (("berry", "standard"), 2, "needs AMOUNT"),
    ],
)
def test_what_cannot_be_done_to_a_pour(tmp_path: Path, words: tuple[str, ...], code: int, said: str) -> None:
    specs = copy_of_house(tmp_path)
    files = {path: path.read_bytes() for path in specs.rglob("*") if path.is_file()}
    done = run("set", *words, "--yes", specs=specs)
    assert (done.code, done.out) == (code, "")
    assert said in done.err
    assert {path: path.read_bytes() for path in specs.rglob("*") if path.is_file()} == files


def test_the_last_pour_stays(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path, drinks__neat="drink: Neat\nmethod: built\npours: 60 ml gold rum\n")
    done = run("set", "neat", "gold", "--remove", "--yes", specs=specs)
    assert (done.code, done.out) == (1, "")
    assert "Neat would pour nothing\n  add what it pours instead, or delete its file" in done.err
    assert run("set", "neat", "gold", "--remove", "--add", "60 ml dry gin", "--yes", specs=specs).code == 0
    assert read(specs, "drinks/neat.yaml").startswith("drink: Neat\nmethod: built\npours:\n  - 60 ml dry gin\n")


@pytest.mark.parametrize(
    ("version", "then", "said"),
    [
        ("version: 3", "version: 4", None),
        ("version: 09", "version: 10", None),
        ("version: '2b'  # ours", "version: '2c'  # ours", 'version "2b" is followed by "2c"'),
        ("version: draft", "version: draft 2", 'version "draft" is followed by "draft 2"'),
        ("version: v1.9", "version: v1.10", 'version "v1.9" is followed by "v1.10"'),
    ],
)
def test_whatever_a_version_is_called_it_is_raised(tmp_path: Path, version: str, then: str, said: str | None) -> None:
    text = f"drink: Neat\nmethod: built\n{version}\ndate: 1 May 2026\nby: Runa\npours: [60 ml gold rum]\n"
    specs = copy_of_house(tmp_path, drinks__neat=text)
    done = run("set", "neat", "gold", "50ml", "--yes", specs=specs)
    assert done.code == 0
    now = text.replace(version, then).replace("1 May 2026", "2026-11-25").replace("60 ml", "50 ml")
    assert read(specs, "drinks/neat.yaml") == now.replace("by: Runa\n", "")
    assert (f"{said}" in " ".join(done.out.split())) is (said is not None)


def test_who_changed_it(tmp_path: Path) -> None:
    text = "drink: Neat\nmethod: built\nby: Runa   # first\npours: [60 ml gold rum]\nversion: 1\ndate: 2026-11-25\n"
    specs = copy_of_house(tmp_path, drinks__neat=text)
    assert run("set", "neat", "gold", "50ml", "--by", "Ilse", "--yes", specs=specs).code == 0
    now = text.replace("Runa", "Ilse").replace("60 ml", "50 ml").replace("version: 1", "version: 2")
    assert read(specs, "drinks/neat.yaml") == now


_SIGNED = "no longer signed by Runa: nobody said who changes it; --by NAME signs it"


@pytest.mark.parametrize(
    "words",
    [
        ["set", "slipway", "raspberry", "20ml"],
        ["adjust", "slipway sour", "--sugar", "-10%", "--write"],
        ["swap", "slipway sour", "--out", "raspberry syrup", "--in", "passion-fruit-syrup", "--write"],
    ],
)
def test_nobody_signs_a_change_that_nobody_made_by_name(tmp_path: Path, words: list[str]) -> None:
    """The card would show Runa's name for what she has not changed."""
    specs = Path(shutil.copytree(demo_folder(), tmp_path / "specs"))
    done = run(*words, "--yes", specs=specs)
    assert done.code == 0, done.err
    assert _SIGNED in " ".join(done.out.split())
    after = load(specs).specs.drinks["slipway-sour"]
    assert (after.version, after.date, after.by) == ("4", "2026-11-25", None)
    again = run("set", "slipway", "lime", "20ml", "--by", "Ilse", "--yes", specs=specs)
    assert (again.code, load(specs).specs.drinks["slipway-sour"].by) == (0, "Ilse")
    assert "signed" not in again.out


@pytest.mark.parametrize("keep", [[], ["--keep-drinks"]])
@pytest.mark.parametrize(
    "text",
    [
        "drink: Neat\nmethod: built\npours: [30 ml gold rum, 20 ml raspberry syrup]\nby: Runa\n",
        "drink: Neat\nmethod: built\nby: Runa\npours: [30 ml gold rum, 20 ml raspberry syrup]",
        "drink: Neat\nmethod: built\npours:\n  - 30 ml gold rum\n  - 20 ml raspberry syrup\nby: Runa",
        "{drink: Neat, method: built, by: Runa, pours: [30 ml gold rum, 20 ml raspberry syrup]}\n",
        "{drink: Neat, method: built, pours: [30 ml gold rum, 20 ml raspberry syrup], by: Runa}\n",
    ],
)
def test_a_standard_signs_no_drink_by_who_wrote_the_old_version(tmp_path: Path, text: str, keep: list[str]) -> None:
    specs = Path(shutil.copytree(demo_folder(), tmp_path / "specs"))
    (specs / "drinks" / "neat.yaml").write_text(text, encoding="utf-8")
    assert load(specs).specs.drinks["neat"].by == "Runa"
    before = {one.id: one for one in load(specs).specs.drinks.values()}
    done = run("set", "raspberry", "standard", "52", *keep, "--yes", specs=specs)
    assert done.code == 0, done.err
    raised = [one for one in load(specs).specs.drinks.values() if one.version != before[one.id].version]
    assert all(one.by is None for one in raised)
    assert ("neat" in {one.id for one in raised}) == ("no longer signed by" in " ".join(done.out.split()))
    assert not keep or "neat" in {one.id for one in raised}
    others = [one for one in load(specs).specs.drinks.values() if one not in raised]
    assert others
    assert all(one.by == before[one.id].by for one in others)


def test_a_new_drink(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs)
    done = run("set", "foam", "lemon", "20ml", "--as", "Low Foam", "--by", "Ilse", "--yes", specs=specs)
    path = specs / "drinks/low-foam.yaml"
    assert (done.code, done.err) == (0, "")
    assert done.out.splitlines()[:3] == [
        "written: Low Foam, a new drink: Foam Line with 20 ml lemon juice, not 22.5 ml",
        f"{path}, a new file",
        "+drink: Low Foam",
    ]
    assert "its weighing is left out, it was of the old pours" in " ".join(done.out.split())
    assert read(specs) == before
    assert path.read_text(encoding="utf-8") == (
        "drink: Low Foam\nmethod: shaken\npours:\n  - 50 ml dry gin\n  - 20 ml lemon juice\n"
        "  - {pour: 20 ml, of: plain syrup, fixed: true}\n  - 1 large egg white\n"
        "version: 1\ndate: 2026-11-25\nby: Ilse\n"
    )
    again = run("set", "foam", "lemon", "20ml", "--as", "low foam", "--yes", specs=specs)
    assert (again.code, again.out) == (1, "")
    assert '"low foam" is already a drink: Low Foam' in again.err


def test_a_plain_copy(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    done = run("set", "anchor", "--as", "Anchor Two", "--yes", specs=specs)
    assert (done.code, done.first) == (0, "written: Anchor Two, a new drink: Anchor Sour")
    assert run("totals", "anchor two", specs=specs).code == 0


@pytest.mark.parametrize(("answer", "code"), [("y\n", 0), ("n\n", 1)])
def test_a_new_drink_is_asked_about(tmp_path: Path, answer: str, code: int) -> None:
    specs = copy_of_house(tmp_path)
    path = specs / "drinks/anchor-two.yaml"
    done, screen = typed(specs, answer, "anchor", "berry", "20ml", "--as", "Anchor Two")
    assert done == code
    assert f"{path}, a new file\n+drink: Anchor Two\n" in screen
    assert screen.rstrip().endswith(f"written: {path}" if code == 0 else "nothing was written")
    assert path.exists() is (code == 0)


def test_json_of_several_changes(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    done = run("set", "anchor", "berry", "--to", "plain", "--add", "1 barspoon dry gin", "--json", specs=specs)
    assert (done.code, done.data["written"]) == (1, False)
    assert (done.data["ingredient"], done.data["to"]) == ("berry-syrup", {"amount": 22.5, "unit": "ml"})
    told = [(row["ingredient"], row["to_ingredient"], row["from"], row["to"]["unit"]) for row in done.data["pours"]]
    assert told == [
        ("berry-syrup", "plain-syrup", {"amount": 22.5, "unit": "ml"}, "ml"),
        (None, "dry-gin", None, "barspoon"),
    ]
    assert (done.data["kept"], done.data["version"], done.data["date"]) == ("anchor-sour", "2", "2026-11-25")
    gone = run("set", "anchor", "lime", "--remove", "--as", "Dry", "--yes", "--json", specs=specs).data
    assert (gone["to"], gone["kept"], gone["version"], gone["written"]) == (None, "dry", "1", True)
    assert gone["diff"].startswith(f"--- /dev/null\n+++ {specs / 'drinks/dry.yaml'}\n@@ -0,0 +1,7 @@\n+drink: Dry\n")


def test_what_looks_like_a_slip_is_doubted_first(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs)
    done = run("set", "anchor", "--add", "225 ml plain syrup", specs=specs)
    assert (done.code, done.out) == (1, "")
    assert "--yes if it is meant" in done.err
    assert read(specs) == before
    assert run("set", "anchor", "--add", "225 ml plain syrup", "--yes", specs=specs).code == 0


def test_the_demo_is_only_looked_at() -> None:
    done = run("set", "slipway", "raspberry", "20ml", "--as", "X", "--yes", "--demo", specs=None)
    assert (done.code, done.out) == (1, "")
    assert "the demo is only to look at" in done.err


@pytest.mark.parametrize(
    ("words", "is_heeded"),
    [(("gold", "--to", "dry gin"), True), (("gold", "50ml"), False), (("lime", "--to", "dry gin"), False)],
)
def test_a_remark_of_the_old_pour_is_heeded(tmp_path: Path, words: tuple[str, ...], is_heeded: bool) -> None:
    text = "drink: Neat\nmethod: built\npours:\n  - 60 ml gold rum   # the old one\n  - 5 ml lime juice\n"
    specs = copy_of_house(tmp_path, drinks__neat=text)
    done = run("set", "neat", *words, "--yes", specs=specs)
    assert done.code == 0
    assert ("the remark on its line was written for the old pour" in done.out) is is_heeded
    assert "   # the old one\n" in read(specs, "drinks/neat.yaml")


def test_in_the_place_of_a_syrup_a_syrup_is_meant(tmp_path: Path) -> None:
    """As a swap means it: "mint" is mint syrup, although there is mint to make it of."""
    files = {
        "ingredients__mint": "ingredient: mint\nsugar: 0 g/kg\nacid: 0 g/kg\nkind: fruit\ndensity: 1 g/ml\n",
        "syrups__mint": "syrup: mint syrup\nstandard: 50 °Bx\n",
    }
    specs = copy_of_house(tmp_path, **files)
    assert run("set", "anchor", "berry", "--to", "mint", "--yes", specs=specs).code == 0
    assert "    - 22.5 ml mint syrup\n" in read(specs)
    assert run("set", "anchor", "lime", "--to", "mint", "--yes", specs=specs).code == 0
    assert "    - 22.5 ml mint\n" in read(specs)


def test_a_change_of_several_files_says_which_were_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The disk is full when the second is to be written: set again, it is finished."""
    specs = copy_of_house(tmp_path)
    with monkeypatch.context() as patched:
        done_before = [1]

        def full(_descriptor: int) -> None:
            if not done_before:
                raise OSError(28, "No space left on device")
            done_before.pop()

        patched.setattr(os, "fsync", full)
        done = run("set", "berry", "standard", "52", "--yes", specs=specs)
    said = " ".join(done.err.split())
    assert done.code == 1
    assert f'cannot be written: No space left on device; written before it: "{specs}/drinks/sours.yaml"' in said
    assert "standard: 52" not in (specs / "syrups" / "all.yaml").read_text(encoding="utf-8")
    assert run("set", "berry", "standard", "52", "--yes", specs=specs).code == 0
    assert "standard: 52" in (specs / "syrups" / "all.yaml").read_text(encoding="utf-8")
