"""Field types of the files: text with a unit in, a checked value out.

Every validator raises a PydanticCustomError whose type is the problem's stable code and whose context
carries the remedy, so that the loader never matches on message text. Patterns exist for editors only
(JSON Schema); the parser in `balancer.units` decides.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Annotated, Any, Final

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, PlainValidator
from pydantic_core import PydanticCustomError

from balancer.components import ACIDS, SUGARS
from balancer.errors import QuantityError
from balancer.models.lengths import MOST, too_long
from balancer.models.slips import slip
from balancer.units import Kind, Quantity, find_unit, format_number, known_units, parse_quantity

_NUMERIC: Final = r"-+0-9.,/\s¼½¾⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
AMOUNT_START: Final = rf"[{_NUMERIC}]+[^{_NUMERIC}]"
"""A number as people write it and the first character of its unit, as a regular expression."""


class EditorSchema:
    """What an editor may expect of a field, as JSON Schema. Pydantic's own marker costs 6 ms at every start."""

    def __init__(self, schema: dict[str, Any]) -> None:
        self.schema = schema

    def __get_pydantic_json_schema__(self, _core: object, _handler: object) -> dict[str, Any]:
        return dict(self.schema)


class FileModel(BaseModel):
    """Base of what a file may hold: frozen, unknown keys forbidden."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)


def fail(code: str, message: str, remedy: str) -> PydanticCustomError:
    """The error a validator raises: code, message in kitchen words, and what to do."""
    return PydanticCustomError(code, "{message}", {"message": message, "remedy": remedy})


def quantity(*kinds: Kind, low: float, high: float, example: str, above: bool = False) -> Callable[[object], Quantity]:
    """A validator for an amount of one of the kinds, with its base value from low (or above it) to high."""

    def check(value: object) -> Quantity:
        if isinstance(value, Quantity):
            return value
        text = plain_text(value, example)
        try:
            found = parse_quantity(text)
        except QuantityError as error:
            ambiguous = error.code == "number-ambiguous"
            told, remedy = slip(text, kinds) or (
                error.reason, error.remedy if ambiguous else f"write it like {example}"
            )  # fmt: skip
            raise fail(error.code, told, remedy) from None
        if found.kind not in kinds:
            meant = slip(text, kinds)
            if meant is not None:
                raise fail("unit-kind", *meant)
            wanted = ", ".join(known_units(kind) for kind in kinds)
            remedy = f"use one of {wanted}, like {example}" if "," in wanted else f"write it like {example}"
            raise fail("unit-kind", f'"{text}" is in {found.unit}, which does not fit here', remedy)
        size = _size(found)
        if size < low or size > high or (above and size == low):
            least, most = format_number(low), format_number(high)
            limits = f"above {least} and at most {most}" if above else f"between {least} and {most}"
            raise fail(
                "value",
                f'"{text}" cannot be right: it must be {limits} {_base_name(found)}',
                f"write it like {example}",
            )
        return found

    return check


def base_value(check: Callable[[object], Quantity]) -> Callable[[object], float]:
    """The same validator, giving the value in the base unit."""

    def convert(value: object) -> float:
        if isinstance(value, int | float) and not isinstance(value, bool):
            return float(value)
        try:
            return check(value).base
        except QuantityError:
            raise fail("unit-kind", f'"{value}" has no fixed size', "write it in ml") from None

    return convert


def _size(found: Quantity) -> float:
    unit = find_unit(found.unit)
    return found.value if unit is None or (unit.factor is None and unit.name != "°F") else found.base


def _base_name(found: Quantity) -> str:
    unit = find_unit(found.unit)
    if unit is None or unit.factor is None:
        return found.unit if found.unit != "°F" else "°C"
    return {"volume": "ml", "mass": "g", "duration": "days"}.get(unit.kind, unit.name)


def plain_text(value: object, example: str = "") -> str:
    """A value that must be text and not blank; the example, if there is one, goes into the remedy."""
    like = f", like {example}" if example else ""
    if not isinstance(value, str):
        raise fail("shape", "one value is wanted here, not a list or a group of keys", f"write it on one line{like}")
    if not value.strip():
        raise fail("empty", "nothing is written here", f"write a value{like}, or delete this")
    return value


def amount_schema(example: str) -> EditorSchema:
    """What an editor may expect of an amount with its unit."""
    return EditorSchema({"type": "string", "pattern": f"^{AMOUNT_START}", "examples": [example]})


def _based(*kinds: Kind, low: float, high: float, example: str, above: bool = False) -> Any:
    check = quantity(*kinds, low=low, high=high, example=example, above=above)
    return PlainValidator(base_value(check)), amount_schema(example)


def _kept(*kinds: Kind, low: float, high: float, example: str, above: bool = False) -> Any:
    check = quantity(*kinds, low=low, high=high, example=example, above=above)
    return PlainValidator(check), amount_schema(example)


Millilitres = Annotated[float, *_based("volume", low=0, high=100_000, example="30 ml", above=True)]
Volume = Annotated[Quantity, *_kept("volume", low=0, high=100_000, example="2.5 ml", above=True)]
Mass = Annotated[float, *_based("mass", low=0, high=1_000_000, example="118 g", above=True)]
Brix = Annotated[float, *_based("strength", low=0, high=85, example="50 °Bx", above=True)]
BrixTolerance = Annotated[float, *_based("strength", low=0, high=20, example="1 °Bx", above=True)]
Abv = Annotated[float, *_based("share", low=0, high=100, example="40 %")]
Share = Annotated[float, *_based("share", low=0, high=100, example="60 %")]
Percent = Annotated[float, *_based("share", low=0, high=500, example="45 %")]
Tolerance = Annotated[float, *_based("share", low=0, high=50, example="5 %", above=True)]
Celsius = Annotated[float, *_based("temperature", low=-30, high=60, example="4 °C")]
Days = Annotated[float, *_based("duration", low=0, high=3650, example="7 days", above=True)]
Density = Annotated[float, *_based("density", low=0.6, high=2.5, example="1.03 g/ml")]
Concentration = Annotated[Quantity, *_kept("concentration", low=0, high=1600, example="46 g/l")]
AmountEach = Annotated[Quantity, *_kept("mass", "volume", low=0, high=10_000, example="4 g", above=True)]
Yield = Annotated[Quantity, *_kept("mass", "volume", "share", low=0, high=1_000_000, example="900 ml", above=True)]


def _name(value: object) -> str:
    return " ".join(plain_text(value).split())


def _short_name(value: object) -> str:
    name = _name(value)
    if fault := too_long(name, MOST["name"]):
        raise fail("too-long", *fault)
    return name


def _flag(value: object) -> bool:
    if isinstance(value, bool):
        return value
    text = plain_text(value, "true").strip().casefold()
    if text not in ("true", "yes", "false", "no"):
        raise fail("choice", f'"{text}" is neither true nor false', "write true or false")
    return text in ("true", "yes")


def choice(*allowed: str) -> Callable[[object], str]:
    """A validator for one word out of a few."""

    def check(value: object) -> str:
        text = plain_text(value, allowed[0]).strip().casefold()
        if text not in allowed:
            raise fail("choice", f'"{text}" is not one of the choices here', f"choose one of {', '.join(allowed)}")
        return text

    return check


def one_of(*allowed: str) -> Any:
    """Annotation parts for one word out of a few."""
    return PlainValidator(choice(*allowed)), EditorSchema({"type": "string", "enum": list(allowed)})


# An editor sees 1984 or 007 as numbers; both are names here.
_NAME: Final = {"type": ["string", "number"], "minLength": 1}
Name = Annotated[str, PlainValidator(_short_name), EditorSchema({**_NAME, "maxLength": MOST["name"]})]
PathText = Annotated[str, PlainValidator(_name), EditorSchema(_NAME)]
_ANY_TEXT: Final = {"type": ["string", "number", "boolean"]}
Text = Annotated[str, PlainValidator(_name), EditorSchema(_ANY_TEXT)]
Flag = Annotated[bool, PlainValidator(_flag), EditorSchema({"enum": [True, False, "yes", "no"]})]


def _listed(value: object) -> object:
    """One entry or a list of them."""
    return value if isinstance(value, list | tuple) else [value]


_ONE_OR_LIST: Final = {"anyOf": [_ANY_TEXT, {"type": "array", "items": _ANY_TEXT}]}
Texts = Annotated[tuple[Text, ...], BeforeValidator(_listed), EditorSchema(_ONE_OR_LIST)]

_NO_ALLERGEN: Final = re.compile(
    r"\W*|(none|no|not|nil|nothing|without|free|unknown|unsure|n\W?a|tb[cd])\b.*|.*\bunknown|.*free( from\b.*)?",
    re.DOTALL,
)
"""What people write in place of an allergen; read as one it would be shown as "contains none"."""


def _allergen(value: object) -> str:
    name = _name(value)
    if _NO_ALLERGEN.fullmatch(name.casefold()):
        remedy = "write [] when the house lists no allergen, or delete the line when you do not know"
        raise fail("allergens", f'"{name}" is not the name of an allergen', remedy)
    if "," in name:
        raise fail("allergens", f'"{name}" would be one allergen with a comma in it', "write a list: [almonds, milk]")
    return name.casefold()


def _each_once(names: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(names))


# Without regard to case, so that Milk of one ingredient and milk of another are one.
Allergen = Annotated[str, PlainValidator(_allergen), EditorSchema(_ANY_TEXT)]
Allergens = Annotated[
    tuple[Allergen, ...], BeforeValidator(_listed), AfterValidator(_each_once), EditorSchema(_ONE_OR_LIST)
]


def _kind(known: tuple[str, ...], what: str) -> Callable[[object], str]:
    def check(name: object) -> str:
        if name not in known:
            raise fail("share-name", f'"{name}" is not a kind of {what} known here', f"known: {', '.join(known)}")
        return str(name)

    return check


def _normalised(value: dict[str, float]) -> dict[str, float]:
    total = sum(value.values())
    if not 98.0 <= total <= 102.0:
        raise fail("share-sum", f"these shares add up to {total:g} %, not 100 %", "make the shares add up to 100 %")
    return {name: share / total for name, share in value.items()}


def _shares(known: tuple[str, ...]) -> tuple[AfterValidator, EditorSchema]:
    share = amount_schema("60 %").schema
    return AfterValidator(_normalised), EditorSchema({"type": "object", "properties": dict.fromkeys(known, share)})


def _no_grams(value: object) -> object:
    """Grams of an acid itself arrive here only where `balancer.models.acids` could not take them for what they are."""
    try:
        found = parse_quantity(value) if isinstance(value, str) else None
    except QuantityError:
        return value
    if found is not None and found.kind == "concentration":
        remedy = "keep acid, with shares of it in %; or delete acid, and give grams of every acid itself in one unit"
        raise fail(
            "unit-kind", f'"{value}" is grams of the acid itself, and stands beside no acid and no share', remedy
        )
    return value


SugarKind = Annotated[str, PlainValidator(_kind(SUGARS, "sugar"))]
AcidKind = Annotated[str, PlainValidator(_kind(ACIDS, "acid"))]
SugarShares = Annotated[dict[SugarKind, Share], *_shares(SUGARS)]
AcidShares = Annotated[dict[AcidKind, Annotated[Share, BeforeValidator(_no_grams)]], *_shares(ACIDS)]
