"""What stands on the bottle of a batch, and which batches get no label."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta, timezone

import pytest

from balancer.engine.drink.bar import Bar
from balancer.engine.service.labels import Label, Labels, labels
from balancer.engine.service.strips import strips
from balancer.engine.service.tonight import tonight
from balancer.models.batch import Batch
from balancer.units import Quantity
from tests.engine.builders import bar, syrup
from tests.engine.service.test_strips import MENU, NUT, PLUM, PORTIONED, SEARCHED, SEARCHED_BATCHES, SECRET
from tests.engine.service.test_tonight import NIGHT, batch


def found(house: Bar, *batches: Batch) -> Labels:
    return labels(house, tonight(house, batches, NIGHT), batches, batches)


def one(house: Bar, *batches: Batch) -> Label:
    """The label of the last batch."""
    return found(house, *batches).labels[-1]


def pours(label: Label) -> list[tuple[float, float]]:
    """Its conversions, which are all in ml."""
    assert {amount.unit for line in label.lines.conversions for amount in line} <= {"ml"}
    return [(written.value, poured.value) for written, poured in label.lines.conversions]


@pytest.mark.parametrize("state", ["made", "open"])
def test_a_batch_off_standard_carries_its_pours(state: str) -> None:
    """22.5 ml at 54 °Bx: pour 20, whether it is open or waits."""
    assert pours(one(bar(*MENU), batch("BER-3", "berry-syrup", 54.0, state=state))) == [(22.5, 20.0)]


def test_a_batch_at_standard_carries_none() -> None:
    label = one(bar(*MENU), batch("BER-3", "berry-syrup", 50.0))
    assert pours(label) == []
    assert not label.is_doubted


@pytest.mark.parametrize("state", ["made", "open"])
def test_a_strength_nobody_believes_carries_none(state: str) -> None:
    """A 2:1 in a 50 °Bx bottle."""
    label = one(bar(*MENU), batch("BER-3", "berry-syrup", 66.7, state=state))
    assert pours(label) == []
    assert label.is_doubted


def test_a_strength_no_syrup_has_is_doubted_too() -> None:
    sour = syrup("sour syrup", acid="300 g/kg", allergens=[])
    label = one(bar(*MENU, sour), batch("SOU-1", "sour-syrup", 80.0, state="made"))
    assert pours(label) == []
    assert label.is_doubted


def test_the_label_of_an_open_bottle_has_what_its_strip_has() -> None:
    house = bar(*MENU)
    batches = (batch("BER-3", "berry-syrup", 54.0), batch("PLU-1", "plum-syrup", 46.0))
    night = tonight(house, batches, NIGHT)
    on_rail = {strip.batch.id: strip.lines for strip in strips(house, night, batches).strips}
    assert {label.item.batch.id: label.lines for label in found(house, *batches).labels} == on_rail
    assert [len(lines.conversions) for lines in on_rail.values()] == [1, 1]


def test_what_hangs_on_another_bottle_is_on_no_label() -> None:
    """A label has no day to come off. "Both" is searched with both as they read (see SEARCHED); the lines are not."""
    labels_found = found(SEARCHED, *SEARCHED_BATCHES).labels
    assert [label.lines.own_pours for label in labels_found] == [(), ()]
    assert [[drink.name for drink in label.hanging] for label in labels_found] == [["Both"], ["Both"]]
    assert pours(labels_found[0]) == pours(one(SEARCHED, SEARCHED_BATCHES[0]))


def test_a_bottle_that_waits_has_the_lines_it_will_have_beside_the_open_ones() -> None:
    """The plum that is open counts, at 42 °Bx, as in the drink that is searched."""
    berry, plum = SEARCHED_BATCHES
    waits = one(SEARCHED, plum, replace(berry, state="made"))
    alone = one(SEARCHED, replace(berry, state="made"))
    assert waits.lines == one(SEARCHED, plum, berry).lines
    assert [drink.name for drink in waits.hanging] == ["Both"]
    assert pours(alone) == pours(waits)
    assert alone.hanging == ()


def test_a_drink_no_pour_is_right_for_is_named() -> None:
    label = one(bar(*MENU, PORTIONED), batch("BER-3", "berry-syrup", 54.0))
    assert [drink.name for drink in label.lines.unreached] == ["Portioned"]


def test_a_juice_carries_the_pours_of_its_acid() -> None:
    juice = batch("LIM-2", "lime-juice", None, acid=Quantity(54.0, "g/l"))
    assert pours(one(bar(*MENU), juice)) == [(22.5, 20.0)]


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"discard": date(2026, 11, 24)}, "past"),
        ({"state": "empty"}, "empty"),
        ({"state": "discarded", "discard": date(2026, 11, 24)}, "discarded"),
    ],
)
def test_what_nobody_should_pour_from_gets_none(changes: dict[str, object], why: str) -> None:
    result = found(bar(*MENU), batch("BER-3", "berry-syrup", 50.0, **changes), batch("NUT-1", "nut-syrup", 50.0))
    assert [(refusal.item.batch.id, refusal.why) for refusal in result.refused] == [("BER-3", why)]
    assert [label.item.batch.id for label in result.labels] == ["NUT-1"]


def test_the_last_day_itself_still_gets_a_label() -> None:
    assert found(bar(*MENU), batch("BER-3", "berry-syrup", 50.0, discard=NIGHT)).refused == ()


def test_storage_is_the_syrups_own_or_the_houses() -> None:
    shelf = syrup("shelf syrup", storage="20 °C", allergens=[])
    house = bar(*MENU, shelf, storage="3 °C")
    assert one(house, batch("SHE-1", "shelf-syrup", 50.0)).storage_c == 20.0
    assert one(house, batch("BER-3", "berry-syrup", 50.0)).storage_c == 3.0
    assert one(house, batch("LIM-1", "lime-juice", None)).storage_c == 3.0


@pytest.mark.parametrize(
    ("liquid", "parts", "allergens", "unknown"),
    [
        (NUT.id, (), ("tree nuts",), ()),
        (PLUM.id, (), (), ()),
        (SECRET.id, (), (), (SECRET.id,)),
        ("gone-syrup", (), (), ("gone-syrup",)),
        (PLUM.id, ("NUT-9", "SEC-9"), ("tree nuts",), (SECRET.id,)),
    ],
)
def test_allergens_are_those_of_everything_in_it(
    liquid: str, parts: tuple[str, ...], allergens: tuple[str, ...], unknown: tuple[str, ...]
) -> None:
    others = [batch("NUT-9", NUT.id, 50.0), batch("SEC-9", SECRET.id, 50.0)]
    label = one(bar(*MENU), *others, batch("ONE-1", liquid, 50.0, parts=parts))
    assert label.brings == (allergens, unknown)


@pytest.mark.parametrize(
    ("opened", "zone", "day"),
    [
        ("2026-11-26T02:00+01:00", None, date(2026, 11, 25)),  # the working day of the demo ends at six
        ("2026-11-26T05:59+01:00", None, date(2026, 11, 25)),
        ("2026-11-26T06:00+01:00", None, date(2026, 11, 26)),
        ("2026-11-26T05:30+00:00", timezone(timedelta(hours=1)), date(2026, 11, 26)),  # logged in UTC, 6:30 in the bar
        ("2026-11-26T06:30+00:00", timezone(timedelta(hours=-5)), date(2026, 11, 25)),
    ],
)
def test_a_batch_was_opened_on_the_working_day(opened: str, zone: timezone | None, day: date) -> None:
    house = bar(*MENU)
    logged = batch("BER-1", "berry-syrup", 50.0, opened=datetime.fromisoformat(opened))
    result = labels(house, tonight(house, [logged], NIGHT), [logged], [logged], zone)
    assert [each.opened_on for each in result.labels] == [day]
