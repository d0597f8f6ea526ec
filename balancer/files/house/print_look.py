"""How a bar's pages look: what house.yaml says of it, key by key over its base, and the files that it names.

A part that is wrong is told and left out: the bar still prints, without it.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from collections.abc import Mapping as Mapping_
from itertools import islice
from pathlib import Path
from typing import Final, NamedTuple

from balancer.errors import CannotError, Problem
from balancer.files.house.base import Layer, Shelf, base_named, layers
from balancer.files.house.font_shelf import FontShelf
from balancer.files.house.measures import house_of
from balancer.files.reading import TooLargeError, refuse_large
from balancer.files.sizes import FONT, TEMPLATE
from balancer.files.yaml.document import Document, Mapping, Scalar
from balancer.files.yaml.validate import check
from balancer.models.look import BUNDLED_FAMILY, ENGLISH, LOOK, HouseLook, Logo, PrintLook

_FONT_ENDINGS: Final = (".otf", ".ttf", ".otc", ".ttc")
_MOST_LISTED: Final = 6
_MOST_FILES: Final = 2000
_LATIN: Final = "AZaz"
"""Who has these has the others."""


class _Said(NamedTuple):
    """A key of the look, and the file that says it: its value stands there and counts from there."""

    text: str
    node: Scalar
    document: Document
    folder: Path

    @property
    def path(self) -> Path:
        """What it names, as a person would type it from here."""
        return base_named(self.folder, self.text)

    def report(self, code: str, message: str, remedy: str) -> None:
        """Tell what is wrong about it, at its place."""
        self.document.report(code, self.node, message, remedy)


def read_look(folder: Path, shelf: Shelf | None = None) -> tuple[PrintLook, tuple[Problem, ...]]:
    """The look of a bar, without what of it is wrong, and every problem of it."""
    held = layers(folder, shelf or Shelf())
    house_of(held)  # reports what is wrong by itself
    look = print_look(held)
    return look, tuple(problem for layer in held if layer.document for problem in look_problems(layer.document))


def look_problems(document: Document) -> tuple[Problem, ...]:
    """The problems of a house.yaml that are about its look: they touch nothing but what is printed."""
    root = document.root
    key, node = (root.key(LOOK), root.get(LOOK)) if isinstance(root, Mapping) else (None, None)
    return () if key is None or node is None else document.problems_between(key.start, max(node.end, key.end))


def look_files(held: Iterable[Layer]) -> list[Path]:
    """The files that a look names, whether they are there or not; of fonts their folder."""
    said = _said(held)
    return [said[key].path for key in ("logo", "template", "fonts") if key in said]


def print_look(held: Sequence[Layer]) -> PrintLook:
    """The look out of house.yaml of every layer, with the files that it names. What is wrong of those is reported."""
    said = _said(held)
    template = _template(said.get("template"))
    fonts, family, has_latin = _letters(said, template)
    language = said.get("language")
    return PrintLook(
        logo=_logo(said.get("logo"), said.get("logo alt")),
        fonts=fonts,
        family=family,
        has_latin=has_latin,
        language=ENGLISH if language is None else language.text.strip().casefold(),
        template=template,
    )


def _said(held: Iterable[Layer]) -> dict[str, _Said]:
    """Every key that is sound by itself, from the first layer that has it."""
    found: dict[str, _Said] = {}
    for layer in held:
        root = layer.document.root if layer.document else None
        node = root.get(LOOK) if isinstance(root, Mapping) else None
        if layer.document is None or not isinstance(node, Mapping):
            continue
        for key, value in node.entries:
            if key.text in found or not isinstance(value, Scalar):
                continue
            if check(HouseLook, {key.text: value.text})[0] is not None:
                found[key.text] = _Said(value.text.strip(), value, layer.document, layer.folder)
    return found


def _logo(said: _Said | None, alt: _Said | None) -> Logo | None:
    if said is None:
        return None
    from balancer.files.house.logo import read_logo  # noqa: PLC0415 - 20 ms that only printing needs

    if alt is None:
        said.report(
            "logo-alt", f'nothing says in words what the logo "{said.text}" shows, for those who cannot see it',
            "add what it says or shows, like logo alt: The Ferry Slip",
        )  # fmt: skip
    try:
        kind, content = read_logo(said.path)
    except CannotError as error:
        said.report(error.code, error.message, error.remedy)
        return None
    return None if alt is None else Logo(kind, content, " ".join(alt.text.split()))


def _letters(said: Mapping_[str, _Said], template: Path | None) -> tuple[Path | None, str | None, bool]:
    """The folder of fonts, the family as they write it, and whether that has Latin letters."""
    fonts, family = said.get("fonts"), said.get("family")
    folder = None if fonts is None else _folder(fonts)
    beside = None if template is None else template.parent / "fonts"
    shelf = FontShelf([one for one in (folder, beside) if one is not None and os.path.isdir(one)])
    if fonts is not None and folder is not None and not shelf.has_any_of(folder):
        fonts.report("fonts", f'no file in the folder "{folder}" can be read as a font', _fetch(fonts))
        folder = None
    if fonts is not None and family is None and folder is not None:
        told = "the fonts are there, and nothing says which to print in"
        remedy = f"they are {_listed(shelf.families)}: add one, like family: {shelf.families[0]}"
        fonts.report("font-family", told, remedy)
    if family is None or (fonts is not None and folder is None):
        return folder, None, True
    found = _family(family, shelf)
    return folder, found, found in {None, BUNDLED_FAMILY} or shelf.shows(str(found), _LATIN)


def _folder(fonts: _Said) -> Path | None:
    """The folder of fonts, where it is one with files in it that end like fonts."""
    path, fault = fonts.path, None
    try:
        if not path.is_dir():
            what = "is a file, not a folder" if path.exists() else "is not there"
            fault = f'the folder of fonts "{path}" {what}'
        else:
            held = list(islice(path.rglob("*"), _MOST_FILES + 1))
            if len(held) > _MOST_FILES:
                fault = f'the folder "{path}" holds more than {_MOST_FILES:,} files, all of which would be looked at'
            elif not any(map(_is_font, held)):
                fault = f'the folder "{path}" has no font in it'
            else:
                _refuse_large_fonts(held)
    except _LargeFontError as error:
        fonts.report("fonts", str(error), FONT.remedy)
        return None
    except OSError as error:
        fault = f'the folder of fonts "{path}" cannot be read: {error.strerror}'
    if fault is not None:
        fonts.report("fonts", fault, _fetch(fonts))
    return path if fault is None else None


def _is_font(path: Path) -> bool:
    return path.suffix.casefold() in _FONT_ENDINGS


class _LargeFontError(Exception):
    """One of the fonts is too large; the message says which."""


def _refuse_large_fonts(files: Iterable[Path]) -> None:
    for path in filter(_is_font, files):
        try:
            refuse_large(path, FONT)
        except TooLargeError as error:
            raise _LargeFontError(f'the font "{path}" is not read: {error.strerror}') from None


def _fetch(fonts: _Said) -> str:
    return f'put font files (.otf or .ttf) there; it counts from "{fonts.folder}"'


def _family(said: _Said, shelf: FontShelf) -> str | None:
    """The family as its fonts write it, where they have it."""
    wanted, held = " ".join(said.text.split()), [*shelf.families, BUNDLED_FAMILY]
    found = next((one for one in held if one.casefold() == wanted.casefold()), None)
    if found is None:
        remedy = f"write it as the fonts do: {_listed(held)}; or add its font files"
        if not shelf.folders:
            remedy = "put its font files (.otf or .ttf) into a folder and name that too, like fonts: fonts"
        said.report("font-family", f'no font here has the family "{wanted}"', remedy)
    return found


def _listed(families: Sequence[str]) -> str:
    return ", ".join(families[:_MOST_LISTED]) + ("" if len(families) <= _MOST_LISTED else ", …")


def _template(said: _Said | None) -> Path | None:
    """The house's own template, where it is a file; whether it can be set is seen when it is."""
    if said is None:
        return None
    path = said.path
    if os.path.isfile(path):  # false, not an error, where nobody may look
        fault = template_fault(path)
        if fault is not None:
            said.report("template", *fault)
        return None if fault else path
    what = "is a folder, not a file" if os.path.isdir(path) else "is not there"
    remedy = "correct it, or make one: balancer cards --copy-template DIR"
    said.report("template", f'the template "{path}" {what}', f'{remedy}; it counts from "{said.folder}"')
    return None


def template_fault(path: Path) -> tuple[str, str] | None:
    """Why a template is not even read, and what to do; None where it is. Fonts beside it count with it."""
    try:
        refuse_large(path, TEMPLATE)
        _refuse_large_fonts(islice((path.parent / "fonts").rglob("*"), _MOST_FILES))
    except TooLargeError as error:
        return f'the template "{path}" is not read: {error.strerror}', error.remedy
    except _LargeFontError as error:
        return str(error), FONT.remedy
    except OSError:
        return None  # whoever reads it says why
    return None
