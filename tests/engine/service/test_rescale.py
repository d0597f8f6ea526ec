"""A syrup that is off-strength across a menu: verdicts by hand, and what must hold for any menu."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.totals import totals
from balancer.engine.service.rescale import Companion, DrinkRow, Rescale, flavour_change, rescale
from balancer.errors import CannotError
from balancer.models.drink import Drink
from balancer.models.syrup import Syrup
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, SOUR, bar, drink, ingredient, syrup
from tests.examples import examples

APERITIF = ingredient("red aperitif", abv="24 %", allergens=[])
BITTERS = ingredient("bitters", abv="45 %")
LIQUEUR = ingredient("liqueur", abv="20 %", sugar="250 g/l", allergens=[])
SODA = ingredient("soda water", sugar="0 g/l", top="true", allergens=[])
LONG = drink("Long", "45 ml gold rum", "30 ml berry syrup", "30 ml lime juice", "90 ml soda water")
SWEET = drink("Sweet", "45 ml gold rum", "45 ml liqueur", "15 ml berry syrup", "22.5 ml lime juice")
DASHED = drink("Dashed", "60 ml gold rum", "2 dashes bitters", "5 ml berry syrup", method="stirred")
MENU = (SOUR, LONG, SWEET, DASHED)
POURED = (RUM, LIME, PLAIN, APERITIF, BITTERS, LIQUEUR, SODA)


def off(
    brix: float, *menu: Drink, berry: Syrup = BERRY, house: dict[str, str] | None = None, **keys: object
) -> Rescale:
    """The berry syrup at a strength, across a menu."""
    return rescale(bar(*POURED, berry, *(menu or MENU), **(house or {})), "berry-syrup", brix, **keys)  # type: ignore[arg-type]


def only(result: Rescale) -> DrinkRow:
    """The row of a menu of one drink."""
    (row,) = result.rows
    return row


class TestSour:
    """60 ml rum, 22.5 ml lime, 22.5 ml syrup at 50 °Bx; by the printed densities of sucrose solutions.

    Syrup sugar 22.5 x 0.5 x 1.2296 = 13.833 g, lime 22.5 x 1.023 x 0.0169 = 0.389 g: 14.222 g in the drink.
    At 54 °Bx a ml holds 0.54 x 1.2519 = 0.67603 g, at 46 °Bx 0.46 x 1.2079 = 0.55563 g.
    """

    def test_strong_batch(self) -> None:
        """22.5 ml bring 15.211 g, 9.7 % of the drink's sugar too much; 20 ml bring 13.521 g, 2.2 % too little."""
        row = only(off(54.0, SOUR))

        assert (row.verdict, row.written, row.poured) == ("new pour", Amount(22.5), Amount(20.0))
        assert row.exact.value == pytest.approx(20.46, abs=0.006)
        assert row.as_written_percent == pytest.approx(9.69, abs=0.03)
        assert row.after_percent == pytest.approx(-2.20, abs=0.03)

    def test_weak_batch(self) -> None:
        """22.5 ml bring 12.502 g, 9.4 % too little; 24.90 ml restore it, 25 ml bring 13.891 g, 0.4 % too much."""
        row = only(off(46.0, SOUR))

        assert (row.verdict, row.poured) == ("new pour", Amount(25.0))
        assert row.exact.value == pytest.approx(24.90, abs=0.006)
        assert row.as_written_percent == pytest.approx(-9.36, abs=0.03)
        assert row.after_percent == pytest.approx(0.41, abs=0.03)

    def test_rich_syrup(self) -> None:
        """Standard 66.67, batch 60: 22.5 x 0.6667 x 1.3265 / (0.6 x 1.2865) = 25.78 ml, 25 from the jigger."""
        row = only(off(60.0, SOUR, berry=syrup("berry syrup", standard="66.67 °Bx")))

        assert row.exact.value == pytest.approx(25.78, abs=0.006)
        assert (row.verdict, row.poured) == ("new pour", Amount(25.0))

    def test_no_pour_within_tolerance(self) -> None:
        """52.4 °Bx: 5.8 % up as written and 5.7 % down with 20 ml, of the whole drink; neither passes 5 %."""
        row = only(off(52.4, SOUR))

        assert row.verdict == "out of reach"
        assert row.as_written_percent == pytest.approx(5.94 * 13.833 / 14.222, abs=0.03)
        assert row.after_percent == pytest.approx(-5.83 * 13.833 / 14.222, abs=0.03)

    def test_what_passes_as_written(self) -> None:
        """51.5 °Bx: 3.7 % up by the printed densities, 1.2380 g/ml between 50 and 54."""
        row = only(off(51.5, SOUR))

        assert (row.verdict, row.poured) == ("as written", Amount(22.5))
        assert row.as_written_percent == pytest.approx(22.5 * (0.515 * 1.2380 - 0.6148) / 14.222 * 100, abs=0.05)

    def test_glass_and_mix_shrink_with_the_pour(self) -> None:
        """2.5 ml less syrup before ice; the mix gets stronger, and 52 % of the rest melts in: about 3.7 ml less."""
        row = only(off(54.0, SOUR))

        assert row.mix_change_ml == pytest.approx(-2.5, abs=0.02)
        assert row.served_change_ml == pytest.approx(-2.5 * 1.52 + 104.8 * 0.0057, abs=0.2)

    def test_correction_per_kilogram(self) -> None:
        """1000 g x 4/50 of water at 54 °Bx, of sugar at 46 °Bx."""
        strong, weak = off(54.0, SOUR).correct, off(46.0, SOUR).correct

        assert (strong.add, weak.add) == ("water", "sugar")
        assert (strong.g_per_kg, weak.g_per_kg) == pytest.approx((80.0, 80.0))


