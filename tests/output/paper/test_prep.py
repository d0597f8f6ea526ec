"""The prep sheet as it comes out of the printer: nothing off the page, nothing lost, and what the font cannot show."""

from __future__ import annotations

import re
import tempfile
from dataclasses import replace
from datetime import UTC, date, datetime
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.cautions import KEEP_APART, POWDER_STINGS
from balancer.engine.prep.prep_list import Prep, prep
from balancer.models.syrup import Syrup
from balancer.output.paper.fitting import StoodIn, typeset_standing_in
from balancer.output.paper.imposition import PAPERS
from balancer.output.paper.language import languages, words_of
from balancer.output.paper.prep import prep_page
from balancer.output.paper.typeset import TEMPLATES
from tests import pdf
from tests.engine.builders import drink, ingredient
from tests.engine.kitchen import kitchen, recipe
from tests.engine.prep.test_standardise import TODAY, batch

pytestmark = pytest.mark.slow

AT = datetime(2026, 11, 25, 18, 0, tzinfo=UTC)
FOOT_AND_HOUSE_PT = 9.45
"""Smaller than this are only the house above and the line at the foot."""


def here(*syrups: Syrup, **house: Any) -> Bar:
    """A bar whose menu pours every syrup, a drink for each."""
    made = kitchen(ingredient("milk", sugar="0 g/l", allergens=["milk"]), *syrups, **house)
    for each in syrups:
        made.specs.drinks[f"drink-{each.id}"] = drink(f"Glass of {each.name}", f"20 ml {each.id}")
    return made


def printed(result: Prep, bar: Bar, language: str = "en", paper: str = "a4") -> StoodIn:
    words = words_of(language)
    page = prep_page(result, bar.specs.house, words, PAPERS[paper], [])
    return typeset_standing_in(TEMPLATES / "prep.typ", page, "pdf", AT, partial(words.count, "paper.left-off"))


def sheet(folder: Path, bar: Bar, *batches: Any, language: str = "en", paper: str = "a4") -> tuple[Path, StoodIn]:
    done = printed(prep(bar, batches, TODAY), bar, language, paper)
    path = folder / "prep.pdf"
    path.write_bytes(done.pages[0])
    return path, done


def many(count: int) -> list[Syrup]:
    """Syrups to make, every third of them with acid powder in it."""
    return [
        recipe(
            "620 g sugar", "400 g lime juice", *(["25 g citric acid"] if place % 3 == 0 else []),
            name=f"syrup {place:02d}", allergens=["milk"] if place % 4 == 0 else [], keeps="7 days",
            care=["cool quickly", "hold cold"], note="strain it fine, then stir until it is clear",
        )
        for place in range(count)
    ]  # fmt: skip


def on_the_page(path: Path, paper: str) -> list[pdf.Word]:
    """Every word, none of which is off the margins or lies on another."""
    width, height = PAPERS[paper].width, PAPERS[paper].height
    words = pdf.words(path)
    outside = [word.text for word in words if word.left < 9.0 or word.right > width - 9.0 or word.top < 7.0]
    assert outside == []
    assert max(word.bottom for word in words) < height - 4.0
    assert pdf.overlaps(words) == []
    return words


def test_a_group_that_runs_over_a_page_says_whose_it_is(tmp_path: Path) -> None:
    """Forty to make: on every page but the first the title, with its columns; each row once and whole."""
    path, _ = sheet(tmp_path, here(*many(40)))
    pages = pdf.pages(path)
    assert len(pages) > 2
    for text in pages[1:]:
        assert text.startswith("Make, continued reading weight, g initials ")
    assert "continued" not in pages[0]
    words = on_the_page(path, "a4")
    for place in range(40):
        rows = [word for before, word in pairwise(words) if (before.text, word.text) == ("syrup", f"{place:02d}")]
        rows = [word for word in rows if word.left < 70.0 and word.size_pt > 11.0]
        assert len(rows) == 1, place
    assert pdf.outline(path) == ["Prep", "Make"]


def test_small_letters_are_only_those_of_house_and_foot(tmp_path: Path) -> None:
    """What is read while working has 9.5 pt or more, what is weighed 14."""
    path, _ = sheet(tmp_path, here(*many(6)), batch("SYR-1", "syrup-01", brix=54.0))
    height = PAPERS["a4"].height
    words = pdf.words(path)
    assert {word.top < 15.0 or word.top > height - 16.0 for word in words if word.size_pt < FOOT_AND_HOUSE_PT} == {True}
    assert {round(word.size_pt, 1) for word in words if word.text in ("620", "400")} == {14.0}


