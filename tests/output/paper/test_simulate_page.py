"""The page of what measuring is worth: what the template is given, and what stands on the paper."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from datetime import UTC, date, datetime
from functools import partial
from pathlib import Path

import pytest

from balancer.engine.drink.bar import Bar
from balancer.engine.simulate.glasses import BINS
from balancer.engine.simulate.result import Simulation
from balancer.engine.simulate.simulate import simulate
from balancer.models.drink import Drink
from balancer.output.paper.fitting import StoodIn, typeset_standing_in
from balancer.output.paper.imposition import PAPERS
from balancer.output.paper.language import Words, languages, words_of
from balancer.output.paper.simulate import alt_text, simulate_page
from balancer.output.paper.simulate_words import sentence
from balancer.output.paper.typeset import TEMPLATES
from tests import pdf
from tests.engine.builders import RUM, bar, drink, syrup

DAY = date(2026, 11, 25)
ENGLISH = words_of("en")
NAMES = ("ash", "beech", "cedar", "dogwood", "elder", "fennel", "gorse")


def menu(drinks: int, *more: Drink) -> Bar:
    """Drinks that are off the more, the higher their number."""
    syrups = [syrup(f"{name} syrup") for name in NAMES]
    pours = [f"{10 + 2.5 * number} ml {NAMES[number % len(NAMES)]} syrup" for number in range(drinks)]
    listed = [drink(f"Drink {number}", "60 ml gold rum", pour) for number, pour in enumerate(pours)]
    return bar(RUM, *syrups, *listed, *more)


def result(drinks: int = 4, *more: Drink, sd: float = 2.0) -> Simulation:
    return simulate(menu(drinks, *more), sd_brix=sd, draws=400)


def printed(found: Simulation, words: Words = ENGLISH, paper: str = "a4", lost: Sequence[str] = ()) -> StoodIn:
    page = simulate_page(found, lost, menu(1).specs.house, DAY, words, PAPERS[paper])
    told = partial(words.count, "paper.left-off")
    return typeset_standing_in(TEMPLATES / "simulate.typ", page, "pdf", datetime(2026, 11, 25, tzinfo=UTC), told)


def read(done: StoodIn) -> Path:
    path = Path(tempfile.mkdtemp()) / "page.pdf"
    path.write_bytes(done.pages[0])
    return path


def test_the_drawing_holds_all_drinks_that_are_near() -> None:
    """The outlines are shares of 100; what is further off than the drawing reaches is no more than one in 200."""
    for sd, reach in ((0.5, 10), (8.0, BINS)):
        page = simulate_page(result(sd=sd), (), menu(1).specs.house, DAY, ENGLISH, PAPERS["a4"])
        (item,) = page["items"]
        assert item["span"] == [-reach, reach]
        assert [len(row) for row in item["curves"]] == [2 * reach] * 3
        assert all(99.5 <= sum(row) <= 100.0 + 1e-9 for row in item["curves"])
        assert max(map(max, item["curves"])) < item["most"]


def test_a_long_menu_says_how_much_of_it_is_not_listed() -> None:
    """The whole menu first, then the worst syrups, then the worst drinks; nothing vanishes unsaid."""
    found = result(30)
    (item,) = simulate_page(found, (), menu(1).specs.house, DAY, ENGLISH, PAPERS["a4"])["items"]
    rows = [row["name"] for row in item["rows"]]
    assert rows[0] == "every drink"
    assert rows[6:] == [one.drink.name for one in found.drinks[: len(rows) - 6]]
    assert item["notes"][0] == "2 more syrups, with less out, are not listed"
    assert item["notes"][1] == f"{30 - len(rows) + 6} more drinks, with less out, are not listed"


def test_the_drawing_in_words_has_every_drink() -> None:
    found = result(30)
    said = alt_text(found, ENGLISH)
    assert said.startswith(sentence(found, ENGLISH))
    assert all(f"; {one.drink.name}: as written " in said for one in found.drinks)


@pytest.mark.slow
@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_everything_stands_on_one_page(language: str, paper: str) -> None:
    """No two words one over the other, every row with its figures, and tagged with the words of the drawing."""
    words = words_of(language)
    found = result(30)
    path = read(printed(found, words, paper, ["Loose Plank"]))
    assert len(pdf.pages(path)) == 1
    assert pdf.is_tagged(path)
    assert alt_text(found, words) in " ".join(pdf.described(path))
    text = " ".join(pdf.text(path).split())
    assert sentence(found, words) in text
    assert "Loose Plank" in text
    assert pdf.overlaps(pdf.words(path)) == []
    width, height = pdf.page_sizes(path)[0]
    assert width > height


@pytest.mark.slow
def test_a_name_the_font_cannot_show_stands_elsewhere() -> None:
    """The others are printed, and markup is only text."""
    strange = drink("石榴糖浆", "60 ml gold rum", "60 ml ash syrup")
    rude = drink('#panic("x") <b>*Sour*', "60 ml gold rum", "55 ml ash syrup")
    done = printed(result(4, strange, rude))
    assert done.left_off == ["石榴糖浆"]
    text = pdf.text(read(done))
    assert "[see the screen]" in text
    assert "<b>*Sour*" in text