def test_conversions_serve_the_whole_menu() -> None:
    """At equal sugar a pour depends on the written one and the strengths: 22.5 to 20, 30 x 0.9094 = 27.3 to 27.5."""
    assert off(54.0).conversions == ((Amount(22.5), Amount(20.0)), (Amount(30.0), Amount(27.5)))


def test_conversions_hold_only_what_moves() -> None:
    """The sweet drink's 15 ml move 3 % of its sugar and stay; at standard nothing moves."""
    assert [row.verdict for row in off(54.0, SWEET, DASHED).rows] == ["as written", "as written"]
    assert off(54.0, SWEET, DASHED).conversions == ()
    assert off(50.0).conversions == ()


def test_only_drinks_that_pour_the_syrup_count() -> None:
    """A drink without it, or one that only rinses the glass with it, has no row."""
    other = drink("Other", "60 ml gold rum", "15 ml plain syrup")
    rinsed = drink("Rinsed", "60 ml gold rum", "rinse berry syrup", method="stirred")

    assert [row.drink.id for row in off(54.0, other, SOUR, rinsed).rows] == ["test-sour"]


def test_rows_keep_the_order_asked_for() -> None:
    """Named drinks only, as named."""
    house = bar(*POURED, BERRY, *MENU)

    assert [row.drink.name for row in rescale(house, "berry-syrup", 54.0, [LONG, SOUR]).rows] == ["Long", "Test Sour"]
    assert [row.drink.name for row in rescale(house, "berry-syrup", 54.0).rows] == [spec.name for spec in MENU]


def test_a_fixed_pour_is_out_of_reach() -> None:
    """The spec says this pour is never changed; the error is shown as it is."""
    fixed = drink(
        "Fixed", "60 ml gold rum", {"pour": "22.5 ml", "of": "berry syrup", "fixed": "true"}, "22.5 ml lime juice"
    )
    row = only(off(54.0, fixed))

    assert (row.verdict, row.poured) == ("out of reach", Amount(22.5))
    assert row.after_percent == row.as_written_percent == pytest.approx(9.69, abs=0.03)


def test_a_small_pour_stays() -> None:
    """5 ml are 10 % off and the only sugar of the drink: less than 20 %, as written."""
    row = only(off(54.0, DASHED))

    assert row.as_written_percent == pytest.approx(9.96, abs=0.03)
    assert (row.verdict, row.poured) == ("as written", Amount(5.0))


