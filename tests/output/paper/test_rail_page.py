"""The rail as it lies on the paper: what stands where, read back from the printed file."""

from __future__ import annotations

import itertools
import tempfile
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final, NamedTuple

import pypdfium2 as pdfium
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from balancer.engine.drink.card import card
from balancer.models.drink import Drink
from balancer.models.ingredient import Ingredient
from balancer.output.paper.card_lines import Units
from balancer.output.paper.imposition import PAPERS
from balancer.output.paper.language import words_of
from balancer.output.paper.rail import RailOrder, rail_page
from balancer.output.paper.typeset import TEMPLATES, typeset
from balancer.output.screen.rail import in_order
from tests import pdf
from tests.engine.builders import bar, drink, ingredient, syrup
from tests.engine.prep.test_standardise import TODAY

pytestmark = pytest.mark.slow

AT: Final = datetime(2026, 11, 25, tzinfo=UTC)
MARGIN_MM: Final = 12.0
LIQUIDS: Final = [ingredient(f"liquid{number}", abv="40 %", sugar="0 g/l", allergens=[]) for number in range(60)]
SYRUP: Final = syrup("berry syrup", allergens=["eggs"])
MYSTERY: Final = ingredient("mystery", abv="20 %", sugar="0 g/l")
NAME_PT: Final = 14.0


class Place(NamedTuple):
    """A column: its page and its number on that page."""

    page: int
    column: int


def printed(
    folder: Path,
    *drinks: Drink,
    units: Units = "ml",
    order: RailOrder = "name",
    paper: str = "a4",
    more: Sequence[Ingredient] = (),
) -> tuple[Path, list[str]]:
    """The rail as a file, and the names of its drinks in their order."""
    here = bar(*LIQUIDS, SYRUP, MYSTERY, *more, *drinks)
    cards = in_order([card(here, one) for one in drinks], order)
    page = rail_page(cards, here.specs.house, TODAY, units, words_of("en"), order, PAPERS[paper], [])
    path = folder / "rail.pdf"
    path.write_bytes(typeset(TEMPLATES / "rail.typ", page, "pdf", AT)[0])
    return path, [one.drink.name for one in cards]


def menu(number: int, **keys: Any) -> list[Drink]:
    """Drinks of three to seven pours; every third has a caution and an allergen, every fourth one that is not known."""
    return [
        drink(
            f"Drink{at:03d}", *(f"{30 + at % 3 * 7.5:g} ml liquid{pour}" for pour in range(3 + at % 5)),
            *(["22.5 ml berry syrup"] if at % 3 == 0 else []), *(["15 ml mystery"] if at % 4 == 0 else []),
            garnish="peel of something " * (1 + at % 4), **keys,
        )
        for at in range(number)
    ]  # fmt: skip


def column_of(word: pdf.Word, width: float) -> Place:
    return Place(word.page, int(word.left > width / 2.0))


def on_the_sheet(path: Path, first: str) -> list[pdf.Word]:
    """The words from the first drink on, without those of the foot."""
    (_, height) = pdf.page_sizes(path)[0]
    words = [word for word in pdf.words(path) if word.bottom < height - 16.0]
    return words[next(at for at, word in enumerate(words) if word.text == first) :]


def by_drink(path: Path, names: Sequence[str]) -> dict[str, list[pdf.Word]]:
    """The words of every drink, from its name to the next one's."""
    words = on_the_sheet(path, names[0])
    starts = [next(at for at, word in enumerate(words) if word.text == name) for name in names]
    assert starts == sorted(starts)
    pairs = itertools.pairwise([*starts, len(words)])
    return {name: words[start:end] for name, (start, end) in zip(names, pairs, strict=True)}


def outside(path: Path) -> list[pdf.Word]:
    """Words that leave the margins. Figures of three places hang out by one of them, a full stop by itself."""
    width, height = pdf.page_sizes(path)[0]
    return [
        word for word in pdf.words(path)
        if word.left < MARGIN_MM - 3.0 or word.right > width - MARGIN_MM + 1.0 or not 8.0 < word.top < height - 4.0
    ]  # fmt: skip


