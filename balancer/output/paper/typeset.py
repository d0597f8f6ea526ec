"""Pages out of a typst template and data: tagged PDF (PDF/UA-1), PNG or SVG.

Texts go in as JSON and are never markup. Fonts are the bundled ones, the house's own and those in a folder `fonts`
beside the template; the fonts of the machine are left out, so that a page looks the same on every one.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any, Final
from xml.sax.saxutils import escape

import typst

from balancer.errors import CannotError, ProblemsError
from balancer.models.look import BUNDLED_FAMILY, PLAIN_LOOK, PrintLook
from balancer.output.paper.dots import PNG_DPI, SMALL_DPI, refuse_too_many, sized
from balancer.output.paper.printed_page import Format
from balancer.output.words.numbers import cut
from balancer.unseen import INSTEAD, UNPRINTABLE

_HERE: Final = Path(__file__).parent
TEMPLATES: Final = _HERE / "templates"
FONTS: Final = _HERE / "fonts"

_NO_GLYPH: Final = re.compile(r'PDF/UA-1 error: the text `"(?P<text>.+?)"` could not be displayed')
_ESCAPED: Final = re.compile(r"\\u\{([0-9a-f]+)\}")
_UNFIT: Final = re.compile(r"panicked with: unfit (?P<items>\[.+\])", re.DOTALL)
_UNPRINTABLE: Final = re.compile(UNPRINTABLE)
_NO_KEY: Final = "does not contain key"
_PLACE: Final = re.compile(r"┌─ (?P<file>[^\n]+):(?P<line>\d+):\d+")
_PACKAGE: Final = re.compile(r'(?:import|include)\s*\(?\s*"@')


class ItemError(CannotError):
    """Why an item cannot be printed.

    signs  what the font cannot show; none when the item has no room
    over   the key of a list in the item, and how many things more it has than an item can show
    """

    def __init__(
        self, code: str, message: str, remedy: str, signs: Sequence[str] = (), over: tuple[str, int] | None = None
    ) -> None:
        super().__init__(code, message, remedy)
        self.signs = tuple(signs)
        self.over = over


class UnprintableError(ProblemsError):
    """Items that cannot be printed, and why, by name; the others could."""

    def __init__(self, faults: dict[str, ItemError]) -> None:
        self.faults = faults
        self.names = frozenset(faults)
        super().__init__(problem for fault in faults.values() for problem in fault.problems())


class Pages(list[bytes]):
    """Pages, and what the template tells of them in metadata labelled <told>; told is None where it tells nothing."""

    told: Any = None


def typeset(
    template: Path,
    data: dict[str, Any],
    kind: Format,
    at: datetime,
    look: PrintLook = PLAIN_LOOK,
    dpi: int = PNG_DPI,
) -> Pages:
    """The pages of a template: one file as PDF, one for each page as PNG or SVG.

    template  a .typ file; the built-in ones are in TEMPLATES
    data      what the template reads: title, layout and items, each with its name; alt says in words what is drawn
    at        the moment that the PDF says it was made
    look      the house's own, which the template reads as `look`, see `look_data`
    dpi       dots per inch of a PNG
    Raises UnprintableError for items with texts that the font cannot show, and for those that fit at no size;
    CannotError when the template itself is at fault, or a PNG would have too many dots.
    """
    _refuse_invisible(data["items"])
    _refuse_packages(template)
    said: dict[str, str] = {key: _UNPRINTABLE.sub(INSTEAD, data[key]) for key in ("title", "alt") if key in data}
    folder = template.resolve().parent
    own = [] if look.fonts is None else [look.fonts]
    try:
        fonts = typst.Fonts(
            include_system_fonts=False, include_embedded_fonts=False, font_paths=[FONTS, *own, *folder.glob("fonts")]
        )
        told = {**data, **said, "look": look_data(look)}
        compiler = typst.Compiler(
            template.resolve(), root=folder, font_paths=fonts, sys_inputs={"data": json.dumps(told)}
        )
        # The check for characters without a glyph is part of PDF/UA: PNG and SVG would drop them unsaid.
        pdf, warnings = compiler.compile_with_warnings(
            format="pdf", pdf_standards="ua-1", timestamp=at.replace(microsecond=0)
        )
        if warnings:
            raise _warned(warnings[0].message, look, template)
        if kind == "png":
            refuse_too_many(_listed(compiler.compile(format="png", ppi=SMALL_DPI)), dpi)
        pages = pdf if kind == "pdf" else compiler.compile(format=kind, ppi=float(dpi))
        told = json.loads(compiler.query("<told>", field="value"))
    except typst.TypstError as error:
        raise _explained(error.message, error.diagnostic, data["items"], template, look) from None
    except (OSError, RuntimeError, ValueError) as error:
        raise _template_fault(template, str(error)) from None
    found = _listed(pages)
    if kind == "png":
        found = [sized(page, dpi) for page in found]
    result = Pages([_described(page, said) for page in found] if kind == "svg" else found)
    result.told = told[0] if told else None
    return result


def look_data(look: PrintLook) -> dict[str, Any]:
    """The look as templates read it: the logo as a drawing or null, the families to set in, the language."""
    logo = None
    if look.logo is not None:
        logo = {"kind": "svg", "data": look.logo.svg, "alt": _UNPRINTABLE.sub(INSTEAD, look.logo.alt)}
    own = [] if look.family in {None, BUNDLED_FAMILY} else [look.family]
    family = [*own, BUNDLED_FAMILY] if look.has_latin else [BUNDLED_FAMILY, *own]
    return {"logo": logo, "family": family, "language": look.language}


def _listed(pages: bytes | list[bytes] | None) -> list[bytes]:
    return [page for page in (pages if isinstance(pages, list) else [pages]) if page is not None]


def _described(svg: bytes, said: dict[str, str]) -> bytes:
    """A drawing with its title and description, which the typesetter leaves out: its letters are shapes."""
    texts = [(tag, said[key]) for tag, key in (("title", "title"), ("desc", "alt")) if key in said]
    elements = "".join(f"<{tag}>{escape(text)}</{tag}>" for tag, text in texts)
    return svg.replace(b"<svg ", b'<svg role="img" ', 1).replace(b">", b">" + elements.encode(), 1)


def _refuse_invisible(items: list[dict[str, Any]]) -> None:
    bad = {}
    for item in items:
        found = [text for text in texts(item) if _UNPRINTABLE.search(text)]
        if found:
            # The name itself, or the shortest: of longer ones a part may be the page's, and stand in no file.
            text = item["name"] if item["name"] in found else min(found, key=len)
            sign = _UNPRINTABLE.findall(text)[0]
            bad[item["name"]] = ItemError(
                "invisible-character",
                f'"{_seen(item["name"])}" has the invisible character U+{ord(sign):04X} in "{_seen(text)}"',
                "type that text anew in its file",
                sign,
            )
    if bad:
        raise UnprintableError(bad)


def _seen(text: str) -> str:
    return cut(_UNPRINTABLE.sub(INSTEAD, text), 60)


def _refuse_packages(path: Path) -> None:
    """A package would be downloaded; nothing here uses a network."""
    try:
        source = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", None) or "it is not UTF-8 text"
        raise _template_fault(path, f"it cannot be read: {reason}") from None
    if _PACKAGE.search(source):
        raise CannotError(
            "template", f'the template "{path}" imports a package', "copy what it needs beside it; no network is used"
        )


def texts(value: object) -> Iterator[str]:
    """Every text in an item, however deep."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for part in value.values():
            yield from texts(part)
    elif isinstance(value, list | tuple):
        for part in value:
            yield from texts(part)