def test_a_weighed_pour_moves_by_grams() -> None:
    """25 g at 50 °Bx hold 12.5 g of sugar; at 54 °Bx that is 23.15 g, 23 on a scale of 1 g, and 25 g are 8 % up."""
    weighed = drink("Weighed", "60 ml gold rum", "25 g berry syrup", method="stirred")
    row = only(off(54.0, weighed, house={}))

    assert row.written.unit == row.exact.unit == "g"
    assert row.written.value == pytest.approx(25.0, abs=1e-9)
    assert row.as_written_percent == pytest.approx(8.0, abs=1e-6)
    assert row.exact.value == pytest.approx(23.148, abs=0.001)
    assert row.poured == row.line == Amount(23.0, "g")
    assert row.after_percent == pytest.approx(100.0 * (23.0 * 0.54 - 12.5) / 12.5, abs=1e-6)


def test_ounces_step_in_eighths() -> None:
    """3/4 oz of 30 ml at 54 °Bx: 20.46 ml exactly, 5/8 oz is 18.75 and 3/4 oz is 22.5: 18.75 is nearer."""
    house = {"ounce": "30 ml", "jigger_step": "1/8 oz"}
    spec = drink("Ounces", "2 oz gold rum", "3/4 oz lime juice", "3/4 oz berry syrup")
    row = only(off(54.0, spec, house=house))

    assert (row.written, row.poured) == (Amount(22.5), Amount(18.75))


@pytest.mark.parametrize(
    ("cause", "low", "high"),
    [("boiled", -2.26, -2.26), ("watered", -2.26, -2.26), ("sugar", -11.11, -11.11), (None, -11.11, -2.26)],
)
def test_flavour_depends_on_why_the_batch_is_off(cause: str | None, low: float, high: float) -> None:
    """20 ml for 22.5 at 54 °Bx: as the syrup's sugar, -2.3 %, or as the pour, 20/22.5 - 1 = -11.1 %."""
    found = only(off(54.0, SOUR, cause=cause)).flavour_percent

    assert found == pytest.approx((low, high), abs=0.03)


def test_a_plain_syrup_has_no_flavour_to_move() -> None:
    """flavour: none."""
    spec = drink("Plain Sour", "60 ml gold rum", "22.5 ml lime juice", "22.5 ml plain syrup")

    assert only(rescale(bar(*POURED, spec), "plain-syrup", 54.0)).flavour_percent is None


def test_flavour_as_written_moves_as_the_strength() -> None:
    """Nothing poured differently: boiled down it is stronger by the sugar, with too much sugar it is the same."""
    row = only(off(51.5, SOUR))
    by_strength = 100.0 * (0.515 * 1.2380 / 0.6148 - 1.0)

    assert flavour_change(row.own, row.poured, "boiled") == pytest.approx((by_strength, by_strength), abs=0.05)
    assert flavour_change(row.own, row.poured, "sugar") == (0.0, 0.0)


def test_without_an_uncertainty_nothing_is_said_about_it() -> None:
    """Null, not an empty list."""
    assert only(off(54.0, SOUR)).could_be is None


def test_a_sure_strength_could_be_nothing_else() -> None:
    """0.01 °Bx changes no verdict."""
    assert only(off(54.0, SOUR, uncertainty_brix=0.01)).could_be == ()


def test_two_uncertainties_reach_other_verdicts() -> None:
    """52.4 ± 2 x 0.5 °Bx: below 52.0 it is within 5 % as written, above 53 20 ml bring it there (see TestSour)."""
    assert only(off(52.4, SOUR, uncertainty_brix=0.5)).could_be == ("as written", "new pour")


def test_verdicts_between_the_ends_count_too() -> None:
    """From 54 down to 51 the way leads through 52.4, where no pour is right, although both ends have one."""
    row = only(off(52.9, SOUR, uncertainty_brix=0.95))

    assert row.verdict == "new pour"
    assert row.could_be == ("as written", "out of reach")


def test_an_uncertain_strength_beyond_what_a_syrup_can_be_is_left_out() -> None:
    """84 ± 2 °Bx with 1 % acid: above 84.1 there is too little water; the rest still counts."""
    honey = syrup("berry syrup", standard="80 °Bx", acid="10 g/kg")

    assert only(off(84.0, SOUR, berry=honey, uncertainty_brix=1.0)).could_be is not None


