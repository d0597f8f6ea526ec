"""The day's list for prep: each batch under what is to be done with it, and what there is none of."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from balancer.engine.drink.bar import Bar
from balancer.engine.prep.prep_list import Prep, addition, prep, to_make
from balancer.models.syrup import Syrup
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, Entry, bar, drink, ingredient, syrup
from tests.engine.kitchen import kitchen, recipe
from tests.engine.prep.test_standardise import TODAY, batch

SOUR = drink("Sour", "60 ml gold rum", "20 ml plain syrup")
BERRIED = drink("Berried", "60 ml gold rum", "20 ml berry syrup", "5 ml plain syrup")


def day(november: int) -> date:
    return date(2026, 11, november)


def listed(*batches: Any, entries: tuple[Entry, ...] = (SOUR,)) -> Prep:
    return prep(bar(RUM, LIME, PLAIN, BERRY, *entries), batches, TODAY)


def test_an_addition_by_hand() -> None:
    """WE-24: 2000 g at 54 °Bx need 160 g of water for 50; so a kilogram needs 80."""
    (task,) = listed(batch("PLA-1", brix=54.0)).correct
    found = addition(task)
    assert found is not None
    assert (found.name, found.mass_g) == ("water", 2000.0)
    assert (found.per_kg_g, found.all_g) == pytest.approx((80.0, 160.0))
    assert found.first_g == pytest.approx(2.0 * found.first_per_kg_g)
    assert 0.0 < found.first_per_kg_g < 80.0


def test_without_a_logged_mass_only_the_kilogram_is_told() -> None:
    """1000 g at 46 °Bx: 1000 x 4 / 50 = 80 g of sugar."""
    (task,) = listed(batch("PLA-1", brix=46.0, mass=None)).correct
    found = addition(task)
    assert found is not None
    assert found.per_kg_g == pytest.approx(80.0)
    assert (found.mass_g, found.all_g, found.first_g) == (None, None, None)


def test_nothing_to_add_where_nothing_is_to_be_corrected() -> None:
    (task,) = listed(batch("PLA-1")).leave
    assert addition(task) is None


def test_past_batches_are_thrown_out_and_their_syrup_is_made() -> None:
    found = listed(batch("PLA-1", state="open", discard=day(24)), batch("LIM-1", "lime-juice", discard=day(20)))
    assert {item.batch.id for item in found.take_out} == {"PLA-1", "LIM-1"}
    assert [item.syrup.id for item in found.make] == ["plain-syrup"]
    assert (found.leave, found.ending) == ((), ())


def test_today_and_tomorrow_end_soon_and_the_last_one_is_told() -> None:
    found = listed(
        batch("PLA-1", discard=day(25)),
        batch("PLA-2", discard=day(26)),
        batch("BER-1", "berry-syrup", discard=day(25)),
        batch("BER-2", "berry-syrup", discard=day(27)),
        batch("BER-3", "berry-syrup", discard=None),
    )
    assert [(item.item.batch.id, item.day.day, item.last) for item in found.ending] == [
        ("PLA-1", 25, True), ("BER-1", 25, False), ("PLA-2", 26, True),
    ]  # fmt: skip


def test_what_runs_out_is_to_be_made_today() -> None:
    """The menu pours plain syrup, and all of it ends tomorrow; berry syrup, which it does not pour, runs out unsaid."""
    found = listed(
        batch("PLA-1", discard=day(25)), batch("PLA-2", discard=day(26)), batch("BER-1", "berry-syrup", discard=day(25))
    )
    assert {item.item.batch.id: item.make_more for item in found.ending} == {
        "PLA-1": True, "PLA-2": True, "BER-1": False,
    }  # fmt: skip
    assert [(item.syrup.id, item.runs_out) for item in found.make] == [("plain-syrup", day(26))]


@pytest.mark.parametrize("last", [None, day(27)])
def test_with_another_batch_to_go_on_with_nothing_runs_out(last: date | None) -> None:
    found = listed(batch("PLA-1", discard=day(25)), batch("PLA-2", discard=last))
    assert ([item.make_more for item in found.ending], found.make) == ([False], ())


def test_what_nobody_has_runs_out_of_nothing() -> None:
    assert [item.runs_out for item in listed().make] == [None]


def test_a_juice_that_only_a_syrup_is_made_of_runs_out_too() -> None:
    source = recipe("400 g lime juice", "620 g sugar", name="cordial")
    here = kitchen(source)
    here.specs.drinks["gimlet"] = drink("Gimlet", "20 ml cordial")
    (ending,) = prep(here, [batch("LIM-1", "lime-juice", brix=None, discard=TODAY)], TODAY).ending
    assert ending.make_more


def test_a_batch_read_twice_far_off_is_discarded_not_lost() -> None:
    """20 °Bx, read twice, is no syrup of 50: it stood on no list at all, and its syrup was not made."""
    found = listed(batch("PLA-1", brix=20.0, readings=(20.0, 20.0)))
    assert [task.batch.id for task in found.far] == ["PLA-1"]
    assert (found.read, found.correct, found.leave, found.waiting) == ((), (), (), ())
    assert [item.syrup.id for item in found.make] == ["plain-syrup"]


def test_the_last_day_of_the_calendar() -> None:
    found = prep(bar(PLAIN), [batch("PLA-1", discard=date.max)], date.max)
    assert [item.item.batch.id for item in found.ending] == ["PLA-1"]


def test_what_is_to_be_read_and_what_it_should_show() -> None:
    """Plain syrup at its standard of 50 °Bx shows 50: there is no acid or invert sugar to correct for."""
    found = listed(batch("PLA-1", brix=None), batch("PLA-2", verified=False))
    assert [item.task.batch.id for item in found.read] == ["PLA-1", "PLA-2"]
    for item in found.read:
        assert item.shows is not None
        assert item.shows.final_reading_brix == pytest.approx(50.0)


@pytest.mark.parametrize(
    ("batches", "waiting"),
    [
        ([("A", "made", 30)], {"A": ([], [])}),
        ([("A", "open", 28), ("B", "made", 30)], {"B": (["A"], [])}),
        ([("A", "open", 30), ("B", "made", 28)], {"B": ([], ["A"])}),
        ([("A", "made", 30), ("B", "made", 28)], {"B": ([], []), "A": (["B"], [])}),
        ([("A", "open", None), ("B", "made", 28)], {"B": ([], ["A"])}),
        ([("A", "open", 20), ("B", "made", 28)], {"B": ([], [])}),  # A is past: it is thrown out
    ],
)
def test_which_goes_first(
    batches: list[tuple[str, Any, int | None]], waiting: dict[str, tuple[list[str], list[str]]]
) -> None:
    made = [batch(name, state=state, discard=day(last) if last else None) for name, state, last in batches]
    found = {
        item.item.batch.id: ([one.id for one in item.before], [one.id for one in item.overtakes])
        for item in listed(*made).waiting
    }
    assert found == waiting


def test_what_the_menu_pours_and_nobody_has_is_made() -> None:
    found = listed(batch("PLA-1"), entries=(SOUR, BERRIED))
    (one,) = found.make
    assert (one.syrup.id, one.drinks) == ("berry-syrup", ("Berried",))
    assert (one.result, one.trouble) == (None, "its file has no recipe")


def test_what_no_drink_pours_is_not_made() -> None:
    assert [item.syrup.id for item in listed().make] == ["plain-syrup"]


def test_batches_of_something_unknown_are_not_lost() -> None:
    found = listed(batch("XYZ-1", "nonsuch"))
    assert [one.id for one in found.strangers] == ["XYZ-1"]


def test_closed_batches_are_on_no_list() -> None:
    found = listed(batch("PLA-1", brix=60.0, state="empty"), batch("PLA-2", state="discarded", discard=day(1)))
    assert (found.take_out, found.correct, found.waiting, found.strangers) == ((), (), (), ())


def cordial(**keys: Any) -> tuple[Bar, Syrup]:
    source = recipe("400 g lime juice", "620 g sugar", "25 g citric acid", **keys)
    return kitchen(source), source


def test_a_recipe_to_make() -> None:
    bar_with, source = cordial(keeps="7 days", allergens=["sulphites"], cautions=["label it"])
    found = to_make(bar_with, source, TODAY, ["Gimlet"])
    assert found.result is not None
    assert [item.liquid.name for item in found.result.items] == ["lime juice", "sugar", "citric acid"]
    assert found.use_by == date(2026, 12, 1)  # the day it is made is day 1
    assert found.has_powder
    assert found.cautions == ((source.name, "label it"),)
    assert found.contains == ("sulphites",)
    assert found.unknown == ("lime juice", "sugar")  # the pantry of these tests lists no allergens


def test_raw_egg_is_warned_of_though_no_file_says_so() -> None:
    """Of a part by its allergens, of a syrup by its own; once."""
    egg = ingredient("white of egg", sugar="0 g/l", allergens=["eggs"])
    source = recipe("400 g sugar", "100 g white of egg", name="foam", allergens=["eggs"])
    assert to_make(kitchen(egg, source), source, TODAY).cautions == (("white of egg", "raw egg"),)
    alone = syrup("flip base", allergens=["eggs"])
    assert to_make(kitchen(alone), alone, TODAY).cautions == (("flip base", "raw egg"),)


def test_a_recipe_that_cannot_be_worked_out_still_warns_of_its_powder() -> None:
    source = recipe("100 g sugar", "2 spoonfuls citric acid")
    found = to_make(kitchen(source), source, TODAY)
    assert found.result is None
    assert found.trouble
    assert found.has_powder


def test_allergens_of_the_parts_count_though_the_syrup_names_none() -> None:
    nuts = syrup("nut milk", allergens=["tree nuts"])
    source = recipe("100 g nut milk", "100 g sugar", allergens=[])
    assert to_make(kitchen(nuts, source), source, TODAY).contains == ("tree nuts",)


def test_a_syrup_with_unknown_allergens_is_named_itself() -> None:
    source = recipe("100 g water", "100 g sugar")
    assert source.name in to_make(kitchen(source), source, TODAY).unknown
