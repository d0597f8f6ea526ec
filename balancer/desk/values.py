"""Option texts to numbers, by the same parser as the files. What is wrong here is wrong usage.

From Python a number may come in place of a text: it is in the unit that the function says, and in the same range.
A bare number is a strength in °Bx, a share in % or a density in g/ml: the others have several units.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Final

from balancer.engine.prep.scales import SPANS, ReadScale, Seen, brix_of
from balancer.errors import QuantityError, UsageError
from balancer.models.batch import CAUSES, Cause
from balancer.models.slips import choices, slip
from balancer.units import Kind, Measures, Quantity, known_units, parse_number, parse_quantity

MOST_BRIX: Final = 85.0
_READING: Final = r"(?i:(?:(?P<before>nd|n|ri|sg)\s*=?\s*)?(?P<number>[0-9]+(?:[.,][0-9]+)?)\s*(?P<after>nd|n|ri|sg)?)"
_SCALES: Final[dict[str, ReadScale]] = {"nd": "nD", "n": "nD", "ri": "nD", "sg": "SG"}
_CALLED: Final[dict[ReadScale, str]] = {"nD": "refractive index", "SG": "specific gravity"}
_LEAST_GRAVITY: Final = 1.0
_MOST_INDEX: Final = 1.6
SIGNS: Final = {"+": 1.0, "-": -1.0, "−": -1.0}
"""What more and less are typed with."""
_SIGNED: Final = "write {option} -10% for less, {option} +10% for more, or the grams it should hold, like 18g"
_MOST_CHANGE: Final = 300.0
_MOST_ABV: Final = 60.0
POUR_UNITS: Final = ("ml", "oz")
"""What a bare number may be of where one pour is meant."""
_VESSEL_UNITS: Final = ("l", "ml")
_MASS_UNITS: Final = ("kg", "g")


TextOrNumber = str | float
"""What was typed, or a number that needs no reading."""


def measure(
    text: TextOrNumber, option: str, kind: Kind, default_unit: str, *, low: float, high: float, has_low: bool = False
) -> float:
    """A number with or without its unit, in the default unit and between low (excluded unless has_low) and high."""
    span = f"from {low:g} to" if has_low else f"above {low:g} and up to"
    wanted = f"give a number {span} {high:g} {default_unit}"
    try:
        value = parse_number(text) if isinstance(text, str) else float(text)
    except QuantityError:
        found = _quantity(str(text), option, kind, wanted)
        value = found.base
    if not low < value <= high and not (has_low and value == low):
        raise _wrong(option, f'"{text}" cannot be right', wanted)
    return value + 0.0  # no minus before a zero


def numbers_and_name(words: Iterable[str]) -> tuple[list[str], str]:
    """Words as people type them, in any order: those that begin like a number, and the others as one name.

    >>> numbers_and_name(["54", "53,8", "rich", "syrup"]), numbers_and_name(["RAS-12", "54°Bx"])
    ((['54', '53,8'], 'rich syrup'), (['54°Bx'], 'RAS-12'))
    """
    numbers: list[str] = []
    name: list[str] = []
    for word in words:
        (numbers if _begins_like_a_number(word) else name).append(word)
    return numbers, " ".join(name)


def _begins_like_a_number(word: str) -> bool:
    """Whether it does; "2:1" is the name of a syrup."""
    first = word.lstrip("+-−.,")[:1]
    return (first.isnumeric() and ":" not in word) or re.fullmatch(_READING, word) is not None


def zero_or_more(text: TextOrNumber, option: str, kind: Kind, unit: str, high: float) -> float:
    """A number that may be zero, with or without its unit."""
    return measure(text, option, kind, unit, low=0.0, high=high, has_low=True)


def brix(text: TextOrNumber, option: str) -> float:
    """A strength in °Bx."""
    try:
        return measure(text, option, "strength", "°Bx", low=0.0, high=MOST_BRIX)
    except UsageError:
        lost = _lost_point(str(text))
        if lost is None:
            raise
        raise _wrong(option, f'"{text}" cannot be right: no syrup is so strong', f"is it {lost}?") from None


def reading(text: TextOrNumber, option: str) -> Seen:
    """What an instrument shows: °Bx, a refractive index (1.4201nD) or a specific gravity (1.235SG).

    A bare number that is more likely one of the other two is asked about.
    """
    text = str(text)
    match = re.fullmatch(_READING, text.strip())
    unit = (match["before"] or match["after"]) if match else None
    scale = _SCALES.get((unit or "").casefold())
    if match is None or scale is None:
        shown = brix(text, option)
        _refuse_index(text, shown, option)
        return Seen(shown, "°Bx", 1)
    value, low, high = parse_number(match["number"]), *SPANS[scale]
    if not low <= value <= high:
        told = f'"{text}" is no {_CALLED[scale]} of a syrup'
        raise _wrong(option, told, f"give one between {low:g} (water) and {high:g} (85 °Bx)")
    return Seen(value, scale, len(match["number"].replace(",", ".").partition(".")[2]))


def several(text: str, option: str) -> tuple[Seen, ...]:
    """Readings of one sample in a row, with blanks between: "54 53,5 54.5", "1.4201nD 1.4203 nD".

    Raises UsageError as `on_one_scale` does.
    """
    typed: list[list[str]] = []
    for word in text.replace(";", " ").split():
        begins = not typed or (_begins_like_a_number(word) and any(map(_begins_like_a_number, typed[-1])))
        typed.append([word.rstrip(",")]) if begins else typed[-1].append(word)
    return on_one_scale([" ".join(words) for words in typed], option)


def on_one_scale(texts: Iterable[TextOrNumber], option: str) -> tuple[Seen, ...]:
    """Readings of one sample. Raises UsageError for those of two instruments."""
    typed = [str(text) for text in texts]
    seen = tuple(reading(text, option) for text in typed)
    if len({each.scale for each in seen}) > 1:
        raise _wrong(option, f"{' and '.join(typed)} are not on one scale", "give those of one instrument")
    return seen


def _refuse_index(text: str, shown: float, option: str) -> None:
    """Raise UsageError for a bare number that is rather a refractive index or a specific gravity."""
    if not _LEAST_GRAVITY <= shown < _MOST_INDEX or not text.strip()[-1:].isdigit():
        return
    number = text.strip()
    scales: list[ReadScale] = [each for each in ("nD", "SG") if SPANS[each][0] <= shown <= SPANS[each][1]]
    if not scales:
        return
    asked = " or ".join(f"a {_CALLED[each]} ({brix_of(Seen(shown, each, 3)):.0f} °Bx)" for each in scales)
    typed = " or ".join(f"{number}{each}" for each in scales)
    raise _wrong(option, f'"{number}" is hardly °Bx: {asked}?', f"write {typed}, or {number}brix --yes if it is °Bx")


def tolerance(text: str, option: str) -> float:
    """A tolerance in %."""
    return measure(text, option, "share", "%", low=0.0, high=50.0)


def uncertainty(text: TextOrNumber, option: str) -> float:
    """A standard uncertainty in °Bx."""
    return measure(text, option, "strength", "°Bx", low=0.0, high=20.0)


def temperature(text: TextOrNumber, option: str) -> float:
    """A temperature in °C. What is typed needs its unit: 75 is a warm room or a hot pot."""
    found = _base(text, option, "temperature", "write it like 28C or 82F")
    if not -30.0 <= found <= 100.0:
        raise _wrong(option, f'"{text}" cannot be right', "give a temperature between -30 and 100 °C")
    return found


def volume(text: TextOrNumber, option: str, measures: Measures, units: Sequence[str] = _VESSEL_UNITS) -> float:
    """A volume in ml. What is typed needs its unit; units are those that a bare number may be in."""
    if isinstance(text, str):
        ml = measures.ml(_quantity(text, option, "volume", f"use {known_units('volume')}", units))
    else:
        ml = float(text)
    if not 0.0 < ml <= 100_000.0:
        raise _wrong(option, f'"{text}" cannot be poured', "give an amount above 0 and up to 100 l")
    return ml


def mass(text: TextOrNumber, option: str, *, most_g: float = 1_000_000.0) -> float:
    """A mass in g. What is typed needs its unit: 2 could be grams or kilograms."""
    grams = _base(text, option, "mass", "weigh it, and write it like 2kg", _MASS_UNITS)
    if not 0.0 < grams <= most_g:
        raise _wrong(option, f'"{text}" cannot be right', f"give a mass above 0 and up to {most_g / 1000.0:g} kg")
    return grams


def concentration(text: str, option: str, *, most: float = 1600.0) -> Quantity:
    """A content of acid or sugar, in g/l or g/kg."""
    found = _quantity(text, option, "concentration", "write it like 46g/l or 9g/kg")
    if not 0.0 <= found.value <= most:
        raise _wrong(option, f'"{text}" cannot be right', f"give up to {most:g} g/kg or g/l")
    return found


def change(text: str, option: str) -> Quantity:
    """A signed change in %, or grams: what a drink should have of something."""
    signed = text.strip()
    sign = signed[:1]
    number = signed[1:].strip() if sign in SIGNS else signed
    is_signed = sign in SIGNS and number[:1] not in SIGNS
    found = None
    try:
        found = parse_quantity(number)
    except QuantityError as error:
        if error.code != "unit-missing":
            raise _wrong(option, error.reason, _SIGNED.format(option=option)) from None
    if sign not in SIGNS and found is not None and found.unit == "g":
        return found
    if is_signed and (found is None or found.unit == "%"):
        value = SIGNS[sign] * (found.value if found else parse_number(number))
        if -100.0 < value <= _MOST_CHANGE:
            return Quantity(value, "%")
        raise _wrong(option, f'"{text}" cannot be right', f"give a change above -100 % and up to +{_MOST_CHANGE:g} %")
    raise _wrong(option, f'"{text}": more or less?', _SIGNED.format(option=option))


def strength_of_drink(text: TextOrNumber, option: str) -> float:
    """The ABV that a drink should have, in % vol."""
    if isinstance(text, str) and text.strip()[:1] in SIGNS:
        raise _wrong(
            option, f'"{text}" could be points or a share of what it has', "give the ABV it should have, like 12%"
        )
    return measure(text, option, "share", "%", low=0.0, high=_MOST_ABV)


def cause(text: str, option: str = "--cause") -> Cause:
    """Why a batch is off."""
    for known in CAUSES:
        if text.strip().casefold() == known:
            return known
    raise _wrong(option, f'"{text}" is not a cause known here', f"choose {', '.join(CAUSES)}")


def _base(text: TextOrNumber, option: str, kind: Kind, wanted: str, units: Sequence[str] = ()) -> float:
    """An amount in the unit that its kind is counted in; a number is."""
    return _quantity(text, option, kind, wanted, units).base if isinstance(text, str) else float(text)


def _quantity(text: str, option: str, kind: Kind, wanted: str, units: Sequence[str] = ()) -> Quantity:
    """An amount of a kind with its unit, whatever its size. Units are those that a bare number may be in."""
    try:
        found = parse_quantity(text)
        if found.kind == kind:
            return found
        is_named = kind in ("volume", "mass", "temperature")
        told, remedy = f'"{text}" is {f"not a {kind}" if is_named else f"in {found.unit}"}', wanted
    except QuantityError as error:
        told, remedy = error.reason, error.remedy if error.code == "number-ambiguous" else wanted
        if error.code == "unit-missing":
            raise _wrong(option, told, _asked(text, option, kind, units)) from None
    meant = slip(text, [kind])
    raise _wrong(option, *(meant or (told, remedy)))


def _asked(text: str, option: str, kind: Kind, units: Sequence[str]) -> str:
    """The question that a bare number leaves open, and how it is answered."""
    both = choices(text, [kind], units)
    typed = both[0].replace(" ", "").replace("°", "")  # no keyboard has a °
    return f"{' or '.join(both)}? write the unit, like {f'{option} {typed}' if option.startswith('-') else typed}"


def _lost_point(text: str) -> str | None:
    """The strength that a number is ten or a hundred times of, when a bar has it."""
    try:
        value = parse_number(text)
    except QuantityError:
        return None
    return next((f"{value / by:g}" for by in (10.0, 100.0) if 20.0 <= value / by <= MOST_BRIX < value), None)


def _wrong(option: str, message: str, remedy: str) -> UsageError:
    return UsageError("usage", f"{option}: {message}", remedy)
