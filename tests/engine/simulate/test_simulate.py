"""What measuring is worth: cases worked out by hand, and what must hold whatever the menu is."""

from __future__ import annotations

from math import inf, sqrt
from statistics import NormalDist, fmean, stdev
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.engine.drink.bar import Bar
from balancer.engine.simulate.drawn import Batches, Drawn, left_by_correction, next_batches
from balancer.engine.simulate.glasses import BINS, pour_menu
from balancer.engine.simulate.result import Simulation
from balancer.engine.simulate.shelf import SyrupShelf
from balancer.engine.simulate.simulate import simulate
from balancer.engine.simulate.spread import Spread
from balancer.errors import CannotError
from balancer.models.drink import Drink
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, bar, drink, ingredient, syrup
from tests.engine.prep.test_chart import history
from tests.engine.simulate.made import ready
from tests.examples import examples

ONE = drink("One", "60 ml gold rum", "30 ml plain syrup")
"""All its sugar is the syrup's, so 5 % of the drink is 5 % of the syrup's sugar in a ml."""
LOWER_BRIX, UPPER_BRIX = 47.94, 52.02
"""Where that is 5 % less and more than at 50 °Bx, by the densities printed for 46, 48, 50 and 54 °Bx [CRC]:
0.5 × 1.2296 = 0.6148 g/ml; 0.95 of it lies 0.06 below 48 °Bx (0.5849, and 0.5556 at 46), 1.05 of it at 52.01 on the
straight line to 54 (0.6760), which bends up by 0.01."""
TOLD = 0.4
"""What the limits and the chances of 40,000 draws leave open, in parts of 100."""


def one_bar(*drinks: Drink, **house: Any) -> Bar:
    return bar(RUM, LIME, PLAIN, BERRY, *(drinks or (ONE,)), **({"jigger_step": "2.5 ml"} | house))


def outside(spread: NormalDist) -> float:
    """Of 100 batches, those whose sugar in a ml is 5 % off."""
    return 100.0 * (spread.cdf(LOWER_BRIX) + 1.0 - spread.cdf(UPPER_BRIX))


@pytest.mark.parametrize("sd", [0.7, 1.0, 2.0, 4.0])
def test_one_syrup_poured_as_written(sd: float) -> None:
    """The share of a normal distribution beyond two limits."""
    found = simulate(one_bar(), sd_brix=sd, draws=40_000)
    assert found.out.as_written == pytest.approx(
        outside(NormalDist(50.0, sd)), abs=TOLD + 4.0 * found.by_chance.as_written
    )


def test_half_of_the_sugar_varies() -> None:
    """The other half comes from elsewhere: 5 % of the drink is 10 % of the syrup's sugar, 4 °Bx to either side."""
    cola = ingredient("cola", sugar="100 g/l", allergens=[])
    half = drink("Half", "30 ml plain syrup", "184.44 ml cola", method="built")  # 18.444 g of sugar each
    found = simulate(bar(PLAIN, cola, half), sd_brix=3.0, draws=40_000)
    # 0.9 × 0.6148 = 0.5533 is 45.84 °Bx (0.5556 at 46, 0.0147 a °Bx); 1.1 × 0.6148 = 0.6763 is 54.02 (0.6760 at 54)
    spread = NormalDist(50.0, 3.0)
    expected = 100.0 * (spread.cdf(45.84) + 1.0 - spread.cdf(54.02))
    assert found.out.as_written == pytest.approx(expected, abs=TOLD + 4.0 * found.by_chance.as_written)


def test_with_an_exact_reading_and_a_fine_jigger_nothing_is_out() -> None:
    """Measuring is worth all of it then."""
    found = simulate(one_bar(jigger_step="0.01 ml"), sd_brix=3.0, reading_brix=0.0, draws=4_000)
    assert found.out.as_written > 40.0
    assert found.out.new_pours == found.out.corrected == 0.0


def test_a_bar_that_pours_free_gains_by_a_correction_alone() -> None:
    """Nobody is asked for another pour, so a reading by itself changes nothing."""
    found = simulate(one_bar(pour_style="free"), sd_brix=3.0, draws=4_000)
    assert found.out.new_pours == found.out.as_written > 40.0
    assert found.out.corrected < 1.0