def test_unknown_sugar_that_may_matter_is_named() -> None:
    """30 ml of an aperitif with unknown sugar; two dashes of bitters cannot move a drink."""
    spec = drink("Bitter", "30 ml gold rum", "30 ml red aperitif", "2 dashes bitters", "22.5 ml berry syrup")

    assert only(off(54.0, spec)).unknown_sugar == ("red-aperitif",)


def test_a_syrup_without_sugar_is_refused() -> None:
    """No pour keeps a sugar that is not there."""
    gum = syrup("berry syrup", sugar_share="0 %")

    with pytest.raises(CannotError, match="holds no sugar"):
        off(54.0, SOUR, berry=gum)


@pytest.mark.parametrize(
    ("brix", "word"),
    [
        (50.0, "as written"),
        (51.0, "as written"),
        (54.0, "change pours"),
        (52.4, "correct the batch"),
        (66.0, "read again"),
    ],
)
def test_advice_for_an_open_batch(brix: float, word: str) -> None:
    """At 66 °Bx a ml holds 0.66 x 1.3225 g, 42 % more than at 50: that is a 2:1, not a slip of the stove."""
    assert off(brix, SOUR, LONG).advice.word == word


def test_an_implausible_strength_that_is_confirmed() -> None:
    """Read twice."""
    assert off(66.0, SOUR, confirmed=True).advice.word == "pull"


def test_a_batch_that_is_not_open_is_corrected() -> None:
    """The house's own tolerance of 1 °Bx, or the syrup's."""
    closed = off(54.0, SOUR, in_service=False)
    generous = off(54.0, SOUR, berry=syrup("berry syrup", tolerance="5 °Bx"), in_service=False)

    assert closed.advice.word == generous.advice.word == "correct the batch"
    assert "more than 1 °Bx off" in closed.advice.reason
    assert "Test Sour would need another pour" in generous.advice.reason


def test_two_syrups_off_have_one_decision() -> None:
    """15 ml of each at 54 °Bx and 22.5 ml of lime: 18.444 + 0.389 g of sugar, 1.837 g or 9.8 % up as written.

    Each line alone is 12.5 ml (13.64 exactly); both would be 25 x 0.67603 = 16.901 g, 8.2 % too little and more than
    half of 9.8 %. One of them moved is 27.5 x 0.67603 = 18.591 g, 0.8 % up.
    """
    spec = drink("Both", "60 ml gold rum", "15 ml berry syrup", "15 ml plain syrup", "22.5 ml lime juice")
    house = bar(*POURED, BERRY, spec)
    berry = only(rescale(house, "berry-syrup", 54.0, others={"plain-syrup": 54.0}))
    plain = only(rescale(house, "plain-syrup", 54.0, others={"berry-syrup": 54.0}))

    assert berry.decided.decision == plain.decided.decision
    assert berry.decided.decision.way == "searched"
    assert sorted([berry.poured.value, plain.poured.value]) == [12.5, 15.0]
    assert {berry.verdict, plain.verdict} == {"new pour", "as written"}
    for row in (berry, plain):
        assert row.line == Amount(12.5)
        assert row.as_written_percent == pytest.approx(100.0 * 1.837 / 18.833, abs=0.03)
        assert row.after_percent == pytest.approx(100.0 * (18.591 - 18.444) / 18.833, abs=0.03)


def test_what_moves_with_a_pour_is_named() -> None:
    """22.5 ml at 54 °Bx go to 20 and 30 ml at 54 °Bx to 27.5: each row names the other, in the unit it is poured in."""
    spec = drink("Both", "60 ml gold rum", "22.5 ml berry syrup", "30 ml plain syrup", "22.5 ml lime juice")
    house = bar(*POURED, BERRY, spec)
    berry = only(rescale(house, "berry-syrup", 54.0, others={"plain-syrup": 54.0}))
    plain = only(rescale(house, "plain-syrup", 54.0, others={"berry-syrup": 54.0}))

    assert berry.decided.decision.way == "own lines"
    assert berry.companions == (Companion("plain-syrup", "plain syrup", Amount(30.0), Amount(27.5)),)
    assert plain.companions == (Companion("berry-syrup", "berry syrup", Amount(22.5), Amount(20.0)),)


