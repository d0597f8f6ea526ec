"""Drinks that are written for another strength than the syrup's standard: one bottle, and every pour from it right.

By the printed densities 50 °Bx holds 0.50 × 1.2296 = 0.6148 g sugar in a ml, 54 °Bx 0.54 × 1.2519 = 0.6760. The berry
syrup is made to 54 now. Old Sour is written for 50: its 22.5 ml are 13.83 g, at 54 °Bx 20.46 ml, which the jigger
pours as 20: 13.52 g, −2.3 %; as written they would be 15.21 g, +10.0 %. New Sour is written for 54: its 22.5 ml are
15.21 g, at 50 °Bx 24.74 ml, poured as 25. Neither holds any other sugar.
"""

from __future__ import annotations

from typing import Any

import pytest

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.card import card
from balancer.engine.drink.totals import totals
from balancer.engine.prep.tub import Tub, correct
from balancer.engine.service.bottle import bottle
from balancer.engine.service.bottled import rescue
from balancer.engine.service.labels import labels
from balancer.engine.service.lines import corrected_lines, gains_by_correction, lines_of
from balancer.engine.service.menu import Menu
from balancer.engine.service.rescale import Conversion, DrinkRow, Rescale, rescale
from balancer.engine.service.strips import strips
from balancer.engine.service.tonight import all_as_written, tonight
from balancer.models.drink import Drink
from balancer.output.paper.labels import batch_label
from balancer.output.paper.language import words_of
from balancer.output.paper.strips import paper_of, strips_page
from balancer.output.screen.rescale import rescale_text
from balancer.output.screen.tonight import tonight_line, tonight_text
from balancer.units import Quantity
from tests.engine.builders import RUM, bar, drink, syrup
from tests.engine.service.test_tonight import NIGHT, batch, sugar_g

BERRY = syrup("berry syrup", standard="54 °Bx", allergens=[])
OLD = drink("Old Sour", "60 ml gold rum", "22.5 ml berry syrup", dilution="45 %", written_for={"berry-syrup": "50 °Bx"})
NEW = drink("New Sour", "60 ml gold rum", "22.5 ml berry syrup", dilution="45 %")
LONG = drink("Old Long", "45 ml gold rum", "30 ml berry syrup", dilution="45 %", written_for={"berry-syrup": "50 °Bx"})
HOUSE = bar(RUM, BERRY, OLD, NEW, LONG)


def line(written: float, poured: float) -> Conversion:
    return Conversion(Amount(written), Amount(poured))


def rows(result: Rescale) -> dict[str, DrinkRow]:
    return {row.drink.name: row for row in result.rows}


def ml(result: Rescale) -> dict[str, float]:
    """What every drink pours."""
    return {name: row.poured.value for name, row in rows(result).items()}


def test_a_bottle_at_the_new_standard() -> None:
    """The drink written for it pours as written, the other one less; 30 ml of 50 are 27.28 of 54."""
    result = rescale(HOUSE, "berry-syrup", 54.0)
    old, new = rows(result)["Old Sour"], rows(result)["New Sour"]
    assert (old.verdict, old.poured, new.verdict) == ("new pour", Amount(20.0), "as written")
    assert old.exact.value == pytest.approx(22.5 * sugar_g(50) / sugar_g(54), rel=1e-4)
    assert old.as_written_percent == pytest.approx(100.0 * (sugar_g(54) / sugar_g(50) - 1.0), abs=0.02)
    assert old.after_percent == pytest.approx(100.0 * (20.0 * sugar_g(54) / 22.5 / sugar_g(50) - 1.0), abs=0.02)
    assert (old.written_brix, old.is_apart, new.written_brix, new.is_apart) == (50.0, True, 54.0, False)
    assert result.advice == ("change pours", "2 drinks are off, and there is a pour for each")


