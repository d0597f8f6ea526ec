"""What a card writes stands once on strip and label, and who goes by card and bottle pours what the night decided."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from fractions import Fraction
from typing import Any, NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.card import card
from balancer.engine.service.labels import labels
from balancer.engine.service.strips import strips
from balancer.engine.service.tonight import Tonight, tonight
from balancer.models.batch import Batch
from balancer.models.drink import Drink
from balancer.output.data.tonight import tonight_data
from balancer.output.paper.card_lines import amount
from balancer.output.paper.labels import batch_label
from balancer.output.paper.language import words_of
from balancer.output.paper.strips import paper_of, strips_page
from balancer.output.words.tonight import told
from balancer.units import Quantity
from tests.across.houses import tried
from tests.engine.builders import LIME, RUM, bar, drink, syrup
from tests.engine.service.test_tonight import NIGHT, batch

ENGLISH = words_of("en")
OUNCES = ("29.5735295625 ml", "30 ml", "28.4130625 ml")
# Close to one another, so that two of them often read alike in ounces; and the same amounts in other units.
WRITTEN = (
    *(f"{ml} ml" for ml in ("14.5", "15", "15.2", "21.8", "22.1", "22.5", "22.9", "29", "29.6", "30", "44.5", "45.5")),
    *("1/2 oz", "3/4 oz", "1 oz", "0.76 oz", "1.5 cl", "1 tablespoon", "3 barspoons", "18.4 g", "18.6 g", "28 g"),
)


class Open(NamedTuple):
    """A bar and what is open in it."""

    bar: Bar
    batches: tuple[Batch, ...]

    def night(self) -> Tonight:
        return tonight(self.bar, self.batches, NIGHT)


class Hung(NamedTuple):
    """What stands on one bottle: written and poured side of its lines, named drinks and what they are told.

    on_strip  drinks that a label sends to the strip
    """

    lines: Sequence[tuple[str, str]]
    named: dict[str, str]
    asked: set[str]
    on_strip: frozenset[str] = frozenset()


def lemon(acid: float) -> Batch:
    return batch("LIM-1", LIME.id, None, acid=Quantity(acid, "g/l"))


@st.composite
def dense(draw: DrawFn) -> Open:
    """Many drinks whose pours are near to one another, two syrups and a juice that are off."""
    plain, berry = syrup("plain syrup", flavour="none", allergens=[]), syrup("berry syrup", standard="60 °Bx")
    drinks = []
    for number in range(draw(st.integers(2, 6))):
        written = {}
        pours: list[str | dict[str, Any]] = ["50 ml gold rum"]
        for of in draw(st.lists(st.sampled_from([plain.name, berry.name, LIME.name]), min_size=1, unique=True)):
            pour = draw(st.sampled_from(WRITTEN))
            fixed = draw(st.integers(0, 7)) == 0
            quantity = drink("X", f"{pour} {of}").pours[0].amount
            pours.append({"pour": quantity, "of": of, "fixed": "true" if fixed else "false"})
            if of != LIME.name and draw(st.integers(0, 3)) == 0:
                written[of.replace(" ", "-")] = f"{draw(st.integers(46, 66))} °Bx"
        drinks.append(drink(f"Drink {number}", *pours, written_for=written))
    weighs = draw(st.integers(0, 3)) == 0
    house = bar(
        RUM, LIME, plain, berry, *drinks,
        ounce=draw(st.sampled_from(OUNCES)),
        jigger_step=draw(st.sampled_from(("1/8 oz", "1/4 oz", "2.5 ml", "0.5 ml"))),
        show=draw(st.sampled_from(("ml", "oz", "oz", "oz"))),
        **({"pour_style": "scale", "scale": {"division": draw(st.sampled_from(("1 g", "0.1 g")))}} if weighs else {}),
    )  # fmt: skip
    opened = (
        batch("PLA-1", plain.id, float(draw(st.integers(44, 57)))),
        batch("BER-1", berry.id, float(draw(st.integers(54, 67)))),
        lemon(float(draw(st.integers(36, 56)))),
    )
    return Open(house, opened)


def number(text: str) -> float:
    """What is printed, as a number: 17.5, ⅝, 1¾, 1 2⁄3."""
    spelt = "".join(f" {unicodedata.normalize('NFKC', sign)}" if sign in "¼½¾⅓⅔⅛⅜⅝⅞⅚" else sign for sign in text)
    return float(sum(Fraction(part.replace("⁄", "/")) for part in spelt.split()))


def value(text: str, ounce: float) -> float:
    """An amount as it is printed, in ml or g."""
    figures, _, unit = text.rpartition(" ")
    return number(figures) * (ounce if unit == "oz" else 1.0)


def on_card(house: Bar, each: Drink, liquid: str) -> str:
    """What a drink's card writes of a liquid."""
    line = next(line for line in card(house, each).pours if line.liquid.id == liquid)
    return " ".join(amount(line, house.specs.house.show, ENGLISH)).replace("\u00a0", " ")


