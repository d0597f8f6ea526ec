"""Spec cards as they are printed: one size for a menu, nothing over the edge, nothing over anything else."""

from __future__ import annotations

import re
import shutil
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime
from functools import cache
from itertools import combinations, groupby, pairwise
from pathlib import Path
from typing import Any, Literal, get_args

import pypdfium2 as pdfium
import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.card import Card, card
from balancer.files.house.load import load
from balancer.models.drink import Drink
from balancer.models.look import PLAIN_LOOK, PrintLook
from balancer.output.paper.card_lines import Units
from balancer.output.paper.cards import SIZES, cards_page
from balancer.output.paper.imposition import Size, alone
from balancer.output.paper.language import words_of
from balancer.output.paper.typeset import TEMPLATES, Pages, UnprintableError, typeset
from tests import pdf
from tests.cli.runner import CHECKOUT
from tests.output.paper.test_look import JAPAN, logo

pytestmark = pytest.mark.slow

AT = datetime(2026, 11, 25, 18, 0, tzinfo=UTC)
DAY = date(2026, 11, 25)
STEPS = 3
CardName = Literal["a6", "4x6", "3x5"]


@cache
def demo() -> Bar:
    return Bar(load(CHECKOUT / "specs").specs)


@cache
def menu() -> tuple[Card, ...]:
    return tuple(card(demo(), drink) for drink in demo().specs.drinks.values())


def drink(name: str, pours: int = 3, **more: Any) -> Card:
    """A card of so many pours out of the demo's bottles; what is said in more is on it too."""
    spec = menu()[0].drink.model_copy(update={"name": name, "id": name.casefold(), "steps": (), "extras": (), **more})
    lines = [line for one in menu() for line in one.pours]
    own = {line.liquid.id: line for line in lines}
    return replace(menu()[0], drink=Drink.model_validate(spec), pours=tuple(own.values())[:pours])


def page(
    cards: Sequence[Card],
    size: CardName = "a6",
    units: Units = "ml",
    *,
    extras: bool = False,
    others: Sequence[Card] = (),
) -> dict[str, Any]:
    layout = alone(Size(*SIZES[size].sheet))
    house, words = demo().specs.house, words_of("en")
    return cards_page(list(cards), house, SIZES[size], layout, units, words, DAY, {}, extras=extras, others=others)


def printed(folder: Path, data: dict[str, Any], template: Path = TEMPLATES / "card.typ") -> tuple[Pages, Path]:
    pages = typeset(template, data, "pdf", AT)
    path = folder / "cards.pdf"
    path.write_bytes(pages[0])
    return pages, path


def printed_or_told(folder: Path, data: dict[str, Any]) -> tuple[Pages, Path, frozenset[str]]:
    """What can be printed, and the names of the rest."""
    told: frozenset[str] = frozenset()
    while True:
        left = [item for item in data["items"] if item["name"] not in told]
        try:
            return *printed(folder, data | {"items": left}), told
        except UnprintableError as error:
            if not error.names or not error.names <= {item["name"] for item in left}:
                raise
            told |= error.names


def test_what_a_card_is_given_is_documented() -> None:
    """Whoever makes a template reads it there."""
    guide = (CHECKOUT / "docs" / "how-to" / "make-a-card-of-your-own.md").read_text(encoding="utf-8")
    rows = [row.split("|")[1] for row in guide.splitlines() if row.startswith("| `")]
    data = page(menu(), units="both", extras=True, others=menu()[:1])
    items = [*data["items"], *data["others"]]
    assert {key for row in rows for key in re.findall(r"`([a-z]+)`", row)} == set().union(*items)
    assert all(set(item) == set(items[0]) for item in items)
    inside = {key for item in items for part in ("pours", "details") for one in item[part] for key in one}
    outside = {*data, *data["layout"]} - {"title"}
    assert [key for key in inside | outside if f"`{key}`" not in guide and f"`data.{key}`" not in guide] == []


# The letters of a set


def one_step(folder: Path, step: int) -> Path:
    """The built-in look with one of its steps alone, and everything on one side, however long."""
    look = folder / f"step-{step}"
    look.mkdir()
    for name in ("card.typ", "grid.typ", "press.typ"):
        shutil.copy(TEMPLATES / name, look)
    text = (look / "card.typ").read_text(encoding="utf-8")
    head, rest = text.split("#let steps = (\n", 1)
    all_steps, tail = rest.split("\n)\n", 1)
    lines = all_steps.split("\n")
    assert len(lines) == STEPS
    tail = tail.replace("// The step of a set", "#let split(it, ..) = ((pours: it.pours),)\n//", 1)
    (look / "card.typ").write_text(f"{head}#let steps = (\n{lines[step - 1]}\n)\n{tail}", encoding="utf-8")
    return look / "card.typ"


