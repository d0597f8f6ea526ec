"""The words on paper: one file for each language, in the folder `languages`.

A text stands under its section and name, `card.garnish`. What a bar wrote itself is printed as it wrote it, save the
names of allergens and the cautions that hold in any bar, which are translated where they are those the file knows.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any, Final

FOLDER: Final = Path(__file__).parent / "languages"
_NAMED: Final = "{name}: "
_POINT: Final = re.compile(r"(?<![0-9.])([0-9]*)\.(?=[0-9]+(?![0-9.]))")


def languages() -> tuple[str, ...]:
    """The languages there are words for, ISO 639-1, in order."""
    return tuple(sorted(path.stem for path in FOLDER.glob("*.toml")))


class Words:
    """The words of one language."""

    def __init__(self, language: str, table: Mapping[str, Mapping[str, Any]]) -> None:
        self.language = language
        self._table = table

    def __call__(self, key: str, **values: object) -> str:
        """A text with its values filled in. Raises KeyError for one that no file has."""
        section, _, name = key.partition(".")
        text: str = self._table[section][name]
        return text.format(**values) if values else text

    def count(self, key: str, number: int, **values: object) -> str:
        """A text that depends on how many there are: `one` and `other` under the key."""
        section, _, name = key.partition(".")
        text: str = self._table[section][name]["one" if number == 1 else "other"]
        return text.format(number=number, **values)

    def section(self, name: str) -> dict[str, str]:
        """The texts of a section that stand for themselves, as a template reads them."""
        return {key: text for key, text in self._table[name].items() if isinstance(text, str)}

    def day(self, day: date) -> str:
        """A day near now: Sun 29 Nov."""
        return self("date.day", weekday=self._weekday(day), day=day.day, month=self._month(day))

    def full_date(self, day: date) -> str:
        """A day of any year: 25 Nov 2026."""
        return self("date.date", day=day.day, month=self._month(day), year=day.year)

    def long_day(self, day: date) -> str:
        """A day in full: Wed 25 Nov 2026."""
        return self("date.long", weekday=self._weekday(day), day=day.day, month=self._month(day), year=day.year)

    def number(self, text: str) -> str:
        """A number with the decimal sign of the language; other text as it is."""
        sign: str = self._table["number"]["decimal"]
        return text if sign == "." else _POINT.sub(rf"\1{sign}", text)

    def unit(self, unit: str) -> str:
        """A unit as it stands beside an amount; the bar's own as the bar calls it."""
        return self._known("unit", unit)

    def allergen(self, name: str) -> str:
        """An allergen; one the file does not know as the bar calls it."""
        return self._known("allergen", name)

    def method(self, text: str) -> str:
        """How a drink is made; what the file does not know as the bar calls it."""
        return self._known("method", text)

    def word(self, text: str) -> str:
        """A word of the trade that stands alone, such as how it is strained; any other as the bar has it."""
        return self._known("word", text)

    def caution(self, text: str, name: str | None = None) -> str:
        """What is to be said of something, with its name where the caution does not stand for itself.

        One that the file does not know is said as the bar wrote it. name: None where it stands above already.
        """
        found: str = self._table["caution"].get(text.casefold(), _NAMED + "{text}")
        return (found.removeprefix(_NAMED) if name is None else found).format(name=name, text=text)

    def row(self, parts: Iterable[str]) -> str:
        """Several things in a row."""
        return ", ".join(parts)

    def some(self, parts: Sequence[str], most: int) -> str:
        """Several things in a row: the first few, and how many more."""
        if len(parts) <= most:
            return self.row(parts)
        return self("list.more", first=self.row(parts[:most]), number=len(parts) - most)

    @property
    def quotes(self) -> tuple[str, str, str, str]:
        """What stands before and after a word in single, and in double, quotation marks."""
        left, right = self._table["list"]["quotes"]
        double_left, double_right = self._table["list"]["double-quotes"]
        return left, right, double_left, double_right

    def _known(self, section: str, text: str) -> str:
        found: str = self._table[section].get(text.casefold(), text)
        return found

    def _weekday(self, day: date) -> str:
        name: str = self._table["date"]["weekdays"][day.weekday()]
        return name

    def _month(self, day: date) -> str:
        name: str = self._table["date"]["months"][day.month - 1]
        return name


@cache
def words_of(language: str) -> Words:
    """The words of a language. Raises FileNotFoundError for one there is no file for, see `languages`."""
    return Words(language, tomllib.loads((FOLDER / f"{language}.toml").read_text(encoding="utf-8")))
