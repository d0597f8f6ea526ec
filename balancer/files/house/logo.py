"""A house's sign out of its file, and what keeps it from being printed."""

from __future__ import annotations

import re
import struct
from collections.abc import Iterator
from pathlib import Path
from typing import Final
from xml.etree import ElementTree as Tree

import typst

from balancer.errors import CannotError
from balancer.files.reading import read_bytes, unreadable
from balancer.files.sizes import LOGO
from balancer.models.look import LOGO_KINDS, LogoKind

_STARTS: Final[dict[LogoKind, bytes]] = {"png": b"\x89PNG\r\n\x1a\n", "jpg": b"\xff\xd8\xff"}
_OTHER_ENDINGS: Final[dict[str, LogoKind]] = {"jpeg": "jpg"}
_ELSEWHERE: Final = re.compile(
    r"url\(\s*['\"]?(?!\s*(?:#|data:))(?P<where>[^)'\"]+)|@import\s+['\"]?(?P<sheet>[^'\";]+)"
)
_JPG_DOTS: Final = b"\xff\xda"
_JPG_END: Final = b"\xff\xd9"
"""Markers before the dots and at the end (ISO/IEC 10918-1, table B.1); some cameras write more behind it."""
_NO_FRAME: Final = (0xC4, 0xC8, 0xCC)
"""Markers among those of frames that are none: DHT, JPG, DAC (ISO/IEC 10918-1, table B.1)."""
_MOST_SIDE: Final = 4000
"""Dots of a picture: unpacked it takes 4 bytes for each, so up to 64 MB."""
_SAVE: Final = "save it as .svg, .png or .jpg, in black on white or on nothing"


def read_logo(path: Path) -> tuple[LogoKind, bytes]:
    """The kind and content of a drawing. Raises CannotError for what keeps it from being printed."""
    ending = path.suffix.casefold().removeprefix(".")
    kind = next((kind for kind in LOGO_KINDS if kind == _OTHER_ENDINGS.get(ending, ending)), None)
    if kind is None:
        raise _fault(f'"{path}" is no drawing that can be printed, by the end of its name', _SAVE)
    try:
        content = read_bytes(path, LOGO)
    except FileNotFoundError as error:
        told = unreadable(path, error, "the logo") if path.is_symlink() else None
        remedy = "correct it, or put the file there; it counts from the folder that this file is in"
        raise _fault(told.message if told else f'there is no file "{path}"', told.remedy if told else remedy) from None
    except OSError as error:
        told = unreadable(path, error, f'the logo "{path}"')
        raise _fault(told.message, told.remedy) from None
    if kind == "svg":
        _refuse_svg(path, content)
    elif not content.startswith(_STARTS[kind]):
        raise _fault(f'"{path}" is not really a .{kind} file', _SAVE)
    else:
        _refuse_picture(path, kind, content)
    _refuse_unset(path)
    return kind, content


def _refuse_svg(path: Path, content: bytes) -> None:
    """Refuse what would not be the same drawing on every machine; nothing of it is run or fetched."""
    try:
        text = content.decode("utf-8-sig")
        if "<!ENTITY" in text:  # they can grow without end, and hide what they name
            raise _fault(f'"{path}" uses shorthands of its own (ENTITY)', "save it again as plain SVG")
        root = Tree.fromstring(text)  # noqa: S314 - the one danger, entities, was refused
    except (UnicodeDecodeError, Tree.ParseError):
        raise _fault(f'"{path}" is not really an .svg file', _SAVE) from None
    if _local(root.tag) != "svg":
        raise _fault(f'"{path}" is not really an .svg file', _SAVE)
    elements = [one for one in root.iter() if isinstance(one.tag, str)]
    away = next((found for one in elements for found in _shown_from_elsewhere(one)), None)
    if away is not None:
        told = f'"{path}" shows something that is not inside it: {away[:60]}'
        raise _fault(told, "save it with everything inside, as plain SVG")
    if any(_local(one.tag) == "text" for one in elements):
        raise _fault(f'"{path}" has letters that hang on a font', "save it with its letters as outlines (paths)")


