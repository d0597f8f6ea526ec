"""The cells of a pour as an amount with its unit and a name, and what went wrong with them on the way."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

from balancer.errors import QuantityError
from balancer.files.sheets.doubt import (
    LEAST_ASSUMED_ML,
    MOST_COUNTED,
    is_counted,
    is_egg,
    not_measured,
    refuse_counted,
    refuse_egg,
    refuse_several,
)
from balancer.files.sheets.jotted import Jotted, jotted_amount, jotted_name, jotted_pour, plain_name, short_unit
from balancer.models.names import slug
from balancer.models.pour import RINSE
from balancer.units import (
    Measures,
    Quantity,
    find_unit,
    format_number,
    format_quantity,
    known_units,
    parse_number,
    split_pour,
)

_IMPROPER: Final = re.compile(r"([0-9]+)\s*/\s*([0-9]+)")
_LEADING: Final = re.compile(r"(?P<a>0[1-9])[./](?P<b>0[1-9]|[12][0-9]|3[01])")
_THOUSANDS: Final = re.compile(r"[1-9][0-9]{0,2}\.[0-9]{3}")
_MONTHS: Final = {
    word: number
    for number, words in enumerate(
        ("jan ene gen sty", "feb fev fév lut", "mar mrz mär maa", "apr avr abr kwi", "may mai maj mag", "jun giu cze",
         "jul lug lip", "aug ago aou sie", "sep set wrz", "oct okt ott out paz", "nov lis", "dec dez dic gru"), 1,
    )
    for word in words.split()
}  # fmt: skip
_WORD_MONTH: Final = re.compile(r"(?P<month>[^\W\d_]{3,9})\.?[-. /]{1,2}(?P<day>[0-9]{1,4})\.?")
_MONTH_WORD: Final = re.compile(r"(?P<day>[0-9]{1,2})[-. /]{1,2}(?P<month>[^\W\d_]{3,9})\.?(?:[-. /]{1,2}[0-9]{2,4})?")
_YEAR_FIRST: Final = re.compile(r"(?:1[89]|20)[0-9]{2}[-./](?P<a>[0-9]{1,2})[-./](?P<b>[0-9]{1,2})(?:[ T].*)?")
_YEAR_LAST: Final = re.compile(r"(?P<a>[0-9]{1,2})(?P<sign>[-./])(?P<b>[0-9]{1,2})(?P=sign)(?:[0-9]{2,4}(?: .*)?)?")
_SERIALS: Final = range(36_000, 60_000)
"""Days since the end of 1899: how a spreadsheet keeps a date of these decades."""

_COUNTED_UNITS: Final = ("dash", "drop", "barspoon", "teaspoon", "tablespoon")
MOST_ASSUMED_ML: Final = 180.0
"""More than this is not poured on an assumed unit: it is rather a count of something, as 8 of mint leaves."""


@dataclass(frozen=True)
class Said:
    """One pour as its cells say it: the amount as it is to be written, its value, the name, and whether it tops."""

    text: str
    amount: Quantity
    name: str
    is_top: bool = False


@dataclass(frozen=True)
class Manner:
    """How the amounts of one spreadsheet are read.

    unit           of amounts that have none, if any
    decimal_comma  a point may part thousands
    is_own         whether the house knows a word as a thing's own unit, by unit and name
    is_known       whether the house knows a thing by this very name
    top            of what only tops a drink, if anybody says so
    count_unit     what one of a thing of the house is called that its name counts: "white" of egg white
    pantry_counts  whether the pantry knows by this very name what one of it weighs
    """

    unit: str | None
    decimal_comma: bool
    is_own: Callable[[str, str], bool]
    is_known: Callable[[str], bool]
    measures: Measures
    top: Quantity | None = None
    count_unit: Callable[[str], str | None] = lambda _: None
    pantry_counts: Callable[[str], bool] = lambda _: False


def fraction_of_date(text: str) -> str | None:
    """The number that a spreadsheet probably turned into this date, or None when it is no date.

    >>> [fraction_of_date(date) for date in ("3-Apr", "Mar-04", "1/2/2026", "22. Mai", "3/4")]
    ['3/4', '3/4', '1/2', '22.5', None]
    """
    cleaned = " ".join(text.split())
    found = _YEAR_FIRST.fullmatch(cleaned) or _YEAR_LAST.fullmatch(cleaned) or _LEADING.fullmatch(cleaned)
    if found:
        return _meant(int(found["a"]), int(found["b"]))
    found = _MONTH_WORD.fullmatch(cleaned) or _WORD_MONTH.fullmatch(cleaned)
    month = _MONTHS.get(slug(found["month"])[:3]) if found else None
    return _meant(int(found["day"]), month) if found and month else None


def _fraction(one: int, other: int) -> str:
    small, large = sorted((one, other))
    return f"{small}/{large}" if small != large else "1"


def _meant(one: int, other: int) -> str:
    """The kitchen fraction behind a day and a month; where there is none, the decimal: 22.5 becomes the 22nd of May."""
    return (
        _fraction(one, other)
        if max(one, other) in (2, 3, 4, 8, 16) or max(one, other) > 31 or one == other
        else f"{one}.{other}"
    )


def said_pour(amount: str, unit: str, name: str, manner: Manner) -> Said:
    """A pour whose amount, unit and name stand in cells of their own.

    Raises QuantityError, saying what is wrong with the cells and what to write.
    """
    said = jotted_amount(amount)
    called = Jotted(name) if manner.is_known(name) else jotted_name(name)
    amount, name = said.text, _plain(called.text, manner)
    if said.is_top and not amount and not unit:
        return _topping(name, manner)
    if RINSE in (amount.casefold(), unit.casefold()) and not (amount and unit and amount.casefold() != RINSE):
        return _named(Said(RINSE, Quantity(1.0, RINSE), name), manner)
    if not amount and not unit:
        return _topping(name, manner) if called.is_top else _whole_or_missing(name, manner)
    if not amount:
        raise QuantityError(
            "amount-missing", name, f"no amount is given for {_quoted(name)}", "write how much, like 22.5 ml"
        )
    number, value, *words = _number(amount, manner)
    written = " ".join(" ".join(words).split())
    if written and unit and _unit_name(written) != _unit_name(unit):
        raise QuantityError(
            "unit", amount, f'"{amount}" has a unit, and its unit column says "{unit}"', "keep one of the two"
        )
    word = _spelt_out(unit or written, name, manner)
    if word and find_unit(word) is None and not manner.is_own(word, name):
        raise QuantityError(
            "unit", amount, f'"{word}" is not a unit known here for {_quoted(name)}',
            not_measured(f"{number} {word} {name}") if is_counted(word)
            else f"use one of {known_units()}; what is not measured belongs under extras",
        )  # fmt: skip
    return _named(_said(number, value, word, name, manner), manner, is_top=said.is_top or called.is_top)


def said_whole(text: str, manner: Manner) -> Said:
    """A pour written as AMOUNT UNIT NAME, or as people jot it down. Raises QuantityError."""
    jotted = jotted_pour(text)
    if jotted.is_top and not (jotted.text[:1].isnumeric() or jotted.text[:1] in ".,"):
        return _topping(jotted.text, manner)
    first, _, rest = jotted.text.partition(" ")
    if first.casefold() == RINSE:
        return _named(Said(RINSE, Quantity(1.0, RINSE), _without_of(rest.strip())), manner)
    number, value, word, name = _number(jotted.text, manner)
    name = _plain(_without_of(" ".join(name.split())), manner)
    unit = _spelt_out(word, name, manner)
    if unit and find_unit(unit) is None and not (name and manner.is_own(unit, name)):
        unit, name = "", _plain(f"{word} {name}".strip(), manner)  # it is the beginning of the name
    return _named(_said(number, value, unit, name, manner), manner, is_top=jotted.is_top)


def _topping(name: str, manner: Manner) -> Said:
    """What only tops a drink: as much as somebody says of all such."""
    if manner.top is None:
        raise QuantityError(
            "import-top", name, f"{_quoted(name)} tops the drink, and nothing says how much that is",
            "write how much a glass takes, like 90 ml, or give it for all such: --top 90ml, or top: 90 ml in the map",
        )  # fmt: skip
    return _named(Said(format_quantity(manner.top), manner.top, name), manner, is_top=True)


def _spelt_out(word: str, name: str, manner: Manner) -> str:
    """A unit without the abbreviations of sheets, unless the thing has such a unit of its own."""
    return word if not word or manner.is_own(word, name) else short_unit(word)


def flag(text: str) -> bool:
    """A cell that says yes or no; empty is no. Raises QuantityError."""
    word = text.casefold()
    if word in ("", "no", "n", "false", "0", "nein", "non"):
        return False
    if word in ("yes", "y", "true", "1", "x", "✓", "✔", "☑", "ja", "oui", "si", "sí", "tak"):
        return True
    raise QuantityError("choice", text, f'"{text}" is neither yes nor no', "write yes or no")


def _whole_or_missing(name: str, manner: Manner) -> Said:
    """A pour that stands whole where only its name is expected."""
    jotted = jotted_pour(name)
    if jotted.is_top or jotted.text.casefold().startswith(f"{RINSE} "):
        return said_whole(name, manner)
    if jotted.text[:1].isdigit() or jotted.text[:1] in ".½¼¾⅓⅔":
        try:
            return said_whole(name, replace(manner, unit=None))
        except QuantityError:
            pass
    raise QuantityError(
        "amount-missing", name, f"no amount is given for {_quoted(name)}", "write how much, like 22.5 ml"
    )


def _number(text: str, manner: Manner) -> tuple[str, float, str, str]:
    """The number a cell starts with: as written, its value, the word behind it, and what follows."""
    date_text = next((part for part in (text, text.partition(" ")[0]) if fraction_of_date(part)), None)
    if date_text is not None:
        meant = fraction_of_date(date_text)
        raise QuantityError(
            "import-date", text, f'"{date_text}" is a date, made by a spreadsheet out of what was probably {meant}',
            f'type {meant} again in a column set to text, or with its unit in the cell: "{_with_unit(str(meant))}"',
        )  # fmt: skip
    number, unit, rest = split_pour(text)
    number = " ".join(number.split())
    value = parse_number(number)
    if (parts := _IMPROPER.fullmatch(number)) and int(parts[1]) > int(parts[2]):
        raise QuantityError(
            "number-ambiguous", text, f'"{number}" may be {parts[1][0]} {parts[1][1:] or "1"}/{parts[2]} or a date',
            "write it with a blank, like 1 1/2, or as a decimal",
        )  # fmt: skip
    if manner.decimal_comma and _THOUSANDS.fullmatch(number):
        plain = number.replace(".", "")
        raise QuantityError(
            "number-ambiguous", text, f'"{number}" may be {plain} or {format_number(value)}',
            f"write {plain} or {format_number(value)}",
        )  # fmt: skip
    if value <= 0:
        raise QuantityError("value", text, f'"{text}" cannot be poured', "write an amount above zero")
    return re.sub(r"(?<=[0-9])\.0+$", "", number), value, unit.strip(), rest.strip()


def _said(number: str, value: float, word: str, name: str, manner: Manner) -> Said:
    if not word:
        return _assumed(number, value, name, manner)
    unit = find_unit(word)
    if unit is None:
        return Said(f"{number} {word}", Quantity(value, word), name)
    if unit.kind not in ("volume", "mass"):
        raise QuantityError(
            "unit-kind", word, f'"{number} {word}" is not something to pour', f"use one of {known_units()}"
        )
    amount = Quantity(value, unit.name)
    # "2 dash", as a column of units has it, is written as people say it.
    spoken = format_quantity(amount).rpartition(" ")[2] if word.casefold() == unit.name else word.casefold()
    return Said(f"{number} {spoken}", amount, name)


def _counted(number: str, value: float, name: str, manner: Manner) -> Said | None:
    """A few of what the house counts: "1 egg white" is one white, "2 sugar cubes" two cubes of sugar."""
    if is_egg(name) and not manner.is_known(name) and manner.is_known(name.removesuffix("s")):
        name = name.removesuffix("s")
    front, _, last = name.rpartition(" ")
    is_few = value.is_integer() and value <= MOST_COUNTED
    if (is_counted(last) and not is_egg(name)) or (is_few and manner.unit in (None, "ml")):
        unit = manner.count_unit(name)
        if unit:
            return Said(f"{number} {unit}", Quantity(value, unit), name)
        if front and manner.is_own(last, front) and not manner.is_known(name):
            return Said(f"{number} {last}", Quantity(value, last), front)
    if is_few and not (manner.is_known(name) and manner.unit not in (None, "ml")):
        refuse_egg(number, name, in_pantry=manner.pantry_counts(name) and not manner.is_known(name))
    return None


def _assumed(number: str, value: float, name: str, manner: Manner) -> Said:
    counted = _counted(number, value, name, manner)
    if counted is not None:
        return counted
    if manner.unit is None:
        meant = _serial(number, value)
        if meant:
            raise QuantityError(
                "import-date", number, f'"{number}" is a date in a spreadsheet\'s count of days, probably of {meant}',
                f'write "{meant} oz"',
            )  # fmt: skip
        if not manner.is_known(name) and not is_egg(name):
            refuse_counted(number, name)
        raise QuantityError(
            "unit-missing", number, f'"{number}" of {_quoted(name)} has no unit',
            f'write its unit, like "{_with_unit(number)}", or give that of all such: --unit ml, or unit: ml in the map',
        )  # fmt: skip
    amount = Quantity(value, manner.unit)
    if manner.unit in _COUNTED_UNITS:  # nobody assumes it: the heading says so
        return Said(format_quantity(amount), amount, name)
    if not manner.is_known(name) and not is_egg(name):
        refuse_counted(number, name, manner.unit)
    if amount.kind == "volume" and manner.measures.ml(amount) < LEAST_ASSUMED_ML - 1e-9:
        raise QuantityError(
            "unit-missing", number, f'"{number}" of {_quoted(name)} has no unit, and is too little for {manner.unit}',
            "write its unit, like dashes, barspoons or ml; what is not measured belongs under extras",
        )  # fmt: skip
    if amount.kind == "volume" and manner.measures.ml(amount) > MOST_ASSUMED_ML:
        meant = _serial(number, value)
        if meant:
            raise QuantityError(
                "import-date", number, f'"{number}" is a date, probably made out of {meant}', f"write {meant}"
            )
        raise QuantityError(
            "unit-missing", number, f'"{number}" of {_quoted(name)} has no unit, and is too much for {manner.unit}',
            "write its unit; what is not measured belongs under extras",
        )  # fmt: skip
    return Said(f"{number} {manner.unit}", amount, name)


def _with_unit(number: str) -> str:
    """An amount in the unit it is likelier to be in: fractions are of ounces."""
    is_fraction = re.search(r"[/¼½¾⅓⅔⅛⅜⅝⅞]", number) or number.startswith(".")
    return f"{number} {'oz' if is_fraction else 'ml'}"


def _serial(number: str, value: float) -> str | None:
    """The fraction behind the number by which a spreadsheet keeps a date."""
    if not number.isdigit() or int(value) not in _SERIALS:
        return None
    day = date(1899, 12, 30) + timedelta(days=int(value))
    return _fraction(day.month, day.day)


def _named(said: Said, manner: Manner, *, is_top: bool = False) -> Said:
    said = replace(said, name=_plain(said.name, manner), is_top=is_top)
    if not said.name:
        raise QuantityError("name-missing", said.text, f'"{said.text}" does not say of what', "write the ingredient")
    if not manner.is_known(said.name):
        refuse_several(said.text, said.name)
    return said


def _unit_name(word: str) -> str:
    unit = find_unit(short_unit(word))
    return unit.name if unit else word.casefold()


def _plain(name: str, manner: Manner) -> str:
    """A name without what is only said of it, unless the house calls something so."""
    return name if manner.is_known(name) else plain_name(name)


def _without_of(name: str) -> str:
    first, _, rest = name.partition(" ")
    return rest.strip() if first.casefold() == "of" and rest.strip() else name


def _quoted(name: str) -> str:
    return f'"{name[:60]}"' if name else "nothing"