@pytest.mark.parametrize(
    ("brix", "old", "new", "long"),
    [(50.0, 22.5, 25.0, 30.0), (54.0, 20.0, 22.5, 27.5), (46.0, 25.0, 27.5, 32.5), (60.0, 17.5, 20.0, 25.0)],
)
def test_each_pours_for_its_own_sugar(brix: float, old: float, new: float, long: float) -> None:
    """22.5 ml of 54 °Bx (15.21 g) are 24.74 ml of 50 and 27.37 of 46 (0.5556 g/ml), of 50 (13.83 g) 24.90 of 46.

    30 ml of 50 (18.44 g) are 33.19 of 46. Of 60 °Bx (0.7719 g/ml) the three are 17.92, 19.70 and 23.89 ml.
    """
    found = ml(rescale(HOUSE, "berry-syrup", brix))
    assert (found["Old Sour"], found["New Sour"], found["Old Long"]) == (old, new, long)


def test_the_line_on_the_bottle_is_true_for_every_drink_that_it_covers() -> None:
    """22.5 ml is the standard's, and stays at 54: the drink written for 50 is named. 30 ml is only poured for 50."""
    lines = lines_of(rescale(HOUSE, "berry-syrup", 54.0))
    assert lines.conversions == (line(30.0, 27.5),)
    assert [(own.drink.name, own.written.value, own.poured.value) for own in lines.own_pours] == [
        ("Old Sour", 22.5, 20.0)
    ]
    at_50 = lines_of(rescale(HOUSE, "berry-syrup", 50.0))
    assert at_50.conversions == (line(22.5, 25.0),)
    assert [(own.drink.name, own.moves) for own in at_50.own_pours] == [("Old Sour", False)]


def test_without_a_drink_of_the_standard_the_line_is_of_the_closest() -> None:
    """45 ml for 50 and for 48 in a house of 54: at 54 40.92 and 39.05 ml. The line is that of 50."""
    far = drink("Far", "45 ml berry syrup", written_for={"berry-syrup": "48 °Bx"})
    near = drink("Near", "45 ml berry syrup", written_for={"berry-syrup": "50 °Bx"})
    lines = lines_of(rescale(bar(BERRY, far, near), "berry-syrup", 54.0))
    assert lines.conversions == (line(45.0, 40.0),)
    assert lines.own_pours == ()  # 39.05 is poured as 40 as well
    finer = lines_of(rescale(bar(BERRY, far, near, jigger_step="1 ml"), "berry-syrup", 54.0))
    assert finer.conversions == (line(45.0, 41.0),)
    assert [(own.drink.name, own.poured.value) for own in finer.own_pours] == [("Far", 39.0)]


def test_strips_labels_and_tonight_name_it() -> None:
    open_one = batch("BER-3", "berry-syrup", 54.0)
    night = tonight(HOUSE, [open_one], NIGHT)
    (strip,) = strips(HOUSE, night, [open_one]).strips
    (label,) = labels(HOUSE, night, [open_one], [open_one]).labels
    for lines in (strip.lines, label.lines):
        assert lines == lines_of(night.batches[0].rescale)
        assert [own.drink.name for own in lines.own_pours] == ["Old Sour"]
    said = batch_label(label, NIGHT, HOUSE.specs, words_of("en"))
    assert said.big == ("reads", "54 °Bx")
    assert said.facts[0] == ("spec", "54 °Bx, drinks written for 50")
    (item,) = strips_page([strip], NIGHT, HOUSE.specs, paper_of("a4"), None, words_of("en"))["items"]
    assert "drinks written for 50\u00a0°Bx" in item["notes"]
    text = " ".join(tonight_text(night, HOUSE.specs, everything=True).split())
    assert "BER-3 berry syrup, 54 °Bx, spec 54, drinks written for 50: 30 → 27.5 ml; Old Sour 22.5 → 20 ml" in text
    assert "BER-3 Old Sour 22.5 → 20 ml sugar −2 % (was +10 %); written for 50 °Bx" in text
    assert night.as_written == (NEW,)


def test_a_syrup_that_nobody_read_is_at_its_standard() -> None:
    """No bottle is open: what is there is taken to be at 54, so the drinks written for 50 pour less, and it is said."""
    night = tonight(HOUSE, [], NIGHT)
    (assumed,) = night.assumed
    assert ml(assumed) == {"Old Sour": 20.0, "New Sour": 22.5, "Old Long": 27.5}
    assert set(night.moved) == {"old-sour", "old-long"}
    assert tonight_line(night) == "tonight 25 Nov: berry syrup changes 2 drinks"
    text = " ".join(tonight_text(night, HOUSE.specs).split())
    assert (
        "berry syrup, not read, assumed at standard 54, drinks written for 50: 30 → 27.5 ml; Old Sour 22.5 → 20 ml"
        in text
    )


