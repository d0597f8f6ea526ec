"""Which open bottles get a strip, what it says, and what never gets one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.bar import Bar
from balancer.engine.service.lines import BottleLines
from balancer.engine.service.rescale import Conversion
from balancer.engine.service.strips import NoStrip, Strip, Strips, strips
from balancer.engine.service.tonight import tonight
from balancer.models.batch import Batch, LogEntry
from balancer.units import Quantity
from tests.engine.builders import BERRY, LIME, RUM, SOUR, bar, drink, ingredient, syrup
from tests.engine.service.test_tonight import NIGHT, batch

NUT = syrup("nut syrup", allergens=["tree nuts"])
PLUM = syrup("plum syrup", allergens=[])
SECRET = syrup("secret syrup")
EGG = ingredient("egg white", sugar="7 g/kg", density="1.04 g/ml", allergens=["eggs"])
PLUM_SOUR = drink("Plum Sour", "60 ml gold rum", "22.5 ml lime juice", "22.5 ml plum syrup")
NUT_SOUR = drink("Nut Sour", "60 ml gold rum", "22.5 ml lime juice", "15 ml nut syrup")
PORTIONED = drink("Portioned", "60 ml gold rum", {"pour": Quantity(22.5, "ml"), "of": "berry syrup", "fixed": True})
MENU = (RUM, LIME, BERRY, NUT, PLUM, SECRET, SOUR, PLUM_SOUR, NUT_SOUR)
SEARCHED = bar(
    *MENU,
    drink("Long Berry", "60 ml gold rum", "40 ml berry syrup"),
    drink(
        "Both",
        "60 ml gold rum",
        "40 ml berry syrup",
        {"pour": Quantity(22.5, "ml"), "of": "plum syrup", "fixed": True},
    ),
)
SEARCHED_BATCHES = (batch("BER-3", "berry-syrup", 57.5), batch("PLU-1", "plum-syrup", 42.0))
"""By the printed densities 57.5 °Bx holds 0.7314 g/ml (1.2720), 42 °Bx 0.49846 (1.1868), 50 °Bx 0.6148.

