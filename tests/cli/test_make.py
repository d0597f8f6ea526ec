"""`make` as a prep cook types it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.runner import copy_of_house, run

RECIPES = """\
- syrup: one to one
  standard: 50 °Bx
  recipe: [1000 g pure sugar, 1000 g water]
  keeps: 14 days
- syrup: two to one
  standard: 66.7 °Bx
  recipe: [2000 g pure sugar, 1000 g water]
- syrup: cup syrup
  standard: 50 °Bx
  recipe: [1 cup pure sugar, 1 cup water]
- syrup: pharmacy syrup
  standard: 64.7 °Bx
  recipe: [850 g pure sugar, 463 g water]
- syrup: cordial
  standard: 50 °Bx
  recipe: ["400 g lime juice", 620 g pure sugar, 200 g water, 25 g citric acid]
- syrup: plum syrup
  standard: 50 °Bx
  recipe: [1000 g plums, 800 g pure sugar]
  yield: 1500 g
- syrup: misspelt
  standard: 50 °Bx
  recipe: [1000 g plumbs, 800 g pure sugr]
- syrup: unwritten
  standard: 50 °Bx
"""
PANTRY = """\
- ingredient: pure sugar
  sugar: 1000 g/kg
- ingredient: plums
- ingredient: orange juice
  sugar: 84 g/kg
  acid: 8 g/l
