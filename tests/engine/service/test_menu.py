"""The menu against what is in use: which pours are decided on, with what, and each drink once."""

from __future__ import annotations

from typing import Any

import pytest

from balancer.engine.drink.amount import Amount, poured_in
from balancer.engine.drink.jigger import Jigger
from balancer.engine.drink.totals import totals
from balancer.engine.service.decision import OffPour
from balancer.engine.service.menu import DrinkDecision, Menu
from balancer.models.drink import Drink
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, SOUR, bar, drink, syrup

BOTH = drink("Both", "60 ml gold rum", "22.5 ml berry syrup", "30 ml plain syrup", "22.5 ml lime juice")
RINSED = drink("Rinsed", "60 ml gold rum", "rinse berry syrup", method="stirred")
NEAT = drink("Neat", "60 ml gold rum", method="built")
MENU = (SOUR, BOTH, RINSED, NEAT)
AT_50, AT_54 = 0.5 * 1.2296, 0.54 * 1.2519
"""Sugar in a ml, g, by the printed densities."""


def menu(*drinks: Drink, house: dict[str, Any] | None = None, **strengths: float) -> Menu:
    """A menu with syrups at strengths, written with an underscore."""
    at = {name.replace("_", "-"): brix for name, brix in strengths.items()}
    return Menu(bar(RUM, LIME, BERRY, PLAIN, *(drinks or MENU), **(house or {})), at)


def decided(pour: str | dict[str, Any], brix: float = 54.0, **house: Any) -> DrinkDecision:
    """A drink with one pour of berry syrup."""
    spec = drink("Any", "60 ml gold rum", pour, method="stirred")
    return menu(spec, house=house, berry_syrup=brix).decide(spec)


def off(pour: str | dict[str, Any], brix: float = 54.0, **house: Any) -> OffPour:
    (found,) = decided(pour, brix, **house).off
    return found


def test_every_drink_that_pours_a_syrup_is_known_by_it() -> None:
    """A rinse is no pour."""
    found = menu().pouring
    assert {syrup: [one.name for one, _ in rows] for syrup, rows in found.items()} == {
        "berry-syrup": ["Test Sour", "Both"],
        "plain-syrup": ["Both"],
    }
    assert [pour.amount.value for _, pour in found["berry-syrup"]] == [22.5, 22.5]


def test_a_drink_is_decided_on_once() -> None:
    """The same answer for whoever asks."""
    shared = menu(berry_syrup=54.0)
    assert shared.decide(BOTH) is shared.decide(BOTH)


def test_the_same_menu_with_one_syrup_at_another_strength() -> None:
    """The others stay as they count, and the menu asked is as it was."""
    night = menu(berry_syrup=54.0, plain_syrup=48.0)
    other = night.at("berry-syrup", 46.0)
    assert other.strengths == {"berry-syrup": 46.0, "plain-syrup": 48.0}
    assert night.strengths == {"berry-syrup": 54.0, "plain-syrup": 48.0}
    assert night.at("berry-syrup", 54.0) is night
    assert night.decide(SOUR).decision.poured == (Amount(20.0),)
    assert other.decide(SOUR).decision.poured == (Amount(25.0),)
    assert menu().at("plain-syrup", 48.0).strengths == {"plain-syrup": 48.0}


def test_only_syrups_with_a_strength_of_their_own_are_decided_on() -> None:
    """In the order of the spec; lime and rum are sugar of the drink only."""
    one = menu(plain_syrup=54.0).decide(BOTH)
    assert [part.pour.of for part in one.parts] == ["plain-syrup"]
    two = menu(plain_syrup=54.0, berry_syrup=54.0).decide(BOTH)
    assert [part.pour.of for part in two.parts] == ["berry-syrup", "plain-syrup"]
    assert (two.place("berry-syrup"), two.place("plain-syrup")) == (0, 1)
    assert two.sugar_g == pytest.approx(52.5 * AT_50 + 22.5 * 1.0229 * 0.0169, abs=0.01)
    assert [part.pour.of for part in two.designed] == ["gold-rum", "berry-syrup", "plain-syrup", "lime-juice"]


@pytest.mark.parametrize("spec", [RINSED, NEAT], ids=lambda spec: spec.name)
def test_a_drink_with_nothing_to_decide_is_as_written(spec: Drink) -> None:
    found = menu(berry_syrup=54.0).decide(spec)
    assert (found.parts, found.decision.verdict, found.decision.poured) == ((), "as written", ())


def test_a_measured_pour() -> None:
    found = off("22.5 ml berry syrup")
    assert (found.written, found.jigger) == (Amount(22.5), Jigger(2.5))
    assert (found.fixed, found.small, found.outside) == (False, False, True)
    assert found.designed_g == pytest.approx(22.5 * AT_50, abs=0.002)
    assert found.per_unit_g == pytest.approx(AT_54, abs=0.0001)
    assert found.exact.value == pytest.approx(22.5 * AT_50 / AT_54, abs=0.005)


@pytest.mark.parametrize(
    ("pour", "house"),
    [("27.666 g berry syrup", {}), ("22.5 ml berry syrup", {"pour_style": "scale"})],
)
def test_a_weighed_pour(pour: str, house: dict[str, Any]) -> None:
    """22.5 ml at 50 °Bx are 27.666 g, and 54 °Bx are 0.54 g of sugar in a g: 25.62 g exactly."""
    found = off(pour, **house)
    assert found.written.unit == "g"
    assert found.written.value == pytest.approx(22.5 * 1.2296, abs=0.005)
    assert found.per_unit_g == pytest.approx(0.54)
    assert found.jigger == Jigger(1.0)
    assert found.exact.value == pytest.approx(22.5 * 1.2296 * 50.0 / 54.0, abs=0.005)
    assert found.line == Amount(26.0, "g")


