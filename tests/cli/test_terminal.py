"""Terminals and pipes as they are: few characters, closed early, full."""

from __future__ import annotations

import io
import os
import subprocess
import sys
import unicodedata
from pathlib import Path

import pytest

from balancer.cli.terminal import PLAIN_SPELLING, ask, choose, spell_plainly, write
from tests.cli.runner import HOUSE, copy_of_house, process, run

pytestmark = pytest.mark.slow

SPECS = ("--specs", str(HOUSE))
RESCALE = ("rescale", "--syrup", "berry", "--brix", "54", *SPECS)


@pytest.fixture(autouse=True)
def _plainly(monkeypatch: pytest.MonkeyPatch) -> None:
    """Registers the spelling, without touching the test run's own streams."""
    for stream in ("stdout", "stderr"):
        monkeypatch.setattr(sys, stream, io.StringIO())
    spell_plainly()


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("20 → 17.5 ml", "20 -> 17.5 ml"),
        ("sugar −2 %", "sugar -2 %"),  # a question mark would leave +2 and −2 alike
        ("54 °Bx", "54 Bx"),
        ("1½ oz, ½ oz", "1 1/2 oz,  1/2 oz"),  # never 11/2
        ("52 ±4 %, ≥7 g", "52 +/-4 %, >=7 g"),
        ("3 × 4 ÷ 2", "3 x 4 / 2"),
        ("Crème de Cassis, Łódź, jalapeño", "Creme de Cassis, Lodz, jalapeno"),
        ("燈台", "??"),
    ],
)
def test_plain_spelling(text: str, plain: str) -> None:
    assert text.encode("ascii", PLAIN_SPELLING).decode("ascii") == plain


@pytest.mark.parametrize(
    ("environment", "encoding"),
    [
        ({"PYTHONIOENCODING": "ascii"}, "ascii"),
        ({"PYTHONIOENCODING": "latin-1"}, "latin-1"),
        ({"LC_ALL": "C"}, "utf-8"),
    ],
)
def test_a_terminal_with_few_characters(environment: dict[str, str], encoding: str) -> None:
    done = process(*RESCALE, env=environment, encoding=encoding)
    assert (done.code, done.err) == (0, "")
    assert done.first.replace("->", "→").replace("|", "·") == "change pours: berry syrup 20 → 17.5 · 22.5 → 20 ml"
    assert "sugar -2 % (was +10 %)" in done.out.replace("−", "-")


@pytest.mark.slow
def test_json_keeps_every_character() -> None:
    """As escapes where the pipe cannot hold them."""
    done = process("totals", "燈台", "--json", *SPECS, env={"PYTHONIOENCODING": "ascii"})
    assert done.out.isascii()
    assert done.data == run("totals", "燈台", "--json").data
    assert done.data["name"] == "燈台守の夏の夕暮れのサワー"


@pytest.mark.slow
@pytest.mark.parametrize("arguments", [RESCALE, (*RESCALE, "--json"), ("--help",)])
def test_a_reader_that_leaves_is_no_fault(arguments: tuple[str, ...]) -> None:
    reader, writer = os.pipe()
    os.close(reader)
    try:
        done = process(*arguments, stdout=writer, stderr=subprocess.PIPE, capture_output=False)
    finally:
        os.close(writer)
    assert done.err == ""
    assert done.code in (0, 1)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
@pytest.mark.slow
def test_a_full_disk_is_told() -> None:
    with Path("/dev/full").open("wb") as full:
        done = process(*RESCALE, stdout=full, stderr=subprocess.PIPE, capture_output=False)
    assert (done.code, done.err) == (1, "the answer cannot be written: No space left on device\n")


@pytest.mark.slow
def test_no_colours_in_a_pipe() -> None:
    for arguments in (RESCALE, ("bogus",)):
        done = process(*arguments, env={"FORCE_COLOR": "1", "TERM": "xterm-256color"})
        assert "\x1b" not in done.out + done.err


def test_no_control_characters_from_a_name() -> None:
    done = run("totals", "\x1b[31mred\x07")
    assert done.code == 2
    assert [char for char in done.err if unicodedata.category(char) == "Cc" and char != "\n"] == []


@pytest.mark.parametrize(
    "code", [0x061C, 0x200E, 0x200F, 0x2028, 0x2029, *range(0x202A, 0x202F), *range(0x2066, 0x206A)]
)
def test_nothing_turns_the_direction_of_a_line(tmp_path: Path, code: int) -> None:
    """Unicode's Bidi_Control characters (UAX #9, table of the Unicode Character Database), and its line ends."""
    specs = copy_of_house(tmp_path)
    name = f"Two{chr(code)}Faced"
    (specs / "drinks" / "two.yaml").write_text(
        f'drink: "{name}"\nmethod: built\npours:\n  - 20 ml lime juice\n', encoding="utf-8"
    )
    for line in (("totals", name), ("totals", f"no{chr(code)}body"), ("check",)):
        done = run(*line, specs=specs)
        assert chr(code) not in done.out + done.err
    told = run("totals", name, "--json", specs=specs)
    assert chr(code) not in told.out
    if code not in (0x2028, 0x2029):  # a line end is no part of a name: that drink does not load
        assert told.data["name"] == name


