"""The drawing as XML: whatever a bar calls its syrups and batches is text, and stays legible in black and white."""

from __future__ import annotations

import re
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest

from balancer.engine.prep.chart import Chart, chart
from balancer.output.paper.chart_svg import HEIGHT, WIDTH, chart_svg
from tests.engine.builders import syrup
from tests.engine.prep.test_chart import FLOWRATES, UNEVEN, around, batch, charted

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = [
    "<script>alert(1)</script>",
    'Tom & Ana\'s "best" <b>',
    "]]><svg onload=x>",
    "&lt;not a tag&gt; &#x41;",
    "סירופ רימונים",
    "\u202egnorw yllautca",
    "شراب الرمان 2",
    "石榴糖浆",
    "🍋 syrup",
    "é" * 300,
]


def named(name: str, values: list[float] = FLOWRATES) -> Chart:
    batches = [batch(number, value, id=f"{name[:20]}-{number}", by=name) for number, value in enumerate(values, 1)]
    return chart(syrup("berry syrup").model_copy(update={"name": name}), batches, 1.0)


def parsed(result: Chart) -> ET.Element:
    root = ET.fromstring(chart_svg(result))  # noqa: S314 - our own output
    assert root.tag == f"{SVG}svg"
    return root


def shape(root: ET.Element) -> list[str]:
    """The elements and their attributes' names; what a name could change if it were markup."""
    return [f"{element.tag} {sorted(element.attrib)}" for element in root.iter()]


def texts(root: ET.Element) -> list[str]:
    return ["".join(element.itertext()) for element in root.iter(f"{SVG}text")]


@pytest.mark.parametrize("name", HOSTILE)
def test_a_name_is_only_text(name: str) -> None:
    root = parsed(named(name))
    plain = parsed(named("x" * min(len(name), 20)))
    assert shape(root) == shape(plain)
    assert root.findtext(f"{SVG}title") == f"{name}: strength batch by batch"
    title = next(root.iter(f"{SVG}tspan"))
    assert (title.text or "").removesuffix("…") in name
    assert title.get("unicode-bidi") == "isolate"
    assert not list(root.iter(f"{SVG}script"))


def test_characters_that_xml_cannot_hold_are_replaced() -> None:
    root = parsed(named("bad \x00\x0b\x1b\ud800\ufffe name"))
    assert root.findtext(f"{SVG}title") == "bad ����� name: strength batch by batch"


@pytest.mark.parametrize(
    "result",
    [charted([]), charted([51.0]), charted(FLOWRATES), charted([50.1] * 9), charted(FLOWRATES * 12), named("Z" * 90)],
    ids=["none", "one", "handbook", "equal", "many", "long name"],
)
def test_everything_is_drawn_inside_and_legible(result: Chart) -> None:
    root = parsed(result)
    for element in root.iter():
        for name in ("x", "cx"):
            assert 0.0 <= float(element.get(name, 0.0)) <= WIDTH
        for name in ("y", "cy"):
            assert 0.0 <= float(element.get(name, 0.0)) <= HEIGHT
        assert float(element.get("font-size", 99)) >= 12.0
    circles = [element for element in root.iter(f"{SVG}circle") if element.find(f"{SVG}title") is not None]
    squares = [element for element in root.iter(f"{SVG}rect") if element.find(f"{SVG}title") is not None]
    assert len(circles) + len(squares) == len(result.points)
    assert len(squares) == len(result.outside)


def test_black_white_and_grey_only() -> None:
    colours = re.findall(r'(?:fill|stroke)="(#[0-9a-f]+)"', chart_svg(charted([*FLOWRATES, 70.0])))
    assert colours
    for colour in colours:
        digits = colour[1:] if len(colour) == 7 else "".join(2 * digit for digit in colour[1:])
        assert digits[0:2] == digits[2:4] == digits[4:6], colour


def test_axes_lines_and_batches_are_labelled() -> None:
    said = texts(parsed(charted(FLOWRATES)))
    for label in (
        "strength, °Bx",
        "step, °Bx",
        "standard 50 ±1",
        "mean 50.8",
        "upper limit 55.8",
        "lower limit 45.8",
        "BER-1",
        "BER-10",
        "batch, in the order made; each with its first reading",
    ):
        assert label in said


def test_labels_beside_the_lines_never_overlap() -> None:
    """Mean, standard and limits within a tenth of a °Bx of each other."""
    root = parsed(charted(around(50.0, *(offset / 20.0 for offset in UNEVEN))))
    heights = sorted(
        float(element.get("y", 0.0))
        for element in root.iter(f"{SVG}text")
        if (element.text or "").startswith(("standard", "mean 5", "upper limit 5", "lower limit 5"))
    )
    assert len(heights) == 4
    assert min(after - before for before, after in pairwise(heights)) >= 17.9


def test_points_stand_at_their_strength() -> None:
    """The handbook's first value is 1.21 below its centre and 2.0 above the second, on one scale."""
    root = parsed(charted(FLOWRATES))
    heights = [
        float(element.get("cy", 0.0))
        for element in root.iter(f"{SVG}circle")
        if element.find(f"{SVG}title") is not None
    ]
    scale = (heights[1] - heights[0]) / 2.0
    drawn = [FLOWRATES[0] - (height - heights[0]) / scale for height in heights]
    assert drawn == pytest.approx(FLOWRATES, abs=0.02)


def test_many_batches_are_not_all_named() -> None:
    ids = [said for said in texts(parsed(charted(FLOWRATES * 12))) if said.startswith("BER-")]
    assert 2 <= len(ids) <= 40
    assert ids[0] == "BER-1"
