"""Amounts as people write them: '3/4 oz', '1½ oz', '22,5 ml', '2 dashes', '50 °Bx'.

One table holds every unit. A spelling is looked up only here; what a bar decides for itself
(its ounce, dash, barspoon) is a `Measures`.

Fractions are read before any Unicode normalising: NFKC would turn '1½' into '11/2'.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import ItemsView
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Final, Literal, NamedTuple

from balancer.errors import QuantityError

Kind = Literal[
    "volume",
    "mass",
    "strength",
    "share",
    "concentration",
    "density",
    "temperature",
    "duration",
    "heat capacity",
    "count",
]

US_FLUID_OUNCE_ML: Final = 29.5735295625
"""Exact: a US gallon is 231 cubic inches, 3785.411784 ml, and 128 fluid ounces."""


class Unit(NamedTuple):
    """One row of the table.

    name       as the project writes it
    kind       what it measures; amounts of different kinds never convert silently
    factor     base units in one of it (ml, g, °Bx, percent, g/kg or g/l, °C, days);
               None when the house decides, see `Measures`
    spellings  accepted besides the name, all in lower case
    """

    name: str
    kind: Kind
    factor: float | None
    spellings: tuple[str, ...] = ()


UNITS: Final[tuple[Unit, ...]] = (
    Unit("ml", "volume", 1.0, ("mls", "millilitre", "millilitres", "milliliter", "milliliters", "cc")),
    Unit("cl", "volume", 10.0, ("centilitre", "centilitres", "centiliter", "centiliters")),
    Unit("l", "volume", 1000.0, ("litre", "litres", "liter", "liters")),
    Unit(
        "oz",
        "volume",
        None,
        ("ounce", "ounces", "ozs", "fl oz", "fl. oz", "fl.oz", "floz", "fluid ounce", "fluid ounces"),
    ),
    Unit("dash", "volume", None, ("dashes",)),
    Unit("barspoon", "volume", None, ("barspoons", "bar spoon", "bar spoons", "bsp", "bsps")),
    Unit("teaspoon", "volume", None, ("teaspoons", "tsp", "tsps")),
    Unit("tablespoon", "volume", None, ("tablespoons", "tbsp", "tbsps")),
    Unit("drop", "volume", None, ("drops",)),
    Unit("part", "volume", None, ("parts",)),
    Unit("g", "mass", 1.0, ("gram", "grams", "gr")),
    Unit("kg", "mass", 1000.0, ("kilo", "kilos", "kilogram", "kilograms")),
    Unit("°Bx", "strength", 1.0, ("bx", "brix", "°brix", "degrees brix", "deg bx")),
    Unit("%", "share", 1.0, ("% vol", "%vol", "percent", "% abv", "vol%", "vol %")),
    Unit("g/kg", "concentration", 1.0),
    Unit("g/l", "concentration", 1.0, ("g/litre", "g/liter")),
    Unit("g/ml", "density", 1.0, ("kg/l", "g/cm3", "g/cm³")),
    Unit("°C", "temperature", 1.0, ("c", "deg c", "celsius")),
    Unit("°F", "temperature", None, ("f", "deg f", "fahrenheit")),
    Unit("days", "duration", 1.0, ("day", "d")),
    Unit("weeks", "duration", 7.0, ("week",)),
    Unit("J/K", "heat capacity", 1.0),
)
_BY_SPELLING: Final = {spelling: unit for unit in UNITS for spelling in (unit.name.casefold(), *unit.spellings)}

_VULGAR: Final = {
    "¼": (1, 4), "½": (1, 2), "¾": (3, 4), "⅓": (1, 3), "⅔": (2, 3), "⅕": (1, 5), "⅖": (2, 5), "⅗": (3, 5),
    "⅘": (4, 5), "⅙": (1, 6), "⅚": (5, 6), "⅛": (1, 8), "⅜": (3, 8), "⅝": (5, 8), "⅞": (7, 8),
}  # fmt: skip
_GLYPHS: Final = "".join(_VULGAR)
_GLYPH: Final = {parts: glyph for glyph, parts in _VULGAR.items()}
_DENOMINATORS: Final = (2, 3, 4, 5, 6, 8, 16, 32)
# One character for one, so that a place in the translated text is the same place in the original.
_LOOKALIKES: Final = str.maketrans({
    "\u00a0": " ", "\u202f": " ", "\u2009": " ", "\u2007": " ", "\u2044": "/", "\u2215": "/", "\u2212": "-",
    "º": "°", "˚": "°", "％": "%",
})  # fmt: skip
_NUMBER: Final = re.compile(
    r"""\s*(?:(?P<sign>[+-])\s*)?(?:
        (?P<whole>[0-9]{1,15})\s+(?P<top>[0-9]{1,4})\s*/\s*(?P<bottom>[0-9]{1,4})
      | (?P<top2>[0-9]{1,4})\s*/\s*(?P<bottom2>[0-9]{1,4})
      | (?:(?P<whole2>[0-9]{1,15})\s*)?(?P<glyph>["""
    + _GLYPHS
    + r"""])
      | (?P<decimal>[0-9]{0,15}[.,][0-9]{1,30}|[0-9]{1,15})
    )""",
    re.VERBOSE,
)
# What may not follow a number: a second one ('1-2', '1_000', "1'000"), an exponent, a loose '/', '.' or ','.
_RUNS_ON: Final = re.compile(rf"\s*[/.,]|\s*[-+–]\s*[0-9{_GLYPHS}]|['’_][0-9]|e[-+]?[0-9]", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number and the name of its unit, as in the table or in an ingredient's own `each`."""

    value: float
    unit: str

    def __str__(self) -> str:
        return format_quantity(self)

    @property
    def kind(self) -> Kind:
        """What the unit measures; a unit outside the table counts things."""
        unit = _BY_SPELLING.get(self.unit.casefold())
        return unit.kind if unit else "count"

    @property
    def base(self) -> float:
        """The value in the base unit of its kind: ml, g, °Bx, %, °C, days.

        Raises QuantityError for a unit that a house decides (`Measures.ml` converts those) or that
        the table does not know.
        """
        unit = _BY_SPELLING.get(self.unit.casefold())
        if unit is not None and unit.name == "°F":
            return (self.value - 32.0) / 1.8
        if unit is None or unit.factor is None:
            raise QuantityError(
                "unit", str(self), f'"{self.unit}" has no fixed size', "give it in ml, or set it in house.yaml"
            )
        return self.value * unit.factor


