"""What a command writes goes over no file of the house, whatever a person calls it, nor over what is no file."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.runner import CHECKOUT, Run, copy_of_house, run

pytestmark = pytest.mark.slow

NOW = {"BALANCER_NOW": "2026-11-25T18:30+01:00"}
TABLES: dict[str, list[str]] = {
    "export drinks": ["export", "drinks", "--out"],
    "export totals": ["export", "totals", "--out"],
    "export batches": ["export", "batches", "--out"],
    "fits": ["fits", "--all", "--out", "raspberry", "--csv"],
}
PAGES: dict[str, list[str]] = {
    "cards": ["cards", "slipway sour", "--out"],
    "chart": ["chart", "raspberry", "--out"],
    "strips": ["strips", "--out"],
    "labels": ["labels", "--out"],
    "bottle": ["bottle", "slipway sour", "--serves", "4", "--out"],
    "rail": ["sheet", "rail", "--out"],
    "prep": ["sheet", "prep", "--out"],
    "allergens": ["sheet", "allergens", "--out"],
    "test": ["sheet", "test", "slipway sour", "--against", "eelgrass", "--out"],
    "swap": ["swap", "slipway sour", "--out", "raspberry", "--in", "honey", "--test-sheet"],
    "adjust": ["adjust", "slipway sour", "--sugar", "-10%", "--test-sheet"],
}
COMMANDS = {**{key: (words, ".csv") for key, words in TABLES.items()}, **{k: (w, ".svg") for k, w in PAGES.items()}}


@pytest.fixture
def specs(tmp_path: Path) -> Path:
    """The demo house, which has a logo."""
    folder = tmp_path / "specs"
    shutil.copytree(CHECKOUT / "specs", folder)
    return folder


def everything(folder: Path) -> dict[str, bytes]:
    """What the house holds, whatever was logged beside it."""
    files = (path for path in folder.rglob("*") if path.is_file() and not path.name.startswith("."))
    return {str(path.relative_to(folder)): path.read_bytes() for path in files}


def asked(specs: Path, words: list[str], out: Path) -> Run:
    return run(*words, str(out), specs=specs, env=NOW)


@pytest.mark.parametrize("command", COMMANDS)
def test_it_writes_where_nothing_is_and_over_its_own(tmp_path: Path, specs: Path, command: str) -> None:
    """Or the refusals below would prove nothing."""
    words, ending = COMMANDS[command]
    out = tmp_path / f"out{ending}"
    for _ in range(2):
        asked(specs, words, out)
        made = sorted(path.name for path in tmp_path.glob(f"out*{ending}"))
        assert made, command


@pytest.mark.parametrize("link", [os.symlink, os.link])
@pytest.mark.parametrize("of", ["batches.yaml", "drinks/slipway-sour.yaml", "look/ferry-slip.svg"])
@pytest.mark.parametrize("command", COMMANDS)
def test_a_link_to_a_file_of_the_house_is_refused(
    tmp_path: Path, specs: Path, command: str, of: str, link: Callable[[Path, Path], None]
) -> None:
    words, ending = COMMANDS[command]
    before = everything(specs)
    names = [tmp_path / f"out{ending}", *(tmp_path / f"out-{number}{ending}" for number in range(1, 60))]
    for name in names:
        link(specs / of, name)
    done = asked(specs, words, names[0])
    assert (done.code, done.out) == (2, "")
    assert "name another file" in done.err
    assert Path(of).name in " ".join(done.err.split())
    assert everything(specs) == before
    assert all(os.path.samefile(name, specs / of) for name in names)


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("kind", ["folder", "pipe", "device", "circle"])
def test_what_is_no_file_is_refused_and_stays(tmp_path: Path, specs: Path, command: str, kind: str) -> None:
    words, ending = COMMANDS[command]
    before = everything(specs)
    names = [tmp_path / f"out{ending}", *(tmp_path / f"out-{number}{ending}" for number in range(1, 60))]
    for name in names:
        if kind == "folder":
            name.mkdir()
        elif kind == "pipe":
            os.mkfifo(name)
        elif kind == "device":
            os.symlink(os.devnull, name)
        else:
            os.symlink(name, name)
    was = [name.lstat().st_mode for name in names]
    done = asked(specs, words, names[0])
    assert (done.code, done.out) == (2 if kind == "device" else 1, "")
    words_of = {"folder": "a folder", "pipe": "a pipe", "device": "a link to null", "circle": "round in a circle"}
    assert words_of[kind] in " ".join(done.err.split())
    assert everything(specs) == before
    assert [name.lstat().st_mode for name in names] == was


def test_the_logo_itself_and_one_of_a_base_are_refused(tmp_path: Path, specs: Path) -> None:
    done = asked(specs, PAGES["chart"], specs / "look" / "ferry-slip.svg")
    assert (done.code, "ferry-slip.svg" in done.err, "is a file of the house" in done.err) == (2, True, True)
    run("start", str(tmp_path / "own"), "--base", str(specs), specs=None)
    before = everything(specs)
    for out in (specs / "look" / "ferry-slip.svg", tmp_path / "chart.svg"):
        if not out.exists():
            out.symlink_to(specs / "look" / "ferry-slip.svg")
        done = asked(tmp_path / "own", PAGES["allergens"], out)
        assert (done.code, "is a file of the house" in done.err) == (2, True)
    assert everything(specs) == before


def test_of_several_pages_none_is_written_where_one_cannot_be(tmp_path: Path, specs: Path) -> None:
    (tmp_path / "cards-3.png").mkdir()
    done = run("cards", "--out", str(tmp_path / "cards.png"), "--draft", "--dpi", "72", specs=specs, env=NOW)
    assert (done.code, done.out) == (1, "")
    assert [path.name for path in tmp_path.glob("cards*")] == ["cards-3.png"]


def test_a_table_needs_the_name_of_one(tmp_path: Path) -> None:
    """`--csv specs/batches.yaml` put a table over the log."""
    specs = copy_of_house(tmp_path)
    before = everything(specs)
    for name in ("house.yaml", "drinks/sours.yaml", "drinks/new.yaml"):
        done = run("fits", "--all", "--out", "berry", "--csv", str(specs / name), specs=specs)
        assert (done.code, "end it in .csv" in done.err) == (2, True)
    assert everything(specs) == before


@pytest.mark.parametrize("name", ["house.yaml", "drinks/sours.yaml", "drinks/new.yaml", "batches.yaml", "link.yaml"])
def test_the_map_of_an_import_is_no_file_of_the_house(tmp_path: Path, name: str) -> None:
    specs = copy_of_house(tmp_path)
    (specs / "link.yaml").symlink_to(specs / "drinks" / "later.yaml")
    sheet = tmp_path / "menu.csv"
    sheet.write_text("Drink,Method,Glass,Item,Qty\nOne,shaken,coupe,gold rum,60 ml\n", encoding="utf-8")
    before = everything(specs)
    done = run("import", str(sheet), "--save-map", str(specs / name), specs=specs)
    assert (done.code, done.out) == (2, "")
    assert "file of the house" in " ".join(done.err.split())
    assert everything(specs) == before


def test_a_copied_template_goes_through_no_link(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    (tmp_path / "look").mkdir()
    (tmp_path / "look" / "press.typ").symlink_to(specs / "drinks" / "later.yaml")
    done = run("cards", "--copy-template", str(tmp_path / "look"), specs=specs)
    assert (done.code, "is there already" in done.err) == (1, True)
    assert not (specs / "drinks" / "later.yaml").exists()