def overlapping(path: Path) -> list[tuple[pdf.Word, pdf.Word]]:
    """Words whose letters lie over each other, from the baseline to the height of capitals; turned ones aside."""
    found = []
    high = 1.21 / pdf.POINTS_PER_MM  # of a line of Inter, in mm for each pt of its letters
    upright = [word for word in pdf.words(path) if abs(word.bottom - word.top - high * word.size_pt) < 0.2]
    ordered = sorted(upright, key=lambda word: (word.page, word.left))
    for at, one in enumerate(ordered):
        for other in itertools.islice(ordered, at + 1, None):
            if other.page != one.page or other.left > one.right - 0.2:
                break
            (low, high), (foot, top) = _ink(one), _ink(other)
            if low > top + 0.1 and foot > high + 0.1:
                found.append((one, other))
    return found


def _ink(word: pdf.Word) -> tuple[float, float]:
    em = word.size_pt / pdf.POINTS_PER_MM
    baseline = word.bottom - 0.24 * em
    return baseline, baseline - 0.72 * em


def test_a_drink_stands_whole_in_its_column_and_its_pours_in_order(tmp_path: Path) -> None:
    path, names = printed(tmp_path, *menu(40))
    width = pdf.page_sizes(path)[0][0]
    found = by_drink(path, names)
    for at, name in enumerate(names):
        assert len({column_of(word, width) for word in found[name]}) == 1
        text = " ".join(word.text for word in found[name])
        pours = " ".join(f"{30 + at % 3 * 7.5:g} ml liquid{pour}" for pour in range(3 + at % 5))
        egg = " 22.5 ml berry syrup 50 °Bx" if at % 3 == 0 else ""
        unknown = " 15 ml mystery" if at % 4 == 0 else ""
        garnish = " ".join(["peel of something"] * (1 + at % 4))
        told = (
            " contains eggs" * (at % 3 == 0) + " allergens" * (at % 12 in (4, 8)) + " not known mystery" * (at % 4 == 0)
        )
        caution = " caution raw egg: tell the guest; not for anyone told to avoid it" * (at % 3 == 0)
        assert text == f"{name} shaken {pours}{egg}{unknown} garnish {garnish}{told}{caution}"
    assert outside(path) == []
    assert overlapping(path) == []


@pytest.mark.parametrize("number", [2, 7, 12, 31])
def test_the_columns_of_a_page_end_alike(tmp_path: Path, number: int) -> None:
    """No further apart than the highest drink: with it in the other column they would be no nearer."""
    path, names = printed(tmp_path, *menu(number))
    width = pdf.page_sizes(path)[0][0]
    found = by_drink(path, names)
    highest = max(words[-1].bottom - words[0].top for words in found.values()) + 5.0
    ends: dict[Place, float] = {}
    for words in found.values():
        place = column_of(words[0], width)
        ends[place] = max(ends.get(place, 0.0), *(word.bottom for word in words))
    for page in {place.page for place in ends}:
        left, right = ends[Place(page, 0)], ends[Place(page, 1)]
        assert abs(left - right) <= highest


def test_pages_are_as_full_as_each_other(tmp_path: Path) -> None:
    """One drink alone on the last page is an orphan."""
    for number in (13, 17, 25):
        path, names = printed(tmp_path, *menu(number))
        pages = [words[0].page for words in by_drink(path, names).values()]
        counts = [pages.count(page) for page in sorted(set(pages))]
        assert min(counts) >= 0.5 * max(counts)


def test_letters_have_one_size_whatever_the_menu(tmp_path: Path) -> None:
    sizes = []
    for number in (1, 40):
        path, names = printed(tmp_path, *menu(number))
        words = by_drink(path, names)["Drink000"]
        sizes.append([round(word.size_pt, 2) for word in words])
        assert {size for word, size in zip(words, sizes[-1], strict=True) if word.text in ("30", "22.5")} == {15.0}
        assert (sizes[-1][0], min(sizes[-1])) == (NAME_PT, 8.0)
    assert sizes[0] == sizes[1]


def test_names_of_pours_start_at_one_place(tmp_path: Path) -> None:
    path, names = printed(tmp_path, *menu(20), units="both")
    width = pdf.page_sizes(path)[0][0]
    starts: dict[int, set[float]] = {}
    for word in on_the_sheet(path, names[0]):
        if word.text.startswith(("liquid", "mystery")) and word.size_pt > 10.0:
            starts.setdefault(column_of(word, width).column, set()).add(round(word.left, 1))
    assert [max(place) - min(place) <= 0.2 for place in starts.values()] == [True, True]


