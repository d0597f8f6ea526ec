"""Pages as dots: how many are too many, and how large they are on paper."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterable
from typing import Final

from balancer.errors import CannotError

PNG_DPI: Final = 150
"""Dots per inch where nobody asks for others: to look at on a screen."""
LEAST_DPI: Final = 72
MOST_DPI: Final = 1200
SMALL_DPI: Final = 36.0
"""To see how large a page is before it is drawn."""

MOST_DOTS: Final = 40_000_000
"""On one page: drawing takes 8 bytes for each, so 330 MB; a sheet of A4 at 600 dpi has 35 million."""

_INCH_M: Final = 0.0254
_SIZE: Final = struct.Struct(">II")
_SIZE_AT: Final = 16
_HEAD_END: Final = 33
"""Where width and height stand in a PNG, and where its head ends (ISO/IEC 15948, clauses 5.2 and 11.2.2)."""


def refuse_too_many(small: Iterable[bytes], dpi: int) -> None:
    """Raise CannotError when a page would not fit into memory; small are the pages drawn at SMALL_DPI."""
    sizes = [_SIZE.unpack_from(page, _SIZE_AT) for page in small]
    most = max(width * height for width, height in sizes) * (dpi / SMALL_DPI) ** 2
    if most > MOST_DOTS:
        fits = int(dpi * (MOST_DOTS / most) ** 0.5)
        raise CannotError(
            "too-many-dots",
            f"at {dpi} dpi a page has {most / 1e6:.0f} million dots, more than {MOST_DOTS / 1e6:.0f} million",
            f"take --dpi {fits} or less, or print a .pdf, which is sharp at any size",
        )


def sized(png: bytes, dpi: int) -> bytes:
    """A PNG that says how large it is on paper, which the typesetter leaves out: without it, 100 % is any size."""
    per_metre = round(dpi / _INCH_M)
    chunk = b"pHYs" + struct.pack(">IIB", per_metre, per_metre, 1)
    said = struct.pack(">I", len(chunk) - 4) + chunk + struct.pack(">I", zlib.crc32(chunk))
    return png[:_HEAD_END] + said + png[_HEAD_END:]
