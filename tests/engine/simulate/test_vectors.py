"""The decision on arrays against the one decision of the bar, draw for draw, on houses nobody thought of."""

from __future__ import annotations

import random
from collections.abc import Sequence
from functools import partial

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.engine.drink.jigger import Jigger, pours_near
from balancer.engine.service.decision import Decision
from balancer.engine.service.menu import Menu
from balancer.engine.service.rescale import rescale
from balancer.engine.service.tonight import tonight
from balancer.engine.simulate import drawn, glasses, vectors
from balancer.engine.simulate.drawn import Batches, Drawn
from balancer.engine.simulate.glasses import VERDICTS
from balancer.engine.simulate.spread import Spread
from balancer.engine.simulate.sugar_table import SugarTable, sugar_formula
from balancer.engine.simulate.vectors import ManyDecisions, decide_many, many, nearest, sugar_at
from tests.engine.builders import BERRY, PLAIN, RUM, bar, drink
from tests.engine.prep.test_chart import FIRST_DAY, batch
from tests.engine.simulate.made import MadeBar, made_bars
from tests.examples import examples


def decided(made: MadeBar) -> ManyDecisions:
    parts = made.parts
    columns = [np.array([one[part.syrup_id] for one in made.draws]) for part in parts.parts]
    pours = [many(part, column) for part, column in zip(parts.parts, columns, strict=True)]
    return decide_many(pours, parts)


def by_the_bar(made: MadeBar, strengths: dict[str, float]) -> Decision:
    """What the bar itself decides, with every liquid worked out by its formula."""
    return Menu(made.bar, strengths).decide(made.drink).decision


@settings(max_examples=examples(600))
@given(made_bars())
def test_every_draw_is_decided_as_the_bar_decides(made: MadeBar) -> None:
    """Verdict and every pour."""
    found = decided(made)
    for at, strengths in enumerate(made.draws):
        alone = by_the_bar(made, strengths)
        assert VERDICTS[found.verdicts[at]] == alone.verdict, strengths
        assert [row[at] for row in found.poured] == pytest.approx([one.value for one in alone.poured], abs=1e-6)


@settings(max_examples=examples(100))
@given(made_bars())
def test_every_draw_is_what_rescale_says(made: MadeBar) -> None:
    """The pour of the drink's row, with the other syrups as they read: the answer that a person sees."""
    found = decided(made)
    for at, strengths in enumerate(made.draws):
        for place, part in enumerate(made.parts.parts):
            others = {each: brix for each, brix in strengths.items() if each != part.syrup_id}
            (row,) = rescale(made.bar, part.syrup_id, strengths[part.syrup_id], others=others).rows
            assert found.poured[place][at] == pytest.approx(row.poured.value, abs=1e-6)
            assert row.decided.decision.verdict == VERDICTS[found.verdicts[at]]


@settings(max_examples=examples(100))
@given(made_bars(most_off=4.0))
def test_every_draw_is_what_tonight_says(made: MadeBar) -> None:
    """With a batch of every syrup open, each read as strong as it is; none so far off that it is read again first."""
    found = decided(made)
    for at, strengths in enumerate(made.draws):
        opened = [
            batch(number, brix, liquid=each, id=each, state="open")
            for number, (each, brix) in enumerate(strengths.items())
        ]
        result = tonight(made.bar, opened, FIRST_DAY)
        poured = {item.batch.liquid: row.poured.value for item, row in result.rows}
        assert poured == {
            part.syrup_id: pytest.approx(found.poured[place][at], abs=1e-6)
            for place, part in enumerate(made.parts.parts)
        }
        assert {row.decided.decision.verdict for _, row in result.rows} == {VERDICTS[found.verdicts[at]]}


@settings(max_examples=examples(200))
@given(made_bars(), st.randoms(use_true_random=False))
def test_counts_are_those_of_the_plain_way(made: MadeBar, chance: random.Random) -> None:
    """What is read, known and true are three things; the two ways agree to the last bit on all that they count."""

    def shuffled(each: str) -> list[float]:
        return chance.sample(column := [one[each] for one in made.draws], len(column))

    of_syrups = {
        each: Drawn(shuffled(each), shuffled(each), shuffled(each), shuffled(each), 0) for each in made.bar.specs.syrups
    }
    assert vectors.pour_menu([made.parts], of_syrups) == glasses.pour_menu([made.parts], of_syrups)


