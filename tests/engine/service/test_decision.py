"""The verdict on a pour: the rule word by word, and against a search of every pour a bar can make."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from typing import NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.jigger import Jigger
from balancer.engine.service.decision import SMALL_POUR_ML, Decision, OffPour, Verdict, decide
from tests.examples import examples


class Judged(NamedTuple):
    """A decision on a drink with one syrup, and the amounts it stands on."""

    verdict: Verdict
    poured_ml: float
    exact_ml: float
    line_ml: float
    as_written_percent: float
    after_percent: float


def judge(
    spec_ml: float,
    standard_g: float,
    batch_g: float,
    drink_g: float,
    *,
    step_ml: float = 2.5,
    tolerance: float = 5.0,
    fixed: bool = False,
    outside: bool = True,
) -> Judged:
    """The decision on a drink with one syrup; g are grams of sugar in a ml of it, and in the drink."""
    small = spec_ml <= SMALL_POUR_ML
    off = OffPour(Amount(spec_ml), spec_ml * standard_g, batch_g, Jigger(step_ml), fixed, small, outside)
    found = decide([off], drink_g, tolerance)
    (poured,) = found.poured
    return Judged(
        found.verdict,
        poured.value,
        off.exact.value,
        off.line.value,
        found.as_written_percent,
        found.after_percent,
    )


def best_pour(exact_ml: float, spec_ml: float, step_ml: float) -> float:
    return Jigger(step_ml).nearest(exact_ml, spec_ml)


# Sugar in a ml by the printed densities: 50 °Bx 0.5 x 1.2296, 54 °Bx 0.54 x 1.2519
AT_50, AT_54 = 0.6148, 0.676026


def test_a_drink_within_tolerance_is_poured_as_written() -> None:
    """30 ml at 2 % too much sugar, in a drink with nothing else: the exact pour is shown, and not poured."""
    found = judge(30.0, 0.5, 0.51, 15.0)

    assert (found.verdict, found.poured_ml) == ("as written", 30.0)
    assert found.exact_ml == pytest.approx(30.0 / 1.02)
    assert found.as_written_percent == found.after_percent == pytest.approx(2.0)


@pytest.mark.parametrize(("batch_g", "verdict"), [(0.525, "as written"), (0.5251, "new pour"), (0.475, "as written")])
def test_the_edge_of_the_tolerance_is_inside(batch_g: float, verdict: Verdict) -> None:
    """Five per cent with a tolerance of five per cent passes; a hair more does not. Steps of 1 ml reach."""
    assert judge(30.0, 0.5, batch_g, 15.0, step_ml=1.0).verdict == verdict


def test_other_sugar_in_the_drink_carries_part_of_the_error() -> None:
    """8 % of a syrup that brings half the drink's sugar is 4 % of the drink."""
    found = judge(30.0, 0.5, 0.54, 30.0)

    assert found.verdict == "as written"
    assert found.as_written_percent == pytest.approx(4.0)


def test_the_nearest_pour_is_taken() -> None:
    """WE-35: 22.5 ml at 50 °Bx, batch 54, by the printed densities: 20.46 ml exactly, 20 from the jigger."""
    found = judge(22.5, AT_50, AT_54, 22.5 * AT_50)

    assert (found.verdict, found.poured_ml, found.line_ml) == ("new pour", 20.0, 20.0)
    assert found.exact_ml == pytest.approx(20.462, abs=0.001)
    assert found.as_written_percent == pytest.approx(9.96, abs=0.005)
    assert found.after_percent == pytest.approx(-2.26, abs=0.005)


def test_half_the_error_is_enough() -> None:
    """26 % too much in 10 ml: 7.5 ml leave 5.5 % too little, over the tolerance and under half of 26."""
    found = judge(10.0, 0.5, 0.63, 5.0, step_ml=2.5)

    assert found.verdict == "new pour"
    assert found.poured_ml == 7.5
    assert found.after_percent == pytest.approx(-5.5)


