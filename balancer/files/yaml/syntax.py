"""The YAML parser's complaints in kitchen words."""

from __future__ import annotations

from typing import Final, NamedTuple

from ruamel.yaml.error import MarkedYAMLError


class Complaint(NamedTuple):
    """What is wrong with the layout of a file, and the offset it belongs to."""

    code: str
    offset: int
    message: str
    remedy: str


class _Row(NamedTuple):
    """How to say one complaint of the parser.

    code     as in the problems reference
    needle   what the parser's own words contain
    begins   point at where the unreadable thing begins, not at where the parser gave up
    message  {char} is the character pointed at, {rest} the rest of its line
    """

    code: str
    needle: str
    begins: bool
    message: str
    remedy: str


_STARTS: Final = 'text cannot start with "{char}"'
_QUOTE_IT: Final = "put the text in quotes: {rest}"

_STRAY: Final = _Row(
    "bracket",
    "expected node content",
    False,
    'this "{char}" closes nothing',
    "delete it, or put the text in quotes: {rest}",
)
_COMMA: Final = _Row("bracket", "", False, "nothing stands before this comma", "delete it")
_BEHIND: Final = _Row(
    "indentation", "", False, "this stands behind the end of its value", "delete it, or put the whole text in quotes"
)
_NOT_LISTED: Final = _Row(
    "indentation",
    "'-' indicator",
    False,
    "this does not line up with the list above it",
    "indent it like its neighbours",
)

# The first row that fits is used.
_ROWS: Final = (
    _Row("colon", "mapping values are not allowed", False,
         '": " makes a key, and this line has one already', "put the text in quotes: {rest}"),
    _Row("first-character", "cannot start any token", False, _STARTS, _QUOTE_IT),
    _Row("first-character", "mapping keys are not allowed", False, _STARTS, _QUOTE_IT),
    _Row("first-character", "alphabetic or numeric", True, _STARTS, _QUOTE_IT),
    _Row("first-character", "a tag", True, _STARTS, _QUOTE_IT),
    _Row("first-character", "undefined tag handle", True, _STARTS, _QUOTE_IT),
    _Row("first-character", "directive", True,
         'a line cannot start with "{char}"', "start a comment with #, or put the text in quotes"),
    _Row("first-character", "scanning a block scalar", True,
         'after "{char}" the text starts on the next line', "start a new line after it, or put the text in quotes"),
    _Row("quote", "scanning a quoted scalar", True,
         "a quotation mark is opened here and never closed", "close it with {char} where the text ends"),
    _Row("quote", "parsing a quoted scalar", False,
         "a backslash in double quotes starts a code, and this is not one",
         "put the text in single quotes, or write \\\\ for a backslash"),
    _Row("bracket", "',' or ']'", True, "the list that starts with [ here has no end that can be found",
         'close it with ], put a comma between its values, and quotes around text with ": "'),
    _Row("bracket", "',' or '}'", True, "the group that starts with {{ here has no end that can be found",
         'close it with }}, put a comma between its parts, and quotes around text with ": "'),
    _STRAY,
    _Row("indentation", "block sequence entries", False,
         "a list cannot start on the line of its key",
         "start it on the next line; if it is text, put it in quotes: {rest}"),
    _Row("indentation", "expected ':'", True,
         "this line is neither a key with its value nor part of the line above it",
         'write it as "key: value", or indent it under the key it belongs to'),
    _Row("indentation", "expected key", False,
         "this does not line up with the keys above it", "indent it like its neighbours"),
    _NOT_LISTED,
    _Row("indentation", "<document start>", False,
         "this does not belong to what stands above it", "indent it like its neighbours, or delete it"),
)  # fmt: skip
_UNCLEAR: Final = _Row(
    "syntax", "", False, "this cannot be read", "check the indentation, quotes and brackets here and in the line above"
)


def explain(text: str, error: MarkedYAMLError, last_quoted: tuple[int, int] | None) -> Complaint:
    """A parser error as a complaint. last_quoted is where the last quoted text before it starts and ends."""
    row, offset = _row(error)
    offset = min(offset, len(text))
    line = max(text.rfind("\n", 0, offset), text.rfind("\r", 0, offset)) + 1
    before = text[line:offset]
    tab = line + before.find("\t") if "\t" in before[: len(before) - len(before.lstrip())] else offset
    if text[tab : tab + 1] == "\t":
        return Complaint(
            "tab", tab, "a tab stands here, and these files are indented with spaces", "write spaces in its place"
        )
    if last_quoted and last_quoted[0] < line <= last_quoted[1] <= offset:
        return Complaint(
            "quote", last_quoted[0], "the quotation mark opened here is closed only lines below",
            "close it where the text ends; inside '…' an apostrophe is written twice",
        )  # fmt: skip
    if row.code == "colon" and ": " not in before:
        first = line + len(before) - len(before.lstrip())
        return Complaint(
            "indentation", first, "this does not line up with the line above it", "indent it like its neighbours"
        )
    if row is _STRAY and not text[offset:].strip():
        open_bracket = max(text.rfind("["), text.rfind("{"), 0)
        return Complaint("bracket", open_bracket, "this bracket is never closed", "close it")
    row = _closer(row, before, text[offset : offset + 2])
    char, rest = text[offset : offset + 1], _rest(text, line, offset, row)
    return Complaint(row.code, offset, row.message.format(char=char), row.remedy.format(char=char, rest=rest))


def _closer(row: _Row, before: str, following: str) -> _Row:
    """What the parser has one name for and a person would not, told apart by what stands around it."""
    if row.needle == "expected key":
        if following[:1] in ("]", "}"):
            return _STRAY
        if before.strip():
            return _BEHIND
        return _NOT_LISTED if following == "- " else row
    return _COMMA if row is _STRAY and following[:1] == "," else row


def in_quotes(text: str) -> str:
    """A text as it should be written in quotes; a long one is cut short, as the reader sees the whole of it above."""
    shown = text if len(text) <= 60 else f"{text[:60]}…"
    return "'" + shown.replace("'", "''") + "'" if '"' in shown or "\\" in shown else f'"{shown}"'


def _row(error: MarkedYAMLError) -> tuple[_Row, int]:
    """The row for an error, and the offset it points at."""
    told = f"{error.context or ''} {error.problem or ''}"
    row = next((row for row in _ROWS if row.needle in told), _UNCLEAR)
    begin, end = error.context_mark, error.problem_mark
    mark = (begin or end) if row.begins else (end or begin)
    return row, mark.index if mark else 0


def _rest(text: str, line: int, offset: int, row: _Row) -> str:
    """The text that should stand in quotes, in quotes."""
    start = offset
    if row.code == "colon":
        start = text.index(": ", line) + 2
    end = min((at for at in (text.find("\n", offset), text.find("\r", offset)) if at >= 0), default=len(text))
    return in_quotes(text[start:end].split(" #", 1)[0].strip())