"""


@pytest.fixture(scope="module")
def bar(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return copy_of_house(tmp_path_factory.mktemp("bar"), syrups__made=RECIPES, ingredients__pantry=PANTRY)


@pytest.mark.parametrize(
    ("words", "first"),
    [
        (["one to one"], "one to one: makes 2 kg, 1.63 l at 50 °Bx"),
        (["two to one"], "two to one: makes 3 kg, 2.26 l at 66.7 °Bx"),
        (["pharm", "--volume", "1l"], "pharmacy syrup: makes 1.31 kg, 1 l at 64.7 °Bx"),  # USP 32-NF 27: 1313 g
        (["cup", "--bulk-density", "0,8453 g/ml"], "cup syrup: makes 436 g, 361 ml at 45.9 °Bx"),
        (["one to one", "--mass", "500g"], "one to one: makes 500 g, 407 ml at 50 °Bx"),
        (["one to one", "--volume", "2 l", "--strength", "60"], "one to one: makes 2.57 kg, 2 l at 60 °Bx"),
        (["plum", "--have", "500 g plums"], "plum syrup: makes 750 g, 625 ml at ≥ 44.4 °Bx; limited by plums"),
        (["cordial", "--acid", "45g/l", "--volume", "1l"], "cordial: makes 1.25 kg, 1 l at 50.3 °Bx, 45 g/l acid"),
        (["orange", "--acid", "60g/l", "--volume", "1l"], "orange juice: makes 1.05 kg, 1 l at 8 °Bx, 60 g/l acid"),
    ],
)
def test_the_first_line_is_the_answer(bar: Path, words: list[str], first: str) -> None:
    """A recipe that is misspelt elsewhere is told, and stops nothing."""
    done = run("make", *words, specs=bar)
    assert (done.code, done.first) == (0, first)
    assert [line.rpartition(": ")[2] for line in done.err.splitlines() if line.startswith(str(bar))] == [
        'no ingredient or syrup is called "plumbs"',
    ]
    assert done.err.splitlines()[-1] == "and 1 more: balancer check"


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["cup"], 1, '--bulk-density "0.85 g/ml"'),
        (["misspelt"], 1, 'did you mean "plums"?'),
        (["misspelt"], 1, 'did you mean "pure-sugar"?'),
        (["unwritten"], 1, "unwritten has no recipe"),
        (["one", "--mass", "2kg", "--volume", "2l"], 2, "one of them decides"),
        (["one", "--mass", "2l"], 2, "--mass: "),
        (["one", "--mass", "0g"], 2, "--mass: "),
        (["one", "--volume", "2kg"], 2, "--volume: "),
        (["one", "--container", "4"], 2, "--container: "),
        (["one", "--strength", "fifty"], 2, "--strength: "),
        (["one", "--strength", "90"], 2, "--strength: "),
        (["one", "--acid", "45"], 2, "--acid: "),
        (["one", "--acid", "5 %"], 2, "--acid: "),
        (["one", "--acid", "999g/l"], 2, "--acid: "),
        (["one", "--have", "plenty of sugar"], 2, "--have: "),
        (["one", "--have", "5 g"], 2, "--have: "),
        (["one", "--have", "0 g water"], 2, "--have: "),
        (["one", "--have", "5 g salt"], 2, "it lists pure sugar, water"),
        (["one", "--bulk-density", "0.8 g/ml"], 2, "--bulk-density: "),
        (["cup", "--bulk-density", "0.8 kg"], 2, "--bulk-density: "),
        (["nothing like it"], 2, "no syrup is called"),
        (["orange juice"], 2, '"orange juice" is not a syrup'),
        (["cordial", "--acid", "5g/l"], 1, "without any powder"),
    ],
)
def test_what_cannot_be_is_told(bar: Path, words: list[str], code: int, said: str) -> None:
    done = run("make", *words, specs=bar)
    assert (done.code, done.out) == (code, "")
    assert said in " ".join(done.err.split())


def test_json(bar: Path) -> None:
    data = run("make", "cordial", "--acid", "45g/l", "--mass", "2kg", "--strength", "50", "--json", specs=bar).data
    assert data["syrup"] == "cordial"
    assert data["mass_g"] == pytest.approx(2000.0)
    assert data["brix"] == pytest.approx(50.0, abs=1e-9)
    assert data["acid_g_per_l"] == pytest.approx(45.0, abs=1e-8)
    assert [part["ingredient"] for part in data["parts"]] == ["lime-juice", "pure-sugar", "water", "citric-acid"]
    assert [part["in_house"] for part in data["parts"]] == [True, True, True, False]
    assert {part["ingredient"] for part in data["adjusted"]} == {"water", "citric-acid"}


def test_a_problem_is_json_too(bar: Path) -> None:
    done = run("make", "misspelt", "--json", specs=bar)
    assert done.code == 1
    assert [problem["code"] for problem in done.data["problems"]] == ["unknown-name"] * 2


def test_the_working_follows_the_answer(bar: Path) -> None:
    done = run("make", "one to one", "--strength", "60", "--steps", specs=bar)
    assert "water for 60 °Bx" in done.out
    assert "100 × 1000.00 ÷ 60 − 1000.00 = 666.67 g" in done.out
    assert run("make", "one to one", "--steps", "--json", specs=bar).data["steps"]


def test_the_open_juice_counts_as_it_reads(tmp_path: Path) -> None:
    """The answer says so, and --alone takes the file's value; never one past its day."""
    specs = copy_of_house(tmp_path, syrups__made=RECIPES, ingredients__pantry=PANTRY)
    tonight = {"BALANCER_NOW": "2026-11-25T18:00:00+01:00"}
    said = "lime juice as LIM-1 reads, 60 g/l acid; its file says 46 g/l (--alone)"
    run("batch", "add", "lime juice", "--acid", "60g/l", "--discard", "2026-11-25", "--open", specs=specs, env=tonight)
    read, alone, after = (
        run("make", "cordial", *words, specs=specs, env={"BALANCER_NOW": now})
        for words, now in (
            ((), tonight["BALANCER_NOW"]),
            (("--alone",), tonight["BALANCER_NOW"]),
            ((), "2026-11-26T18:00:00+01:00"),
        )
    )
    assert said in read.out
    assert said not in alone.out
    assert alone.out == after.out
    data = run("make", "cordial", "--json", specs=specs, env=tonight).data
    assert data["as_read"] == [
        {
            "ingredient": "lime-juice",
            "batch": "LIM-1",
            "acid": {"value": 60.0, "unit": "g/l"},
            "file_acid": {"value": 46.0, "unit": "g/l"},
        }
    ]


def test_acid_and_alcohol_that_nobody_tells_are_not_none(tmp_path: Path) -> None:
    """Plums are sour, and of a thing without a kind nobody knows whether it holds alcohol."""
    recipe = "syrup: test syrup\nstandard: 50 °Bx\nrecipe: [500 g sour plums, 20 g tincture, 500 g white sugar]\n"
    parts = "- {ingredient: sour plums, kind: fruit, sugar: 99 g/kg}\n- {ingredient: tincture, sugar: 0 g/kg}\n"
    specs = copy_of_house(tmp_path, syrups__test=recipe, ingredients__parts=parts)
    done = run("make", "test syrup", "--json", specs=specs)
    assert {(item["ingredient"], item["what"]) for item in done.data["unknown"]} == {
        ("sour-plums", "acid"), ("tincture", "acid"), ("tincture", "abv"),
    }  # fmt: skip
    assert (done.data["acid_g_per_kg"], done.data["abv_percent"], done.data["lower_bound"]) == (None, None, False)
    text = run("make", "test syrup", specs=specs).out
    assert "acid unknown: sour plums, tincture" in text
    assert "alcohol unknown: tincture" in text
