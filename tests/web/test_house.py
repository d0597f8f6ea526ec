"""The folder as the page sees it: as it is now, and read again only where it has changed."""

from __future__ import annotations

import gc
import random
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from balancer.files.house.load import load
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


def _renamed(house: OpenHouse, identity: str) -> str:
    return house.desk().specs.drinks[identity].name


def test_a_change_in_a_linked_folder_is_seen(house: OpenHouse, tmp_path: Path) -> None:
    drinks = house.folder / "drinks"
    elsewhere = tmp_path / "elsewhere"
    shutil.move(drinks, elsewhere)
    drinks.symlink_to(elsewhere)
    assert _renamed(house, "slipway-sour") == "Slipway Sour"
    file = elsewhere / "slipway-sour.yaml"
    file.write_text(file.read_text(encoding="utf-8").replace("Slipway Sour", "Slipway sour"), encoding="utf-8")
    assert _renamed(house, "slipway-sour") == "Slipway sour"


@pytest.mark.parametrize("ending", [".YAML", ".YML", ".Yml"])
def test_a_change_in_a_file_with_a_loud_ending_is_seen(house: OpenHouse, ending: str) -> None:
    file = (house.folder / "drinks" / "slipway-sour.yaml").rename(house.folder / "drinks" / f"slipway-sour{ending}")
    assert _renamed(house, "slipway-sour") == "Slipway Sour"
    file.write_text(file.read_text(encoding="utf-8").replace("Slipway Sour", "Slipway sour"), encoding="utf-8")
    assert _renamed(house, "slipway-sour") == "Slipway sour"


def test_a_drink_in_a_file_called_as_the_log_is_seen(house: OpenHouse) -> None:
    file = (house.folder / "drinks" / "slipway-sour.yaml").rename(house.folder / "drinks" / "batches.yaml")
    assert _renamed(house, "slipway-sour") == "Slipway Sour"
    file.write_text(file.read_text(encoding="utf-8").replace("Slipway Sour", "Slipway sour"), encoding="utf-8")
    assert _renamed(house, "slipway-sour") == "Slipway sour"


def test_a_link_that_leads_somewhere_again_is_seen(house: OpenHouse, tmp_path: Path) -> None:
    (house.folder / "drinks" / "more").symlink_to(tmp_path / "more")
    assert [problem.code for problem in house.desk().loaded.missing] == ["link"]
    (tmp_path / "more").mkdir()
    assert not house.desk().loaded.missing


@pytest.mark.parametrize("seed", range(6))
def test_whatever_file_is_loaded_is_watched(tmp_path: Path, seed: int) -> None:
    """Random folders: links to files and folders, loud endings, hidden ones, in the bar and in its base."""
    chance = random.Random(seed)  # noqa: S311 - no secret
    base, away, bar = (tmp_path / name for name in ("base", "away", "bar"))
    for folder in (base, bar):
        folder.mkdir()
    (base / "house.yaml").write_text("house: The Base\n", encoding="utf-8")
    (bar / "house.yaml").write_text("house: The Bar\nbase: ../base\n", encoding="utf-8")
    places = [away, *(top / kind for top in (base, bar) for kind in ("drinks", "syrups", "ingredients"))]
    for number in range(25):
        place = chance.choice(places) / chance.choice(["", "", "in", "in/deep", ".hidden"])
        ending = chance.choice([".yaml", ".YAML", ".yml", ".Yml", ".txt"])
        file = place / f"{chance.choice(['', '', '.'])}f{number}{ending}"
        if (kind := chance.choice("ffflF")) == "f":
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text("format: 1\n", encoding="utf-8")
        elif (met := sorted(tmp_path.rglob("f*" if kind == "l" else "in"))) and place != away:
            file.parent.mkdir(parents=True, exist_ok=True)
            file.symlink_to(chance.choice(met))
    house = OpenHouse(bar)
    loaded = load(bar)
    read = [path for path in tmp_path.rglob("*") if path.is_file() and not path.is_symlink()]
    counted, seen = 0, house.look()
    for path in read:
        path.write_text(path.read_text(encoding="utf-8") + "# more\nodd: [\n", encoding="utf-8")
        is_loaded = load(bar).problems != loaded.problems
        assert (house.look() != seen) == is_loaded, path
        counted += is_loaded
        loaded, seen = load(bar), house.look()
    assert counted > 2


@pytest.mark.parametrize("name", ["overrides.yaml", "printed.json", "mark.svg", "own.typ"])
def test_what_is_read_besides_is_watched(house: OpenHouse, name: str) -> None:
    """What was printed, what stands over the base, and the files that the look of the pages names."""
    text = "house: The Slip\nlook: {logo: mark.svg, logo alt: a slip, template: own.typ}\n"
    (house.folder / "house.yaml").write_text(text, encoding="utf-8")
    path = house.folder / name
    before = path.read_text(encoding="utf-8") if path.exists() else ""
    seen = house.look()
    path.write_text(before + "\n", encoding="utf-8")
    assert house.look() != seen


def test_a_page_collects_its_garbage(house: OpenHouse, monkeypatch: pytest.MonkeyPatch) -> None:
    """A command does without."""
    seen: list[bool] = []
    monkeypatch.setattr(PageServer, "run", lambda *_: seen.append(gc.isenabled()))
    gc.disable()
    try:
        with serve.listen(PageSettings(port=free_port())) as bound:
            serve.serve(house, PageSettings(), KEY, bound, serve.StopAsked())
    finally:
        gc.enable()
    assert seen == [True]
