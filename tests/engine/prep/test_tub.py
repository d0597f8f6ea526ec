"""A tub of syrup: how much there is, what to recommend, what else could be done."""

from __future__ import annotations

from math import hypot, inf, nan, sqrt
from typing import Any

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.bar import Bar
from balancer.engine.prep.correct import SUGAR, WATER, plain
from balancer.engine.prep.tub import Corrected, Tub, correct
from balancer.errors import CannotError
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, SOUR, bar, ingredient, syrup

SCALE = {"scale": {"division": "1 g"}}
RICH = syrup("rich syrup", standard="66.7 °Bx", flavour="none")
PINEAPPLE = ingredient("pineapple juice", sugar="128 g/kg", acid="9 g/kg")
JUICED = syrup(
    "pineapple syrup",
    acid="5 g/kg",
    recipe=[{"pour": "1000 g", "of": "pineapple-juice"}, {"pour": "800 g", "of": "sugar"}],
)
STRAINED = JUICED.model_copy(update={"id": "strained", "yields": "1500 g"})


def house(*entries: Any, **keys: Any) -> Bar:
    return bar(*entries, **(SCALE | keys))


def corrected(brix: float, target: float = 50.0, of: Bar | None = None, **known: Any) -> Corrected:
    return correct(of or house(), Tub(brix, **known), target)


# How much there is


def test_a_strong_volume() -> None:
    """WE-25: 2 l at 54 to 50 takes 200 g of water and ends at 2199 ml."""
    found = corrected(54.0, volume_ml=2000.0)
    assert (found.basis, found.poured, found.best.additive) == ("volume", False, WATER)
    assert found.best.add_g == pytest.approx(200.0, abs=2.0)
    assert found.best.final_volume_ml == pytest.approx(2199.0, abs=5.0)


def test_a_weak_volume() -> None:
    """WE-26: 2 l at 46 to 50 takes 193 g of sugar and ends at 2122 ml."""
    found = corrected(46.0, volume_ml=2000.0)
    assert found.best.additive is SUGAR
    assert found.best.add_g == pytest.approx(193.0, abs=2.0)
    assert found.best.final_volume_ml == pytest.approx(2122.0, abs=5.0)


def test_millilitres_taken_for_grams() -> None:
    """WE-27: 160 g instead of 200 leave it at 50.8 °Bx."""
    found = corrected(54.0, volume_ml=2000.0)
    assert found.taken_for_g is not None
    assert found.taken_for_g[0] == pytest.approx(160.0, abs=0.5)
    assert found.taken_for_g[1] == pytest.approx(50.8, abs=0.1)
    assert corrected(54.0, mass_g=2000.0).taken_for_g is None


def test_a_mass() -> None:
    """WE-24; the scale's division is all that is unsure of it."""
    found = corrected(54.0, mass_g=2000.0)
    assert found.best.add_g == pytest.approx(160.0, abs=0.5)
    assert found.batch.mass.uncertainty == pytest.approx(1.0 / sqrt(12.0))


def test_neither_is_answered_for_a_hundred_ml() -> None:
    """100 ml at 54 are 125.19 g (standard tables): 10.0 g of water, 10.0 ml."""
    found = corrected(54.0)
    assert (found.basis, found.poured) == ("per 100 ml", True)
    assert found.best.add_ml == pytest.approx(125.19 * 4.0 / 50.0 / 0.9982, abs=0.01)
    assert found.batch.mass.uncertainty == 0.0


def test_a_weak_batch_without_a_mass_takes_rich_syrup() -> None:
    """100 ml at 46 are 120.79 g: 120.79 × 4/16.7 g of 66.7 °Bx, at 1.3267 g/ml."""
    found = corrected(46.0, of=house(RICH))
    assert found.best.additive is not None
    assert found.best.additive.id == "rich-syrup"
    assert found.best.add_ml == pytest.approx(120.79 * 4.0 / 16.7 / 1.3267, abs=0.05)
    without = corrected(46.0)
    assert without.best.additive is not None
    assert without.best.additive.brix == pytest.approx(66.67, abs=0.01)


def test_a_volume_without_a_scale_is_answered_in_ml() -> None:
    found = corrected(46.0, of=bar(RICH), volume_ml=2000.0)
    assert (found.basis, found.poured) == ("volume", True)
    assert found.best.additive is not None
    assert found.best.additive.id == "rich-syrup"


def test_a_rich_target_without_a_scale_needs_sugar_all_the_same() -> None:
    found = corrected(66.0, 70.0, of=bar(RICH))
    assert found.best.additive is SUGAR


# How sure it is


def test_an_unstirred_tub() -> None:
    """Half a degree and half a degree's division, and 1 °Bx between samples (common practice)."""
    found = corrected(54.0, mass_g=2000.0)
    assert found.batch.brix.uncertainty == pytest.approx(sqrt(0.25 / 12 + 0.25 / 3 + 1.0))
    assert found.plus_minus_brix == pytest.approx(2.0 * found.batch.brix.uncertainty)
    assert found.best.first_add_g == pytest.approx(160.0 - 2.0 * 2000.0 / 50.0 * found.batch.brix.uncertainty, abs=0.1)