def test_each_caution_is_said_once_and_rows_point_at_it(tmp_path: Path) -> None:
    """Four of twelve weigh acid powder, three hold milk."""
    path, _ = sheet(tmp_path, here(*many(12)))
    text = pdf.text(path)
    assert text.count("acid powder hurts eyes and lungs") == 1
    assert text.count("keep tools, bottle and jigger apart: syrup 00, syrup 04, syrup 08") == 1
    assert "may be sold: syrup 00, syrup 03, syrup 06, syrup 09" in text
    rows = text[text.index("Use-by days are for") :]
    assert re.findall(r"caution ((?:\d, )*\d)", rows) == ["1, 2", "2", "1", "2", "1", "2"]


def test_what_the_sheet_says_at_more_length_is_not_said_again_in_the_words_of_a_file(tmp_path: Path) -> None:
    """Only those words, and only where the longer ones stand: another caution of a file stays, as does one alone."""
    nut = recipe("600 g sugar", "600 g water", name="nut syrup", allergens=["milk"], cautions=[KEEP_APART, "shake it"])
    plain = recipe("600 g sugar", "600 g water", name="plain syrup", allergens=[], cautions=[KEEP_APART])
    text = pdf.text(sheet(tmp_path, here(nut, plain))[0])
    cautions = text[text.index("Cautions") : text.index("Make")]
    assert "keep tools, bottle and jigger apart: nut syrup" in cautions
    assert "shake it: nut syrup" in cautions
    assert f"{KEEP_APART}: plain syrup" in cautions
    acid = ingredient(
        "citric acid", kind="sugar", sugar="0 g/kg", acid="1000 g/kg", density="1.66 g/ml", cautions=[POWDER_STINGS]
    )
    sour = recipe("600 g sugar", "600 g water", "20 g citric acid", name="sour syrup", allergens=[])
    made = kitchen(acid, sour)
    made.specs.drinks["glass"] = drink("Glass", "20 ml sour syrup")
    text = pdf.text(sheet(tmp_path, made)[0])
    assert "acid powder hurts eyes and lungs" in text
    assert "stings" not in text


def test_grams_stand_on_their_decimal_point(tmp_path: Path) -> None:
    """1000, 400, 24.5 and 3.2: the figures before the point end at one place."""
    source = recipe("1000 g sugar", "400 g lime juice", "24.5 g citric acid", "3.2 g pulp", name="sharp")
    path, _ = sheet(tmp_path, here(source))
    ends = {}
    for word in pdf.words(path):
        if word.size_pt > 13.9 and word.text in ("1000", "400", "24.5", "3.2"):
            digits, whole = len(word.text.replace(".", "")), len(word.text.partition(".")[0])
            point = 0.0 if "." not in word.text else 0.45  # a point is about half as wide as a figure
            ends[word.text] = word.left + (word.right - word.left) * whole / (digits + point)
    assert sorted(ends) == ["1000", "24.5", "3.2", "400"]
    assert max(ends.values()) - min(ends.values()) < 0.5


def test_an_empty_day(tmp_path: Path) -> None:
    path, done = sheet(tmp_path, kitchen())
    assert "Nothing to put right" in pdf.text(path)
    assert (len(pdf.page_sizes(path)), done.left_off, pdf.outline(path)) == (1, [], ["Prep"])


NO_SIGNS = "石榴糖浆"


def test_what_the_font_cannot_show_takes_out_only_itself(tmp_path: Path) -> None:
    """A syrup, a part of a recipe, a note, a drink and a caution in letters that the font has not: all else stays."""
    odd = recipe("620 g sugar", "400 g lime juice", name=NO_SIGNS, cautions=["小心"], note="搅拌")
    odd = odd.model_copy(update={"id": "pomegranate"})
    plain = recipe("500 g sugar", "500 g 水", name="plain one", care=["hold cold"])
    bar = here(odd, plain)
    path, done = sheet(tmp_path, bar, batch("石-1", "nonsuch"), batch("OLD-1", "plain-one", discard=date(2026, 11, 1)))
    text = pdf.text(path)
    assert set(done.left_off) >= {NO_SIGNS, "小心", "搅拌", "石-1", f"Glass of {NO_SIGNS}"}
    assert f"{len(done.left_off)} texts this font cannot show: see the screen" in text
    assert "A caution could not be printed: see the screen" in text
    assert "[see the screen] pomegranate" in text
    assert "620 g sugar" in text
    assert "400 g lime juice" in text
    assert "plain one" in text
    assert "OLD-1" in text
    assert "use by was Sun 1 Nov: discard" in text
    on_the_page(path, "a4")


def test_a_house_without_signs_for_its_name_still_has_title_date_and_foot(tmp_path: Path) -> None:
    bar = here(*many(1))
    bar = Bar(replace(bar.specs, house=bar.specs.house.model_copy(update={"name": NO_SIGNS})))
    path, done = sheet(tmp_path, bar)
    assert done.left_off[0] == NO_SIGNS
    text = pdf.text(path)
    assert "Prep Wed 25 Nov 2026" in text
    assert "Prep · Wed 25 Nov 2026 page 1 of 1" in text


