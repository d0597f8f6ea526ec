"""Bottled drinks: scaling, water, a batch that is off, what freezes, what stays out; and the rescue."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.batch.events import Stamp
from balancer.engine.batch.history import batches
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.card import card
from balancer.engine.drink.totals import totals
from balancer.engine.service.bottle import Bottle, Heed, bottle
from balancer.engine.service.bottle_serve import is_egg_or_dairy
from balancer.engine.service.bottled import Bottled, bottled, bottled_entry, find_bottled_batch, rescue
from balancer.errors import CannotError
from balancer.models.batch import Batch, LogEntry
from balancer.models.drink import Drink
from balancer.units import US_FLUID_OUNCE_ML
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, SOUR, bar, drink, ingredient, syrup

GIN = ingredient("gin", abv="47 %", sugar="0 g/l", allergens=[])
VERMOUTH = ingredient("dry vermouth", abv="18 %", sugar="30 g/l", allergens=["sulphites"], keeps="28 days")
APERITIF = ingredient("red aperitif", abv="11 %", sugar="250 g/l", allergens=[])
WHISKEY = ingredient("strong whiskey", abv="50 %", sugar="0 g/l", allergens=[])
BITTERS = ingredient("bitters", abv="45 %")
SODA = ingredient("soda water", sugar="0 g/l", top="true", allergens=[])
EGG = ingredient("egg white", sugar="7 g/kg", density="1.03 g/ml", allergens=["eggs"], keeps="2 days")
FRESH_LIME = LIME.model_copy(update={"keeps": 1.0})
NIGHT = date(2026, 11, 25)
OZ = US_FLUID_OUNCE_ML
G_PER_ML = {50.0: 1.2296, 54.0: 1.2519}
"""Densities of the standard sucrose tables at 20 °C."""


def shelf(*drinks: Drink, **house: Any) -> Bar:
    entries = (RUM, FRESH_LIME, BERRY, PLAIN, GIN, VERMOUTH, APERITIF, WHISKEY, BITTERS, SODA, EGG)
    return bar(*entries, SOUR, *drinks, **house)


def bottled_up(*pours: str | dict[str, Any], serves: float = 1.0, method: str = "stirred", **keys: Any) -> Bottle:
    made = drink("Any", *pours, method=method, **keys)
    return bottle(shelf(made), made, serves=serves, made=NIGHT)


def batch(brix: float | None, **changes: Any) -> Batch:
    made = Batch(
        id="BER-3", liquid="berry-syrup", state="open", brix=brix, uncertainty=None, cause=None, mass=None,
        made=NIGHT, discard=date(2026, 11, 30), by=None, opened=None, readings=(), verified=True, parts=(),
        acid=None, note=None,
    )  # fmt: skip
    return replace(made, **changes)


def ounces(result: Bottle) -> list[float]:
    return [(line.volume_ml or 0.0) / OZ for line in result.lines]


def test_we_59_equal_volumes_weigh_what_they_weigh() -> None:
    """Half an ounce of a sweet 11 % aperitif and of a 50 % whiskey are about 2 g apart (measured; ±0.7 g)."""
    result = bottled_up("1/2 oz red aperitif", "1/2 oz strong whiskey", dilution="0 %")
    weak, strong = result.lines

    assert weak.volume_ml == pytest.approx(strong.volume_ml)
    assert weak.mass_g - strong.mass_g == pytest.approx(2.0, abs=0.7)


def test_we_61_water_of_a_bottled_drink() -> None:
    """8 + 8 + 8 oz and 6 oz of water make 30: water is 25 % of the mix and 20 % of the finished drink."""
    result = bottled_up("1 oz gin", "2 oz dry vermouth", serves=8, dilution="25 %")

    assert ounces(result) == pytest.approx([8.0, 16.0, 6.0], abs=0.1)
    assert result.whole.volume_ml / OZ == pytest.approx(30.0, abs=0.1)
    assert 100.0 * (result.lines[-1].volume_ml or 0.0) / result.whole.volume_ml == pytest.approx(20.0, abs=0.1)


def test_we_62_water_of_a_bottled_martini() -> None:
    """9 oz gin, 3 oz dry vermouth and 2 oz water make 14: 16.7 % of the mix, 14.3 % of the drink."""
    result = bottled_up("9 oz gin", "3 oz dry vermouth", dilution="16.7 %")

    assert ounces(result)[-1] == pytest.approx(2.0, abs=0.1)
    assert result.whole.volume_ml / OZ == pytest.approx(14.0, abs=0.1)
    assert 100.0 * (result.lines[-1].volume_ml or 0.0) / result.whole.volume_ml == pytest.approx(14.3, abs=0.1)


def test_we_63_scaling_by_parts() -> None:
    """Parts 4:3:3, the first 1 oz, times 10: 10, 7.5 and 7.5 oz."""
    made = drink("Any", "4 parts gin", "3 parts dry vermouth", "3 parts red aperitif", method="x", dilution="0 %")
    result = bottle(shelf(made, part="0.25 oz"), made, serves=10)

    assert ounces(result) == pytest.approx([10.0, 7.5, 7.5], rel=1e-12)


def test_the_water_is_what_the_ice_brings_to_one_serve() -> None:
    result = bottle(shelf(), SOUR, serves=12)
    one = totals(shelf(), SOUR)

    assert result.lines[-1].mass_g == pytest.approx(12.0 * (one.dilution.melt_water_g or 0.0))
    assert one.served is not None
    assert result.serve_ml == pytest.approx(one.served.volume_ml)
    assert result.whole.abv_percent == pytest.approx(one.served.abv_percent)


def test_a_vessel_is_filled_but_for_the_headspace() -> None:
    result = bottle(shelf(), SOUR, vessel_ml=750.0, headspace_percent=3.0)

    assert result.whole.volume_ml == pytest.approx(727.5)
    assert result.serves == pytest.approx(727.5 / result.serve_ml)


def test_serves_ask_for_the_vessel_that_leaves_the_headspace() -> None:
    result = bottle(shelf(), SOUR, serves=6.0, headspace_percent=10.0)

    assert result.vessel_ml * 0.9 == pytest.approx(result.whole.volume_ml)


@given(serves=st.floats(0.1, 500.0))
def test_serves_are_linear_and_no_mass_is_lost(serves: float) -> None:
    one, many = bottle(shelf(), SOUR, serves=1.0), bottle(shelf(), SOUR, serves=serves)

    assert [line.mass_g for line in many.lines] == pytest.approx([serves * line.mass_g for line in one.lines])
    assert sum(line.mass_g for line in many.lines) == pytest.approx(many.mass_g, rel=1e-12)
    assert many.whole.volume_ml == pytest.approx(serves * one.whole.volume_ml)


@given(brix=st.floats(35.0, 65.0))
def test_a_batch_that_is_off_keeps_the_sugar(brix: float) -> None:
    plain, off = bottle(shelf(), SOUR, serves=10.0), bottle(shelf(), SOUR, serves=10.0, batch=batch(brix))

    assert off.whole.sugar_g == pytest.approx(plain.whole.sugar_g, rel=1e-9)


def test_the_pour_of_a_strong_batch_by_hand() -> None:
    """22.5 ml at 50 °Bx hold the sugar of 22.5 × 0.50 × 1.2296 ÷ (0.54 × 1.2519) = 20.46 ml at 54."""
    used = bottle(shelf(), SOUR, serves=4.0, batch=batch(54.0, mass=60.0)).from_batch
    assert used is not None

    by_hand = 22.5 * 0.50 * G_PER_ML[50.0] / (0.54 * G_PER_ML[54.0])
    assert used.exact_ml == pytest.approx(by_hand, abs=0.02)
    assert used.needs_g == pytest.approx(4.0 * by_hand * G_PER_ML[54.0], abs=0.1)
    assert used.enough is False


def test_a_fixed_pour_stays() -> None:
    fixed = drink("Fixed", "60 ml gold rum", {"pour": "22.5 ml", "of": "berry syrup", "fixed": "true"})
    used = bottle(shelf(fixed), fixed, serves=4.0, batch=batch(54.0)).from_batch
    assert used is not None

    assert (used.exact_ml, used.fixed) == (22.5, True)


@pytest.mark.parametrize(
    ("other", "code"),
    [
        (batch(None), "unread"),
        (batch(50.0, liquid="plain-syrup"), "not-poured"),
        (batch(50.0, liquid="lime-juice"), "batch-kind"),
    ],
)
def test_a_batch_that_cannot_go_in(other: Batch, code: str) -> None:
    with pytest.raises(CannotError) as caught:
        bottle(shelf(), SOUR, serves=1.0, batch=other)

    assert caught.value.code == code


@pytest.mark.parametrize(
    "how",
    [
        {},
        {"serves": 2.0, "vessel_ml": 700.0},
        {"serves": 0.0},
        {"serves": float("nan")},
        {"vessel_ml": -1.0},
        {"serves": 1.0, "headspace_percent": 60.0},
    ],
)
def test_amounts_that_cannot_be(how: dict[str, Any]) -> None:
    with pytest.raises(CannotError):
        bottle(shelf(), SOUR, **how)


def test_a_drink_without_a_dilution_is_not_bottled() -> None:
    with pytest.raises(CannotError, match="nothing says how much water"):
        bottled_up("60 ml gin", method="swizzled")


def test_tops_and_rinses_stay_out() -> None:
    result = bottled_up("60 ml gin", "90 ml soda water", "rinse bitters", dilution="20 %")

    assert [line.identity for line in result.lines] == ["gin", "water"]
    assert [(item.identity, item.why) for item in result.left_out] == [("soda-water", "top"), ("bitters", "rinse")]


def test_a_drink_of_tops_alone_has_nothing_to_bottle() -> None:
    with pytest.raises(CannotError, match="nothing that could be bottled"):
        bottled_up("90 ml soda water", dilution="20 %")


def test_dashes_are_flagged() -> None:
    result = bottled_up("60 ml gin", "2 dashes bitters", serves=10.0, dilution="20 %")

    assert [line.is_bitter for line in result.lines] == [False, True, False]
    assert result.lines[1].volume_ml == pytest.approx(16.0)
    assert result.allergens_unknown == ("bitters",)


def test_citrus_is_told_and_the_day_is_that_of_what_keeps_least() -> None:
    """Lime keeps a day: the day of mixing is day 1, and nothing can keep shorter."""
    result = bottled_up("60 ml gin", "20 ml lime juice", "20 ml berry syrup", method="shaken")

    assert result.sour == ("lime juice",)
    assert result.last_day == NIGHT


def test_egg_and_dairy_stay_out_and_the_rest_is_the_drink_without_them() -> None:
    """The bottle and what is added at service make the spec, water and all."""
    pours = ("60 ml gin", "22.5 ml lime juice", "22.5 ml plain syrup")
    without, whole = bottled_up(*pours, dilution="40 %"), bottled_up(*pours, "20 ml egg white", dilution="40 %")

    assert [(item.identity, item.why, str(item.amount)) for item in whole.left_out] == [
        ("egg-white", "egg or dairy", "20 ml")
    ]
    assert whole.perishable == ("egg white",)
    assert (whole.allergens, without.allergens) == ((), ())
    assert [line.identity for line in whole.lines] == [line.identity for line in without.lines]
    assert whole.lines[:3] == without.lines[:3]
    # The ice's water of the whole drink is in: 20 ml of egg white weigh 20.6 g and count as water, 40 % of that more.
    assert whole.lines[3].mass_g - without.lines[3].mass_g == pytest.approx(0.4 * 20.6, abs=0.05)
    assert "raw egg" in whole.cautions


@pytest.mark.parametrize(
    ("keys", "stays_out"),
    [
        ({"kind": "dairy", "allergens": []}, True),
        ({"kind": "egg"}, True),
        ({"kind": "mixer", "allergens": ["milk"]}, True),
        ({"abv": "0 %", "allergens": ["milk"]}, True),
        ({"abv": "0 %", "allergens": ["Eggs"]}, True),
        ({"abv": "0 %", "cautions": ["raw egg"]}, True),
        ({"abv": "17 %", "allergens": ["milk"]}, False),
        ({"kind": "liqueur", "allergens": ["milk"]}, False),
        ({"kind": "liqueur", "abv": "14 %", "allergens": ["eggs"]}, False),
        ({"kind": "spirit", "cautions": ["raw egg"]}, False),
        ({"abv": "0 %", "allergens": ["tree nuts"]}, False),
    ],
)
def test_what_counts_as_egg_or_dairy(keys: dict[str, Any], stays_out: bool) -> None:
    """By its kind, else by what its file names; a cream liqueur keeps by its alcohol."""
    assert is_egg_or_dairy(ingredient("it", sugar="0 g/kg", **keys)) is stays_out


def test_a_cream_liqueur_of_unknown_alcohol_is_in_the_bottle_whose_alcohol_is_then_unknown() -> None:
    cream = ingredient("cream liqueur", kind="liqueur", sugar="150 g/l", density="1.05 g/ml", allergens=["milk"])
    spec = drink("Cream", "40 ml cream liqueur", "20 ml cold tea", dilution="20 %")

    made = bottle(bar(cream, DAYS, spec), spec, serves=6)

    assert (made.left_out, [line.identity for line in made.lines]) == ((), ["cream-liqueur", "cold-tea", "water"])
    assert ("abv", "cream-liqueur") in {(item.what, item.ingredient) for item in made.unknown}
    assert made.allergens == ("milk",)


def test_a_drink_of_egg_alone_has_nothing_to_bottle() -> None:
    with pytest.raises(CannotError, match="nothing that could be bottled"):
        bottled_up("20 ml egg white", dilution="20 %")


DAYS = ingredient("cold tea", sugar="0 g/l", acid="1 g/l", kind="mixer", keeps="3 days")
RICH = syrup("rich syrup", standard="66.7 °Bx", flavour="none", keeps="28 days", storage="20 °C")
WEEK = syrup("week syrup", keeps="7 days")


@pytest.mark.parametrize(
    ("pours", "dilution", "day"),
    [
        # 18 % vol vermouth in 33 % vol: no weaker than what kept it
        (("60 ml gin", "20 ml dry vermouth"), "20 %", date(2026, 12, 22)),
        # in 12 % vol it is weaker
        (("20 ml dry vermouth",), "50 %", None),
        # a rich syrup's days are lost in any drink
        (("60 ml gin", "7.5 ml rich syrup"), "20 %", None),
        # but a juice of one day settles it
        (("60 ml gin", "7.5 ml rich syrup", "20 ml lime juice"), "20 %", NIGHT),
        # a syrup that the cold keeps, in the strength of fortified wine: its own days
        (("60 ml gin", "7.5 ml week syrup"), "20 %", date(2026, 12, 1)),
        # in less it is watered, and nothing keeps it
        (("20 ml gin", "40 ml week syrup"), "40 %", None),
        (("90 ml cold tea", "20 ml week syrup"), "0 %", None),
        # spirits alone have no last day, and no part says one
        (("60 ml gin",), "20 %", None),
    ],
)
def test_the_last_day_is_a_parts_own_only_where_nothing_weaker_results(
    pours: tuple[str, ...], dilution: str, day: date | None
) -> None:
    made = drink("Any", *pours, method="stirred", dilution=dilution)
    entries = (GIN, VERMOUTH, FRESH_LIME, DAYS, RICH, WEEK, made)
    assert bottle(bar(*entries), made, serves=1.0, made=NIGHT).last_day == day


@given(
    keeps=st.lists(st.integers(1, 40), min_size=3, max_size=3),
    spirit_ml=st.floats(5.0, 80.0),
    water=st.floats(0.0, 80.0),
)
def test_no_bottle_outlives_any_of_its_parts(keeps: list[int], spirit_ml: float, water: float) -> None:
    """And below the strength of fortified wine it has a day only where that is the day of mixing."""
    one = ingredient("tea", sugar="0 g/l", keeps=f"{keeps[0]} days")
    other = syrup("other syrup", keeps=f"{keeps[1]} days", standard="66.7 °Bx")
    wine = ingredient("wine", abv="18 %", sugar="30 g/l", acid="5 g/l", keeps=f"{keeps[2]} days")
    made = drink(
        "Any", f"{spirit_ml:.2f} ml gin", "20 ml tea", "10 ml other syrup", "10 ml wine",
        method="stirred", dilution=f"{water:.1f} %",
    )  # fmt: skip
    result = bottle(bar(GIN, one, other, wine, made), made, serves=1.0, made=NIGHT)
    earliest = NIGHT + timedelta(days=min(keeps) - 1)
    assert result.last_day in (None, earliest)
    assert result.last_day in (None, NIGHT)  # the rich syrup


def test_a_batch_too_weak_for_its_own_days_gives_none() -> None:
    weak = batch(45.0, discard=None, at_latest=date(2026, 12, 20))
    made = drink("Any", "60 ml gin", "10 ml berry syrup", method="stirred", dilution="20 %")
    assert bottle(shelf(made), made, serves=1.0, batch=weak, made=NIGHT).last_day is None


def test_the_batch_may_end_before_anything_else() -> None:
    result = bottled_up("60 ml gin", "20 ml dry vermouth", dilution="20 %")
    sooner = bottle(shelf(), SOUR, serves=1.0, batch=batch(50.0, discard=date(2026, 11, 24)), made=NIGHT)

    assert result.last_day == date(2026, 12, 22)
    assert sooner.last_day == date(2026, 11, 24)


@pytest.mark.parametrize(
    ("pours", "dilution", "freezes"),
    [
        (("60 ml gin", "12 ml dry vermouth"), "0 %", "no"),
        (("60 ml gin", "12 ml dry vermouth"), "45 %", "yes"),
        (("60 ml gold rum", "22.5 ml lime juice", "22.5 ml berry syrup"), "50 %", "yes"),
    ],
)
def test_what_freezes_in_the_freezer(pours: tuple[str, ...], dilution: str, freezes: str) -> None:
    """[CRC] 28 % ethanol by mass, 34 % vol, freezes at -18.4 °C: a martini at 42 % vol does not, at 29 it does."""
    assert bottled_up(*pours, dilution=dilution).freezes == freezes


def test_the_cold_of_the_house_is_what_it_is_compared_with() -> None:
    """[CRC] 14 % ethanol by mass freezes at -6.73 °C: no ice at -4 °C, ice at -18."""
    made = drink("Any", "60 ml gin", dilution="180 %", method="stirred")
    assert bottle(shelf(made, storage="-4 °C"), made, serves=1.0).freezes == "no"
    assert bottle(shelf(made), made, serves=1.0).freezes == "yes"


def test_unknown_sugar_may_prevent_the_ice() -> None:
    sweet = ingredient("sweet thing", abv="20 %", allergens=[])
    made = drink("Any", "60 ml sweet thing", "30 ml gin", dilution="60 %", method="stirred")
    result = bottle(bar(sweet, GIN, made), made, serves=1.0)
    assert (result.is_least("sugar"), result.freezes) == (True, "near")


def test_at_the_edge_it_says_so() -> None:
    """27.5 % by mass, 33.4 % vol, freezes at -17.9 °C by [CRC], interpolated; ±0.4 K."""
    result = bottled_up("60 ml gold rum", dilution="19.8 %")

    assert result.whole.abv_percent == pytest.approx(33.4, abs=0.1)
    assert result.freezes == "near"


STAMP = Stamp(datetime(2026, 11, 25, 18, tzinfo=UTC), "Runa")


def log_of(result: Bottle) -> list[LogEntry]:
    made = LogEntry("BER-3", "made", datetime(2026, 11, 24, tzinfo=UTC), liquid="berry-syrup", brix=54.0, mass=2000.0)
    return [made, bottled_entry(result, STAMP)]


def test_the_log_knows_what_went_in() -> None:
    """The entry changes nothing about the batch but what is left of it."""
    result = bottle(shelf(), SOUR, serves=12.0, batch=batch(54.0, mass=2000.0))
    entries = log_of(result)
    (item,) = bottled(entries)
    (now,) = batches(entries)

    assert item == Bottled("BER-3", "test-sour", 12.0, 54.0, STAMP.at)
    assert (now.brix, now.readings, now.verified, now.state) == (54.0, (54.0,), True, "made")
    assert now.mass == pytest.approx(2000.0 - 12 * 20.46 * G_PER_ML[54.0], abs=0.5)
    assert find_bottled_batch([now], item) is now


def test_an_undone_bottle_counts_for_nothing() -> None:
    entries = log_of(bottle(shelf(), SOUR, serves=12.0, batch=batch(54.0)))
    undo = LogEntry("BER-3", "undo", datetime(2026, 11, 25, 19, tzinfo=UTC), refers=(STAMP.at.isoformat(),))

    assert bottled([*entries, undo]) == ()


def later(event: Any, hour: int, brix: float | None = None) -> LogEntry:
    return LogEntry("ber 3", event, datetime(2026, 11, 25, hour, tzinfo=UTC), brix=brix)


def test_what_the_batch_reads_later_is_known_until_it_is_corrected() -> None:
    """A corrected batch is not what went into the bottle any more."""
    entries = log_of(bottle(shelf(), SOUR, serves=12.0, batch=batch(54.0)))
    read = [*entries, later("reading", 19, 57.0)]

    assert bottled(read)[0].found_brix == 57.0
    assert bottled([*read, later("correct", 20, 50.0), later("reading", 21, 50.0)])[0].found_brix == 57.0
    assert bottled([*entries, later("correct", 20, 50.0), later("reading", 21, 50.0)])[0].found_brix is None


def test_without_a_batch_nothing_is_logged() -> None:
    with pytest.raises(CannotError, match="no batch"):
        bottled_entry(bottle(shelf(), SOUR, serves=1.0), STAMP)


def test_a_bottle_within_tolerance_needs_no_rescue() -> None:
    found = rescue(shelf(), SOUR, "berry-syrup", 12.0, 50.0, 51.0)

    assert found.add == ()
    assert found.sugar_percent == pytest.approx(2.0, abs=0.3)


def test_a_bottle_that_is_too_sweet_becomes_more_serves_of_the_same_drink() -> None:
    """Taken at 50 and really 54 °Bx: 8 % more of the syrup's sugar, so 8 % more of all the rest."""
    found = rescue(shelf(), SOUR, "berry-syrup", 12.0, 50.0, 54.0)

    assert found.serves == pytest.approx(12.0 * 1.08)
    assert [line.identity for line in found.add] == ["gold-rum", "lime-juice", "water"]
    assert found.add[0].volume_ml == pytest.approx(0.96 * 60.0)
    assert found.add[1].volume_ml == pytest.approx(0.96 * 22.5)


