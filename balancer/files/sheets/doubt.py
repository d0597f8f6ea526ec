"""What a pour's cells may not mean: several pours taken for one name, and counts taken for millilitres."""

from __future__ import annotations

import re
from typing import Final

from balancer.errors import QuantityError
from balancer.units import UNITS

LEAST_ASSUMED_ML: Final = 2.5
"""Less than this is poured by the dash or the drop, so an assumed unit would be wrong: 1 egg white is no millilitre."""

_POURED: Final = sorted(
    (word for unit in UNITS if unit.kind in ("volume", "mass") for word in (unit.name, *unit.spellings)),
    key=len,
    reverse=True,
)
_AMOUNT_INSIDE: Final = re.compile(
    rf"[0-9¼½¾⅓⅔⅛⅜⅝⅞]\s*(?:{'|'.join(map(re.escape, _POURED))})(?![^\W\d_])", re.IGNORECASE
)
_FRONT: Final = re.compile(r"[/+&|•,;(]\s*[0-9.¼½¾⅓⅔⅛⅜⅝⅞]")
# Trade words for what is counted or guessed, not measured (common practice).
_COUNTED: Final = frozenset({
    "leaf", "leaves", "slice", "slices", "wedge", "wedges", "wheel", "wheels", "piece", "pieces", "sprig", "sprigs",
    "pinch", "pinches", "handful", "shot", "shots", "bottle", "bottles", "can", "cans", "cup", "cups", "glass",
    "splash", "splashes", "tbs", "mls", "x", "measure", "measures", "spray", "sprays", "egg", "eggs", "yolk", "yolks",
    "beans", "cloves", "twist", "twists", "cubes", "drizzle", "pods", "raspberries", "blackberries", "blueberries",
    "strawberries", "cherries", "olives", "sticks",
})  # fmt: skip


_HERBS: Final = frozenset(
    [
        "mint",
        "basil",
        "rosemary",
        "thyme",
        "sage",
        "coriander",
        "nutmeg",
        "cinnamon",
        "pepper",
        "ice",
        "cherry",
        "olive",
    ]
)
"""Counted where a name ends with one of them: mint is, and mint syrup is not."""


def refuse_several(text: str, name: str) -> None:
    """Refuse a name that goes on with another amount, or begins with what parts two pours.

    Raises QuantityError.
    """
    if not name:
        return
    if _AMOUNT_INSIDE.search(name) or _FRONT.match(name):
        raise QuantityError(
            "import-several", text, f'"{name[:60]}" is not one ingredient: there seem to be several amounts or pours',
            "write each pour by itself, with one amount, in a row or a line of its own",
        )  # fmt: skip


def refuse_counted(number: str, name: str, unit: str) -> None:
    """Refuse to take a count of things for an amount in an assumed unit.

    Raises QuantityError.
    """
    words = [word for word in re.split(r"[^\w()+]+", name.casefold()) if word]
    word = next((word for word in words if word in _COUNTED or re.search(r"[()+]", word)), None)
    if word is None and words and words[-1] in _HERBS:
        word = words[-1]
    if word is not None:
        raise QuantityError(
            "unit-missing", number, f'"{number} {name[:60]}" has no unit, and "{word}" is counted, not {unit}',
            "write how many ml, oz or g; what is not measured belongs under extras",
        )  # fmt: skip
