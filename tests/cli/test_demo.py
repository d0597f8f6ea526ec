"""--demo: the invented bar that comes with it, from anywhere, on its own evening, never written."""

from __future__ import annotations

import shutil
import tomllib
from datetime import date
from pathlib import Path

import pytest

from balancer.files.house.demo import DEMO_EVENING, demo_folder
from balancer.files.log.batch_log import read_log
from tests.cli.runner import CHECKOUT, process, run

pytestmark = pytest.mark.slow


@pytest.fixture(autouse=True)
def _nowhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An empty folder, and a clock that is the machine's own."""
    for name in ("BALANCER_SPECS", "BALANCER_NOW"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.chdir(tmp_path)


def files(folder: Path) -> dict[Path, bytes]:
    return {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.mark.parametrize(
    "line",
    [
        "tonight",
        "totals slipway",
        "rescale -s ras -b 54",
        "check",
        "batch list",
        "measure 54 ras",
        "sheet rail -o r.pdf",
    ],
)
def test_it_answers_from_an_empty_folder(line: str) -> None:
    """On whatever date: what is open is fresh on the demo's own evening, and the answer says which that is."""
    done = run(*line.split(), "--demo", specs=None)
    assert (done.code, done.err) == (0, "")
    last = " ".join(done.out.split("\ndemo: ")[1].split())
    assert last == "an invented bar on Wed 25 Nov 2026, 18:00; to keep one of your own: balancer start DIR --demo"


def test_json_says_it_too() -> None:
    done = run("tonight", "--demo", "--json", specs=None)
    assert done.data["date"] == "2026-11-25"
    assert done.data["demo"] == "2026-11-25T18:00:00+01:00"
    assert "demo" not in run("tonight", "--json", "--specs", str(demo_folder()), specs=None).data


def test_the_evening_is_that_of_its_log() -> None:
    """The last entry is of that working day, and none is still to come."""
    entries = read_log(demo_folder(), DEMO_EVENING).entries
    last = max(entry.at for entry in entries if entry.at)
    assert last <= DEMO_EVENING
    assert last.date() == DEMO_EVENING.date() == date(2026, 11, 25)


@pytest.mark.parametrize(
    "line",
    [
        "batch add ras 54",
        "batch empty RAS-12",
        "batch undo",
        "measure 54 ras --log",
        "set slipway raspberry 20ml --yes",
        "set raspberry standard 52 --yes",
    ],
)
def test_it_is_never_written(line: str) -> None:
    before = files(demo_folder())
    done = run(*line.split(), "--demo", specs=None)
    assert (done.code, done.out) == (1, "")
    assert done.err == "the demo is only to look at\n  a bar of your own: balancer start DIR --demo\n"
    assert files(demo_folder()) == before


def test_an_import_is_shown_and_not_written(tmp_path: Path) -> None:
    (tmp_path / "menu.csv").write_text("drink,ingredient,amount\nTwo Gulls,gold rum,60 ml\n", encoding="utf-8")
    before = files(demo_folder())
    assert run("import", "menu.csv", "--method", "shaken", "--demo", specs=None).code == 0
    done = run("import", "menu.csv", "--method", "shaken", "--write", "--demo", specs=None)
    assert (done.code, done.err.splitlines()[0]) == (1, "the demo is only to look at")
    assert files(demo_folder()) == before


def test_its_cards_are_drafts() -> None:
    before = files(demo_folder())
    done = run("cards", "slipway", "-o", "card.svg", "--demo", specs=None)
    assert (done.code, done.err) == (0, "")
    assert "not noted as printed" in done.out
    assert files(demo_folder()) == before


def test_one_bar_at_a_time() -> None:
    done = run("tonight", "--demo", "--specs", "bar", specs=None)
    assert (done.code, done.out) == (2, "")
    assert "--specs and --demo" in done.err


def test_the_demo_goes_before_the_variable() -> None:
    assert run("totals", "slipway", "--demo", specs=None, env={"BALANCER_SPECS": "nowhere"}).code == 0


def test_start_copies_it(tmp_path: Path) -> None:
    assert run("start", "bar", "--demo", specs=None).code == 0
    own = files(tmp_path / "bar")
    assert {path.relative_to(tmp_path / "bar"): raw for path, raw in own.items()} == {
        path.relative_to(demo_folder()): raw for path, raw in files(demo_folder()).items()
    }
    assert run("batch", "add", "ras", "54", "--specs", "bar", specs=None).code == 0


def test_as_the_wheel_carries_it(tmp_path: Path) -> None:
    """Laid out as the build does it, with nothing of the checkout beside: from an empty folder it answers the same."""
    with (CHECKOUT / "pyproject.toml").open("rb") as file:
        wheel = tomllib.load(file)["tool"]["hatch"]["build"]["targets"]["wheel"]
    site, empty = tmp_path / "site", tmp_path / "empty"
    empty.mkdir()
    for package in wheel["packages"]:
        shutil.copytree(CHECKOUT / package, site / package, ignore=shutil.ignore_patterns("__pycache__"))
    for source, place in wheel["force-include"].items():
        copy = shutil.copytree if (CHECKOUT / source).is_dir() else shutil.copy
        copy(CHECKOUT / source, site / place)
    done = process("tonight", "--demo", cwd=empty, env={"PYTHONPATH": str(site)})
    assert (done.code, done.err) == (0, "")
    assert done.out == run("tonight", "--demo", specs=None).out
    assert process("safety", cwd=empty, env={"PYTHONPATH": str(site)}).out == run("safety", specs=None).out
    assert process("start", "bar", "--demo", cwd=empty, env={"PYTHONPATH": str(site)}).code == 0
    assert run("check", "--specs", str(empty / "bar"), specs=None).code == 0


def test_the_copy_says_on_which_evening_it_is_fresh() -> None:
    done = run("start", "bar", "--demo", specs=None)
    assert " ".join(done.out.split()).endswith("balancer tonight --date 2026-11-25 (its log stops there)")
    tonight = run("tonight", "--date", "2026-11-25", "--specs", "bar", specs=None)
    assert tonight.first == run("tonight", "--demo", specs=None).first


def test_as_a_program(tmp_path: Path) -> None:
    done = process("tonight", "--demo", cwd=tmp_path)
    assert (done.code, done.err) == (0, "")
    assert done.first.startswith("tonight 25 Nov: ")
    assert list(tmp_path.iterdir()) == []
