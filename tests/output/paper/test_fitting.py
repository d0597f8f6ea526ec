"""What is taken out of an item that does not fit, so that the others are printed."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from balancer.errors import CannotError
from balancer.output.paper.fitting import Fitted, typeset_fitting
from balancer.output.paper.typeset import TEMPLATES

AT = datetime(2026, 11, 25, 18, 0, tzinfo=UTC)
TEMPLATE = """\
#import "press.typ": each, press
#show: _ => press(each((it, width) => {
  if it.name != "" { heading(it.name); for fact in it.less + it.much { block(height: 12mm, fact) } }
}))
"""


@pytest.fixture
def template(tmp_path: Path) -> Path:
    (tmp_path / "press.typ").write_bytes((TEMPLATES / "press.typ").read_bytes())
    path = tmp_path / "facts.typ"
    path.write_text(TEMPLATE, encoding="utf-8")
    return path


def fitted(template: Path, *items: dict[str, Any]) -> Fitted:
    """Items of 60 × 50 mm: a heading and about three facts of 12 mm."""
    data = {
        "title": "facts",
        "layout": {
            "item": [60, 50], "page": [60, 50], "margin": 2, "places": [[0, 0]], "marks": [],
        },
        "items": [{"less": [], "much": [], **item} for item in items],
    }  # fmt: skip
    return typeset_fitting(template, data, "svg", AT, ("less", "much"))


def test_what_fits_stays_whole(template: Path) -> None:
    result = fitted(template, {"name": "one", "much": ["a"]}, {"name": "two"})
    assert (len(result.pages), result.dropped, result.unfit) == (2, {}, {})


def test_the_first_key_loses_its_last_thing_first(template: Path) -> None:
    """Six facts, room for two or three: all of `less` goes before anything of `much`; the neighbour stays whole."""
    result = fitted(
        template, {"name": "one", "much": ["a", "b", "c"], "less": ["x", "y", "z"]}, {"name": "two", "less": ["x"]}
    )
    assert len(result.pages) == 2
    assert result.unfit == {}
    assert set(result.dropped) == {"one"}
    assert result.dropped["one"]["less"] == ["x", "y", "z"]
    gone = result.dropped["one"].get("much", [])
    assert gone == ["a", "b", "c"][3 - len(gone) :]
    assert len(gone) < 3


def test_a_sign_the_font_lacks_takes_out_what_it_stands_in(template: Path) -> None:
    result = fitted(template, {"name": "one", "much": ["a", "茶"], "less": ["x"]})
    assert (len(result.pages), result.dropped, result.unfit) == (1, {"one": {"much": ["茶"]}}, {})


def test_an_invisible_character_takes_out_what_it_stands_in(template: Path) -> None:
    result = fitted(template, {"name": "one", "less": ["x\u202ey", "z"]})
    assert (len(result.pages), result.dropped) == (1, {"one": {"less": ["x\u202ey"]}})


def test_an_item_that_cannot_be_set_is_left_out_and_told(template: Path) -> None:
    result = fitted(template, {"name": "茶", "less": ["x"]}, {"name": "two"})
    assert len(result.pages) == 1
    assert list(result.unfit) == ["茶"]
    assert result.unfit["茶"].code == "no-glyph"


def test_when_nothing_is_left_there_is_no_page(template: Path) -> None:
    """Not even the places that were to stay empty."""
    result = fitted(template, {"name": ""}, {"name": "茶"})
    assert (result.pages, list(result.unfit)) == ([], ["茶"])


def test_copies_lose_the_same(template: Path) -> None:
    one = {"name": "one", "less": ["x", "茶"]}
    result = fitted(template, one, one)
    assert (len(result.pages), result.dropped) == (2, {"one": {"less": ["茶"]}})


def test_a_fault_of_the_template_is_raised(template: Path) -> None:
    template.write_text("#nonsuch", encoding="utf-8")
    with pytest.raises(CannotError, match="template"):
        fitted(template, {"name": "one"})


def test_so_many_things_too_many_go_at_once_and_nothing_else(template: Path) -> None:
    """The template says that it shows two of `much`; `less`, which goes first for want of room, stays."""
    body = TEMPLATE.replace(
        "}))\n", '}, crowded: (it, width) => if it.much.len() > 2 { ("much", it.much.len() - 2) }))\n'
    )
    template.write_text(body, encoding="utf-8")
    result = fitted(
        template, {"name": "one", "much": ["a", "b", "c", "d"], "less": ["x"]}, {"name": "two", "much": ["e"]}
    )
    assert (len(result.pages), result.dropped, result.unfit) == (2, {"one": {"much": ["c", "d"]}}, {})