@given(
    st.lists(st.floats(0.05, 90.0), min_size=1, max_size=20),
    st.sampled_from([0.1, 2.5, 5.0, 7.39338]),
    st.sampled_from([5.0, 20.0, 22.18014, 22.5, 33.3]),
    st.booleans(),
)
def test_the_nearest_pours_are_those_of_the_jigger(exact: list[float], step: float, written: float, ties: bool) -> None:
    """Half-way between two pours too, where the one nearer to the written pour is taken."""
    if ties:
        exact = [step * round(one / step) + step / 2.0 for one in exact]
    for jigger in (Jigger(step), Jigger(step, tuple(pours_near(20.0, step, 3)))):
        assert nearest(jigger, np.array(exact), written).tolist() == [jigger.nearest(one, written) for one in exact]


@pytest.mark.parametrize("scale", [None, {"division": "1 g"}])
@pytest.mark.parametrize("sd", [0.0, 2.0, 15.0])
def test_batches_are_those_of_the_plain_way(sd: float, scale: dict[str, str] | None) -> None:
    """To the last bit, over several calls: a stream goes on where it was left. Without a scale masses are drawn too."""
    of_bar = bar(RUM, PLAIN, **({"scale": scale} if scale else {}))
    plain, arrays = (Batches(of_bar, Spread(PLAIN, 50.0, 50.5, sd, 0.35, None), 7) for _ in range(2))
    for count in (1, 700, 3000):
        one, other = drawn.next_batches(plain, count), vectors.next_batches(arrays, count)
        for row, column in zip(one[:4], other[:4], strict=True):
            assert list(row) == as_floats(column)
        assert one.outside == other.outside


def as_floats(column: Sequence[float]) -> list[float]:
    return [float(one) for one in column]


def test_a_chance_of_nothing_is_no_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """A stream gives a zero once in 2⁵³ times, which no normal value has for its chance."""

    class Empty(random.Random):
        def random(self) -> float:
            return 0.0

    of_bar = bar(RUM, PLAIN)
    batches = Batches(of_bar, Spread(PLAIN, 50.0, 50.0, 2.0, 0.3, None), 1)
    batches.streams = [Empty() for _ in batches.streams]
    low, _ = batches.reaches
    assert drawn.next_batches(batches, 2).true == [low, low]

    monkeypatch.setattr(vectors, "_uniforms", lambda _stream, count: np.zeros(count))
    assert as_floats(vectors.next_batches(batches, 2).true) == [low, low]


def test_a_search_of_two_syrups_is_left_to_the_decision() -> None:
    """Both a little off, the own lines no help: the least movement is found, as the bar finds it."""
    both = drink("Both", "30 ml berry syrup", "22.5 ml plain syrup")
    of_bar = bar(BERRY, PLAIN, both, jigger_step="5 ml")
    offs = [(round(50.0 + x / 4, 2), round(50.0 + y / 4, 2)) for x in range(-20, 21) for y in range(-20, 21)]
    made = MadeBar(of_bar, both, [{"berry-syrup": one, "plain-syrup": other} for one, other in offs])
    found = decided(made)
    alone = [by_the_bar(made, strengths) for strengths in made.draws]
    assert {one.way for one in alone} == {"as written", "own lines", "searched", "out of reach"}
    assert [VERDICTS[code] for code in found.verdicts] == [one.verdict for one in alone]


def test_what_prep_lets_pass_is_repoured_where_nothing_else_is_off() -> None:
    """Within its batch tolerance and yet out of the drink's: its own line is taken, as nothing else could be."""
    spec = drink("One", "30 ml berry syrup")
    of_bar = bar(BERRY, spec, jigger_step="0.5 ml", tolerance="3 %", batch_tolerance="2 °Bx")
    made = MadeBar(of_bar, spec, [{"berry-syrup": brix} for brix in (48.2, 50.0, 51.8, 53.0)])
    found = decided(made)
    assert [VERDICTS[code] for code in found.verdicts] == ["new pour", "as written", "new pour", "new pour"]
    assert [row.poured[0].value for row in map(partial(by_the_bar, made), made.draws)] == list(found.poured[0])


def test_tabulated_sugar_is_that_of_the_plain_way() -> None:
    """To the last bit, from end to end of the table and a little beyond."""
    table = SugarTable(sugar_formula(PLAIN, by_weight=False), 50.0, 44.0, 57.0)
    brix = np.linspace(43.9, 57.1, 5000)
    assert sugar_at(table, brix).tolist() == [table.at(one) for one in brix.tolist()]
