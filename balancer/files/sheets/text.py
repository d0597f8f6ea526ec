"""The files that an import writes, as text in the house's style; every line knows the cell it came from."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import PurePath
from typing import Any, Final

from balancer.errors import QuantityError
from balancer.files.sheets.cells import Said
from balancer.files.sheets.rows import Cell
from balancer.files.yaml.scalar import plain_or_quoted
from balancer.models.pour import RINSE
from balancer.units import parse_pour
from balancer.unseen import NO_TEXT

_BEFORE_POURS: Final = ("family", "zero proof", "method", "time")
_AFTER_POURS: Final = (
    "written for", "weighed", "dilution", "chill", "extras", "strain", "ice", "glass", "garnish", "steps", "notes",
    "version", "date", "by",
)  # fmt: skip
_AS_IT_IS: Final = re.compile(r"[0-9]{1,3}|[0-9]{4}-[0-9]{2}-[0-9]{2}")
"""Versions and dates, which nobody puts in quotes."""


@dataclass
class Lines:
    """A text line by line, with the cell behind each."""

    texts: list[str] = field(default_factory=list)
    cells: list[Cell | None] = field(default_factory=list)

    def add(self, text: str, cell: Cell | None = None) -> None:
        """One line more."""
        self.texts.append(text)
        self.cells.append(cell)


def drink_lines(
    name: str | tuple[str, str],
    data: dict[str, Any],
    pours: Iterable[tuple[Said, str, dict[str, bool]]],
    places: Iterable[Cell],
    cells: dict[str, Cell],
) -> Lines:
    """A drink as lines. name goes with its id where the id does not follow from it."""
    lines = Lines()
    lines.add(f"drink: {plain_or_quoted(name if isinstance(name, str) else name[0])}")
    if isinstance(name, tuple):
        lines.add(f"id: {plain_or_quoted(name[1])}")
    for key in _BEFORE_POURS:
        _key(lines, key, data, cells)
    lines.add("pours:")
    for (said, of, flags), place in zip(pours, places, strict=True):
        lines.add(f"  - {pour_text(said, of, flags)}", place)
    for key in _AFTER_POURS:
        _key(lines, key, data, cells)
    return lines


def _key(lines: Lines, key: str, data: dict[str, Any], cells: dict[str, Cell]) -> None:
    said = data.get(key)
    cell = cells.get(key)
    if said is None or said == []:
        return
    if said is True:
        lines.add(f"{key}: true", cell)
    elif isinstance(said, dict):
        inside = ", ".join(f"{name}: {plain_or_quoted(text, inside=True)}" for name, text in said.items())
        first = next((cells[one] for one in cells if one.startswith(f"{key} ")), None)
        lines.add(f"{key}: {{{inside}}}", cell or first)
    elif isinstance(said, list) and len(said) > 1:
        lines.add(f"{key}:", cell)
        for text in said:
            lines.add(f"  - {plain_or_quoted(text)}", cell)
    else:
        text = said[0] if isinstance(said, list) else said
        is_plain = key in ("version", "date") and _AS_IT_IS.fullmatch(text)
        lines.add(f"{key}: {text if is_plain else plain_or_quoted(text)}", cell)


def pour_text(said: Said, name: str, flags: dict[str, bool]) -> str:
    """A pour in one piece where that reads back the same, else written out."""
    whole = f"{said.text} {name}"
    if not flags and _reads_back(whole, said, name):
        return plain_or_quoted(whole)
    amount = f"1 {RINSE}" if said.amount.unit == RINSE else said.text
    inside = [f"pour: {plain_or_quoted(amount, inside=True)}", f"of: {plain_or_quoted(name, inside=True)}"]
    return "{" + ", ".join([*inside, *(f"{key}: {'true' if on else 'false'}" for key, on in flags.items())]) + "}"


def _reads_back(whole: str, said: Said, name: str) -> bool:
    if said.amount.unit == RINSE:
        return not name.startswith("of ")
    try:
        return parse_pour(whole) == (said.amount, name)
    except QuantityError:
        return False


def drink_file(lines: Lines, source: str, rows: Iterable[int], left_out: Iterable[str] = ()) -> bytes:
    """The file of one drink; what of it somebody left out is remembered in its first line."""
    left = NO_TEXT.sub("", " ".join(", ".join(left_out).split()))
    told = f"; left out: {left}" if left else ""
    return "\n".join([f"# from {_basename(source)}, {rows_text(rows)}{told}", *lines.texts, ""]).encode()


def stub_file(source: str, stubs: Iterable[tuple[str, Iterable[int]]]) -> bytes:
    """The file of ingredients that the house did not know; names with the rows that pour them."""
    lines = [
        f"# from {_basename(source)}: what the house did not know. What is not said here is unknown: add its kind, and",
        "# from the label its abv, sugar and allergens; of a juice its acid.",
    ]
    for name, rows in stubs:
        lines += [f"- ingredient: {plain_or_quoted(name)}", f"  # {rows_text(rows)}"]
    return "\n".join([*lines, ""]).encode()


def rows_text(rows: Iterable[int]) -> str:
    """Rows as words.

    >>> rows_text([12]), rows_text([12, 13, 14]), rows_text([3, 9])
    ('row 12', 'rows 12-14', 'rows 3, 9')
    """
    listed = sorted(set(rows))
    if len(listed) == 1:
        return f"row {listed[0]}"
    if listed == list(range(listed[0], listed[-1] + 1)):
        return f"rows {listed[0]}-{listed[-1]}"
    return "rows " + ", ".join(map(str, listed[:20])) + (" and more" if len(listed) > 20 else "")


def _basename(source: str) -> str:
    return NO_TEXT.sub("", " ".join(PurePath(source).name.encode("utf-8", "replace").decode().split()))