def test_a_stirred_tub() -> None:
    assert corrected(54.0, stirred=True).batch.brix.uncertainty == pytest.approx(sqrt(0.25 / 12 + 0.25 / 3))
    instrument = {"scale": "0-90 °Bx", "division": "0.1 °Bx", "accuracy": "0.2 °Bx"}
    fine = corrected(54.0, of=house(instrument=instrument), stirred=True)
    assert fine.batch.brix.uncertainty == pytest.approx(hypot(0.1 / sqrt(12), 0.2 / sqrt(3)))


def test_a_stated_uncertainty() -> None:
    assert corrected(54.0, uncertainty=0.2, stirred=True).batch.brix.uncertainty == 0.2
    assert corrected(54.0, uncertainty=0.2).batch.brix.uncertainty == pytest.approx(hypot(0.2, 1.0))


@pytest.mark.parametrize(
    ("of", "known"),
    [(house(), {"volume_ml": 2000.0}), (bar(), {"mass_g": 2000.0}), (house(), {"mass_g": 2000.0, "estimated": True})],
)
def test_what_is_not_weighed_is_known_to_five_percent(of: Bar, known: dict[str, Any]) -> None:
    found = corrected(54.0, of=of, **known)
    assert found.batch.mass.uncertainty == pytest.approx(0.05 * found.batch.mass.value)


def test_nothing_is_unsure() -> None:
    found = corrected(54.0, uncertainty=0.0, stirred=True)
    assert found.best.first_add_g == found.best.add_g


@given(
    brix=st.floats(min_value=1.0, max_value=84.0),
    target=st.floats(min_value=1.0, max_value=84.0),
    mass_g=st.floats(min_value=1e-3, max_value=1e7),
)
def test_any_batch_gets_to_any_target(brix: float, target: float, mass_g: float) -> None:
    assume(abs(brix - target) > 1e-3)
    found = corrected(brix, target, mass_g=mass_g)
    assert found.best.final_brix == pytest.approx(target, abs=1e-9)
    assert 0.0 <= found.best.first_add_g <= found.best.add_g


# What to use


def test_the_ways_of_the_house() -> None:
    """The juice in a syrup's own recipe brings its flavour; what is strained out cannot be stirred in."""
    specs = house(JUICED, STRAINED, PINEAPPLE, RICH)
    strong = corrected(54.0, of=specs, syrup_id=JUICED.id, mass_g=2000.0)
    assert [way.additive.id for way in strong.others if way.additive] == ["pineapple-juice"]
    assert strong.others[0].add_g == pytest.approx(215.0, abs=0.5)  # WE-70
    weak = corrected(46.0, of=specs, syrup_id=JUICED.id, mass_g=2000.0)
    assert [way.additive.id for way in weak.others if way.additive] == ["rich-syrup"]
    assert corrected(54.0, of=specs, syrup_id=STRAINED.id, mass_g=2000.0).others == ()


def test_a_syrup_does_not_correct_itself() -> None:
    found = corrected(60.0, 66.7, of=house(RICH), syrup_id=RICH.id, mass_g=1000.0)
    assert "rich-syrup" not in [way.additive.id for way in (found.best, *found.others) if way.additive]


def test_a_syrup_with_alcohol_corrects_nothing() -> None:
    spirited = syrup("spirited rich", standard="70 °Bx", flavour="none", abv="10 %")
    found = corrected(46.0, of=house(spirited, RICH), mass_g=1000.0)
    assert [way.additive.id for way in found.others if way.additive] == ["rich-syrup"]


def test_what_would_more_than_double_it_is_no_way() -> None:
    """1 kg at 54 to 50 with a syrup of 47 takes 4/3 kg; with one of 45 it takes 0.8 kg."""
    for standard, ways in (("47 °Bx", []), ("45 °Bx", ["weak-syrup"])):
        weak = syrup("weak syrup", standard=standard, flavour="none")
        found = corrected(54.0, of=house(weak), mass_g=1000.0)
        assert [way.additive.id for way in found.others if way.additive] == ways
    poured = corrected(60.0, 66.0, of=bar(RICH))  # 6/0.7 times the batch of rich syrup
    assert poured.best.additive is SUGAR
    assert corrected(80.0, 30.0, mass_g=1000.0).best.add_g == pytest.approx(1000.0 * 50.0 / 30.0)


def test_open_batches_count_as_read() -> None:
    found = correct(house(RICH), Tub(46.0), 50.0, strengths={"rich-syrup": 64.0})
    assert found.best.additive is not None
    assert found.best.additive.brix == pytest.approx(64.0)


def test_leaving_it_and_pouring_otherwise() -> None:
    """WE-35 again: 22.5 ml of 54 °Bx is 20 by the jigger."""
    found = corrected(54.0, of=house(RUM, LIME, BERRY, SOUR), syrup_id=BERRY.id, mass_g=2000.0)
    assert found.lines.conversions == ((Amount(22.5), Amount(20.0)),)
    other_target = corrected(54.0, 52.0, of=house(RUM, LIME, BERRY, SOUR), syrup_id=BERRY.id, mass_g=2000.0)
    assert other_target.lines.conversions == ()


