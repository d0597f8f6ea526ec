"""A terminal's look: bold and colour where a person looks on, the width there is, and lists that --all shows whole."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import struct
import subprocess
import sys
import termios
from pathlib import Path
from typing import Any

import pytest

from balancer.cli.app import app
from balancer.cli.terminal import _LOOKS, columns_of, shows_looks, write
from balancer.files.house.demo import demo_folder
from balancer.output.words.look import Look, looking, most
from balancer.output.words.page import act, few, fine, labelled, page, tone_of, watch
from tests.cli.runner import CHECKOUT, copy_of_house, process, run
from tests.cli.test_help import ALL

pytestmark = pytest.mark.slow

_SGR = re.compile(r"\x1b\[[0-9;]*m")
AT = {"BALANCER_NOW": "2026-11-25T18:00+01:00"}


def at_terminal(*words: str, columns: int = 80, specs: Path | None = None, **env: str) -> str:
    """What a terminal of so many columns is sent."""
    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    dropped = ("NO_COLOR", "COLUMNS", "TERM", "FORCE_COLOR")
    environment = {key: value for key, value in os.environ.items() if key not in dropped}
    environment |= AT | {"PYTHONPATH": str(CHECKOUT), "TERM": "xterm", "PYTHONUTF8": "1"} | env
    command = [sys.executable, "-m", "balancer", *words, "--specs", str(specs or demo_folder())]
    with subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=theirs, stderr=theirs, env=environment) as process:
        os.close(theirs)
        sent = b""
        while True:
            try:
                sent += os.read(ours, 65536)
            except OSError:  # the other end is closed
                break
        process.wait()
    os.close(ours)
    return sent.decode().replace("\r\n", "\n")


def test_the_answer_is_bold_and_rows_have_their_colour() -> None:
    sent = at_terminal("tonight")
    lines = sent.splitlines()
    assert lines[0].startswith("\x1b[1;31mtonight 25 Nov: ")
    assert any(line.startswith("\x1b[31m") and "past its last day" in line for line in lines)
    assert any(line.startswith("\x1b[33m") and "GIN-2 ginger syrup" in line for line in lines)
    assert all(line.endswith("\x1b[0m") for line in lines if "\x1b" in line)
    assert not lines[-1].startswith("\x1b")
    assert at_terminal("check").startswith("\x1b[1;33mno problems; not known: ")


def test_the_words_say_the_same_without_it() -> None:
    """Nothing is told by colour alone: without it the text is the same."""
    plain = run("tonight", specs=demo_folder(), env=AT)
    assert _SGR.sub("", at_terminal("tonight")) == plain.out
    assert "\x1b" not in plain.out


@pytest.mark.parametrize("env", [{"NO_COLOR": "1"}, {"TERM": "dumb"}])
def test_it_can_be_switched_off(env: dict[str, Any]) -> None:
    assert "\x1b" not in at_terminal("totals", "nonsuch", **env)
    assert "\x1b[1;31mno drink is called" in at_terminal("totals", "nonsuch")


class Terminal:
    """What stands for a terminal."""

    def __init__(self) -> None:
        self.sent = ""

    def isatty(self) -> bool:
        return True

    def write(self, text: str) -> int:
        self.sent += text
        return len(text)

    def flush(self) -> None: ...


def test_no_look_comes_from_a_text(monkeypatch: pytest.MonkeyPatch) -> None:
    """A name with escape sequences, and lines past those that were laid out."""
    for name in ("NO_COLOR", "TERM"):
        monkeypatch.delenv(name, raising=False)
    terminal = Terminal()
    assert shows_looks(terminal)  # type: ignore[arg-type]
    text = page("\x1b[2J\x9b31mRed", [act("\x1b]0;title\x07"), "\x1b[0m"], "x")
    write(text, terminal, text.looks)  # type: ignore[arg-type]
    assert terminal.sent == "\x1b[1m�[2J�31mRed\x1b[0m\n\x1b[31m  �]0;title�\x1b[0m\n  �[0m\nmore: x\n"


def test_every_tone_has_its_look() -> None:
    tones = [tone_of(mark("x")) for mark in (act, watch, fine)]
    assert tones == ["act", "watch", "fine"]
    assert {*tones, "answer"} == set(_LOOKS)
    assert tone_of("x") == ""
    row = act(labelled("heed", "it"))
    assert (row, tone_of(row), type(row)) == (labelled("heed", "it"), "act", type(labelled("a", "b")))
    with looking(Look(50)):
        assert page(fine("a " * 40), [watch("b " * 40)], "c").looks == ("answer fine",) * 2 + ("watch",) * 2


@pytest.mark.parametrize(("columns", "used"), [(30, 50), (64, 64), (300, 160)])
def test_the_width_there_is_is_used(columns: int, used: int) -> None:
    lines = _SGR.sub("", at_terminal("tonight", "--all", columns=columns)).splitlines()
    assert max(map(len, lines)) <= used
    if used > 100:
        assert max(map(len, lines)) > 80


def test_elsewhere_it_is_80_columns(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("COLUMNS", "120")
    with (tmp_path / "file").open("w") as file:
        assert columns_of(file) == 80
    wide = process("tonight", "--all", "--specs", str(demo_folder()), env={"COLUMNS": "120", **AT})
    assert max(map(len, wide.out.splitlines())) <= 80


_SLOW = pytest.mark.slow


@pytest.mark.parametrize("columns", [50, 160, *(pytest.param(width, marks=_SLOW) for width in (57, 80, 133))])
def test_every_answer_fits_every_width(columns: int) -> None:
    """In this process: what is laid out for a width fits it, whatever the command."""
    lines = ["tonight -a", "rescale -s ras -b 54", "measure 54 ras", "batch list -a", "compare", "fits slipway",
             "swap slipway --out ras", "totals slipway", "totals", "totals slipway --against winter",
             "make ras", "chart ras", "bottle slipway --serves 12",
             "correct -B STR-1", "aim agave --for honey", "standardise", "batch show RAS-12"]  # fmt: skip
    for line in lines:
        text = laid_out(line, Look(columns))
        too_wide = [row for row in text.splitlines() if len(row) > columns]
        assert [row for row in too_wide if not row.lstrip().startswith("balancer ")] == [], line


def laid_out(line: str, look: Look) -> str:
    """The answer of a command, laid out by a look."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr("balancer.cli.runner.Look", lambda *_, **__: look)
        return run(*line.split(), specs=demo_folder(), env=AT).out


