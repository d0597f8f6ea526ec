"""A syrup's strengths on the page: the sentence of the command line, the drawing to scale, every batch in the table."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.web.plot import apart
from tests.cli.runner import run
from tests.web.browsing import Node, read
from tests.web.sitting import Sitting, sitting  # noqa: F401 - a fixture

pytestmark = pytest.mark.slow


def told(sitting: Sitting, syrup: str) -> Any:  # noqa: F811
    done = run("chart", syrup, "--json", specs=sitting.specs, env={"BALANCER_NOW": "2026-11-25T20:16+01:00"})
    return done.data


def points(svg: Node) -> list[tuple[float, float]]:
    (way,) = [path.attributes["d"] for path in svg.find("path", "way")]
    return [(float(x), float(y)) for x, y in (pair.split() for pair in way.removeprefix("M").split("L"))]


def scale(svg: Node) -> list[tuple[float, float]]:
    """Heights of the ticks and what they say."""
    return [
        (float(text.attributes["y"]), float(text.text))
        for text in svg.find("text")
        if text.attributes.get("text-anchor") == "end" and text.attributes["x"] == "27"
    ]


@pytest.mark.parametrize("syrup", ["raspberry-syrup", "ginger-syrup"])
def test_batches_stand_where_their_strength_is_on_the_scale(syrup: str, sitting: Sitting) -> None:  # noqa: F811
    page, data = sitting.device().get(f"/chart/{syrup}"), told(sitting, syrup)
    (svg,) = page.root.find("svg", "plot")
    (high_y, high), *_, (low_y, low) = sorted(scale(svg))
    per_brix = (low_y - high_y) / (high - low)
    batches = data["batches"]
    placed = points(svg)
    assert len(placed) == len(batches)
    for (_, y), batch in zip(placed, batches, strict=True):
        assert low + (low_y - y) / per_brix == pytest.approx(batch["brix"], abs=0.1 / per_brix + 0.05)
    assert all(before[0] < after[0] for before, after in pairwise(placed))
    said = svg.attributes["aria-label"]
    assert all(f"{batch['batch']}: " in said for batch in batches)
    assert svg.attributes["role"] == "img"
    table = page.root.find("table")[0]
    assert [node.text for node in table.find("tbody")[0].find("th")] == [one["batch"] for one in reversed(batches)]
    assert not [node for node in page.root.find() if "style" in node.attributes]


def test_what_it_says_stands_first(sitting: Sitting) -> None:  # noqa: F811
    page = sitting.device().get("/chart/raspberry-syrup")
    sentence: str = told(sitting, "raspberry-syrup")["sentence"]
    lead = page.root.find("p", "lead")[0].text
    assert lead.casefold() == f"{sentence.casefold()}."
    assert page.html.index('class="lead"') < page.html.index("<svg")


def test_lines_are_drawn_where_there_are_any(sitting: Sitting) -> None:  # noqa: F811
    """Limits from as many batches as the engine asks for; fewer are only drawn, and one alone is no drawing."""
    twelve, two, one = (
        sitting.device().get(f"/chart/{name}") for name in ("raspberry-syrup", "ginger-syrup", "strawberry-syrup")
    )
    assert [len(page.root.find("path", "limit")) for page in (twelve, two, one)] == [2, 0, 0]
    assert [len(page.root.find("svg", "plot")) for page in (twelve, two, one)] == [1, 1, 0]
    assert "Too few batches to say: 1 with a reading, 8 are needed" in one.words
    assert one.root.find("table")


def test_every_syrup_is_listed_or_said_to_have_no_reading(sitting: Sitting) -> None:  # noqa: F811
    page = sitting.device().get("/chart")
    listed = [link.attributes["href"] for link in page.root.find("ul", "menu")[0].find("a")]
    assert "/chart/raspberry-syrup" in listed
    unread = page.root.find("section", "plain")[0].text
    assert "agave syrup" in unread
    assert "/chart/agave-syrup" not in listed
    assert sitting.device().client.get("/chart/no-such-syrup").status_code == 404


def test_a_hostile_name_stays_a_name(sitting: Sitting) -> None:  # noqa: F811
    (sitting.specs / "syrups" / "odd.yaml").write_text(
        "syrup: '<script>x</script>\" onload=\"'\nstandard: 50 °Bx\n", encoding="utf-8"
    )
    html = sitting.device().client.get("/chart").text
    read(html)
    assert "<script>x" not in html
    assert "&lt;script&gt;x&lt;/script&gt;&#34; onload=" in html


@given(heights=st.lists(st.floats(10.0, 232.0), min_size=1, max_size=8).map(sorted))
def test_labels_stand_apart_and_inside(heights: list[float]) -> None:
    found = apart(heights, 15.0, 232.0)
    assert all(after - before >= 15.0 - 1e-9 for before, after in pairwise(found))
    assert max(found) <= 232.0
    if all(after - before >= 15.0 for before, after in pairwise(heights)):
        assert found == pytest.approx(heights)