def test_a_method_beside_a_name_of_two_lines_does_not_split_it(tmp_path: Path) -> None:
    name = "The Longest Possible Name of a Drink That Goes Over Two Lines"
    path, _ = printed(tmp_path, drink(name, "60 ml liquid1", method="stirred", time="30 s"))
    assert f" {name} stirred, 30 s 60 ml liquid1" in pdf.text(path)
    words = on_the_sheet(path, "The")
    of_name = [word for word in words if word.size_pt == pytest.approx(NAME_PT)]
    (method,) = [word for word in words if word.text == "stirred,"]
    assert len({round(word.bottom, 1) for word in of_name}) == 2
    assert _ink(method)[1] > max(_ink(word)[0] for word in of_name)


def test_a_drink_higher_than_a_column_goes_on_in_the_next(tmp_path: Path) -> None:
    pours = [f"10 ml liquid{number}" for number in range(60)]
    path, names = printed(
        tmp_path, drink("Before", "60 ml liquid1"), drink("Everything", *pours), drink("Last", pours[0])
    )
    text = " ".join(word.text for word in on_the_sheet(path, names[0]))
    assert f"Everything shaken {' '.join(pours)} Last shaken {pours[0]}" in text.replace("Everything (continued) ", "")
    again = [word for word in on_the_sheet(path, names[0]) if word.text == "(continued)"]
    width = pdf.page_sizes(path)[0][0]
    assert len({column_of(word, width) for word in again}) == len(again) >= 1, "its name again, once a column"
    assert {word.page for word in pdf.words(path)} == {1}, "60 lines, and a few, are on one page"
    assert outside(path) == []
    assert overlapping(path) == []


@pytest.mark.parametrize("order", ["name", "family"])
@pytest.mark.parametrize("many", [20, 60, 150])
def test_a_drink_of_many_allergens_leaves_no_page_empty(tmp_path: Path, many: int, order: RailOrder) -> None:
    full = ingredient("bitter", abv="40 %", allergens=[f"allergen{at:03d}" for at in range(many)])
    before, long, after = drink("A", "60 ml liquid1"), drink("B", "60 ml bitter"), drink("C", "60 ml liquid2")
    path, _ = printed(tmp_path, before, long, after, order=order, more=[full])
    words = pdf.words(path)
    of_first = [word.text for word in words if word.page == 1]
    assert sum(text.startswith("allergen") and text != "allergen" for text in of_first) >= min(many, 18)
    names = [word.text for word in words if word.text.startswith("allergen") and word.text[8:].isdigit()]
    assert names == [f"allergen{at:03d}" for at in range(many)], "each once, in order"
    rows = {(word.page, round(word.bottom, 1), word.left > 105) for word in words if word.text in names}
    assert many / len(rows) >= 2, "several to a line"
    assert outside(path) == []
    assert overlapping(path) == []


def test_a_family_never_stands_alone_and_is_named_where_it_runs_on(tmp_path: Path) -> None:
    families = ["flip", "punch", "sour"]
    drinks = [
        one.model_copy(update={"family": families[at % 7 % 3]}) for at, one in enumerate(menu(50))
    ]  # fmt: skip
    path, names = printed(tmp_path, *drinks, order="family")
    width = pdf.page_sizes(path)[0][0]
    family_of = {one.name: one.family for one in drinks}
    words = on_the_sheet(path, families[0])
    for place, group in itertools.groupby(words, key=lambda word: column_of(word, width)):
        column = list(group)
        large = [word for word in column if word.size_pt > NAME_PT - 0.5 and word.text in (*families, *names)]
        assert large[-1].text in names, place  # a heading of a family has a drink below it
        first = next(word.text for word in large if word.text in names)
        before = names[names.index(first) - 1] if first != names[0] else None
        runs_on = before is not None and family_of[before] == family_of[first]
        said = " ".join(word.text for word in column[:2])
        assert (said == f"{family_of[first]} (continued)") == runs_on
    assert [word.text for word in words if word.size_pt > 17.0] == families
    assert len({column_of(word, width) for word in words}) > 4


