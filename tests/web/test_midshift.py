"""What somebody needs in the middle of a shift: tonight's answer, each doubt told, nothing for a terminal."""

from __future__ import annotations

import pytest

from tests.web.sitting import Sitting, sitting

__all__ = ["sitting"]


def links(page: object, said: str) -> list[str]:
    """Where the links of a page lead that say so."""
    return [each.attributes["href"] for each in page.root.find("a") if each.text == said]  # type: ignore[attr-defined]


LIME = "LIM-1 lime juice: tonight 22.5 → 20 ml still applies"
"""52 g/l beside the 47 that the demo's lime juice has: 22.5 · 47/52 = 20.3 ml, on a jigger of 2.5 ml 20."""


def test_a_syrup_is_swapped_for_tonight_from_a_drink(sitting: Sitting) -> None:
    phone = sitting.device()
    drink = phone.get("/drinks/slipway-sour")
    (address,) = links(drink, "Swap its syrup")
    page = phone.get(address)
    assert page.root.find("h1")[0].text == "Swap in the Slipway Sour, tonight"
    assert "Open tonight, the closest match first" in page.words
    spec = phone.get("/swap", {"drink": "slipway-sour"})
    assert spec.root.find("h1")[0].text == "Swap in the Slipway Sour, for the spec"


def test_a_juice_that_is_off_still_applies_beside_a_swap_of_tonight(sitting: Sitting) -> None:
    phone = sitting.device()
    for drink in ("slipway-sour",):
        page = phone.get("/swap", {"drink": drink, "at": "tonight"})
        assert [each.text for each in page.root.find("p", "still")] == [LIME]
        answer = phone.get("/swap", {"drink": drink, "in": "honey-syrup", "at": "tonight"})
        assert LIME in answer.words
        assert LIME not in phone.get("/swap", {"drink": drink, "in": "honey-syrup"}).words
        assert LIME not in phone.get("/swap", {"drink": drink, "out": "lime-juice", "at": "tonight"}).words


def test_adjusting_says_that_it_is_for_the_spec(sitting: Sitting) -> None:
    page = sitting.device().get("/adjust", {"drink": "slipway-sour", "sugar": "-10 %"})
    assert page.root.find("h1")[0].text == "Adjust the Slipway Sour, for the spec"
    assert "not for tonight’s bottles" in page.words
    assert "/drinks/slipway-sour" in links(page, "Tonight’s pours of it")
