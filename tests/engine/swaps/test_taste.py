"""What a guest may notice: sums done by hand, the published figures, and the ranking against its bare definition."""

from __future__ import annotations

import itertools
import re
from typing import TYPE_CHECKING, Literal

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from balancer.components import COMPONENTS
from balancer.engine.drink.totals import contribute, totals
from balancer.engine.swaps.fits import fits
from balancer.engine.swaps.moved import THRESHOLDS, glass_of
from balancer.engine.swaps.swap import swap
from balancer.engine.swaps.taste import DETECTED, SEEN_PERCENT, SHOWN_POINTS, Side, Tasted, Tasting, side_of, taste
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, bar, drink, ingredient, syrup
from tests.examples import examples
from tests.reference.facts import facts

if TYPE_CHECKING:
    from balancer.engine.drink.bar import Bar
    from balancer.models.drink import Drink

FRUCTOSE = syrup("fructose syrup", sugars={"fructose": "100 %"}, flavour="none", allergens=[])
INVERT = syrup("invert syrup", sugars={"fructose": "50 %", "glucose": "50 %"}, flavour="none", allergens=[])
RICH = syrup("rich syrup", standard="66.67 °Bx", flavour="none", allergens=[])
SHARP = syrup("sharp syrup", acid="20 g/kg", flavour="sharp", allergens=[])
WATER = ingredient("water", sugar="0 g/l", allergens=[])
CREAM = ingredient("cream", kind="dairy", sugar="29 g/kg", density="1.01 g/ml", allergens=["milk"])
EGG = ingredient("egg white", kind="egg", sugar="7 g/kg", density="1.03 g/ml", allergens=["eggs"])
PEACH = ingredient("peach purée", sugar="90 g/kg", density="1.04 g/ml", allergens=[])
VAGUE = ingredient("vague juice", kind="juice", sugar="50 g/kg", allergens=[])  # nobody knows its acid
DRY_VAGUE = ingredient("vague cordial", acid="10 g/l", allergens=[])  # nor the sugar of this
SHELF = (RUM, LIME, PLAIN, BERRY, FRUCTOSE, INVERT, RICH, SHARP, WATER, CREAM, EGG, PEACH, VAGUE, DRY_VAGUE)


def side(spec: Drink, house: Bar | None = None) -> Side:
    used = house or bar(*SHELF)
    parts = contribute(used, spec, {}, {})
    return Side(used, spec, glass_of(spec, parts), parts)


def spec(*pours: str, method: str = "stirred", dilution: str = "40 %") -> Drink:
    return drink("Test", *pours, method=method, dilution=dilution)


def between(old: Drink, new: Drink) -> Tasting:
    return taste(side(old), side(new))


def only(found: Tasting, quantity: str) -> Tasted:
    (item,) = [item for item in found.first if item.quantity == quantity]
    return item


@pytest.mark.parametrize("quantity", ["sugar", "acid"])
def test_what_is_found_where_there_was_none_is_a_row_of_the_facts(quantity: Literal["sugar", "acid"]) -> None:
    """Alone in a column of its own, beside acid or sugar in the note."""
    found = DETECTED[quantity]
    (row,) = [row for row in facts("difference_thresholds") if row["row"] == found.row]

    assert row["source"].startswith(found.source)
    assert (row["absolute_unit"], float(row["absolute"])) == ("% w/v", found.low)
    beside = re.match(r"([0-9.]+) with ", row["note"])
    assert beside is not None
    assert float(beside[1]) == found.high


def test_a_drink_is_no_other_than_itself() -> None:
    found = between(spec("60 ml gold rum", "10 ml fructose syrup"), spec("60 ml gold rum", "10 ml fructose syrup"))

    assert (found.first, found.untold, found.dilution_unknown) == ((), (), False)