@pytest.mark.parametrize("bad", ["\u202egnorw", "bad \x00 \ufffe name", "\ud800"])
def test_invisible_characters_are_left_off_too(tmp_path: Path, bad: str) -> None:
    source = recipe("500 g sugar", name="plain one", note=bad)
    path, done = sheet(tmp_path, here(source))
    assert done.left_off == [bad]
    assert "1 text this font cannot show: see the screen" in pdf.text(path)


@pytest.mark.parametrize("language", languages())
def test_a_language_is_complete_on_the_page(tmp_path: Path, language: str) -> None:
    """Every word of the sections is in its language, and the decimal sign."""
    rich = recipe("1000 g sugar", "24.5 g citric acid", "400 g lime juice", name="sharp", allergens=["milk"])
    bar = here(rich, instrument={"scale": "0-55 °Bx"})
    batches = [
        batch("SHA-1", "sharp", brix=46.5, state="open", discard=date(2026, 11, 25)),
        batch("SHA-2", "sharp", discard=date(2026, 11, 20)),
        batch("SHA-3", "sharp", brix=None, discard=date(2026, 11, 26)),
        batch("SHA-4", "sharp", brix=54.0, mass=None, discard=date(2026, 11, 26)),
        batch("XYZ-1", "nonsuch"),
    ]
    path, _ = sheet(tmp_path, bar, *batches, language=language)
    text, words = pdf.text(path), words_of(language)
    for key in ("title", "discard", "last-day", "ask", "read", "correct", "make", "waiting", "why-no-strength"):
        assert words(f"prep.{key}") in text, key
    assert words.number("24.5") in text
    if language != "en":
        english = words_of("en")
        for key in ("discard", "last-day", "ask", "correct-note", "days-note", "apart", "acid-powder", "stranger"):
            assert english(f"prep.{key}") not in text, key
        assert " the " not in text
    on_the_page(path, "a4")


NAMES = st.one_of(
    st.sampled_from(
        ["a", "W" * 80, "Grenadine des îles " * 6, "Ψάρι и сироп", "#import *x* $y$ [z] <b> \\", "l'eau, 1/2"]
    ),
    st.text(
        st.characters(min_codepoint=32, max_codepoint=0x24F, exclude_categories=["C", "Z"]), min_size=1, max_size=40
    ),
)
TEXTS = st.lists(NAMES, max_size=3)
ALLERGENS = st.lists(st.sampled_from(["milk", "tree nuts", "W" * 60, "long " * 12, "Schalenfrüchte"]), max_size=3)


PARTS = ("sugar", "lime juice", "pulp", "citric acid", "vodka")


@st.composite
def kitchens(draw: st.DrawFn) -> tuple[Bar, list[Any]]:
    names = draw(st.lists(NAMES, min_size=1, max_size=4, unique_by=str.casefold))
    syrups = []
    for place, name in enumerate(names):
        parts = draw(st.lists(st.floats(0.1, 99_999.0), min_size=1, max_size=5))
        syrups.append(
            recipe(
                *(f"{mass:.1f} g {part}" for mass, part in zip(parts, PARTS, strict=False)),
                name=f"syrup {place}", keeps="7 days", allergens=draw(ALLERGENS), cautions=draw(TEXTS),
                care=draw(TEXTS),
                note=draw(st.none() | NAMES),
            ).model_copy(update={"name": name})
        )  # fmt: skip
    days = st.none() | st.dates(date(2026, 11, 20), date(2026, 12, 24))
    batches = [
        batch(
            f"{draw(st.sampled_from(['A', 'BATCH-', 'WWWWWWWWWWWW-']))}{place}",
            draw(st.sampled_from([each.id for each in syrups] + ["nonsuch"])),
            brix=draw(st.none() | st.floats(1.0, 79.0)),
            state=draw(st.sampled_from(["open", "made"])),
            discard=draw(days),
            mass=draw(st.none() | st.floats(1.0, 99_999.0)),
        )
        for place in range(draw(st.integers(0, 8)))
    ]
    return here(*syrups), batches


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(held=kitchens(), paper=st.sampled_from(["a4", "letter"]), language=st.sampled_from(languages()))
def test_nothing_leaves_the_page_or_lies_on_another(held: tuple[Bar, list[Any]], paper: str, language: str) -> None:
    bar, batches = held
    with tempfile.TemporaryDirectory() as folder:
        path, _ = sheet(Path(folder), bar, *batches, language=language, paper=paper)
        on_the_page(path, paper)
        text = "".join(pdf.text(path).split())
        for one in batches:
            assert one.id in text
        assert pdf.is_tagged(path)
