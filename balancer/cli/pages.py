"""Printed pages on the command line: what the options ask for, and one file or one for each page."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TypeVar

from balancer.errors import UsageError
from balancer.files.save import save
from balancer.output.paper.printed_page import FORMATS, Format

_Word = TypeVar("_Word", bound=str)


def page_kind(out: Path) -> Format:
    """The kind of file a name asks for by its ending. Raises UsageError for one that cannot be printed."""
    kind = next((kind for kind in FORMATS if out.suffix.casefold() == f".{kind}"), None)
    if kind is None:
        raise UsageError("usage", f'--out: "{out}" is not the name of a page', "end it in .pdf, .png or .svg")
    return kind


def choice(option: str, text: str, allowed: Iterable[_Word]) -> _Word:
    """The word that an option means, however spelt. Raises UsageError for another."""
    words = list(allowed)
    plain = text.strip().casefold().replace("×", "x").replace(" ", "")
    for word in words:
        if plain == word:
            return word
    raise UsageError("usage", f'{option}: "{text}" is not one of the choices', f"choose one of {', '.join(words)}")


def write_pages(out: Path, pages: list[bytes]) -> list[Path]:
    """Put the pages in place: under the name itself when there is one file, else NAME-1, NAME-2 and so on."""
    names = [out] if len(pages) == 1 else [out.with_stem(f"{out.stem}-{number}") for number in range(1, len(pages) + 1)]
    linked = next((name for name in names if name.is_symlink() and name.resolve().suffix != name.suffix), None)
    if linked is not None:
        raise UsageError("usage", f'--out: "{linked}" is a link to {linked.resolve().name}', "name another file")
    for name, page in zip(names, pages, strict=True):
        save(name, page)
    return names
