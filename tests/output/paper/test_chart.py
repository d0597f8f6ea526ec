"""The printed chart, read out of the SVG that is made of it: everything in its place, and names are only text."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Any, NamedTuple
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.engine.prep.chart import ENOUGH, Chart, chart
from balancer.models.house import House
from balancer.output.paper.chart import alt_text, chart_page
from balancer.output.paper.fitting import StoodIn, typeset_standing_in
from balancer.output.paper.imposition import PAPERS
from balancer.output.paper.language import Words, languages, words_of
from balancer.output.paper.printed_page import Format
from balancer.output.paper.typeset import TEMPLATES
from tests import pdf
from tests.engine.builders import syrup
from tests.engine.prep.test_chart import FLOWRATES, ROWS, UNEVEN, around, batch, charted

pytestmark = pytest.mark.slow

SVG = "{http://www.w3.org/2000/svg}"
DAY = date(2026, 11, 25)
ENGLISH = words_of("en")
HOUSE = House.model_validate({"format": "1", "house": "The Ferry Slip"})
PT_PER_MM = 72.0 / 25.4
SHOWN = [
    "<script>alert(1)</script>",
    'Tom & Ana\'s "best" <b>',
    "]]><svg onload=x>",
    "&lt;not a tag&gt; &#x41;",
    '#import "x.typ": * $x$ *b* _i_ `r` @ref <l> \\',
    '#panic("x")',
    "é" * 300,
]
NOT_SHOWN = [
    "סירופ רימונים",
    "شراب الرمان 2",
    "石榴糖浆",
    "🍋 syrup",
    "\u202egnorw",
    "bad \x00\x0b\x1b\ud800\ufffe name",
]


SAYING = [
    [], [50.0], FLOWRATES, around(53.0, *UNEVEN), around(47.0, *UNEVEN), around(50.0, *UNEVEN),
    [*around(50.0, *UNEVEN), 51.5], [*around(50.0, *UNEVEN), *around(53.0, *UNEVEN)],
    [*around(51.2, *UNEVEN), 49.9],
]  # fmt: skip
"""Histories of which each says another sentence."""


class Shape(NamedTuple):
    """A drawn path: where it starts on the page, in pt, and how it is drawn."""

    x: float
    y: float
    path: str
    attributes: dict[str, str]

    @property
    def is_circle(self) -> bool:
        return self.path.count("c") == 4

    @property
    def is_square(self) -> bool:
        return self.attributes.get("stroke-width") == "1.6" and not self.is_circle

    @property
    def size(self) -> tuple[float, float]:
        """How far it reaches to the right and down: the path is a line, a box or a circle, told in steps."""
        steps = re.findall(r"([mlvhc]) ?([-\d. ]*)", self.path.removeprefix("M 0 0"))
        x = y = right = down = 0.0
        for letter, numbers in steps:
            held = [float(number) for number in numbers.split()]
            x += held[0] if letter == "h" else 0.0 if letter == "v" else held[-2]
            y += held[0] if letter == "v" else 0.0 if letter == "h" else held[-1]
            right, down = max(right, x), max(down, y)
        return right, down

    @property
    def centre(self) -> tuple[float, float]:
        return self.x + self.size[0] / 2.0, self.y + self.size[1] / 2.0


class Text(NamedTuple):
    """A run of letters: where it starts and where its last letter stands, in pt, and whether it lies on a slant."""

    x: float
    y: float
    end_x: float
    end_y: float
    is_slanted: bool


class Drawing:
    """An SVG page: its shapes and runs of letters, in the order drawn."""

    def __init__(self, svg: bytes) -> None:
        self.root = ET.fromstring(svg)  # noqa: S314 - our own output
        _, _, self.width, self.height = (float(part) for part in self.root.attrib["viewBox"].split())
        self.shapes: list[Shape] = []
        self.texts: list[Text] = []
        self._walk(self.root, (1.0, 0.0, 0.0, 1.0, 0.0, 0.0))

    @property
    def points(self) -> list[Shape]:
        """The points of both panels, the strengths first."""
        return [shape for shape in self.shapes if shape.is_circle or shape.is_square]

    def dashed(self, dashes: str) -> list[Shape]:
        return [shape for shape in self.shapes if shape.attributes.get("stroke-dasharray") == dashes]

    def _walk(self, parent: ET.Element, at: tuple[float, ...]) -> None:
        for element in parent:
            if element.tag == f"{SVG}defs":
                continue
            here = _placed(at, element.get("transform", ""))
            if element.tag == f"{SVG}path":
                self.shapes.append(Shape(here[4], here[5], element.get("d", ""), dict(element.attrib)))
            letters = element.findall(f"{SVG}use")
            if letters:
                last = float(letters[-1].get("x", 0.0))
                self.texts.append(
                    Text(here[4], here[5], here[4] + here[0] * last, here[5] + here[1] * last, abs(here[1]) > 1e-6)
                )
            self._walk(element, here)


def _placed(at: tuple[float, ...], transform: str) -> tuple[float, ...]:
    kind, _, rest = transform.partition("(")
    numbers = [float(number) for number in rest.rstrip(")").split()]
    if kind == "translate":
        numbers = [1.0, 0.0, 0.0, 1.0, *numbers, 0.0][:6]
    if not numbers:
        return at
    assert kind in ("translate", "matrix"), transform
    (a, b, c, d, e, f), (p, q, r, s, t, u) = at, numbers
    return a * p + c * q, b * p + d * q, a * r + c * s, b * r + d * s, a * t + c * u + e, b * t + d * u + f


def named(name: str, values: Sequence[float] = FLOWRATES) -> Chart:
    batches = [batch(number, value, id=f"{name[:8]}-{number}", by=name) for number, value in enumerate(values, 1)]
    return chart(syrup("berry syrup").model_copy(update={"name": name}), batches, 1.0)


def fitted(result: Chart, kind: Format = "svg", paper: str = "a4", language: str = "en") -> StoodIn:
    at, words = datetime(2026, 11, 25, 18, 0, tzinfo=UTC), words_of(language)
    page = chart_page(result, HOUSE, DAY, words, PAPERS[paper])
    found = typeset_standing_in(TEMPLATES / "chart.typ", page, kind, at, partial(words.count, "paper.left-off"))
    assert len(found.pages) == 1
    return found


def drawn(result: Chart, paper: str = "a4") -> Drawing:
    return Drawing(fitted(result, paper=paper).pages[0])


def item(result: Chart) -> dict[str, Any]:
    held: dict[str, Any]
    (held,) = chart_page(result, HOUSE, DAY, ENGLISH, PAPERS["a4"])["items"]
    return held


def item_in(result: Chart, words: Words) -> dict[str, Any]:
    held: dict[str, Any] = chart_page(result, HOUSE, DAY, words, PAPERS["a4"])["items"][0]
    return held


def marks(result: Chart) -> Iterator[str]:
    for panel in (item(result)["strengths"], item(result)["steps"]):
        yield from (mark["text"] for mark in panel["marks"])


@pytest.mark.parametrize("name", SHOWN)
def test_a_name_is_only_text(name: str) -> None:
    """No element comes out of a name, and as many points and lines are drawn as with a plain one."""
    found, plain = fitted(named(name)), drawn(named("x" * min(len(name), 20)))
    assert found.left_off == []
    page = Drawing(found.pages[0])
    assert {element.tag for element in page.root.iter()} == {element.tag for element in plain.root.iter()}
    assert page.root.findtext(f"{SVG}title") == f"{name}: strength batch by batch"
    assert len(page.shapes) == len(plain.shapes)


@pytest.mark.parametrize("name", NOT_SHOWN)
def test_what_the_font_cannot_show_is_left_off_and_told(name: str) -> None:
    """Name and ids go, and the ticks, points and lines stay; the page says so, and a reader aloud has the name."""
    result = named(name)
    found, plain = fitted(result), drawn(named("plain"))
    assert sorted(found.left_off) == sorted([*(f"{name[:8]}-{number}" for number in range(1, 11)), name])
    page = Drawing(found.pages[0])
    assert [shape.path for shape in page.points] == [shape.path for shape in plain.points]
    title = page.root.findtext(f"{SVG}title")
    assert title == re.sub("[\x00-\x1f\ud800\ufffe\u202e]", "�", name) + ": strength batch by batch"


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize(
    "result",
    [
        charted([]), charted([51.0]), charted([50.0, 51.0]), charted(FLOWRATES), charted([50.1] * 9),
        charted(FLOWRATES * 20), charted([*FLOWRATES, 70.0]), charted([*FLOWRATES, 20.0]), named("Z " * 90),
    ],
    ids=["none", "one", "two", "handbook", "equal", "many", "far above", "far below", "long name"],
)  # fmt: skip
def test_everything_is_drawn_inside_the_page(result: Chart, paper: str) -> None:
    page = drawn(result, paper)
    sheet = PAPERS[paper].turned
    assert (page.width, page.height) == pytest.approx((sheet.width * PT_PER_MM, sheet.height * PT_PER_MM), abs=0.01)
    edge = 5.0 * PT_PER_MM
    for text in page.texts:
        assert edge < min(text.x, text.end_x) <= max(text.x, text.end_x) < page.width - edge
        assert edge < min(text.y, text.end_y) <= max(text.y, text.end_y) < page.height - edge
    for shape in page.shapes[1:]:  # the first is the sheet
        assert edge < shape.x <= shape.x + shape.size[0] < page.width - edge
        assert edge < shape.y <= shape.y + shape.size[1] < page.height - edge
    steps = len(result.lines.ranges) if result.lines else 0
    assert len(page.points) == len(result.points) + steps
    assert sum(shape.is_square for shape in page.points) == len(result.outside)


def test_black_and_white_only() -> None:
    svg = fitted(charted([*FLOWRATES, 70.0])).pages[0].decode()
    assert set(re.findall(r'(?:fill|stroke)="(#[0-9a-f]+)"', svg)) == {"#000000", "#ffffff"}


def test_points_and_lines_stand_at_their_values() -> None:
    """The handbook's values, centre and limits on one scale, evenly from left to right; its ranges on another."""
    page = drawn(charted(FLOWRATES))
    places = [shape.centre for shape in page.points]
    strengths, steps = places[:10], places[10:]
    per_brix = (strengths[1][1] - strengths[0][1]) / (FLOWRATES[0] - FLOWRATES[1])
    assert per_brix > 0.0

    def value(height: float) -> float:
        return FLOWRATES[0] - (height - strengths[0][1]) / per_brix

    assert [value(y) for _, y in strengths] == pytest.approx(FLOWRATES, abs=0.01)
    pitch = strengths[1][0] - strengths[0][0]
    assert [x for x, _ in strengths] == pytest.approx([strengths[0][0] + pitch * at for at in range(10)], abs=0.01)
    limits = page.dashed("4 3")
    assert [value(shape.y) for shape in limits[:2]] == pytest.approx(
        [float(ROWS[name]["expected"]) for name in ("upper", "lower")], abs=0.01
    )
    ranges = [abs(after - before) for before, after in pairwise(FLOWRATES)]
    assert [x for x, _ in steps] == pytest.approx([x for x, _ in strengths[1:]], abs=0.01)
    per_step = (steps[0][1] - steps[1][1]) / (ranges[1] - ranges[0])
    assert [ranges[0] - (y - steps[0][1]) / per_step for _, y in steps] == pytest.approx(ranges, abs=0.02)
    upper_range = 3.267 * sum(ranges) / len(ranges)
    assert ranges[0] - (limits[2].y - steps[0][1]) / per_step == pytest.approx(upper_range, abs=0.02)


