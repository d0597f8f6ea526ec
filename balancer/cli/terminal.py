"""Writing to a terminal or pipe as it is: one that knows few characters, has closed, or is full; and asking at one."""

from __future__ import annotations

import codecs
import os
import shutil
import sys
import unicodedata
from collections.abc import Sequence
from typing import Final, TextIO

from balancer.unseen import seen

PLAIN_SPELLING: Final = "balancer.plain"
"""Name of the error handler that spells what an encoding lacks: a − that came out as ? would lose its meaning."""

_PLAIN: Final = {
    "−": "-", "–": "-", "×": "x", "÷": "/", "→": "->", "≥": ">=", "≤": "<=", "±": "+/-", "·": "|", "…": "...",
    "°": "", "’": "'", "‘": "'", "“": '"', "”": '"', "⁄": "/",
    "ł": "l", "Ł": "L", "ø": "o", "Ø": "O", "æ": "ae", "ß": "ss",
}  # fmt: skip


_LOOKS: Final = {"answer": "1", "act": "31", "watch": "33", "fine": "32"}
"""Bold, red, yellow and green. The words of a line say what its colour does."""


def spell_plainly() -> None:
    """Let standard output and standard error spell what their encoding lacks, instead of failing."""
    codecs.register_error(PLAIN_SPELLING, _spelling)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors=PLAIN_SPELLING)


def knows_every_character(stream: TextIO) -> bool:
    """Whether a stream's encoding can hold any text."""
    return (stream.encoding or "").casefold().replace("-", "").startswith("utf")


def columns_of(stream: TextIO) -> int:
    """The columns of a terminal, as far as they make good lines; 80 of anything else, which nobody looks at."""
    if not stream.isatty():
        return 80
    return min(max(shutil.get_terminal_size((80, 24)).columns, 50), 160)


def shows_looks(stream: TextIO) -> bool:
    """Whether a stream is a terminal that shows bold and colours, and nobody said that it should not."""
    if not stream.isatty() or os.environ.get("NO_COLOR"):
        return False
    term = os.environ.get("TERM")
    return term != "dumb" and (os.name != "nt" or bool(term or os.environ.get("WT_SESSION")))


def _with_looks(text: str, looks: Sequence[str]) -> str:
    """A text with bold and colour, a line each. Nothing in it can begin a look by itself any more."""
    lines = text.split("\n")
    for place, look in enumerate(looks[: len(lines)]):
        codes = ";".join(_LOOKS[word] for word in look.split())
        if codes and lines[place]:
            lines[place] = f"\x1b[{codes}m{lines[place]}\x1b[0m"
    return "\n".join(lines)


def write(text: str, stream: TextIO, looks: Sequence[str] = ()) -> None:
    """Write a text and a line end. looks says what the lines are, as far as it goes; a terminal shows it.

    A reader that has gone (`| head`) has had enough, and that is no fault. Leaves with 1 when the
    answer cannot be written, for want of room.
    """
    try:
        clean = seen(text)
        stream.write((_with_looks(clean, looks) if looks and shows_looks(stream) else clean) + "\n")
        stream.flush()
    except OSError as error:
        # What is left in the buffer would fail again when the program ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
        if isinstance(error, BrokenPipeError):
            return
        if stream is not sys.stderr:
            sys.stderr.write(f"the answer cannot be written: {error.strerror}\n")
        raise SystemExit(1) from None


def ask(question: str) -> bool:
    """Ask a person at the terminal; no is the answer unless they say yes."""
    sys.stderr.write(f"{seen(question)} [y/N] ")
    sys.stderr.flush()
    said = sys.stdin.readline()
    if not said.endswith("\n"):  # Ctrl-D leaves the cursor behind the question
        sys.stderr.write("\n")
    return said.strip().casefold() in ("y", "yes")


def choose(question: str, options: Sequence[str]) -> str | None:
    """Ask a person at the terminal which of some things is meant, by its number or name; None when they say neither."""
    listed = "".join(f"  {number} {option}\n" for number, option in enumerate(options, start=1))
    sys.stderr.write(seen(f"{question}\n{listed}") + f"which one? [1-{len(options)}] ")
    sys.stderr.flush()
    line = sys.stdin.readline()
    if not line.endswith("\n"):
        sys.stderr.write("\n")
    said = line.strip().casefold()
    by_number = {str(number): option for number, option in enumerate(options, start=1)}
    return by_number.get(said) or next((option for option in options if option.casefold() == said), None)


def say(text: str, *, asks: bool = False) -> str | None:
    """Say something to a person at the terminal; where it asks, the line they type, None when they close it."""
    sys.stderr.write(seen(text) + ("" if asks else "\n"))
    sys.stderr.flush()
    if not asks:
        return None
    line = sys.stdin.readline()
    if not line.endswith("\n"):
        sys.stderr.write("\n")
    return " ".join(line.split()) if line else None


def _spelling(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(_plain(char) for char in error.object[error.start : error.end]), error.end


def _plain(char: str) -> str:
    known = _PLAIN.get(char)
    if known is not None:
        return known
    decomposed = unicodedata.normalize("NFKD", char).replace("⁄", "/")
    letters = decomposed.encode("ascii", "ignore").decode()
    return f" {letters}" if "/" in letters else letters or "?"  # 1½ is 1 1/2, not 11/2
