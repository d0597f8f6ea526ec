"""Prep on the page: the rows of the printed list, and ticks that every device sees until the log has them."""

from __future__ import annotations

import json
import os
import stat
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from hypothesis import given

from balancer.web.ticks import Ticks
from tests.across.houses import Bar, answer, bars, tried
from tests.web.browsing import Node, read, visitor
from tests.web.sitting import Form, Shown, Sitting, on_its_night, sitting  # noqa: F401 - a fixture

pytestmark = pytest.mark.slow

SECTION = {
    "throw out": "Discard",
    "last day": "Use by today or tomorrow",
    "read": "Stir and read",
    "correct": "Correct, stir, read",
    "open": "Waiting: which goes first",
}
"""What the JSON of `sheet prep` calls the sections of the list."""


def rows_of(root: Node) -> list[tuple[str, str, Node]]:
    """Section, tape or name, and the row."""
    found = []
    for section in root.find("section", "plain"):
        title = section.find("h2")[0].text
        for row in (each for task in section.find("ul", "tasks") for each in task.find("li", "task-row")):
            heading = row.find("h3")[0]
            tape = heading.find("span", "tape")
            found.append((title, tape[0].text if tape else heading.text, row))
    return found


def row(page: Shown, section: str, about: str) -> Node | None:
    found = [one for title, named, one in rows_of(page.root) if (title, named) == (section, about)]
    assert len(found) <= 1
    return found[0] if found else None


def is_ticked(node: Node | None) -> bool:
    assert node is not None
    (button,) = node.find("button")
    pressed = button.attributes["aria-pressed"]
    assert pressed in ("true", "false")
    assert ("ticked" in node.attributes.get("class", "")) == (pressed == "true")
    return pressed == "true"


def tick(device: object, page: Shown, section: str, about: str) -> Shown:
    """Press the box of a row, and follow."""
    node = row(page, section, about)
    assert node is not None
    form = Form(node.find("form")[0])
    (button,) = node.find("button")
    done = device.post(form.action, form.fields | {"done": button.attributes["value"]})  # type: ignore[attr-defined]
    assert done.status == 303, done.words
    return device.get(done.location.partition("#")[0])  # type: ignore[attr-defined,no-any-return]


@given(bar=bars())
@tried(20)
def test_the_list_is_that_of_the_printed_sheet(bar: Bar) -> None:
    with on_its_night(bar) as specs:
        data = answer(specs, "sheet", "prep", "--out", str(specs / "prep.svg"), "--json").data
        told = Counter((SECTION[one["todo"]], one["batch"]) for one in data["batches"] if one["todo"] != "leave")
        told += Counter(("Make", one["name"]) for one in data["make"])
        told += Counter(("Ask what it is", batch) for batch in data["not_known"])
        shown = Counter((section, about) for section, about, _ in rows_of(read(visitor(specs).get("/prep").text)))
        assert shown == told


def test_each_row_says_what_to_weigh_and_leads_to_what_logs_it(sitting: Sitting) -> None:  # noqa: F811
    page = sitting.device().get("/prep")
    expected = {  # amounts as the README's example of `tonight` and the recipes of the demo's files have them
        ("Correct, stir, read", "STR-1"): ("92 g water per kg", "/batches/STR-1#correct"),
        ("Discard", "ALM-1"): ("Use by was Mon 23 Nov: discard", "/batches/ALM-1"),
        ("Make", "agave syrup"): ("1000 g agave nectar", "/batches/new?liquid=agave-syrup"),
    }
    for (section, about), (text, address) in expected.items():
        found = row(page, section, about)
        assert found is not None
        assert text in [each.text for each in (*found.find("li"), *found.find("p"))]
        (link,) = found.find("a")
        assert link.attributes["href"] == address
        path, _, part = address.partition("#")
        there = sitting.device().get(path)
        assert there.status == 200
        assert not part or there.part(part) is not None


def test_a_tick_is_seen_on_every_device_and_taken_back(sitting: Sitting) -> None:  # noqa: F811
    one, other = sitting.device(), sitting.device()
    assert "13 things to do" in one.get("/prep").words
    page = tick(one, one.get("/prep"), "Correct, stir, read", "STR-1")
    assert is_ticked(row(page, "Correct, stir, read", "STR-1"))
    assert "12 of 13 things left" in page.words
    seen = other.get("/prep")
    assert is_ticked(row(seen, "Correct, stir, read", "STR-1"))
    assert "20:16" in (row(seen, "Correct, stir, read", "STR-1") or seen.root).text
    assert [about for _, about, node in rows_of(seen.root) if is_ticked(node)] == ["STR-1"]
    assert not is_ticked(row(tick(other, seen, "Correct, stir, read", "STR-1"), "Correct, stir, read", "STR-1"))
    assert not is_ticked(row(one.get("/prep"), "Correct, stir, read", "STR-1"))