def test_what_is_measured_is_not_what_is_true() -> None:
    """54 read as 50 is poured as written, and a tenth too sweet; 50 read as 54 loses 2.5 of 30 ml for nothing."""
    (part,) = ready(one_bar(), ONE).parts
    true, read = [54.0, 50.0, 54.0], [50.0, 54.0, 54.0]
    drawn = {part.syrup_id: Drawn(true, read, read, true, 0)}
    found = pour_menu([ready(one_bar(), ONE)], drawn).drinks[0]
    # 0.6760 over 0.6148 is +10.0 % (bin 9 by the formula's 9.96); 27.5 of 30 ml are -8.3 %; 27.5 of 54 °Bx are +0.8 %
    assert [index - BINS for index, count in enumerate(found.bins[1]) if count] == [-9, 0, 9]
    assert found.out == (2, 2, 2)
    assert found.off[1] == pytest.approx(9.96 + 8.33 + 0.79, abs=0.05)
    assert found.verdicts == (1, 2, 0)


def test_a_correction_leaves_the_error_of_its_reading() -> None:
    """Every batch corrected, with a reading that is off by 1 °Bx: what is out is what that leaves beyond the limits.

    A batch read as R of 50 gets (R - 50)/50 of its weight in water: of a true T, 50 T/R is left.
    """
    of_bar = one_bar(batch_tolerance="0.01 °Bx")
    found = simulate(of_bar, sd_brix=2.0, reading_brix=1.0, draws=40_000)
    assert found.out.corrected == pytest.approx(
        outside(NormalDist(50.0, 1.0)), abs=0.6 + 4.0 * found.by_chance.corrected
    )
    assert left_by_correction(54.0, 52.0, 50.0, 0.0, 1.0) == pytest.approx(50.0 * 54.0 / 52.0)
    # 47 taken for 46: 4/50 of its weight in dry sugar
    assert left_by_correction(47.0, 46.0, 50.0, 100.0, 1.0) == pytest.approx((47.0 + 8.0) / 1.08)
    # a tenth too much water, because the tub holds less than was judged
    assert left_by_correction(55.0, 55.0, 50.0, 0.0, 1.1) == pytest.approx(55.0 / 1.11)


def test_what_prep_lets_pass_is_not_corrected() -> None:
    """A batch within tolerance stays as it is; the others are known to be at their standard, and nearly are."""
    of_bar = bar(RUM, PLAIN, scale={"division": "1 g"}, batch_tolerance="1 °Bx")
    found = next_batches(Batches(of_bar, Spread(PLAIN, 50.0, 50.0, 2.0, 0.3, None), 1), 5000)
    kept = [abs(read - 50.0) <= 1.0 for read in found.read]
    assert found.outside == kept.count(False)
    for is_kept, true, read, known, after in zip(kept, *found[:4], strict=True):
        assert (known, after) == (read, true) if is_kept else known == 50.0
    left = [after - 50.0 for is_kept, after in zip(kept, found.corrected, strict=True) if not is_kept]
    assert fmean(left) == pytest.approx(0.0, abs=0.03)
    assert stdev(left) == pytest.approx(0.3, abs=0.02)


def test_without_a_scale_a_correction_is_less_sure() -> None:
    """A mass judged by eye is 5 % off: 4 °Bx too much is corrected by 0.2 too much or too little."""
    spread = Spread(PLAIN, 50.0, 54.0, 0.0, 0.0, None)
    found = next_batches(Batches(bar(RUM, PLAIN), spread, 1), 4000)
    assert stdev(found.corrected) == pytest.approx(0.05 * 4.0 * 50.0 / 54.0, rel=0.05)
    weighed = next_batches(Batches(bar(RUM, PLAIN, scale={"division": "1 g"}), spread, 1), 10)
    assert weighed.corrected == pytest.approx([50.0] * 10)


def test_batches_are_drawn_as_spread_and_readings_about_them() -> None:
    """Mean and standard deviation, and that a reading is off independently of what it reads."""
    found = next_batches(Batches(bar(RUM, PLAIN), Spread(PLAIN, 50.0, 51.0, 2.0, 0.5, None), 4), 40_000)
    off = [read - true for read, true in zip(found.read, found.true, strict=True)]
    assert (fmean(found.true), stdev(found.true)) == pytest.approx((51.0, 2.0), abs=0.04)
    assert (fmean(off), stdev(off)) == pytest.approx((0.0, 0.5), abs=0.01)
    products = [one * (true - 51.0) for one, true in zip(off, found.true, strict=True)]
    assert fmean(products) == pytest.approx(0.0, abs=4.0 / sqrt(40_000))


@settings(max_examples=examples(50))
@given(st.floats(0.0, 6.0), st.floats(0.0, 6.0), st.integers(0, 50))
def test_the_more_it_varies_the_more_is_out(one: float, other: float, seed: int) -> None:
    """With the same chances, draw by draw: never the other way round."""
    less, more = sorted((one, other))
    found = [simulate(one_bar(), sd_brix=sd, seed=seed, draws=400).out.as_written for sd in (less, more)]
    assert found[0] <= found[1]