def test_a_syrup_at_standard_stays_when_another_is_off() -> None:
    """The plain syrup is right; only the berry moves, and the plain one's row says what moves with it."""
    spec = drink("Both", "60 ml gold rum", "22.5 ml berry syrup", "7.5 ml plain syrup", "22.5 ml lime juice")
    house = bar(*POURED, BERRY, spec)
    berry = only(rescale(house, "berry-syrup", 54.0))
    result = rescale(house, "plain-syrup", 50.0, others={"berry-syrup": 54.0})
    plain = only(result)

    assert (berry.verdict, berry.poured) == ("new pour", Amount(20.0))
    assert (plain.verdict, plain.poured) == ("as written", Amount(7.5))
    assert [(one.name, one.poured) for one in plain.companions] == [("berry syrup", Amount(20.0))]
    assert plain.after_percent == pytest.approx(berry.after_percent)
    assert (result.advice.word, result.conversions, result.exceptions) == ("as written", (), ())


def test_a_syrup_is_not_blamed_for_another_whose_pour_is_fixed() -> None:
    """22.5 ml of plain syrup at 54 °Bx that may not change: the drink is out of reach; the berry is right."""
    fixed = {"pour": "22.5 ml", "of": "plain syrup", "fixed": "true"}
    spec = drink("Both", "60 ml gold rum", "15 ml berry syrup", fixed)
    house = bar(*POURED, BERRY, spec)
    berry = rescale(house, "berry-syrup", 50.0, others={"plain-syrup": 54.0})
    plain = rescale(house, "plain-syrup", 54.0)

    assert only(berry).decided.decision.verdict == "out of reach"
    assert (berry.advice.word, plain.advice.word) == ("as written", "correct the batch")


def test_a_strength_of_others_that_counts_is_told() -> None:
    """Of every other syrup; the one asked about is taken at the strength asked for, whatever its open batch reads."""
    house = bar(*POURED, BERRY, *MENU)

    found = rescale(house, "berry-syrup", 54.0, others={"plain-syrup": 48.0, "berry-syrup": 46.0})
    assert found.others == {"plain-syrup": 48.0}
    assert {row.drink.id: row.poured for row in found.rows}["test-sour"] == Amount(20.0)


# Exceptions: the drinks that the conversions are not for


def test_a_menu_that_goes_by_its_conversions_has_no_exceptions() -> None:
    """22.5 and 30 ml move; 15 and 5 ml stay, and no conversion says anything of those."""
    assert off(54.0).exceptions == ()


def test_a_drink_that_is_right_as_written_is_an_exception_where_a_conversion_says_otherwise() -> None:
    """60 ml of liqueur bring 15 g: 22.5 ml at 54 °Bx bring 1.378 g too much of 29.22, 4.7 %."""
    strong = drink("Liqueur Sour", "60 ml liqueur", "22.5 ml berry syrup", "22.5 ml lime juice")
    result = off(54.0, SOUR, strong)

    assert result.conversions == ((Amount(22.5), Amount(20.0)),)
    assert [(row.drink.name, row.verdict, row.poured) for row in result.exceptions] == [
        ("Liqueur Sour", "as written", Amount(22.5))
    ]
    assert result.exceptions[0].as_written_percent == pytest.approx(100.0 * 1.378 / 29.22, abs=0.03)


def test_a_drink_out_of_reach_is_an_exception_whatever_is_poured() -> None:
    """Its pour is fixed at 15 ml, of which no conversion says anything."""
    fixed = drink("Fixed", "60 ml gold rum", {"pour": "15 ml", "of": "berry syrup", "fixed": "true"})

    assert [(row.drink.name, row.verdict) for row in off(54.0, SOUR, fixed).exceptions] == [("Fixed", "out of reach")]


