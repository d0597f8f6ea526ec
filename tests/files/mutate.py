"""Good files made bad at random, the same way for the same seed."""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from typing import Final

from tests.files.folders import SOUND

# What trips a YAML reader or a number parser, put anywhere.
_THORNS: Final = (
    *("&a ", "*a", "!x ", "<<: *a", "!!str ", "\t", "- ", "---\n", "...\n", "%YAML 1.1\n", "? ", ": ", ":", "#2", " #"),
    *("{", "}", "[", "]", '"', "'", "|", ">", "@", "`", "~", "\\", '"\\q"', "null", "0x1F", ".inf", "nan", "1e999"),
    *(
        "22,5",
        "1,000",
        "½",
        "1/0 oz",
        "½½",
        "-5 ml",
        "999999999999",
        "9" * 400,
        "{pour: 1,5 ml, of: gold rum}",
        "rinse",
    ),
    *("\u2028", "\u0085", "\ufeff", "\x00", "\x1b", "é", "𝒳", "\u200b", "\ud7ff", "\uffff", "\r", "\r\n", "\n", "\n\t"),
    *(
        "id: x\n",
        "id: gold rum\n",
        "also: [gold rum, gold rum]\n",
        "drink: x\n",
        "syrup: x\n",
        "format: 2\n",
        "pours:\n",
    ),
    *("[" * 40, "{a: " * 40, "- " * 40, "x" * 3000, " " * 3000),
)
Mutation = Callable[[bytes, random.Random], bytes]


def _flip(raw: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(raw))
    return raw[:at] + bytes([chance.randrange(256)]) + raw[at + 1 :]


def _cut(raw: bytes, chance: random.Random) -> bytes:
    return raw[: chance.randrange(len(raw))]


def _thorn(raw: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(raw) + 1)
    return raw[:at] + chance.choice(_THORNS).encode() + raw[at:]


def _any_character(raw: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(raw) + 1)
    code = chance.choice((chance.randrange(0x20), chance.randrange(0x80, 0x3000), chance.randrange(0xE000, 0x110000)))
    return raw[:at] + chr(code).encode() + raw[at:]


def _lines(change: Callable[[list[bytes], int, random.Random], None]) -> Mutation:
    def mutate(raw: bytes, chance: random.Random) -> bytes:
        lines = raw.splitlines(keepends=True)
        change(lines, chance.randrange(len(lines)), chance)
        return b"".join(lines)

    return mutate


def _repeat(lines: list[bytes], at: int, chance: random.Random) -> None:
    lines.insert(chance.randrange(len(lines) + 1), lines[at])


def _indent(lines: list[bytes], at: int, chance: random.Random) -> None:
    lines[at] = b" " * chance.randrange(1, 5) + lines[at]


def _outdent(lines: list[bytes], at: int, chance: random.Random) -> None:
    lines[at] = lines[at][chance.randrange(1, 4) :]


def _drop(lines: list[bytes], at: int, _chance: random.Random) -> None:
    del lines[at]


_TOKEN: Final = re.compile(rb"[\w.%\xc2\xb0/-]+|\s+|.", re.DOTALL)
"""Words and numbers, blanks, and signs by themselves: as YAML parts them, near enough."""


def _tokens(raw: bytes, chance: random.Random) -> bytes:
    """One token dropped, doubled, put elsewhere, or changed for another of the file."""
    tokens = _TOKEN.findall(raw)
    one, other = chance.randrange(len(tokens)), chance.randrange(len(tokens))
    change = chance.randrange(4)
    if change == 0:
        del tokens[one]
    elif change == 1:
        tokens.insert(one, tokens[one])
    elif change == 2:
        tokens.insert(other, tokens.pop(one))
    else:
        tokens[one], tokens[other] = tokens[other], tokens[one]
    return b"".join(tokens)


def _endings(raw: bytes, chance: random.Random) -> bytes:
    return raw.replace(b"\n", chance.choice((b"\r\n", b"\r", b"\n\r", b"\n\n", b"\xe2\x80\xa8")))


def _mark(raw: bytes, _chance: random.Random) -> bytes:
    return b"\xef\xbb\xbf" + raw


def _other_encoding(raw: bytes, chance: random.Random) -> bytes:
    text = raw.decode("utf-8", errors="replace")
    return text.encode(chance.choice(("utf-16", "utf-16-le", "utf-32", "cp1252")), errors="replace")


_MUTATIONS: Final[tuple[Mutation, ...]] = (
    *(_flip, _cut, _thorn, _thorn, _thorn, _thorn, _any_character),
    *(_lines(_repeat), _lines(_indent), _lines(_outdent), _lines(_drop)),
    *(_endings, _mark, _other_encoding, _tokens, _tokens),
)


def mutate(raw: bytes, chance: random.Random) -> bytes:
    """A text after one to six mutations."""
    for _ in range(chance.choice((1, 1, 1, 2, 3, 6))):
        raw = chance.choice(_MUTATIONS)(raw or b"\n", chance)
    return raw


def mutated(seed: int) -> dict[str, str | bytes]:
    """One or two of the sound bar's files after one to six mutations."""
    chance = random.Random(seed)  # noqa: S311 - the same for the same seed is the point
    changes: dict[str, str | bytes] = {}
    for name in chance.sample(sorted(SOUND), chance.choice((1, 1, 2))):
        changes[name] = mutate(SOUND[name].encode(), chance)
    return changes
