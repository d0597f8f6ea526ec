"""Open batches against the menu: rows, several syrups at once, what changes and what is told."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from itertools import pairwise

import pytest

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.bar import Bar
from balancer.engine.service.bottled import Bottled
from balancer.engine.service.rescale import rescale
from balancer.engine.service.tonight import tonight
from balancer.models.batch import Batch
from balancer.units import Quantity
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, SOUR, bar, drink, ingredient, syrup

NIGHT = date(2026, 11, 25)
HONEY = syrup("honey syrup", standard="50 °Bx", allergens=[])
TWO = drink("Two Sugars", "60 ml gold rum", "22.5 ml lime juice", "15 ml berry syrup", "10 ml honey syrup")
LONG = drink("Long Plain", "45 ml gold rum", "15 ml plain syrup", method="built", dilution="20 %")

PRINTED = {
    42.0: 1.1868, 44.0: 1.1972, 46.0: 1.2079, 48.0: 1.2186, 50.0: 1.2296, 54.0: 1.2519, 55.0: 1.2575, 60.0: 1.2865,
    70.0: 1.3472,
}  # fmt: skip
"""Densities of the standard sucrose tables at 20 °C, g/ml by °Bx: tests/reference/sucrose_density.csv has them."""
LIME_SUGAR_G = 22.5 * 1.0229 * 0.0169
"""22.5 ml of lime: 1.0229 g/ml by USDA's cup, 16.9 g/kg."""


def sugar_g(brix: float) -> float:
    """Sugar in a ml of a plain syrup, g: by the printed densities, between two of them in a straight line."""
    low, high = next((low, high) for low, high in pairwise(PRINTED) if low <= brix <= high)
    density = PRINTED[low] + (PRINTED[high] - PRINTED[low]) * (brix - low) / (high - low)
    return brix / 100.0 * density


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
    assert (item.batch.id, row.drink.id, row.poured) == ("BER-3", "test-sour", Amount(20.0))
    assert item.rescale.advice.word == "change pours"
    assert item.rescale.conversions == ((Amount(22.5), Amount(20.0)),)
    assert result.standard == ("plain-syrup",)


def test_errors_of_two_syrups_that_cancel_move_nothing() -> None:
    """15 ml at 54 bring 0.92 g more, 10 ml at 46 bring 0.59 g less: 2 % of the drink, and both rows say so."""
    house = bar(RUM, LIME, BERRY, HONEY, TWO)
    open_ones = [batch("BER-3", "berry-syrup", 54.0), batch("HON-1", "honey-syrup", 46.0)]
    result = tonight(house, open_ones, NIGHT)
    rows = [row for _, row in result.rows]
    assert [(row.verdict, row.poured, row.companions) for row in rows] == [
        ("as written", Amount(15.0), ()),
        ("as written", Amount(10.0), ()),
    ]
    designed_g = 25 * sugar_g(50.0) + LIME_SUGAR_G
    by_hand = 100 * (15 * sugar_g(54.0) + 10 * sugar_g(46.0) - 25 * sugar_g(50.0)) / designed_g
    for row in rows:
        assert row.as_written_percent == row.after_percent == pytest.approx(by_hand, abs=0.05)
    assert [drink.name for drink in result.as_written] == ["Two Sugars"]
    assert result.moved == result.unreached == {}


@dataclass(frozen=True)
class Pair:
    """Two syrups in one drink: ml, °Bx at standard and as they read; what to pour of each."""

    name: str
    written: tuple[float, float]
    standards: tuple[float, float]
    read: tuple[float, float]
    poured: tuple[float, float]
    lime_ml: float = 22.5

    def error_percent(self, amounts: tuple[float, float]) -> float:
        """How far the drink's sugar is off, by the printed densities."""
        designed = [ml * sugar_g(brix) for ml, brix in zip(self.written, self.standards, strict=True)]
        brought = [ml * sugar_g(brix) for ml, brix in zip(amounts, self.read, strict=True)]
        return 100.0 * (sum(brought) - sum(designed)) / (sum(designed) + LIME_SUGAR_G)


PAIRS = [
    # 56 °Bx: 19.55 ml exactly, so 20; a tenth of a degree of honey is within what prep lets pass, and moves nothing.
    Pair("a hair of honey", (22.5, 15.0), (50.0, 60.0), (56.0, 60.1), (20.0, 15.0)),
    # 9.20 and 18.61 ml exactly: 10 is the nearest of the first, 17.5 of the second.
    Pair("the written pour is the nearest", (10.0, 20.0), (50.0, 50.0), (53.5, 53.0), (10.0, 17.5)),
    # Both weak: 16.20 ml exactly, nearer to 15 than to 17.5, and 11.67, nearer to 12.5 than to 10.
    Pair("two weak ones", (15.0, 10.0), (70.0, 50.0), (66.0, 44.0), (15.0, 12.5)),
    # Both strong: 20.46 and 27.28 ml exactly.
    Pair("two strong ones", (22.5, 30.0), (50.0, 50.0), (54.0, 54.0), (20.0, 27.5)),
]


