"""What hangs on a bottle: its own lines, and the drinks they are not for."""

from __future__ import annotations

from balancer.engine.drink.amount import Amount
from balancer.engine.service.juices import juice_tonight
from balancer.engine.service.lines import BottleLines, juice_lines_of, lines_of
from balancer.engine.service.menu import DrinkPour
from balancer.engine.service.rescale import Conversion, rescale
from balancer.models.drink import Drink
from balancer.units import Quantity
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, SOUR, bar, drink, ingredient
from tests.engine.service.test_tonight import batch

LIQUEUR = ingredient("liqueur", abv="20 %", sugar="250 g/l", allergens=[])
RICH = drink("Rich", "60 ml liqueur", "22.5 ml berry syrup", "22.5 ml lime juice")
"""60 ml of liqueur bring 15 g of sugar: 22.5 ml at 54 °Bx are 4.7 % too much of 29.2 g, within 5 %."""
PORTION = drink("Portion", "60 ml gold rum", {"pour": "15 ml", "of": "berry syrup", "fixed": "true"})
LIME_PORTION = drink("Lime Portion", "60 ml gold rum", {"pour": "22.5 ml", "of": "lime juice", "fixed": "true"})
LINE = Conversion(Amount(22.5), Amount(20.0))


def lines(*menu: Drink, brix: float = 54.0) -> BottleLines:
    return lines_of(rescale(bar(RUM, LIME, BERRY, PLAIN, LIQUEUR, *menu), "berry-syrup", brix))


def test_lines_that_serve_the_whole_menu() -> None:
    found = lines(SOUR)
    assert found == BottleLines((LINE,))
    assert found.serve_all
    assert found.moves


def test_a_drink_that_is_right_as_written_is_named() -> None:
    found = lines(SOUR, RICH)
    assert found == BottleLines((LINE,), (DrinkPour(RICH, Amount(22.5), Amount(22.5)),))
    assert not found.serve_all
    assert not found.own_pours[0].moves


def test_where_no_line_says_otherwise_it_need_not_be_named() -> None:
    """A drink that is right as written, of a written pour that nothing is said of."""
    found = lines(RICH)
    assert found == BottleLines()
    assert found.serve_all
    assert not found.moves


def test_a_drink_no_pour_is_right_for_is_named_apart() -> None:
    found = lines(SOUR, PORTION)
    assert found == BottleLines((LINE,), (), (PORTION,))
    assert not found.serve_all


def test_a_bottle_that_only_has_drinks_out_of_reach_moves_nothing() -> None:
    """Nothing to hang on it, but it does not serve all."""
    found = lines(PORTION)
    assert (found.moves, found.serve_all) == (False, False)


def test_an_own_pour_that_moves_is_something_to_hang_up() -> None:
    found = BottleLines((), (DrinkPour(SOUR, Amount(22.5), Amount(20.0)),))
    assert found.moves
    assert found.own_pours[0].moves
    assert not DrinkPour(SOUR, Amount(22.5), Amount(22.5 + 1e-9)).moves


def test_the_lines_of_a_juice() -> None:
    """54 for 46 g/l: 19.17 ml for 22.5, so 20; the fixed pour is named."""
    shelf = bar(RUM, LIME, BERRY, SOUR, LIME_PORTION)
    found = juice_tonight(shelf, batch("LIM-1", "lime-juice", None, acid=Quantity(54.0, "g/l")))
    assert found is not None
    assert juice_lines_of(found) == BottleLines((LINE,), (DrinkPour(LIME_PORTION, Amount(22.5), Amount(22.5)),))
