"""The words of a label."""

from __future__ import annotations

from datetime import date

import pytest

from balancer.engine.prep.standardise import standardise
from balancer.engine.service.opened import opened_bottle
from balancer.output.paper.label_print import LabelText
from balancer.output.paper.labels import batch_label, opened_label
from balancer.output.paper.language import languages, words_of
from balancer.units import Quantity
from tests.engine.builders import bar, ingredient
from tests.engine.service.test_labels import one
from tests.engine.service.test_strips import MENU, NUT, PLUM, SECRET
from tests.engine.service.test_tonight import NIGHT, batch

pytestmark = pytest.mark.slow

EN = words_of("en")


def label(
    liquid: str, brix: float | None, language: str = "en", changes: dict[str, object] | None = None, **more: object
) -> LabelText:
    house = bar(*MENU, NUT, PLUM, SECRET)
    found = one(house, batch("ONE-1", liquid, brix, **{**(changes or {}), **more}))
    return batch_label(found, NIGHT, house.specs, words_of(language))


@pytest.mark.parametrize(
    ("liquid", "brix", "changes", "big", "asides", "spec"),
    [
        ("berry-syrup", 54.04, {}, ("reads", "54 °Bx"), [], ("spec", "50 °Bx")),
        ("berry-syrup", 50.0, {}, ("reads", "50 °Bx"), [], None),
        ("berry-syrup", 50.0, {"verified": False}, ("strength", "50 °Bx"), ["predicted, read it"], None),
        ("berry-syrup", 66.7, {"verified": False}, ("reads", "66.7 °Bx"), ["read it again"], None),
        ("berry-syrup", None, {"verified": False}, ("strength", "not read"), [], None),
        ("lime-juice", None, {}, ("acid", "not read"), [], None),
        ("lime-juice", None, {"acid": Quantity(52.0, "g/l")}, ("acid", "52 g/l"), [], None),
        ("lime-juice", 8.2, {"acid": Quantity(52.0, "g/l")}, ("reads", "8.2 °Bx"), [], ("acid", "52 g/l")),
    ],
)
def test_strength_says_whether_it_was_read(
    liquid: str,
    brix: float | None,
    changes: dict[str, object],
    big: tuple[str, str],
    asides: list[str],
    spec: tuple[str, str] | None,
) -> None:
    said = label(liquid, brix, changes=changes)
    assert said.big == big
    assert said.asides == asides
    assert [fact for fact in said.facts if fact.word in ("spec", "acid")] == ([spec] if spec else [])


def test_a_batch_to_correct_says_so_first_and_with_what() -> None:
    """Not open and 4 °Bx over 50: 1000 × (54 − 50) ÷ 50 = 80 g of water per kg."""
    house = bar(*MENU)
    found = one(house, batch("ONE-1", "berry-syrup", 54.0, state="made"))
    assert found.correct is not None
    assert found.correct.add == "water"
    assert found.correct.g_per_kg == pytest.approx(80.0)
    said = batch_label(found, NIGHT, house.specs, EN)
    assert said.heed is not None
    assert [text.replace("\u00a0", " ") for text in said.heed if text] == [
        "correct it before opening:",
        "80 g water per kg",
    ]
    assert said.caption == "pour until it is corrected"


def test_a_batch_that_prep_corrects_before_it_is_opened_says_so_though_its_drinks_pour_as_written() -> None:
    """1.5 °Bx over 50 is 3 % by mass: within 5 % in every drink, outside 1 °Bx. 1000 × 1.5 ÷ 50 = 30 g per kg."""
    house = bar(*MENU)
    waiting = batch("ONE-1", "berry-syrup", 51.5, state="made")
    found = one(house, waiting)
    assert found.advice == "as written"
    said = batch_label(found, NIGHT, house.specs, EN)
    assert said.heed is not None
    assert [text.replace("\u00a0", " ") for text in said.heed if text] == [
        "correct it before opening:",
        "30 g water per kg",
    ]
    assert said.asides == []
    assert [task.batch.id for task in standardise(house, [waiting], NIGHT).with_todo("correct")] == ["ONE-1"]
    assert said.heed.word.rstrip(":") == EN("prep.correct-first")


@pytest.mark.parametrize("language", languages())
def test_an_open_batch_that_is_off_with_no_pour_to_change_says_to_pour_as_written(language: str) -> None:
    said = label("berry-syrup", 51.5, language)
    assert (said.heed, list(said.pours)) == (None, [])
    assert said.asides == [words_of(language)("label.pour-as-written")]
    assert words_of(language)("label.pour-as-written") not in label("berry-syrup", 54.0, language).asides
    assert label("berry-syrup", 50.5, language).asides == []