def test_exactly_half_the_error_is_enough() -> None:
    """20 % too much in 15 ml; 13.5 ml are 8 % and 12 ml are 4 % too much: the nearest, 12, halves more than half.

    With steps of 9 ml: 9 ml are 28 % too little, no pour halves it. With steps of 13.75 ml: 10 % too much, just half.
    """
    assert judge(15.0, 0.5, 0.6, 7.5, step_ml=1.5).verdict == "new pour"
    assert judge(15.0, 0.5, 0.6, 7.5, step_ml=9.0).verdict == "out of reach"
    half = judge(15.0, 0.5, 0.6, 7.5, step_ml=13.75)
    assert (half.verdict, half.poured_ml) == ("new pour", 13.75)
    assert half.after_percent == pytest.approx(10.0)


def test_more_than_half_the_error_is_out_of_reach() -> None:
    """WE-39's edge: at 52.4 °Bx 22.5 ml are 5.9 % too much and 20 ml 5.8 % too little, and 5 % is the tolerance.

    Density by the printed 50 and 54 °Bx, between them in a straight line: 1.2430 g/ml at 52.4.
    """
    batch_g = 0.524 * (1.2296 + 0.6 * (1.2519 - 1.2296))
    found = judge(22.5, AT_50, batch_g, 22.5 * AT_50)

    assert (found.verdict, found.poured_ml) == ("out of reach", 20.0)
    assert found.as_written_percent == pytest.approx(5.94, abs=0.02)
    assert found.after_percent == pytest.approx(-5.83, abs=0.02)


def test_the_written_pour_stays_allowed() -> None:
    """22 ml is no multiple of 5; when it is the nearest to exact, it is the best pour there is."""
    found = judge(23.0, 0.5, 0.53, 11.5, step_ml=5.0, tolerance=2.0)

    assert (found.verdict, found.poured_ml) == ("out of reach", 23.0)  # 21.70 exactly: 23 is nearer than 20
    assert found.after_percent == found.as_written_percent


def test_a_fixed_pour_is_never_changed() -> None:
    """Within tolerance it is as written, else out of reach, small or not."""
    assert judge(30.0, 0.5, 0.51, 15.0, fixed=True).verdict == "as written"
    for spec_ml in (30.0, 5.0):
        found = judge(spec_ml, 0.5, 0.57, spec_ml * 0.5, fixed=True)
        assert (found.verdict, found.poured_ml) == ("out of reach", spec_ml)
        assert found.after_percent == found.as_written_percent == pytest.approx(14.0)


@pytest.mark.parametrize("spec_ml", [2.5, 5.0, 7.5])
@pytest.mark.parametrize(("batch_g", "changes"), [(0.6, False), (0.4, False), (0.601, True), (0.399, True)])
def test_small_pours_move_only_beyond_twenty_percent(spec_ml: float, batch_g: float, changes: bool) -> None:
    """Up to 7.5 ml a jigger is no better than the syrup; the edge of 20 % is inside."""
    found = judge(spec_ml, 0.5, batch_g, spec_ml * 0.5, step_ml=0.25)

    assert (found.poured_ml != spec_ml) == changes
    assert found.verdict == ("new pour" if changes else "as written")


def test_a_pour_just_above_small_is_changed() -> None:
    """7.6 ml is no small pour."""
    assert judge(7.6, 0.5, 0.57, 3.8, step_ml=0.1).verdict == "new pour"


def test_no_pour_is_ever_nothing() -> None:
    """A syrup ten times too strong: the smallest pour the jigger has, and it is out of reach."""
    found = judge(10.0, 0.1, 1.0, 1.0, step_ml=5.0)

    assert (found.verdict, found.poured_ml) == ("new pour", 5.0)  # 400 % of 900 %: less than half
    assert best_pour(0.01, 10.0, 5.0) == 5.0


