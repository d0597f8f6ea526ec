"""How alike sweeteners are: orders argued by hand from common practice, and what must always hold."""

from __future__ import annotations

import itertools
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.across import stand_ins
from balancer.engine.swaps.at import Strength
from balancer.engine.swaps.fits import fits, main_sweetener, sweeteners
from balancer.engine.swaps.likeness import Body, Family, Likeness, LikenessTo, nature
from balancer.files.house.load import load
from balancer.models.drink import Drink
from balancer.models.ingredient import Ingredient
from balancer.models.pour import Part
from balancer.models.syrup import Syrup
from balancer.units import Quantity
from tests.engine.builders import LIME, PLAIN, RUM, bar, drink, ingredient, syrup

pytestmark = pytest.mark.slow

DEMO = Path(__file__).parents[3] / "specs"
INVERT = {"fructose": "50 %", "glucose": "50 %"}


def parts(*names: str) -> tuple[Part, ...]:
    return tuple([Part.model_validate({"pour": Quantity(100.0, "g"), "of": name}) for name in names])


def made(name: str, *of: str, **keys: Any) -> Syrup:
    """A syrup with a recipe."""
    return syrup(name, **({"allergens": []} | keys)).model_copy(update={"recipe": parts(*of)})


WATER = ingredient("water", sugar="0 g/l", allergens=[])
WHITE = ingredient("white sugar", kind="sugar", sugar="998 g/kg", allergens=[])
RAW = ingredient("raw sugar", kind="sugar", sugar="990 g/kg", allergens=[])
HONEY = ingredient("honey", kind="sugar", sugar="820 g/kg", sugars=INVERT, allergens=[])
BERRIES = ingredient("berries", kind="fruit", sugar="44 g/kg", acid="16 g/kg", allergens=[])
ROOT = ingredient("root", kind="fruit", sugar="17 g/kg", acid="0 g/kg", allergens=[])
ALMONDS = ingredient("almonds", kind="seasoning", sugar="44 g/kg", allergens=["tree nuts"])
TEA = ingredient("black tea", sugar="0 g/l", allergens=[])
COCONUT = ingredient("coconut cream", sugar="515 g/kg", density="1.25 g/ml", allergens=[])
CREAM = ingredient("cream", kind="dairy", sugar="29 g/kg", density="1.01 g/ml", allergens=["milk"])
EGG = ingredient("egg white", kind="egg", sugar="7 g/kg", density="1.03 g/ml", allergens=["eggs"])
ORANGE = ingredient("orange liqueur", kind="liqueur", abv="40 %", sugar="250 g/l", allergens=[])
CREAMY = ingredient("cream liqueur", kind="liqueur", abv="17 %", sugar="250 g/l", allergens=["milk"])

RICH = syrup("rich syrup", standard="66.7 °Bx", flavour="none", allergens=[])
RAW_SYRUP = made("raw syrup", "raw-sugar", "water")
HONEY_SYRUP = made("honey syrup", "honey", "water", sugars=INVERT)
BERRY_SYRUP = made("berry syrup", "berries", "white-sugar", acid="9 g/kg")
OTHER_BERRY = made("other berry syrup", "berries", "white-sugar", acid="6 g/kg")
ROOT_SYRUP = made("root syrup", "root", "water", "white-sugar")
CORDIAL = made("lime cordial", "lime-juice", "white-sugar", acid="34 g/kg")
ALMOND_SYRUP = made("almond syrup", "almonds", "water", "white-sugar")
SAYS_NOTHING = syrup("house syrup", allergens=[])

SHELF = (
    WATER, WHITE, RAW, HONEY, BERRIES, ROOT, ALMONDS, TEA, COCONUT, CREAM, EGG, ORANGE, CREAMY, RUM, LIME, PLAIN, RICH,
    RAW_SYRUP, HONEY_SYRUP, BERRY_SYRUP, OTHER_BERRY, ROOT_SYRUP, CORDIAL, ALMOND_SYRUP, SAYS_NOTHING,
)  # fmt: skip


def what(entry: Ingredient | Syrup, *others: Ingredient | Syrup) -> tuple[Body, Family]:
    house = bar(*SHELF, *others, entry)
    found = nature(house, house.liquid(entry.id))
    return found.body, found.family