def pair_house(pair: Pair) -> Bar:
    first, second = (
        syrup(f"{name} syrup", standard=f"{standard:g} °Bx", allergens=[])
        for name, standard in zip(("first", "second"), pair.standards, strict=True)
    )
    pours = [f"{ml:g} ml {one.name}" for ml, one in zip(pair.written, (first, second), strict=True)]
    return bar(RUM, LIME, first, second, drink("Pair", "60 ml gold rum", f"{pair.lime_ml:g} ml lime juice", *pours))


def open_pair(pair: Pair) -> list[Batch]:
    return [batch("ONE-1", "first-syrup", pair.read[0]), batch("TWO-1", "second-syrup", pair.read[1])]


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: pair.name)
def test_two_syrups_off_take_their_own_lines(pair: Pair) -> None:
    """Each pour is the nearest to its own exact one, and together they are within tolerance.

    The exact pours are worked from the printed densities; no pour moves against its own error, nor past the first
    one beyond its exact one.
    """
    rows = [row for _, row in tonight(pair_house(pair), open_pair(pair), NIGHT).rows]

    assert tuple(row.poured for row in rows) == tuple(Amount(ml) for ml in pair.poured)
    assert abs(pair.error_percent(pair.written)) > 5.0 > abs(pair.error_percent(pair.poured))
    for row, written, standard, read in zip(rows, pair.written, pair.standards, pair.read, strict=True):
        exact = written * sugar_g(standard) / sugar_g(read)
        nearest = min([2.5 * count for count in range(1, 40)], key=lambda ml: abs(ml - exact))
        assert row.exact.value == pytest.approx(exact, abs=0.02)
        assert row.line == Amount(nearest)
        assert row.poured in (row.line, row.written)
        assert row.verdict == ("as written" if row.poured == row.written else "new pour")
        assert row.as_written_percent == pytest.approx(pair.error_percent(pair.written), abs=0.08)
        assert row.after_percent == pytest.approx(pair.error_percent(pair.poured), abs=0.08)


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: pair.name)
def test_a_row_is_that_of_rescale_with_the_others_as_they_read(pair: Pair) -> None:
    house = pair_house(pair)
    for item in tonight(house, open_pair(pair), NIGHT).batches:
        others = {one.liquid: one.brix or 0.0 for one in open_pair(pair) if one.liquid != item.batch.liquid}
        again = rescale(house, item.batch.liquid, item.batch.brix or 0.0, others=others)
        assert item.rescale.rows[0].decided.decision == again.rows[0].decided.decision
        assert (item.rescale.conversions, item.rescale.advice) == (again.conversions, again.advice)


def test_a_strength_that_is_read_again_first_does_not_count() -> None:
    """66.7 °Bx in a 50 °Bx bottle: the honey's drink is decided as if the berry syrup were at standard.

    25 ml of honey at 54 bring 1.53 g more, 8 % of 15.4 + 3.7 g: 22.5 ml, 0.8 % too little.
    """
    spec = drink("Honeyed", "60 ml gold rum", "25 ml honey syrup", "6 ml berry syrup", "22.5 ml lime juice")
    house = bar(RUM, LIME, BERRY, HONEY, spec)
    open_ones = [batch("BER-3", "berry-syrup", 66.7), batch("HON-1", "honey-syrup", 54.0)]
    result = tonight(house, open_ones, NIGHT)
    (honey,) = [row for item, row in result.rows if item.batch.id == "HON-1"]

    after_g = 22.5 * sugar_g(54.0) - 25.0 * sugar_g(50.0)
    assert honey.poured == Amount(22.5)
    assert honey.after_percent == pytest.approx(100 * after_g / (31 * sugar_g(50.0) + LIME_SUGAR_G), abs=0.05)
    assert [item.batch.id for item in result.believed] == ["HON-1"]
    assert result.standard == ("berry-syrup",)


def test_a_batch_past_its_last_day_has_no_row_and_counts_nowhere() -> None:
    """The plain syrup of the other drinks is taken at standard, and the bottle is named."""
    house = bar(RUM, LIME, BERRY, HONEY, TWO)
    past = batch("HON-1", "honey-syrup", 54.0, discard=date(2026, 11, 24))
    result = tonight(house, [past, batch("BER-3", "berry-syrup", 54.0)], NIGHT)
    alone = tonight(house, [batch("BER-3", "berry-syrup", 54.0)], NIGHT)

    assert [(item.batch.id, row.poured) for item, row in result.rows] == [
        (item.batch.id, row.poured) for item, row in alone.rows
    ]
    assert [one.id for one in result.now.past] == ["HON-1"]
    assert result.standard == ("honey-syrup",)