def test_what_was_asked_for_is_the_only_answer() -> None:
    found = correct(house(RICH), Tub(54.0, mass_g=2000.0), 50.0, plain(12.8))
    assert found.best.add_g == pytest.approx(215.0, abs=0.5)
    assert (found.others, found.lines.conversions) == ((), ())


@pytest.mark.parametrize(
    ("brix", "additive", "way", "remedy"),
    [
        (46.0, WATER, "up", "use sugar: 80 g per kg"),
        (54.0, SUGAR, "down", "use water: 80 g per kg"),
        (46.0, plain(48.0), "up", "use sugar: 80 g per kg"),
        (54.0, plain(50.0), "down", "use water: 80 g per kg"),
    ],
)
def test_a_target_that_is_not_between(brix: float, additive: Any, way: str, remedy: str) -> None:
    with pytest.raises(CannotError) as told:
        correct(house(), Tub(brix, mass_g=1000.0), 50.0, additive)
    assert told.value.code == "not-between"
    assert f"{additive.name} cannot bring {brix:g} °Bx {way} to 50" in told.value.message
    assert told.value.remedy == remedy


@pytest.mark.parametrize("additive", [None, WATER, SUGAR])
def test_a_batch_at_its_target(additive: Any) -> None:
    found = correct(house(RICH), Tub(50.0, mass_g=1000.0), 50.0, additive)
    assert (found.best.additive, found.best.add_g, found.others, found.within) == (None, 0.0, (), True)


def test_what_prep_lets_pass() -> None:
    """The house's tolerance of 1 °Bx, or the syrup's own."""
    assert corrected(51.0).within
    assert not corrected(51.1).within
    fussy = PLAIN.model_copy(update={"tolerance": 0.5})
    assert not corrected(51.0, of=house(fussy), syrup_id=fussy.id).within


# Where it goes


def test_a_container_that_is_too_small() -> None:
    """2 l of 54 become 2.199 l (WE-25); in 2 l only 2/2.199 of it can be corrected: 1.819 l."""
    found = correct(house(), Tub(54.0, volume_ml=2000.0), 50.0, container_ml=2000.0)
    assert found.best.fits is False
    assert found.most_ml == pytest.approx(2000.0 * 2000.0 / 2199.0, abs=5.0)
    assert correct(house(), Tub(54.0, volume_ml=2000.0), 50.0, container_ml=2300.0).most_ml is None


def test_the_storage_of_the_syrup_counts() -> None:
    """66.7 °Bx grows crystals at 4 °C, saturated at 64.8; on a shelf at 21 °C it does not (Vavrinecz 1962)."""
    assert corrected(70.0, 66.7).best.saturated_brix == pytest.approx(64.8, abs=0.1)
    shelf = RICH.model_copy(update={"storage": 21.0})
    assert corrected(70.0, 66.7, of=house(shelf), syrup_id=shelf.id).best.saturated_brix is None


@pytest.mark.parametrize(
    ("tub", "target", "container_ml"),
    [
        (Tub(nan), 50.0, None),
        (Tub(inf), 50.0, None),
        (Tub(0.0), 50.0, None),
        (Tub(86.0), 50.0, None),
        (Tub(54.0), nan, None),
        (Tub(54.0), 0.0, None),
        (Tub(54.0), 90.0, None),
        (Tub(54.0, mass_g=nan), 50.0, None),
        (Tub(54.0, mass_g=0.0), 50.0, None),
        (Tub(54.0, mass_g=1e12), 50.0, None),
        (Tub(54.0, volume_ml=-1.0), 50.0, None),
        (Tub(54.0, mass_g=1.0, volume_ml=1.0), 50.0, None),
        (Tub(54.0, uncertainty=nan), 50.0, None),
        (Tub(54.0, uncertainty=-0.1), 50.0, None),
        (Tub(54.0), 50.0, nan),
        (Tub(54.0), 50.0, 0.0),
    ],
)
def test_what_cannot_be_is_told(tub: Tub, target: float, container_ml: float | None) -> None:
    with pytest.raises(CannotError) as told:
        correct(house(), tub, target, container_ml=container_ml)
    (problem,) = told.value.problems()
    assert problem.message
    assert problem.remedy


@given(st.integers(100, 780).map(lambda tenths: tenths / 10), st.sampled_from([0, 5, 9, 15]), st.integers(1, 99))
@example(301 / 10, 9, 55)
def test_a_syrup_of_fruit_sugars_alone_has_its_reading_at_every_strength(brix: float, acid: int, percent: int) -> None:
    """Its sugars come to all of its solids: by rounding to a little more, which no formula takes."""
    sugars = {"fructose": f"{percent} %", "glucose": f"{100 - percent} %"}
    only = syrup("only", standard=f"{brix} °Bx", sugars=sugars, acid=f"{acid} g/kg")
    found = correct(house(only), Tub(brix, syrup_id="only"), brix).best
    assert found.final_reading_brix is not None
    assert found.final_reading_brix == pytest.approx(brix, abs=2.5)