@pytest.mark.parametrize(
    ("entry", "expected"),
    [
        (PLAIN, ("clear", "plain")),
        (WHITE, ("clear", "plain")),  # 99.8 % sugar: nothing in it that could taste
        (RAW, ("clear", "sugar")),  # 1 % is molasses
        (HONEY, ("clear", "sugar")),
        (made("simple", "white-sugar", "water"), ("clear", "plain")),  # its recipe says it, without a flavour key
        (RAW_SYRUP, ("clear", "sugar")),
        (BERRY_SYRUP, ("cloudy", "flavoured")),
        (CORDIAL, ("cloudy", "flavoured")),
        (ALMOND_SYRUP, ("nut", "flavoured")),
        (made("almond milk syrup", "almonds", "cream", allergens=["tree nuts", "milk"]), ("creamy", "flavoured")),
        (made("secret syrup", "no-such-thing", "white-sugar"), ("unknown", "unknown")),
        (made("tea syrup", "black-tea", "white-sugar"), ("unknown", "flavoured")),  # nothing says how clear tea is
        (SAYS_NOTHING, ("unknown", "unknown")),
        (syrup("milk syrup", allergens=["milk"]), ("creamy", "unknown")),
        (COCONUT, ("creamy", "flavoured")),  # a mixer, by its noun
        (ingredient("cream of coconut", sugar="515 g/kg"), ("creamy", "flavoured")),
        (ingredient("cream soda", sugar="100 g/kg"), ("unknown", "flavoured")),
        (ingredient("peach purée", sugar="90 g/kg"), ("cloudy", "flavoured")),
        (ingredient("house mixer", sugar="100 g/kg"), ("unknown", "flavoured")),
        (ingredient("cream sherry", kind="wine", abv="17 %"), ("clear", "flavoured")),
        (CREAMY, ("creamy", "flavoured")),
        (ingredient("almond liqueur", kind="liqueur", abv="24 %", allergens=["tree nuts"]), ("clear", "flavoured")),
        (CREAM, ("creamy", "flavoured")),
        (EGG, ("egg", "flavoured")),
        (ingredient("stout", kind="beer", abv="4 %"), ("unknown", "flavoured")),
        (Ingredient.model_validate({"ingredient": "thing", "id": "thing"}), ("unknown", "unknown")),
    ],
    ids=lambda value: getattr(value, "id", ""),
)
def test_what_a_thing_is_comes_from_its_file_alone(entry: Ingredient | Syrup, expected: tuple[Body, Family]) -> None:
    assert what(entry) == expected


def order(spec: Drink, out: str, *into: str, others: tuple[Ingredient | Syrup, ...] = ()) -> list[str]:
    house = bar(*SHELF, *others, spec)
    to = LikenessTo(house, spec, out)
    return sorted(into, key=lambda identity: to.of(house.liquid(identity)))


STIRRED = drink("Old", "60 ml gold rum", "7.5 ml plain syrup", method="stirred")
SHAKEN = drink("Sour", "60 ml gold rum", "22.5 ml lime juice", "22.5 ml plain syrup")
FRUITY = drink("Pink", "60 ml gold rum", "22.5 ml lime juice", "22.5 ml berry syrup")
FLIP = drink("Flip", "60 ml gold rum", "15 ml cream", "15 ml plain syrup", "1 ml egg white")


def test_stirred_and_plain_stays_clear_and_plain() -> None:
    """Common practice: another plain syrup, raw sugar, honey; pulp clouds it, and cream is never stirred in."""
    wanted = ["rich-syrup", "raw-syrup", "honey-syrup", "orange-liqueur", "berry-syrup", "coconut-cream"]

    for shuffled in itertools.permutations(wanted):
        assert order(STIRRED, "plain-syrup", *shuffled) == wanted


def test_in_a_sour_pulp_is_at_home_and_cream_is_not() -> None:
    """Lime juice has clouded it already; a syrup that nothing is said of is no better than any flavour."""
    wanted = ["rich-syrup", "raw-syrup", "berry-syrup", "lime-cordial", "coconut-cream"]

    assert order(SHAKEN, "plain-syrup", *reversed(wanted)) == wanted


def test_fruit_stands_in_for_fruit() -> None:
    """Then no fruit at all, before another taste; the cordial is sour itself, so the sours no longer balance."""
    wanted = ["other-berry-syrup", "plain-syrup", "root-syrup"]
    assert order(FRUITY, "berry-syrup", *reversed(wanted)) == wanted

    wanted = ["other-berry-syrup", "lime-cordial", "almond-syrup"]
    assert order(FRUITY, "berry-syrup", *reversed(wanted)) == wanted


def test_honey_gives_way_to_its_own_syrup_first() -> None:
    spec = drink("Bees", "60 ml gold rum", "22.5 ml lime juice", "22.5 ml honey syrup")
    house = bar(*SHELF, spec)
    to = LikenessTo(house, spec, "honey-syrup")

    assert to.of(house.liquid("honey")) == Likeness(0, 0, False, False)  # the same, stronger
    assert to.of(house.liquid("plain-syrup")) == Likeness(0, 1, True, False)


def test_in_a_flip_cream_is_nothing_new() -> None:
    house = bar(*SHELF, FLIP, STIRRED)

    assert LikenessTo(house, FLIP, "plain-syrup").of(house.liquid("coconut-cream")).body == 0
    assert LikenessTo(house, STIRRED, "plain-syrup").of(house.liquid("coconut-cream")).body == 4


def test_what_the_drink_pours_already_is_no_new_flavour() -> None:
    both = drink("Both", "60 ml gold rum", "10 ml orange liqueur", "10 ml plain syrup", method="stirred")
    house = bar(*SHELF, both, STIRRED)

    there = LikenessTo(house, both, "plain-syrup").of(house.liquid("orange-liqueur"))
    new = LikenessTo(house, STIRRED, "plain-syrup").of(house.liquid("orange-liqueur"))
    assert there < new


