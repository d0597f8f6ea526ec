"""The plan for the house, against mass balances done by hand."""

from __future__ import annotations

from datetime import date

import pytest

from balancer.engine.prep.standardise import standardise
from balancer.models.batch import Batch, BatchState
from tests.engine.builders import BERRY, LIME, PLAIN, bar, syrup

TODAY = date(2026, 11, 25)
LATER = date(2026, 11, 30)


def batch(  # one argument a column of the log
    identity: str,
    liquid: str = "plain-syrup",
    brix: float | None = 50.0,
    mass: float | None = 2000.0,
    state: BatchState = "made",
    discard: date | None = LATER,
    readings: tuple[float, ...] = (),
    verified: bool = True,
) -> Batch:
    return Batch(
        identity, liquid, state, brix, 0.3, None, mass, TODAY, discard, None, None, readings, verified, (), None, None
    )


def test_a_strong_batch_gets_water() -> None:
    """WE-24: 2000 g at 54 °Bx need 160 g of water for 50, and are 2160 g then."""
    (task,) = standardise(bar(PLAIN), [batch("PLA-1", brix=54.0)], TODAY).tasks

    assert (task.todo, task.per_kg) == ("correct", False)
    assert task.corrected is not None
    best = task.corrected.best
    assert best.additive is not None
    assert best.additive.id == "water"
    assert (best.add_g, best.final_mass_g) == pytest.approx((160.0, 2160.0))
    assert 0.0 < best.first_add_g < best.add_g
    assert task.command == "balancer batch correct PLA-1 --brix 50 --mass 2160g"


def test_without_a_mass_it_is_told_per_kilogram() -> None:
    """1000 g at 46 °Bx: 1000 x 4 / 50 = 80 g of sugar."""
    (task,) = standardise(bar(PLAIN), [batch("PLA-1", brix=46.0, mass=None)], TODAY).tasks

    assert (task.todo, task.per_kg) == ("correct", True)
    assert task.corrected is not None
    assert task.corrected.best.add_g == pytest.approx(80.0)
    assert task.command == "balancer batch correct PLA-1"


def test_the_nearest_last_day_first() -> None:
    days = {"A": date(2026, 12, 3), "B": None, "C": date(2026, 11, 26), "D": date(2026, 11, 27)}
    listed = [batch(name, brix=54.0, discard=day) for name, day in days.items()]

    assert [task.batch.id for task in standardise(bar(PLAIN), listed, TODAY).tasks] == ["C", "D", "A", "B"]


def test_within_its_own_tolerance_it_is_left() -> None:
    """The house lets 1 °Bx pass, the tight syrup 0.3."""
    tight = syrup("tight syrup", tolerance="0.3 °Bx")
    plan = standardise(bar(PLAIN, tight), [batch("A", brix=50.9), batch("B", "tight-syrup", 50.9)], TODAY)

    assert {task.batch.id: task.todo for task in plan.tasks} == {"A": "leave", "B": "correct"}
    assert [task.command != "" for task in plan.tasks] == [False, True]


@pytest.mark.parametrize(
    ("item", "todo"),
    [
        (batch("A", brix=None), "read"),
        (batch("A", brix=66.0, readings=(66.0,)), "read"),  # 40 % too much sugar, read once
        (batch("A", brix=66.0, readings=(66.0, 65.8)), "take out"),  # read twice: it is as read
        (batch("A", brix=50.0, verified=False), "read"),
        (batch("A", brix=54.0, discard=date(2026, 11, 24)), "take out"),
        (batch("A", brix=54.0, discard=TODAY), "correct"),  # the last day of use is a day of use
    ],
)
def test_what_is_not_corrected_yet(item: Batch, todo: str) -> None:
    (task,) = standardise(bar(PLAIN), [item], TODAY).tasks

    assert task.todo == todo
    assert (task.corrected is not None) is (todo == "correct")
    assert (task.command == "balancer measure READING --batch A --log") is (todo == "read")
    assert ("discard" in task.command) is (todo == "take out")


def test_closed_batches_and_juice_are_no_part_of_it() -> None:
    listed = [batch("A", state="empty"), batch("B", state="discarded"), batch("C", "lime-juice")]

    assert standardise(bar(PLAIN, LIME), listed, TODAY).tasks == ()


def test_an_open_batch_has_a_mass_by_eye() -> None:
    """What is left of it was not weighed just now."""
    (task,) = standardise(bar(BERRY), [batch("A", "berry-syrup", 54.0, state="open")], TODAY).tasks

    assert task.corrected is not None
    assert task.corrected.tub.estimated