def test_a_label_without_room_for_its_pours_says_where_they_are() -> None:
    """Only where there is a strip: of what is open."""
    house = bar().specs.house
    assert label("berry-syrup", 54.0).data(house, words_of("en"))["elsewhere"] == "pours: see strip"
    assert label("berry-syrup", 54.0, state="made").data(house, words_of("en"))["elsewhere"] == ""
    assert label("berry-syrup", 50.0).data(house, words_of("en"))["elsewhere"] == ""


def test_a_weak_batch_is_corrected_with_sugar() -> None:
    """1000 × (50 − 46) ÷ (100 − 50) = 80 g of sugar per kg."""
    house = bar(*MENU)
    found = one(house, batch("ONE-1", "berry-syrup", 46.0, state="made"))
    assert found.correct is not None
    assert found.correct.add == "sugar"
    assert found.correct.g_per_kg == pytest.approx(80.0)


def test_a_batch_that_is_right_or_poured_otherwise_says_nothing_of_the_kind() -> None:
    assert label("berry-syrup", 50.0).heed is None
    changed = label("berry-syrup", 54.0)
    assert changed.heed is None
    assert changed.caption == "pour, this bottle only"
    assert list(changed.pours) == [("22.5", "20", "ml")]


def test_days_have_their_weekday_and_a_year_where_it_is_another() -> None:
    """24 Nov 2026 is a Tuesday, 3 Jan 2027 a Sunday."""
    said = label("berry-syrup", 50.0, discard=date(2027, 1, 3))
    assert said.use_by == "Sun 3 Jan 2027".replace(" ", "\u00a0")
    assert dict(said.facts)["made"] == "Tue 24 Nov".replace(" ", "\u00a0")
    assert label("berry-syrup", 50.0, discard=None).use_by is None
    assert dict(label("berry-syrup", 50.0, made=None).facts)["made"] is None


def test_a_bought_thing_is_opened_and_not_made() -> None:
    wine = ingredient("sweet vermouth", kind="wine", abv="16 %", acid="5 g/l", keeps="28 days")
    house = bar(*MENU, wine)
    logged = batch("VER-1", "sweet-vermouth", None, acid=Quantity(5.0, "g/l"))
    facts = dict(batch_label(one(house, logged), NIGHT, house.specs, EN).facts)
    assert facts == {"opened": "Wed 25 Nov".replace(" ", "\u00a0")}
    squeezed = bar(*MENU, ingredient("orange juice", kind="juice", acid="9 g/l"))
    made = dict(batch_label(one(squeezed, batch("ORA-1", "orange-juice", None)), NIGHT, squeezed.specs, EN).facts)
    assert "made" in made
    assert "opened" not in made


def test_allergens_are_listed_or_asked_for() -> None:
    assert (label("nut-syrup", 50.0).listed, label("nut-syrup", 50.0).unknown) == (["tree nuts"], [])
    assert label("secret-syrup", 50.0).unknown == ["ask"]
    assert (label("berry-syrup", 50.0).listed, label("berry-syrup", 50.0).unknown) == ([], [])


@pytest.mark.parametrize("language", languages())
def test_every_language_has_the_words(language: str) -> None:
    """Those of a batch to correct, with decimals and a caution, and those of an opened bottle."""
    words = words_of(language)
    said = label("berry-syrup", 54.6, language, state="made")
    assert said.heed is not None
    assert words("label.water") in (said.heed.value or "")
    assert said.big.value == words.number("54.6 °Bx")
    egg = ingredient("egg white", kind="egg", keeps="2 days", allergens=["eggs"])
    house = bar(egg)
    bottle = opened_label(opened_bottle(house, house.specs.ingredients["egg-white"], NIGHT, NIGHT), NIGHT, words)
    assert bottle.listed == [words.allergen("eggs")]
    assert bottle.cautions == [words.caution("raw egg")]
    assert bottle.use_by == words.day(date(2026, 11, 26)).replace(" ", "\u00a0")


def test_an_opened_bottle_nobody_knows_the_life_of_has_a_line_to_write_on() -> None:
    house = bar(ingredient("dry sherry", kind="wine", abv="17 %"))
    said = opened_label(opened_bottle(house, house.specs.ingredients["dry-sherry"], NIGHT, NIGHT), NIGHT, EN)
    assert (said.use_by, said.unknown, said.storage) == (None, ["ask"], "")
