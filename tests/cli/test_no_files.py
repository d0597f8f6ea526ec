"""A pipe, an endless device or a folder in the place of any file that is read: told with its path, never waited for."""

from __future__ import annotations

import json
import os
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Final

import pytest

from tests.cli.runner import CHECKOUT, copy_of_house, process

pytestmark = [pytest.mark.slow, pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="Windows has no such files")]

SECONDS: Final = 60.0
"""Nothing that waits for a pipe, or reads a device to its end, is through by then."""

Put = Callable[[Path], None]


def linked(to: str) -> Put:
    return lambda path: path.symlink_to(to)


KINDS: Final[dict[str, Put]] = {
    "pipe": os.mkfifo,
    "zeros": linked("/dev/zero"),
    "standard input": linked("/dev/stdin"),
    "folder": Path.mkdir,
}
LOOKS: Final = {
    "mark.png": "look: {logo: mark.png}",
    "mark.svg": "look: {logo: mark.svg}",
    "card.typ": "look: {template: card.typ}",
    "fonts": "look: {fonts: fonts}",
    "base": "base: base",
}
FILES: Final = (
    *("house.yaml", "batches.yaml", "drinks/new.yaml", "syrups/new.yaml", "ingredients/new.yaml", "printed.json"),
    *("overrides.yaml", "drinks", "syrups"),
    *LOOKS,
)


@pytest.fixture
def endless() -> Iterator[int]:
    """A pipe that never ends, to be standard input: somebody holds its other end, and writes nothing."""
    ours, theirs = os.pipe()
    yield ours
    os.close(ours)
    os.close(theirs)


def put(specs: Path, name: str, kind: str) -> None:
    """Something else in the place of a file or folder; what names it says so."""
    path = specs / name
    if path.is_dir():
        path.rename(specs / f"{name}-away")
    path.unlink(missing_ok=True)
    KINDS[kind](path)
    if name in LOOKS:
        house = specs / "house.yaml"
        house.write_text(f"{house.read_text(encoding='utf-8')}\n{LOOKS[name]}\n", encoding="utf-8")


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", FILES)
def test_a_house_with_what_is_no_file_answers(tmp_path: Path, endless: int, name: str, kind: str) -> None:
    specs = copy_of_house(tmp_path)
    put(specs, name, kind)
    printed = name in LOOKS or name == "printed.json"
    other = ["cards", "--changed", "--out", str(tmp_path / "card.svg")] if printed else ["batch", "add", "berry", "54"]
    for words in (["check", "--json"], other):
        done = process(*words, "--specs", str(specs), stdin=endless, timeout=SECONDS)
        assert done.code in (0, 1, 2), done.err
        if words[0] != "check" or (kind == "folder" and name in ("drinks", "syrups", "fonts", "base")):
            continue
        if name not in ("printed.json", "overrides.yaml"):  # what nobody asked for
            told = [one for one in json.loads(done.out)["problems"] if name in f"{one['path']}{one['message']}"]
            assert told, done.out
            assert all(one["remedy"] for one in told)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(
    "words",
    [
        ("import", "{}"),
        ("import", "menu.csv", "--map", "{}"),
        ("totals", "slipway", "--against", "{}"),
        ("cards", "--template", "{}", "--out", "card.svg"),
        ("check", "{}"),
        ("tonight", "--specs", "{}"),
    ],
    ids=" ".join,
)
def test_what_is_named_and_is_no_file_is_told(tmp_path: Path, endless: int, words: tuple[str, ...], kind: str) -> None:
    """`import` of a pipe waited for ever."""
    if kind == "folder" and ("check" in words or "--specs" in words):
        pytest.skip("there a folder is wanted")
    named = tmp_path / "odd.yaml"
    KINDS[kind](named)
    (tmp_path / "menu.csv").write_text("Drink,Ingredient,Amount,Method\nA,gin,50 ml,stir\n", encoding="utf-8")
    specs = [] if words[0] == "check" or "--specs" in words else ["--specs", str(CHECKOUT / "specs")]
    typed = [word.format(named) for word in words]
    done = process(*typed, *specs, cwd=tmp_path, stdin=endless, timeout=SECONDS)
    assert done.code in (1, 2)
    assert "odd.yaml" in done.err + done.out


@pytest.mark.parametrize("named", ["/dev/zero", "/dev/stdin", "/dev/null", "/dev/urandom"])
def test_a_device_is_no_sheet(endless: int, named: str) -> None:
    done = process("import", named, "--demo", stdin=endless, timeout=SECONDS)
    assert done.code == 1
    assert f'"{named}"' in done.err


def test_names_are_completed_beside_a_pipe(tmp_path: Path) -> None:
    """TAB waits for nothing, and says nothing."""
    specs = copy_of_house(tmp_path)
    os.mkfifo(specs / "drinks" / "pipe.yaml")
    os.mkfifo(specs / "batches.yaml")
    env = {
        "_BALANCER_COMPLETE": "complete_bash",
        "COMP_WORDS": f"balancer batch open --specs {specs} ",
        "COMP_CWORD": "5",
    }
    try:
        done = process(env=env, timeout=SECONDS)
    except subprocess.TimeoutExpired:
        pytest.fail("it waits")
    assert done.err == ""
