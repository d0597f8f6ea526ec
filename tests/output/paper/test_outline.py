"""The outline of a page, as a reader's side bar and a screen reader have it: whole words, a blank between parts."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from balancer.files.house.load import load
from balancer.output.paper.language import words_of
from balancer.output.paper.print_text import printable
from tests import pdf
from tests.cli.runner import CHECKOUT, copy_of_house, run

pytestmark = pytest.mark.slow

DEMO = CHECKOUT / "specs"
EVENING = {"BALANCER_NOW": "2026-11-25T18:30+01:00"}
LONG = "Unabbreviatedlyoverlongwordofadrink Sour"


def outlined(folder: Path, *words: str, specs: Path = DEMO) -> list[tuple[int, str]]:
    path = folder / "page.pdf"
    done = run(*words, "--out", str(path), specs=specs, env=EVENING)
    assert path.exists(), done.err
    return pdf.outline_levels(path)


@pytest.mark.parametrize(
    "words",
    [
        ("strips",),
        ("strips", "--on", "receipt"),
        ("labels",),
        ("labels", "--size", "2x1"),
        ("labels", "--size", "70x37"),
    ],
)
def test_a_bottle_is_its_id_and_its_name(tmp_path: Path, words: tuple[str, ...]) -> None:
    found = outlined(tmp_path, *words)
    assert (0, "RAS-12 raspberry syrup") in found
    specs = load(DEMO).specs
    names = {specs.liquid(each).name for each in (*specs.syrups, *specs.ingredients)}
    assert {level for level, _ in found} == {0}
    assert {title.partition(" ")[2] for _, title in found} <= names


@pytest.mark.parametrize(
    ("words", "level"), [(("cards", "--draft"), 0), (("sheet", "rail"), 1), (("sheet", "rail", "--by", "family"), 2)]
)
def test_a_drink_is_its_name(tmp_path: Path, words: tuple[str, ...], level: int) -> None:
    drinks = {printable(drink.name, words_of("en").quotes) for drink in load(DEMO).specs.drinks.values()}
    assert {title for at, title in outlined(tmp_path, *words) if at == level} == drinks


@pytest.mark.parametrize(
    ("words", "first"),
    [
        (("sheet", "rail"), "Rail"),
        (("sheet", "prep"), "Prep"),
        (("sheet", "allergens"), "Allergens"),
        (("chart", "raspberry"), "raspberry syrup"),
    ],
)
def test_a_sheet_begins_with_what_it_is(tmp_path: Path, words: tuple[str, ...], first: str) -> None:
    found = outlined(tmp_path, *words)
    assert found[0] == (0, first)
    assert [title for _, title in found if title != " ".join(title.split())] == []


def test_a_word_that_breaks_on_the_page_is_whole_in_the_outline(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path, drinks__long=f"drink: {LONG}\nmethod: built\npours: [20 ml lime juice]\n")
    assert outlined(tmp_path, "cards", "--draft", LONG, specs=specs) == [(0, LONG)]
    assert (1, LONG) in outlined(tmp_path, "sheet", "rail", specs=specs)


def test_the_parts_of_a_foot_are_words_apart(tmp_path: Path) -> None:
    outlined(tmp_path, "cards", "--draft", "slipway")
    said = pdf.text(tmp_path / "page.pdf")
    assert "draft" in said.split()
    assert re.search(r"(?<!\S)(?:spec|version) 3,? (?:· )?14 Mar 2026(?=[, ])", said)