def test_a_house_without_such_drinks_assumes_nothing() -> None:
    night = tonight(bar(RUM, BERRY, NEW), [], NIGHT)
    assert (night.assumed, night.standard) == ((), ("berry-syrup",))
    assert tonight_line(night).endswith("no open batch has a strength in the log; every drink as written")


def test_a_bottle_that_is_to_be_read_again_stands_for_itself() -> None:
    """Its own row says that nobody pours by it; no second one says what it would be at standard."""
    night = tonight(HOUSE, [batch("BER-3", "berry-syrup", 70.0)], NIGHT)
    assert night.batches[0].rescale.advice.word == "read again"
    assert night.assumed == ()


def test_beside_another_syrup_that_is_read() -> None:
    """15 ml of 50 in a house of 54 beside 20 ml of a syrup at 46 for 50.

    As designed 0.6148 × 35 = 21.52 g; as written 15 × 0.6760 + 20 × 0.46 × 1.2079 = 21.25 g: 1.2 % less, as written.
    At 54 as well the other brings 13.52: 23.66 g, +10.0 %: each takes its own line, 13.64 → 12.5 and 18.19 → 17.5,
    20.28 g, −5.8 %, which is not within 5 % but, being more than half of 10.0, not enough either: searched.
    """
    plum = syrup("plum syrup", allergens=[])
    both = drink(
        "Both", "60 ml gold rum", "15 ml berry syrup", "20 ml plum syrup", written_for={"berry-syrup": "50 °Bx"}
    )
    house = bar(RUM, BERRY, plum, both)
    weak = Menu(house, {"plum-syrup": 46.0}).decide(both)
    assert weak.decision.way == "as written"
    assert weak.decision.as_written_percent == pytest.approx(-1.2, abs=0.1)
    strong = Menu(house, {"plum-syrup": 54.0}).decide(both)
    assert strong.decision.as_written_percent == pytest.approx(10.0, abs=0.1)
    assert strong.decision.way == "searched"
    result = rescale(house, "plum-syrup", 54.0)
    assert [liquid.name for liquid in result.assumed] == ["berry syrup"]
    assert result.beside == ()
    assert "not read, assumed at standard: berry syrup" in " ".join(rescale_text(result, house.specs.house).split())


def stuck() -> Bar:
    """3 % pass: at 52 °Bx (0.6452 g/ml) the 22.5 ml for 50 are +4.9 %, 20 ml −6.7 %: no pour is right."""
    berry = syrup("berry syrup", standard="52 °Bx", allergens=[])
    return bar(RUM, berry, OLD, NEW, tolerance="3 %")


def test_a_batch_at_standard_is_not_corrected_for_a_drink_of_another_strength() -> None:
    result = rescale(stuck(), "berry-syrup", 52.0)
    assert rows(result)["Old Sour"].verdict == "out of reach"
    said = "no pour is right for Old Sour, written for another strength than its standard"
    assert result.advice == ("as written", said)
    text = rescale_text(result, stuck().specs.house)
    assert text.splitlines()[0] == "no pour is right for Old Sour: berry syrup"
    assert "no jigger pour works: sugar +5 %; written for 50 °Bx" in text


def test_what_correcting_does_help_is_corrected() -> None:
    """At 50.2 °Bx (0.6178 g/ml) New Sour is 4.2 % short, and 25 ml would be 6.4 % too much; at 52 it is right."""
    result = rescale(stuck(), "berry-syrup", 50.2)
    assert {name: row.verdict for name, row in rows(result).items()} == {
        "Old Sour": "as written",
        "New Sour": "out of reach",
    }
    assert result.advice == ("correct the batch", "no pour is right for New Sour")


