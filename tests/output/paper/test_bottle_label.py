"""The words of the label of a bottled drink."""

from __future__ import annotations

from datetime import date

import pytest

from balancer.engine.service.bottle import Bottle, bottle
from balancer.engine.service.bottle_serve import LeftOut
from balancer.models.house import House
from balancer.output.paper.bottle_label import bottle_label, left_out
from balancer.output.paper.language import languages, words_of
from balancer.output.words.bottle import left_out_text
from balancer.units import Quantity
from tests.engine.builders import BERRY, LIME, RUM, bar, drink, ingredient

pytestmark = pytest.mark.slow

MIXED = date(2026, 11, 25)
EN = words_of("en")
ODD = ingredient("odd spirit", kind="spirit", density="0.95 g/ml", sugar="0 g/l")
EGG = ingredient("egg white", kind="egg", sugar="7 g/kg", density="1.03 g/ml", allergens=["eggs"])


def mixed(*pours: str) -> tuple[Bottle, House]:
    made = drink("Any", *pours, dilution="40 %")
    house = bar(RUM, LIME, BERRY, ODD, EGG, made)
    return bottle(house, made, serves=6.0, made=MIXED), house.specs.house


@pytest.mark.parametrize(
    "item",
    [
        LeftOut("egg", "egg white", "egg or dairy", Quantity(20.0, "ml"), ("eggs",), False),
        LeftOut("wine", "sparkling wine", "top", Quantity(60.0, "ml"), ("sulphites",), False),
        LeftOut("soda", "soda water", "top", Quantity(60.0, "ml"), (), False),
        LeftOut("anise", "anise spirit", "rinse", Quantity(1.0, "rinse"), None, True),
        LeftOut("mixed", "mixed", "egg or dairy", Quantity(20.0, "ml"), ("milk",), True),
    ],
)
def test_what_is_added_at_service_reads_as_on_the_screen(item: LeftOut) -> None:
    screen = left_out_text(item).replace("allergens unknown", "allergens not known")
    assert left_out(item, EN) == screen


def test_alcohol_is_known_or_at_least_or_not_known() -> None:
    facts = {}
    for pours in (
        ("60 ml gold rum",),
        ("60 ml gold rum", "10 ml odd spirit"),
        ("60 ml odd spirit", "10 ml lime juice"),
    ):
        result, house = mixed(*pours)
        facts[pours] = dict(bottle_label(result, house, MIXED, EN).facts)["alcohol"]
    known, least, unknown = facts.values()
    assert known == "28.6 % ABV"  # 60 ml of 40 % in 84 ml: 24 ÷ 84, a little less contracted
    assert least is not None
    assert least.startswith("≥")
    assert unknown == "not known"


@pytest.mark.parametrize("language", languages())
def test_every_language_says_egg_is_added_and_raw(language: str) -> None:
    words = words_of(language)
    result, house = mixed("60 ml gold rum", "20 ml egg white")
    said = bottle_label(result, house, MIXED, words)
    assert said.listed == [words("label.added", allergen=words.allergen("eggs"))]
    assert said.cautions == [words.caution("raw egg")]
    assert any(words("label.at-service") == fact.word for fact in said.facts)


def test_who_has_no_list_is_named_wherever_it_goes_in() -> None:
    result, house = mixed("60 ml gold rum", "10 ml odd spirit")
    assert bottle_label(result, house, MIXED, EN).unknown == ["odd spirit"]
