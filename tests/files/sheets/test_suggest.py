"""What an unknown name may mean: by word and by kind, the house first, and never across kinds."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.files.house.load import load
from balancer.files.house.pantry import pantry
from balancer.files.sheets.suggest import Suggestions
from tests.cli.runner import CHECKOUT, HOUSE
from tests.examples import examples

DEMO = load(CHECKOUT / "specs").specs
SUGGESTIONS = Suggestions(DEMO)
KINDS = {entry.name: entry.kind for entry in pantry().entries}
KINDS |= {one.name: one.kind for one in DEMO.ingredients.values() if one.kind}
KINDS |= {one.name: "sugar" for one in DEMO.syrups.values()}


def names(text: str, *, by_volume: bool = True, by_dash: bool = False) -> list[str]:
    return [one.name for one in SUGGESTIONS.of(text, by_volume=by_volume, by_dash=by_dash)]


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("Soda", "soda water"), ("Lemon", "lemon juice"), ("lemons", "lemon juice"), ("Lime", "lime juice"),
        ("gin dry", "gin"), ("vdka", "vodka"), ("lemom juice", "lemon juice"), ("simple", "simple syrup"),
        ("sugar syrup", "simple syrup"), ("gomme", "simple syrup"), ("old tom gin", "gin"),
        ("Lemon juice (fresh)", "lemon juice"), ("raspberry cordial", "raspberry syrup"), ("egg whites", "egg white"),
        ("triple sec", "orange liqueur"), ("house bitters", "aromatic bitters"), ("Pear syrup", None),
        ("Zork", None), ("root beer", None), ("", None),
    ],
)  # fmt: skip
def test_the_likeliest(text: str, first: str | None) -> None:
    assert next(iter(names(text)), None) == first


@pytest.mark.parametrize(
    ("text", "never"),
    [("Soda", "vodka"), ("Lemon", "lemon liqueur"), ("lime", "lime cordial"), ("lime", "limes"),
     ("pear syrup", "demerara syrup"), ("gin", "ginger juice"), ("raspberry liqueur", "raspberry syrup"),
     ("ginger beer syrup", "ginger beer"), ("almond milk", "whole milk")],
)  # fmt: skip
def test_never_across_kinds(text: str, never: str) -> None:
    assert never not in names(text)


def test_orange_by_the_dash_are_bitters() -> None:
    assert names("orange", by_dash=True) == ["orange bitters"]
    assert names("orange")[0] == "orange juice"


def test_the_house_comes_first() -> None:
    found = SUGGESTIONS.of("rum", by_volume=True)
    assert [one.in_house for one in found] == sorted((one.in_house for one in found), reverse=True)
    assert found[0].in_house
    assert not any(one.in_house for one in Suggestions(load(HOUSE).specs).of("vodka", by_volume=True))


HEADS = {"juice": "juice", "liqueur": "liqueur", "bitters": "bitters", "syrup": "sugar", "gin": "spirit",
         "rum": "spirit", "vermouth": "wine", "soda": "mixer"}  # fmt: skip


@settings(deadline=None, max_examples=examples(200))
@given(
    st.lists(st.sampled_from(sorted({word for name in KINDS for word in name.split()})), max_size=3),
    st.sampled_from(sorted(HEADS)),
    st.booleans(),
)
def test_whatever_names_its_kind_gets_only_that_kind(words: list[str], head: str, by_volume: bool) -> None:
    """Two words that make another thing of the last one are known: lime soda is a mixer as soda is."""
    for found in names(" ".join([*words, head]), by_volume=by_volume):
        assert KINDS[found] == HEADS[head], (words, head, found)
