"""What an ingredient's file leaves out: none, or unknown, by its kind."""

from __future__ import annotations

import pytest

from balancer.files.yaml.validate import check
from balancer.models.ingredient import Ingredient
from balancer.units import Quantity


def made(**keys: object) -> Ingredient:
    return Ingredient.model_validate({"ingredient": "thing", "id": "thing"} | keys)


@pytest.mark.parametrize(
    ("kind", "abv", "acid"),
    [  # the rule of the file format, kind by kind; None is unknown
        ("spirit", None, 0.0),
        ("liqueur", None, 0.0),
        ("bitters", None, 0.0),
        ("wine", None, None),
        ("beer", None, None),
        ("juice", 0.0, None),
        ("fruit", 0.0, None),
        ("dairy", 0.0, 0.0),
        ("egg", 0.0, 0.0),
        ("sugar", 0.0, 0.0),
        ("mixer", 0.0, 0.0),
        ("seasoning", 0.0, 0.0),
        (None, None, None),
    ],
)
def test_what_is_absent(kind: str | None, abv: float | None, acid: float | None) -> None:
    found = made(kind=kind) if kind else made()
    assert found.abv == abv
    assert (found.acid.value if found.acid else None) == acid
    assert (found.sugar, found.allergens) == (None, None)


def test_an_abv_without_a_kind_means_no_acid() -> None:
    found = made(abv="17 %")
    assert (found.abv, found.acid) == (17.0, Quantity(0.0, "g/kg"))


def test_what_is_said_stands() -> None:
    assert made(kind="juice", abv="0.5 %", acid="46 g/l").abv == 0.5
    assert made(kind="spirit", acid="2 g/l").acid == Quantity(2.0, "g/l")


def test_a_wrong_abv_is_one_mistake() -> None:
    """What the acid would mean waits for it, and is no second problem."""
    found, errors = check(Ingredient, {"ingredient": "thing", "id": "thing", "abv": "lots"})
    assert found is None
    assert [error["loc"] for error in errors] == [("abv",)]