@dataclass(frozen=True, slots=True)
class Measures:
    """What one bar means by its measures, in ml. The defaults are common practice, the ounce is exact."""

    ounce: float = US_FLUID_OUNCE_ML
    dash: float = 0.8
    barspoon: float = 5.0
    teaspoon: float = 5.0
    tablespoon: float = 15.0
    drop: float = 0.05
    part: float = 30.0
    _ml: dict[str, float] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        sizes = {unit.name: unit.factor for unit in UNITS if unit.kind == "volume" and unit.factor is not None}
        house = {"oz": self.ounce, "dash": self.dash, "barspoon": self.barspoon, "teaspoon": self.teaspoon}
        house |= {"tablespoon": self.tablespoon, "drop": self.drop, "part": self.part}
        object.__setattr__(self, "_ml", sizes | house)

    def sizes(self) -> ItemsView[str, float]:
        """Every unit of volume and its size in ml."""
        return self._ml.items()

    def ml(self, quantity: Quantity) -> float:
        """A volume in ml. Raises QuantityError for what is not a volume: a mass needs a density.

        >>> Measures(ounce=30.0).ml(Quantity(0.75, "oz"))
        22.5
        """
        try:
            return quantity.value * self._ml[quantity.unit]
        except KeyError:
            raise QuantityError(
                "unit", str(quantity), f'"{quantity}" is not a volume', "use ml, cl, l, oz or a bar measure"
            ) from None


