"""`aim` as a person types it."""

from __future__ import annotations

import pytest

from balancer.output.words.numbers import width
from tests.cli.runner import run


def test_the_answer_is_the_first_line() -> None:
    """Plain and rich syrup are the same at the same strength."""
    done = run("aim", "plain", "--for", "rich")

    assert (done.code, done.err) == (0, "")
    assert done.first == "make plain syrup to 66.7 °Bx for the spec: it pours one for one for rich syrup"
    assert "to each kg at 50 °Bx add 502 g sugar" in done.out  # 1000 x 16.7 / 33.3 = 501.5
    assert "Dark Pilot: 7.5 ml as written" in done.out
    assert max(map(width, done.out.splitlines())) <= 80


def test_json_and_the_acid_that_keeps_the_drink() -> None:
    """9 g/kg in berry syrup, at nearly the same density."""
    data = run("aim", "plain", "anchor", "--for", "berry", "--json").data

    assert (data["syrup"], data["for"]) == ("plain-syrup", "berry-syrup")
    assert data["acid_added_g_per_kg"] == pytest.approx(9.0, abs=0.05)
    (row,) = data["drinks"]
    assert (row["drink"], row["pour_ml"], row["allergens_gained"]) == ("anchor-sour", 22.5, [])
    assert (row["sugar_percent"], row["acid_percent"]) == pytest.approx((0.0, 0.0), abs=1e-6)


def test_citric_acid_has_its_caution() -> None:
    out = " ".join(run("aim", "plain", "anchor", "--for", "berry").out.split())
    assert "g in each kg of the finished syrup caution acid powder hurts eyes and lungs" in out
    assert "balancer safety" in out
    assert "acid powder" not in run("aim", "plain", "--for", "rich").out


def test_steps_can_be_followed() -> None:
    """Sugar in a ml is density times strength, for both."""
    out = run("aim", "honey-syrup", "--for", "plain", "--steps").out

    assert "× 0.5000 = 0.6148 g sugar in a ml" in out
    assert "÷ 100 × 99 % = 0.6148 g sugar in a ml, the same" in out


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("aim", "plain", "--for", "plain"), 2),
        (("aim", "nonsuch", "--for", "plain"), 2),
        (("aim", "honey-syrup", "capstan", "--for", "plain"), 1),
        (("aim", "honey-syrup", "--for", "white sugar"), 1),
    ],
)
def test_what_cannot_be_asked(words: tuple[str, ...], code: int) -> None:
    done = run(*words)

    assert done.code == code
    assert done.err
