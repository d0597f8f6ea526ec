"""Sweeteners side by side, against sums done by hand from printed densities."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from balancer.components import composition
from balancer.engine.batch.now import in_use
from balancer.engine.swaps.at import Strength, offered, past_syrups, tonight
from balancer.engine.swaps.compare import compare, sweetness_g
from balancer.models.batch import Batch, BatchState
from tests.engine.builders import BERRY, LIME, PLAIN, bar, ingredient, syrup
from tests.reference.facts import facts

# Standard sucrose tables, rounded: 50 °Bx 1.2296, 54 °Bx 1.2519, 66.67 °Bx 1.3265 g/ml at 20 °C.
RICH = syrup("rich syrup", standard="66.67 °Bx", flavour="none", allergens=[])
SUGAR = ingredient("white sugar", sugar="1000 g/kg")
UNKNOWN = ingredient("herb liqueur", abv="30 %")
LIQUEUR = ingredient("orange liqueur", abv="40 %", sugar="100 g/l")


DAY = date(2026, 11, 25)


def batch(
    identity: str,
    liquid: str,
    brix: float | None,
    state: BatchState = "open",
    discard: date | None = None,
    opened: datetime | None = None,
) -> Batch:
    return Batch(identity, liquid, state, brix, 0.3, None, 1.0, None, discard, None, opened, (), True, (), None, None)


def test_ten_ml_of_two_to_one_is_fourteen_of_one_to_one() -> None:
    """WE-05: 44.2 % more by volume, within 0.6; by the printed densities 0.6667 x 1.3265 / (0.5 x 1.2296) = 1.438.

    The tables differ by 0.3 kg/m³ at this strength, which is 2.3e-4 of it.
    """
    (known,) = [row for row in facts("worked_examples") if row["id"] == "WE-05"]
    assert known["expected"] == "more_percent=44.2"

    (row,) = compare(bar(PLAIN, RICH), ["rich-syrup"]).rows

    assert row.house_ml == pytest.approx(14.42, abs=0.06)
    assert row.house_ml == pytest.approx(10.0 * 0.6667 * 1.3265 / (0.5 * 1.2296), rel=3e-4)


def test_grams_of_one_to_one() -> None:
    """10 ml at 1.2296 g/ml weigh 12.296 g: half sugar, half water."""
    (row,) = compare(bar(PLAIN), ["plain-syrup"]).rows

    assert (row.sugar_g, row.water_g) == pytest.approx((6.148, 6.148), abs=0.001)
    assert (row.acid_g, row.house_ml) == (0.0, 10.0)
    assert row.sweetness == pytest.approx((6.148, 6.148, 6.148), abs=0.001)


def test_sweetness_is_the_published_range_of_each_sugar() -> None:
    """4 g glucose at 0.69, 0.70, 0.80 and 5 g fructose at 1.14, 1.20, 1.80 of sucrose."""
    found = sweetness_g(composition({"glucose": 4.0, "fructose": 5.0, "water": 9.0}))

    assert found == pytest.approx((8.46, 8.8, 12.2))


def test_a_liqueur_is_compared_by_what_its_label_says() -> None:
    """100 g/l is 1 g in 10 ml; over 0.6148 g in a ml that is 1.63 ml."""
    (row,) = compare(bar(PLAIN, LIQUEUR), ["orange-liqueur"]).rows

    assert row.sugar_g == pytest.approx(1.0, rel=1e-9)
    assert row.house_ml == pytest.approx(1.0 / 0.6148, rel=1e-4)
    assert row.strength is None


def test_acid_of_a_juice() -> None:
    """46 g/l is 0.46 g in 10 ml."""
    (row,) = compare(bar(PLAIN, LIME), ["lime-juice"]).rows

    assert row.acid_g == pytest.approx(0.46, rel=1e-9)


def test_the_batch_in_use_counts() -> None:
    """At 54 °Bx and 1.2519 g/ml 10 ml hold 6.760 g."""
    house = bar(PLAIN, BERRY)
    held = [batch("BER-1", "berry-syrup", 54.0), batch("PLA-1", "plain-syrup", 50.0, "made")]
    at = tonight(house, in_use(house, held, DAY))

    assert at.read == {"berry-syrup": Strength(54.0, "BER-1")}
    rows = {row.liquid.id: row for row in compare(house, at=at).rows}
    assert rows["berry-syrup"].sugar_g == pytest.approx(6.760, abs=0.001)
    assert rows["berry-syrup"].strength == Strength(54.0, "BER-1")
    assert rows["plain-syrup"].strength == Strength(50.0, None)


def test_of_two_open_batches_the_first_opened_counts_and_a_past_one_never() -> None:
    house = bar(PLAIN, BERRY)
    later = batch("A", "berry-syrup", 54.0, opened=datetime(2026, 11, 25, 18, tzinfo=UTC))
    first = batch("B", "berry-syrup", 52.0, opened=datetime(2026, 11, 24, 18, tzinfo=UTC))
    past = batch("C", "berry-syrup", 48.0, opened=datetime(2026, 11, 20, 18, tzinfo=UTC), discard=date(2026, 11, 24))
    unread = batch("D", "plain-syrup", None)

    now = in_use(house, [later, first, past, unread], DAY)

    assert tonight(house, now).read == {"berry-syrup": Strength(52.0, "B", ("A",))}
    assert offered(now) == [("berry-syrup", Strength(52.0, "B")), ("berry-syrup", Strength(54.0, "A"))]
    assert past_syrups(house, now) == ("C",)


def test_every_syrup_most_sugar_first_against_plain_one_to_one() -> None:
    """10 ml of 1:1 weigh 12.296 g by the printed density, half of it sugar, whatever the house calls plain."""
    found = compare(bar(BERRY, RICH, PLAIN))

    assert [row.liquid.id for row in found.rows] == ["rich-syrup", "berry-syrup", "plain-syrup"]
    assert (found.house.id, found.house.name, found.house_strength) == ("", "plain 1:1 syrup", Strength(50.0))
    assert 10.0 * found.house.sugar_g_per_ml == pytest.approx(6.148, abs=0.001)
    assert found.rows[0].house_ml == pytest.approx(10.0 * 0.6667 * 1.3265 / (0.5 * 1.2296), rel=3e-4)
    assert compare(bar(BERRY, PLAIN, RICH), against="rich-syrup").house.id == "rich-syrup"


def test_what_has_no_answer_says_why_and_does_not_hide_the_rest() -> None:
    found = compare(bar(PLAIN, SUGAR, UNKNOWN), ["white-sugar", "herb-liqueur", "plain-syrup"])

    assert [row.liquid.id for row in found.rows] == ["plain-syrup"]
    assert [identity for identity, _, _ in found.failed] == ["white-sugar", "herb-liqueur"]


def test_a_house_without_a_plain_syrup_is_compared_all_the_same() -> None:
    """Nothing in the house is plain, and a syrup of that name there is not what is meant."""
    named = syrup("plain 1:1 syrup", standard="60 °Bx")

    assert compare(bar(BERRY)).house.name == "plain 1:1 syrup"
    assert compare(bar(named)).rows[0].house_ml > 12.0  # 60 over 50 °Bx by weight alone is 12
