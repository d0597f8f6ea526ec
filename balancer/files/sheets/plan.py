"""An import from the spreadsheet to the files it would write, read back before anybody writes them."""

from __future__ import annotations

import os
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from balancer.engine.drink.dilution import is_told, made_in
from balancer.errors import ZERO_PROOF_UNKNOWN, Problem
from balancer.files.house.entries import entries_of
from balancer.files.house.load import Loaded, load
from balancer.files.house.pantry_copy import documents, from_pantry
from balancer.files.house.remarks import DRINK_REMARKS
from balancer.files.sheets.blocks import Blocks
from balancer.files.sheets.drinks import Candidate, New, Reader
from balancer.files.sheets.headings import Places
from balancer.files.sheets.map_file import MapFile
from balancer.files.sheets.rows import MOST_DRINKS, MOST_FAULTS, MOST_POURS, Faults, Rows, short
from balancer.files.sheets.spreadsheet import Sheet
from balancer.files.sheets.text import drink_file, stub_file
from balancer.files.sheets.unknown import lacking, merged, new_ingredients, unknown_glasses
from balancer.files.yaml.document import Document
from balancer.files.yaml.tree import read_document
from balancer.models.drink import Drink
from balancer.models.imported import Imported, ImportedDrink
from balancer.models.names import file_stem, slug
from balancer.models.pantry import FromPantry

MOST_NEW: Final = 2000
"""No bar buys so much that its house does not know."""

_LONGEST_FILE_NAME: Final = 60
_REMEDIES: Final = {
    "chill-stop": "say in a column chill stop where it is strained, like -2 °C",
    "chill-warm": "weigh one, and give it in weighed before and weighed after; or give a chill vessel",
    "zero-proof": "delete it, or delete the yes under zero proof",
    "unit": "write it in ml, oz, g or dashes; what is not measured belongs under extras",
}
"""What to do in the spreadsheet, where the loader speaks of a file."""


@dataclass
class Plan:
    """What an import found, and the files it would write: ingredients first, so that no drink waits for one."""

    result: Imported
    files: dict[Path, bytes] = field(default_factory=dict)


def plan(
    specs: Path, before: Loaded, sheet: Sheet, places: Places, given: MapFile, taken: FromPantry | None = None
) -> Plan:
    """Everything a spreadsheet holds, and the files it would become in a folder of specs.

    taken  what the house gets out of the pantry with them
    """
    if taken is not None:
        before = load(specs, besides={"ingredients": documents(taken)})
    return _Planner(specs, before, sheet, places, given, taken or FromPantry({})).plan()


def unreadable(sheet: Sheet, places: Places | None, problems: Iterable[Problem]) -> Plan:
    """The plan for a spreadsheet whose columns are not known."""
    row = places.heading_row if places else None
    unread = places.unread if places else ()
    found = tuple(problems)
    return Plan(
        Imported(sheet.path, sheet.encoding, sheet.sure, sheet.delimiter, row, (), (), unread, (), found, (), False)
    )