def fits(folder: Path, data: dict[str, Any], step: int) -> bool:
    """Whether every card of a set stays inside its margins at a step, by where PDFium finds its words."""
    _, path = printed(folder, data, one_step(folder, step))
    bottom = data["layout"]["item"][1] - data["layout"]["margin"]
    return all(word.bottom <= bottom + 0.8 for word in pdf.words(path))  # a letter's box is lower than its baseline


@pytest.mark.parametrize(
    ("size", "units", "extras"),
    [
        ("a6", "both", False),
        ("3x5", "ml", False),
        pytest.param("a6", "ml", False, marks=pytest.mark.slow),
        pytest.param("a6", "both", True, marks=pytest.mark.slow),
        pytest.param("3x5", "oz", False, marks=pytest.mark.slow),
        pytest.param("4x6", "oz", False, marks=pytest.mark.slow),
    ],
)
def test_the_step_is_the_largest_at_which_the_whole_set_fits(
    tmp_path: Path, size: CardName, units: Units, *, extras: bool
) -> None:
    data = page(menu(), size, units, extras=extras)
    told = printed(tmp_path, data)[0].told
    fitting = [step for step in range(1, STEPS + 1) if fits(tmp_path, data, step)]
    assert told["step"] == fitting[0]
    assert told["sides"] == [1] * len(menu())


def test_smaller_gaps_keep_a_card_on_one_side(tmp_path: Path) -> None:
    """Where it would turn over for a detail or two; nothing then stands below its margin."""
    loose = tmp_path / "loose"
    loose.mkdir()
    for name in ("card.typ", "grid.typ", "press.typ"):
        shutil.copy(TEMPLATES / name, loose)
    text = (loose / "card.typ").read_text(encoding="utf-8")
    assert "tight: true) <= room" in text
    (loose / "card.typ").write_text(text.replace("tight: true) <= room", "tight: true) < 0 * room"), encoding="utf-8")
    saved = 0
    for number in range(5, 10):
        for steps in range(3):
            data = page([drink("Any", number, steps=("stir",) * steps, strain="double", garnish="lime")], "3x5")
            pages, path = printed(tmp_path, data)
            before = printed(tmp_path, data, loose / "card.typ")[0].told["sides"]
            assert pages.told["sides"] in ([1], before)
            bottom = data["layout"]["item"][1] - data["layout"]["margin"]
            if pages.told["sides"] != before:
                saved += 1
                assert all(word.bottom <= bottom + 0.8 for word in pdf.words(path))
    assert saved > 0


def test_fewer_pours_have_larger_letters(tmp_path: Path) -> None:
    found = []
    for pours in (3, 8, 10):
        folder = tmp_path / str(pours)
        folder.mkdir()
        data = page([drink("Short", 2), drink("Long", pours)])
        step = printed(folder, data)[0].told["step"]
        assert [fits(folder, data, one) for one in range(1, STEPS + 1)] == [one >= step for one in range(1, STEPS + 1)]
        found.append(step)
    assert found == [1, 2, 3]


def test_a_card_printed_again_looks_like_its_neighbours(tmp_path: Path) -> None:
    """Alone it would have larger letters than the menu."""
    _, path = printed(tmp_path, page(menu()))
    first = [word for word in pdf.words(path) if word.page == 1]
    pages, path = printed(tmp_path, page(menu()[:1], others=menu()[1:]))
    assert pdf.words(path) == first
    assert printed(tmp_path, page(menu()[:1]))[0].told["step"] < pages.told["step"]


def test_one_card_too_long_leaves_the_others_as_they_are(tmp_path: Path) -> None:
    _, path = printed(tmp_path, page(menu()))
    alone_ = pdf.words(path)
    long = drink("Endless", 14, steps=("stir and stir again until all of it is cold",) * 3)
    pages, path = printed(tmp_path, page([*menu(), long]))
    assert pages.told["sides"] == [*([1] * len(menu())), 2]
    assert [word for word in pdf.words(path) if word.page <= len(menu())] == alone_