def _warned(message: str, look: PrintLook, path: Path) -> CannotError:
    """A warning, which is always one too many: pages with other letters than were asked for are no use."""
    if look.family is not None and message.casefold() == f"unknown font family: {look.family}".casefold():
        remedy = "write it as its font does, and put that font into the folder that fonts: names"
        return CannotError("font-family", f'no font here has the family "{look.family}"', remedy)
    return _template_fault(path, message)


def _explained(message: str, diagnostic: str, items: list[dict[str, Any]], path: Path, look: PrintLook) -> Exception:
    """What the typesetter stopped at, in the words of the bar's own files."""
    unfit = _UNFIT.search(message)
    if unfit:
        bad = dict(_no_room(item) for item in json.loads(unfit["items"]))
    else:
        signs = dict.fromkeys(_unescaped(found["text"]) for found in _NO_GLYPH.finditer(diagnostic))
        found = {item["name"]: [sign for sign in signs if any(sign in text for text in texts(item))] for item in items}
        bad = {name: _no_glyph(name, missing, look) for name, missing in found.items() if missing}
    return UnprintableError(bad) if bad else _template_fault(path, message, diagnostic)


def _unescaped(text: str) -> str:
    return _ESCAPED.sub(lambda match: chr(int(match[1], 16)), text)


def _no_room(item: Any) -> tuple[str, ItemError]:
    """The name and the fault of an item, as `report` in press.typ gives it."""
    name, over = (item, None) if isinstance(item, str) else (item["name"], (item["key"], item["over"]))
    return name, ItemError(
        "no-room",
        f'"{cut(name, 60)}" does not fit, even in the smallest letters that can be read',
        "shorten its texts, or take a larger size",
        over=over,
    )


def _no_glyph(name: str, signs: list[str], look: PrintLook) -> ItemError:
    told = ", ".join(f"{sign} ({' '.join(f'U+{ord(char):04X}' for char in sign)})" for sign in signs[:4])
    more = f" and {len(signs) - 4} more" if len(signs) > 4 else ""
    own, remedy = "the font has", "in house.yaml, name a font that has it: look: {fonts: FOLDER, family: NAME}"
    if look.family is not None:
        own, remedy = (
            f"neither {look.family} nor {BUNDLED_FAMILY} has",
            "name a family that has it in look: of house.yaml",
        )
    return ItemError("no-glyph", f'"{cut(name, 60)}" cannot be printed: {own} no {told}{more}', remedy, signs)


def _template_fault(path: Path, message: str, diagnostic: str = "") -> CannotError:
    """That a template cannot be set, and in which line of it or of a file that it imports."""
    remedy = "mend it, or leave it out"
    if _NO_KEY in message:
        remedy = "it asks for something that pages no longer have: carry its changes over into a new --copy-template"
    place = _PLACE.search(diagnostic)
    where = ""
    if place:
        file = Path(place["file"]).name
        where = f"line {place['line']}: " if file == path.name else f"{file} line {place['line']}: "
    return CannotError("template", f'the template "{path}" cannot be set: {where}{message}', remedy)