class _Planner:
    def __init__(
        self, specs: Path, before: Loaded, sheet: Sheet, places: Places, given: MapFile, taken: FromPantry
    ) -> None:
        self._pantry = taken
        self._specs = specs
        self._before = before
        self._sheet = sheet
        self._places = places
        self._map = given.found
        self._faults = Faults(sheet, places)
        self._there: set[str] = set()
        self._where: dict[str, str] | None = None

    def plan(self) -> Plan:
        rows: Rows | Blocks
        if self._places.layout == "blocks":
            rows = Blocks(self._sheet, self._faults, self._map.ignore)
        else:
            rows = Rows(self._sheet, self._places, self._faults)
        if sum(len(drink.pours) for drink in rows.drinks) > MOST_POURS:
            return self._refused(f"there are more than {MOST_POURS:,} pours")
        if len(self._faults.found) > MOST_FAULTS:
            return self._refused(f"more than {MOST_FAULTS:,} cells cannot be read")
        reader = Reader(self._before, self._map, self._faults, self._places, self._sheet.delimiter)
        self._unread_pours(rows, reader)
        candidates: list[Candidate] = []
        names: set[str] = set()
        for raw in rows.drinks[: MOST_DRINKS + 1]:
            candidates.append(reader.read(raw))
            names |= candidates[-1].new.keys()
            if len(names) > MOST_NEW or len(candidates) > MOST_DRINKS:
                return self._refused(_too_many(names, candidates))
        self._load_alone(candidates)
        ready = [one for one in candidates if not one.raw.faulty and one.id not in self._there]
        stubs = merged(ready)
        paths = self._file_names(ready)
        self._take_what_is_poured(ready)
        files: dict[Path, bytes] = dict(self._pantry.files)
        if stubs:
            files[self._stub_path()] = stub_file(self._sheet.path, [(new.name, new.rows) for new in stubs.values()])
        for one in ready:
            files[paths[one.id]] = drink_file(one.lines, self._sheet.path, one.rows, one.left_out)
        spoilt = self._spoilt(files, ready)
        if spoilt:
            files, paths, stubs = {}, {}, {}
        result = Imported(
            self._sheet.path,
            self._sheet.encoding,
            self._sheet.sure,
            self._sheet.delimiter,
            self._places.heading_row,
            tuple(self._drink(one, paths) for one in candidates),
            new_ingredients(self._before.specs, self._map, candidates, stubs, str(self._stub_path())),
            self._places.unread,
            tuple(rows.skipped),
            (*self._faults.problems(), *spoilt),
            tuple(map(str, files)),
            False,
            self._pantry.added if files else (),
            self._places.layout,
            unknown_glasses(self._before.specs, candidates),
            lacking(self._before.specs, stubs, self._pantry.added) if files else (),
        )
        return Plan(result, files)

    def _take_what_is_poured(self, ready: list[Candidate]) -> None:
        """Leave in the pantry what only drinks with faults pour. They were read with it, and keep their faults."""
        poured = {pour.of for one in ready if one.meant for pour in one.meant.pours}
        entries = [entry for entry in self._pantry.added if slug(entry.name) in poured]
        if len(entries) < len(self._pantry.added):
            self._pantry = from_pantry(self._specs, entries) if entries else FromPantry({})

    def _refused(self, told: str) -> Plan:
        """The plan for what cannot be a bar's specs: so many of anything are rather another column's text."""
        remedy = "say in a map which column holds the ingredient and which the drink, or split the sheet"
        problem = Problem("import-too-many", told, remedy, self._sheet.path)
        return unreadable(self._sheet, self._places, [problem])

    def _unread_pours(self, rows: Rows | Blocks, reader: Reader) -> None:
        """Tell of columns that are not read and yet hold pours: without them the drinks of those rows are others."""
        for column in self._places.unread:
            is_doubtful = column.place in self._places.doubtful
            held = {
                row.number: text
                for row in self._sheet.rows[self._places.heading_row :]
                if column.place < len(row.cells)
                and (text := " ".join(row.cells[column.place].split()))
                and (is_doubtful or reader.is_pour(text))
            }
            if not held:
                continue
            first, text = next(iter(held.items()))
            may, remedy = (
                "holds",
                "say in the map what it holds (ingredient 1, ingredient 2, …), or list it under ignore",
            )
            if is_doubtful:
                may, remedy = "may hold", "list it in the map under ingredient columns, or under ignore"
            message = f'this column is not read, and {may} pours, like "{short(text)}"'
            self._faults.add("import-column", first, column.place, message, remedy)
            for raw in rows.drinks:
                raw.faulty = raw.faulty or not held.keys().isdisjoint(raw.rows)

    def _drink(self, one: Candidate, names: dict[str, Path]) -> ImportedDrink:
        name = one.raw.name.text
        if one.raw.faulty:
            return ImportedDrink(one.id, name, one.rows, "faulty")
        if one.id in self._there:
            return ImportedDrink(one.id, name, one.rows, "already there")
        if one.id not in names:
            return ImportedDrink(one.id, name, one.rows, "faulty")
        method = one.meant.method if one.meant else None
        told = one.meant is None or is_told(
            made_in(one.meant, self._before.specs.house), pours_ice=self._pours_ice(one.meant)
        )
        left = tuple(one.left_out)
        return ImportedDrink(one.id, name, one.rows, "ready", str(names[one.id]), method, one.pours, left, told)

    def _pours_ice(self, drink: Drink) -> bool:
        found = (self._before.specs.ingredients.get(pour.of) for pour in drink.pours)
        return any(one is not None and one.melts for one in found)

    def _load_alone(self, candidates: list[Candidate]) -> None:
        """Read every drink as the loader would, with the house's liquids only, and tell what it has against them."""
        tried = [one for one in candidates if one.lines.texts]
        drinks = {
            f"{number}": read_document(f"{number}", drink_file(one.lines, self._sheet.path, one.rows))
            for number, one in enumerate(tried)
        }
        stubs = merged(tried)
        besides = {"ingredients": [*documents(self._pantry), *_stub_document(stubs)], "drinks": list(drinks.values())}
        loaded = load(self._specs, besides=besides, saved_drinks=False)
        for number, one in enumerate(tried):
            for problem in drinks[f"{number}"].problems():
                if problem.code not in DRINK_REMARKS:
                    self._tell(one, problem)
            if one.raw.faulty:
                continue
            drink = loaded.specs.drinks.get(one.id)
            meant = one.meant and made_in(one.meant, self._before.specs.house)
            if drink is None or drink != meant:
                self._fault(
                    one,
                    "import-unsafe",
                    "this drink would not be read back as it stands here",
                    "write it into a file by hand",
                )
                continue
            identity = self._taken(one)
            if identity is not None and self._before.specs.drinks.get(identity) == drink:
                self._there.add(one.id)
            elif identity is not None:
                message = f'"{short(one.raw.name.text)}" is already in {self._file_of(identity)}, and differs'
                there = self._before.specs.drinks.get(identity)
                if there is not None:
                    message += f" in {_differing(drink, there)}"
                remedy = "give it another name here, or change that file: balancer set changes an amount"
                self._fault(one, "import-exists", message, remedy)

    def _taken(self, one: Candidate) -> str | None:
        """The drink of the house that has its id or its name already."""
        names = self._before.specs.drink_names
        return names.whole(one.id) or names.whole(one.raw.name.text)

    def _file_of(self, identity: str) -> str:
        if self._where is None:
            self._where = {entry.id: entry.document.path for entry in entries_of(self._specs, "drinks")}
        return self._where.get(identity, f"{self._specs / 'drinks'}")

    def _tell(self, one: Candidate, problem: Problem) -> None:
        """A problem of the loader as a fault of the row it comes from."""
        code, message = problem.code, problem.message
        if code == ZERO_PROOF_UNKNOWN:
            return  # what is new says nothing of its alcohol yet; the answer says so
        if one.is_told(code) or (code == "same-name" and one.raw.faulty):
            return
        remedy = _REMEDIES.get(code, problem.remedy)
        line = (problem.line or 1) - 2  # the first line of the file is its comment
        cell = one.lines.cells[line] if 0 <= line < len(one.lines.cells) else None
        if code == "same-name":
            message, remedy = f'"{short(one.raw.name.text)}" is the name of another drink here', "give it another name"
        place = cell or one.raw.name
        self._faults.add(code, place.row, place.column, message, remedy)
        one.raw.faulty = True

    def _fault(self, one: Candidate, code: str, message: str, remedy: str) -> None:
        self._faults.add(code, one.raw.name.row, one.raw.name.column, message, remedy)
        one.raw.faulty = True

    def _spoilt(self, files: dict[Path, bytes], ready: list[Candidate]) -> tuple[Problem, ...]:
        """What the files would spoil: a problem the folder does not have now, or a drink that reads differently."""
        if not files:
            return ()
        besides: dict[str, list[Document]] = {"ingredients": [], "drinks": []}
        for path, raw in files.items():
            besides[path.relative_to(self._specs).parts[0]].append(read_document(str(path), raw))
        loaded = load(self._specs, besides=besides)
        known = {problem.same_as for problem in self._before.problems}
        settled = {ZERO_PROOF_UNKNOWN, *DRINK_REMARKS}
        found = [each for each in loaded.problems if each.same_as not in known and each.code not in settled]
        if found:
            first = found[0]
            where = ":".join(str(part) for part in (first.path, first.line) if part is not None)
            message = f"nothing can be written, because it would spoil {where}: {first.message}"
            return (Problem("import-spoils", message, first.remedy, self._sheet.path),)
        house = self._before.specs.house
        if any(one.meant is None or loaded.specs.drinks.get(one.id) != made_in(one.meant, house) for one in ready):
            remedy = "please report it with this file"
            return (Problem("import-unsafe", "the files would not be read back as meant", remedy, self._sheet.path),)
        return ()

    def _file_names(self, ready: list[Candidate]) -> dict[str, Path]:
        """A file for every drink: named by its id, and never one that is there."""
        folder = self._specs / "drinks"
        taken = {path.name.casefold() for path in folder.iterdir()} if folder.is_dir() else set()
        found: dict[str, Path] = {}
        for one in ready:
            stem = file_stem(one.id, _LONGEST_FILE_NAME)
            name, number = f"{stem}.yaml", 1
            while name.casefold() in taken:
                number += 1
                name = f"{stem}-{number}.yaml"
            taken.add(name.casefold())
            found[one.id] = folder / name
        return found

    def _stub_path(self) -> Path:
        folder = self._specs / "ingredients"
        path, number = folder / "imported.yaml", 1
        while os.path.lexists(path):  # a link into nowhere is there too
            number += 1
            path = folder / f"imported-{number}.yaml"
        return path


def _differing(one: Drink, other: Drink) -> str:
    """The keys in which two drinks say something else."""
    fields = Drink.model_fields
    return ", ".join(
        fields[name].alias or name for name in fields if getattr(one, name) != getattr(other, name) and name != "id"
    )


def _too_many(names: set[str], candidates: list[Candidate]) -> str:
    """Of what there is too much: unknown names, or drinks."""
    if len(names) <= MOST_NEW:
        return f"there are more than {MOST_DRINKS} drinks"
    seen = ", ".join(f'"{short(new.name)}"' for one in candidates[:3] for new in [*one.new.values()][:2])
    return f"more than {MOST_NEW} names are unknown to the house, like {seen}"


def _stub_document(stubs: dict[str, New]) -> list[Document]:
    if not stubs:
        return []
    return [read_document("new", stub_file("new", [(new.name, new.rows) for new in stubs.values()]))]