def test_overleaf_comes_next_with_what_was_left_and_all_that_guests_must_be_told(tmp_path: Path) -> None:
    steps = tuple(f"step {letter} of it, which has a few more words than one line holds" for letter in "abcd")
    long = drink("Endless", 13, steps=steps, garnish="lime")
    long = replace(long, allergens=("milk",), unknown=("herbs",), cautions=menu()[2].cautions)
    pages, path = printed(tmp_path, page([long, drink("Next")]))
    assert pages.told["sides"] == [2, 1]
    front, back, after = pdf.pages(path)
    assert "continued on the next card" in front
    assert "continued on the next card" not in back
    assert back.startswith("THE FERRY SLIP Endless, continued")
    assert "Next" in after
    said = [f"step {letter}" for letter in "abcd"] + [line.liquid.name for line in long.pours]
    assert all((text in front) != (text in back) for text in said), "each once"
    assert all(text in side for text in ("milk", "herbs", "raw egg", "garnish not counted") for side in (front, back))


@pytest.mark.parametrize(("size", "pours", "steps"), [("a6", 10, 10), ("3x5", 8, 10), ("4x6", 14, 14), ("3x5", 12, 0)])
def test_a_card_takes_as_many_sides_as_it_needs(tmp_path: Path, size: CardName, pours: int, steps: int) -> None:
    said = tuple(f"step {chr(97 + at)} of it, which has a few more words than one line holds" for at in range(steps))
    long = replace(drink("Endless", pours, steps=said), allergens=("milk",), unknown=("herbs",))
    pages, path = printed(tmp_path, page([long, drink("Next")], size, extras=True))
    sides, nexts = pages.told["sides"]
    assert (2 if steps == 0 else 3) <= sides <= 6
    assert nexts == 1
    *of_it, after = pdf.pages(path)
    assert len(of_it) == sides
    assert ["continued on the next card" in side for side in of_it] == [True] * (sides - 1) + [False]
    assert all("milk" in side and "herbs" in side for side in of_it)
    rows = [text[:6] for text in said] + [line.liquid.name for line in long.pours]
    assert [sum(f" {text} " in side for side in of_it) for text in rows] == [1] * len(rows), "each once"
    assert "Next" in after


@pytest.mark.parametrize("size", ["a6", "3x5"])
def test_allergens_that_fill_a_card_have_sides_of_their_own(tmp_path: Path, size: CardName) -> None:
    many = tuple(f"allergen{at:02d}" for at in range(40))
    cautions = menu()[2].cautions
    long = replace(drink("Endless", 3), allergens=many, unknown=("herbs", "bark"), cautions=cautions)
    _, path = printed(tmp_path, page([long], size))
    front, *backs = pdf.pages(path)
    assert "allergens see the next card" in front
    assert all("raw egg" in side for side in (front, *backs))
    assert all(sum(name in side for side in (front, *backs)) == 1 for name in (*many, "herbs", "bark"))
    assert not any(name in front for name in (*many, "herbs", "bark"))
    assert not any("none listed" in side for side in (front, *backs))


def test_what_six_sides_do_not_hold_is_told(tmp_path: Path) -> None:
    data = page([drink("Fine"), drink("Endless", 14, steps=("word " * 40,) * 30)])
    with pytest.raises(UnprintableError) as caught:
        printed(tmp_path, data)
    assert caught.value.names == {"Endless"}
    assert {problem.code for problem in caught.value.problems()} == {"no-room"}


# Titles

LONG = " ".join(
    (
        "The Extraordinarily Longwinded Admiral of the Northernmost Harbour Lighthouse",
        "and His Seventeen Wandering Daughters",
    )
)


@pytest.mark.parametrize("size", get_args(CardName))
@pytest.mark.parametrize("names", [("Short", LONG), ("Short", "Two Lines of a Name That Is Longer", LONG)])
def test_cards_of_a_set_stand_level_beside_a_very_long_name(
    tmp_path: Path, size: CardName, names: tuple[str, ...]
) -> None:
    _, path = printed(tmp_path, page([drink(name) for name in names], size))
    words = pdf.words(path)
    firsts = [next(word for word in words if word.page == at and word.text == "45") for at in range(1, len(names) + 1)]
    assert len({(round(word.left, 1), round(word.top, 1)) for word in firsts}) == 1
    lines = {
        round(word.bottom) for word in words if word.page == len(names) and word.text in {"Longwinded", "Daughters"}
    }
    assert 1 <= len(lines) <= 2, "the first and the last line"
    assert min(word.size_pt for word in words if word.text == "Longwinded") >= 9.0


