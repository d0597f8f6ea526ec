"""What is typed or called by a hostile name: one line each, nothing raw on the screen, nothing endless repeated."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from balancer.unseen import INSTEAD
from tests.cli.runner import CHECKOUT, Run, copy_of_house, process, run

FORGED = "FORGED: all is well"
BREAKS = ("\n", "\r\n", "\r", "\x0b", "\x0c", "\x1c", "\x85", "\u2028", "\u2029")
TYPED = (
    ("batch", "open", "{}"),
    ("batch", "undo", "RAS-1", "{}"),
    ("batch", "{}"),
    ("measure", "54", "--syrup", "raspberry", "--cause", "{}"),
    ("pour", "20ml", "--standard", "{}", "--brix", "54"),
    ("safety", "{}"),
    ("cards", "--template", "{}", "--out", "cards.svg"),
    ("labels", "--out", "{}"),
    ("set", "{}", "raspberry", "20ml"),
)


def asked(folder: Path, words: tuple[str, ...], value: str, *more: str) -> Run:
    specs = None if words[0] in ("pour", "safety") else copy_of_house(folder)
    return run(*[word.format(value) for word in words], *more, specs=specs)


@pytest.mark.parametrize("words", TYPED, ids=" ".join)
@pytest.mark.parametrize("line_break", BREAKS, ids=ascii)
def test_nothing_typed_begins_a_line_of_its_own(tmp_path: Path, words: tuple[str, ...], line_break: str) -> None:
    """A name with a line break printed what looked like a line of the program's own."""
    done = asked(tmp_path, words, f"no{line_break}{FORGED}")
    assert done.code in (1, 2)
    assert FORGED in done.err
    assert not [line for line in done.err.splitlines() if line.lstrip().startswith(FORGED)]


@pytest.mark.parametrize("words", TYPED, ids=" ".join)
@pytest.mark.parametrize("value", ["x" * 10_000, "燈" * 10_000, f"{'x' * 5_000} {'y' * 5_000}"], ids=["x", "燈", "x y"])
@pytest.mark.parametrize("as_json", [False, True])
def test_nothing_endless_is_repeated(tmp_path: Path, words: tuple[str, ...], value: str, as_json: bool) -> None:
    """A word of 10,000 letters came back whole, in a screen and a half of nothing else."""
    done = asked(tmp_path, words, value, *["--json"] * as_json)
    assert done.code in (1, 2)
    if as_json:
        assert len(done.data["problems"][0]["message"]) < 500
    else:
        assert value[:40] in done.err
        assert "…" in done.err
        assert len(done.err) < 1_500


def test_a_path_with_a_line_break_is_one_line(tmp_path: Path) -> None:
    """`check` of a folder with such a name told its problems in lines that anybody could have written."""
    specs = copy_of_house(tmp_path, drinks__broken="drink: Broken\npours: 5\n")
    named = specs.rename(tmp_path / f"specs\n{FORGED}")
    for words in (["check"], ["check", "--json"], ["batch", "add", "raspberry", "54"]):
        done = run(*words, specs=named)
        assert not [line for line in (done.out + done.err).splitlines() if line.lstrip().startswith(FORGED)]
    told = run("check", specs=named)
    assert f"specs{INSTEAD}{FORGED}/drinks/broken.yaml:2:8" in told.out + told.err


@pytest.mark.slow
@pytest.mark.parametrize("encoding", ["utf-8", "ascii"])
def test_a_name_that_is_no_text_is_valid_json(encoding: str) -> None:
    """A file name of bytes that are no UTF-8: half a character was to be encoded, which nothing can."""
    env = {"PYTHONIOENCODING": encoding, "BALANCER_NOW": "2026-11-25T18:30+01:00"}
    for words in (["labels", "--out", "tape\udcff.svgz", "--demo"], ["import", "menu\udcff.csv", "--demo"]):
        done = process(*words, "--json", env=env)
        assert done.code in (1, 2)
        told = json.loads(done.out)["problems"][0]["message"]
        assert INSTEAD in told
        assert "\\ud" not in done.out
        assert INSTEAD in process(*words, env={**env, "PYTHONIOENCODING": "utf-8"}).err


def test_an_amount_that_is_no_text_is_told() -> None:
    """Bytes that are no UTF-8 made `set` fail."""
    done = run("set", "slipway", "raspberry", "\udc80bad", specs=CHECKOUT / "specs")
    assert done.code == 2
    assert INSTEAD in done.err