def whole(written: str, poured: str, unit: str) -> tuple[str, str]:
    """Both sides of a printed line with their units: that of the written one is left out where it is the other's."""
    written = written.replace("\u00a0", " ")
    return (written if written[-1].isalpha() else f"{written} {unit}"), f"{poured} {unit}"


def new_side(said: str) -> str:
    """What a drink that is named pours."""
    return said.replace("\u00a0", " ").partition(" → ")[2] or "as written"


def on_strips(evening: Open, night: Tonight) -> dict[str, Hung]:
    found = strips(evening.bar, night, evening.batches).strips
    page = strips_page(found, NIGHT, evening.bar.specs, paper_of("a4"), None, ENGLISH)
    hung = {}
    for item in page["items"]:
        lines = [whole(line["written"], line["poured"], line["unit"]) for line in item["pairs"]]
        named = {own["drink"]: new_side(own["said"]) for own in item["own"]}
        hung[item["name"]] = Hung(lines, named, {one["drink"] for one in item["ask"]})
    return hung


def on_labels(evening: Open, night: Tonight) -> dict[str, Hung]:
    hung = {}
    for label in labels(evening.bar, night, evening.batches, evening.batches).labels:
        text = batch_label(label, NIGHT, evening.bar.specs, ENGLISH)
        named, asked, on_strip = dict[str, str](), set[str](), set[str]()
        for part in filter(None, text.exceptions.split("; ")):
            names = [each.name for each in evening.bar.specs.drinks.values() if each.name in part]
            if part.startswith("not in"):
                asked.update(names)
            elif part.endswith(": see strip"):
                on_strip.update(names)
            else:
                named |= {name: new_side(part) for name in names}
        if not label.is_doubted and label.advice != "pull":
            hung[label.item.batch.id] = Hung([whole(*line) for line in text.pours], named, asked, frozenset(on_strip))
    return hung


def decided(evening: Open, night: Tonight) -> list[tuple[str, str, str, float, float, str]]:
    """Batch, liquid, drink, written, poured and verdict, as `tonight --json` has them."""
    data, names = tonight_data(night, evening.bar.specs), evening.bar.specs.drinks
    found = []
    for row in data["drinks"]:
        pour = row["pour"]
        unit = pour["unit"]
        found.append(
            (row["batch"], row["syrup"], row["drink"], pour[f"spec_{unit}"], pour[f"poured_{unit}"], row["verdict"])
        )
    for juice in data["ingredients"]:
        for row in juice["drinks"]:
            said = (row[f"{side}_{row['unit']}"] for side in ("spec", "poured"))
            found.append((juice["batch"], juice["ingredient"], row["drink"], *said, "new pour"))
    assert {name for _, _, name, *_ in found} <= names.keys()
    return found


def follow(evening: Open, hung: dict[str, Hung], night: Tonight) -> None:
    """Whoever reads a card, then the bottle, and pours that."""
    ounce, on_rail = evening.bar.specs.house.ounce, on_strips(evening, night)
    for batch_id, liquid, drink_id, written, poured, verdict in decided(evening, night):
        on = hung.get(batch_id, Hung((), {}, set()))
        sides = [side for side, _ in on.lines]
        assert len(sides) == len(set(sides)), f"{batch_id}: {on.lines}"
        each = evening.bar.specs.drinks[drink_id]
        card_text = on_card(evening.bar, each, liquid)
        if each.name in on.on_strip:
            on = on_rail.get(batch_id, Hung((), {}, set()))
        if each.name in on.asked:
            assert verdict == "out of reach"
            continue
        told_text = on.named.get(each.name) or dict(on.lines).get(card_text, "as written")
        if verdict == "out of reach":
            assert told_text == "as written", f"{each.name} has no pour, and {batch_id} says {told_text}"
            continue
        if told_text != "as written":
            said = value(told_text, ounce)
            assert said == pytest.approx(poured, rel=0.02, abs=0.06), f"{each.name} of {batch_id}: {told_text}"
            continue
        if abs(poured - written) > 1e-6:  # then the card reads as the new amount already, or past it
            assert card_text.endswith(evening.bar.specs.house.show), f"{each.name} of {batch_id}: {card_text}"
            read = value(card_text, ounce)
            assert abs(poured - read) <= abs(poured - written) + 1e-6, f"{each.name} of {batch_id}: {card_text}"


@tried(300)
@given(dense())
def test_who_goes_by_card_and_strip_pours_what_was_decided(evening: Open) -> None:
    night = evening.night()
    if not any(item.rescale.advice.is_unsure for item in night.batches):
        follow(evening, on_strips(evening, night), night)


