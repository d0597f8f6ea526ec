"""Where a drink's water comes from, and how sure it is."""

from __future__ import annotations

from typing import Any

import pytest

from balancer.engine.drink.dilution import Dilution, by_relation, dilution_of
from tests.engine.builders import drink

WATER = 0.9982  # g/ml at 20 °C


def diluted(method: str = "shaken", abv_percent: float = 23.0, **keys: Any) -> Dilution:
    """The dilution of 100 ml."""
    return dilution_of(drink("any", "60 ml gin", method=method, **keys), 100.0, abv_percent)


def test_a_stated_dilution_is_percent_of_the_mix() -> None:
    """45 % of 100 ml is 45 ml of water, whatever the method; nothing is said about how sure it is."""
    found = diluted(dilution="45 %")

    assert found.basis == "stated"
    assert found.percent_of_mix == 45.0
    assert found.melt_water_g == pytest.approx(45.0 * WATER, abs=0.001)
    assert found.plus_minus_percent is None


def test_a_weighed_dilution_is_the_gain_in_mass() -> None:
    """118 g before and 172 g after the ice: 54 g of water, 54.1 ml."""
    found = diluted(method="thrown", weighed={"before": "118 g", "after": "172 g"})

    assert found.basis == "weighed"
    assert found.melt_water_g == pytest.approx(54.0)
    assert found.percent_of_mix == pytest.approx(54.0 / WATER, abs=0.01)


def test_stated_wins_over_weighed() -> None:
    """What a person wrote for this drink is meant."""
    found = diluted(dilution="20 %", weighed={"before": "118 g", "after": "172 g"})

    assert (found.basis, found.percent_of_mix) == ("stated", 20.0)


@pytest.mark.parametrize(
    ("method", "abv", "by_hand"),
    [
        ("shaken", 15.0, 0.4290),
        ("shaken", 22.9, 0.5197),
        ("shaken", 28.6, 0.5730),
        ("shaken", 31.4, 0.5955),
        ("stirred", 29.2, 0.4057),
        ("stirred", 35.5, 0.4348),
        ("stirred", 42.2, 0.4553),
    ],
)
def test_the_relations_of_the_book(method: str, abv: float, by_hand: float) -> None:
    """Arnold, Liquid Intelligence (2014), p. 123, worked by hand to four digits."""
    found = diluted(method=method, abv_percent=abv)

    assert found.basis == method
    assert found.percent_of_mix == pytest.approx(100.0 * by_hand, abs=0.006)
    assert found.melt_water_g == pytest.approx((found.percent_of_mix or 0.0) * WATER, abs=0.001)
    assert not found.note


def test_the_method_may_be_written_in_capitals() -> None:
    """A method is a word a person writes."""
    assert diluted(method="Stirred", abv_percent=30.0).basis == "stirred"


@pytest.mark.parametrize(
    ("method", "abv", "inside", "outside"),
    [
        ("shaken", 14.9, 4, 12), ("shaken", 35.1, 4, 12), ("shaken", 0.0, 4, 12),
        ("stirred", 19.9, 7, 14), ("stirred", 45.1, 7, 14), ("stirred", 50.0, 7, 14),
    ],
)  # fmt: skip
def test_outside_the_judged_range_it_is_less_sure_and_says_so(
    method: str, abv: float, inside: float, outside: float
) -> None:
    """Shaken drinks were judged at 15 to 35 % vol, stirred at 20 to 45: beyond, the value stands with a wider ±."""
    found, sure = diluted(method=method, abv_percent=abv), diluted(method=method, abv_percent=30.0)

    assert found.percent_of_mix is not None
    assert found.plus_minus_percent == pytest.approx(outside)
    assert sure.plus_minus_percent == pytest.approx(inside)
    assert found.note.startswith(f"rough: the {method} relation")


@pytest.mark.parametrize("method", ["shaken", "stirred"])
def test_above_half_alcohol_nothing_is_claimed(method: str) -> None:
    """No drink that strong was measured."""
    found = diluted(method=method, abv_percent=50.1)

    assert found == Dilution(None, None, "unknown", note=f"no published dilution for a {method} drink above 50 % vol")


def test_a_method_without_a_relation_is_unknown() -> None:
    """Nothing tells how much a swizzle melts; that is said, not guessed."""
    found = by_relation("swizzled", 100.0, 20.0)

    assert (found.basis, found.melt_water_g) == ("unknown", None)
    assert '"swizzled"' in found.note


def test_an_empty_mix_melts_nothing() -> None:
    """A drink of tops alone has no mix."""
    nothing = dilution_of(drink("any", "60 ml gin", weighed={"before": "1 g", "after": "2 g"}), 0.0, 0.0)

    assert by_relation("shaken", 0.0, 0.0).melt_water_g == 0.0
    assert nothing.percent_of_mix is None