def inks(path: Path) -> list[tuple[str, float, float]]:
    """The letters of the first page: their highest and lowest ink, in mm above the bottom edge."""
    document = pdfium.PdfDocument(path)
    try:
        read = document[0].get_textpage()
        found = []
        for at in range(read.count_chars()):
            _, low, _, high = read.get_charbox(at)
            found.append((read.get_text_range(at, 1), high / pdf.POINTS_PER_MM, low / pdf.POINTS_PER_MM))
        return found
    finally:
        document.close()


@pytest.mark.parametrize(
    ("house", "name", "look"),
    [
        ("川岸のサワー", "川岸のサワー", JAPAN),
        ("川岸のサワー", "川岸のサワー" * 4, replace(JAPAN, logo=logo("svg"))),
        ("SLIP", "ÅÉ", PLAIN_LOOK),
        ("SLIP", "ÅÉ " + LONG, replace(PLAIN_LOOK, logo=logo("svg"))),
    ],
)
def test_a_name_never_touches_that_of_the_house(tmp_path: Path, house: str, name: str, look: PrintLook) -> None:
    data = page([drink(name)])
    data["items"][0]["house"] = house
    path = tmp_path / "cards.pdf"
    path.write_bytes(typeset(TEMPLATES / "card.typ", data, "pdf", AT, look)[0])
    letters = [letter for letter in inks(path) if letter[0].strip()]
    above, title = letters[: len(house)], letters[len(house) : len(house) + len(name.replace(" ", ""))]
    assert "".join(letter[0] for letter in above) == house
    assert min(low for _, _, low in above) - max(high for _, high, _ in title) >= 1.5


# Columns


@pytest.mark.parametrize("size", get_args(CardName))
def test_names_start_at_one_place_on_every_card_at_every_step(tmp_path: Path, size: CardName) -> None:
    found: dict[int, set[float]] = {}
    for pours in (1, 11):
        for units in ("ml", "both"):
            cards = [drink("One", pours), *menu()[: 0 if pours == 1 else 9]]
            names = {line.liquid.name.split()[0] for one in cards for line in one.pours}
            try:
                pages, path = printed(tmp_path, page(cards, size, units))
            except UnprintableError:
                continue
            left = [word.left for word in pdf.words(path) if word.text in names]
            tallest = max(word.size_pt for word in pdf.words(path) if word.text in names)
            starts = {
                round(word.left, 1)
                for word in pdf.words(path)
                if word.text in names and word.size_pt > 0.95 * tallest and word.left < min(left) + 8
            }
            found.setdefault(pages.told["step"], set()).update(starts)
    assert len(set().union(*found.values())) == 1, found
    assert len(found) >= 2


def test_points_and_fractions_stand_in_one_column(tmp_path: Path) -> None:
    data = page([drink("One", 8)])
    numbers = ["60", "22.5", "7.5", "120", "1½", "½", "2⁄3", "1\u202f2⁄3"]
    for pour, number in zip(data["items"][0]["pours"], numbers, strict=True):
        pour["number"] = number
    words = [word for word in pdf.words(printed(tmp_path, data)[1]) if word.left < 30 and word.size_pt > 16]
    at = {word.text: word for word in words}
    assert set(numbers) - {"1\u202f2⁄3"} <= set(at)
    digit = at["60"].right - at["60"].left
    point = at["60"].right
    assert at["22.5"].left == pytest.approx(at["60"].left, abs=0.2)
    assert at["7.5"].left == pytest.approx(at["60"].left + digit / 2, abs=0.2)
    assert at["120"].right == pytest.approx(point, abs=0.3)
    assert at["1½"].left == pytest.approx(at["7.5"].left, abs=0.3)
    assert at["½"].left == pytest.approx(point, abs=0.5)
    assert at["2⁄3"].left == pytest.approx(point, abs=0.8)


def test_a_number_is_one_run_and_stands_apart_from_its_unit(tmp_path: Path) -> None:
    _, path = printed(tmp_path, page(menu()))
    document = pdfium.PdfDocument(path)
    try:
        first = document[0]
        read = first.get_textpage()
        runs = [one.extract() for one in first.get_objects(filter=[pdfium.raw.FPDF_PAGEOBJ_TEXT], textpage=read)]
        assert "22.5" in [run.strip() for run in runs]
        assert "22.5\u00a0ml" in read.get_text_range()
        assert [entry.get_title() for entry in document.get_toc()] == [
            one.drink.name.replace("'", "’") for one in menu()
        ]
    finally:
        document.close()


