"""docs/validation.md is what the tests give; what it reads from figures/ is worked out again, a tenth of it."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from random import Random
from typing import Any

import pytest

from balancer.engine.drink.totals import totals
from tests.engine.swaps.test_adjust import HOUSE
from tests.reference import FOLDER, QUANTITIES
from tests.reference.facts import facts
from tests.validation.claims import CLAIMS, Claim
from tests.validation.draws import DRAWS, Case, drawn
from tests.validation.libraries import OPINIONS, Opinion
from tests.validation.outside import AGAIN, BACKWARDS, TASKS
from tests.validation.page import PAGE, page
from tests.validation.searches import SEARCHES, Search
from tests.validation.stored import CASES, apart_of, draws_of, first_part, found_draws, gaps_of, part_of, stored
from tests.validation.trials import best_of_all, glass, random_spec


def test_page_is_up_to_date() -> None:
    assert PAGE.read_text("utf-8") == page(), "run: python -m tests.validation --write"


@pytest.mark.parametrize("claim", CLAIMS, ids=lambda claim: f"{claim.formula} {claim.said} [{claim.source}]")
def test_a_stated_accuracy_holds(claim: Claim) -> None:
    assert claim.rows()
    assert claim.found() <= claim.limit


def test_every_table_belongs_to_one_task() -> None:
    told = [table for task in TASKS for table in task.tables]
    assert sorted(told) == sorted(QUANTITIES)
    assert {*AGAIN, *BACKWARDS} <= QUANTITIES.keys()
    assert sorted(path.stem for path in FOLDER.glob("*.csv")) == sorted(told)


def test_every_asserted_example_belongs_to_one_task() -> None:
    from tests.engine.test_worked_examples import ANSWERS  # noqa: PLC0415 - beside its only use

    assert sorted(example for task in TASKS for example in task.examples) == sorted(ANSWERS)
    assert len(facts("worked_examples")) >= len(ANSWERS)


@pytest.mark.parametrize(
    ("name", "listed"),
    [("draws", CASES), ("searches", SEARCHES), ("libraries", OPINIONS)],
    ids=lambda value: str(value)[:9],
)
def test_what_is_stored_is_what_is_asked(name: str, listed: Any) -> None:
    assert list(stored(name)) == [one.key for one in listed]


def test_a_plus_minus_that_does_not_hold_is_noticed() -> None:
    """Half of a normal error's two standard deviations holds 68 times in 100, and the ratio is 2."""
    found = drawn(Case("half", "", "", lambda chance: (chance.gauss(0.0, 1.0), 1.0)), 20_000)
    assert found.within == pytest.approx(100.0 * math.erf(1.0 / math.sqrt(2.0)), abs=1.5)
    assert found.ratio == pytest.approx(2.0, rel=0.03)
    assert found.shown == 1.0


def test_the_trial_of_a_search_is_the_drink_of_the_files() -> None:
    """Grams and volumes of the brute force against the totals of the same drink."""
    chance = Random(1)  # noqa: S311 - the same drinks at every run
    for _ in range(50):
        spec = random_spec(chance)
        made, tried = (
            totals(HOUSE, spec),
            glass(HOUSE, {pour.of: pour.amount.value for pour in spec.pours}, spec.dilution or 0.0),
        )
        drunk = made.as_drunk
        assert tried == pytest.approx(
            (made.sugar_g, made.acid_g, made.mix.volume_ml, drunk.volume_ml, drunk.abv_percent)
        )


def test_a_worse_pour_is_noticed() -> None:
    """Two pours that should be 7.3 and 20.1 ml: the marks next to them are 0.2 and 0.1 ml off, worked by hand."""

    def cost(amounts: Mapping[str, float]) -> float:
        return (amounts["one"] - 7.3) ** 2 + (amounts["two"] - 20.1) ** 2

    poured = {"one": 10.0, "two": 20.0}
    assert best_of_all(cost, poured, {"one": 7.3, "two": 20.1}, {}) == pytest.approx(0.2**2 + 0.1**2)
    assert cost(poured) > 7.0


def test_every_plus_minus_that_holds_too_seldom_is_in_bold() -> None:
    """Told, and not only stored: the rows of strengths that are short of 95 %."""
    text = PAGE.read_text("utf-8")
    for case in CASES:
        within = found_draws()[case.key].within
        if case.meant and within < case.claimed - 1.0:
            rows = [line for line in text.splitlines() if line.startswith(f"| {case.what} | ")]
            assert any(f"| **{within:.1f} %** |" in row for row in rows), case.key


def test_every_file_that_the_page_names_is_there() -> None:
    root = PAGE.parents[1]
    named = re.findall(r"`(tests/[\w/.]+)`", PAGE.read_text("utf-8"))
    assert len(named) >= 6
    assert [path for path in named if not (root / path).exists()] == []


@pytest.mark.slow
@pytest.mark.parametrize("case", CASES, ids=lambda case: case.key)
def test_the_first_draws_again(case: Case) -> None:
    """A tenth of them to the digit; all of them as near to that as chance lets them be."""
    row = stored("draws")[case.key]
    assert draws_of(case, part_of(DRAWS)) == first_part(row)
    part, whole = float(first_part(row)["within"]), float(row["within"])
    unsure = 100.0 * math.sqrt(max(whole * (100.0 - whole), 100.0) / 1e4 / part_of(DRAWS))
    assert abs(part - whole) <= 4.5 * unsure


@pytest.mark.slow
@pytest.mark.parametrize("search", SEARCHES, ids=lambda search: search.key)
def test_the_first_problems_again(search: Search) -> None:
    row = stored("searches")[search.key]
    assert gaps_of(search, part_of(search.cases)) == first_part(row)
    assert int(first_part(row)["worse"]) <= int(row["worse"])


@pytest.mark.slow
@pytest.mark.parametrize("opinion", OPINIONS, ids=lambda opinion: opinion.key)
def test_second_opinions_again(opinion: Opinion) -> None:
    """Another version of a library may differ a little."""
    row, found = stored("libraries")[opinion.key], apart_of(opinion)
    assert found["points"] == row["points"]
    assert abs(float(found["largest"])) <= 1.1 * abs(float(row["largest"])) + 1e-8