def parse_number(text: str) -> float:
    """A number written with a point, a comma, a fraction or a fraction sign.

    At most 15 digits before the point and 30 after it; a fraction has at most 4 above and below.
    Raises QuantityError for anything else, for '1,000' (a thousand or one?) and for zero denominators.

    >>> [parse_number(text) for text in ("22,5", ".75", "1 1/2", "1½", "3/4")]
    [22.5, 0.75, 1.5, 1.5, 0.75]
    """
    value, rest = _take_number(text)
    if rest.strip():
        raise QuantityError("number", text, f'"{text}" is not a number', "write it like 22.5, 22,5 or 3/4")
    return value


def is_number(text: str) -> bool:
    """Whether a text is a number alone, as `parse_number` reads one.

    >>> is_number("22,5"), is_number("22.5 ml")
    (True, False)
    """
    try:
        parse_number(text)
    except QuantityError:
        return False
    return True


def parse_quantity(text: str) -> Quantity:
    """A number with a unit of the table.

    Raises QuantityError when the number or the unit is missing or unknown.

    >>> parse_quantity("1½ oz"), parse_quantity("50ºBx")
    (Quantity(value=1.5, unit='oz'), Quantity(value=50.0, unit='°Bx'))
    """
    value, rest = _take_number(text)
    word = rest.strip()
    if not word:
        raise QuantityError(
            "unit-missing", text, f'"{text.strip()}" has no unit', f'write the unit, for example "{text.strip()} ml"'
        )
    unit = find_unit(word)
    if unit is None:
        raise QuantityError("unit", text, f'unknown unit "{word}" in "{text.strip()}"', f"known units: {known_units()}")
    return Quantity(value, unit.name)


def parse_pour(text: str) -> tuple[Quantity, str]:
    """`AMOUNT UNIT [of] NAME` as an amount and a name.

    A unit that the table does not know is kept as written: it may be one of the ingredient's own
    (`each: {cube: 4 g}`). Unit and name may be empty; the caller says so where it knows the file.
    Raises QuantityError when the number is missing or is not one number.

    >>> parse_pour("2 dashes of aromatic bitters")
    (Quantity(value=2.0, unit='dash'), 'aromatic bitters')
    """
    value, rest = _take_number(text)
    words = rest.split()
    taken = _words_of_unit(words)
    word, name = " ".join(words[:taken]), words[taken:]
    unit = find_unit(word)
    if name and name[0].casefold() == "of":
        name = name[1:]
    return Quantity(value, unit.name if unit else word), " ".join(name)


def split_pour(text: str) -> tuple[str, str, str]:
    """Number, unit and what follows, each as written, with the blanks in front of it: together they are the text.

    Raises QuantityError as `parse_pour` does.

    >>> split_pour("1 1/2 fl oz of gin")
    ('1 1/2', ' fl oz', ' of gin')
    """
    _, rest = _take_number(text)
    words = list(re.finditer(r"\S+", rest))
    taken = _words_of_unit([word[0] for word in words])
    end = words[:taken][-1].end() if words else 0
    return text[: len(text) - len(rest)], rest[:end], rest[end:]


def tidy_amount(text: str) -> str:
    """An amount as typed, with one blank between number and unit.

    Raises QuantityError as `parse_pour` does.

    >>> tidy_amount("20ml"), tidy_amount(" 1 1/2oz "), tidy_amount("22,5  ml")
    ('20 ml', '1 1/2 oz', '22,5 ml')
    """
    number, unit, rest = split_pour(text)
    return " ".join(f"{number} {unit} {rest}".split())


def find_unit(word: str) -> Unit | None:
    """The row of the table for a spelling, or None.

    Case, a trailing full stop, ring look-alikes and a space after the ring do not matter.
    """
    cleaned = " ".join(word.translate(_LOOKALIKES).casefold().split()).replace("° ", "°")
    return _BY_SPELLING.get(cleaned) or _BY_SPELLING.get(cleaned.rstrip("."))


def known_units(kind: Kind | None = None) -> str:
    """The units of the table, of one kind or the pourable ones, for a message."""
    kinds = (kind,) if kind else ("volume", "mass")
    return ", ".join(unit.name for unit in UNITS if unit.kind in kinds)