def test_fructose_for_sucrose_is_sweeter_by_the_published_range() -> None:
    """As much of it: 1.14 to 1.80 times as sweet. Both ends are sweeter, so the sources agree on what to taste."""
    found = only(
        between(spec("60 ml gold rum", "10 ml plain syrup"), spec("60 ml gold rum", "10 ml fructose syrup")),
        "sweetness",
    )

    assert (found.low, found.high) == pytest.approx((14.0, 80.0), abs=0.5)  # a ml of both weighs nearly the same
    assert found.change == pytest.approx(47.0, abs=0.5)
    assert found.subject is not None
    assert (found.subject.id, found.why) == ("fructose-syrup", "comes")
    assert found.words == "likely noticed by most guests"
    assert not found.disagree
    assert found.times == pytest.approx(80.0 / ((4.20 + 8.14) / 2), abs=0.1)


def test_sources_disagree_only_where_it_changes_what_to_taste() -> None:
    """Invert sugar is 0.915 to 1.30 times as sweet as sucrose, so less sweet or far sweeter."""
    found = only(
        between(spec("60 ml gold rum", "10 ml plain syrup"), spec("60 ml gold rum", "10 ml invert syrup")), "sweetness"
    )

    assert (found.low, found.high) == pytest.approx((-8.5, 30.0), abs=0.5)
    assert found.disagree


def test_a_range_below_five_points_is_one_figure() -> None:
    """A ml of forty from plain to fructose, and two more: 39 + 3 x 1.14 and 39 + 3 x 1.80 of 40, in 102 ml for 100."""
    old = spec("60 ml gold rum", "40 ml plain syrup")
    item = only(between(old, spec("60 ml gold rum", "39 ml plain syrup", "3 ml fructose syrup")), "sweetness")

    assert not item.is_range
    assert item.low == item.high == item.change
    assert item.change == pytest.approx(100.0 * ((42.42 + 44.40) / 2 / 40.0 / 1.02 - 1.0), abs=0.3)


def test_more_of_the_same_sugar_is_said_as_sugar() -> None:
    """20 to 30 ml at 0.6148 g/ml in 90 and then 100 ml before ice: half as much again, in 10/9 of the volume: +35 %."""
    found = between(spec("70 ml gold rum", "20 ml plain syrup"), spec("70 ml gold rum", "30 ml plain syrup"))

    item = only(found, "sugar")
    assert item.change == pytest.approx(100.0 * (1.5 * 0.9 - 1.0), abs=0.6)
    assert item.subject is not None
    assert (item.subject.id, item.why) == ("plain-syrup", "more")
    assert not any(each.quantity == "sweetness" for each in found.first)


def test_water_thins_everything_and_is_named_by_no_pour() -> None:
    """20 ml of water to 100 ml before ice: all is a sixth less in 100 ml, and the drink is a fifth larger."""
    old = spec("60 ml gold rum", "20 ml lime juice", "20 ml plain syrup", method="shaken")
    new = spec("60 ml gold rum", "20 ml lime juice", "20 ml plain syrup", "20 ml water", method="shaken")
    found = between(old, new)

    # 16.7 % over 6.17 % and over 13.7 %, and 2.9 % vol over 1.1 % vol, against 24 ml of alcohol in 140 ml.
    assert [item.quantity for item in found.first] == ["sugar", "abv", "acid", "volume"]
    assert [item.subject for item in found.first] == [None] * 4
    assert only(found, "sugar").change == pytest.approx(-16.7, abs=0.4)
    assert only(found, "volume").change == pytest.approx(20.0, abs=0.4)


