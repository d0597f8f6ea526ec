"""Pages as dots: as fine as asked, as large as on paper, and not more than fit into memory."""

from __future__ import annotations

import struct
import zlib
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from balancer.errors import CannotError
from balancer.output.paper.dots import MOST_DOTS, PNG_DPI
from balancer.output.paper.typeset import typeset

AT = datetime(2026, 11, 25, 18, 0, tzinfo=UTC)
DATA: dict[str, Any] = {"title": "a page", "items": [{"name": "one"}]}


def page(folder: Path, width: str, height: str) -> Path:
    path = folder / "one.typ"
    text = f'#set document(title: "a page")\n#set page(width: {width}, height: {height})\n#set text(font: "Inter")\none'
    path.write_text(text, encoding="utf-8")
    return path


def chunks(png: bytes) -> list[tuple[bytes, bytes]]:
    """The parts of a PNG, each with its sum checked (ISO/IEC 15948, clause 5.3)."""
    assert png[:8] == b"\x89PNG\r\n\x1a\n"
    found, at = [], 8
    while at < len(png):
        (length,) = struct.unpack_from(">I", png, at)
        name, content = png[at + 4 : at + 8], png[at + 8 : at + 8 + length]
        assert struct.unpack_from(">I", png, at + 8 + length) == (zlib.crc32(name + content),)
        found.append((name, content))
        at += 12 + length
    return found


@pytest.mark.parametrize(("dpi", "per_metre"), [(203, 7992), (300, 11811), (600, 23622)])
def test_a_page_has_the_dots_asked_for_and_says_how_large_it_is(tmp_path: Path, dpi: int, per_metre: int) -> None:
    """62 mm at 300 dpi: 62 / 25.4 × 300 = 732 dots; 300 / 0.0254 = 11811 to the metre."""
    (png,) = typeset(page(tmp_path, "62mm", "30mm"), DATA, "png", AT, dpi=dpi)
    parts = chunks(png)
    assert [name for name, _ in parts][:2] == [b"IHDR", b"pHYs"]
    assert [name for name, _ in parts][-1] == b"IEND"
    assert struct.unpack_from(">II", parts[0][1]) == pytest.approx((62 / 25.4 * dpi, 30 / 25.4 * dpi), abs=1)
    assert struct.unpack(">IIB", parts[1][1]) == (per_metre, per_metre, 1)


def test_without_a_wish_it_is_for_the_screen(tmp_path: Path) -> None:
    (png,) = typeset(page(tmp_path, "62mm", "30mm"), DATA, "png", AT)
    assert PNG_DPI == 150
    assert struct.unpack_from(">I", png, 16) == pytest.approx((62 / 25.4 * 150,), abs=1)


def test_a_page_of_too_many_dots_is_refused_with_what_fits(tmp_path: Path) -> None:
    """A4 at 1200 dpi: 9921 × 14031 = 139 million dots."""
    template = page(tmp_path, "210mm", "297mm")
    with pytest.raises(CannotError) as caught:
        typeset(template, DATA, "png", AT, dpi=1200)
    assert caught.value.code == "too-many-dots"
    assert "139 million dots" in caught.value.message
    fits = int(caught.value.remedy.split()[2])
    assert 0.98 < 210 / 25.4 * 297 / 25.4 * fits**2 / MOST_DOTS < 1.02
    typeset(template, DATA, "pdf", AT, dpi=1200)


def test_a_roll_is_measured_by_its_text(tmp_path: Path) -> None:
    template = page(tmp_path, "80mm", "auto")
    typeset(template, DATA, "png", AT, dpi=300)
    template.write_text(template.read_text(encoding="utf-8") + "#v(30cm)" * 40, encoding="utf-8")
    with pytest.raises(CannotError) as caught:
        typeset(template, DATA, "png", AT, dpi=300)
    assert caught.value.code == "too-many-dots"