def test_a_house_word_for_a_method_tells_nothing() -> None:
    odd = drink("Odd", "60 ml gold rum", "10 ml plain syrup", method="smoked", dilution="20 %")
    house = bar(*SHELF, odd)

    assert LikenessTo(house, odd, "plain-syrup").of(house.liquid("berry-syrup")).body == 2


def test_a_dash_of_a_thousand_unknowns_is_not_clear() -> None:
    """A drink whose bodies nobody knows counts as clear for what comes: so nobody's guess lets pulp in."""
    vague = drink("Vague", "60 ml black tea", "10 ml plain syrup", method="built", dilution="20 %")
    house = bar(*SHELF, vague)

    assert LikenessTo(house, vague, "plain-syrup").of(house.liquid("house-syrup")).body == 1


LISTED = [entry.id for entry in SHELF if isinstance(entry, Syrup) or entry in (COCONUT, ORANGE, HONEY, RAW, WHITE)]


@pytest.mark.parametrize("spec", [STIRRED, SHAKEN, FLIP], ids=lambda spec: str(spec.id))
@pytest.mark.parametrize("identity", [identity for identity in LISTED if identity != "plain-syrup"])
@pytest.mark.parametrize(
    "keys",
    [
        {"cautions": ("tell the guest",)},
        {"allergens": ("milk",)},
        {"allergens": ("eggs",)},
        {"allergens": ("tree nuts",)},
    ],
    ids=["caution", "milk", "eggs", "nuts"],
)
def test_a_caution_or_dairy_never_moves_anything_up(spec: Drink, identity: str, keys: dict[str, Any]) -> None:
    """The thing itself is nearer to nothing, and it passes no other of the shelf; in `fits` too."""
    house = bar(*SHELF, spec)
    worse = bar(*[entry.model_copy(update=keys) if entry.id == identity else entry for entry in SHELF], spec)
    before, after = (LikenessTo(each, spec, "plain-syrup").of(each.liquid(identity)) for each in (house, worse))
    assert after >= before

    others = [other for other in LISTED if other != "plain-syrup"]
    old, new = ([fit.into.id for fit in fits(each, spec, "plain-syrup", others).fits] for each in (house, worse))
    assert new.index(identity) >= old.index(identity)


def test_a_dairy_kind_is_last_of_the_harmless() -> None:
    """With no allergen listed for it, what its kind says still counts."""
    milk = ingredient("sweet milk", kind="dairy", sugar="540 g/kg", density="1.29 g/ml", allergens=[])
    house = bar(*SHELF, milk, SHAKEN)
    found = fits(house, SHAKEN, "plain-syrup", ["sweet-milk", *LISTED]).fits

    harmless = [fit.into.id for fit in found if fit.is_harmless and not fit.reasons]
    assert {"sweet-milk", "coconut-cream"} == set(harmless[-2:])


@given(st.permutations(LISTED))
def test_the_order_does_not_depend_on_the_order_of_trying(shuffled: list[str]) -> None:
    house = bar(*SHELF, SHAKEN)
    usual = [fit.into.id for fit in fits(house, SHAKEN, "plain-syrup", LISTED).fits]

    assert [fit.into.id for fit in fits(house, SHAKEN, "plain-syrup", shuffled).fits] == usual
    assert len(usual) == len(set(usual)) == len(LISTED) - 1


@given(st.permutations(["rich-syrup", "raw-syrup", "berry-syrup", "honey-syrup", "lime-cordial", "rich-syrup"]))
def test_stand_ins_do_not_depend_on_what_was_opened_first(shuffled: list[str]) -> None:
    house = bar(*SHELF, SHAKEN)
    strong = {name: house.standard(name) for name in shuffled}

    def names(ids: list[str]) -> list[tuple[str, str | None]]:
        batches = {name: iter(("A-1", "A-2")) for name in ids}
        open_ones = [(name, Strength(strong[name], next(batches[name]))) for name in ids]
        found = stand_ins(house, SHAKEN, "plain-syrup", open_ones)
        return [(each.into.id, each.strength and each.strength.batch) for each in found]

    assert names(shuffled) == names(sorted(shuffled))
    assert names(shuffled)[0] == ("rich-syrup", "A-1")


def demo_order(name: str) -> list[str]:
    house = Bar(load(DEMO).specs)
    spec = house.specs.drinks[name]
    return [fit.into.id for fit in fits(house, spec, main_sweetener(house, spec), sweeteners(house)).fits]


def test_a_coffee_drink_takes_a_plain_syrup_for_a_plain_syrup() -> None:
    """Nobody stirs coconut cream into coffee and rye because its volume is right."""
    found = demo_order("coal-barge")

    assert found[0] == "simple-syrup"
    assert found[1] == "demerara-syrup"
    assert found.index("coconut-cream") > found.index("ginger-syrup")


def test_a_raspberry_sour_takes_another_fruit_then_plain_before_honey_and_cream() -> None:
    found = demo_order("slipway-sour")

    assert set(found[:3]) == {"strawberry-syrup", "pineapple-syrup", "passion-fruit-syrup"}
    assert found.index("simple-syrup") < found.index("honey-syrup") < found.index("coconut-cream")