def test_acid_that_goes_with_a_syrup_and_no_sour_pour_is_moved() -> None:
    old = spec("60 ml gold rum", "20 ml lime juice", "20 ml sharp syrup", method="shaken")
    new = spec("60 ml gold rum", "20 ml lime juice", "20 ml plain syrup", method="shaken")
    item = only(between(old, new), "acid")

    # Lime 20 x 0.046 = 0.92 g; the syrup 20 x 1.23 x 0.020 = 0.49 g of it all.
    assert item.change == pytest.approx(-100.0 * 0.492 / 1.412, abs=0.5)
    assert item.subject is not None
    assert (item.subject.id, item.why, item.sour_stays) == ("sharp-syrup", "goes", True)

    without = spec("60 ml gold rum", "20 ml plain syrup", method="shaken")
    item = only(between(spec("60 ml gold rum", "20 ml sharp syrup", method="shaken"), without), "acid")
    assert item.change == pytest.approx(-100.0)
    assert not item.sour_stays

    more_lime = spec("60 ml gold rum", "25 ml lime juice", "20 ml plain syrup", method="shaken")
    assert not any(item.sour_stays for item in between(old, more_lime).first)


def test_of_two_that_change_places_the_one_that_comes_is_named() -> None:
    """Twice as strong in its place: the pour that can be chosen is the new one's."""
    item = only(
        between(spec("60 ml gold rum", "20 ml rich syrup"), spec("60 ml gold rum", "20 ml plain syrup")), "sugar"
    )

    assert item.subject is not None
    assert (item.subject.id, item.why) == ("plain-syrup", "comes")
    assert (item.change or 0.0) < 0.0


def test_acid_where_there_was_none_is_set_over_what_is_found_in_water() -> None:
    """10 ml of a syrup of 20 g/kg at 1.23 g/ml in 70 ml and 40 % water: 0.246 g in 98 ml, over 0.0070."""
    found = between(spec("60 ml gold rum", "10 ml plain syrup"), spec("60 ml gold rum", "10 ml sharp syrup"))
    item = only(found, "acid")

    assert (item.unit, item.was_none) == ("g/100 ml", True)
    assert item.change == pytest.approx(0.246 / 0.98, rel=0.02)
    assert item.times == pytest.approx(item.change / ((0.0057 + 0.0082) / 2)) if item.change else False
    assert item.words == "likely noticed by most guests"
    assert found.first[0] is item


@pytest.mark.parametrize(
    ("method", "old", "new", "expected"),
    [
        ("shaken", "10 ml water", "10 ml egg white", [("egg-white", "comes")]),
        ("shaken", "10 ml egg white", "10 ml water", [("egg-white", "goes")]),
        ("shaken", "10 ml egg white", "10 ml cream", [("egg-white", "goes"), ("cream", "comes")]),
        ("stirred", "10 ml water", "10 ml peach purée", [("peach-puree", "comes")]),
        ("shaken", "10 ml water", "10 ml peach purée", []),  # it is cloudy already
        ("stirred", "10 ml lime juice", "10 ml peach purée", []),
        ("stirred", "10 ml cream", "10 ml peach purée", [("cream", "goes")]),
        ("shaken", "10 ml plain syrup", "7 ml rich syrup", []),
    ],
)
def test_what_is_felt_comes_before_what_is_measured(
    method: str, old: str, new: str, expected: list[tuple[str, str]]
) -> None:
    found = between(spec("60 ml gold rum", old, method=method), spec("60 ml gold rum", new, method=method))

    assert [(item.subject and item.subject.id, item.why) for item in found.first[: len(expected)]] == expected
    assert [item.quantity for item in found.first].count("texture") == len(expected)


def test_flavours_that_come_and_go_are_said_last_and_plain_is_none() -> None:
    found = between(spec("60 ml gold rum", "20 ml sharp syrup"), spec("60 ml gold rum", "20 ml berry syrup"))
    flavours = [(item.subject and item.subject.id, item.why) for item in found.first if item.quantity == "flavour"]
    assert flavours == [("sharp-syrup", "goes"), ("berry-syrup", "comes")]
    assert [item.quantity for item in found.first[-2:]] == ["flavour", "flavour"]

    assert (
        between(
            spec("60 ml gold rum", "20 ml plain syrup"), spec("60 ml gold rum", "13.9 ml rich syrup", "6.1 ml water")
        ).first
        == ()
    )


