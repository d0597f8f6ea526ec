"""Signs that cannot be seen, or turn others around: the one list of them, for files, terminal and paper.

A name with one is not what it looks like. Joiners stay where a script or an emoji is written with them.
"""

from __future__ import annotations

import re
from typing import Final

INSTEAD: Final = "\N{REPLACEMENT CHARACTER}"

_CONTROL: Final = (*range(9), *range(11, 32), *range(127, 160))
"""C0 and C1 (ISO 6429) without tab and line feed: some steer a terminal."""
_RETURN: Final = 13
_LINE_ENDS: Final = (0x2028, 0x2029)
"""Where some programs end a line and others do not."""
_TURNING: Final = (0x061C, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A))
"""Unicode's Bidi_Control (UAX #9): they show a number or a name as another one."""
_NO_SIGN: Final = (*range(0xFFF9, 0xFFFC), 0xFFFE, 0xFFFF)
"""Annotations, and what is no character."""
_NO_WIDTH: Final = (
    *(0x00AD, 0x034F, 0x115F, 0x1160, 0x17B4, 0x17B5, 0x180E, 0x200B, 0x3164, 0xFEFF, 0xFFA0),
    *(*range(0x2060, 0x2066), *range(0x206A, 0x2070)),
)
"""Of Unicode's Default_Ignorable_Code_Point what no script needs to be read: nothing is seen where they stand."""

_MISLEADING: Final = frozenset((*_LINE_ENDS, *_TURNING))
_WRITTEN_JOINED: Final = "\u0590-\u1cff\ua800-\uabff\ufb1d-\ufdff\ufe70-\ufefc"
"""The scripts whose letters join, or are joined by such a sign: Arabic, the Indic ones and those between them."""
_EMOJI: Final = "\u2190-\u2bff\ufe0f\U0001f000-\U0001faff"
_FIRST_TAG: Final = "\U000e0001"
_ASTRAY: Final = (
    rf"(?<![{_WRITTEN_JOINED}{_EMOJI}])[\u200c\u200d]|[\u200c\u200d](?=\s|$)"
    "|(?<![\U0001f3f4\U000e0020-\U000e007e])[\U000e0001\U000e0020-\U000e007f]"
)
"""A joiner or non-joiner that joins nothing, and a tag that belongs to no flag."""


def _any_of(*codes: int) -> str:
    """A pattern of any of some signs, or half of a character; those in a row as a range, which is compiled faster."""
    parts: list[list[int]] = []
    for code in sorted(codes):
        if parts and code == parts[-1][1] + 1:
            parts[-1][1] = code
        else:
            parts.append([code, code])
    return f"[{''.join(f'{chr(first)}-{chr(last)}' for first, last in parts)}\ud800-\udfff]"


NO_TEXT: Final = re.compile(
    _any_of(*(code for code in _CONTROL if code != _RETURN), *_LINE_ENDS, 0xFEFF, 0xFFFE, 0xFFFF)
)
"""What no file of a bar may hold."""
UNPRINTABLE: Final = _any_of(*_CONTROL, *_LINE_ENDS, *_TURNING, *_NO_SIGN)
"""A pattern of what no page may hold: it would read as something else. What has no width does no harm there."""

_HALF: Final = "[\ud800-\udfff]"
"""No characters: Python's stand-ins for bytes of a file's name that are no UTF-8 (PEP 383)."""

_SHOWN: Final = dict.fromkeys((*_CONTROL, *_LINE_ENDS, *_TURNING, *_NO_SIGN, *_NO_WIDTH), INSTEAD)
JSON_ESCAPES: Final = {
    code: f"\\u{code:04x}" for code in (*range(127, 160), *_LINE_ENDS, *_TURNING, *_NO_SIGN, *_NO_WIDTH, 0x200C, 0x200D)
} | {code: f"\\udb40\\u{code - 0xE0000 + 0xDC00:04x}" for code in (0xE0001, *range(0xE0020, 0xE0080))}
"""The same ones, and every joiner and tag, in a JSON text, which keeps what a name holds."""


def whole(text: str) -> str:
    """A text of whole characters: no encoding has half a one, and no reader of JSON has to take its escape.

    >>> whole("gin\\udcff.csv")
    'gin�.csv'
    """
    try:
        text.encode()
    except UnicodeEncodeError:
        return re.sub(_HALF, INSTEAD, text)
    return text


def seen(text: str) -> str:
    """A text as it goes to a terminal: with a sign that is seen where one stands that is not.

    >>> seen("Two\\u202eFaced"), seen("Zero\\u200bWidth"), seen("می\\u200cخواهم") == "می\\u200cخواهم"
    ('Two�Faced', 'Zero�Width', True)
    """
    if text.isascii() and text.isprintable():
        return text
    clean = whole(text).translate(_SHOWN)
    is_joined = "\u200c" in clean or "\u200d" in clean or max(clean, default="") >= _FIRST_TAG
    return re.sub(_ASTRAY, INSTEAD, clean) if is_joined else clean


def in_line(text: str) -> str:
    """A text as it stands in one line of a terminal: no line break of a name begins a line of its own.

    >>> in_line("Two\\r\\nLines\\u202e"), in_line("Plain")
    ('Two��Lines�', 'Plain')
    """
    return seen(text).replace("\n", INSTEAD)


def first_unseen(text: str) -> tuple[int, str] | None:
    """Where in a name the first such sign stands, and what it does; None when all of it is seen.

    >>> first_unseen("Two\\u202eFaced"), first_unseen("Plain")
    ((3, 'turns what follows it around'), None)
    """
    if text.isascii() and text.isprintable():
        return None
    place = next((at for at, (one, other) in enumerate(zip(text, seen(text), strict=True)) if one != other), None)
    if place is None:
        return None
    code = ord(text[place])
    does = "ends the line for some programs" if code in _LINE_ENDS else "turns what follows it around"
    return place, does if code in _MISLEADING else "cannot be seen"