def test_a_bottle_that_is_not_sweet_enough_gets_more_of_its_syrup() -> None:
    """12 serves at 22.5 ml, taken at 54 and really 50 °Bx: the missing sugar is 4/54 of theirs."""
    found = rescue(shelf(), SOUR, "berry-syrup", 12.0, 54.0, 50.0)
    missing = 12.0 * 22.5 * 0.5 * G_PER_ML[50.0] * 4.0 / 54.0

    assert found.dry_sugar_g == pytest.approx(missing, abs=0.05)
    (line,) = found.add
    assert line.identity == "berry-syrup"
    assert line.mass_g == pytest.approx(missing / 0.5, abs=0.1)


@given(taken=st.floats(40.0, 60.0), brix=st.floats(40.0, 60.0), serves=st.floats(1.0, 100.0))
def test_a_rescued_bottle_has_the_sugar_of_its_serves(taken: float, brix: float, serves: float) -> None:
    """Counted from the bottle as it was mixed and what is added, in grams."""
    house = shelf()
    found = rescue(house, SOUR, "berry-syrup", serves, taken, brix)
    mixed = bottle(house, SOUR, serves=serves, batch=batch(taken))
    syrup_g = next(line.mass_g for line in mixed.lines if line.identity == "berry-syrup")
    lime_g = next(line.mass_g for line in mixed.lines if line.identity == "lime-juice")
    added = {line.identity: line.mass_g for line in found.add}
    sugar_g = (syrup_g + added.get("berry-syrup", 0.0)) * brix / 100.0
    sugar_g += (lime_g + added.get("lime-juice", 0.0)) * 0.0169
    designed = found.serves * totals(house, SOUR).sugar_g

    assert 100.0 * abs(sugar_g / designed - 1.0) <= (0.001 if found.add else 5.0)


