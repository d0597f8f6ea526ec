"""Swap, fits, aim and compare at one setting: they agree with each other, and with sums over the liquids."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.engine.batch.now import in_use
from balancer.engine.drink.liquid import syrup_liquid
from balancer.engine.swaps.across import stand_ins
from balancer.engine.swaps.aim import aim
from balancer.engine.swaps.at import STANDARD, At, offered, tonight
from balancer.engine.swaps.compare import compare
from balancer.engine.swaps.fits import fits
from balancer.engine.swaps.swap import swap
from balancer.errors import CannotError
from balancer.models.batch import Batch
from tests.engine.builders import LIME, RUM, bar, drink, syrup
from tests.examples import examples

ONE = syrup("one syrup", acid="9 g/kg", allergens=[])
TWO = syrup("two syrup", standard="45 °Bx", allergens=[])
THREE = syrup("three syrup", standard="60 °Bx", allergens=[])
SPEC = drink("Spec", "60 ml gold rum", "22.5 ml lime juice", "22.5 ml one syrup", "10 ml three syrup")
HOUSE = bar(RUM, LIME, ONE, TWO, THREE, SPEC)
DAY = date(2026, 11, 25)
SYRUPS = ("one-syrup", "two-syrup", "three-syrup")


@st.composite
def logs(draw: Callable[[st.SearchStrategy[object]], object]) -> list[Batch]:
    """Batches of every syrup, open or not, read or not, past their day or not."""
    found = []
    for number in range(draw(st.integers(0, 7))):  # type: ignore[call-overload]
        brix = draw(st.one_of(st.none(), st.floats(42.0, 64.0)))
        discard = draw(st.sampled_from([None, date(2026, 11, 24), DAY, date(2026, 11, 30)]))
        opened = datetime(2026, 11, 20, 10, number, tzinfo=UTC)
        state = draw(st.sampled_from(["open", "open", "made", "empty"]))
        of = draw(st.sampled_from(SYRUPS))
        found.append(
            Batch(f"B-{number}", of, state, brix, 0.3, None, 1.0, None, discard, None, opened, (), True, (), None, None)  # type: ignore[arg-type]
        )
    return found


def strength_by_hand(batches: list[Batch], syrup_id: str) -> float:
    """The rule read literally: the first opened open batch with a strength, not past its day, within 20 % of sugar."""
    standard = HOUSE.standard(syrup_id)
    written = syrup_liquid(HOUSE.specs.syrups[syrup_id], standard).sugar_g_per_ml
    for each in batches:
        usable = each.state == "open" and each.liquid == syrup_id and each.brix is not None
        if not usable or (each.discard is not None and each.discard < DAY):
            continue
        assert each.brix is not None
        sugar = syrup_liquid(HOUSE.specs.syrups[syrup_id], each.brix).sugar_g_per_ml
        if abs(sugar / written - 1.0) <= 0.2:
            return each.brix
    return standard


def only_past(batches: list[Batch], syrup_id: str) -> bool:
    """Whether every open batch of a syrup is past its last day, and there is one."""
    opened = [each for each in batches if each.liquid == syrup_id and each.state == "open"]
    return bool(opened) and all(each.discard is not None and each.discard < DAY for each in opened)


@settings(max_examples=examples(150), deadline=None)
@given(batches=logs(), is_tonight=st.booleans())
def test_the_four_agree_at_either_setting(batches: list[Batch], is_tonight: bool) -> None:
    at = tonight(HOUSE, in_use(HOUSE, batches, DAY)) if is_tonight else STANDARD
    brix = {each: strength_by_hand(batches, each) if is_tonight else HOUSE.standard(each) for each in SYRUPS}
    per_ml = {each: syrup_liquid(HOUSE.specs.syrups[each], brix[each]).sugar_g_per_ml for each in SYRUPS}
    wanted = 22.5 * per_ml["one-syrup"] / per_ml["two-syrup"]
    fitting = fits(HOUSE, SPEC, "one-syrup", ["two-syrup", "three-syrup"], at)
    aimed = aim(HOUSE, "two-syrup", "one-syrup", [SPEC], at)
    assert aimed.made.sugar_g_per_ml == pytest.approx(per_ml["one-syrup"], rel=1e-9)
    assert aimed.drinks[0].moved.sugar_percent == pytest.approx(0.0, abs=1e-6)

    if is_tonight and only_past(batches, "two-syrup"):
        with pytest.raises(CannotError) as caught:
            swap(HOUSE, SPEC, "one-syrup", "two-syrup", at=at)
        assert caught.value.code == "past-date"
        assert "two-syrup" not in [fit.into.id for fit in fitting.fits]
        assert [row.liquid.id for row in compare(HOUSE, ["two-syrup"], at=at).rows] == []
        return

    swapped = swap(HOUSE, SPEC, "one-syrup", "two-syrup", at=at)
    (fit,) = [fit for fit in fitting.fits if fit.into.id == "two-syrup"]
    against = "one-syrup" if not (is_tonight and only_past(batches, "one-syrup")) else None
    assert swapped.new_pour.exact.value == pytest.approx(wanted, rel=1e-9)
    assert fit.exact.value == pytest.approx(wanted, rel=1e-9)
    assert fit.poured == swapped.new_pour.poured
    assert swapped.old.sugar_g == pytest.approx(
        22.5 * per_ml["one-syrup"] + 10.0 * per_ml["three-syrup"] + 22.5 * HOUSE.liquid("lime-juice").sugar_g_per_ml
    )
    if against:
        (row,) = compare(HOUSE, ["two-syrup"], against, at).rows
        assert 10.0 * 22.5 / row.house_ml == pytest.approx(wanted, rel=1e-9)


@settings(max_examples=examples(150), deadline=None)
@given(batches=logs())
def test_nothing_past_its_day_counts_or_is_offered(batches: list[Batch]) -> None:
    now = in_use(HOUSE, batches, DAY)
    at = tonight(HOUSE, now)
    past = {each.id for each in batches if each.discard is not None and each.discard < DAY}

    found = stand_ins(HOUSE, SPEC, "one-syrup", offered(now), ("sugar",), at)

    counted = {strength.batch for _, strength in found[0].concerned} if found else set()
    assert not past & {one.strength.batch for one in found if one.strength}
    assert not past & counted
    assert not past & {strength.batch for strength in at.read.values()}
    also = {each for one in found for _, strength in one.concerned for each in strength.also_open}
    assert not past & also


def test_for_the_spec_no_log_is_asked() -> None:
    assert (STANDARD.is_tonight, STANDARD.strengths) == (False, {})
    assert At("tonight").strength(HOUSE, "gold-rum") is None