def test_without_a_known_dilution_nothing_is_told_of_100_ml() -> None:
    old = drink("Odd", "60 ml gold rum", "20 ml plain syrup", method="thrown")
    new = drink("Odd", "60 ml gold rum", "60 ml sharp syrup", method="thrown")
    found = between(old, new)

    assert found.dilution_unknown
    assert found.untold == ("sugar", "acid", "abv")
    assert [item.quantity for item in found.first] == ["flavour"]


def test_a_pour_of_unknown_acid_that_changes_leaves_the_acid_untold() -> None:
    old = spec("60 ml gold rum", "20 ml vague juice", "20 ml plain syrup", method="shaken")
    new = spec("60 ml gold rum", "30 ml vague juice", "20 ml plain syrup", method="shaken")

    assert between(old, new).untold == ("acid",)
    assert between(old, old).untold == ()


@pytest.mark.parametrize("what", ["sugar", "acid"])
@given(
    unknown_ml=st.floats(5.0, 40.0), before=st.floats(5.0, 30.0), more=st.floats(-0.08, 0.08), water=st.floats(0.0, 6.0)
)
@settings(max_examples=examples(40), deadline=None)
def test_what_is_told_all_the_same_is_not_noticed_whatever_the_unknown_holds(
    what: Literal["sugar", "acid"], unknown_ml: float, before: float, more: float, water: float
) -> None:
    """Against every content of it from nothing to 100 g/l."""
    name = {"sugar": "vague cordial", "acid": "vague juice"}[what]
    known = {"sugar": "plain syrup", "acid": "lime juice"}[what]
    old = spec("60 ml gold rum", f"{unknown_ml} ml {name}", f"{before} ml {known}")
    new = spec(
        "60 ml gold rum", f"{unknown_ml} ml {name}", f"{before * (1.0 + more)} ml {known}", f"{water + 0.01} ml water"
    )
    assume(what not in between(old, new).untold)

    for content in range(0, 101, 20):
        keys = {"sugar": f"{content} g/l", "acid": "10 g/l"}
        if what == "acid":
            keys = {"kind": "juice", "sugar": "50 g/kg", "acid": f"{content} g/l"}
        told = ingredient(name, **keys, allergens=[])
        house = bar(*[each for each in SHELF if each.id != told.id], told)
        sensed = [
            item for item in taste(side(old, house), side(new, house)).first if item.quantity in (what, "sweetness")
        ]
        # What it holds takes up some room too, and so moves the volume by less than a tenth of a point.
        assert all(abs(item.change or 0.0) < 5.1 for item in sensed)


def test_an_unknown_that_stays_hides_only_what_could_be_noticed() -> None:
    """What is known of the acid gains 2 %, and 20 %: with whatever is not, that is below 5 %, and may be above."""
    old = spec("60 ml gold rum", "20 ml vague juice", "20 ml lime juice")

    assert between(old, spec("60 ml gold rum", "20 ml vague juice", "20.4 ml lime juice")).untold == ()
    assert between(old, spec("60 ml gold rum", "20 ml vague juice", "24 ml lime juice")).untold == ("acid",)


POURS = ("gold rum", "lime juice", "plain syrup", "fructose syrup", "invert syrup", "sharp syrup", "water")


@st.composite
def specs(draw: st.DrawFn) -> Drink:
    amounts = {name: draw(st.one_of(st.just(0.0), st.floats(1.0, 60.0))) for name in POURS}
    pours = [f"{ml:.2f} ml {name}" for name, ml in amounts.items() if ml]
    assume(pours)
    return spec(*pours, dilution=f"{draw(st.integers(10, 60))} %")