def test_what_never_varies_is_never_out() -> None:
    """Nor is a syrup that reads right moved by a reading that is a little off."""
    found = simulate(one_bar(), sd_brix=0.0, draws=2_000)
    assert found.out.as_written == 0.0
    assert found.out.new_pours < 0.5


def test_the_same_seed_gives_the_same_answer_and_another_one_nearly() -> None:
    """Whether numpy is there or not."""
    menu = one_bar(ONE, drink("Two", "60 ml gold rum", "15 ml plain syrup", "15 ml berry syrup"))

    def run(seed: int, vectors: bool) -> Simulation:
        return simulate(menu, sd_brix=2.0, seed=seed, draws=300, vectors=vectors)

    assert run(1, True) == run(1, True) == run(1, False)
    assert run(1, True) != run(2, True)
    one, other = (simulate(menu, sd_brix=2.0, seed=seed, draws=10_000) for seed in (1, 2))
    assert one.out.as_written == pytest.approx(other.out.as_written, abs=6.0 * one.by_chance.as_written)


@pytest.mark.parametrize("vectors", [True, False])
def test_draws_made_in_parts_are_the_same(vectors: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """As many as the memory holds at a time."""
    menu = one_bar(ONE, drink("Two", "60 ml gold rum", "15 ml plain syrup", "15 ml berry syrup"))
    whole = simulate(menu, sd_brix=3.0, draws=300, vectors=vectors)
    monkeypatch.setattr("balancer.engine.simulate.simulate._AT_ONCE", 70)
    parts = simulate(menu, sd_brix=3.0, draws=300, vectors=vectors)
    assert (parts.out, parts.bins, parts.by_chance) == (whole.out, whole.bins, whole.by_chance)
    assert parts.off == pytest.approx(whole.off, rel=1e-12)


def test_a_drink_does_not_change_with_what_else_is_asked() -> None:
    """Every syrup has its own chances."""
    menu = one_bar(ONE, drink("Other", "60 ml gold rum", "22.5 ml berry syrup"))
    alone = simulate(menu, sd_brix=2.0, drinks=[ONE], draws=1_000)
    beside = simulate(menu, sd_brix=2.0, own_sd_brix={"berry-syrup": 9.0}, draws=1_000)
    assert alone.drinks[0] in beside.drinks


def test_by_chance_is_what_runs_differ_by() -> None:
    """Two drinks of one syrup go out together, so that they tell hardly more than one."""
    menu = one_bar(ONE, replace_name(ONE, "Twin"))
    runs = [simulate(menu, sd_brix=2.0, seed=seed, draws=400) for seed in range(60)]
    assert stdev(one.out.as_written for one in runs) == pytest.approx(
        fmean(one.by_chance.as_written for one in runs), rel=0.3
    )
    assert simulate(one_bar(), sd_brix=2.0, draws=400).by_chance.as_written == pytest.approx(
        sqrt(0.31 * 0.69 / 400) * 100.0, rel=0.1
    )


def replace_name(spec: Drink, name: str) -> Drink:
    """The same drink by another name."""
    return spec.model_copy(update={"name": name, "id": name.casefold()})


def test_every_draw_is_in_a_bin_and_has_a_verdict() -> None:
    found = simulate(one_bar(ONE, replace_name(ONE, "Twin")), sd_brix=5.0, draws=1_000)
    assert [sum(row) for row in found.bins] == [2_000] * 3
    assert all(sum(one.verdicts.values()) == pytest.approx(100.0) for one in found.drinks)


def test_what_nobody_knows_the_spread_of_is_named() -> None:
    """Never taken for steady: the drink is left out, and the log's few batches are told."""
    both = drink("Both", "60 ml gold rum", "15 ml plain syrup", "15 ml berry syrup")
    neat = drink("Neat", "60 ml gold rum", method="built")
    menu = one_bar(
        ONE, both, drink("Berry", "22.5 ml berry syrup"), neat, drink("Rinsed", "60 ml gold rum", "rinse berry syrup")
    )
    few = history([50.0, 53.0, 47.0])
    found = simulate(menu, few, own_sd_brix={"plain-syrup": 2.0}, draws=400)
    assert [one.drink.name for one in found.drinks] == ["One"]
    assert [(one.drink.name, [each.id for each in one.syrups]) for one in found.untold] == [
        ("Both", ["berry-syrup"]),
        ("Berry", ["berry-syrup"]),
    ]
    assert [(each.id, count) for each, count in found.too_few] == [("berry-syrup", 3)]
    assert [one.name for one in found.steady] == ["Neat", "Rinsed"]


def test_the_log_is_taken_where_nothing_is_given() -> None:
    """Batches that always come out strong are out as written, and their own spread is told."""
    menu = one_bar(drink("Berry", "60 ml gold rum", "30 ml berry syrup"))
    found = simulate(menu, history([53.0, 54.0, 53.5, 53.0, 54.0, 53.5, 53.0, 54.0]), draws=1_000)
    assert found.syrups[0].spread.mean_brix == pytest.approx(53.5)
    assert found.out.as_written > 95.0 > found.out.new_pours
    assert simulate(menu, history([53.0] * 8), sd_brix=0.1, draws=400).out.as_written == 0.0


def test_without_any_spread_there_is_no_answer() -> None:
    with pytest.raises(CannotError, match="too few batches"):
        simulate(one_bar())
    with pytest.raises(CannotError, match="no drink asked about pours a syrup"):
        simulate(one_bar(drink("Neat", "60 ml gold rum", method="built")), sd_brix=2.0)


@pytest.mark.parametrize(
    "keys",
    [
        {"sd_brix": -1.0},
        {"sd_brix": float("nan")},
        {"sd_brix": 40.0},
        {"own_sd_brix": {"plain-syrup": 99.0}},
        {"sd_brix": 1.0, "reading_brix": -0.1},
        {"sd_brix": 1.0, "draws": 0},
        {"sd_brix": 1.0, "draws": 10**9},
    ],
)
def test_values_that_cannot_be_meant(keys: dict[str, Any]) -> None:
    with pytest.raises(CannotError):
        simulate(one_bar(), **keys)


def test_unknown_sugar_makes_the_figures_the_most_they_can_be() -> None:
    """More sugar in the drink would carry part of the error."""
    liqueur = ingredient("liqueur", kind="liqueur", abv="30 %", allergens=[])
    unsure = drink("Unsure", "30 ml liqueur", "30 ml plain syrup")
    found = simulate(bar(RUM, PLAIN, liqueur, ONE, unsure), sd_brix=2.0, draws=200)
    assert {one.drink.name: one.is_most for one in found.drinks} == {"One": False, "Unsure": True}
    assert found.is_most


def test_batches_read_so_far_off_that_nobody_pours_by_them_are_told() -> None:
    """A fifth less sugar in a ml than 0.6148 g is 0.4918, and a fifth more 0.7378.

    By the printed densities [CRC] 40 °Bx has 0.4706 (1.1764 g/ml) and 42 has 0.4985 (1.1868): 41.5. 55 has 0.6916
    (1.2575, recalled) and 60 has 0.7718 (1.2864): 57.9.
    """
    of_bar, spread = one_bar(), Spread(PLAIN, 50.0, 50.0, 6.0, 0.0, None)
    low, high = SyrupShelf(of_bar, {PLAIN.id: Batches(of_bar, spread, 1)}).doubted(PLAIN.id)
    assert (low, high) == pytest.approx((41.5, 57.9), abs=0.06)
    found = simulate(of_bar, sd_brix=6.0, reading_brix=0.0, draws=40_000).syrups[0]
    chance = NormalDist(50.0, 6.0)
    assert found.doubtful == pytest.approx(100.0 * (chance.cdf(41.5) + 1.0 - chance.cdf(57.9)), abs=0.8)
    assert found.outside == pytest.approx(100.0 * 2.0 * chance.cdf(49.0), abs=0.8)


def test_a_syrup_that_cannot_be_read_far_off_is_never_doubted() -> None:
    """Nothing that could be drawn of it is a fifth off."""
    of_bar, spread = one_bar(), Spread(PLAIN, 50.0, 50.0, 0.5, 0.0, None)
    assert SyrupShelf(of_bar, {PLAIN.id: Batches(of_bar, spread, 1)}).doubted(PLAIN.id) == (-inf, inf)


def test_the_worst_come_first() -> None:
    """Drinks and syrups by how many are out as written."""
    names = [f"syrup {number}" for number in range(3)]
    drinks = [drink(f"D{number}", "60 ml gold rum", f"30 ml {name}") for number, name in enumerate(names)]
    menu = bar(RUM, *[syrup(name) for name in names], *drinks)
    own = {"syrup-0": 1.0, "syrup-1": 3.0, "syrup-2": 2.0}
    found = simulate(menu, own_sd_brix=own, draws=2_000)
    assert [one.drink.name for one in found.drinks] == ["D1", "D2", "D0"]
    assert [one.spread.syrup.id for one in found.syrups] == ["syrup-1", "syrup-2", "syrup-0"]
    assert found.out.as_written == pytest.approx(fmean(one.out.as_written for one in found.drinks))
