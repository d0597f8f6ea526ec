"""What may go in a swap, and which sours the house has to put in the place of one."""

from __future__ import annotations

from pathlib import Path

import pytest

from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.across import sour_stand_ins
from balancer.engine.swaps.roles import may_go, sours
from balancer.files.house.load import load

_INGREDIENTS = """\
- {ingredient: gold rum, kind: spirit, abv: 40 %, sugar: 0 g/l, allergens: []}
- {ingredient: lime juice, kind: juice, sugar: 16.9 g/kg, acid: 46 g/l, allergens: []}
- {ingredient: lemon juice, kind: juice, sugar: 16.9 g/kg, acid: 46 g/l, allergens: []}
- {ingredient: mild juice, kind: juice, sugar: 16.9 g/kg, acid: 23 g/l, allergens: []}
- {ingredient: nut juice, kind: juice, sugar: 16.9 g/kg, acid: 46 g/l, allergens: [nuts]}
- {ingredient: apple juice, kind: juice, sugar: 100 g/kg, acid: 6 g/l, allergens: []}
- {ingredient: orange liqueur, kind: liqueur, abv: 40 %, sugar: 235 g/l, allergens: []}
"""
_SYRUPS = (
    "- {syrup: ash syrup, standard: 50 °Bx, allergens: []}\n- {syrup: elm syrup, standard: 50 °Bx, allergens: []}\n"
)
_DRINK = """\
drink: Anchor
method: shaken
pours:
  - 50 ml gold rum
  - 20 ml lime juice
  - 15 ml apple juice
  - 20 ml ash syrup
  - {pour: 10 ml, of: elm syrup, fixed: true}
  - 10 ml orange liqueur
dilution: 45 %
"""


@pytest.fixture
def bar(tmp_path: Path) -> Bar:
    """A small house."""
    for kind, text in (("ingredients", _INGREDIENTS), ("syrups", _SYRUPS), ("drinks", _DRINK)):
        (tmp_path / kind).mkdir()
        (tmp_path / kind / "all.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "house.yaml").write_text("format: 1\nhouse: Slip\njigger step: 2.5 ml\n", encoding="utf-8")
    loaded = load(tmp_path)
    assert not loaded.problems
    return Bar(loaded.specs)


def test_sweeteners_and_sours_may_go_but_not_what_is_fixed(bar: Bar) -> None:
    assert may_go(bar, bar.specs.drinks["anchor"]) == ("lime-juice", "ash-syrup", "orange-liqueur")


def test_sours_hold_a_fifth_of_their_sugar_in_acid(bar: Bar) -> None:
    assert sours(bar) == ("lime-juice", "lemon-juice", "mild-juice", "nut-juice")


def test_the_same_sour_by_another_name_comes_first_and_an_allergen_behind(bar: Bar) -> None:
    found = sour_stand_ins(bar, bar.specs.drinks["anchor"], "lime-juice")
    names = [one.into.id for one in found]
    assert names[0] == "lemon-juice"
    assert names[-1] == "nut-juice"
    lemon, mild = found[0], next(one for one in found if one.into.id == "mild-juice")
    assert lemon.new_pour.poured.value == pytest.approx(20.0)
    assert lemon.effort == pytest.approx(0.0, abs=1e-9)
    assert mild.new_pour.exact.value == pytest.approx(40.0, rel=1e-3)  # half as sour: twice as much