def published(row: str) -> float:
    (found,) = [each for each in facts("difference_thresholds") if each["row"] == row]
    if found["low_percent"]:
        return (float(found["low_percent"]) + float(found["high_percent"])) / 2
    mouth = re.search(r"([0-9.]+)-([0-9.]+) in mouth", found["absolute"])
    if mouth:
        return (float(mouth[1]) + float(mouth[2])) / 2
    beside = re.match(r"([0-9.]+) with ", found["note"])
    assert beside is not None
    return (float(found["absolute"]) + float(beside[1])) / 2


def brute(old: Side, new: Side) -> list[tuple[str, float]]:
    """The ranking as its docstring has it, in its own way: quantities and how many times the published change.

    Noticed is from 5 % on, for alcohol from 1 % vol: the bands of `noticed`.
    """
    before, after = old.glass.served, new.glass.served
    assert before is not None
    assert after is not None
    found = []
    kinds = {"sugar": ("sugar", "solids"), "acid": ("acid",)}

    def weighed(grams: tuple[float, ...], kind: str, factors: list[float]) -> float:
        rows = [(mass, factor, row) for mass, factor, row in zip(grams, factors, COMPONENTS, strict=True)]
        return sum(mass * factor for mass, factor, row in rows if row.kind in kinds[kind])

    plain = [1.0 if row.kind == "sugar" else 0.0 for row in COMPONENTS]
    sugars = (weighed(each.grams, "sugar", plain) / each.volume_ml for each in (before, after))
    was, now = sugars
    if was > 1e-12:
        sweet = []
        for ends in _corners():
            factors = [row.sweetness[end] for row, end in zip(COMPONENTS, ends, strict=True)]
            one = weighed(before.grams, "sugar", factors) / before.volume_ml
            two = weighed(after.grams, "sugar", factors) / after.volume_ml
            sweet.append(100.0 * (two / one - 1.0))
        low, high, amount = min(sweet), max(sweet), 100.0 * (now / was - 1.0)
        if high - low >= SHOWN_POINTS:
            found.append(("sweetness", max(abs(low), abs(high)), published("nectar_jnd"), 5.0))
        elif abs((low + high) / 2 - amount) < SHOWN_POINTS / 2:
            found.append(("sugar", abs(amount), published("nectar_jnd"), 5.0))
        else:
            found.append(("sweetness", abs(low + high) / 2, published("nectar_jnd"), 5.0))
    elif now:
        found.append(("sugar", 100.0 * now, published("suc_detect_npj"), 0.424))
    citric = [row.as_citric for row in COMPONENTS]
    was, now = (weighed(each.grams, "acid", citric) / each.volume_ml for each in (before, after))
    if was > 1e-12:
        found.append(("acid", abs(100.0 * (now / was - 1.0)), published("cit_suc_npj"), 5.0))
    elif now:
        found.append(("acid", 100.0 * now, published("cit_detect_npj"), 0.0057))
    found.append(("abv", abs(after.abv_percent - before.abv_percent), published("etoh_wine_white"), 1.0))
    ranked = [(name, change / middle) for name, change, middle, least in found if change >= least]
    return sorted(ranked, key=lambda item: -item[1])


def _corners() -> list[tuple[int, ...]]:
    """Every combination of the ends of the sugars that these drinks hold; the ends of all others do not count."""
    moving = [at for at, row in enumerate(COMPONENTS) if row.name in ("glucose", "fructose")]
    found = []
    for ends in itertools.product((0, 2), repeat=len(moving)):
        corner = [0] * len(COMPONENTS)
        for at, end in zip(moving, ends, strict=True):
            corner[at] = end
        found.append(tuple(corner))
    return found


