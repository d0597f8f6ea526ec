"""Open batches against the menu: rows, joint pours, notes."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from itertools import product

import pytest

from balancer.engine.service.bottled import Bottled
from balancer.engine.service.tonight import tonight
from balancer.models.batch import Batch
from balancer.units import Quantity
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, SOUR, bar, drink, ingredient, syrup

NIGHT = date(2026, 11, 25)
HONEY = syrup("honey syrup", standard="50 °Bx", allergens=[])
TWO = drink("Two Sugars", "60 ml gold rum", "22.5 ml lime juice", "15 ml berry syrup", "10 ml honey syrup")
LONG = drink("Long Plain", "45 ml gold rum", "15 ml plain syrup", method="built", dilution="20 %")

# Sugar in a ml, g, from the densities of the standard sucrose tables at 20 °C (46, 50 and 54 °Bx, g/ml).
G_PER_ML = {46.0: 0.46 * 1.2079, 50.0: 0.50 * 1.2296, 54.0: 0.54 * 1.2519}


def batch(identity: str, liquid: str, brix: float | None, **changes: object) -> Batch:
    """An open batch, opened on the night, good for a week."""
    made = Batch(
        id=identity,
        liquid=liquid,
        state="open",
        brix=brix,
        uncertainty=None,
        cause=None,
        mass=None,
        made=date(2026, 11, 24),
        discard=date(2026, 11, 30),
        by=None,
        opened=datetime(2026, 11, 25, 18, tzinfo=UTC),
        readings=(brix,) if brix is not None else (),
        verified=True,
        parts=(),
        acid=None,
        note=None,
    )
    return replace(made, **changes)  # type: ignore[arg-type]


def test_one_batch_off_gives_the_same_rows_as_rescale() -> None:
    """22.5 ml at 54 °Bx: pour 20; the other syrups are taken as standard and named."""
    house = bar(RUM, LIME, BERRY, PLAIN, SOUR, LONG)
    result = tonight(house, [batch("BER-3", "berry-syrup", 54.0)], NIGHT)
    ((item, row),) = result.rows
    assert (item.batch.id, row.drink.id, row.rounded.poured_ml) == ("BER-3", "test-sour", 20.0)
    assert item.rescale.advice.word == "change pours"
    assert item.rescale.conversions == ((22.5, 20.0),)
    assert result.standard == ("plain-syrup",)


def test_two_syrups_off_are_searched_together() -> None:
    """One strong, one weak: the drink's verdict and percents are the same in both rows.

    Expected by trying every pair of pours by hand from the table densities: as written the two errors
    nearly cancel (15 ml at 54 brings 0.92 g more, 10 ml at 46 brings 0.59 g less), so nothing moves.
    """
    house = bar(RUM, LIME, BERRY, HONEY, TWO)
    open_ones = [batch("BER-3", "berry-syrup", 54.0), batch("HON-1", "honey-syrup", 46.0)]
    rows = [row for _, row in tonight(house, open_ones, NIGHT).rows]
    assert [row.rounded.verdict for row in rows] == ["as written", "as written"]
    sugar_g = 25 * G_PER_ML[50.0] + 22.5 * 1.0231 * 0.0169  # lime: 1.0229 g/ml by USDA's cup, 16.9 g/kg
    by_hand = 100 * (15 * G_PER_ML[54.0] + 10 * G_PER_ML[46.0] - 25 * G_PER_ML[50.0]) / sugar_g
    for row in rows:
        assert row.rounded.as_written_percent == pytest.approx(by_hand, abs=0.05)
        assert row.together_with
    assert rows[0].rounded.after_percent == rows[1].rounded.after_percent


def test_joint_pours_are_the_best_of_all_pairs() -> None:
    """Both strong: the pair has the least sugar error of all pairs within two steps of exact, then moves least."""
    house = bar(RUM, LIME, BERRY, HONEY, TWO)
    open_ones = [batch("BER-3", "berry-syrup", 54.0), batch("HON-1", "honey-syrup", 54.0)]
    rows = {item.batch.liquid: row for item, row in tonight(house, open_ones, NIGHT).rows}
    berry, honey = rows["berry-syrup"].rounded, rows["honey-syrup"].rounded
    assert berry.verdict == honey.verdict == "new pour"

    def error_g(pair: tuple[float, float]) -> float:
        return abs(sum(pair) * G_PER_ML[54.0] - 25 * G_PER_ML[50.0])

    pairs = [pair for pair in product((10.0, 12.5, 15.0), (7.5, 10.0, 12.5)) if error_g(pair) < 5]
    least = min(round(error_g(pair), 6) for pair in pairs)
    best = [pair for pair in pairs if round(error_g(pair), 6) == least]
    moves = {pair: abs(pair[0] - 15) + abs(pair[1] - 10) for pair in best}
    assert (berry.poured_ml, honey.poured_ml) in best
    assert moves[berry.poured_ml, honey.poured_ml] == min(moves.values())


def test_two_open_batches_of_one_syrup_get_rows_each() -> None:
    """Never a combination: each bottle has its own row, and the pair is pointed out."""
    house = bar(RUM, LIME, BERRY, SOUR)
    first = batch("BER-3", "berry-syrup", 54.0, opened=datetime(2026, 11, 25, 17, tzinfo=UTC))
    second = batch("BER-4", "berry-syrup", 46.0)
    result = tonight(house, [second, first], NIGHT)
    assert [(item.batch.id, row.rounded.poured_ml) for item, row in result.rows] == [("BER-3", 20.0), ("BER-4", 25.0)]
    assert [[one.id for one in group] for group in result.doubled] == [["BER-3", "BER-4"]]


def test_notes_name_what_is_past_undated_unread_and_unverified() -> None:
    """The last day of use itself still counts; the day after does not."""
    house = bar(RUM, LIME, BERRY, PLAIN, HONEY, SOUR, LONG, TWO)
    open_ones = [
        batch("BER-3", "berry-syrup", 50.0, discard=NIGHT),
        batch("PLA-1", "plain-syrup", 50.0, discard=date(2026, 11, 24), verified=False),
        batch("HON-1", "honey-syrup", None, discard=None),
    ]
    result = tonight(house, open_ones, NIGHT)
    assert [one.id for one in result.past] == ["PLA-1"]
    assert [one.id for one in result.undated] == ["HON-1"]
    assert [one.id for one in result.unread] == ["HON-1"]
    assert [one.id for one in result.unverified] == ["PLA-1"]
    assert result.standard == ("honey-syrup",)
    assert set(result.as_written) == {"Test Sour", "Two Sugars"}


def test_an_implausible_reading_is_read_again_and_once_confirmed_pulled() -> None:
    """66.7 °Bx in a 50 °Bx bottle is a 2:1: +44 % sugar per ml (WE-05)."""
    house = bar(RUM, LIME, BERRY, SOUR)
    once = batch("BER-3", "berry-syrup", 66.7)
    twice = replace(once, readings=(66.5, 66.7))
    assert tonight(house, [once], NIGHT).batches[0].rescale.advice.word == "read again"
    assert tonight(house, [twice], NIGHT).batches[0].rescale.advice.word == "pull"


def test_todays_lime_acid_moves_the_lime() -> None:
    """Juice at 54 g/l where the spec counts on 46: 22.5 × 46/54 = 19.2 ml for equal acid, so pour 20."""
    house = bar(RUM, LIME, BERRY, SOUR)
    juice = batch("LIM-2", "lime-juice", None, acid=Quantity(54.0, "g/l"))
    (found,) = tonight(house, [juice], NIGHT).juices
    assert found.acid_percent == pytest.approx(100 * (54 / 46 - 1), abs=1e-9)
    assert found.conversions == ((22.5, 20.0),)


def test_juice_within_tolerance_moves_nothing() -> None:
    """47 against 46 g/l is 2 %."""
    house = bar(RUM, LIME, BERRY, SOUR)
    juice = batch("LIM-2", "lime-juice", None, acid=Quantity(47.0, "g/l"))
    assert tonight(house, [juice], NIGHT).juices[0].conversions == ()


def test_closed_batches_do_not_count() -> None:
    """Made, empty and discarded bottles are not in the well."""
    house = bar(RUM, LIME, BERRY, SOUR)
    closed = [replace(batch("BER-1", "berry-syrup", 60.0), state=state) for state in ("made", "empty", "discarded")]
    result = tonight(house, closed, NIGHT)
    assert result.batches == ()
    assert result.standard == ("berry-syrup",)


def test_unknown_liquids_are_passed_over() -> None:
    """A batch of something no longer in the files does not stop the night."""
    house = bar(RUM, LIME, BERRY, SOUR, ingredient("old juice", sugar="0 g/l"))
    assert tonight(house, [batch("GON-1", "gone-syrup", 50.0)], NIGHT).batches == ()


def in_bottle(found_brix: float | None = None) -> Bottled:
    return Bottled("BER-3", "test-sour", 12.0, 54.0, datetime(2026, 11, 25, 17, tzinfo=UTC), found_brix)


def test_a_drink_in_a_bottle_is_left_out() -> None:
    """Nobody pours its syrup tonight; without a known life the bottle counts on its own night only."""
    house = bar(RUM, LIME, BERRY, PLAIN, SOUR, TWO, HONEY)
    open_ones = [batch("BER-3", "berry-syrup", 54.0, discard=None)]
    result = tonight(house, open_ones, NIGHT, [in_bottle()])

    assert [row.drink.id for _, row in result.rows] == ["two-sugars"]
    assert [(bottle.drink.id, bottle.rescue) for bottle in result.bottled] == [("test-sour", None)]
    assert tonight(house, open_ones, date(2026, 11, 26), [in_bottle()]).bottled == ()


def test_a_bottle_is_good_until_its_syrup_is_not() -> None:
    open_ones = [batch("BER-3", "berry-syrup", 54.0)]

    house = bar(RUM, LIME.model_copy(update={"keeps": 30.0}), BERRY, SOUR)
    assert tonight(house, open_ones, date(2026, 11, 30), [in_bottle()]).bottled
    assert not tonight(house, open_ones, date(2026, 12, 1), [in_bottle()]).bottled


def test_a_bottle_whose_syrup_read_otherwise_later_is_rescued() -> None:
    """Mixed for 54, really 58 °Bx: 58/54 of the syrup's sugar, so that many serves."""
    house = bar(RUM, LIME, BERRY, SOUR)
    (bottle,) = tonight(house, [batch("BER-3", "berry-syrup", 58.0)], NIGHT, [in_bottle(58.0)]).bottled
    assert bottle.rescue is not None

    assert bottle.rescue.serves == pytest.approx(12.0 * 58.0 / 54.0)
    assert bottle.rescue.add[0].volume_ml == pytest.approx(60.0 * 12.0 * 4.0 / 54.0)