def test_a_searched_drink_is_an_exception_on_the_bottle_whose_line_it_does_not_take() -> None:
    """Two pours of 15 ml at 54 °Bx, one of which moves to 12.5 and one stays (see above).

    28 ml of liqueur bring 7 g, 16.22 g with 15 ml of syrup: 5.7 % up as written, 4.8 % down with the line, 12.5 ml.
    So both bottles say 15 to 12.5, and one of them is not to be followed in the drink of both.
    """
    both = drink("Both", "60 ml gold rum", "15 ml berry syrup", "15 ml plain syrup", "22.5 ml lime juice")
    lines = [drink(f"Line {of}", "30 ml gold rum", "28 ml liqueur", f"15 ml {of} syrup") for of in ("berry", "plain")]
    house = bar(*POURED, BERRY, both, *lines)
    berry = rescale(house, "berry-syrup", 54.0, others={"plain-syrup": 54.0})
    plain = rescale(house, "plain-syrup", 54.0, others={"berry-syrup": 54.0})

    assert berry.conversions == plain.conversions == ((Amount(15.0), Amount(12.5)),)
    said = [(row.drink.name, row.verdict, row.poured) for row in (*berry.exceptions, *plain.exceptions)]
    assert said == [("Both", "as written", Amount(15.0))]


def test_one_written_pour_in_ml_and_in_grams_are_two_lines() -> None:
    """22.5 ml and 25 g: ml first, and each in its own unit."""
    weighed = drink("Weighed", "60 ml gold rum", "25 g berry syrup", method="stirred")

    assert off(54.0, weighed, SOUR).conversions == (
        (Amount(22.5), Amount(20.0)),
        (Amount(25.0, "g"), Amount(23.0, "g")),
    )


def test_a_rinse_with_another_off_syrup_is_not_searched() -> None:
    """Nothing known is poured of it, so nothing can be poured instead."""
    spec = drink("Rinsed", "60 ml gold rum", "22.5 ml berry syrup", "rinse plain syrup", "22.5 ml lime juice")
    row = only(rescale(bar(*POURED, BERRY, spec), "berry-syrup", 54.0, others={"plain-syrup": 54.0}))

    assert row.companions == ()
    assert row.poured == Amount(20.0)


def test_rescaling_is_the_difference_of_two_drinks() -> None:
    """The volume changes are those of the totals as designed and as poured."""
    house = bar(*POURED, BERRY, *MENU)
    for row in rescale(house, "berry-syrup", 54.0).rows:
        before = totals(house, row.drink)
        after = totals(house, row.drink, {"berry-syrup": 54.0}, {"berry-syrup": row.poured.value})
        assert before.served is not None
        assert after.served is not None
        assert row.served_change_ml is not None
        assert row.mix_change_ml == pytest.approx(after.mix.volume_ml - before.mix.volume_ml, abs=1e-9)
        assert row.served_change_ml == pytest.approx(after.served.volume_ml - before.served.volume_ml, abs=1e-9)
        assert row.decided.sugar_g == pytest.approx(before.sugar_g, abs=1e-9)


@settings(max_examples=examples(150))
@given(
    standard=st.floats(min_value=30.0, max_value=75.0),
    change=st.floats(min_value=-6.0, max_value=6.0),
    syrup_ml=st.integers(1, 40),
    liqueur_ml=st.integers(1, 45),
)
def test_percents_are_those_of_the_whole_drink(standard: float, change: float, syrup_ml: int, liqueur_ml: int) -> None:
    """As written and after: the totals of the drink with the batch, against the drink as designed."""
    berry = syrup("berry syrup", standard=standard, acid="9 g/kg")
    spec = drink("any", "30 ml gold rum", f"{liqueur_ml} ml liqueur", f"{syrup_ml} ml berry syrup", dilution="40 %")
    house = bar(*POURED, berry, spec)
    batch = standard + change
    row = only(rescale(house, "berry-syrup", batch))
    designed = totals(house, spec).sugar_g
    as_written = totals(house, spec, {"berry-syrup": batch}).sugar_g
    after = totals(house, spec, {"berry-syrup": batch}, {"berry-syrup": row.poured.value}).sugar_g
    exact = totals(house, spec, {"berry-syrup": batch}, {"berry-syrup": row.exact.value}).sugar_g

    assert row.as_written_percent == pytest.approx(100.0 * (as_written / designed - 1.0), abs=1e-9)
    assert row.after_percent == pytest.approx(100.0 * (after / designed - 1.0), abs=1e-9)
    assert exact == pytest.approx(designed, rel=1e-9)
