"""A slip is doubted, and what it is about counts all the same: published amounts of the trade are not."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.totals import totals
from balancer.files.house import rules
from balancer.files.house.load import Loaded, load
from balancer.models.drink import Drink
from tests.files.folders import load_with

DEMO = Path(__file__).parents[3] / "specs"


def drink(*pours: str, more: str = "") -> str:
    return "\n".join(
        ["drink: New Drink", "method: built", "dilution: 10 %", more, "pours:", *(f"  - {p}" for p in pours)]
    )


def doubts(loaded: Loaded) -> list[tuple[int | None, int | None]]:
    """Line and column of every doubt, all of a thing that loaded; nothing else may be told but an unlisted glass."""
    told = [problem for problem in loaded.problems if problem.code != "glass"]
    assert {problem.code for problem in told} <= {"doubt"}
    assert loaded.broken == ()
    assert [problem for each in loaded.doubts.values() for problem in each] == told
    return [(problem.line, problem.column) for problem in told]


def test_the_demo_house_has_none() -> None:
    loaded = load(DEMO)
    assert (loaded.problems, dict(loaded.doubts)) == ((), {})


@pytest.mark.parametrize(
    ("pour", "doubted"),
    [
        ("225 ml lime juice", True),
        ("120 ml lime juice", False),
        ("120.5 ml lime juice", True),
        ("4.5 oz gold rum", True),  # of 30 ml
        ("150 g lime juice", True),  # about 145 ml
        ("150 ml soda water", False),  # tops the drink
        ("{pour: 225 ml, of: lime juice, top: true}", False),
        ("{pour: 150 ml, of: soda water, top: false}", True),
        ("120 g granulated sugar", False),
        ("250 g granulated sugar", True),
        ("0.225 ml lime juice", True),
        ("1/64 oz lime juice", True),  # of 30 ml: 0.47 ml
        ("0.5 ml lime juice", False),
        ("1 drop lime juice", False),
    ],
)
def test_a_pour_that_is_more_than_a_drink_holds(tmp_path: Path, pour: str, doubted: bool) -> None:
    loaded = load_with(
        tmp_path, {"drinks/new.yaml": drink("45 ml gold rum", pour) if "rum" not in pour else drink(pour)}
    )
    assert bool(doubts(loaded)) == doubted
    assert "new-drink" in loaded.specs.drinks


def test_saying_that_it_is_meant_ends_the_doubt(tmp_path: Path) -> None:
    """The remedy, taken at its word, is a pour without a doubt."""
    loaded = load_with(tmp_path, {"drinks/new.yaml": drink("{pour: 225 ml, of: soda water, top: false}")})
    assert doubts(loaded) == [(6, 5)]
    remedy = loaded.problems[0].remedy
    loaded = load_with(tmp_path, {"drinks/new.yaml": drink(remedy[remedy.index("{") :])})
    assert doubts(loaded) == []
    assert loaded.specs.drinks["new-drink"].pours[0].amount.value == 225.0


@pytest.mark.parametrize(
    ("pours", "more", "doubted"),
    [
        # 10 % more water than poured: 165 and 187 ml, less what rum and water shrink by, in a coupe of 180.
        (("100 ml gold rum", "50 ml soda water"), "glass: coupe", False),
        (("110 ml gold rum", "70 ml lime juice"), "glass: Coupe", True),
        (("110 ml gold rum", "70 ml lime juice"), "glass: rocks", False),
        (("110 ml gold rum", "70 ml lime juice"), "glass: a shoe", False),
        (("110 ml gold rum", "70 ml lime juice"), "", False),
    ],
)
def test_a_drink_over_its_glass(tmp_path: Path, pours: tuple[str, ...], more: str, doubted: bool) -> None:
    loaded = load_with(tmp_path, {"drinks/new.yaml": drink(*pours, more=more)})
    assert bool(doubts(loaded)) == doubted
    assert not doubted or "its Coupe holds 180" in loaded.problems[0].message


def test_one_slip_is_doubted_once(tmp_path: Path) -> None:
    """A lost point makes the pour too much and the drink too large."""
    loaded = load_with(tmp_path, {"drinks/new.yaml": drink("225 ml lime juice", more="glass: coupe")})
    assert doubts(loaded) == [(6, 5)]


BAR = Bar(load(DEMO).specs)
POURED = sorted(each for each in (*BAR.specs.ingredients, *BAR.specs.syrups) if BAR.liquid(each).density)


@given(
    st.dictionaries(st.sampled_from(POURED), st.floats(1.0, 120.0), min_size=1, max_size=6),
    st.sampled_from(["shaken", "stirred", "stated", "weighed", "chilled"]),
    st.integers(0, 100),
)
def test_the_quick_bound_is_one(pours: dict[str, float], how: str, percent: int) -> None:
    """Whatever it lets pass without working the drink out, the exact volume would let pass, too."""
    said: dict[str, dict[str, object]] = {
        "stated": {"dilution": f"{percent} %"},
        "weighed": {"weighed": {"before": f"{100 + percent} g", "after": f"{101 + 2 * percent} g"}},
        "chilled": {"chill": {}},
    }
    each = Drink.model_validate(
        {
            "drink": "X",
            "id": "x",
            "method": how if how in ("shaken", "stirred") else "shaken",
            "pours": [{"pour": f"{ml} ml", "of": liquid} for liquid, ml in pours.items()],
            **said.get(how, {}),
        }
    )
    poured = totals(BAR, each)
    most = sum(max(part.volume_ml or 0.0, part.mass_g) for part in poured.contributions)
    assert rules._most_ml(each, most) >= poured.as_drunk.volume_ml


@pytest.mark.parametrize("brix", [19.9, 80.1, 5.0, 84.0])
@pytest.mark.parametrize("key", ["standard", "standard reading"])
def test_a_syrup_that_is_none(tmp_path: Path, brix: float, key: str) -> None:
    loaded = load_with(tmp_path, {"syrups/new.yaml": f"syrup: new syrup\n{key}: {brix} °Bx\n"})
    assert [line for line, _ in doubts(loaded)] == [2]
    assert "new-syrup" in loaded.specs.syrups


@pytest.mark.parametrize("brix", [20, 50, 66.7, 80])
def test_a_syrup_of_the_trade(tmp_path: Path, brix: float) -> None:
    assert doubts(load_with(tmp_path, {"syrups/new.yaml": f"syrup: new syrup\nstandard: {brix} °Bx\n"})) == []


@pytest.mark.parametrize(
    ("acid", "doubted"),
    [("46 g/l", False), ("100 g/l", False), ("101 g/l", True), ("250 g/l", True), ("990 g/kg", False)],
)
def test_acid(tmp_path: Path, acid: str, doubted: bool) -> None:
    loaded = load_with(tmp_path, {"ingredients/new.yaml": f"ingredient: new juice\nsugar: 0 g/l\nacid: {acid}\n"})
    assert bool(doubts(loaded)) == doubted
    assert "new-juice" in loaded.specs.ingredients


def test_doubts_about_a_drink_are_those_of_what_it_pours_too(tmp_path: Path) -> None:
    loaded = load_with(
        tmp_path,
        {
            "syrups/simple-syrup.yaml": "syrup: simple syrup\nstandard: 5 °Bx\n",
            "drinks/new.yaml": drink("150 ml gold rum", "10 ml simple syrup"),
        },
    )
    (of_drink,), (of_syrup,) = loaded.doubts["new-drink"], loaded.doubts["simple-syrup"]
    assert loaded.doubts_about(["new-drink"]) == (of_drink, of_syrup)
    assert loaded.doubts_about(["half-tide"]) == (of_syrup,)
    assert loaded.doubts_about(liquids=["simple-syrup"]) == (of_syrup,)
    assert loaded.doubts_about(["slipway-sour"], ["raspberry-syrup"]) == ()