def test_a_change_stands_between_its_batches_and_causes_below_theirs() -> None:
    values = [*around(50.0, *UNEVEN), *around(53.0, *UNEVEN)]
    causes = {2: "boiled", 12: "boiled", 13: "sugar"}
    batches = [batch(number, value, cause=causes.get(number - 1)) for number, value in enumerate(values, 1)]
    result = chart(syrup("berry syrup"), batches, 1.0)
    assert result.moved is not None
    place = [point.batch for point in result.points].index(result.moved.since)
    assert item(result)["moved"] == place
    page = drawn(result)
    across = [shape.centre[0] for shape in page.points[: len(values)]]
    (change,) = (shape for shape in page.shapes if shape.attributes.get("stroke-width") == "1.2")
    assert change.x == pytest.approx((across[place - 1] + across[place]) / 2.0, abs=0.01)
    ticks = [shape.x for shape in page.shapes if shape.attributes.get("stroke-width") == "1.8"]
    assert ticks == pytest.approx([across[2], across[12], across[13]], abs=0.01)
    assert [cause["text"] for cause in item(result)["causes"]] == ["cause: boiled", "cause: sugar"]


def test_axes_lines_and_batches_are_labelled() -> None:
    held = item(charted(FLOWRATES))
    assert set(marks(charted(FLOWRATES))) == {
        "standard 50 ±1", "mean 50.8", "upper limit 55.8", "lower limit 45.8", "upper limit 6.1", "mean step 1.9",
    }  # fmt: skip
    assert (held["strengths"]["unit"], held["house"]) == ("strength, °Bx", "The Ferry Slip")
    assert held["date"] == "Wed 25 Nov 2026"
    assert [label["label"] for label in held["labels"]] == [f"BER-{number}" for number in range(1, 11)]
    assert [tick["text"] for tick in held["strengths"]["ticks"]] == ["46", "48", "50", "52", "54", "56"]
    assert held["notes"] == ["each batch with its first reading, in the order made, 2 Mar 2026 to 11 Mar 2026"]