@pytest.mark.parametrize("units", get_args(Units))
def test_a_name_without_blanks_breaks_at_the_width_of_its_lane(tmp_path: Path, units: Units) -> None:
    data = page([drink("One", 1)], "3x5", units)
    for many in range(34, 49, 2):
        data["items"][0]["pours"][0]["name"] = "wesen" + "n" * many
        _, path = printed(tmp_path, data)
        words = pdf.words(path)
        start = next(at for at, word in enumerate(words) if word.text[0] == "w" and set(word.text) <= set("wesn"))
        name = [
            word for word in words[start:] if set(word.text) <= set("wesn") and word.size_pt == words[start].size_pt
        ]
        breaks = [at for at in range(1, len(name)) if name[at].left < name[at - 1].left]
        lines = [name[start:end] for start, end in pairwise([0, *breaks, len(name)])]
        assert "".join(word.text for word in name) == "wesen" + "n" * many
        assert sum(len(word.text) for word in lines[-1]) >= 3, "no letter alone"
        letter = lines[0][-1].left - lines[0][-2].left
        ends = [line[-1].right for line in lines[:-1]]
        assert min(ends) > max(ends) - 3 * letter, "lines are full"


@pytest.mark.parametrize("name", ["W" * 13 + "[ WWWW", "W" * 12 + " ]WWWW", "W" * 12 + " .WWWW", "W" * 12 + " ,WWWW"])
def test_a_blank_that_joins_by_itself_ends_a_line(tmp_path: Path, name: str) -> None:
    """Unicode has no line end between these: what they join was set wider than the card."""
    data = page([drink("One", 2)])
    data["items"][0]["pours"][0]["name"] = name
    _, path = printed(tmp_path, data)
    width, height = data["layout"]["item"]
    assert_nothing_collides(path, width, height, 2.9)
    words = [word for word in pdf.words(path) if "W" in word.text]
    assert "".join(word.text for word in words).replace("\u200b", "") == name.replace(" ", "")
    assert words[-1].top > words[0].bottom, "on two lines"


def test_a_name_with_nothing_beside_it_has_the_lane_of_the_other_unit(tmp_path: Path) -> None:
    """It was set as small as one beside an amount."""
    data = page([drink("One", 2)], "3x5", "both")
    beside, alone_ = data["items"][0]["pours"]
    beside["name"], alone_["name"] = "Schwarzerjohannis", "Weizenwasserkefir"
    alone_["other"] = ""
    _, path = printed(tmp_path, data)
    at = {word.text: word.size_pt for word in pdf.words(path)}
    assert at["Weizenwasserkefir"] > 1.1 * at["Schwarzerjohannis"]


# Nothing over the edge or over anything else

NAMES = (
    "I", "W" * 22, "W" * 60, "x" * 200, "word " * 40, "#panic() $x^2$ *b* _i_ `r` @ref <lab> \\ // c", '"', "\\", "[[",
    "<script>alert(1)</script>", "The Longshoreman's Second-Best Sunday Overcoat, Brushed and Hung", "=cmd|calc!A1",
    "Donaudampfschifffahrtselektrizitätenhauptbetriebswerk", "Ночь Νύχτα", "6' 2\" 'n' Rope",
)  # fmt: skip


def hostile(name: str) -> list[dict[str, Any]]:
    """Changes of a card, each with the text in other places."""
    pour = {"number": "1000", "unit": name[:30], "other": "", "name": name, "note": name}
    return [
        {"name": name, "house": name, "spec": name, "mark": "K7TQ"},
        {"method": name, "time": name, "glass": name, "ice": name},
        {"pours": [pour, pour | {"number": "0.125", "unit": "handful"}, pour | {"number": "1½", "other": "22.5 ml"}]},
        {"details": [{"word": "1", "text": name, "step": True}, {"word": "garnish", "text": name, "step": False}]},
        {"listed": [name, name], "unknown": [name] * 3, "cautions": [name], "figures": name},
    ]


