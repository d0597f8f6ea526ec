"""What the sheets' templates are given, and the sentences on the screen."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from balancer.engine.drink.allergens import AllergenTable, allergen_table
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.card import card
from balancer.engine.prep.prep_list import prep
from balancer.models.drink import Drink
from balancer.output.paper.allergens import allergens_page
from balancer.output.paper.card_lines import Units
from balancer.output.paper.imposition import PAPERS
from balancer.output.paper.language import words_of
from balancer.output.paper.prep import prep_page
from balancer.output.paper.print_text import printed_texts
from balancer.output.paper.rail import RailOrder, rail_page
from balancer.output.paper.sheet import PrintedSheet, page_count
from balancer.output.screen.rail import in_order
from balancer.output.words.make import CAUTION
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, SOUR, bar, drink, ingredient, syrup
from tests.engine.kitchen import kitchen, recipe
from tests.engine.prep.test_standardise import TODAY, batch

pytestmark = pytest.mark.slow

A4 = PAPERS["a4"]
BITTERS = ingredient("bitters", abv="44 %", sugar="0 g/l")
SODA = ingredient("soda", sugar="0 g/l", top="true", allergens=[])
EGG = ingredient("egg", sugar="0 g/l", density="1 g/ml", each={"large": "30 g"}, allergens=["eggs"])


def rail(
    *drinks: Drink, units: Units = "ml", order: RailOrder = "name", language: str = "en", **house: Any
) -> list[dict[str, Any]]:
    here = bar(RUM, LIME, BERRY, BITTERS, SODA, EGG, *drinks, **house)
    cards = in_order([card(here, one) for one in drinks], order)
    page = rail_page(cards, here.specs.house, TODAY, units, words_of(language), order, A4, [])
    items: list[dict[str, Any]] = page["items"]
    return items


def pours(row: dict[str, Any]) -> list[str]:
    """The pours of a row as they are read."""
    said = []
    for pour in row["pours"]:
        parts = (pour["number"], pour["unit"], pour["name"], pour["other"], pour["note"])
        said.append(" ".join(filter(None, parts)).replace("\u00a0", " "))
    return said


# The rail


def test_every_amount_has_its_unit_beside_it() -> None:
    one = drink(
        "Mixed", "60 ml gold rum", "2 cl lime juice", "22.5 ml berry syrup", "2 dashes bitters", "90 ml soda",
        "1 large egg", method="built", dilution="10 %",
    )  # fmt: skip
    assert pours(rail(one)[1]) == [
        "60 ml gold rum", "20 ml lime juice", "22.5 ml berry syrup 50 °Bx", "2 dash bitters", "90 ml soda on top",
        "1 large egg",
    ]  # fmt: skip


def test_ounces_and_both() -> None:
    one = drink("Sour", "60 ml gold rum", "22.5 ml lime juice", "rinse bitters")
    assert pours(rail(one, units="oz", ounce="30 ml")[1]) == ["2 oz gold rum", "¾ oz lime juice", "rinse bitters"]
    assert pours(rail(one, units="both", ounce="30 ml", show="oz")[1])[1] == "¾ oz lime juice 22.5 ml"
    assert pours(rail(one, units="both", ounce="30 ml")[1])[1:] == ["22.5 ml lime juice ¾ oz", "rinse bitters"]


def test_what_holds_for_all_drinks_is_said_once_at_the_head() -> None:
    said = " ".join([*(head := rail(SOUR)[0])["notes"], *head["marks"]])
    for part in ("Specs as written, not tonight’s pours", "not “free from”: ask", "garnish not counted", "on the card"):
        assert said.count(part) == 1


def test_what_is_not_written_takes_no_room() -> None:
    head, row = rail(drink("Bare", "60 ml gold rum"))
    assert (row["facts"], row["listed"], row["unknown"], row["cautions"]) == ([], [], [], [])
    full = drink("Full", "60 ml gold rum", glass="coupe", ice="none", strain="double", garnish="peel", extras=["mint"])
    (_, row) = rail(full)
    assert row["facts"] == [
        ["", "coupe"], ["ice", "none"], ["strain", "double"], ["with", "mint"], ["garnish", "peel"],
    ]  # fmt: skip
    assert (row["listed"], row["unknown"]) == ([], ["mint"])
    assert head["missing"] == []


def test_by_family_each_is_named_once_and_those_without_come_last() -> None:
    menu = [
        drink("D", "60 ml gold rum"),
        drink("C", "60 ml gold rum", family="sour"),
        drink("B", "60 ml gold rum", family="Sour"),
        drink("A", "60 ml gold rum", family="flip"),
    ]
    rows = rail(*menu, order="family")[1:]
    assert [(row["name"], row["family"]) for row in rows] == [
        ("A", "flip"), ("B", "Sour"), ("C", None), ("D", "other drinks"),
    ]  # fmt: skip
    assert [row["group"] for row in rows] == [None, None, "sour (continued)", None]
    assert [(row["family"], row["group"]) for row in rail(*menu)[1:]] == [(None, None)] * 4


@pytest.mark.parametrize(
    ("pour", "listed", "unknown"),
    [
        ("22.5 ml lime juice", [], []),
        ("1 large egg", ["eggs"], []),
        ("1 dash bitters", [], ["bitters"]),
    ],
)
def test_what_is_listed_and_what_nobody_listed(pour: str, listed: list[str], unknown: list[str]) -> None:
    row = rail(drink("One", "60 ml gold rum", pour))[1]
    assert (row["listed"], row["unknown"]) == (listed, unknown)


def test_the_rail_in_another_language() -> None:
    one = drink("Eins", "22.5 ml lime juice", "2 dashes bitters", "90 ml soda", "1 large egg", garnish="Zeste")
    head, row = rail(one, language="de")
    assert pours(row) == ["22,5 ml lime juice", "2 Spr. bitters", "90 ml soda auffüllen", "1 large egg"]
    assert (row["listed"], row["facts"]) == (["Eier"], [["Garnitur", "Zeste"]])
    assert row["cautions"] == ["rohes Ei: dem Gast sagen; nicht für Gäste, die es meiden sollen"]
    assert (head["title"], head["date"]) == ("Kurzrezepte", "Mi 25. Nov 2026")
    assert "nachfragen" in head["marks"][0]


@pytest.mark.parametrize("section", ["rail", "allergens"])
def test_both_languages_have_the_same_texts_with_the_same_values(section: str) -> None:
    english, german = (words_of(language).section(section) for language in ("en", "de"))
    assert english.keys() == german.keys()
    for key, text in english.items():
        assert sorted(re.findall(r"\{\w+\}", text)) == sorted(re.findall(r"\{\w+\}", german[key]))
        assert text != german[key] or key == "drink"


# Allergens


def allergens(
    table: AllergenTable, here: Bar, missing: Sequence[str] = (), language: str = "en"
) -> tuple[dict[str, Any], list[dict[str, Any]], list[float]]:
    page = allergens_page(table, here.specs.house, TODAY, words_of(language), A4, missing)
    head, *rows = page["items"]
    return head, rows, page["layout"]["page"]


def test_marks_and_paper() -> None:
    menu = [drink("Egg", "1 large egg"), drink("Sour", "60 ml gold rum"), drink("Odd", "1 large egg", "1 dash bitters")]
    here = bar(RUM, BITTERS, EGG, *menu)
    table = allergen_table(here, menu)
    head, rows, paper = allergens(table._replace(allergens=("eggs", "milk")), here, ["Lost"])
    assert {row["name"]: (row["marks"], row["unknown"]) for row in rows} == {
        "Egg": (["contains", "not listed"], []),
        "Sour": (["not listed", "not listed"], []),
        "Odd": (["contains", "unknown"], ["bitters"]),
    }
    assert {row["known"] for row in rows} == {"–"}
    assert head["missing"] == ["Lost"]
    words = words_of("en").section("allergens")
    notes = " ".join([*head["notes"], words["blank-is"]])
    assert "This does not say “free from”" in notes
    assert "Garnishes, traces, shared tools and glasses are not counted" in notes
    assert "Allergens without a column are named in no file of the house" in notes
    assert "ask the kitchen" in notes
    assert "Local rules may require written allergen information" in notes
    assert "Test Slip" in notes
    assert paper == [210.0, 297.0]


def test_many_columns_turn_the_paper() -> None:
    table = allergen_table(bar(RUM), [])._replace(allergens=tuple("abcdefgh"))
    assert allergens(table, bar(RUM))[2] == [297.0, 210.0]


def test_where_no_allergen_is_named_the_table_says_what_there_is() -> None:
    """An empty column of marks would read as "free from"."""
    menu = [drink("Sour", "60 ml gold rum"), drink("Odd", "60 ml gold rum", "1 dash bitters")]
    here = bar(RUM, BITTERS, *menu)
    head, rows, _ = allergens(allergen_table(here, menu), here)
    assert (head["allergens"], head["footer"]) == ([], None)
    assert {row["name"]: row["unknown"] or row["known"] for row in rows} == {
        "Odd": ["bitters"], "Sour": "every pour has a list, and the lists are empty",
    }  # fmt: skip
    assert "without a column" not in " ".join(head["notes"])
    assert "not say that a drink is free" in words_of("en").section("allergens")["none-named"]


def test_allergens_in_another_language_stand_in_its_order_and_keep_their_marks() -> None:
    menu = [drink("Egg", "1 large egg")]
    here = bar(RUM, EGG, *menu)
    table = allergen_table(here, menu)._replace(allergens=("Celery", "eggs", "royal jelly"))
    head, (row,), _ = allergens(table, here, language="de")
    assert head["allergens"] == ["Eier", "royal jelly", "Sellerie"]
    assert row["marks"] == ["contains", "not listed", "not listed"]


# Prep


def todo(here: Bar, *batches: Any) -> list[dict[str, Any]]:
    items: list[dict[str, Any]] = prep_page(
        prep(here, batches, TODAY), here.specs.house, words_of("en"), A4, []
    )["items"]  # fmt: skip
    return items[1:]


def said(row: dict[str, Any]) -> str:
    weighed = [f"{pour['number']} {pour['unit']} {pour['name']}" for pour in row["pours"] + row["small"]]
    return " | ".join([*weighed, *(line["text"] for line in row["lines"]), row["shows"]]).replace("\u00a0", " ")


def test_what_to_add() -> None:
    """WE-24: 160 g of water for 2000 g from 54 to 50 °Bx; 80 g for a kilogram."""
    (row,) = todo(bar(PLAIN), batch("PLA-1", brix=54.0, state="open"))
    assert (row["section"], row["id"], row["fields"]) == (
        "Correct, stir, read", "PLA-1", ["reading", "weight", "initials"],
    )  # fmt: skip
    assert row["pours"] == [{"number": "80", "unit": "g", "name": "water per kg", "note": None}]
    assert said(row).startswith("80 g water per kg | 160 g if all 2000 g are left | ")
    assert row["facts"][-1].replace("\u00a0", " ") == "54 → 50 °Bx"
    assert said(row).endswith("then your refractometer should read 50")


def test_sections_come_in_the_order_of_work() -> None:
    here = bar(RUM, PLAIN, BERRY, drink("Sour", "60 ml gold rum", "20 ml berry syrup"))
    rows = todo(
        here,
        batch("PLA-1", brix=54.0),
        batch("PLA-2", discard=date(2026, 11, 20)),
        batch("PLA-3", brix=None),
        batch("PLA-4", discard=TODAY),
        batch("XYZ-1", "nonsuch"),
    )
    assert list(dict.fromkeys(row["section"] for row in rows)) == [
        "Discard", "Use by today or tomorrow", "Ask what it is", "Stir and read", "Correct, stir, read", "Make",
        "Waiting: which goes first",
    ]  # fmt: skip


def test_acid_powder_is_warned_of_and_allergens_are_kept_apart() -> None:
    source = recipe("400 g sugar", "400 g water", "25 g citric acid", name="sharp", allergens=["milk"], keeps="7 days")
    here = kitchen(source)
    here.specs.drinks["fizz"] = drink("Fizz", "20 ml sharp")
    head, row = prep_page(prep(here, [], TODAY), here.specs.house, words_of("en"), A4, [])["items"]
    warned = {caution["caution"]: (caution["number"], caution["rows"]) for caution in head["cautions"]}
    assert warned[CAUTION][1] == ["sharp"]
    assert warned["allergens: keep tools, bottle and jigger apart"][1] == ["sharp"]
    assert row["cautions"] == [int(number) for number, _ in warned.values()]
    assert row["listed"] == ["milk"]
    assert row["unknown"] == ["sugar"]
    assert row["facts"] == ["use by Tue 1 Dec"]
    assert [f"{pour['number']} {pour['unit']} {pour['name']}" for pour in row["pours"]] == [
        "400 g sugar", "400 g water", "25 g citric acid",
    ]  # fmt: skip
    assert row["drinks"] == ["Fizz"]


def test_a_syrup_beyond_the_scale_is_read_diluted() -> None:
    rich = syrup("rich", standard="66.7 °Bx", allergens=[])
    here = bar(rich, drink("Sweet", "20 ml rich"), instrument={"scale": "0-55 °Bx"})
    (row,) = todo(here)
    assert "g water should read" in said(row)


# All of them


def test_texts_are_made_ready_for_print() -> None:
    assert printed_texts({"a": ["60 ml", 3, None, {"b": "1⅔ oz"}]}) == {
        "a": ["60\u00a0ml", 3, None, {"b": "1\u202f2⁄3\u00a0oz"}]
    }  # fmt: skip


def test_pages_of_a_pdf_are_counted_by_their_objects() -> None:
    one = b"\n24 0 obj\n<</Type/Page/Resources 15 0 R>>"
    assert page_count([b"%PDF" + one + b"\n(25 0 obj <</Type/Page/)\n<</Type/Pages/Kids>>" + one], "pdf") == 2
    assert page_count([b"a", b"b", b"c"], "svg") == 3


def test_where_it_was_written() -> None:
    assert PrintedSheet("a4", 1, (Path("r.pdf"),)).text == "1 page of A4 → r.pdf"
    assert (
        PrintedSheet("letter", 2, (Path("r-1.png"), Path("r-2.png"))).text == "2 pages of Letter → r-1.png to r-2.png"
    )