def test_without_every_day_the_order_is_that_of_the_log() -> None:
    batches = [batch(1, 50.0), batch(2, 51.0, made=None)]
    assert item(chart(syrup("berry syrup"), batches, 1.0))["notes"][0] == "each batch with its first reading, as logged"


@pytest.mark.parametrize("values", [[50.0], [50.0, 51.0], FLOWRATES[: ENOUGH - 1]], ids=["one", "two", "seven"])
@pytest.mark.parametrize("language", languages())
def test_few_batches_have_no_limits_and_the_page_says_so(values: list[float], language: str, tmp_path: Path) -> None:
    """Two batches had limits, and their mean was drawn; now the points stand beside the standard alone."""
    held = item(charted(values))
    assert [mark["kind"] for mark in held["strengths"]["marks"]] == ["standard"]
    assert held["steps"] is None
    assert "no limits yet: they are drawn from 8 batches on" in held["notes"]
    page = drawn(charted(values))
    assert (len(page.points), page.dashed("4 3")) == (len(values), [])
    path = tmp_path / "chart.pdf"
    path.write_bytes(fitted(charted(values), "pdf", language=language).pages[0])
    text = pdf.text(path)
    assert words_of(language)("chart.few", enough=ENOUGH) in text
    assert words_of(language)("chart.mean", value="").strip() not in text