def test_two_open_batches_of_one_syrup_get_rows_each() -> None:
    """Never a combination: each bottle has its own row, and the pair is pointed out."""
    house = bar(RUM, LIME, BERRY, SOUR)
    first = batch("BER-3", "berry-syrup", 54.0, opened=datetime(2026, 11, 25, 17, tzinfo=UTC))
    second = batch("BER-4", "berry-syrup", 46.0)
    result = tonight(house, [second, first], NIGHT)
    assert [(item.batch.id, row.poured) for item, row in result.rows] == [
        ("BER-3", Amount(20.0)),
        ("BER-4", Amount(25.0)),
    ]
    assert [[one.id for one in group] for group in result.now.doubled] == [["BER-3", "BER-4"]]
    assert result.menu.strengths == {"berry-syrup": 54.0}


def test_of_two_open_batches_the_first_opened_counts_in_drinks_of_other_syrups() -> None:
    """Honey at 54 beside a berry syrup at 54 or at 46: with the second, the errors nearly cancel."""
    house = bar(RUM, LIME, BERRY, HONEY, TWO)
    honey = batch("HON-1", "honey-syrup", 54.0)
    early, late = datetime(2026, 11, 25, 16, tzinfo=UTC), datetime(2026, 11, 25, 17, tzinfo=UTC)
    for first, second in ((54.0, 46.0), (46.0, 54.0)):
        open_ones = [
            batch("BER-4", "berry-syrup", second, opened=late),
            batch("BER-3", "berry-syrup", first, opened=early),
            honey,
        ]
        both = tonight(house, open_ones, NIGHT)
        alone = tonight(house, [batch("BER-3", "berry-syrup", first), honey], NIGHT)
        rows = [
            [row.decided.decision for item, row in one.rows if item.batch.id in ("BER-3", "HON-1")]
            for one in (both, alone)
        ]
        assert rows[0] == rows[1]


def test_notes_name_what_is_past_undated_unread_and_unverified() -> None:
    """The last day of use itself still counts; the day after does not."""
    house = bar(RUM, LIME, BERRY, PLAIN, HONEY, SOUR, LONG, TWO)
    open_ones = [
        batch("BER-3", "berry-syrup", 50.0, discard=NIGHT, verified=False),
        batch("PLA-1", "plain-syrup", 50.0, discard=date(2026, 11, 24), verified=False),
        batch("HON-1", "honey-syrup", None, discard=None),
    ]
    result = tonight(house, open_ones, NIGHT)
    assert [one.id for one in result.now.past] == ["PLA-1"]
    assert [one.id for one in result.now.undated] == ["HON-1"]
    assert [one.id for one in result.now.unread] == ["HON-1"]
    assert [one.id for one in result.now.unverified] == ["BER-3"]
    assert result.standard == ("plain-syrup", "honey-syrup")
    assert {drink.name for drink in result.as_written} == {"Test Sour", "Two Sugars"}


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
    assert found.conversions == ((Amount(22.5), Amount(20.0)),)


def test_a_drink_whose_juice_moves_is_not_as_written() -> None:
    """The syrups are at standard and nothing of them moves; the lime does."""
    house = bar(RUM, LIME, BERRY, SOUR)
    open_ones = [
        batch("LIM-2", "lime-juice", None, acid=Quantity(54.0, "g/l")),
        batch("BER-3", "berry-syrup", 50.0),
    ]
    result = tonight(house, open_ones, NIGHT)
    assert result.as_written == ()
    assert list(result.moved) == ["test-sour"]


def test_juice_within_tolerance_moves_nothing() -> None:
    """47 against 46 g/l is 2 %."""
    house = bar(RUM, LIME, BERRY, SOUR)
    juice = batch("LIM-2", "lime-juice", None, acid=Quantity(47.0, "g/l"))
    result = tonight(house, [juice], NIGHT)
    assert result.juices[0].conversions == ()
    assert [drink.name for drink in result.as_written] == ["Test Sour"]


def test_a_juice_with_a_strength_in_the_log_is_still_a_juice() -> None:
    """Its °Bx is told on its label and decides nothing: what counts of a juice is its acid."""
    house = bar(RUM, LIME, BERRY, SOUR)
    juice = batch("LIM-2", "lime-juice", 8.2, acid=Quantity(54.0, "g/l"))
    result = tonight(house, [juice], NIGHT)
    assert [one.batch.id for one in result.juices] == ["LIM-2"]
    assert result.batches == ()
    assert result.menu.strengths == {}


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
