"""What is to be said of egg and strong acid, whatever their files leave out."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from balancer.engine.drink.cautions import ACID_POWDER, RAW_EGG, STRONG_ACID, cautions, strong_acid
from balancer.engine.drink.liquid import Liquid
from tests.engine.builders import bar, ingredient


def liquid(name: str = "sour", **keys: Any) -> Liquid:
    keys = {"sugar": "0 g/kg", "kind": "seasoning"} | keys
    return bar(ingredient(name, **keys)).liquid(name.replace(" ", "-"))


@pytest.mark.parametrize(
    ("keys", "form"),
    [
        ({"acid": "48 g/l"}, None),  # lemon juice
        ({"acid": "60 g/l"}, None),  # what bars take lemon for
        ({"acid": "250 g/l"}, "liquid"),  # a citric solution of 25 %
        ({"acid": "570 g/kg", "acids": {"lactic": "100 %"}}, "liquid"),  # lactic acid, 80 %
        ({"acid": "1000 g/kg"}, "powder"),
        ({"acid": "914 g/kg"}, "powder"),  # citric acid monohydrate: 8.6 % water
        ({"acid": "950 g/kg", "acids": {"malic": "100 %"}}, "powder"),
        ({"acid": "300 g/kg", "sugar": "700 g/kg"}, "powder"),  # sour sugar
        ({"acid": "150 g/l", "abv": "40 %"}, "liquid"),
        ({}, None),
    ],
)
def test_what_is_handled_as_an_acid(keys: dict[str, Any], form: str | None) -> None:
    assert strong_acid(liquid(**keys)) == form


def test_the_caution_names_eyes_and_the_order() -> None:
    assert cautions(liquid(acid="250 g/l")) == (STRONG_ACID,)
    assert cautions(liquid(acid="1000 g/kg")) == (ACID_POWDER,)
    for text in (STRONG_ACID, ACID_POWDER):
        assert "eyes" in text
        assert "add it to water, never water to it" in text


def test_a_file_that_says_it_is_not_said_over() -> None:
    assert cautions(liquid(acid="250 g/l", cautions=["wear eye protection"])) == ("wear eye protection",)
    assert cautions(liquid(acid="250 g/l", cautions=["sharp"])) == ("sharp", STRONG_ACID)


@given(acid=st.floats(0.0, 300.0))
def test_nothing_that_is_sourer_than_juice_goes_unsaid(acid: float) -> None:
    assume(abs(acid - 100.0) > 0.01)
    assert bool(cautions(liquid(acid=f"{acid:.3f} g/l"))) == (acid > 100.0)


def test_egg_is_named_by_its_allergen_or_by_its_name() -> None:
    assert cautions(liquid("foamer", allergens=["eggs"])) == (RAW_EGG,)
    assert cautions(liquid("egg white")) == (RAW_EGG,)
    assert cautions(liquid("eggplant", allergens=[])) == ()
    assert cautions(liquid("egg white", cautions=["raw egg"])) == ("raw egg",)