def _refuse_picture(path: Path, kind: LogoKind, content: bytes) -> None:
    """Refuse a picture by its head, before anything unpacks it: a small file may hold more dots than memory does."""
    if kind == "jpg" and content.rfind(_JPG_END) < content.rfind(_JPG_DOTS):
        raise _fault(f'"{path}" is not all there: its end is missing', "save it again, or copy it anew")
    size = _png_size(content) if kind == "png" else _jpg_size(content)
    if size is None:
        raise _fault(f'"{path}" cannot be read as a drawing', "save it again, or take another")
    width, height = size
    if max(size) > _MOST_SIDE:
        told = f'"{path}" has {width} × {height} dots, more than {_MOST_SIDE} a side'
        raise _fault(told, LOGO.remedy)
    if kind == "jpg" and _lies_down(content):
        raise _fault(f'"{path}" lies on its side, with a note to turn it', "save it again, upright")


def _png_size(png: bytes) -> tuple[int, int] | None:
    """Width and height out of the head, which comes first (ISO/IEC 15948, clause 11.2.2)."""
    return None if png[12:16] != b"IHDR" or len(png) < 24 else struct.unpack_from(">II", png, 16)


def _jpg_size(jpg: bytes) -> tuple[int, int] | None:
    """Width and height out of the frame header: one of SOF0 to SOF15 (ISO/IEC 10918-1, B.1.1.3 and B.2.2)."""
    at = 2
    while at + 9 <= len(jpg) and jpg[at] == 0xFF:
        marker = jpg[at + 1]
        if marker == 0xFF:  # a fill byte
            at += 1
            continue
        if 0xC0 <= marker <= 0xCF and marker not in _NO_FRAME:
            height, width = struct.unpack_from(">HH", jpg, at + 5)
            return width, height
        at += 2 + struct.unpack_from(">H", jpg, at + 2)[0]
    return None


def _lies_down(jpg: bytes) -> bool:
    """Whether a picture says that it is to be turned or mirrored, as phones do (Exif 2.3, tag Orientation, 0x0112)."""
    start = jpg.find(b"Exif\0\0", 0, 65_536) + 6
    order = ">" if jpg[start : start + 2] == b"MM" else "<"
    try:
        (first,) = struct.unpack_from(f"{order}I", jpg, start + 4)
        (count,) = struct.unpack_from(f"{order}H", jpg, start + first)
        entries = [struct.unpack_from(f"{order}HHIH", jpg, start + first + 2 + 12 * each) for each in range(count)]
    except struct.error:  # cut short: whoever reads the picture says so
        return False
    return start > 5 and any(tag == 0x0112 and value != 1 for tag, _, _, value in entries)


def _local(tag: str) -> str:
    return tag.rpartition("}")[2]


def _shown_from_elsewhere(element: Tree.Element) -> Iterator[str]:
    """What an element shows from elsewhere. Where a link leads is not shown."""
    for text in (*element.attrib.values(), (element.text or "") if _local(element.tag) == "style" else ""):
        yield from (found["where"] or found["sheet"] for found in _ELSEWHERE.finditer(text))
    for key, text in element.attrib.items():
        if _local(key) == "href" and _local(element.tag) != "a" and not text.strip().startswith(("#", "data:")):
            yield text.strip()


def _refuse_unset(path: Path) -> None:
    """Refuse a drawing that looks right from outside and cannot be set all the same."""
    try:
        fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False)
        source, root = b"#image(sys.inputs.name, width: 9mm)", path.resolve().parent
        typst.Compiler(source, root=root, font_paths=fonts, sys_inputs={"name": path.resolve().name}).compile(
            format="png", ppi=9.0
        )
    except (typst.TypstError, OSError, RuntimeError, ValueError) as error:
        reason = getattr(error, "message", str(error))
        raise _fault(f'"{path}" cannot be read as a drawing: {reason}', "save it again, or take another") from None


def _fault(message: str, remedy: str) -> CannotError:
    return CannotError("logo", message, remedy)
