"""The verdict on a pour: the rule word by word, and against a search of every pour a bar can make."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.engine.service.decision import SMALL_POUR_ML, OffPour, Rounded, Verdict, best_pour, round_pours
from tests.examples import examples


def judge(
    spec_ml: float,
    standard_g: float,
    batch_g: float,
    drink_g: float,
    *,
    step_ml: float = 2.5,
    tolerance: float = 5.0,
    fixed: bool = False,
) -> Rounded:
    """The verdict on a drink with one syrup; g are grams of sugar in a ml of it, and in the drink."""
    small = spec_ml <= SMALL_POUR_ML
    off = OffPour(spec_ml, spec_ml * standard_g, batch_g, step_ml, fixed=fixed, small=small)
    (rounded,) = round_pours([off], drink_g, tolerance)
    return rounded


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

    assert (found.verdict, found.poured_ml, found.nearest_ml) == ("new pour", 20.0, 20.0)
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


def two(
    first: tuple[float, float, float], second: tuple[float, float, float], drink_g: float, *, step_ml: float = 2.5
) -> tuple[Rounded, ...]:
    """Two pours, each as (written ml, g of sugar in a ml at standard, g in a ml as it is); 5 % may pass."""
    pours = [
        OffPour(spec_ml, spec_ml * standard_g, batch_g, step_ml, small=spec_ml <= SMALL_POUR_ML)
        for spec_ml, standard_g, batch_g in (first, second)
    ]
    return round_pours(pours, drink_g, 5.0)


def test_errors_that_cancel_are_poured_as_written() -> None:
    """One syrup 10 % up, the other 10 % down, equal pours: the drink has its sugar."""
    for found in two((15.0, 0.6, 0.66), (15.0, 0.6, 0.54), 18.0):
        assert (found.verdict, found.poured_ml) == ("as written", 15.0)
        assert found.as_written_percent == pytest.approx(0.0, abs=1e-9)


def test_a_syrup_at_standard_is_not_moved_for_another() -> None:
    """22.5 ml at 54 and 15 ml at standard: only the first moves, as if it were alone."""
    drink_g = 37.5 * AT_50
    moved, still = two((22.5, AT_50, AT_54), (15.0, AT_50, AT_50), drink_g)
    alone = judge(22.5, AT_50, AT_54, drink_g)

    assert (moved.verdict, moved.poured_ml) == (alone.verdict, alone.poured_ml) == ("new pour", 20.0)
    assert (still.verdict, still.poured_ml) == ("new pour", 15.0)


@settings(max_examples=examples(300))
@given(
    steps_written=st.tuples(st.integers(4, 16), st.integers(4, 16)),
    standards=st.tuples(hundredths, hundredths),
    moved=st.tuples(st.integers(-6, 6), st.integers(-6, 6)),
)
def test_two_syrups_are_searched_together(
    steps_written: tuple[int, int], standards: tuple[int, int], moved: tuple[int, int]
) -> None:
    """Of all pairs of pours: the least error, then the fewest steps from written.

    Pours in steps of 2.5 ml, sugar in hundredths of a gram per ml; a syrup that is not off stays as written.
    """
    batches = tuple(standard + change for standard, change in zip(standards, moved, strict=True))
    designed = [count * standard for count, standard in zip(steps_written, standards, strict=True)]

    def error(pair: tuple[int, int]) -> int:
        return abs(pair[0] * batches[0] + pair[1] * batches[1] - sum(designed))

    def movement(pair: tuple[int, int]) -> int:
        return abs(pair[0] - steps_written[0]) + abs(pair[1] - steps_written[1])

    near = [[spec] if not change else range(1, 200) for spec, change in zip(steps_written, moved, strict=True)]
    best = min(product(near[0], near[1]), key=lambda pair: (error(pair), movement(pair)))
    first, second = [
        (2.5 * count, standard / 100.0, batch / 100.0)
        for count, standard, batch in zip(steps_written, standards, batches, strict=True)
    ]
    found = two(first, second, 2.5 * sum(designed) / 100.0)
    poured = (round(found[0].poured_ml / 2.5), round(found[1].poured_ml / 2.5))

    assert found[0].verdict == found[1].verdict
    assert found[0].after_percent == found[1].after_percent
    if 100 * error(steps_written) <= 5 * sum(designed):
        assert (found[0].verdict, poured) == ("as written", steps_written)
    else:
        assert (error(poured), movement(poured)) == (error(best), movement(best))