def test_what_the_marks_mean_stands_on_every_page(tmp_path: Path) -> None:
    path, _ = printed(tmp_path, *menu(40))
    pages = pdf.pages(path)
    assert len(pages) > 1
    for page in pages:
        assert page.endswith(
            "filled: listed by the house · dotted: not known, ask · no mark: not “free from”, ask · garnish not counted"
        )


def test_its_outline_is_the_drinks_under_their_families(tmp_path: Path) -> None:
    drinks = [drink("Two Words", "60 ml liquid1", family="sour", method="built"), drink("Plain", "60 ml liquid1")]
    for order, entries in (
        ("name", [(0, "Rail"), (1, "Plain"), (1, "Two Words")]),
        ("family", [(0, "Rail"), (1, "sour"), (2, "Two Words"), (1, "other drinks"), (2, "Plain")]),
    ):
        path, _ = printed(tmp_path, *drinks, order=order)  # type: ignore[arg-type]
        document = pdfium.PdfDocument(path)
        assert [(one.level, one.get_title()) for one in document.get_toc()] == entries
        document.close()


@pytest.mark.parametrize("units", ["ml", "both"])
@pytest.mark.parametrize(
    "name",
    ["Johannisbeerholunderblütenlikör", "Zwetschgenwasserlikör", "hell Johannisbeerholunderblütenlikörchen fein"],
)
def test_a_long_word_in_the_name_of_a_pour_pushes_the_next_pour_down(tmp_path: Path, units: Units, name: str) -> None:
    """Its second line lay over the next pour, and where it had none over the amount in the other unit."""
    here = bar(*LIQUIDS, ingredient(name, abv="20 %", sugar="200 g/l", id="long"))
    mixed = drink("Long", "60 ml long", "22.5 ml liquid1", "22.5 ml liquid2")
    page = rail_page([card(here, mixed)], here.specs.house, TODAY, units, words_of("en"), "name", PAPERS["a4"], [])
    path = tmp_path / "rail.pdf"
    path.write_bytes(typeset(TEMPLATES / "rail.typ", page, "pdf", AT)[0])
    assert name.replace(" ", "") in pdf.text(path).replace(" ", "")
    assert overlapping(path) == []
    assert outside(path) == []


def test_a_mark_as_wide_as_its_lane_goes_below_its_word(tmp_path: Path) -> None:
    """It was tied to it, and left the paper."""
    wide = "<.f,*<,d>efbig`<~_..&c><W`iW`*I~&l"
    drinks = [drink("A", "60 ml liquid1"), drink("Right", "22.5 ml berry syrup", extras=[wide])]
    path, _ = printed(tmp_path, *drinks, paper="letter")
    assert "contains eggs not known <" in pdf.text(path)
    assert outside(path) == []


WORDS: Final = st.text("abcdefgWMIil -/&'*_$#@<>`~.,", min_size=1, max_size=60).map(str.strip).filter(bool)


@pytest.mark.slow
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(
        st.tuples(
            WORDS, WORDS, WORDS, st.integers(1, 9), st.booleans(),
            st.sampled_from(["60 ml", "120 ml", "1.5 oz", "12.5 ml", "2 dashes", "0.25 oz", "33 cl", "1 bsp"]),
        ),
        min_size=1, max_size=14,
    ),
    st.sampled_from(["ml", "oz", "both"]),
    st.sampled_from(["name", "family"]),
    st.sampled_from(["a4", "letter"]),
)  # fmt: skip
def test_nothing_leaves_the_page_or_lies_over_another(
    told: list[tuple[str, str, str, int, bool, str]], units: Units, order: RailOrder, paper: str
) -> None:
    drinks = [
        drink(
            name, *(f"{amount} liquid{pour}" for pour in range(count)), *(["22.5 ml berry syrup"] if sweet else []),
            method="shaken", time=time, garnish=garnish, glass=time, id=f"d{at}", family=garnish,
            extras=[garnish] if sweet else [],
        )
        for at, (name, time, garnish, count, sweet, amount) in enumerate(told)
    ]  # fmt: skip
    with tempfile.TemporaryDirectory() as folder:
        path, _ = printed(Path(folder), *drinks, units=units, order=order, paper=paper)
        assert outside(path) == []
        assert overlapping(path) == []
