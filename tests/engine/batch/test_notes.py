"""What is said about a batch: how far off it is, and what to heed."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest

from balancer.engine.batch.notes import cautions, closed, combining_cautions, describe, in_house
from balancer.models.batch import Batch
from balancer.units import Quantity
from tests.engine.builders import LIME, bar, syrup

DAY = date(2026, 11, 25)
BERRY = syrup("berry syrup", keeps="7 days")
FUZZY = syrup("fuzzy syrup", tolerance="2 °Bx")
BOOZY = syrup("boozy syrup", standard_reading="50 °Bx", abv="5 %")
BAR = bar(BERRY, FUZZY, BOOZY, LIME)


def batch(identity: str = "BER-1", **changes: Any) -> Batch:
    """An open batch at standard, made on the day."""
    found = Batch(
        id=identity,
        liquid="berry-syrup",
        state="open",
        brix=50.0,
        uncertainty=None,
        cause=None,
        mass=None,
        made=DAY,
        discard=date(2026, 12, 1),
        by=None,
        opened=datetime(2026, 11, 25, 18, tzinfo=UTC),
        readings=(50.0,),
        verified=True,
        parts=(),
        acid=None,
        note=None,
    )
    return replace(found, **changes)


def kinds(one: Batch, *others: Batch, today: date = DAY) -> list[str]:
    return [note.kind for note in cautions(describe(BAR, one, today), (one, *others))]


@pytest.mark.parametrize(
    ("liquid", "brix", "off", "fit"),
    [
        ("berry-syrup", 50.0, 0.0, "within"),
        ("berry-syrup", 49.0, -1.0, "within"),
        ("berry-syrup", 51.1, 1.1, "off"),
        ("fuzzy-syrup", 52.0, 2.0, "within"),
        ("berry-syrup", 66.7, 16.7, "implausible"),  # WE-05: a 2:1 carries 1.44 times the sugar per ml
        ("berry-syrup", 41.0, -9.0, "implausible"),  # 0.41 × 1.1816 / (0.5 × 1.2296): 21 % less sugar per ml
        ("berry-syrup", None, None, None),
        ("lime-juice", 8.0, None, None),
        ("boozy-syrup", 50.0, None, None),
        ("gone-syrup", 50.0, None, None),
    ],
)
def test_how_far_off(liquid: str, brix: float | None, off: float | None, fit: str | None) -> None:
    """The house lets 1 °Bx pass; densities at 41 and 50 °Bx from the standard sucrose tables."""
    item = describe(BAR, batch(liquid=liquid, brix=brix), DAY)
    assert item.fit == fit
    assert item.off_brix == (None if off is None else pytest.approx(off))


def test_what_the_files_do_not_know_is_called_what_the_log_calls_it() -> None:
    assert describe(BAR, batch(liquid="gone-syrup"), DAY).name == "gone-syrup"
    assert describe(BAR, batch(), DAY).name == "berry syrup"
    assert describe(BAR, batch(liquid="lime-juice"), DAY).spec_acid == Quantity(46.0, "g/l")


def test_the_last_day_itself_is_not_past() -> None:
    assert kinds(batch(discard=DAY)) == []
    assert kinds(batch(discard=date(2026, 11, 24))) == ["past"]
    assert kinds(batch(discard=None)) == []


def test_a_day_later_than_the_file_gives_is_pointed_out() -> None:
    assert kinds(batch(discard=date(2026, 12, 2))) == ["beyond keeps"]
    assert kinds(batch(liquid="fuzzy-syrup", discard=date(2027, 12, 2))) == []


def test_a_second_open_bottle_and_an_older_one_waiting() -> None:
    one = batch("BER-3")
    second = batch("BER-2")
    older = batch("BER-1", state="made", discard=date(2026, 11, 28))
    assert kinds(one, second, older) == ["also open", "older waits"]
    assert kinds(one, batch("BER-4", state="made", discard=date(2026, 12, 5))) == []
    assert kinds(one, batch("FUZ-1", liquid="fuzzy-syrup"), batch("BER-5", state="empty")) == []
    assert kinds(replace(one, state="made"), second, older) == []


def test_older_goes_by_the_day_made_where_a_last_day_is_unknown() -> None:
    waiting = batch("BER-1", state="made", discard=None, made=date(2026, 11, 24))
    assert kinds(batch("BER-3"), waiting) == ["older waits"]
    assert kinds(batch("BER-3"), replace(waiting, made=None)) == []


def test_a_strength_that_nobody_read() -> None:
    assert kinds(batch(verified=False)) == ["unverified"]
    assert kinds(batch(verified=False, brix=None)) == []


def test_what_to_know_of_parts() -> None:
    notes = combining_cautions([batch("BER-1", discard=None), batch("BER-2", state="made")])
    assert [(note.kind, [part.id for part in note.others]) for note in notes] == [
        ("part undated", ["BER-1"]),
        ("part in use", ["BER-1"]),
    ]
    assert combining_cautions([batch(state="made")]) == ()


def test_the_house_in_the_order_of_use() -> None:
    known = [
        batch("A", state="empty"),
        batch("B", state="made", discard=None),
        batch("C", state="made"),
        batch("D", discard=date(2026, 12, 9)),
        batch("E"),
        batch("F", state="discarded"),
    ]
    assert [one.id for one in in_house(known)] == ["E", "D", "C", "B"]
    assert [one.id for one in closed(known)] == ["F", "A"]
