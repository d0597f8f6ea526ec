"""Two cards have one content just where they say one thing, in whatever look and on whatever day."""

from __future__ import annotations

from typing import Any, Final

import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.card import card
from balancer.files.house.printed import content_of
from balancer.output.paper.card_content import card_content
from balancer.output.paper.card_lines import UNITS, Units
from balancer.output.paper.cards import card_item
from balancer.output.paper.language import words_of
from tests.engine.builders import bar, drink, ingredient, syrup

Told = dict[str, Any]

TEXTS: Final = ("a", "b", "a, b", "a · b", "a: b", "1 oz", "1\u00a0oz", "")
"""Texts that would run into each other were they only joined."""

OPTIONAL: Final = st.sampled_from((*TEXTS[:4], None))
HOUSE: Final = {"ounce": "29.5735295625 ml", "show": "ml", "standard_drink": "us", "house": "The Test Quay"}


@st.composite
def told(draw: DrawFn) -> Told:
    """All that a card may be made from."""
    return {
        "name": draw(st.sampled_from(("One", "Two"))),
        **{key: draw(OPTIONAL) for key in ("glass", "ice", "strain", "time", "garnish", "by")},
        "method": draw(st.sampled_from(("shaken", "stirred", "shaken, a"))),
        "version": draw(st.sampled_from((None, "1", "2"))),
        "date": draw(st.sampled_from((None, "2026-11-12", "12 Nov 2026", "a"))),
        "steps": draw(st.lists(st.sampled_from(TEXTS[:4]), max_size=2)),
        "extras": draw(st.lists(st.sampled_from((*TEXTS[:3], "egg white")), max_size=2)),
        "written": draw(st.sampled_from((None, "50 °Bx", "52 °Bx"))),
        "standard": draw(st.sampled_from(("50 °Bx", "52 °Bx"))),
        "syrup": draw(st.sampled_from(("berry syrup", "plum syrup"))),
        "amount": draw(st.sampled_from(("22.5 ml", "22 ml", "3/4 oz", "2 cl", "3 dashes"))),
        "top": draw(st.booleans()),
        "listed": draw(st.sampled_from((None, [], ["eggs"], ["nuts", "eggs"]))),
        "cautions": draw(st.lists(st.sampled_from(TEXTS[:4]), max_size=2)),
        "abv": draw(st.sampled_from((None, "40 %", "41.2 %"))),
        "house": draw(st.sampled_from(("The Test Quay", "Other"))),
        "ounce": draw(st.sampled_from((HOUSE["ounce"], "30 ml"))),
        "standard_drink": draw(st.sampled_from(("us", "uk"))),
    }


def built(said: Told) -> Bar:
    mixed = syrup(
        said["syrup"], standard=said["standard"],
        cautions=said["cautions"], **({} if said["listed"] is None else {"allergens": said["listed"]}),
    )  # fmt: skip
    rum = ingredient(
        "gold rum", kind="spirit", sugar="0 g/l", allergens=[], **({"abv": said["abv"]} if said["abv"] else {})
    )
    keys = {
        key: said[key] for key in ("glass", "ice", "strain", "time", "garnish", "by", "version", "date") if said[key]
    }
    keys |= {"written_for": {mixed.id: said["written"]}} if said["written"] else {}
    made = drink(
        said["name"], "50 ml gold rum", {"pour": said["amount"], "of": mixed.name, "top": said["top"]},
        method=said["method"], steps=said["steps"], extras=said["extras"], **keys,
    )  # fmt: skip
    return bar(
        mixed, rum, made,
        ounce=said["ounce"], standard_drink=said["standard_drink"], house=said["house"],
    )  # fmt: skip


def content(said: Told, units: Units, *, extras: bool) -> str:
    house = built(said)
    (made,) = house.specs.drinks.values()
    return content_of(card_content(card(house, made), house.specs.house, units, extras=extras))


def on_paper(said: Told, units: Units, *, extras: bool) -> Told:
    house = built(said)
    (one,) = house.specs.drinks.values()
    return card_item(card(house, one), house.specs.house, units, words_of("en"), extras=extras)


@pytest.mark.parametrize("units", UNITS)
@given(data=st.data(), one=told(), extras=st.booleans())
def test_what_reads_otherwise_has_another_content(data: st.DataObject, one: Told, extras: bool, units: Units) -> None:
    """One thing is changed at a time, so that nothing else can tell the two apart."""
    other = data.draw(told())
    said, held = on_paper(one, units, extras=extras), content(one, units, extras=extras)
    for key in one:
        two = one | {key: other[key]}
        if on_paper(two, units, extras=extras) != said:
            assert content(two, units, extras=extras) != held, key


@given(told(), st.sampled_from(UNITS), st.booleans())
def test_the_same_spec_has_the_same_content(said: Told, units: Units, extras: bool) -> None:
    assert content(said, units, extras=extras) == content(dict(reversed(said.items())), units, extras=extras)


PLAIN: Final[Told] = {
    "name": "One", "glass": None, "ice": None, "strain": None, "time": None, "garnish": None, "by": None,
    "method": "shaken", "version": "1", "date": None, "steps": [], "extras": [], "written": None,
    "standard": "50 °Bx", "syrup": "berry syrup", "amount": "22.5 ml", "top": False, "listed": [], "cautions": [],
    "abv": "40 %", "house": "The Test Quay", "ounce": HOUSE["ounce"], "standard_drink": "us",
}  # fmt: skip


@pytest.mark.parametrize(
    ("change", "units", "extras", "differs"),
    [
        ({"standard": "52 °Bx"}, "ml", False, True),  # the spec is untouched, its syrup is not
        ({"written": "52 °Bx"}, "ml", False, True),
        ({"listed": ["eggs"]}, "ml", False, True),
        ({"listed": None}, "ml", False, True),
        ({"cautions": ["hot"]}, "ml", False, True),
        ({"top": True}, "ml", False, True),
        ({"extras": ["2 mint leaves"]}, "ml", False, True),
        ({"garnish": "lime"}, "ml", False, True),
        ({"version": "2"}, "ml", False, True),
        ({"house": "Other"}, "ml", False, True),
        ({"abv": "41.2 %"}, "ml", False, False),  # not on the card
        ({"abv": "41.2 %"}, "ml", True, True),
        ({"standard_drink": "uk"}, "ml", False, False),
        ({"standard_drink": "uk"}, "ml", True, True),
        ({"ounce": "30 ml"}, "ml", False, False),
        ({"ounce": "30 ml", "amount": "19 ml"}, "oz", False, True),  # 0.64 oz, then 0.63 and so ⅝
        ({"ounce": "30 ml", "amount": "3/4 oz"}, "ml", False, True),  # 22.2 ml, then 22.5
    ],
)
def test_what_counts(change: Told, units: Units, extras: bool, differs: bool) -> None:
    before = PLAIN | ({"amount": change["amount"]} if "amount" in change else {})
    assert (content(before, units, extras=extras) != content(before | change, units, extras=extras)) is differs


def test_a_content_is_made_of_facts_and_no_wording() -> None:
    """So that a card in other words, signs or spacing is no other card."""
    house = built(PLAIN | {"listed": ["eggs"]})
    (made,) = house.specs.drinks.values()
    said = card_content(card(house, made), house.specs.house, "oz", extras=False)
    assert said["allergens"] == ["eggs"]
    assert said["pours"] == [
        [[("1 2/3", "oz")], "gold rum", None, False, False], [[("3/4", "oz")], "berry syrup", "50", False, False],
    ]  # fmt: skip
    assert not set("½¾⅔⁄\u00a0\u202f·") & set(str(said))