def test_what_is_asked_turns_nothing_either(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("\n"))
    assert not ask("Is \u202e\x1b[1m meant?")
    choose("which \u202e?", ["\x1b[1mred", "\u2066blue"])
    said = capsys.readouterr().err
    assert "meant?" in said
    assert "blue" in said
    assert not {"\u202e", "\u2066", "\x1b"} & set(said)


@pytest.mark.parametrize("sign", ["\u202e", "\u200b", "\u2060", "\u00ad", "\u200d"])
def test_a_name_with_a_sign_that_nobody_sees_is_told_where_it_stands_and_shown(tmp_path: Path, sign: str) -> None:
    specs = copy_of_house(tmp_path, drinks__two=f"drink: Two{sign}Faced\nmethod: built\npours:\n  - 20 ml lime juice\n")
    shown = run("totals", "two", specs=specs)
    assert shown.out.startswith("Two�Faced")
    assert sign not in shown.out + shown.err
    told = run("check", specs=specs)
    assert told.code == 1
    assert f"two.yaml:1:11: in this name stands U+{ord(sign):04X}, which " in told.out + told.err
    assert sign not in told.out + told.err
    for line in (("totals", "two", "--json"), ("check", "--json")):
        done = run(*line, specs=specs)
        assert sign not in done.out.replace("\\u", "") or sign == "\u200d"
    assert run("totals", "two", "--json", specs=specs).data["name"] == f"Two{sign}Faced"


@pytest.mark.parametrize("name", ["می\u200cخواهم", "क्\u200dष", "👩\u200d🍳 Julep"])
def test_a_name_that_is_written_with_joiners_keeps_them(tmp_path: Path, name: str) -> None:
    specs = copy_of_house(tmp_path, drinks__two=f"drink: {name}\nid: two\nmethod: built\npours: [20 ml lime juice]\n")
    assert run("totals", "two", specs=specs).out.startswith(name)
    assert "U+200" not in run("check", specs=specs).out


@pytest.mark.slow
def test_a_name_that_is_no_text() -> None:
    """Bytes that no encoding reads, as a shell may pass them."""
    done = process("totals", os.fsdecode(b"\xff\xfe"), *SPECS)
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith('no drink is called "')


def test_a_fault_of_ours_is_told_without_a_traceback(tmp_path: Path) -> None:
    """Whatever goes wrong inside, a person sees two lines; BALANCER_DEBUG shows the rest."""
    (tmp_path / "balancer_fault.py").write_text(
        "import balancer.files.house.load as module\n\n"
        "def load(*_, **__):\n    raise RuntimeError('boom')\n\nmodule.load = load\n"
    )
    code = "import balancer_fault; from balancer.cli.app import main; main()"
    path = os.pathsep.join([str(tmp_path), str(Path(__file__).parent.parent.parent)])
    command = [sys.executable, "-c", code, "check", *SPECS]
    done = subprocess.run(command, env={**os.environ, "PYTHONPATH": path}, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.startswith("this is a fault of the program, not yours: RuntimeError: boom\n  please report it")
    assert "Traceback" not in done.stderr
    debug = {**os.environ, "PYTHONPATH": path, "BALANCER_DEBUG": "1"}
    assert "Traceback" in subprocess.run(command, env=debug, capture_output=True, text=True, check=False).stderr


def test_a_caret_stands_under_wide_characters(tmp_path: Path) -> None:
    specs = copy_of_house(
        tmp_path, drinks__wide="drink: 朝霧\nmethod: shaken\npours:\n  - {pour: 20 ml, of: 朝霧の酒}\n"
    )
    done = run("check", specs=specs)
    lines = done.out.splitlines()
    at = next(at for at, line in enumerate(lines) if "^^" in line)
    line, caret = lines[at - 1 : at + 1]
    place = line.index("朝霧の酒")
    wide = sum(2 if unicodedata.east_asian_width(char) in "WF" else 1 for char in line[:place])
    assert caret.index("^") == wide
    assert caret.count("^") == 8


class _Gone(io.StringIO):
    def write(self, _: str) -> int:
        raise BrokenPipeError

    def fileno(self) -> int:
        return self.descriptor

    descriptor: int


def test_after_a_reader_has_left_nothing_more_is_tried(tmp_path: Path) -> None:
    """The stream is turned to nowhere, so that what is left in its buffer cannot fail at the end."""
    with (tmp_path / "file").open("wb") as stands_for_the_pipe:
        gone = _Gone()
        gone.descriptor = stands_for_the_pipe.fileno()
        write("text", gone)
        assert os.path.samestat(os.fstat(gone.descriptor), Path(os.devnull).stat())