def assert_nothing_collides(path: Path, width: float, height: float, edge: float) -> None:
    words = pdf.words(path)
    assert words
    over = [
        word
        for word in words
        if word.left < edge or word.right > width - edge or word.top < edge or word.bottom > height - edge
    ]
    assert over == [], "over the edge"
    # A letter's box has room for its ascent and descent: lines that are close may share that, not the letters.
    boxes = [
        (word, word.left + 0.1, word.top + 0.3 * (word.bottom - word.top), word.right - 0.1,
         word.bottom - 0.25 * (word.bottom - word.top))
        for word in words
    ]  # fmt: skip
    met = [
        (one[0].text, two[0].text)
        for _, side in groupby(boxes, key=lambda box: box[0].page)
        for one, two in combinations(side, 2)
        if one[1] < two[3] and two[1] < one[3] and one[2] < two[4] and two[2] < one[4]
    ]
    assert met == [], "one over another"


def assert_hostile_texts_stay_inside(folder: Path, size: CardName, units: Units) -> None:
    base = page([drink("Plain")], size, units, extras=True)
    (plain,) = base["items"]
    items, texts = [], {}
    for number, name in enumerate(NAMES):
        for place, change in enumerate(hostile(name)):
            items.append(plain | {"name": f"c{number}-{place}"} | change)
            texts[items[-1]["name"]] = name
    pages, path, told = printed_or_told(folder, base | {"items": items})
    usual = 40 if size == "3x5" else 50
    assert [texts[name] for name in told if len(texts[name]) <= usual] == [], "what is of a usual length is printed"
    assert len(pages.told["sides"]) + len(told) == len(items)
    width, height = base["layout"]["item"]
    assert_nothing_collides(path, width, height, 2.9)


def test_hostile_texts_are_printed_inside_or_told(tmp_path: Path) -> None:
    assert_hostile_texts_stay_inside(tmp_path, "a6", "both")


@pytest.mark.slow
@pytest.mark.parametrize("units", get_args(Units))
@pytest.mark.parametrize("size", get_args(CardName))
def test_hostile_texts_on_every_card(tmp_path: Path, size: CardName, units: Units) -> None:
    assert_hostile_texts_stay_inside(tmp_path, size, units)


@pytest.mark.parametrize(("size", "units"), [("a6", "oz"), ("3x5", "both"), ("4x6", "ml")])
def test_the_demo_collides_nowhere(tmp_path: Path, size: CardName, units: Units) -> None:
    data = page(menu(), size, units, extras=True)
    _, path = printed(tmp_path, data)
    width, height = data["layout"]["item"]
    assert_nothing_collides(path, width, height, 3.0)


TEXT = st.text(st.sampled_from("aWé'\"#$*\\<>[]_`@. -½"), max_size=40).map(str.strip).filter(bool)
POUR = st.fixed_dictionaries({
    "number": st.sampled_from(["", "5", "22.5", "1000", "0.125", "½", "1\u202f2⁄3", "750"]),
    "unit": st.sampled_from(["", "ml", "oz", "dash", "bsp", "sachets", "heaped handful"]),
    "other": st.sampled_from(["", "22.5 ml", "1000 ml"]),
    "name": TEXT,
    "note": st.none() | TEXT,
})  # fmt: skip
DETAIL = st.fixed_dictionaries({"word": st.just("1"), "text": TEXT, "step": st.booleans()})
ITEM = st.fixed_dictionaries({
    "name": TEXT,
    "method": TEXT,
    "time": st.none() | TEXT,
    "glass": st.none() | TEXT,
    "ice": st.none() | TEXT,
    "pours": st.lists(POUR, max_size=30),
    "details": st.lists(DETAIL, max_size=15),
    "listed": st.lists(TEXT, max_size=20),
    "unknown": st.lists(TEXT, max_size=20),
    "cautions": st.lists(TEXT, max_size=5),
})  # fmt: skip


@given(
    items=st.lists(ITEM, min_size=1, max_size=3, unique_by=lambda item: str(item["name"])),
    size=st.sampled_from(get_args(CardName)),
)
def test_any_card_is_printed_inside_or_told(
    tmp_path_factory: pytest.TempPathFactory, items: list[dict[str, Any]], size: CardName
) -> None:
    base = page([drink("Plain")], size)
    (plain,) = base["items"]
    data = base | {"items": [plain, *(plain | item for item in items)]}
    pages, path, told = printed_or_told(tmp_path_factory.mktemp("any"), data)
    assert len(pages.told["sides"]) + len(told) == 1 + len(items)
    assert len(pdf.page_sizes(path)) == sum(pages.told["sides"])
    width, height = base["layout"]["item"]
    assert_nothing_collides(path, width, height, 2.9)