def test_from_enough_batches_on_there_are_limits() -> None:
    held = item(charted(FLOWRATES[:ENOUGH]))
    assert [mark["kind"] for mark in held["strengths"]["marks"]] == ["standard", "limit", "centre", "limit"]
    assert len(held["notes"]) == 1


def test_without_batches_there_is_only_the_standard() -> None:
    """With what prep lets pass, and how to log the first."""
    held = item(charted([]))
    assert [mark["text"] for mark in held["strengths"]["marks"]] == ["standard 50 ±1"]
    assert held["strengths"]["band"] == [49.0, 51.0]
    assert held["said"].startswith("no batch of it has a reading yet")
    assert held["notes"] == ["log one: balancer batch add berry-syrup --brix, and what the refractometer reads"]


def test_labels_beside_the_lines_never_overlap() -> None:
    """Mean, standard and limits within a tenth of a °Bx of each other."""
    page = drawn(charted(around(50.0, *(offset / 20.0 for offset in UNEVEN))))
    column = max(round(text.x, 1) for text in page.texts if sum(abs(one.x - text.x) < 0.1 for one in page.texts) > 3)
    heights = sorted(text.y for text in page.texts if abs(text.x - column) < 0.1)
    assert len(heights) == 6
    assert min(after - before for before, after in pairwise(heights)) >= 13.5


def test_many_batches_are_not_all_named() -> None:
    """As many as do not touch; few stand flat below their points."""
    assert not [text for text in drawn(charted(FLOWRATES)).texts if text.is_slanted]
    ends = [text.end_x for text in drawn(charted(FLOWRATES * 20)).texts if text.is_slanted]
    assert 25 <= len(ends) <= 60
    starts = [text.x for text in drawn(charted(FLOWRATES * 20)).texts if text.is_slanted]
    assert min(after - before for before, after in pairwise(sorted(starts))) > 0.0


