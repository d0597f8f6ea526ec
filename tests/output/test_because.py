"""Why a bottle at its standard pours otherwise: said alike by `tonight` and the page."""

from __future__ import annotations

from dataclasses import replace

from balancer.engine.drink.bar import Bar
from balancer.engine.service.tonight import tonight
from balancer.output.screen.tonight import tonight_text
from balancer.web.pages.tonight import bottles
from tests.engine.builders import bar
from tests.engine.service.test_hanging import AT_STANDARD, HALVES, STRONG
from tests.engine.service.test_strips import MENU
from tests.engine.service.test_tonight import NIGHT

WHY = "pour more, because plum syrup is strong"


def words(house: Bar, berry: float) -> tuple[str, str]:
    """What the page and the screen say of the berry syrup."""
    result = tonight(house, (replace(AT_STANDARD, brix=berry), STRONG), NIGHT)
    word = next(one.word for one in bottles(result, house.specs) if one.tape == "BER-12")
    return word, " ".join(tonight_text(result, house.specs).split())


def test_one_at_its_standard_is_not_called_weak() -> None:
    word, screen = words(HALVES, 49.97)
    assert word == WHY
    assert f"BER-12 berry syrup, 50 °Bx, spec 50: Half Half 15 → 20 ml; {WHY}" in screen


def test_one_that_is_off_itself_says_so_as_before() -> None:
    """22.5 ml at 54 °Bx bring 8 % too much in the sour, whatever the plum is."""
    word, screen = words(bar(*MENU), 54.0)
    assert word == "strong, pour less"
    assert "because" not in screen
