"""The table of allergens as it lies on the paper: its marks, its head, and that nothing is lost."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

import pypdfium2 as pdfium
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pypdfium2 import raw

from balancer.engine.drink.allergens import AllergenTable, allergen_table
from balancer.models.drink import Drink
from balancer.models.ingredient import Ingredient
from balancer.output.paper.allergens import allergens_page
from balancer.output.paper.imposition import PAPERS
from balancer.output.paper.language import words_of
from balancer.output.paper.sheet import PrintedSheet
from balancer.output.paper.typeset import TEMPLATES, UnprintableError, typeset
from balancer.output.screen.allergens import allergens_text
from tests import pdf
from tests.engine.builders import RUM, bar, drink, ingredient
from tests.engine.prep.test_standardise import TODAY
from tests.output.paper.test_rail_page import AT, WORDS, outside, overlapping

pytestmark = pytest.mark.slow

MYSTERY: Final = ingredient("mystery", abv="20 %", sugar="0 g/l")
EGG: Final = ingredient("egg liqueur", abv="20 %", sugar="0 g/l", allergens=["eggs", "milk"])


def table_of(drinks: Sequence[Drink], *more: Ingredient) -> AllergenTable:
    return allergen_table(bar(RUM, MYSTERY, *more, *drinks), drinks)


def printed(
    folder: Path, table: AllergenTable, missing: Sequence[str] = (), language: str = "en", paper: str = "a4"
) -> Path:
    house = bar(RUM).specs.house
    page = allergens_page(table, house, TODAY, words_of(language), PAPERS[paper], missing)
    path = folder / "allergens.pdf"
    path.write_bytes(typeset(TEMPLATES / "allergens.typ", page, "pdf", AT)[0])
    return path


def shapes(path: Path) -> tuple[int, int]:
    """How many areas are filled on all pages, and how many are framed by dots."""
    filled = dotted = 0
    document = pdfium.PdfDocument(path)
    for page in document:
        for shape in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
            fill, stroke = pdfium.raw.ctypes.c_int(), pdfium.raw.ctypes.c_int()
            raw.FPDFPath_GetDrawMode(shape, fill, stroke)
            filled += bool(fill.value)
            dotted += bool(stroke.value and raw.FPDFPageObj_GetDashCount(shape) > 0)
    document.close()
    return filled, dotted


MENU: Final = [
    drink("Plain", "60 ml gold rum"),
    drink("Rich", "60 ml egg liqueur"),
    drink("Odd", "30 ml egg liqueur", "30 ml mystery"),
    drink("Dark", "60 ml mystery"),
]


def test_yes_is_filled_and_not_known_is_framed_by_dots(tmp_path: Path) -> None:
    """Of celery, eggs and milk: two and two listed; one and three not known; and each mark once more in the key."""
    table = table_of(MENU, EGG)._replace(allergens=("celery", "eggs", "milk"))
    path = printed(tmp_path, table)
    assert shapes(path) == (2 + 2 + 1, 1 + 3 + 1)
    rows = {
        line.split()[0]: line.split()[1:]
        for line in pdf.lines(path)
        if line.split()[0] in ("Plain", "Rich", "Odd", "Dark")
    }
    assert rows == {
        "Plain": ["–"], "Rich": ["yes", "yes", "–"], "Odd": ["?", "yes", "yes", "mystery"],
        "Dark": ["?", "?", "?", "mystery"],
    }  # fmt: skip


def test_a_column_of_marks_stands_under_its_name(tmp_path: Path) -> None:
    path = printed(tmp_path, table_of(MENU, EGG))
    words = pdf.words(path)
    middle = {word.text: (word.left + word.right) / 2.0 for word in words if word.text in ("eggs", "milk")}
    marks = [(word.left + word.right) / 2.0 for word in words if word.text == "yes" and word.left > 80.0]
    assert [min(abs(mark - at) for at in middle.values()) < 0.5 for mark in marks] == [True] * 4


@pytest.mark.parametrize("language", ["en", "de"])
def test_a_house_that_names_no_allergen_is_told_so_first(tmp_path: Path, language: str) -> None:
    """An empty table, or "the house lists them for every pour", reads as free from all of them."""
    menu = [drink("Plain", "60 ml gold rum"), drink("Dark", "60 ml mystery")]
    table = table_of(menu)
    text = pdf.text(printed(tmp_path, table, language=language))
    words = words_of(language).section("allergens")
    assert text.index(words["none-named"]) < text.index("Dark") < text.index("Plain")
    assert f"Dark {words['no-list']} mystery Plain {words['lists-empty']}" in text
    assert words["yes-is"] not in text
    said = " ".join(allergens_text(table, PrintedSheet("a4", 1, (Path("a.pdf"),)), []).split())
    assert said.startswith(
        "allergens: 2 drinks on 1 page of A4 → a.pdf; no file of the house names an allergen, which does not say that "
        "a drink is free from any"
    )
    assert "lists them for every pour" not in said
    assert "Dark: unknown mystery" in said


def test_what_is_missing_is_told_before_the_table(tmp_path: Path) -> None:
    text = pdf.text(printed(tmp_path, table_of(MENU, EGG), ["Loose Plank"]))
    assert "Missing from this table. Ask before serving: Loose Plank" in text
    assert text.index("Loose Plank") < text.index("Dark")


def test_the_head_and_what_marks_mean_stand_on_every_page(tmp_path: Path) -> None:
    menu = [drink(f"Number {at:03d}", "60 ml egg liqueur") for at in range(90)]
    pages = pdf.pages(printed(tmp_path, table_of(menu, EGG)))
    assert len(pages) > 2
    for page in pages:
        assert "drink eggs milk not known because of" in page
        assert "yes: listed · ?: not known, ask · blank: not listed, which is not free from it" in page
    assert pages[0].index("Local rules may require") < pages[0].index("Number 000")


def test_rows_are_ruled_in_fives(tmp_path: Path) -> None:
    menu = [drink(f"Number {at:03d}", "60 ml gold rum") for at in range(12)]
    document = pdfium.PdfDocument(printed(tmp_path, table_of(menu, EGG)))
    weights = []
    for shape in document[0].get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        left, bottom, right, top = shape.get_bounds()
        width = pdfium.raw.ctypes.c_float()
        raw.FPDFPageObj_GetStrokeWidth(shape, width)
        if right - left > 500.0 and bottom > 100.0:
            weights.append((round(top, 1), round(width.value, 1)))
    document.close()
    heavy, *rows = [weight for _, weight in sorted(weights, reverse=True)]
    assert heavy == 2.2
    assert rows[0] == 0.7  # below the head of the table
    assert rows[1:13] == [0.4] * 4 + [0.7] + [0.4] * 4 + [0.7, 0.4, 0.7]


def test_one_name_without_glyphs_keeps_only_its_row_back(tmp_path: Path) -> None:
    table = table_of([*MENU, drink("燈台", "60 ml gold rum", id="d9")], EGG)
    with pytest.raises(UnprintableError) as caught:
        printed(tmp_path, table)
    assert caught.value.names == {"燈台"}


@pytest.mark.slow
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(
        st.tuples(WORDS, st.lists(st.integers(0, 19), min_size=1, max_size=4, unique=True)), min_size=1, max_size=30
    ),
    st.lists(WORDS.map(lambda text: f"of {text}".casefold().replace(",", "x")), max_size=20, unique=True),
    st.sampled_from(["a4", "letter"]),
    st.sampled_from(["en", "de"]),
)
def test_nothing_leaves_the_page_or_lies_over_another(
    told: list[tuple[str, list[int]]], names: list[str], paper: str, language: str
) -> None:
    listed = [ingredient(f"liquid {at}", sugar="0 g/l", **_listed(names, at)) for at in range(20)]
    menu = [
        drink(name, *(f"20 ml liquid {at}" for at in poured), id=f"d{number}")
        for number, (name, poured) in enumerate(told)
    ]
    with tempfile.TemporaryDirectory() as folder:
        path = printed(Path(folder), table_of(menu, *listed), language=language, paper=paper)
        assert outside(path) == []
        assert overlapping(path) == []
        words = [word.text for word in pdf.words(path)]
        assert words.count("page" if language == "en" else "Seite") >= len(pdf.page_sizes(path))


def _listed(names: list[str], at: int) -> dict[str, Any]:
    """Every third has no list."""
    return {} if at % 3 == 2 else {"allergens": names[at : at + 1]}