def test_a_syrup_that_is_not_in_the_drink_rescues_nothing() -> None:
    with pytest.raises(CannotError):
        rescue(shelf(), SOUR, "plain-syrup", 12.0, 50.0, 54.0)


# Which batches are in it


NUT = syrup("nut syrup", allergens=["tree nuts"], keeps="30 days")


def in_use(identity: str, liquid: str, **changes: Any) -> Batch:
    changes = {"discard": date(2026, 12, 4)} | changes
    return replace(batch(50.0), id=identity, liquid=liquid, **changes)


def test_the_open_batches_date_a_bottle() -> None:
    """A vermouth that keeps 28 days, the day of mixing being day 1: 22 Dec; of the one in use until 4 Dec, 4 Dec."""
    mixed = drink("Strong", "60 ml gin", "30 ml dry vermouth", method="built", dilution="10 %")
    alone = bottle(shelf(mixed), mixed, serves=6.0, made=NIGHT)
    open_now = in_use("VER-1", "dry-vermouth", brix=None)
    beside = bottle(shelf(mixed), mixed, serves=6.0, made=NIGHT, in_use=[open_now])
    assert (alone.last_day, alone.went_in) == (date(2026, 12, 22), ())
    assert (beside.last_day, beside.went_in) == (date(2026, 12, 4), (open_now,))
    assert beside.lines == alone.lines
    undated = bottle(shelf(mixed), mixed, serves=6.0, made=NIGHT, in_use=[replace(open_now, discard=None)])
    assert undated.last_day is None