@pytest.mark.parametrize(
    ("exact_ml", "spec_ml", "step_ml", "poured_ml"),
    [
        (21.25, 22.5, 2.5, 22.5),  # between 20 and 22.5: the written one
        (23.75, 22.5, 2.5, 22.5),
        (18.75, 22.5, 2.5, 20.0),  # between 17.5 and 20: nearer to written
        (26.25, 22.5, 2.5, 25.0),
        (21.0, 22.0, 5.0, 22.0),  # 20 and 22 are as near
        (20.0, 20.0, 2.5, 20.0),
    ],
)
def test_a_tie_goes_to_the_pour_nearest_to_written(
    exact_ml: float, spec_ml: float, step_ml: float, poured_ml: float
) -> None:
    """Equal error, less to remember."""
    assert best_pour(exact_ml, spec_ml, step_ml) == poured_ml


def test_the_written_pour_keeps_its_own_digits() -> None:
    """Three steps of 0.7 ml are 2.1 ml but for the last bit, and that must not make it another pour."""
    assert 3 * 0.7 != 2.1

    assert best_pour(2.0, 2.1, 0.7) == 2.1


# The oracle counts in whole quarters of a ml and hundredths of a gram per ml, so that nothing is rounded.


def allowed(spec: int, step: int) -> set[int]:
    """Positive multiples of the jigger step, here up to 150 ml, and the written pour; in quarters of a ml."""
    return {count * step for count in range(1, 600 // step + 1)} | {spec}


def by_the_rule(
    spec: int, standard: int, batch: int, drink: int, step: int, tolerance: int, fixed: bool
) -> tuple[Verdict, int]:
    """Verdict and pour, word by word; the drink's sugar is in quarters of a hundredth of a gram."""

    def error(pour: int) -> int:
        return abs(pour * batch - spec * standard)

    def within(grams: int, percent: int) -> bool:
        return 100 * grams <= percent * drink

    written = error(spec)
    if within(written, tolerance):
        return "as written", spec
    if fixed:
        return "out of reach", spec
    if spec <= 30 and within(written, 20):
        return "as written", spec
    best = min(allowed(spec, step), key=lambda pour: (error(pour), abs(pour - spec)))
    reached = within(error(best), tolerance) or 2 * error(best) <= written
    return "new pour" if reached else "out of reach", best


quarters = st.integers(min_value=4, max_value=160)
hundredths = st.integers(min_value=30, max_value=90)
STEPS = (2, 4, 10, 15, 20, 30, 40)


@settings(max_examples=examples(300))
@given(
    spec=quarters,
    standard=hundredths,
    batch=hundredths,
    elsewhere=st.integers(min_value=0, max_value=12_000),
    tolerance=st.integers(min_value=1, max_value=12),
)
def test_every_pour_was_looked_at(spec: int, standard: int, batch: int, elsewhere: int, tolerance: int) -> None:
    """The rule's own words, searched over all pours, give the same verdict, pour and errors: 4,200 cases."""
    drink = spec * standard + elsewhere
    for step, fixed in product(STEPS, (False, True)):
        verdict, best = by_the_rule(spec, standard, batch, drink, step, tolerance, fixed)
        found = judge(
            spec / 4.0,
            standard / 100.0,
            batch / 100.0,
            drink / 400.0,
            step_ml=step / 4.0,
            tolerance=tolerance,
            fixed=fixed,
        )

        assert found.verdict == verdict
        assert found.poured_ml == pytest.approx(best / 4.0, abs=1e-9)
        assert found.after_percent == pytest.approx(100.0 * (best * batch - spec * standard) / drink, abs=1e-9)
        assert found.as_written_percent == pytest.approx(100.0 * spec * (batch - standard) / drink, abs=1e-9)


@given(spec=quarters, standard=hundredths, batch=hundredths, elsewhere=st.floats(min_value=0.0, max_value=30.0))
def test_the_exact_pour_restores_the_syrups_own_sugar(spec: int, standard: int, batch: int, elsewhere: float) -> None:
    """As many grams of sugar as designed, whatever else is in the drink."""
    designed = spec * standard / 400.0
    found = judge(spec / 4.0, standard / 100.0, batch / 100.0, designed + elsewhere)

    assert found.exact_ml * batch / 100.0 == pytest.approx(designed, rel=1e-9)


@given(exact=st.floats(min_value=0.01, max_value=140.0), spec=quarters, step=st.sampled_from(STEPS))
def test_the_best_pour_is_allowed_and_none_is_nearer(exact: float, spec: int, step: int) -> None:
    """A positive multiple of the step or the written pour, at the least distance from exact."""
    found = best_pour(exact, spec / 4.0, step / 4.0)
    pours = [pour / 4.0 for pour in allowed(spec, step)]

    assert found in pours
    assert abs(found - exact) == pytest.approx(min(abs(pour - exact) for pour in pours), abs=1e-9)


# Several syrups of one drink


class Syrup(NamedTuple):
    """One pour of a drink: written ml, g of sugar in a ml at standard and as it is, and what keeps it from moving."""

    written: float
    standard_g: float
    batch_g: float
    outside: bool = True
    fixed: bool = False


STEPS_OF_2_5 = Jigger(2.5)


def several(*syrups: Syrup, more_g: float = 0.0, jigger: Jigger = STEPS_OF_2_5, tolerance: float = 5.0) -> Decision:
    """The decision on a drink with some syrups, and more_g of sugar besides."""
    pours = [off_pour(syrup, jigger) for syrup in syrups]
    return decide(pours, more_g + sum(pour.designed_g for pour in pours), tolerance)


def off_pour(syrup: Syrup, jigger: Jigger) -> OffPour:
    small = syrup.written <= SMALL_POUR_ML
    designed = syrup.written * syrup.standard_g
    return OffPour(Amount(syrup.written), designed, syrup.batch_g, jigger, syrup.fixed, small, syrup.outside)


def poured(found: Decision) -> tuple[float, ...]:
    return tuple(amount.value for amount in found.poured)


def test_errors_that_cancel_are_poured_as_written() -> None:
    """One syrup 10 % up, the other 10 % down, equal pours: the drink has its sugar."""
    found = several(Syrup(15.0, 0.6, 0.66), Syrup(15.0, 0.6, 0.54))

    assert (found.verdict, poured(found)) == ("as written", (15.0, 15.0))
    assert found.as_written_percent == pytest.approx(0.0, abs=1e-9)


def test_a_syrup_at_standard_is_not_moved_for_another() -> None:
    """22.5 ml at 54 and 15 ml at standard: only the first moves, as if it were alone."""
    found = several(Syrup(22.5, AT_50, AT_54), Syrup(15.0, AT_50, AT_50, outside=False))
    alone = judge(22.5, AT_50, AT_54, 37.5 * AT_50)

    assert (found.verdict, poured(found)) == (alone.verdict, (alone.poured_ml, 15.0)) == ("new pour", (20.0, 15.0))


def test_a_syrup_within_its_batch_tolerance_stays_when_another_is_outside() -> None:
    """A tenth of a degree of honey must not turn the raspberry's pour round."""
    found = several(Syrup(22.5, AT_50, AT_54), Syrup(15.0, 0.77, 0.772, outside=False), more_g=2.0)

    assert (found.way, poured(found)) == ("own lines", (20.0, 15.0))


def test_syrups_that_are_all_within_their_batch_tolerance_take_their_lines() -> None:
    """8 % and 9 % too strong, and prep lets it pass: the drink does not."""
    found = several(Syrup(30.0, 0.5, 0.54, outside=False), Syrup(30.0, 0.5, 0.545, outside=False))

    assert (found.way, poured(found)) == ("own lines", (27.5, 27.5))


def test_where_own_lines_are_not_enough_the_least_movement_is_searched() -> None:
    """A fixed pour 30 % too weak beside one 12 % too strong: by its own line the drink would be 9 % too weak.

    10 g and 10 g; as written −3 + 1.2 = −9 % of 20 g. The line of the strong one, 17.5 of 20 ml, leaves −3 − 0.2
    = −16 %; written it is −9 %: nothing from 20 to 17.5 is within 5 %.
    With 6 % too little in the fixed one: as written −0.6 + 2 = +7 %; 17.5 leaves −0.6 + 0.5 = −0.5 %.
    """
    stuck = several(Syrup(20.0, 0.5, 0.35, fixed=True), Syrup(20.0, 0.5, 0.56))
    assert (stuck.way, poured(stuck)) == ("out of reach", (20.0, 20.0))
    assert stuck.as_written_percent == stuck.after_percent == pytest.approx(-9.0)

    moved = several(Syrup(20.0, 0.5, 0.47, fixed=True), Syrup(20.0, 0.5, 0.6))
    assert (moved.way, poured(moved)) == ("own lines", (20.0, 17.5))
    assert moved.after_percent == pytest.approx(-0.5)


def test_a_search_moves_only_what_it_must() -> None:
    """In steps of a millilitre: 30 and 20 % too strong in 30 ml each, and a fixed one a third too weak in 30 ml.

    15 g each; as written +4.5 + 3 − 3 = +10 %. By the own lines, 23 and 25 ml, 45 g would be −3 + 0 g, −6.7 %:
    too little, and more than half of 10. Within 5 % is 2.25 g: 2.25 g less than now, at 0.65 g a ml of the stronger:
    four steps of it, or of both.
    """
    found = several(
        Syrup(30.0, 0.5, 0.65), Syrup(30.0, 0.5, 0.6), Syrup(30.0, 0.5, 0.4, fixed=True), jigger=Jigger(1.0)
    )

    assert (found.way, poured(found)) == ("searched", (26.0, 30.0, 30.0))
    assert found.after_percent == pytest.approx(100.0 * (4.5 + 3.0 - 3.0 - 4 * 0.65) / 45.0)


def by_the_rules(pours: list[OffPour], drink_g: float, tolerance: float) -> tuple[str, tuple[float, float]]:
    """The rule word by word, every combination looked at: the way, then the error and the movement it leaves."""

    def error(amounts: Sequence[float]) -> float:
        extra = [amount * pour.per_unit_g - pour.designed_g for pour, amount in zip(pours, amounts, strict=True)]
        return 100.0 * sum(extra) / drink_g

    def measured(amounts: Sequence[float]) -> tuple[float, float]:
        steps = [
            abs(amount - pour.written.value) / pour.jigger.step for pour, amount in zip(pours, amounts, strict=True)
        ]
        return round(abs(error(amounts)), 7), round(sum(steps), 7)

    written = [pour.written.value for pour in pours]
    off = [abs(pour.written.value * pour.per_unit_g - pour.designed_g) > 1e-9 for pour in pours]
    as_written = abs(error(written))
    if as_written <= tolerance + 1e-9:
        return "as written", measured(written)
    moves = [
        is_off and not pour.fixed and (not pour.small or as_written > 20.0 + 1e-9)
        for is_off, pour in zip(off, pours, strict=True)
    ]
    if not any(moves):
        fixed = any(is_off and pour.fixed for is_off, pour in zip(off, pours, strict=True))
        return ("out of reach" if fixed else "as written"), measured(written)
    none_outside = not any(is_off and pour.outside for is_off, pour in zip(off, pours, strict=True))
    rows, lines = [], []
    for pour, free in zip(pours, moves, strict=True):
        start, exact = pour.written.value, pour.designed_g / pour.per_unit_g
        can = sorted({*(pour.jigger.pours or [pour.jigger.step * count for count in range(1, 200)]), start})
        nearest = min(can, key=lambda amount: (round(abs(amount - exact), 7), abs(amount - start)))
        lines.append(nearest if free and (pour.outside or none_outside) else start)
        low, high = sorted((start, exact))
        inside = [amount for amount in can if low - 1e-7 <= amount <= high + 1e-7]
        beyond = [amount for amount in can if (amount > high if exact > start else amount < low)]
        past = [(min if exact > start else max)(beyond)] if beyond else []
        met = any(abs(amount - exact) <= 1e-9 for amount in inside)
        rows.append([*inside, *([] if met else past)] if free else [start])
    after = abs(error(lines))
    if after <= tolerance + 1e-9 or after <= as_written / 2 + 1e-9:
        return "own lines", measured(lines)
    found = [measured(amounts) for amounts in product(*rows)]
    within = [pair for pair in found if pair[0] <= tolerance + 1e-7]
    if within:
        return "searched", min(within, key=lambda pair: (pair[1], pair[0]))
    return "out of reach", min(found)


JIGGERS = (Jigger(2.5), Jigger(1.0), Jigger(5.0), Jigger(7.5, (7.5, 15.0, 22.5, 30.0, 37.5, 45.0, 60.0)))

syrups = st.builds(
    lambda written, standard, off, outside, fixed: Syrup(
        written, standard, standard * (1.0 + off / 100.0), outside, fixed
    ),
    written=st.sampled_from([5.0, 7.5, 10.0, 15.0, 20.0, 22.0, 22.5, 30.0]),
    standard=st.integers(35, 95).map(lambda count: count / 100.0),
    off=st.one_of(st.just(0), st.integers(-3, 3), st.integers(-25, 25)),
    outside=st.booleans(),
    fixed=st.integers(0, 9).map(lambda count: count == 0),
)


@settings(max_examples=examples(400))
@given(
    menu=st.lists(syrups, min_size=1, max_size=4),
    jigger=st.sampled_from(JIGGERS),
    more_g=st.sampled_from([0.0, 2.0, 8.0]),
    tolerance=st.sampled_from([2.0, 3.0, 5.0, 8.0]),
)
def test_the_decision_is_the_rule_word_by_word(
    menu: list[Syrup], jigger: Jigger, more_g: float, tolerance: float
) -> None:
    """One to four syrups, against every combination the bar can pour."""
    pours = [off_pour(syrup, jigger) for syrup in menu]
    drink_g = more_g + sum(pour.designed_g for pour in pours)
    found = decide(pours, drink_g, tolerance)
    way, (error, movement) = by_the_rules(pours, drink_g, tolerance)

    steps = [abs(amount - syrup.written) / jigger.step for amount, syrup in zip(poured(found), menu, strict=True)]
    assert found.way == way
    assert abs(found.after_percent) == pytest.approx(error, abs=1e-6)
    assert sum(steps) == pytest.approx(movement, abs=1e-6)
    extra = [amount * pour.per_unit_g - pour.designed_g for amount, pour in zip(poured(found), pours, strict=True)]
    assert found.after_percent == pytest.approx(100.0 * sum(extra) / drink_g, abs=1e-9)


@settings(max_examples=examples(400))
@given(menu=st.lists(syrups, min_size=1, max_size=4), jigger=st.sampled_from(JIGGERS))
def test_no_pour_moves_against_its_own_error_nor_beyond_the_first_past_exact(menu: list[Syrup], jigger: Jigger) -> None:
    found = several(*menu, jigger=jigger)
    for syrup, amount in zip(menu, poured(found), strict=True):
        exact = syrup.written * syrup.standard_g / syrup.batch_g
        assert (amount - syrup.written) * (exact - syrup.written) >= -1e-9
        if abs(amount - syrup.written) > 1e-6:
            can = jigger.pours or tuple(jigger.step * count for count in range(1, 200))
            between = [pour for pour in can if min(exact, amount) + 1e-9 < pour < max(exact, amount) - 1e-9]
            assert not between or (amount - exact) * (exact - syrup.written) < 0.0
