"""How far batches vary: out of a history whose spread is known, and what one reading is worth."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, sqrt
from random import Random
from statistics import stdev

import pytest

from balancer.engine.simulate.spread import Spread, one_reading, spread_of
from tests.engine.builders import BERRY, bar, syrup
from tests.engine.prep.test_chart import history

DIVISION = 0.5 / sqrt(12.0)
"""What divisions of half a °Bx scatter a reading by: JCGM 100:2008, F.2.2.1."""


def told(values: list[float], sd_brix: float | None = None, reading_brix: float | None = None) -> Spread | int:
    return spread_of(bar(BERRY), BERRY, history(values), sd_brix, reading_brix)


def spread(values: list[float]) -> Spread:
    found = told(values)
    assert isinstance(found, Spread)
    return found


def test_too_few_batches_tell_nothing() -> None:
    """Not a spread of zero: how many there are."""
    assert told([]) == 0
    assert told([50.0, 51.0, 49.0, 52.0, 48.0, 50.5, 49.5]) == 7


def test_the_log_gives_mean_and_spread() -> None:
    """Eight batches, 2 °Bx strong: what divisions scatter is not the kitchen's."""
    values = [50.0, 54.0, 51.0, 53.0, 50.5, 53.5, 51.5, 52.5]
    found = spread(values)
    assert (found.batches, found.standard_brix) == (8, 50.0)
    assert found.mean_brix == pytest.approx(52.0)
    assert hypot(found.sd_brix, DIVISION) == pytest.approx(stdev(values))
    assert found.plus_minus_brix == 2.0 * found.sd_brix


def test_batches_that_read_alike_may_still_differ_by_a_division() -> None:
    """Nothing narrower can be told from such a log."""
    assert spread([50.0] * 9).sd_brix == pytest.approx(DIVISION)


def test_after_a_change_that_stayed_the_mean_is_the_news() -> None:
    """Two levels, each with a spread of its own: together they would look as wide as the step."""
    first, then = [50.0, 51.0] * 5, [54.0, 55.0] * 5
    found = spread(first + then)
    assert found.mean_brix == pytest.approx(54.5)
    assert hypot(found.sd_brix, DIVISION) == pytest.approx(sqrt(20 * 0.25 / 18))


def test_a_spread_that_was_given_is_about_the_standard() -> None:
    """Whatever the log says."""
    found = told([54.0, 55.0] * 6, sd_brix=2.0)
    assert isinstance(found, Spread)
    assert (found.mean_brix, found.sd_brix, found.batches) == (50.0, 2.0, None)


def test_the_log_tells_a_spread_that_is_known() -> None:
    """A thousand batches drawn with one of 2 °Bx about 51, read to half a °Bx."""
    chance = Random(3)  # noqa: S311 - a history that repeats
    found = spread([round(2.0 * chance.gauss(51.0, 2.0)) / 2.0 for _ in range(1000)])
    assert found.mean_brix == pytest.approx(51.0, abs=0.2)
    assert found.sd_brix == pytest.approx(2.0, abs=0.15)


def test_a_reading_is_as_sure_as_the_instrument() -> None:
    """Division 0.5 and accuracy 0.5: u² = 0.5²/12 + 0.5²/3, which is 0.32 °Bx."""
    assert one_reading(bar(BERRY), BERRY).uncertainty == pytest.approx(sqrt(0.25 / 12 + 0.25 / 3))
    fine = bar(BERRY, instrument={"division": "0.1 °Bx", "accuracy": "0.1 °Bx", "scale": "0-85 °Bx"})
    assert one_reading(fine, BERRY).uncertainty == pytest.approx(sqrt(0.01 / 12 + 0.01 / 3))
    given = told([], sd_brix=1.0, reading_brix=0.2)
    assert isinstance(given, Spread)
    assert given.reading_brix == 0.2


def test_beyond_the_scale_a_syrup_is_read_diluted() -> None:
    """To 55 °Bx only: 66.7 with a quarter of its weight of water reads 53.4, and is 1.25 times as unsure, weighed."""
    rich = syrup("rich", standard="66.7 °Bx")
    short = bar(rich, instrument={"scale": "0-55 °Bx", "division": "0.5 °Bx"}, scale={"division": "1 g"})
    plain = sqrt(0.25 / 12 + 0.25 / 3)
    # Weighing: 100 g and 25 g to 1 g; by the mass ratio D = 1 + w/s, 53.4 × dD
    weighing = 53.4 * hypot(1.0 / 100.0, 25.0 / 100.0**2) / sqrt(12.0)
    assert one_reading(short, rich).uncertainty == pytest.approx(hypot(1.25 * plain, weighing), rel=0.01)


def test_a_syrup_with_alcohol_is_read_before_it_goes_in() -> None:
    """The instrument alone tells how sure that is."""
    falernum = syrup("falernum", abv="11 %")
    assert one_reading(bar(falernum), falernum).uncertainty == pytest.approx(sqrt(0.25 / 12 + 0.25 / 3))


def test_only_batches_of_the_syrup_count() -> None:
    """Those of another one say nothing."""
    others = [replace(one, liquid="another-syrup") for one in history([60.0] * 20)]
    found = spread_of(bar(BERRY), BERRY, [*history([50.0, 51.0] * 5), *others], None, None)
    assert isinstance(found, Spread)
    assert (found.batches, found.mean_brix) == (10, 50.5)
