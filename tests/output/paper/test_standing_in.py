"""A text that the font cannot show goes out alone, and something else stands for it."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from balancer.errors import CannotError
from balancer.output.paper.fitting import StoodIn, typeset_standing_in
from tests import pdf

pytestmark = pytest.mark.slow

AT = datetime(2026, 11, 25, 18, 0, tzinfo=UTC)


def stood_in(template: Path, *items: dict[str, Any]) -> StoodIn:
    data = {
        "title": "facts",
        "layout": {"item": [60, 50], "page": [60, 50], "margin": 2, "places": [[0, 0]], "marks": []},
        "items": list(items),
    }
    return typeset_standing_in(template, data, "pdf", AT, lambda number: f"{number} left off")


@pytest.fixture
def telling(tmp_path: Path) -> Path:
    """A template that shows every text of its items."""
    path = tmp_path / "telling.typ"
    path.write_text(
        """#let data = json(bytes(sys.inputs.data))
#set text(font: "Inter")
#set document(title: data.title)
#for it in data.items {
  heading(it.title)
  for fact in it.facts { par(fact.text) }
  for told in it.left_off { par(told) }
}
""",
        encoding="utf-8",
    )
    return path


def shown(tmp_path: Path, done: StoodIn) -> str:
    path = tmp_path / "told.pdf"
    path.write_bytes(done.pages[0])
    return pdf.text(path)


def item(name: str, *facts: str, **instead: str) -> dict[str, Any]:
    return {"name": name, "title": name, "facts": [{"text": fact} for fact in facts], "instead": instead}


def test_without_such_signs_nothing_stands_in(telling: Path, tmp_path: Path) -> None:
    done = stood_in(telling, item("one", "a fact", text="never"))
    assert done.left_off == []
    assert shown(tmp_path, done) == "one a fact"


def test_only_the_text_itself_goes_out(telling: Path, tmp_path: Path) -> None:
    done = stood_in(telling, item("one", "a fact", "石榴", text="look elsewhere"), item("two", "another", "石榴", "石"))
    assert done.left_off == ["石榴", "石"]
    assert shown(tmp_path, done) == "one a fact look elsewhere 2 left off two another"


def test_what_stands_in_goes_by_the_key_and_else_by_none(telling: Path, tmp_path: Path) -> None:
    done = stood_in(telling, item("one", "石榴", **{"": "for all"}), item("two", "石榴", text="for text"))
    assert shown(tmp_path, done) == "one for all 1 left off two for text"


def test_a_stand_in_without_signs_of_its_own_is_not_used(telling: Path, tmp_path: Path) -> None:
    """It would be tried for ever."""
    done = stood_in(telling, item("one", "石榴", text="石", **{"": "plain"}), item("two", "石榴", **{"": "石"}))
    assert shown(tmp_path, done) == "one plain 1 left off two"


def test_invisible_characters_take_out_their_text_too(telling: Path, tmp_path: Path) -> None:
    done = stood_in(telling, item("one", "\u202egnorw", "a \x00 b", "plain", text="x"))
    assert done.left_off == ["\u202egnorw", "a \x00 b"]
    assert shown(tmp_path, done) == "one x x plain 2 left off"


def test_a_template_at_fault_is_told(telling: Path) -> None:
    telling.write_text("#panic(1)", encoding="utf-8")
    with pytest.raises(CannotError):
        stood_in(telling, item("one", "a fact"))
