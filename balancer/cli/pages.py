"""What the commands that print pages share: the words of their options, and the files."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path
from typing import TypeVar

from balancer.desk.desk import Desk
from balancer.errors import UsageError
from balancer.files.house.outputs import refuse_outputs
from balancer.files.save import save
from balancer.output.paper.dots import LEAST_DPI, MOST_DPI, PNG_DPI
from balancer.output.paper.printed_page import FORMATS, Format
from balancer.output.words.numbers import cut

_Word = TypeVar("_Word", bound=str)


def page_file(out: Path | None, example: str) -> Path:
    """The file to print into. Raises UsageError when none is named."""
    if out is None:
        raise UsageError("usage", "--out: nothing says which file to print into", f"give it, like --out {example}")
    return out


def page_kind(out: Path) -> Format:
    """The kind of file a name asks for by its ending. Raises UsageError for one that cannot be printed."""
    kind = next((kind for kind in FORMATS if out.suffix.casefold() == f".{kind}"), None)
    if kind is None:
        raise UsageError("usage", f'--out: "{out}" is not the name of a page', "end it in .pdf, .png or .svg")
    return kind


def dots(dpi: str | None, kind: Format) -> int:
    """The dots per inch that --dpi means. Raises UsageError for what is no number of them, or where there are none."""
    if dpi is None:
        return PNG_DPI
    if kind != "png":
        raise UsageError(
            "usage", f"--dpi: a .{kind} has no dots, it is sharp at any size", "leave it out, or end --out in .png"
        )
    text = dpi.strip()
    number = int(text) if re.fullmatch("[0-9]{1,6}", text) else 0
    if not LEAST_DPI <= number <= MOST_DPI:
        remedy = f"give a whole number from {LEAST_DPI} to {MOST_DPI}"
        raise UsageError("usage", f'--dpi: "{cut(text, 30)}" cannot be meant', remedy)
    return number


def choice(option: str, text: str, allowed: Iterable[_Word]) -> _Word:
    """The word that an option means, however spelt. Raises UsageError for another."""
    words = list(allowed)
    plain = text.strip().casefold().replace("×", "x").replace(" ", "")
    for word in words:
        if plain == word:
            return word
    raise UsageError("usage", f'{option}: "{text}" is not one of the choices', f"choose one of {', '.join(words)}")


def write_pages(desk: Desk, out: Path, pages: list[bytes]) -> list[Path]:
    """Put the pages in place: under the name itself when there is one file, else NAME-1, NAME-2 and so on.

    Raises UsageError and CannotError, before any is written, where one of them would be over a file of the house.
    """
    names = [out] if len(pages) == 1 else [out.with_stem(f"{out.stem}-{number}") for number in range(1, len(pages) + 1)]
    refuse_outputs(desk.folder, names)
    for name, page in zip(names, pages, strict=True):
        save(name, page)
    return names


def write_table(desk: Desk, out: Path, option: str, table: bytes) -> None:
    """Put a table in place. Raises as `table_file` does."""
    save(table_file(desk, out, option), table)


def table_file(desk: Desk, out: Path, option: str) -> Path:
    """The file to write a table into. Raises UsageError for another ending or a file of the house, else CannotError."""
    if out.suffix.casefold() != ".csv":
        raise UsageError("usage", f'{option}: "{out}" is not the name of a table', "end it in .csv")
    refuse_outputs(desk.folder, [out], option)
    return out