def format_number(value: float) -> str:
    """The shortest decimal that reads back as the same number, never with an exponent. For finite values.

    >>> format_number(22.5), format_number(60.0), format_number(1e-7)
    ('22.5', '60', '0.0000001')
    """
    unsigned_zero = float(value) + 0.0
    return format(Decimal(repr(unsigned_zero)), "f").removesuffix(".0")


def format_fraction(value: float, *, glyphs: bool = True) -> str | None:
    """A value as a kitchen fraction, '1½' or '1 1/2', or None when it is not one to 1e-12 of its size.

    >>> format_fraction(1.5), format_fraction(0.75, glyphs=False), format_fraction(0.7)
    ('1½', '3/4', None)
    """
    for denominator in _DENOMINATORS:
        scaled = value * denominator
        if 1 - 1e-12 < scaled < 1e15 and abs(scaled - round(scaled)) < 1e-12:
            whole, rest = divmod(round(scaled), denominator)
            break
    else:
        return None
    if rest == 0:
        return str(whole)
    part = Fraction(rest, denominator)
    glyph = _GLYPH.get((part.numerator, part.denominator)) if glyphs else None
    if glyph:
        return f"{whole or ''}{glyph}"
    return f"{whole} {part}" if whole else str(part)


def format_quantity(quantity: Quantity, *, glyphs: bool = True) -> str:
    """An amount as a person writes it; ounces, parts and spoons in fractions. `parse_quantity` reads it back.

    >>> format_quantity(Quantity(1.5, "oz")), format_quantity(Quantity(22.5, "ml"))
    ('1½ oz', '22.5 ml')
    """
    number = None
    if quantity.unit in ("oz", "part", "barspoon", "teaspoon", "tablespoon"):
        number = format_fraction(quantity.value, glyphs=glyphs)
    number = number or format_number(quantity.value)
    unit = quantity.unit
    if unit in ("dash", "drop", "part", "barspoon", "teaspoon", "tablespoon") and quantity.value > 1:
        unit += "es" if unit == "dash" else "s"
    elif unit in ("days", "weeks") and quantity.value == 1:
        unit = unit.removesuffix("s")
    return f"{number} {unit}"


def _words_of_unit(words: list[str]) -> int:
    """How many of some words are the unit they start with."""
    return 2 if find_unit(" ".join(words[:2])) else 1


def _take_number(text: str) -> tuple[float, str]:
    """The number at the start of a text, and the rest of the text as it was written: a name keeps its 'Nº'."""
    plain = text.translate(_LOOKALIKES)
    match = _NUMBER.match(plain)
    if match is None:
        raise QuantityError(
            "number", text, f'"{text.strip()}" does not start with a number', "write it like 22.5 ml or 3/4 oz"
        )
    if _runs_on(plain[match.end() :]):
        raise QuantityError(
            "number", text, f'"{text.strip()}" is not one number', "write it like 22.5 ml, 1000 ml or 3/4 oz"
        )
    found = match.groupdict()
    if decimal := found["decimal"]:
        whole, comma, digits = decimal.partition(",")
        if comma and len(digits) == 3 and whole.strip("0"):
            raise QuantityError(
                "number-ambiguous", text, f'"{decimal}" may be {whole}{digits} or {whole}.{digits}',
                f"write {whole}{digits} or {whole}.{digits.rstrip('0') or '0'}",
            )  # fmt: skip
        value = float(decimal.replace(",", "."))
    else:
        top, bottom = _VULGAR.get(found["glyph"] or "", (0, 1))
        if found["glyph"] is None:
            top, bottom = int(found["top"] or found["top2"]), int(found["bottom"] or found["bottom2"])
        if bottom == 0:
            raise QuantityError("number", text, f'"{match[0].strip()}" divides by zero', "write it like 3/4")
        value = int(found["whole"] or found["whole2"] or 0) + top / bottom
    return (-value if found["sign"] == "-" else value), text[match.end() :]


def _runs_on(rest: str) -> bool:
    """Whether the number goes on after all: '1 000', '2²', '1½½', '1/2/3'."""
    first = rest.lstrip()[:1]
    return bool(first) and (unicodedata.category(first) in ("Nd", "No") or _RUNS_ON.match(rest) is not None)