40 ml berry bring 4.664 g more, 22.5 ml plum, which may not move, 2.618 g less: 5.3 % of 38.43 g. The line of the berry
is 32.5 ml (33.62 exactly), 0.82 g less: with the plum 9 % too little. Of 37.5 and 35 ml the first is enough: 2.836 g
more, with the plum 0.6 %.
"""
AT = datetime(2026, 11, 25, 18, tzinfo=UTC)


def found(house: Bar, *batches: Batch, entries: Sequence[LogEntry] = (), only: Sequence[Batch] | None = None) -> Strips:
    return strips(house, tonight(house, batches, NIGHT), batches, entries, only)


def one(house: Bar, *batches: Batch, entries: Sequence[LogEntry] = ()) -> Strip:
    """The only strip."""
    (strip,) = found(house, *batches, entries=entries).strips
    return strip


def without(house: Bar, *batches: Batch) -> NoStrip:
    """The only batch, which has no strip."""
    result = found(house, *batches)
    assert result.strips == ()
    return result.without[0]


def told_of(strip: Strip) -> tuple[tuple[str, ...], tuple[str, ...], bool]:
    return strip.gained.in_place_of, strip.gained.allergens, strip.gained.unknown


def opened(identity: str, *in_place_of: str, minute: int = 0) -> LogEntry:
    return LogEntry(identity, "open", AT.replace(minute=minute), refers=in_place_of)


# Pours


def test_a_bottle_whose_pours_change_has_a_strip() -> None:
    """22.5 ml at 54 °Bx brings the sugar of 20.5 ml at 50 °Bx (sucrose tables): pour 20."""
    strip = one(bar(*MENU), batch("BER-3", "berry-syrup", 54.0))
    assert strip.lines == BottleLines((Conversion(Amount(22.5), Amount(20.0)),))
    assert strip.lines.serve_all
    assert strip.until == "empty"
    assert not strip.gained.any


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"brix": 50.4}, "as written"),
        ({"brix": 54.0, "discard": date(2026, 11, 24)}, "past"),
        ({"brix": 66.7}, "read again"),
        ({"brix": 66.7, "readings": (66.5, 66.7)}, "pull"),
        ({"brix": None}, "not read"),
        ({"brix": 0.0}, "impossible"),
    ],
)
def test_what_is_not_to_be_poured_by_has_none(changes: dict[str, object], why: str) -> None:
    assert without(bar(*MENU), replace(batch("BER-3", "berry-syrup", 54.0), **changes)).why == why  # type: ignore[arg-type]


def test_two_open_batches_of_one_syrup_have_one_each_that_names_the_other() -> None:
    result = found(bar(*MENU), batch("BER-3", "berry-syrup", 54.0), batch("BER-4", "berry-syrup", 46.0))
    assert [(strip.batch.id, strip.also_open) for strip in result.strips] == [
        ("BER-3", ("BER-4",)),
        ("BER-4", ("BER-3",)),
    ]
    assert [strip.lines.conversions for strip in result.strips] == [
        ((Amount(22.5), Amount(20.0)),),
        ((Amount(22.5), Amount(25.0)),),
    ]


def test_two_open_juices_have_one_each_that_names_the_other() -> None:
    """22.5 × 46 ÷ 54 = 19.2 ml, so 20; 22.5 × 46 ÷ 38 = 27.2, so 27.5."""
    juices = [
        batch(identity, "lime-juice", None, acid=Quantity(acid, "g/l"))
        for identity, acid in (("LIM-1", 54), ("LIM-2", 38))
    ]
    assert [(one.batch.id, one.also_open, one.lines.conversions) for one in found(bar(*MENU), *juices).strips] == [
        ("LIM-1", ("LIM-2",), ((Amount(22.5), Amount(20.0)),)),
        ("LIM-2", ("LIM-1",), ((Amount(22.5), Amount(27.5)),)),
    ]


def test_a_batch_to_correct_has_pours_until_then() -> None:
    """The portioned drink is out of reach, so the batch is to be corrected; the sour is poured until then."""
    strip = one(bar(*MENU, PORTIONED), batch("BER-3", "berry-syrup", 54.0))
    assert strip.until == "corrected"
    assert strip.lines.conversions == ((Amount(22.5), Amount(20.0)),)
    assert [drink.name for drink in strip.lines.unreached] == ["Portioned"]


def test_a_batch_to_correct_without_a_pour_has_none() -> None:
    item = without(bar(RUM, BERRY, PORTIONED), batch("BER-3", "berry-syrup", 54.0))
    assert item.why == "correct"
    assert "Portioned" in item.reason


def test_a_fixed_pour_that_stands_in_the_conversions_is_named_as_written() -> None:
    """So much other sugar that the fixed pour passes; the strip would say 20."""
    sweet = ingredient("sweet wine", abv="15 %", sugar="300 g/l")
    punch = drink("Punch", "90 ml sweet wine", {"pour": Quantity(22.5, "ml"), "of": "berry syrup", "fixed": True})
    strip = one(bar(*MENU, sweet, punch), batch("BER-3", "berry-syrup", 54.0))
    assert [(own.drink.name, own.poured, own.moves) for own in strip.lines.own_pours] == [
        ("Punch", Amount(22.5), False)
    ]
    assert strip.lines.unreached == ()
    assert strip.until == "empty"


def test_a_drink_of_two_off_syrups_goes_by_the_lines_of_both() -> None:
    """22.5 and 20 ml at 54 °Bx: 20.46 and 18.19 ml exactly, so 20 and 17.5: −0.78 g of 26.13 g, 3 %."""
    both = drink("Both", "60 ml gold rum", "22.5 ml berry syrup", "20 ml plum syrup")
    batches = [batch("BER-3", "berry-syrup", 54.0), batch("PLU-1", "plum-syrup", 54.0)]
    result = found(bar(*MENU, both), *batches)
    lines = {strip.batch.id: strip.lines for strip in result.strips}
    assert lines["BER-3"] == BottleLines((Conversion(Amount(22.5), Amount(20.0)),))
    assert lines["PLU-1"] == BottleLines(
        (Conversion(Amount(20.0), Amount(17.5)), Conversion(Amount(22.5), Amount(20.0)))
    )


def test_a_drink_whose_errors_cancel_is_named_as_written_on_both_strips() -> None:
    """22.5 ml at 54 and 22.5 ml at 46 °Bx: 1.378 g more and 1.331 g less."""
    both = drink("Both", "60 ml gold rum", "22.5 ml berry syrup", "22.5 ml plum syrup")
    batches = [batch("BER-3", "berry-syrup", 54.0), batch("PLU-1", "plum-syrup", 46.0)]
    result = found(bar(*MENU, both), *batches)
    poured = {"BER-3": Amount(20.0), "PLU-1": Amount(25.0)}
    for strip in result.strips:
        assert strip.lines.conversions == ((Amount(22.5), poured[strip.batch.id]),)
        assert [(own.drink.name, own.poured) for own in strip.lines.own_pours] == [("Both", Amount(22.5))]
        assert not strip.lines.serve_all


def test_a_drink_that_is_searched_is_named_with_its_pour_on_both_strips() -> None:
    """Own lines would not do, so the least movement is searched; see SEARCHED."""
    result = found(SEARCHED, *SEARCHED_BATCHES)
    berry, plum = (strip.lines for strip in result.strips)
    assert berry.conversions == ((Amount(22.5), Amount(20.0)), (Amount(40.0), Amount(32.5)))
    assert plum.conversions == ((Amount(22.5), Amount(27.5)),)
    assert [(own.drink.name, own.written, own.poured) for own in berry.own_pours] == [
        ("Both", Amount(40.0), Amount(37.5))
    ]
    assert [(own.drink.name, own.poured, own.moves) for own in plum.own_pours] == [("Both", Amount(22.5), False)]


@pytest.mark.parametrize(
    "other",
    [
        batch("PLU-1", "plum-syrup", 66.7),
        batch("PLU-1", "plum-syrup", 46.0, discard=date(2026, 11, 24)),
    ],
)
def test_a_strength_in_doubt_or_a_bottle_to_discard_changes_no_other_strip(other: Batch) -> None:
    """The drink is decided as with plum at standard: 22.5 ml at 54 °Bx are 1.378 g too much of 26.13, 5.3 %."""
    both = drink("Both", "60 ml gold rum", "22.5 ml berry syrup", "20 ml plum syrup")
    lime_free = bar(RUM, BERRY, PLUM, both)
    strip = one(lime_free, batch("BER-3", "berry-syrup", 54.0), other)
    assert strip.lines == BottleLines((Conversion(Amount(22.5), Amount(20.0)),))


def test_a_house_that_pours_by_weight_reads_grams() -> None:
    """22.5 ml of 50 °Bx (1.2296 g/ml) hold 13.83 g sugar: 25.6 g at 54 °Bx, so 26 g on a scale of 1 g."""
    strip = one(bar(*MENU, pour_style="scale"), batch("BER-3", "berry-syrup", 54.0))
    (line,) = strip.lines.conversions
    assert line.written.unit == "g"
    assert line.written.value == pytest.approx(22.5 * 1.2296, abs=0.01)
    assert line.poured == Amount(26.0, "g")


def test_one_weighed_pour_among_measured_ones_is_in_grams() -> None:
    weighed = drink("Weighed", "60 ml gold rum", "40 g berry syrup")
    strip = one(bar(*MENU, weighed), batch("BER-3", "berry-syrup", 54.0))
    assert strip.lines.conversions == (
        (Amount(22.5), Amount(20.0)),
        (Amount(40.0, "g"), Amount(37.0, "g")),  # 40 × 50/54 = 37.04
    )


def test_a_house_that_pours_free_has_no_pours() -> None:
    item = without(bar(*MENU, pour_style="free"), batch("BER-3", "berry-syrup", 54.0))
    assert item.why == "correct"
    juice = batch("LIM-2", "lime-juice", None, acid=Quantity(54.0, "g/l"))
    assert without(bar(*MENU, pour_style="free"), juice).why == "free pour"


def test_juice_with_a_measured_acid_has_a_strip() -> None:
    """54 g/l where the spec counts on 46: 22.5 × 46/54 = 19.2 ml, so 20; by weight 19.2 × 1.03 = 19.7 g, so 20."""
    juice = batch("LIM-2", "lime-juice", None, acid=Quantity(54.0, "g/l"))
    assert one(bar(*MENU), juice).lines.conversions == ((Amount(22.5), Amount(20.0)),)
    (weighed,) = one(bar(*MENU, pour_style="scale"), juice).lines.conversions
    assert weighed.poured == Amount(20.0, "g")
    assert weighed.written.unit == "g"
    assert weighed.written.value == pytest.approx(22.5 * 1.0229, abs=0.15)  # USDA's cup of lime juice: 1.0229 g/ml


def test_only_the_batches_asked_for() -> None:
    house = bar(*MENU)
    ber, nut = batch("BER-3", "berry-syrup", 54.0), batch("NUT-1", "nut-syrup", 44.0)
    waiting, gone = (
        batch("BER-4", "berry-syrup", 54.0, state="made"),
        batch("BER-1", "berry-syrup", 54.0, state="empty"),
    )
    stranger = batch("ODD-1", "gone-syrup", 54.0)
    result = found(house, ber, nut, waiting, gone, stranger, only=[gone, waiting, stranger, ber])
    assert [strip.batch.id for strip in result.strips] == ["BER-3"]
    assert {item.batch.id: item.why for item in result.without} == {
        "BER-1": "closed", "BER-4": "not open", "ODD-1": "unknown",
    }  # fmt: skip
    assert [strip.batch.id for strip in found(house, ber, nut, waiting, gone).strips] == ["BER-3", "NUT-1"]


# Allergens


def test_a_batch_in_the_place_of_another_syrup_brings_its_allergens() -> None:
    """The cards of what pours plum say nothing of nuts; a strip says it even where nothing moves."""
    nut = batch("NUT-1", "nut-syrup", 50.0)
    plum = batch("PLU-1", "plum-syrup", 50.0, state="empty")
    strip = one(bar(*MENU), plum, nut, entries=[opened("NUT-1", "PLU-1")])
    assert told_of(strip) == (("plum-syrup",), ("tree nuts",), False)
    assert strip.lines == BottleLines()


def test_in_the_drinks_of_its_own_syrup_it_brings_nothing_new() -> None:
    assert found(bar(*MENU), batch("NUT-1", "nut-syrup", 50.0)).without[0].gained.any is False


def test_once_the_other_syrup_is_open_again_nothing_is_in_its_place() -> None:
    batches = [
        batch("PLU-1", "plum-syrup", 50.0, state="empty"),
        batch("NUT-1", "nut-syrup", 50.0, opened=AT),
        batch("PLU-2", "plum-syrup", 50.0, opened=AT + timedelta(minutes=1)),
    ]
    result = found(bar(*MENU), *batches, entries=[opened("NUT-1", "PLU-1"), opened("PLU-2", minute=1)])
    assert result.strips == ()


def test_a_bottle_of_the_other_syrup_that_was_open_all_along_ends_nothing() -> None:
    batches = [
        batch("PLU-0", "plum-syrup", 50.0, opened=AT - timedelta(days=9)),
        batch("PLU-1", "plum-syrup", 50.0, state="empty"),
        batch("NUT-1", "nut-syrup", 50.0, opened=AT),
    ]
    (strip,) = found(bar(*MENU), *batches, entries=[opened("NUT-1", "PLU-1")]).strips
    assert strip.gained.allergens == ("tree nuts",)


def test_the_place_is_handed_on() -> None:
    """NUT-2 took over from NUT-1, which stood in for plum."""
    batches = [
        batch("PLU-1", "plum-syrup", 50.0, state="empty"),
        batch("NUT-1", "nut-syrup", 50.0, state="empty"),
        batch("NUT-2", "nut-syrup", 50.0),
    ]
    entries = [opened("NUT-1", "PLU-1"), opened("nut 2", "NUT-1", minute=1)]
    assert one(bar(*MENU), *batches, entries=entries).gained.allergens == ("tree nuts",)


def test_what_was_undone_is_in_nobodys_place() -> None:
    batches = [batch("PLU-1", "plum-syrup", 50.0, state="empty"), batch("NUT-1", "nut-syrup", 50.0)]
    entries = [opened("NUT-1", "PLU-1"), LogEntry("NUT-1", "undo", AT.replace(minute=5), refers=(AT.isoformat(),))]
    assert found(bar(*MENU), *batches, entries=entries).strips == ()


def test_a_card_that_says_it_already_gains_nothing() -> None:
    """The one drink that pours plum has egg white; so has the syrup put in its place."""
    eggy = syrup("eggy syrup", allergens=["eggs"])
    flip = drink("Flip", "60 ml gold rum", "20 ml plum syrup", "20 ml egg white")
    house = bar(RUM, LIME, PLUM, EGG, eggy, flip)
    batches = [batch("PLU-1", "plum-syrup", 50.0, state="empty"), batch("EGG-1", "eggy-syrup", 50.0)]
    strip = one(house, *batches, entries=[opened("EGG-1", "PLU-1")])
    assert not strip.gained.any
    assert strip.gained.in_place_of == ("plum-syrup",)


def test_a_strip_hangs_on_what_is_in_the_place_of_another_syrup_though_nothing_else_is_to_tell() -> None:
    """Pours of plum syrup are not those of berry syrup: never "as written"."""
    berry = batch("BER-1", "berry-syrup", 50.0)
    batches = [batch("PLU-1", "plum-syrup", 50.0, state="empty"), berry]
    result = found(bar(*MENU), *batches, entries=[opened("BER-1", "PLU-1")], only=[berry])
    assert [strip.gained.in_place_of for strip in result.strips] == [("plum-syrup",)]
    assert result.without == ()


def test_unknown_allergens_in_another_syrups_place_are_said() -> None:
    """Nobody listed what is in it, and the card does not name it."""
    batches = [batch("PLU-1", "plum-syrup", 50.0, state="empty"), batch("SEC-1", "secret-syrup", 50.0)]
    strip = one(bar(*MENU), *batches, entries=[opened("SEC-1", "PLU-1")])
    assert told_of(strip) == (("plum-syrup",), (), True)
    assert strip.allergens_unknown


def test_unknown_allergens_are_said_on_a_strip_for_pours() -> None:
    """The card names the secret syrup as unknown, so nothing is gained; the strip repeats it."""
    secret_sour = drink("Secret Sour", "60 ml gold rum", "22.5 ml secret syrup")
    strip = one(bar(RUM, SECRET, secret_sour), batch("SEC-1", "secret-syrup", 54.0))
    assert strip.allergens_unknown
    assert not strip.gained.any


def test_the_parts_of_a_combined_batch_count() -> None:
    """A line by hand that pours nut syrup into plum syrup: the cards of plum do not say it, through two mixings."""
    batches = [
        batch("NUT-1", "nut-syrup", 50.0, state="empty"),
        batch("PLU-2", "plum-syrup", 50.0, state="empty", parts=("nut-1", "PLU-1")),
        batch("PLU-3", "plum-syrup", 50.0, parts=("PLU-2", "PLU-3")),
    ]
    entries = [
        LogEntry("PLU-2", "made", AT, liquid="plum-syrup", refers=("NUT-1", "PLU-1")),
        LogEntry("PLU-3", "made", AT.replace(minute=1), liquid="plum-syrup", refers=("PLU-2",)),
    ]
    assert told_of(one(bar(*MENU), *batches, entries=entries)) == ((), ("tree nuts",), False)


def test_what_a_part_stood_in_for_the_mixture_stands_in_for() -> None:
    batches = [
        batch("PLU-1", "plum-syrup", 50.0, state="empty"),
        batch("NUT-1", "nut-syrup", 50.0, state="empty"),
        batch("NUT-2", "nut-syrup", 50.0, parts=("NUT-1",)),
    ]
    mixed = LogEntry("NUT-2", "made", AT.replace(minute=1), liquid="nut-syrup", refers=("NUT-1",))
    strip = one(bar(*MENU), *batches, entries=[opened("NUT-1", "PLU-1"), mixed])
    assert told_of(strip) == (("plum-syrup",), ("tree nuts",), False)


def test_a_refused_bottle_still_tells_its_allergens() -> None:
    batches = [
        batch("PLU-1", "plum-syrup", 50.0, state="empty"),
        batch("NUT-1", "nut-syrup", 50.0, discard=date(2026, 11, 24)),
    ]
    (item,) = found(bar(*MENU), *batches, entries=[opened("NUT-1", "PLU-1")]).without
    assert (item.why, item.gained.allergens) == ("past", ("tree nuts",))