@given(specs(), specs())
@settings(max_examples=examples(150), deadline=None)
def test_the_ranking_is_that_of_its_definition(old: Drink, new: Drink) -> None:
    one, two = side(old), side(new)
    found = taste(one, two)
    wanted = brute(one, two)

    measured = [(item.quantity, item.times) for item in found.first if item.times is not None]
    assert [name for name, _ in measured] == [name for name, _ in wanted]
    assert [times for _, times in measured] == pytest.approx([times for _, times in wanted], rel=1e-6)
    sizes = [item.change for item in found.first if item.quantity == "volume"]
    before, after = one.glass.served, two.glass.served
    assert before is not None
    assert after is not None
    change = 100.0 * (after.volume_ml / before.volume_ml - 1.0)
    assert sizes == ([pytest.approx(change)] if abs(change) >= SEEN_PERCENT else [])


@given(specs(), specs())
@settings(max_examples=examples(80), deadline=None)
def test_what_is_said_of_a_range_always_holds(old: Drink, new: Drink) -> None:
    for item in between(old, new).first:
        if item.quantity == "sweetness":
            assert item.low is not None
            assert item.high is not None
            assert item.is_range == (item.low != item.high)
            assert not item.is_range or item.high - item.low >= SHOWN_POINTS
            noticed = [0 if abs(end) < 5.0 else 1 if end > 0 else -1 for end in (item.low, item.high)]
            assert item.disagree == (noticed[0] != noticed[1])
        else:
            assert not item.is_range
            assert not item.disagree


@given(specs(), specs())
@settings(max_examples=examples(40), deadline=None)
def test_the_order_of_the_pours_changes_nothing(old: Drink, new: Drink) -> None:
    turned = [each.model_copy(update={"pours": tuple(reversed(each.pours))}) for each in (old, new)]
    first, second = between(old, new).first, between(*turned).first

    assert [(item.quantity, item.why, item.subject and item.subject.id) for item in first if item.times] == [
        (item.quantity, item.why, item.subject and item.subject.id) for item in second if item.times
    ]


def test_a_drink_worked_out_already_is_a_side_too() -> None:
    old, new = (
        drink("Old", "60 ml gold rum", "20 ml plain syrup", dilution="40 %"),
        drink("New", "60 ml gold rum", "30 ml plain syrup", dilution="40 %"),
    )
    house = bar(*SHELF, old, new)
    found = taste(side_of(house, totals(house, old)), side_of(house, totals(house, new)))

    assert found == taste(side(old, house), side(new, house))
    assert found.says("sugar")
    assert not found.says("acid", "texture")


def test_a_swap_tells_what_its_poured_drink_tastes_of() -> None:
    """The two drinks worked out from their specs say the same."""
    old = spec("60 ml gold rum", "22.5 ml lime juice", "22.5 ml berry syrup", method="shaken")
    house = bar(*SHELF, old)
    found = swap(house, old, "berry-syrup", "sharp-syrup")
    poured = found.new_pour.poured.value
    new = spec("60 ml gold rum", "22.5 ml lime juice", f"{poured} ml sharp syrup", method="shaken")

    assert found.taste == taste(side(old, house), side(new, house))
    assert found.taste.first[0].quantity == "acid"


def test_a_fit_tells_what_its_exact_pour_tastes_of() -> None:
    old = spec("60 ml gold rum", "22.5 ml lime juice", "22.5 ml berry syrup", method="shaken")
    house = bar(*SHELF, old)
    (found,) = fits(house, old, "berry-syrup", ["sharp-syrup"]).fits
    new = spec("60 ml gold rum", "22.5 ml lime juice", "22.5 ml sharp syrup", method="shaken")
    wanted = taste(side(old, house), side(new, house)).first

    # The acid in it takes up a little room, so that its exact pour is not quite 22.5 ml.
    assert [item.quantity for item in found.taste.first] == [item.quantity for item in wanted]
    assert found.taste.first[0].change == pytest.approx(wanted[0].change, rel=0.03)


def test_sweetness_is_set_over_the_change_of_added_sugar() -> None:
    assert THRESHOLDS["sugar"].middle == pytest.approx((4.20 + 8.14) / 2)