@tried(300)
@given(dense())
def test_who_goes_by_card_and_label_pours_what_was_decided(evening: Open) -> None:
    night = evening.night()
    if not any(item.rescale.advice.is_unsure for item in night.batches):
        follow(evening, on_labels(evening, night), night)


@tried(200)
@given(dense())
def test_the_screen_has_each_written_side_once(evening: Open) -> None:
    """In ml or ounces as the cards have it; what is weighed is its weight there."""
    house, night = evening.bar.specs.house, evening.night()
    found = strips(evening.bar, night, evening.batches).strips
    for strip in found:
        said = told(strip.lines, house)
        sides = [(line.change.before, line.change.before_unit) for line in said.lines]
        assert len(sides) == len(set(sides))


PLAIN = syrup("plain", allergens=[], flavour="none")


def hung(evening: Open, identity: str) -> Hung:
    night = evening.night()
    strip, label = on_strips(evening, night)[identity], on_labels(evening, night)[identity]
    assert (strip.lines, strip.named, strip.asked) == (label.lines, label.named, label.asked)
    return strip


def stirred(name: str, pour: str, **keys: Any) -> Drink:
    return drink(name, "60 ml gold rum", pour, method="stirred", **keys)


def test_one_text_on_two_cards_and_a_drink_that_stays() -> None:
    """22.5 ml reads ¾ oz as ¾ oz (22.18 ml) does; written for 56 °Bx, ¾ oz stays at 56.

    22.5 ml of 50 °Bx are 19.55 ml of 56: ⅝ oz is 18.48, ¾ oz 22.18.
    """
    beta = stirred("Beta", "3/4 oz plain", written_for={"plain": "56 °Bx"})
    house = bar(RUM, PLAIN, stirred("Alpha", "22.5 ml plain"), beta, show="oz", jigger_step="1/8 oz")
    assert hung(Open(house, (batch("PLA-1", "plain", 56.0),)), "PLA-1") == Hung(
        [("¾ oz", "⅝ oz")], {"Beta": "as written"}, set()
    )


def test_one_text_on_two_cards_of_a_juice() -> None:
    """At 50 for 46 g/l 22.1 ml is 20.3 ml, so ⅝ oz (18.75) or ¾ (22.5); 22.9 ml is 21.07, so ¾."""
    house = bar(
        RUM, LIME, stirred("Alpha", "22.1 ml lime juice"), stirred("Beta", "22.9 ml lime juice"),
        ounce="30 ml", show="oz", jigger_step="1/8 oz",
    )  # fmt: skip
    assert hung(Open(house, (lemon(50.0),)), "LIM-1") == Hung([("¾ oz", "⅝ oz")], {"Beta": "as written"}, set())


@pytest.mark.parametrize(
    ("others", "line", "named"),
    [((), "1⅜ oz", {"Alpha": "1¼ oz"}), (("Gamma",), "1¼ oz", {"Beta": "1⅜ oz"})],
)
def test_one_text_and_two_pours_is_one_line(others: Sequence[str], line: str, named: dict[str, str]) -> None:
    """44.5 ml of 50 °Bx are 38.7 ml of 56, 45.5 ml are 39.5: 1¼ oz is 37.5 ml, 1⅜ oz 41.25.

    44.5 goes down by 7 ml, 45.5 by 4.25: the smaller change is the line, unless two drinks pour the other one.
    """
    drinks = [stirred(name, "44.5 ml plain") for name in ("Alpha", *others)]
    house = bar(
        RUM, PLAIN, *drinks, stirred("Beta", "45.5 ml plain"), ounce="30 ml", show="oz", jigger_step="1/8 oz"
    )  # fmt: skip
    found = hung(Open(house, (batch("PLA-1", "plain", 56.0),)), "PLA-1")
    assert found == Hung([("1½ oz", line)], named, set())


def test_a_card_in_ml_in_a_house_that_weighs() -> None:
    """15 ml of 60 °Bx (0.7719 g/ml) hold 11.58 g, 21.4 g of 54 °Bx; of 66 °Bx 24.2 g, as the sucrose tables have it."""
    beta = stirred("Beta", "15 ml plain", written_for={"plain": "66 °Bx"})
    plain = syrup("plain", standard="60 °Bx", allergens=[], flavour="none")
    house = bar(RUM, plain, stirred("Alpha", "15 ml plain"), beta, pour_style="scale", scale={"division": "0.1 g"})
    assert hung(Open(house, (batch("PLA-1", "plain", 54.0),)), "PLA-1") == Hung(
        [("15 ml", "21.4 g")], {"Beta": "24.2 g"}, set()
    )
