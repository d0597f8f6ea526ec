"""Numbers as a bar reads them: whole ml or steps, one decimal of °Bx, whole percents."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Mapping
from datetime import date
from typing import Literal

from balancer.models.days import day_text
from balancer.output.words.look import most as room_for
from balancer.units import format_fraction

MINUS = "−"
_TIMES_FROM = 200.0


def trim(value: float, digits: int) -> str:
    """At most so many decimals, none when they are zero.

    >>> trim(54.0, 1), trim(52.44, 1)
    ('54', '52.4')
    """
    text = f"{value:.{digits}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text.replace("-", MINUS)


def brix(value: float) -> str:
    """A strength or reading.

    >>> brix(54.04)
    '54 °Bx'
    """
    return f"{trim(value, 1)} °Bx"


def seen_text(value: float, scale: str, decimals: int) -> str:
    """A reading on its own scale: °Bx, a refractive index or a specific gravity.

    >>> seen_text(50.0, "°Bx", 1), seen_text(1.42009, "nD", 4), seen_text(1.2, "SG", 3)
    ('50', '1.4201 nD', '1.200 SG')
    """
    return trim(value, decimals) if scale == "°Bx" else f"{value:.{decimals}f} {scale}"


def percent(value: float) -> str:
    """A signed change in whole percents.

    >>> percent(9.7), percent(-2.2), percent(0.3)
    ('+10 %', '−2 %', '0 %')
    """
    whole = round(value)
    sign = "+" if whole > 0 else MINUS if whole < 0 else ""
    return f"{sign}{abs(whole)} %"


def percent_or_times(value: float) -> str:
    """A signed change in whole percents; of what is three times as much and more, how many times.

    >>> percent_or_times(-8.2), percent_or_times(199.0), percent_or_times(933.0)
    ('−8 %', '+199 %', '×10')
    """
    return percent(value) if value < _TIMES_FROM else f"×{trim(1.0 + value / 100.0, 0)}"


def points(value: float, digits: int = 1) -> str:
    """A signed change of something that is a percentage itself, or of grams, without its unit.

    >>> points(2.14), points(-0.5), points(0.04)
    ('+2.1', '−0.5', '0')
    """
    text = trim(value, digits)
    return text if text == "0" or text.startswith(MINUS) else f"+{text}"


def pour(ml: float, show: Literal["ml", "oz"] = "ml", ounce_ml: float = 30.0) -> str:
    """A pour the bar can make, without its unit; in ounces as a fraction when it is one.

    >>> pour(22.5), pour(22.5, "oz", 30.0)
    ('22.5', '3/4')
    """
    if show == "oz":
        return format_fraction(ml / ounce_ml, glyphs=False) or trim(ml / ounce_ml, 2)
    return trim(ml, 2 if abs(ml * 4 - round(ml * 4)) < 1e-6 else 1)


def to_weigh(mass_g: float, whole_from_g: float = 10.0) -> str:
    """What to weigh: whole grams, below ten or another limit with a decimal.

    >>> to_weigh(115.6), to_weigh(8.86)
    ('116 g', '8.9 g')
    """
    return f"{trim(mass_g, 0 if mass_g >= whole_from_g - 0.05 else 1)} g"


def volume(ml: float, show: Literal["ml", "oz"] = "ml", ounce_ml: float = 30.0) -> str:
    """A volume nobody measures out, in whole ml or tenths of an ounce.

    >>> volume(159.4), volume(159.4, "oz")
    ('159 ml', '5.3 oz')
    """
    return f"{trim(ml, 0)} ml" if show == "ml" else f"{trim(ml / ounce_ml, 1)} oz"


def volume_change(ml: float, show: Literal["ml", "oz"] = "ml", ounce_ml: float = 30.0) -> str:
    """A signed change of such a volume.

    >>> volume_change(-3.2), volume_change(3.2, "oz")
    ('−3 ml', '+0.1 oz')
    """
    text = volume(ml, show, ounce_ml)
    return text if text.startswith(("0 ", MINUS)) else f"+{text}"


def count(number: int, noun: str) -> str:
    """A number of things.

    >>> count(1, "drinks"), count(2, "drinks"), count(1, "batches"), count(1, "entries")
    ('1 drink', '2 drinks', '1 batch', '1 entry')
    """
    if number != 1:
        return f"{number} {noun}"
    if noun.endswith("ies"):
        return f"1 {noun.removesuffix('ies')}y"
    return f"1 {noun.removesuffix('es') if noun.endswith('ches') else noun.removesuffix('s')}"


def an(name: str) -> str:
    """A name that begins with a number, or none, after its article, as it is read aloud.

    >>> an("80 mm roll"), an("62 mm roll"), an("8 mm roll"), an("receipt roll")
    ('an 80 mm roll', 'a 62 mm roll', 'an 8 mm roll', 'a receipt roll')
    """
    return f"{'an' if name.startswith(('8', '11 ', '18 ')) else 'a'} {name}"


def some(names: Iterable[str], most: int) -> str:
    """Names in a row: the first few, and how many more; every one where all is wanted.

    >>> some(["Slipway Sour", "Eelgrass", "Slow Bell"], 2)
    'Slipway Sour, Eelgrass and 1 more'
    """
    known, most = list(names), room_for(most)
    more = f" and {len(known) - most} more" if len(known) > most else ""
    return ", ".join(known[:most]) + more


def width(text: str) -> int:
    """How many columns a terminal gives a text."""
    return len(text) if text.isascii() else sum(map(_columns_of, text))


def _columns_of(char: str) -> int:
    return 0 if unicodedata.combining(char) else 2 if unicodedata.east_asian_width(char) in "WF" else 1


def fitting(text: str, columns: int, start: int = 0) -> int:
    """Where a text from start on has to end to take at most so many columns. Looks no further than that.

    >>> fitting("Slipway", 4), fitting("燈台守", 5), fitting("Slipway", 4, 5)
    (4, 2, 7)
    """
    taken = 0
    for end in range(start, len(text)):
        taken += _columns_of(text[end])
        if taken > columns:
            return end
    return len(text)


def cut(text: str, columns: int) -> str:
    """A text cut to at most a number of columns.

    >>> cut("Slipway Sour", 9)
    'Slipway…'
    """
    if fitting(text, columns) == len(text):
        return text
    return f"{text[: fitting(text, columns - 1)].rstrip()}…"


def whole_or_cut(text: str, columns: int) -> str:
    """A text cut to a number of columns, or whole where everything is wanted."""
    return cut(text[: 2 * columns], columns) if room_for(1) == 1 else text


def pad(text: str, columns: int) -> str:
    """A text padded to a number of columns; a longer one stays whole, and its line runs on."""
    return text + " " * (columns - width(text))


def weekday_text(day: date, today: date | None = None) -> str:
    """A day as on tape, with its weekday in front.

    >>> weekday_text(date(2026, 11, 29), date(2026, 11, 25))
    'Sun 29 Nov'
    """
    return f"{day:%a} {day_text(day, today)}"


def understood_rows(days: Mapping[str, date]) -> list[str]:
    """A row for each date that was said in words: which day was understood.

    >>> understood_rows({"--date monday": date(2026, 11, 30)})
    ['--date monday: Mon 30 Nov 2026']
    """
    return [f"{said}: {day:%a} {day_text(day)} {day.year}" for said, day in days.items()]
