"""One answer from every door: night, rescale, strip and label of random houses say the same of every pour."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.bar import Bar
from balancer.engine.service.labels import Label, labels
from balancer.engine.service.lines import BottleLines, lines_of
from balancer.engine.service.rescale import rescale
from balancer.engine.service.strips import strips
from balancer.engine.service.tonight import BatchTonight, Tonight, tonight
from balancer.models.batch import Batch
from balancer.models.drink import Drink
from tests.engine.builders import LIME, RUM, bar, drink, syrup
from tests.engine.service.test_tonight import NIGHT, batch
from tests.examples import examples

HOUSES: list[dict[str, Any]] = [
    {},
    {"jigger_step": "1 ml"},
    {"jigger_step": "1/4 oz", "ounce": "30 ml", "show": "oz"},
    {"jigger_lines": ["10 ml", "15 ml", "25 ml"]},
    {"pour_style": "scale"},
    {"pour_style": "scale", "scale": {"division": "0.1 g"}},
    {"pour_style": "free"},
]
STANDARDS = {"first syrup": 50.0, "second syrup": 60.0, "third syrup": 66.7, "fourth syrup": 42.0}


@dataclass(frozen=True)
class Evening:
    """A bar and what is open in it."""

    bar: Bar
    open_ones: tuple[Batch, ...]

    def night(self) -> Tonight:
        return tonight(self.bar, self.open_ones, NIGHT)


@st.composite
def drinks(draw: st.DrawFn, number: int) -> Drink:
    names = draw(st.lists(st.sampled_from(list(STANDARDS)), min_size=1, max_size=4, unique=True))
    pours: list[dict[str, Any]] = []
    for name in names:
        amount = draw(
            st.sampled_from(["5 ml", "7.5 ml", "10 ml", "15 ml", "22.5 ml", "30 ml", "40 ml", "18 g", "30 g"])
        )
        fixed = draw(st.integers(0, 9)) == 0
        pours.append({"pour": amount, "of": name, "fixed": "true" if fixed else "false"})
    return drink(f"Drink {number}", "60 ml gold rum", "22.5 ml lime juice", *pours)


@st.composite
def evenings(draw: st.DrawFn) -> Evening:
    """One to four syrups up to 6 °Bx off, in a house that steps, has lines, weighs or pours free."""
    count = draw(st.integers(1, 4))
    menu = [draw(drinks(number)) for number in range(draw(st.integers(1, 5)))]
    syrups = [syrup(name, standard=f"{standard} °Bx") for name, standard in STANDARDS.items()]
    offs = draw(st.lists(st.integers(-60, 60).map(lambda tenths: tenths / 10.0), min_size=count, max_size=count))
    open_ones = tuple(
        batch(f"{one.id[:3].upper()}-1", one.id, round(STANDARDS[one.name] + off, 1))
        for one, off in zip(syrups, offs, strict=False)
    )
    return Evening(bar(RUM, LIME, *syrups, *menu, **draw(st.sampled_from(HOUSES))), open_ones)


def assert_label(label: Label, lines: BottleLines, item: BatchTonight) -> None:
    """Whoever goes by a label pours what was decided, but for the drinks that it leaves to the strip.

    What hangs on another bottle is no line of a label; where that leaves none out, the lines are those of the strip.
    """
    if not label.hanging:
        assert label.lines.conversions == lines.conversions
    left = {drink.id for drink in label.hanging}
    for row in item.rescale.rows:
        if row.drink.id not in left and row.verdict != "out of reach":
            assert by_the_bottle(label.lines, row.drink, row.written).is_same(row.poured)


def by_the_bottle(lines: BottleLines, drink: Drink, written: Amount) -> Amount:
    """What somebody pours who goes by what hangs on a bottle, and by nothing else."""
    own = [one.poured for one in lines.own_pours if one.drink.id == drink.id]
    line = [one.poured for one in lines.conversions if one.written.is_same(written)]
    return [*own, *line, written][0]


@settings(max_examples=examples(150), deadline=None)
@given(evenings())
def test_rescale_strip_and_label_say_what_the_night_does(evening: Evening) -> None:
    night = evening.night()
    hanging = {strip.batch.id: strip.lines for strip in strips(evening.bar, night, evening.open_ones).strips}
    printed = {
        label.item.batch.id: label
        for label in labels(evening.bar, night, evening.open_ones, evening.open_ones).labels
        if not label.is_doubted
    }
    for item in night.batches:
        others = {one: brix for one, brix in night.menu.strengths.items() if one != item.batch.liquid}
        again = rescale(evening.bar, item.batch.liquid, item.batch.brix or 0.0, others=others)
        assert [row.decided.decision for row in again.rows] == [row.decided.decision for row in item.rescale.rows]
        assert (again.conversions, again.advice) == (item.rescale.conversions, item.rescale.advice)
        lines = lines_of(item.rescale)
        assert hanging.get(item.batch.id, lines) == lines
        advice = item.rescale.advice
        is_asked = bool(lines.unreached) and advice.word != "correct the batch"  # no pour, and correcting it is no help
        assert (item.batch.id in hanging) == ((lines.moves or is_asked) and not advice.is_unsure)
        if item.batch.id in printed:
            assert_label(printed[item.batch.id], lines, item)


@settings(max_examples=examples(150), deadline=None)
@given(evenings())
def test_whoever_goes_by_the_bottles_pours_what_was_decided(evening: Evening) -> None:
    """Lines, and the drinks named beside them; what no pour is right for is named and nothing else is."""
    for item in evening.night().batches:
        lines = lines_of(item.rescale)
        unreached = {row.drink.id: row for row in item.rescale.rows if row.verdict == "out of reach"}
        named = {drink.id for drink in lines.unreached}
        assert {identity for identity, row in unreached.items() if row.is_to_blame} <= named <= unreached.keys()
        for row in item.rescale.rows:
            if row.verdict != "out of reach":
                assert by_the_bottle(lines, row.drink, row.written).is_same(row.poured)


@settings(max_examples=examples(150), deadline=None)
@given(evenings())
def test_one_drink_has_one_decision(evening: Evening) -> None:
    """Seen from each of its bottles; what moves with a pour is what the other rows pour."""
    night = evening.night()
    seen: dict[str, list[tuple[str, Amount, dict[str, Amount]]]] = {}
    for item, row in night.rows:
        if night.now.counting.get(item.batch.liquid) == item.batch:
            moved = {one.syrup_id: one.poured for one in row.companions}
            seen.setdefault(row.drink.id, []).append((item.batch.liquid, row.poured, moved))
            assert row.decided is night.menu.decide(row.drink)
    for rows in seen.values():
        poured = {liquid: amount for liquid, amount, _ in rows}
        for _, _, moved in rows:
            assert {liquid: poured[liquid] for liquid in moved} == moved


@settings(max_examples=examples(150), deadline=None)
@given(evenings())
def test_no_pour_moves_against_its_own_error_nor_further_than_it_must(evening: Evening) -> None:
    """Towards its exact pour, to the first that can be poured at or past it; and a new pour is worth it."""
    tolerance = evening.bar.specs.house.tolerance
    for _, row in evening.night().rows:
        written, exact, poured = row.written.value, row.exact.value, row.poured.value
        assert row.poured.unit == row.written.unit == row.exact.unit
        assert (poured - written) * (exact - written) >= -1e-9
        if row.moves:
            jigger = row.own.jigger
            can = jigger.pours or tuple(jigger.step * count for count in range(1, 2000))
            low, high = sorted((exact, poured))
            between = [pour for pour in can if low + 1e-6 < pour < high - 1e-6]
            assert not between or (poured - exact) * (exact - written) < 0.0
            assert any(abs(pour - poured) < 1e-6 for pour in can)
            assert not row.pour.fixed
        match row.decided.decision.way:
            case "own lines":
                limit = max(tolerance, abs(row.as_written_percent) / 2.0)
                assert abs(row.after_percent) <= limit + 1e-6
            case "searched":
                assert abs(row.after_percent) <= tolerance + 1e-6
            case "out of reach":
                assert abs(row.as_written_percent) > tolerance
                assert abs(row.after_percent) <= abs(row.as_written_percent) + 1e-9
            case "as written":
                assert row.after_percent == pytest.approx(row.as_written_percent)