def test_a_list_is_cut_and_says_how_to_see_it_whole() -> None:
    rows = [str(number) for number in range(12)]
    assert few(rows, 8) == (rows[:8], ["--all shows 4 more rows"])
    assert few(rows, 11, "drinks") == (rows[:11], ["--all shows 1 more drink"])
    assert few(rows, 12) == (rows, [])
    with looking(Look(everything=True)):
        assert few(rows, 8) == (rows, [])
        assert most(3) > len(rows)
    assert most(3) == 3


@pytest.mark.parametrize(
    "line",
    ["tonight", "rescale -s ras -b 54", "fits slipway", "compare", "make ras", "sheet allergens -o a.svg",
     "measure 54 ras", "totals slipway", "totals", "totals slipway --against winter",
     "aim simple --for rich", "swap slipway --out ras"],
)  # fmt: skip
def test_with_all_nothing_is_held_back(line: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    short, whole = (run(*line.split(), *more, specs=demo_folder(), env=AT).out for more in ((), ("--all",)))
    assert "--all shows" not in " ".join(whole.split())
    assert not re.search(r"\d+ more", whole)
    assert len(whole.splitlines()) >= len(short.splitlines()) - 2
    if "--all shows" in " ".join(short.split()):
        assert len(whole.splitlines()) > 10


def test_whatever_may_be_cut_has_all() -> None:
    """Screens that cut a list, by their own words, belong to commands that take --all."""
    import typer  # noqa: PLC0415

    screens = CHECKOUT / "balancer" / "output" / "screen"
    cutting = {path.stem for path in screens.glob("*.py") if re.search(r"\b(few|some|most|listed)\(", path.read_text())}
    assert {"tonight", "rescale", "fits", "compare"} - {"tonight"} <= cutting
    called = {"allergens": ("sheet", "allergens"), "prep": ("sheet", "prep"), "rail": ("sheet", "rail"),
              "import_": ("import",), "edit": ("set",), "against": ("totals",), "menu_totals": ("totals",),
                  "kept_drinks": ("set",)}  # fmt: skip
    without = []
    for stem in cutting:
        path = called.get(stem, (stem,))
        command = typer.main.get_command(app)
        for word in path:
            command = command.get_command(None, word)  # type: ignore[attr-defined]
        if not any("--all" in one.opts for one in command.params):
            without.append(stem)
        assert path in ALL
    assert without == []


def test_names_stay_whole(tmp_path: Path) -> None:
    """However long, and however narrow the terminal: what runs on is indented, nothing is cut."""
    name = "The Two Cabmen of the Old Corn Exchange and Their Remarkable Umbrella"
    text = f"drink: {name}\nmethod: shaken\npours:\n  - 45 ml gold rum\n  - 30 ml berry syrup\n  - 20 ml lime juice\n"
    specs = copy_of_house(tmp_path, drinks__long=text)
    for line in ("totals the two", "totals --sort name --all", "totals the two --against anchor",
                 "rescale -s berry -b 56", "fits the-two", "swap the two --out berry --in plain",
                 "swap --all --out berry --in plain"):  # fmt: skip
        out = " ".join(run(*line.split(), specs=specs, env=AT).out.split())
        assert name in out, line
        assert "…" not in out


def test_a_guest_is_warned_of_everything_in_every_row() -> None:
    """Across the menu too: an allergen, told once, does not hide the alcohol in a drink that had none."""
    done = run("swap", "--all", "--out", "raspberry", "--in", "sweet-vermouth", specs=demo_folder(), env=AT)
    row = " ".join(done.out.partition("\n  Deckhand's Cooler:")[2].split())
    assert row.startswith("not a swap: puts 16.4 g alcohol into a drink without; 30 → 130 ml")
    # Pontoon Punch has wine, and so sulphites, already.
    assert " ".join(done.out.split()).count("allergen gained: sulphites, but for Pontoon Punch; for the spec") == 1
