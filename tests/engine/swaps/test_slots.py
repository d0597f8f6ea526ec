"""What a bar can make of a pour that may change: the jigger's pours, its spoons and dashes, or whole counts."""

from __future__ import annotations

import pytest

from balancer.engine.drink.totals import totals
from balancer.engine.swaps.fits import fits
from balancer.engine.swaps.swap import swap
from balancer.units import Quantity
from tests.engine.builders import PLAIN, RUM, bar, drink, ingredient, syrup

RICH = syrup("rich syrup", standard="66.67 °Bx", allergens=[])


@pytest.mark.parametrize(
    ("method", "expected"), [("stirred", Quantity(1.0, "barspoon")), ("shaken", None)], ids=["stirred", "shaken"]
)
def test_a_small_stirred_pour_is_a_barspoon_where_the_house_has_one(method: str, expected: Quantity | None) -> None:
    """7.5 ml of 1:1 is 7.5 x 0.6148 / 0.8844 = 5.2 ml of 2:1; the jigger has 7.5 ml, the spoon 5 ml."""
    spec = drink("Pier", "60 ml gold rum", "7.5 ml plain syrup", method=method)
    house = {"jigger_step": "7.5 ml", "barspoon": "5 ml", "dash": "0.8 ml"}

    found = swap(bar(RUM, PLAIN, RICH, spec, **house), spec, "plain-syrup", "rich-syrup")

    assert found.new_pour.exact.value == pytest.approx(5.2, abs=0.05)
    assert found.new_pour.measured == expected
    assert found.new_pour.poured.value == (5.0 if expected else 7.5)


def test_a_house_that_names_no_spoon_is_not_told_to_use_one() -> None:
    """The size of a barspoon is the bar's own matter: 2.5 to 5 ml are sold."""
    spec = drink("Pier", "60 ml gold rum", "7.5 ml plain syrup", method="stirred")

    found = swap(bar(RUM, PLAIN, RICH, spec, jigger_step="7.5 ml"), spec, "plain-syrup", "rich-syrup")

    assert found.new_pour.measured is None
    assert found.new_pour.poured.value == 7.5


def test_syrup_for_a_wine_that_tops_the_drink_is_poured_with_the_rest_of_it() -> None:
    """10 ml of syrup meet the ice as before, and what comes in the place of the wine with them."""
    wine = ingredient(
        "sweet sparkling wine", kind="wine", abv="8 %", sugar="80 g/l", acid="6 g/l", top="true", allergens=[]
    )
    spec = drink("Weir", "30 ml gold rum", "10 ml plain syrup", "60 ml sweet sparkling wine", dilution="30 %")
    house = bar(RUM, PLAIN, wine, spec)

    found = swap(house, spec, "sweet-sparkling-wine", "plain-syrup")

    pours = [f"{pour.poured.value} ml {pour.liquid.name}" for pour in found.pours]
    written = totals(house, drink("New", *pours, dilution="30 %"))
    assert found.new.mix.volume_ml == pytest.approx(written.mix.volume_ml, rel=1e-9)


def test_fits_pours_the_spoon_that_swap_pours() -> None:
    spec = drink("Pier", "60 ml gold rum", "7.5 ml plain syrup", method="stirred")
    house = bar(RUM, PLAIN, RICH, spec, jigger_step="7.5 ml", barspoon="5 ml")

    (fit,) = fits(house, spec, "plain-syrup", ["rich-syrup"]).fits

    assert fit.measured == swap(house, spec, "plain-syrup", "rich-syrup").new_pour.measured == Quantity(1.0, "barspoon")
