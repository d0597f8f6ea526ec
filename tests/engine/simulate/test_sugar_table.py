"""The tabulated sugar of a syrup against the liquid itself."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.drink.liquid import syrup_liquid
from balancer.engine.simulate.sugar_table import WITHIN, SugarTable, possible, sugar_formula
from balancer.errors import CannotError
from balancer.models.syrup import Syrup
from tests.engine.builders import BERRY, syrup

SYRUPS = (
    BERRY,
    syrup("maple", standard="66.7 °Bx", sugar_share="90 %"),
    syrup("cordial", standard="50.3 °Bx", acid="34 g/kg"),
    syrup("sour", standard="40 °Bx", acid="60 g/l", sugars={"fructose": "55 %", "glucose": "45 %"}),
    syrup("spirited", standard="60 °Bx", abv="12 %", acid="9 g/kg"),
)


@given(made=st.sampled_from(SYRUPS), part=st.floats(0.0, 1.0), by_weight=st.booleans(), wide=st.floats(1.0, 60.0))
def test_the_table_agrees_with_the_formula(made: Syrup, part: float, by_weight: bool, wide: float) -> None:
    """Anywhere in its range, to 1 part in 10¹⁰."""
    standard = made.standard or 0.0
    low, high = possible(made, standard - wide, standard + wide)
    formula = sugar_formula(made, by_weight=by_weight)
    brix = low + part * (high - low)
    assert SugarTable(formula, standard, low, high).at(brix) == pytest.approx(formula(brix), rel=3 * WITHIN)


@pytest.mark.parametrize("made", SYRUPS)
def test_the_standard_is_exact(made: Syrup) -> None:
    """Or a batch at its standard would be a hair off."""
    standard = made.standard or 0.0
    table = SugarTable(sugar_formula(made, by_weight=False), standard, standard - 10.0, standard + 5.0)
    assert table.at(standard) == syrup_liquid(made, standard).sugar_g_per_ml


def test_a_formula_that_jumps_is_refused() -> None:
    with pytest.raises(CannotError, match="jumps"):
        SugarTable(lambda brix: 1.0 if brix < 50.0 else 2.0, 49.9, 40.0, 60.0)


def test_what_no_syrup_can_be_is_left_out() -> None:
    """Acid needs water, and no density is known beyond 85 °Bx; nor is there a syrup below 1."""
    low, high = possible(syrup("cordial", acid="34 g/kg"), -20.0, 120.0)
    assert low == 1.0
    assert 80.0 < high < 85.0
    assert syrup_liquid(syrup("cordial", acid="34 g/kg"), high).density
    assert possible(BERRY, 40.0, 60.0) == (40.0, 60.0)
