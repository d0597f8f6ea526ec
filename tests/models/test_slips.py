"""What is written where an amount is wanted, and what to write instead."""

from __future__ import annotations

import pytest

from balancer.models.slips import choices, slip
from balancer.units import Kind, parse_quantity


@pytest.mark.parametrize(
    ("text", "kind", "written"),
    [
        ("6 %", "concentration", ["60 g/kg", "60 g/l"]),  # 6 g in 100 g is 60 g in 1000 g
        ("0,5%", "concentration", ["5 g/kg", "5 g/l"]),
        ("50 %", "strength", ["50 °Bx"]),
        ("2:1", "strength", ["66.7 °Bx"]),  # 2 of 3 parts
        ("1:1", "strength", ["50 °Bx"]),
        ("1,5 : 1", "strength", ["60 °Bx"]),  # 1.5 of 2.5 parts
        ("2", "mass", ["2 g"]),
        ("75", "temperature", ["75 °C", "75 °F"]),
        ("3 lb", "mass", ["1361 g"]),  # 3 × 453.59237
    ],
)
def test_the_remedy_holds_what_is_accepted(text: str, kind: Kind, written: list[str]) -> None:
    found = slip(text, [kind])
    assert found is not None
    for amount in written:
        assert amount in found.remedy
        assert parse_quantity(amount).kind == kind
    assert text.strip() in found.message or text.replace(" ", "") in found.message.replace(" ", "")


@pytest.mark.parametrize(
    ("text", "kind"),
    [("50 °Bx", "strength"), ("0:1", "strength"), ("2:1", "volume"), ("blue", "mass"), ("6 %", "mass")],
)
def test_where_nobody_knows_what_is_meant(text: str, kind: Kind) -> None:
    assert slip(text, [kind]) is None


def test_a_bare_number_is_asked_about() -> None:
    assert choices("2", ["mass"], ["kg", "g"]) == ["2 kg", "2 g"]
    assert choices(" 900 ", ["mass", "volume"]) == ["900 g", "900 ml"]