def test_a_tick_logs_nothing_and_what_is_logged_leaves_the_list(sitting: Sitting) -> None:  # noqa: F811
    phone, before = sitting.device(), sitting.log
    page = tick(phone, phone.get("/prep"), "Discard", "ALM-1")
    assert sitting.log == before
    assert row(page, "Discard", "ALM-1") is not None
    phone.press(phone.get("/batches/ALM-1"), "Discard ALM-1")
    assert len(sitting.log) == len(before) + 1
    assert row(phone.get("/prep"), "Discard", "ALM-1") is None


def test_a_row_that_says_something_else_is_not_done(sitting: Sitting) -> None:  # noqa: F811
    """A batch corrected by 92 g per kg was ticked; read again, it needs less: that is another thing to do."""
    phone = sitting.device()
    tick(phone, phone.get("/prep"), "Correct, stir, read", "STR-1")
    sitting.at("20:30")
    phone.press(phone.get("/batches/STR-1"), "Log it", "reading", brix="52")
    again = row(phone.get("/prep"), "Correct, stir, read", "STR-1")
    assert not is_ticked(again)
    assert again is not None
    assert "92 g" not in again.text


def test_tomorrow_begins_without_ticks(sitting: Sitting) -> None:  # noqa: F811
    phone = sitting.device()
    tick(phone, phone.get("/prep"), "Correct, stir, read", "STR-1")
    sitting.patch.setenv("BALANCER_NOW", "2026-11-26T14:00:00+01:00")
    tomorrow = phone.get("/prep")
    assert not is_ticked(row(tomorrow, "Correct, stir, read", "STR-1"))


def test_open_pages_are_told_of_a_tick(sitting: Sitting) -> None:  # noqa: F811
    phone = sitting.device()
    page = phone.get("/prep")
    before = phone.client.get("/still-there").text
    tick(phone, page, "Correct, stir, read", "STR-1")
    sitting.app.state.watch._looked = float("-inf")  # a second has passed
    assert phone.client.get("/still-there").text != before


def test_a_row_that_is_gone_or_was_never_there_keeps_no_tick(sitting: Sitting) -> None:  # noqa: F811
    phone = sitting.device()
    page = phone.get("/prep")
    form, _ = page.form("", "row-" + rows_of(page.root)[0][2].attributes["id"].removeprefix("row-"))
    done = phone.post("/prep", form.fields | {"row": "../../etc/passwd", "done": "yes"})
    assert (done.status, done.location) == (303, "/prep")
    assert phone.post("/prep", form.fields | {"done": "maybe"}).status == 400
    assert phone.post("/prep", form.fields | {"done": "yes", "token": "0" * 64}).status == 403
    assert not any(is_ticked(node) for _, _, node in rows_of(phone.get("/prep").root))


def test_ticks_are_kept_beside_the_bar_and_for_its_owner_alone(sitting: Sitting) -> None:  # noqa: F811
    files = {path for path in sitting.specs.rglob("*") if path.is_file()}
    phone = sitting.device()
    tick(phone, phone.get("/prep"), "Correct, stir, read", "STR-1")
    assert {path for path in sitting.specs.rglob("*") if path.is_file()} == files
    (kept,) = (sitting.specs.parent / "state" / "balancer").glob("prep-*.json")
    assert json.loads(kept.read_text(encoding="utf-8"))["day"] == "2026-11-25"
    if os.name != "nt":
        assert stat.S_IMODE(kept.stat().st_mode) == 0o600


def test_no_tick_of_many_devices_is_lost(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Half of them at one page, half at another that serves the same folder."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    day, at = date(2026, 11, 25), datetime(2026, 11, 25, 18, 30, tzinfo=UTC)
    pages = [Ticks(tmp_path / "specs"), Ticks(tmp_path / "specs")]
    rows = [f"row {number}" for number in range(40)]
    with ThreadPoolExecutor(8) as pool:
        for number, one in enumerate(rows):
            pool.submit(pages[number % 2].tick, day, one, at, "Runa", done=True)
    assert pages[0].of(day).keys() == {*rows}
    assert pages[0].of(date(2026, 11, 26)) == {}


@pytest.mark.parametrize("text", ["", "{", "[]", '{"day": "2026-11-25"}', '{"day": "2026-11-25", "ticks": {"a": 1}}'])
def test_ticks_that_cannot_be_read_are_none(text: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    ticks = Ticks(tmp_path / "specs")
    ticks.path.parent.mkdir()
    ticks.path.write_text(text, encoding="utf-8")
    day = date(2026, 11, 25)
    assert ticks.of(day) == {}
    ticks.tick(day, "a row", datetime(2026, 11, 25, 18, 30, tzinfo=UTC), None, done=True)
    assert ticks.of(day)["a row"].clock == "18:30"