def test_such_a_bottle_has_a_strip_and_tonight_says_so_first() -> None:
    house, open_one = stuck(), batch("BER-3", "berry-syrup", 52.0)
    night = tonight(house, [open_one], NIGHT)
    assert list(night.unhelped) == ["old-sour"]
    assert tonight_line(night) == "tonight 25 Nov: no pour is right for Old Sour"
    (strip,) = strips(house, night, [open_one]).strips
    assert (strip.until, [drink.name for drink in strip.lines.unreached]) == ("empty", ["Old Sour"])
    nobody = tonight(house, [], NIGHT)
    assert tonight_line(nobody) == "tonight 25 Nov: no pour is right for Old Sour"
    assert not all_as_written(house, open_one, [open_one], NIGHT)


def test_a_batch_that_waits_is_not_corrected_for_it_either() -> None:
    """At its standard, not yet open: the label carries the pours."""
    waits = batch("BER-4", "berry-syrup", 54.0, state="made")
    (label,) = labels(HOUSE, tonight(HOUSE, [], NIGHT), [waits], [waits]).labels
    assert label.advice == "change pours"
    assert label.lines.conversions == (line(30.0, 27.5),)


def test_a_corrected_batch_still_pours_otherwise_for_it() -> None:
    result = correct(HOUSE, Tub(58.0, mass_g=1000.0, syrup_id="berry-syrup"), 54.0)
    assert result.after.conversions == (line(30.0, 27.5),)
    assert [own.drink.name for own in result.after.own_pours] == ["Old Sour"]


def test_totals_are_the_drink_as_designed() -> None:
    """Whatever the standard is, and the card says for what it is written."""
    old, new = totals(HOUSE, OLD), totals(HOUSE, NEW)
    assert old.sugar_g == pytest.approx(22.5 * sugar_g(50), rel=1e-4)
    assert new.sugar_g == pytest.approx(22.5 * sugar_g(54), rel=1e-4)
    assert [(each.syrup.id, each.brix, each.standard_brix) for each in old.written_for] == [("berry-syrup", 50.0, 54.0)]
    assert new.written_for == ()
    assert [(each.standard_brix, each.written_brix) for each in card(HOUSE, OLD).pours] == [(None, None), (54.0, 50.0)]


def same_as_ever(one: Drink, **keys: Any) -> tuple[Bar, Drink]:
    """The same drink in a house whose standard is still 50."""
    berry = syrup("berry syrup", standard="50 °Bx", allergens=[])
    plain = one.model_copy(update={"written_for": {}})
    return bar(RUM, berry, plain, **keys), plain


def test_a_bottle_is_mixed_from_what_there_is() -> None:
    """Nobody reads it: 20.46 ml at 54 °Bx a serve weigh 25.61 g and hold the 13.83 g of the spec."""
    mixed = bottle(HOUSE, OLD, serves=10)
    (berry,) = [each for each in mixed.lines if each.identity == "berry-syrup"]
    assert berry.mass_g == pytest.approx(10 * 22.5 * sugar_g(50) / 0.54, rel=1e-4)
    assert mixed.whole.sugar_g == pytest.approx(10 * 22.5 * sugar_g(50), rel=1e-4)
    fixed = drink(
        "Fixed",
        "60 ml gold rum",
        {"pour": Quantity(22.5, "ml"), "of": "berry syrup", "fixed": True},
        dilution="45 %",
        written_for={"berry-syrup": "50 °Bx"},
    )
    assert bottle(HOUSE, fixed, serves=10).whole.sugar_g == pytest.approx(10 * 22.5 * sugar_g(54), rel=1e-4)


@pytest.mark.parametrize(("taken", "found"), [(54.0, 50.0), (50.0, 54.0), (54.0, 57.0), (50.0, 50.5)])
def test_a_mixed_bottle_is_rescued_as_ever(taken: float, found: float) -> None:
    house, plain = same_as_ever(OLD)
    now, ever = [rescue(*each, "berry-syrup", 12.0, taken, found) for each in ((HOUSE, OLD), (house, plain))]
    for one, other in zip(now.add, ever.add, strict=True):
        assert one.identity == other.identity
        assert one.mass_g == pytest.approx(other.mass_g)
    assert (now.sugar_percent, now.serves, now.dry_sugar_g) == pytest.approx(
        (ever.sugar_percent, ever.serves, ever.dry_sugar_g)
    )


