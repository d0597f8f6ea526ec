"""The folder as the page sees it: as it is now, and read again only where it has changed."""

from __future__ import annotations

import gc
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from balancer.web import serve
from balancer.web.connections import PageServer
from balancer.web.house import OpenHouse
from balancer.web.settings import PageSettings
from tests.web.browsing import KEY, SPECS
from tests.web.serving import free_port

_WHAT = '"batch": "RAS-13", "syrup": "raspberry-syrup", "event": "made", "brix": 52'
MADE = f'- {{{_WHAT}, "at": "2026-11-25T17:00:00+01:00"}}\n'


@pytest.fixture
def house(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> OpenHouse:
    monkeypatch.setenv("BALANCER_NOW", "2026-11-25T18:30+01:00")
    return OpenHouse(shutil.copytree(SPECS, tmp_path / "specs"))


def edit(house: OpenHouse, name: str = "house.yaml", text: str = "# changed\n") -> None:
    with (house.folder / name).open("a", encoding="utf-8") as file:
        file.write(text)


def test_the_night_is_worked_out_once_for_as_long_as_nothing_changes(house: OpenHouse) -> None:
    first = house.evening()
    assert house.evening() is first
    edit(house)
    assert house.evening() is not first


def test_a_line_of_the_log_is_seen_without_reading_the_specs_again(house: OpenHouse) -> None:
    first = house.evening()
    edit(house, "batches.yaml", MADE)
    second = house.evening()
    assert second.desk.loaded is first.desk.loaded
    assert "RAS-13" in {batch.id for batch in second.desk.batches}
    assert "RAS-13" not in {batch.id for batch in first.desk.batches}
    edit(house)
    assert house.evening().desk.loaded is not first.desk.loaded


def test_a_change_while_the_night_is_worked_out_is_seen_by_the_next_who_asks(
    house: OpenHouse, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One device asks; before it has its answer a file changes and another device asks."""
    desk_of: Callable[[OpenHouse], Any] = OpenHouse._desk

    def interrupted(self: OpenHouse) -> Any:
        monkeypatch.setattr(OpenHouse, "_desk", desk_of)
        found = desk_of(self)
        text = (self.folder / "house.yaml").read_text(encoding="utf-8")
        changed = text.replace("house: The Ferry Slip", "house: The Other Slip")
        (self.folder / "house.yaml").write_text(changed, encoding="utf-8")
        assert desk_of(self)[0].house.name == "The Other Slip"
        return found

    monkeypatch.setattr(OpenHouse, "_desk", interrupted)
    assert house.evening().desk.house.name == "The Ferry Slip"
    assert house.evening().desk.house.name == "The Other Slip"


def test_the_mark_is_of_what_the_files_are_and_not_of_this_start(house: OpenHouse) -> None:
    assert house.mark == ""
    house.desk()
    mark = house.look()
    assert house.mark == mark == OpenHouse(house.folder).look()
    edit(house, "drinks/slipway-sour.yaml")
    assert house.mark == mark
    assert house.look() != mark


def test_a_page_collects_its_garbage(house: OpenHouse, monkeypatch: pytest.MonkeyPatch) -> None:
    """A command does without."""
    seen: list[bool] = []
    monkeypatch.setattr(PageServer, "run", lambda *_: seen.append(gc.isenabled()))
    gc.disable()
    try:
        with serve.listen(PageSettings(port=free_port())) as bound:
            serve.serve(house, PageSettings(), KEY, bound)
    finally:
        gc.enable()
    assert seen == [True]
