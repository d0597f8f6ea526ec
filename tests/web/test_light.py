"""The colours of the page, by the formula of the Web Content Accessibility Guidelines."""

from __future__ import annotations

import re
from pathlib import Path


def test_text_is_read_in_both_lights() -> None:
    """WCAG 2.2, 1.4.3 and 1.4.11: 4.5 to 1 for text, 3 to 1 for the lines of fields. Relative luminance as it says."""
    css = (Path(__file__).parents[2] / "balancer" / "web" / "static" / "page.css").read_text(encoding="utf-8")
    palettes = re.findall(r"\{[^{}]*?--ground:[^{}]*\}", css)
    assert len(palettes) == 4
    for palette in palettes:
        colours = {name: _luminance(code) for name, code in re.findall(r"--(\w+):#([0-9a-f]{6})", palette)}
        for ground in ("ground", "field"):
            for text in ("ink", "quiet", "pour"):
                assert _contrast(colours[text], colours[ground]) >= 4.5, (text, ground, palette)
            assert _contrast(colours["line"], colours[ground]) >= 3.0, (ground, palette)


def _luminance(code: str) -> float:
    parts = [int(code[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _contrast(one: float, other: float) -> float:
    return (max(one, other) + 0.05) / (min(one, other) + 0.05)