@pytest.mark.parametrize("cause", ["boiled", "sugar", None])
def test_why_the_batch_is_off_does_not_tell_why_the_standard_moved(cause: str | None) -> None:
    """Of its flavour both ends are given, whatever is known of the batch: nobody said how the new recipe came about."""
    old = rows(rescale(HOUSE, "berry-syrup", 56.0, cause=cause))["Old Sour"]
    assert old.flavour_percent is not None
    assert old.flavour_percent[0] < old.flavour_percent[1]


def only_old(brix: float) -> Rescale:
    """Against a menu of which all is written for 50, at a standard of 54."""
    return rescale(bar(RUM, BERRY, OLD, LONG), "berry-syrup", brix)


def said(result: Rescale) -> str:
    return " ".join(rescale_text(result, HOUSE.specs.house).split())


def test_a_correction_is_offered_only_where_it_changes_what_is_poured() -> None:
    """At 53.5 as at 54 the 22.5 ml of 50 are 20.6 and 20.5 ml, the 30 ml 27.5 and 27.3: the same pours twice.

    At 60 °Bx (0.7719 g/ml) 22.5 ml are 17.92, 30 ml 23.89: corrected they are other pours, which are then said. At 50
    all is as written, and corrected it would not be.
    """
    same, other, right = only_old(53.5), only_old(60.0), only_old(50.0)
    assert not gains_by_correction(same)
    assert "correct it" not in said(same)
    assert gains_by_correction(other)
    assert corrected_lines(other).conversions == (line(22.5, 20.0), line(30.0, 27.5))
    assert "correct it" in said(other)
    assert "brings it to 54 °Bx; corrected, pour 22.5 → 20 · 30 → 27.5 ml" in said(other)
    assert not gains_by_correction(right)
    assert "correct it" not in said(right)


def test_a_correction_that_ends_in_pours_as_written_says_no_more() -> None:
    result = rescale(bar(RUM, BERRY, NEW), "berry-syrup", 58.0)
    assert not corrected_lines(result).moves
    assert gains_by_correction(result)
    assert "brings it to 54 °Bx more:" in said(result)


def test_the_first_line_of_rescale_names_whom_it_is_not_for() -> None:
    """22.5 ml of one drink is written for the standard and stays; 22.5 ml of the other becomes 20."""
    result = rescale(HOUSE, "berry-syrup", 54.0)
    assert said(result).startswith(
        "change pours: berry syrup 30 → 27.5 ml; Old Sour 22.5 → 20 ml 54 °Bx, spec 54, drinks written for 50: "
    )


def test_strengths_that_moved_drinks_are_written_for() -> None:
    """Of those that move; the standard is among them where a drink written for it moves too."""
    assert rescale(HOUSE, "berry-syrup", 54.0).written_for == (50.0,)
    assert rescale(HOUSE, "berry-syrup", 60.0).written_for == (50.0, 54.0)
    assert rescale(HOUSE, "berry-syrup", 50.0).written_for == ()
    assert "60 °Bx, spec 54, drinks written for 50 and 54:" in said(rescale(HOUSE, "berry-syrup", 60.0))


def test_a_correction_that_would_leave_a_drink_without_a_pour_is_not_offered() -> None:
    """10 ml of 46 °Bx (0.5556 g/ml) are 5.56 g. A jigger of 3.75 ml: 7.5 ml of 57 (0.57 × 1.2700) are 5.43 g, −2 %.

    Of 50, the standard, 7.5 ml are 4.61 g, −17 %, 10 ml 6.15 g, +11 %: no pour.
    """
    berry = syrup("berry syrup", standard="50 °Bx", allergens=[])
    short = drink(
        "Short", "60 ml gold rum", "10 ml berry syrup", dilution="45 %", written_for={"berry-syrup": "46 °Bx"}
    )
    result = rescale(bar(RUM, berry, short, jigger_step="3.75 ml"), "berry-syrup", 57.0)
    assert (result.advice.word, ml(result)) == ("change pours", {"Short": 7.5})
    assert corrected_lines(result).unreached == (short,)
    assert not gains_by_correction(result)
    assert "correct it" not in said(result)