def test_a_weighed_pour_moves_by_the_division_of_the_scale() -> None:
    """27 × 50/54 = 25 g exactly, 27.5 × 50/54 = 25.46 g."""
    for written, line in (("27 g", 25.0), ("27.5 g", 25.5)):
        found = off(f"{written} berry syrup", scale={"division": "0.1 g"}).line
        assert found.is_same(Amount(line, "g"))


@pytest.mark.parametrize(("pour", "small"), [("7.5 ml berry syrup", True), ("7.6 ml berry syrup", False)])
def test_a_small_pour_is_known(pour: str, small: bool) -> None:
    assert off(pour).small is small


@pytest.mark.parametrize(("grams", "small"), [(9.2, True), (9.3, False)])
def test_a_small_pour_by_weight_is_as_small_as_by_volume(grams: float, small: bool) -> None:
    """7.5 ml at 50 °Bx are 9.22 g."""
    assert off(f"{grams} g berry syrup").small is small


def test_what_may_not_move() -> None:
    """A fixed pour, and every pour of a house that pours free."""
    assert off({"pour": "22.5 ml", "of": "berry syrup", "fixed": "true"}).fixed
    assert off("22.5 ml berry syrup", pour_style="free").fixed
    assert not off("22.5 ml berry syrup", pour_style="scale").fixed


@pytest.mark.parametrize(("brix", "outside"), [(51.0, False), (51.1, True), (49.0, False), (48.9, True)])
def test_the_batch_tolerance_tells_what_is_outside(brix: float, outside: bool) -> None:
    """1 °Bx, the edge inside; a syrup's own tolerance wins."""
    assert off("22.5 ml berry syrup", brix).outside is outside
    loose = syrup("berry syrup", tolerance="5 °Bx")
    spec = drink("Any", "60 ml gold rum", "22.5 ml berry syrup")
    (found,) = Menu(bar(RUM, loose, spec), {"berry-syrup": brix}).decide(spec).off
    assert not found.outside


def test_a_pour_without_sugar_is_not_decided_on() -> None:
    """Nothing of it can keep the drink's sugar."""
    gum = syrup("berry syrup", sugar_share="0 %")
    spec = drink("Any", "60 ml gold rum", "22.5 ml berry syrup")
    assert Menu(bar(RUM, gum, spec), {"berry-syrup": 54.0}).decide(spec).parts == ()


def test_what_would_be_if_one_pour_were_another() -> None:
    """The plain syrup at 46 instead of 54 beside the berry at 54: the errors nearly cancel."""
    strong = menu(berry_syrup=54.0, plain_syrup=54.0)
    found = strong.decide(BOTH)
    weak = menu(berry_syrup=54.0, plain_syrup=46.0).decide(BOTH)
    place = found.place("plain-syrup")

    assert found.error_at(place, found.off[place]) == pytest.approx(found.decision.as_written_percent)
    assert found.error_at(place, weak.off[place]) == pytest.approx(weak.decision.as_written_percent)
    assert found.decided_at(place, weak.off[place], 5.0) == weak.decision
    assert (found.moves(0), found.moves(1), weak.moves(0), weak.moves(1)) == (True, True, False, False)


@pytest.mark.parametrize("house", [{}, {"pour_style": "scale"}, {"jigger_lines": ["15 ml", "20 ml"]}])
def test_volumes_are_those_of_the_totals(house: dict[str, Any]) -> None:
    """Mix and glass, as designed and as poured; weighed pours in ml of what is in the bottle."""
    strengths = {"berry-syrup": 54.0, "plain-syrup": 53.0}
    shelf = menu(house=house)
    found = Menu(shelf.bar, strengths).decide(BOTH)
    mix, served, new_mix, new_served = found.volumes()
    poured = {
        part.pour.of: amount.value if amount.unit == "ml" else amount.value / (liquid.density or 0.0)
        for part, liquid, amount in zip(found.parts, found.now, found.decision.poured, strict=True)
    }
    before, after = totals(shelf.bar, BOTH), totals(shelf.bar, BOTH, strengths, poured)

    assert new_mix.volume_ml != pytest.approx(mix.volume_ml)
    assert (mix.volume_ml, new_mix.volume_ml) == pytest.approx((before.mix.volume_ml, after.mix.volume_ml))
    assert served is not None
    assert new_served is not None
    assert before.served is not None
    assert after.served is not None
    assert (served.volume_ml, new_served.volume_ml) == pytest.approx((before.served.volume_ml, after.served.volume_ml))
    assert found.decision.after_percent == pytest.approx(100.0 * (after.sugar_g / before.sugar_g - 1.0))


def test_without_a_dilution_the_glass_is_unknown() -> None:
    spec = drink("Odd", "60 ml gold rum", "22.5 ml berry syrup", method="swizzled")
    _, served, _, new_served = menu(spec, berry_syrup=54.0).decide(spec).volumes()
    assert served is new_served is None


def test_what_goes_on_the_scale() -> None:
    """What the spec gives by weight, and everything in a house that pours so."""
    spec = drink("Any", "60 g gold rum", "22.5 ml berry syrup")
    measured, scale = bar(RUM, BERRY, spec), bar(RUM, BERRY, spec, pour_style="scale")
    assert [poured_in(measured.specs.house, pour, measured.liquid(pour.of)) == "g" for pour in spec.pours] == [
        True,
        False,
    ]
    assert [poured_in(scale.specs.house, pour, scale.liquid(pour.of)) == "g" for pour in spec.pours] == [True, True]