def test_the_drawing_is_told_in_words() -> None:
    values = [*FLOWRATES, 70.0]
    batches = [batch(number, value, by="Ana <b>", cause="boiled") for number, value in enumerate(values, 1)]
    result = chart(syrup("berry syrup"), batches, 1.0)
    told = drawn(result).root.findtext(f"{SVG}desc") or ""
    assert told == alt_text(result, ENGLISH)
    assert "BER-3: 49.9 °Bx, made 4 Mar 2026, by Ana <b>, cause: boiled;" in told
    assert told.endswith("BER-11: 70 °Bx, made 12 Mar 2026, by Ana <b>, cause: boiled, outside the limits")
    assert "; standard 50 ±1; upper limit " in told


def test_another_program_reads_the_page(tmp_path: Path) -> None:
    """Every text in the order a person reads it, smaller than 9.5 pt only the house above and the line at the foot."""
    path = tmp_path / "chart.pdf"
    path.write_bytes(fitted(charted(FLOWRATES), "pdf").pages[0])
    text = pdf.text(path)
    places = [text.index(said) for said in ("berry syrup", "Wed 25 Nov 2026", "up and down", "upper limit 55.8")]
    assert places == sorted(places)
    assert "The Ferry Slip · strength batch by batch · Wed 25 Nov 2026 page 1 of 1" in text
    assert "BER-10" in text
    small = [word for word in pdf.words(path) if word.size_pt < 9.45]
    assert {word.bottom < 16.0 or word.top > 195.0 for word in small} == {True}
    assert len(pdf.page_sizes(path)) == 1
    assert pdf.outline(path) == ["berry syrup"]


def test_every_language_says_every_sentence(tmp_path: Path) -> None:
    """With its own decimal sign: 3.3 °Bx is 3,3 in German."""
    words = words_of("de")
    said = [item_in(charted(values), words)["said"] for values in SAYING]
    assert len(set(said)) == len(said)
    path = tmp_path / "chart.pdf"
    for values, sentence in zip(SAYING, said, strict=True):
        path.write_bytes(fitted(charted(values), "pdf", language="de").pages[0])
        assert sentence.replace("\u00a0", " ") in pdf.text(path).replace("\u00a0", " ")
    assert "um 3,3" in said[2].replace("\u00a0", " ")


def test_a_step_beyond_its_limit_is_hollow() -> None:
    """3.267 mean ranges, by hand: the last of these ten steps, 17.9, is the only one beyond 11."""
    values = [*FLOWRATES, 70.0]
    ranges = [abs(after - before) for before, after in pairwise(values)]
    far = [distance > 3.267 * sum(ranges) / len(ranges) for distance in ranges]
    assert sum(far) == 1
    steps = drawn(charted(values)).points[len(values) :]
    assert [shape.attributes.get("fill") == "#ffffff" for shape in steps] == far


@settings(max_examples=60, deadline=None)
@given(
    values=st.lists(st.floats(1.0, 84.0), max_size=10),
    name=st.sampled_from(["x", "W" * 60, "Grenadine des îles et des montagnes lointaines", "Ψάρι и сироп"]),
    language=st.sampled_from(languages()),
    paper=st.sampled_from(["a4", "letter"]),
    cause=st.sampled_from([None, "boiled", "watered", "sugar"]),
)
def test_no_word_lies_on_another_or_leaves_the_page(
    values: list[float], name: str, language: str, paper: str, cause: Any
) -> None:
    batches = [batch(number, value, cause=cause) for number, value in enumerate(values, 1)]
    result = chart(syrup("berry syrup").model_copy(update={"name": name}), batches, 1.0)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "chart.pdf"
        path.write_bytes(fitted(result, "pdf", paper, language).pages[0])
        words = pdf.words(path)
    width, height = PAPERS[paper].turned
    assert [word.text for word in words if word.left < 9.0 or word.right > width - 9.0] == []
    assert [word.text for word in words if word.top < 7.0 or word.bottom > height - 4.0] == []
    assert pdf.overlaps(words) == []
