"""The drinks of a spreadsheet as models, each with what is wrong with it, and as the text of a file."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field, replace
from itertools import takewhile
from typing import Any, Final

from balancer.errors import QuantityError
from balancer.files.house.load import Loaded
from balancer.files.house.pours import MOST_PARTS
from balancer.files.sheets.cells import Manner, Said, flag, said_pour, said_whole
from balancer.files.sheets.counts import count_unit, is_counted_in_pantry
from balancer.files.sheets.glasses import house_glass
from balancer.files.sheets.headings import Places
from balancer.files.sheets.jotted import plain_name
from balancer.files.sheets.preparing import prepared
from balancer.files.sheets.rows import LISTS, MOST_LETTERS, Cell, Faults, RawDrink, RawPour, short
from balancer.files.sheets.text import Lines, drink_lines
from balancer.files.yaml.validate import check
from balancer.models.drink import Drink
from balancer.models.import_map import DRINK_FIELDS, ImportMap
from balancer.models.ingredient import Ingredient, own_unit
from balancer.models.names import glass_key, slug
from balancer.models.pour import RINSE
from balancer.units import Quantity
from balancer.unseen import NO_TEXT

_GROUPS: Final = ("weighed", "chill")
_COUNT: Final = re.compile(r"^[0-9\s.,/¼½¾⅓⅔⅛⅜⅝⅞-]+")
_TOLD_BY: Final = {"chill-stop": {"method", "chill"}, "chill-warm": {*_GROUPS}}
"""Problems that may come only from keys that are told already, and these keys."""


@dataclass
class New:
    """Something the house does not know: its name as first written, the rows that pour it, and how.

    by_volume  whether any of them pours it by volume; by_dash whether all of them do it by the dash or drop
    """

    name: str
    rows: list[int] = field(default_factory=list)
    by_volume: bool = False
    by_dash: bool = True


@dataclass
class Candidate:
    """A drink on its way in. meant is what its cells say, as far as they can be read.

    left_out  what somebody said is not to be poured, as its cells have it
    glass     the word of the sheet for a glass that the house does not have
    """

    raw: RawDrink
    id: str
    meant: Drink | None = None
    lines: Lines = field(default_factory=Lines)
    new: dict[str, New] = field(default_factory=dict)
    told: set[str] = field(default_factory=set)
    left_out: list[str] = field(default_factory=list)
    glass: str | None = None

    @property
    def pours(self) -> tuple[str, ...]:
        """Its pours as they would be written, without the quotes that the file needs."""
        listed = self.lines.texts[self.lines.texts.index("pours:") + 1 :]
        texts = [text.removeprefix("  - ") for text in takewhile(lambda text: text.startswith("  - "), listed)]
        return tuple(json.loads(text) if text.startswith('"') else text for text in texts)

    @property
    def rows(self) -> tuple[int, ...]:
        """The rows it takes; of one without a sound row, that of its name."""
        return tuple(self.raw.rows) or (self.raw.name.row,)

    def is_told(self, code: str) -> bool:
        """Whether a problem is only what remains of faults that are told."""
        return bool(self.told & _TOLD_BY.get(code, set()))


class Reader:
    """Reads drinks with the names and measures of a house."""

    def __init__(self, loaded: Loaded, the_map: ImportMap, faults: Faults, places: Places, delimiter: str) -> None:
        self._specs = loaded.specs
        self._map = the_map
        self._faults = faults
        self._units = places.units
        self._is_export = set(DRINK_FIELDS) <= set(places.headings)
        self._also = {slug(name): to for name, to in the_map.ingredients.items()}
        self._left_out = {slug(name) for name in the_map.leave_out}
        self._glasses = {slug(word): to for word, to in the_map.glasses.items()}
        self._manner = Manner(
            None, delimiter == ";", self._is_own, self._is_known, loaded.specs.house.measures(), the_map.top,
            lambda name: count_unit(self._known(name), name), lambda name: is_counted_in_pantry(self._house_name(name)),
        )  # fmt: skip

    def read(self, raw: RawDrink) -> Candidate:
        """One drink. Its faults are told, and what is sound of it is kept, so that further faults are found."""
        given = raw.values.get("id", [])
        candidate = Candidate(raw, slug(given[0].text if given else "") or slug(raw.name.text)[:MOST_LETTERS])
        if not candidate.id:
            self._fault(
                candidate, "name", raw.name, f'"{short(raw.name.text)}" has no letter or digit', "write it with letters"
            )
            candidate.id = "?"
        data, cells = self._values(candidate)
        if len(raw.pours) > MOST_PARTS:
            told = f"{len(raw.pours)} pours are listed, and {MOST_PARTS} is the most that makes sense"
            self._fault(candidate, "too-many", raw.name, told, "name the next drink where it begins")
            del raw.pours[MOST_PARTS:]
        pours = [(pour, read) for pour in raw.pours if (read := self._pour(candidate, pour, len(raw.pours)))]
        self._told_twice(candidate, pours)
        data |= {"drink": raw.name.text, "id": candidate.id[:MOST_LETTERS], "pours": [read.data for _, read in pours]}
        candidate.meant = self._checked(candidate, data, cells, pours)
        if candidate.meant is not None and pours and not NO_TEXT.search(raw.name.text):
            name = raw.name.text if slug(raw.name.text) == candidate.id else (raw.name.text, candidate.id)
            candidate.lines = drink_lines(
                name, data, [read.line for _, read in pours], [p.place for p, _ in pours], cells
            )
        return candidate

    def _fault(self, candidate: Candidate, code: str, cell: Cell, message: str, remedy: str) -> None:
        self._faults.add(code, cell.row, cell.column, message, remedy)
        candidate.raw.faulty = True

    def _values(self, candidate: Candidate) -> tuple[dict[str, Any], dict[str, Cell]]:
        """What the cells say of the drink as a whole, as data for the model, and the cells by field."""
        data: dict[str, Any] = {}
        cells: dict[str, Cell] = {}
        for name in DRINK_FIELDS[2:]:
            said = candidate.raw.values.get(name)
            if not said:
                continue
            cells[name] = said[0]
            text = " ".join(said[0].lines)
            group, _, key = name.partition(" ")
            if name in LISTS:
                data[name] = [*data.get(name, ()), *(line for cell in said for line in cell.lines)]
            elif name == "zero proof":
                data |= self._flags(candidate, said[0], {name: text})
            elif name == "written for":
                data[name] = self._strengths(candidate, said[0])
            elif name == "method":
                self._method(candidate, said[0], data, cells)
            elif name == "glass":
                self._glass(candidate, said[0], data)
            elif group in _GROUPS:
                data.setdefault(group, {})[key] = text
            else:
                data[name] = text
        self._usual_method(candidate, data)
        return data, cells

    def _usual_method(self, candidate: Candidate, data: dict[str, Any]) -> None:
        """The method that the map gives to a drink without; told where it gives none."""
        if "method" not in data:
            data["method"] = self._map.method or "shaken"
            if self._map.method is None and not candidate.raw.lost & {"method", "*"}:
                self._fault(
                    candidate, "import-method", candidate.raw.name, f'"{short(candidate.raw.name.text)}" has no method',
                    "write it under method, or give one for all without: --method shaken, or method: shaken in the map",
                )  # fmt: skip
                candidate.told.add("method")

    def _strengths(self, candidate: Candidate, cell: Cell) -> dict[str, str]:
        """The strengths that a drink is written for, a syrup in a line, by its id where the house knows it."""
        found: dict[str, str] = {}
        for line in cell.lines:
            name, _, strength = line.rpartition(":")
            if not name.strip():
                remedy = "write it like raspberry syrup: 50 °Bx"
                self._fault(candidate, "written-for", cell, f'"{short(line)}" does not say of which syrup', remedy)
                continue
            known = self._specs.liquid_names.whole(self._house_name(name.strip()))
            found[known or name.strip()] = strength.strip()
        return found

    def _method(self, candidate: Candidate, cell: Cell, data: dict[str, Any], cells: dict[str, Cell]) -> None:
        """The method in the sheet's words, and what of its text are steps and the garnish."""
        if self._is_export:  # every word stands in its own column already
            data["method"] = " ".join(cell.lines)
            return
        found = prepared(" ".join(cell.lines), has_garnish=bool(candidate.raw.values.get("garnish")))
        data["method"] = found.method
        if found.steps is not None:
            data["steps"] = [found.steps]
            cells["steps"] = cell
        if found.garnish is not None:
            data["garnish"] = found.garnish
            cells["garnish"] = cell

    def _glass(self, candidate: Candidate, cell: Cell, data: dict[str, Any]) -> None:
        """The glass, called as in the house; what else its cell says of it becomes a note."""
        text = " ".join(cell.lines)
        known = self._specs.house.glasses
        said = self._glasses.get(slug(text))
        found = said or (glass_key(text) in map(glass_key, known) and text) or None
        found = found or (None if self._is_export else house_glass(text, known))
        data["glass"] = text if found is None or glass_key(found) == glass_key(text) else found
        if said is None and found is not None and len(slug(text)) > len(slug(found)) and data["glass"] != text:
            data["notes"] = [f"glass: {text}"]
        if found is None and known:
            candidate.glass = text

    def _flags(self, candidate: Candidate, place: Cell, texts: dict[str, str]) -> dict[str, bool]:
        found: dict[str, bool] = {}
        for key, text in texts.items():
            try:
                is_so = flag(text)
            except QuantityError as error:
                self._fault(candidate, error.code, place, error.reason, f"{error.remedy} under {key}")
                continue
            if text and (is_so or key == "top"):
                found[key] = is_so
        return found

    def _pour(self, candidate: Candidate, pour: RawPour, count: int) -> _Read | None:
        """One pour, or None after telling what is wrong with it; then a rinse stands for it where its name is known."""
        flags = self._flags(candidate, pour.place, {k: pour.cells.get(k, "") for k in ("fixed", "top")})
        name = pour.cells.get("ingredient", "")
        manner = replace(self._manner, unit=self._units.get(pour.place.column, self._map.unit))
        said: Said | None = None
        try:
            if pour.whole is not None:
                said = said_whole(pour.whole, manner)
            else:
                said = said_pour(pour.cells.get("amount", ""), pour.cells.get("unit", ""), name, manner)
        except QuantityError as error:
            if self._is_left_out(candidate, pour, name):
                return None
            which = "" if count < 2 or pour.whole is None else f'in "{pour.whole[:60]}": '
            self._fault(candidate, error.code, pour.place, which + error.reason, error.remedy)
            if self._specs.liquid_names.whole(self._house_name(name)) is None:
                candidate.raw.lost.add("ingredient")
                if error.code in ("unit-missing", "unit", "amount-missing"):
                    self._unread_name(candidate, pour, name)
                return None
            said = Said(RINSE, Quantity(1.0, RINSE), name)
        if self._is_left_out(candidate, pour, said.name):
            return None
        if said.is_top:
            flags["top"] = True
        return self._identified(candidate, pour, said, flags)

    def _unread_name(self, candidate: Candidate, pour: RawPour, name: str) -> None:
        """Remember the unknown name of a pour whose amount cannot be read: it may be what nobody pours."""
        text = plain_name(self._house_name(name or _COUNT.sub("", pour.whole or "")))
        if slug(text) and len(text) <= MOST_LETTERS and not any(map(str.isnumeric, text)) and not self._is_known(text):
            candidate.new.setdefault(slug(text), New(text)).rows.append(pour.place.row)

    def _is_left_out(self, candidate: Candidate, pour: RawPour, name: str) -> bool:
        """Whether somebody said that this is not to be poured; then it is remembered with the drink."""
        if not self._left_out:
            return False
        names = {name, _COUNT.sub("", pour.whole or "")}
        if not {slug(each) for one in names for each in (one, plain_name(one))} & self._left_out:
            return False
        text = pour.whole or " ".join(filter(None, (pour.cells.get(k, "") for k in ("amount", "unit", "ingredient"))))
        candidate.left_out.append(text)
        return True

    def is_pour(self, text: str) -> bool:
        """Whether a cell that is not read says an amount, its unit, and of what."""
        try:
            return said_whole(" ".join(text.split()), self._manner).amount.unit != RINSE
        except QuantityError as error:
            return error.code == "import-several"

    def _house_name(self, name: str) -> str:
        return self._also.get(slug(name), name)

    def _is_own(self, unit: str, name: str) -> bool:
        found = self._known(name)
        return found is not None and own_unit(found.each, unit) is not None

    def _known(self, name: str) -> Ingredient | None:
        return self._specs.ingredients.get(self._specs.liquid_names.whole(self._house_name(name)) or "")

    def _is_known(self, name: str) -> bool:
        return self._specs.liquid_names.whole(self._house_name(name)) is not None

    def _identified(self, candidate: Candidate, pour: RawPour, said: Said, flags: dict[str, bool]) -> _Read | None:
        if len(said.name) > MOST_LETTERS:
            message = f"{len(said.name)} letters are too many for a name: {short(said.name)}"
            self._fault(candidate, "import-too-long", pour.place, message, "shorten it; is it another column's text?")
            return None
        name = self._house_name(said.name)
        identity = self._specs.liquid_names.whole(name)
        if identity is None:
            identity = slug(name)
            if not identity:
                self._fault(
                    candidate, "name", pour.place, f'"{name}" has no letter or digit', "write the ingredient's name"
                )
                return None
            name = candidate.new.setdefault(identity, New(name)).name
            candidate.new[identity].rows.append(pour.place.row)
            candidate.new[identity].by_volume |= said.amount.kind == "volume"
            candidate.new[identity].by_dash &= said.amount.unit in ("dash", "drop")
        elif identity in self._specs.ingredients or identity in self._specs.syrups:
            name = self._specs.liquid(identity).name
        else:
            self._fault(
                candidate, "broken-ingredient", pour.place, f'"{name}" has a problem in its own file',
                "balancer check tells it; mend that first",
            )  # fmt: skip
            return None
        return _Read(identity, said, name, flags)

    def _told_twice(self, candidate: Candidate, pours: list[tuple[RawPour, _Read]]) -> None:
        """Tell what is poured twice, and leave the second out."""
        first: dict[str, RawPour] = {}
        for pour, read in list(pours):
            before = first.setdefault(read.id, pour)
            if before is not pour:
                where = f", first in row {before.place.row}" if before.place.row != pour.place.row else ""
                self._fault(
                    candidate, "poured-twice", pour.place, f'"{read.name}" is poured twice{where}',
                    "make one pour of the two, or name the next drink",
                )  # fmt: skip
                pours.remove((pour, read))

    def _checked(
        self, candidate: Candidate, data: dict[str, Any], cells: dict[str, Cell], pours: list[tuple[RawPour, _Read]]
    ) -> Drink | None:
        """The model, of what is sound of the data, after telling what is not."""
        found, errors = check(Drink, data)
        for error in errors:
            key, inner = str(error["loc"][0]), error["loc"][1:]
            if key == "pours" and inner:
                pour, read = pours[int(inner[0])]
                cell = pour.place
                read.amount_is_wrong()
            else:
                path = " ".join(map(str, (key, *inner)))
                cell = cells.get(path) or next(
                    (cells[name] for name in cells if name.startswith(key)), candidate.raw.name
                )
                data.pop(key, None)
                candidate.told.add(key)
            if error["type"] == "missing":
                lacking = " ".join(map(str, error["loc"]))
                self._fault(candidate, "missing-key", cell, f'"{lacking}" is missing', f"give it in a column {lacking}")
            else:
                self._fault(candidate, error["type"], cell, error["msg"], str(error.get("ctx", {}).get("remedy", "")))
        if not errors:
            return found
        data["pours"] = [read.data for _, read in pours]
        data.setdefault("method", "shaken")
        return check(Drink, data)[0]


@dataclass
class _Read:
    """A pour that was read: the id it means, what it says, the name to write, and its flags."""

    id: str
    said: Said
    name: str
    flags: dict[str, bool]

    @property
    def data(self) -> dict[str, Any]:
        """For the model."""
        return {"pour": self.said.amount, "of": self.id, **self.flags}

    @property
    def line(self) -> tuple[Said, str, dict[str, bool]]:
        """For the file."""
        return self.said, self.name, self.flags

    def amount_is_wrong(self) -> None:
        """Let a rinse stand for a pour that cannot be."""
        self.said = Said(RINSE, Quantity(1.0, RINSE), self.said.name)
