"""What a pour's cells may not mean: several pours taken for one name, and counts taken for millilitres."""

from __future__ import annotations

import re
from typing import Final

from balancer.errors import QuantityError
from balancer.units import UNITS

LEAST_ASSUMED_ML: Final = 2.5
"""Less than this is poured by the dash or the drop, so an assumed unit would be wrong: 1 egg white is no millilitre."""

MOST_COUNTED: Final = 4.0
"""So many whole eggs or cubes, at most, are counted in a drink; more is rather millilitres (common practice)."""

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
    "beans", "cloves", "twist", "twists", "cube", "cubes", "drizzle", "pods", "raspberries", "blackberries",
    "blueberries", "strawberries", "cherries", "olives", "sticks",
})  # fmt: skip


# What a large egg fills, by what its mass in the pantry's records fills at 1.03 g/ml, as a bar would pour it.
_EGG: Final = {"white": "30 ml", "yolk": "15 ml", "egg": "50 ml"}

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


def refuse_egg(number: str, name: str, *, in_pantry: bool) -> None:
    """Refuse an egg of which nobody knows what one weighs, and say how to write it.

    in_pantry  whether the pantry knows it

    Raises QuantityError.
    """
    if not is_egg(name):
        return
    by_volume = f'write it by volume, like "{_EGG[_words(name)[-1]]}"'
    remedy = f"{by_volume}, or what one weighs as each: in its ingredient's file"
    if in_pantry:
        remedy = f"the pantry knows what one weighs: take it with --pantry, or {by_volume}"
    told = f'"{number} {name[:60]}" has no unit, and nobody knows here what one weighs'
    raise QuantityError("unit-missing", number, told, remedy)


def is_egg(name: str) -> bool:
    """Whether a name is of an egg or a part of it: egg liqueur is poured."""
    words = _words(name)
    return bool(words) and words[-1] in _EGG and not {"egg", "yolk"}.isdisjoint(words)


def _words(name: str) -> list[str]:
    return [word.removesuffix("s") for word in re.findall(r"[^\W\d_]+", name.casefold())]


def is_counted(word: str) -> bool:
    """Whether a word stands behind a count: 3 slices, 8 leaves."""
    return word.casefold() in _COUNTED


def not_measured(text: str) -> str:
    """What to do about a count of what nobody measures."""
    return f'write "{text[:60]}" under extras, where nothing is measured; or write how many ml, oz or g'


def refuse_counted(number: str, name: str, unit: str | None = None) -> None:
    """Refuse to take a count of things for an amount in an assumed unit, or without any.

    Raises QuantityError.
    """
    words = [word for word in re.split(r"[^\w()+]+", name.casefold()) if word]
    word = next((word for word in words if word in _COUNTED or re.search(r"[()+]", word)), None)
    if word is None and words and words[-1] in _HERBS:
        word = words[-1]
    if word is not None:
        told = f'"{number} {name[:60]}" has no unit, and "{word}" is counted{f", not {unit}" if unit else ""}'
        remedy = f'write it as a unit of its sugar, like "{number} {word} granulated sugar", or how many g'
        is_cube = word in ("cube", "cubes")  # it sweetens, so it is no extra
        raise QuantityError("unit-missing", number, told, remedy if is_cube else not_measured(f"{number} {name}"))