def test_all_that_are_open_may_go_in_but_of_a_named_ones_syrup() -> None:
    house = bar(RUM, BERRY, NUT, drink("Berry", "60 ml gold rum", "20 ml berry syrup", dilution="40 %"))
    mixed = next(iter(house.specs.drinks.values()))
    open_now = [in_use("BER-2", "berry-syrup"), in_use("BER-3", "berry-syrup"), in_use("NUT-1", "nut-syrup")]
    found = bottle(house, mixed, serves=6.0, made=NIGHT, in_use=open_now)
    assert [each.id for each in found.went_in] == [each.id for each in found.at_standard] == ["BER-2", "BER-3"]
    assert found.either == (tuple(open_now[:2]),)
    named = bottle(house, mixed, serves=6.0, made=NIGHT, batch=open_now[1], in_use=open_now)
    assert [each.id for each in named.went_in] == ["BER-3"]
    assert named.at_standard == ()


def test_two_open_batches_date_a_bottle_by_the_earlier_and_bring_what_both_bring() -> None:
    """BER-2, open first, is good until 4 Dec; BER-3 until 28 Nov, and nut syrup went into it."""
    strong = drink("Berry", "60 ml gold rum", "10 ml dry vermouth", "5 ml berry syrup", dilution="10 %")
    keeping = syrup("berry syrup", standard="66 °Bx", abv="20 %", allergens=[], keeps="30 days")
    house = bar(RUM, VERMOUTH, keeping, NUT, strong)
    first = in_use("BER-2", "berry-syrup", brix=None)
    second = in_use("BER-3", "berry-syrup", brix=None, discard=date(2026, 11, 28), parts=("NUT-1",))
    known = [first, second, in_use("NUT-1", "nut-syrup")]
    alone = bottle(house, strong, serves=6.0, made=NIGHT, in_use=[first], heed=Heed(tuple(known)))
    assert (alone.last_day, alone.allergens) == (date(2026, 12, 4), ("sulphites",))
    for order in ([first, second], [second, first]):
        both = bottle(house, strong, serves=6.0, made=NIGHT, in_use=order, heed=Heed(tuple(known)))
        assert (both.last_day, both.allergens) == (date(2026, 11, 28), ("sulphites", "tree nuts"))
    undated = bottle(house, strong, serves=6.0, made=NIGHT, in_use=[first, replace(second, discard=None)])
    assert undated.last_day is None


