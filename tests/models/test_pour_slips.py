"""Pours as people jot them down: what is said about each can be written in its place."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.models.pour_slips import counted_slip, inexact_slip, pour_slip, several_slip
from balancer.units import find_unit, parse_pour

HOUSE = {
    "lime": "lime juice", "limes": "lime juice", "soda": "soda water", "bitters": "aromatic bitters", "gin": "dry gin"
}  # fmt: skip


def called(name: str) -> str:
    return HOUSE.get(name, name)


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("top soda", "60 ml soda water"),
        ("Top up with soda", "60 ml soda water"),
        ("soda to top", "60 ml soda water"),
        ("splash of soda", "10 ml soda water"),
        ("a small splash of soda", "10 ml soda water"),
        ("two splashes of soda", "10 ml soda water"),
        ("float of dark rum", "10 ml dark rum"),
        ("pinch of salt", "1 g salt"),
        ("juice of half a lime", "22.5 ml lime juice"),
        ("juice of 2 limes", "22.5 ml lime juice"),
        ("the juice of one lemon", "22.5 ml lemon juice"),
        ("half a lime", "22.5 ml lime juice"),
        ("two dashes of bitters", "2 dashes aromatic bitters"),
        ("a dash of bitters", "1 dash aromatic bitters"),
        ("dash bitters", "1 dash aromatic bitters"),
        ("half an ounce of gin", "1/2 ounce dry gin"),
        ("2-3 dashes bitters", "2 dashes bitters"),
        ("2 to 3 dashes bitters", "3 dashes bitters"),
        ("about 20 ml honey syrup", "20 ml honey syrup"),
        ("~20 ml honey syrup", "20 ml honey syrup"),
        ("lime juice 20 ml", "20 ml lime juice"),
        ("gin: 60 ml", "60 ml dry gin"),
        ("gin - 60 ml", "60 ml dry gin"),
        ("o.75 oz gin", "0.75 oz gin"),
        ("gin", "22.5 ml dry gin"),
    ],
)
def test_what_to_write_instead(text: str, written: str) -> None:
    found = pour_slip(text, called)
    assert found is not None
    assert written.partition(" ")[0] in found.remedy
    amount, name = parse_pour(written)
    assert name in found.remedy
    assert find_unit(amount.unit) is not None
    assert pour_slip(written, called) is None
    assert several_slip(written) is None


@pytest.mark.parametrize(
    ("text", "remedy"),
    [
        ("1 lime", "measure it, like 22.5 ml lime juice"),
        ("½ lime", "measure it, like 22.5 ml lime juice"),
        ("60 gin", "write the unit, like 60 ml dry gin"),
        ("1 egg white", "write how much with its unit, like 22.5 ml egg white"),
    ],
)
def test_a_count(text: str, remedy: str) -> None:
    found = counted_slip(text, called)
    assert found is not None
    assert found.remedy == remedy


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("60 ml gin, 22.5 ml lime juice", ["60 ml gin", "22.5 ml lime juice"]),
        ("60 ml gin and 22,5 ml lime juice", ["60 ml gin", "22,5 ml lime juice"]),
        ("60ml gin + 20ml lime juice + 2 dashes bitters", ["60ml gin", "20ml lime juice", "2 dashes bitters"]),
        ("1 1/2 oz gin 3/4 oz lime juice", ["1 1/2 oz gin", "3/4 oz lime juice"]),
    ],
)
def test_two_pours_on_one_line(text: str, parts: list[str]) -> None:
    found = several_slip(text)
    assert found is not None
    assert found.remedy.partition(": ")[2].removeprefix("- ").split("  - ") == parts
    assert f"is {len(parts)} pours" in found.message


@pytest.mark.parametrize(
    "text", ["60 ml gin", "22,5 ml lime juice", "60 ml half and half", "20 ml cordial No 2", "1 part gin"]
)
def test_one_pour_is_one(text: str) -> None:
    assert several_slip(text) is None
    assert pour_slip(text, called) is None
    assert inexact_slip(text) is None


@given(st.text(alphabet="0123456789 ,.-/abdgiklmnopstuz½~+:", max_size=40))
def test_nothing_else_comes_out(text: str) -> None:
    for found in (pour_slip(text, called), counted_slip(text, called), several_slip(text), inexact_slip(text)):
        assert found is None or (found.message and found.remedy)
