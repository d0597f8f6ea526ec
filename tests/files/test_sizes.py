"""No file is read that is larger than its kind may be: one message, with the file, its size, the limit, what to do."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from balancer.files import sizes
from balancer.files.house.overrides import read_seen
from balancer.files.house.print_look import read_look
from balancer.files.reading import SizeLimit, TooLargeError, read_bytes, unreadable
from balancer.web.keys import kept_key
from balancer.web.ticks import Ticks
from tests.cli.runner import CHECKOUT, Run, copy_of_house, run

MB = 1024 * 1024
LIMITS = {name: limit for name, limit in vars(sizes).items() if isinstance(limit, SizeLimit)}


def grow(path: Path, size: int, start: bytes = b"") -> Path:
    """A file of so many bytes, most of them no bytes of the disk."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(start)
    os.truncate(path, size)
    return path


def one_line(done: Run) -> str:
    return " ".join((done.out + done.err).split())


@pytest.mark.parametrize("name", LIMITS)
def test_a_file_as_large_as_its_limit_is_read_and_a_larger_one_told(tmp_path: Path, name: str) -> None:
    limit = LIMITS[name]._replace(most=3 * MB)
    assert LIMITS[name].most >= MB
    path = grow(tmp_path / "file", limit.most)
    assert len(read_bytes(path, limit)) == limit.most
    grow(path, limit.most + 1)
    with pytest.raises(TooLargeError) as caught:
        read_bytes(path, limit)
    told = unreadable(path, caught.value, "the file")
    assert (told.code, told.path, told.remedy) == ("too-large", str(path), limit.remedy)
    assert told.message == "the file cannot be read: it is 3.1 MB, and at most 3 MB are read"


def test_what_tells_no_size_is_read_no_further() -> None:
    """What the system makes up while it is read has a size of nothing."""
    made_up = Path("/proc/self/maps")
    if not made_up.is_file():
        pytest.skip("no such file on this system")
    assert made_up.stat().st_size == 0
    with pytest.raises(TooLargeError):
        read_bytes(made_up, SizeLimit(10, "nothing"))


Ask = Callable[[Path, Path], Run]


@pytest.mark.parametrize(
    ("name", "limit", "ask"),
    [
        ("specs/house.yaml", sizes.SPECS, lambda specs, _: run("check", specs=specs)),
        ("specs/drinks/sours.yaml", sizes.SPECS, lambda specs, _: run("check", specs=specs)),
        ("specs/batches.yaml", sizes.LOG, lambda specs, _: run("batch", "list", specs=specs)),
        ("specs/batches.yaml", sizes.LOG, lambda specs, _: run("batch", "add", "plain", specs=specs)),
        (
            "specs/printed.json",
            sizes.CARDS,
            lambda specs, path: run("cards", "--out", str(path.parent / "cards.pdf"), specs=specs),
        ),
        ("menu.csv", sizes.SHEET, lambda specs, path: run("import", str(path), specs=specs)),
        (
            "menu.map.yaml",
            sizes.SPECS,
            lambda specs, path: run("import", str(path.parent / "menu.csv"), "--map", str(path), specs=specs),
        ),
        (
            "other.yaml",
            sizes.SPECS,
            lambda specs, path: run("totals", "anchor", "--against", str(path), specs=specs),
        ),
        (
            "card.typ",
            sizes.TEMPLATE,
            lambda specs, path: run(
                "cards", "--template", str(path), "--out", str(path.parent / "cards.pdf"), specs=specs
            ),
        ),
    ],
)
def test_every_command_says_so_of_whatever_it_reads(tmp_path: Path, name: str, limit: SizeLimit, ask: Ask) -> None:
    specs = copy_of_house(tmp_path)
    (tmp_path / "menu.csv").write_text("Drink,Item,Qty\nOne,gold rum,60 ml\n", encoding="utf-8")
    path = grow(tmp_path / name, limit.most + 1)
    done = ask(specs, path)
    told = one_line(done)
    assert done.code == 1
    assert f"it is {limit.most // MB}.1 MB, and at most {limit.most // MB} MB are read" in told
    assert limit.remedy in told
    assert path.name in told
    assert path.stat().st_size == limit.most + 1


def test_notes_and_fonts(tmp_path: Path) -> None:
    grow(tmp_path / "overrides.yaml", sizes.NOTES.most + 1)
    seen, (told,) = read_seen(tmp_path)
    assert (seen, told.code, told.remedy) == ((), "too-large", sizes.NOTES.remedy)
    (tmp_path / "house.yaml").write_text("format: 1\nlook: {fonts: fonts, family: Quay}\n", encoding="utf-8")
    grow(tmp_path / "fonts" / "quay.otf", sizes.FONT.most + 1)
    look, problems = read_look(tmp_path)
    assert (look.fonts, problems[0].code, problems[0].remedy) == (None, "fonts", sizes.FONT.remedy)
    font = tmp_path / "fonts" / "quay.otf"
    assert problems[0].message == f'the font "{font}" is not read: it is 64.1 MB, and at most 64 MB are read'


def test_the_state_of_the_page_is_made_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody wrote that: a key of its length is no key that was made here."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    key = kept_key(tmp_path)
    (path,) = (tmp_path / "state" / "balancer").iterdir()
    assert kept_key(tmp_path) == key
    path.write_bytes(path.read_bytes() + b" " * sizes.STATE.most)
    assert kept_key(tmp_path) != key
    ticks, day = Ticks(tmp_path), date(2026, 11, 25)
    ticks.path.write_text(json.dumps({"day": "2026-11-25", "ticks": {"one": ["18:00", "Noor"]}}), encoding="utf-8")
    assert [*ticks.of(day)] == ["one"]
    ticks.path.write_bytes(ticks.path.read_bytes() + b" " * sizes.STATE.most)
    assert ticks.of(day) == {}


def test_the_guide_tells_every_limit() -> None:
    page = (CHECKOUT / "docs" / "how-to" / "keep-specs-safe.md").read_text(encoding="utf-8")
    said = sorted(re.findall(r"^\| .* \| (\d+) MB \|$", page, re.MULTILINE))
    assert said == sorted(
        str(limit.most // MB) for name, limit in LIMITS.items() if name not in {"STATE", "CARDS", "MARK"}
    )