def test_egg_among_the_extras_is_cautioned_as_on_the_card() -> None:
    made = drink("Nog", "60 ml gin", "20 ml berry syrup", extras=["1 egg white", "2 mint leaves"])
    house = shelf(made)
    found = bottle(house, made, serves=4.0, made=NIGHT)
    assert found.cautioned == (("1 egg white", "raw egg"),)
    assert [tuple(said) for said in card(house, made).cautions] == [("1 egg white", "raw egg")]
    assert totals(house, made).cautions == (("1 egg white", "1 egg white", "raw egg"),)


def test_what_a_batch_was_combined_from_is_in_the_bottle_too() -> None:
    """A berry syrup into which nut syrup and something unknown went: its tree nuts are in the drink."""
    house = bar(RUM, BERRY, NUT, drink("Berry", "60 ml gold rum", "20 ml berry syrup", dilution="40 %"))
    mixed = next(iter(house.specs.drinks.values()))
    part, other = in_use("NUT-1", "nut-syrup"), in_use("ODD-1", "gone")
    whole = in_use("BER-2", "berry-syrup", parts=("NUT-1", "ODD-1"))
    assert bottle(house, mixed, serves=6.0, made=NIGHT).allergens == ()
    for how in ({"batch": whole}, {"in_use": [whole]}):
        found = bottle(house, mixed, serves=6.0, made=NIGHT, heed=Heed((part, other, whole)), **how)
        assert found.allergens == ("tree nuts",)
        assert found.allergens_unknown == ("gone",)
