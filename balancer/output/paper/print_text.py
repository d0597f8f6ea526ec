"""Text as it goes on paper: true apostrophes, fractions the font can draw, numbers that stay with their units."""

from __future__ import annotations

import re
from typing import Any, Final

NO_BREAK: Final = "\u00a0"
_THIN: Final = "\u202f"
# The bundled font draws the others as one sign. A fraction slash between digits is set as a fraction, see press.typ.
_SPELT: Final = {
    "⅔": "2⁄3",
    "⅕": "1⁄5",
    "⅖": "2⁄5",
    "⅗": "3⁄5",
    "⅘": "4⁄5",
    "⅙": "1⁄6",
    "⅐": "1⁄7",
    "⅑": "1⁄9",
    "⅒": "1⁄10",
}
_MIXED: Final = re.compile(rf"([0-9])[ {NO_BREAK}]?([{''.join(_SPELT)}])")
_SLASHED: Final = re.compile(r"(?<![0-9/⁄.,])(?:([0-9]{1,3}) )?([0-9]{1,2})/([0-9]{1,2})(?![0-9/⁄.,])")
_UNITS: Final = "ml|cl|l|oz|g|kg|°Bx|°C|%|s|min|mm|cm|in|days?"
_WITH_UNIT: Final = re.compile(rf"(?<=[0-9¼½¾⅓⅚⅛⅜⅝⅞]) (?=(?:{_UNITS})(?![^\W\d_]))")


_APOSTROPHE: Final = "’"
Quotes = tuple[str, str, str, str]
"""What stands before and after a word in single, and in double, quotation marks."""
_QUOTES: Final = ("‘", "’", "“", "”")
# A mark between figures, or after them, is one of feet, minutes or inches.
_STRAIGHT: Final = re.compile(r"(?<![0-9¼½¾⅓⅚⅛⅜⅝⅞'])'(?!')|(?<=[0-9])'(?=[^\W\d_])")
_QUOTED: Final = re.compile(r"(?<![\w'’])'(?!\s|')((?:[^']|(?<=\w)'(?=\w))*?[^\s'])'(?![\w'])")
# Letters left out at the front of a word: no quotation begins there.
_CUT: Final = "n|till?|tisn?|twas|twere|twill|em|cause|cos|coz|round|bout|neath|gainst|s|ne|nen|[0-9]{2}s?"
_ELIDED: Final = re.compile(rf"(?<![\w'])'(?=(?:{_CUT})\b)", re.IGNORECASE)
# A mark after a figure or a fraction is one of inches, unless it ends what another one began.
_DOUBLE: Final = re.compile(r"""(?<![\w"])"(?![\s"])([^"“”„]*?[^\s"“”„])"(?![\w"])""")


def printable(text: str, quotes: Quotes = _QUOTES) -> str:
    """A text with true quotation marks and proper fractions, and no line break between a number and its unit.

    quotes  of the language, see `Words.quotes`; marks of feet and inches stay

    >>> printable("1⅔ oz, then 12 s").replace("\\u202f", "_").replace("\\u00a0", "~")
    '1_2⁄3~oz, then 12~s'
    >>> printable("Chandler's 'Cup' 'n' Rope, 6' of it")
    "Chandler’s ‘Cup’ ’n’ Rope, 6' of it"
    """
    if "'" in text or '"' in text:
        text = _curly(text, quotes)
    text = _MIXED.sub(rf"\1{_THIN}\2", text)
    for sign, spelt in _SPELT.items():
        text = text.replace(sign, spelt)
    return _WITH_UNIT.sub(NO_BREAK, text)


def _curly(text: str, quotes: Quotes) -> str:
    left, right, double_left, double_right = quotes
    text = _DOUBLE.sub(lambda found: f"{double_left}{found[1]}{double_right}", text)
    text = _ELIDED.sub(_APOSTROPHE, text)
    text = _QUOTED.sub(lambda found: f"{left}{found[1]}{right}", text)
    return _STRAIGHT.sub(_APOSTROPHE, text)


def printed_texts(value: Any, quotes: Quotes = _QUOTES) -> Any:
    """Every text in a value as it goes on paper."""
    if isinstance(value, str):
        return printable(value, quotes)
    if isinstance(value, dict):
        return {key: printed_texts(part, quotes) for key, part in value.items()}
    return [printed_texts(part, quotes) for part in value] if isinstance(value, list) else value


def fraction(text: str) -> str:
    """An amount with kitchen fractions, as `format_fraction` gives it without glyphs, as proper ones.

    >>> fraction("1 1/2"), fraction("2/3"), fraction("0.42")
    ('1½', '2⁄3', '0.42')
    """
    return printable(_SLASHED.sub(_proper, text))


def _proper(match: re.Match[str]) -> str:
    whole, top, bottom = match.groups()
    glyph = _GLYPHS.get((top, bottom))
    if glyph:
        return f"{whole or ''}{glyph}"
    return f"{whole}{_THIN}{top}⁄{bottom}" if whole else f"{top}⁄{bottom}"


_GLYPHS: Final = {
    ("1", "4"): "¼", ("1", "2"): "½", ("3", "4"): "¾", ("1", "3"): "⅓", ("5", "6"): "⅚",
    ("1", "8"): "⅛", ("3", "8"): "⅜", ("5", "8"): "⅝", ("7", "8"): "⅞",
}  # fmt: skip
