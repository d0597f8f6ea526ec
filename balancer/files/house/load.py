"""A bar's folder as Specs, with every problem found on the way.

Loading never stops at a problem: what loads is loaded, and each problem knows its place, so that a
command can answer for everything that is sound.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from collections.abc import Mapping as Mapping_
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, NamedTuple

from balancer.engine.drink.allergens import with_recipe_allergens
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.dilution import made_in
from balancer.errors import BalancerError, Problem
from balancer.files.house.base import Layer, Shelf, layers
from balancer.files.house.entries import NAME_KEY, Entry, claim_names, document_entries, read_entries, standing
from balancer.files.house.measures import house_of
from balancer.files.house.pours import Liquids, pour_data, recipe_data
from balancer.files.house.print_look import look_problems, print_look
from balancer.files.house.remarks import drink_remarks, name_remark, recipe_remarks
from balancer.files.house.rules import drink_rules, liquid_doubts, liquid_rule, standard_rule
from balancer.files.house.written_for import strengths_by_id, syrups_named
from balancer.files.yaml.document import Document, Mapping
from balancer.files.yaml.tree import read_document
from balancer.files.yaml.validate import validate
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.models.ingredient import Ingredient
from balancer.models.layered import Override
from balancer.models.names import NameIndex, as_word, slug
from balancer.models.specs import Specs
from balancer.models.syrup import Syrup


class Broken(NamedTuple):
    """An entry that did not load. pours holds the ids it pours as far as they could be read."""

    kind: str
    id: str
    name: str
    problems: tuple[Problem, ...]
    pours: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Loaded:
    """What a folder holds.

    specs           the sound part
    problems        every problem, those of the folders first, then in file order
    broken          the entries left out
    house_problems  those of house.yaml: they touch every answer. Those of its `look` touch what is printed alone
    house_lost      whether house.yaml could not be read to its end, so that nobody knows what it says
    missing         what could not be read at all, so that nobody knows which entries are missing: they touch
                    every answer too
    doubts          what is rather a slip about a drink, syrup or ingredient that loaded, by its id
    written         every entry as its file has it, by folder and id: keys and texts, nothing of it understood yet
    layers          the folders read: the house's own first, then its base, then that one's
    origin          the folder of every entry that is not the house's own, by its kind and id
    overrides       the entries of the house that stand in place of one of its base
    """

    specs: Specs
    problems: tuple[Problem, ...] = ()
    broken: tuple[Broken, ...] = ()
    house_problems: tuple[Problem, ...] = ()
    house_lost: bool = False
    missing: tuple[Problem, ...] = ()
    doubts: Mapping_[str, tuple[Problem, ...]] = field(default_factory=dict)
    files: int = 0
    written: Mapping_[str, Mapping_[str, Mapping_[str, Any]]] = field(default_factory=dict)
    layers: tuple[Path, ...] = ()
    origin: Mapping_[tuple[str, str], Path] = field(default_factory=dict)
    overrides: tuple[Override, ...] = ()

    def base_of(self, kind: str, identity: str) -> Path | None:
        """The folder of the base that an entry comes from, which is never edited; None where it is the house's own."""
        return self.origin.get((kind, identity))

    def broken_of(self, kind: str) -> list[Broken]:
        """The broken entries of one folder."""
        return [entry for entry in self.broken if entry.kind == kind]

    def left_out(self, kind: str) -> list[str]:
        """What is missing of one folder, as far as anybody knows: names, and places that could not be read."""
        names = [entry.name or entry.id for entry in self.broken_of(kind)]
        return [*names, *(f"whatever is in {_place_of(problem)}" for problem in self.missing)]

    def doubts_about(self, drinks: Iterable[str] = (), liquids: Iterable[str] = ()) -> tuple[Problem, ...]:
        """What is doubted about some drinks, with all they pour, and about some syrups and ingredients, by their ids.

        An answer about them begins with it.
        """
        if not self.doubts:
            return ()
        wanted: dict[str, None] = {}
        for drink in drinks:
            wanted |= dict.fromkeys((drink, *(pour.of for pour in self.specs.drinks[drink].pours)))
        wanted |= dict.fromkeys(liquids)
        return tuple(dict.fromkeys(problem for identity in wanted for problem in self.doubts.get(identity, ())))

    def broken_pouring(self, *ids: str) -> tuple[Broken, ...]:
        """The broken drinks that pour any of some ingredients or syrups."""
        return tuple(entry for entry in self.broken_of("drinks") if not entry.pours.isdisjoint(ids))


def load(
    directory: Path,
    instead: dict[Path, bytes] | None = None,
    *,
    besides: Mapping_[str, Sequence[Document]] | None = None,
    saved_drinks: bool = True,
    apart: House | None = None,
    shelf: Shelf | None = None,
    look: bool = False,
) -> Loaded:
    """Everything in a bar's folder, and in the base that its house.yaml names.

    instead       what to read in place of some of the files of entries, to see what a change would do
    besides       documents that are not saved, as if they were files too, by the folder they would be in
    saved_drinks  whether the drinks of the folders themselves are read
    shelf         what was read of a base that several houses share
    look          whether what no answer needs is looked at too: the files that its pages take from it, logo, fonts,
                  template; and what a command that was killed left behind
    apart         the house of what is besides, where nothing of the folders themselves is to be read
    Raises BalancerError only when there is no such folder at all.
    """
    if not directory.is_dir():
        raise NoFolderError(directory)
    shelf = shelf or Shelf()
    held = [Layer(directory, None)] if apart else layers(directory, shelf)
    house = apart or _house(held, look=look)
    documents: list[Document] = []
    entries: list[Entry] = []
    kinds = [] if apart else [kind for kind in NAME_KEY if saved_drinks or kind != "drinks"]
    folders = [shelf.files(layer.folder, NAME_KEY) for layer in held] if kinds else []

    def read(path: Path) -> Document:
        return read_document(str(path), instead[path]) if instead and path in instead else shelf.document(path)

    for kind in NAME_KEY:
        for depth in reversed(range(len(held)) if kind in kinds else ()):
            entries += read_entries(folders[depth][kind].files, kind, documents, read, depth)
        for document in (besides or {}).get(kind, ()):
            documents.append(document)
            entries += document_entries(document, kind)
    entries, over = standing(entries)
    entries = _as_in_one_folder(entries, held)
    drink_entries = [entry for entry in entries if entry.kind == "drinks"]
    liquid_entries = [entry for entry in entries if entry.kind != "drinks"]
    specs = Specs(house, {}, {}, {}, NameIndex(), NameIndex())
    claim_names(liquid_entries, specs.liquid_names)
    claim_names(drink_entries, specs.drink_names)
    broken = [found for entry in liquid_entries if (found := _load_liquid(entry, specs))]
    for identity, syrup in specs.syrups.items():
        specs.syrups[identity] = with_recipe_allergens(syrup, specs)
    harm: dict[str, list[Problem]] = {}
    for liquid in broken:
        harm.setdefault(liquid.id, []).extend(liquid.problems)
    called = {entry.id: entry.name for entry in liquid_entries}
    liquids = Liquids(specs.liquid_names, called, str(directory), _lost_names(over))
    bar = Bar(specs)
    for entry in liquid_entries:
        made = specs.syrups.get(entry.id) if entry.kind == "syrups" else None
        if made is not None and made.recipe:
            recipe_remarks(made, bar, liquids, entry.node, entry.document)
    broken += [found for entry in drink_entries if (found := _load_drink(entry, bar, liquids, harm))]
    of_house = [layer.document for layer in held if layer.document]
    left = _left_behind(directory) if look else []
    parts = [folder[kind] for folder in folders for kind in kinds]
    of_folders = [*left, *(problem for part in parts for problem in part.problems)]
    in_files = [problem for document in (*of_house, *documents) for problem in document.problems()]
    missing = [layer.lost for layer in held if layer.lost]
    missing += [problem for part in parts for problem in part.missing]
    known = {entry.document.path for entry in (*entries, *(own for own, _ in over), *(base for _, base in over))}
    missing += [document.lost for document in documents if document.lost]
    missing += [document.cut for document in documents if document.cut and document.path not in known]
    return Loaded(
        specs,
        problems=(*of_folders, *in_files),
        broken=tuple(broken),
        house_problems=_house_problems(held),
        house_lost=any(not (isinstance(one.root, Mapping) and one.root.complete) for one in of_house),
        missing=tuple(missing),
        doubts=_doubts(entries),
        files=len(of_house) + len(documents),
        written={kind: {entry.id: entry.data for entry in entries if entry.kind == kind} for kind in NAME_KEY},
        layers=tuple(layer.folder for layer in held),
        origin={(entry.kind, entry.id): held[entry.depth].folder for entry in entries if entry.depth},
        overrides=tuple(_override(own, base) for own, base in over),
    )


def _left_behind(directory: Path) -> list[Problem]:
    from balancer.files.house.broken_off import broken_off  # noqa: PLC0415 - only `check` asks for it

    return broken_off(directory)


def _as_in_one_folder(entries: list[Entry], held: Sequence[Layer]) -> list[Entry]:
    """Entries of several layers in the order in which they would stand in one folder."""

    def place(entry: Entry) -> tuple[int, Path]:
        path = Path(entry.document.path)
        folder = held[entry.depth].folder
        return kinds.index(entry.kind), path.relative_to(folder) if path.is_relative_to(folder) else path

    kinds = [*NAME_KEY]
    return entries if len(held) == 1 else sorted(entries, key=place)


def _lost_names(over: Iterable[tuple[Entry, Entry]]) -> dict[str, str]:
    """What to do about the names that an entry of the base had and the one in its place does not, by their slugs."""
    found: dict[str, str] = {}
    for own, base in over:
        for name in (base.name, *(other.text for other in base.other_names)):
            remedy = f"{own.place} stands in place of what the base calls so: add it there, like also: [{name}]"
            found.setdefault(slug(name), remedy)
    return found


def _override(own: Entry, base: Entry) -> Override:
    return Override(own.kind, own.id, own.name or base.name, own.place, base.place, own.data, base.data)


def _place_of(problem: Problem) -> str:
    """Where it is that nobody could look."""
    return f"the base that {problem.path} names" if problem.code == "base" else problem.path or ""


def _doubts(entries: Iterable[Entry]) -> dict[str, tuple[Problem, ...]]:
    """What is doubted about each entry, by its id."""
    found: dict[str, tuple[Problem, ...]] = {}
    for entry in entries:
        doubts = entry.doubts() if entry.document.found else ()
        if doubts:
            found[entry.id] = (*found.get(entry.id, ()), *doubts)
    return found


class NoFolderError(BalancerError):
    """There is no folder of specs where the command looks: the one named or, when none is, here and above."""

    def __init__(self, directory: Path | None = None) -> None:
        super().__init__(f"there is no folder {directory or 'of a bar here'}")
        self.directory = directory

    def problems(self) -> tuple[Problem, ...]:
        """The error as problems for a person."""
        if self.directory is not None and os.path.isfile(self.directory):
            told = f'"{self.directory}" is a file, and a bar is a folder'
            return (Problem("no-folder", told, "name the folder that it is in", str(self.directory)),)
        if self.directory is not None:
            remedy = f"name yours with --specs DIR, or make one with: balancer start {self.directory}"
            return (Problem("no-folder", f'there is no folder "{self.directory}"', remedy, str(self.directory)),)
        try:
            here = f'"{Path.cwd()}"'
        except OSError:
            here = "this folder"
        specs = "no bar in its folder specs" if Path("specs").is_dir() else f"no folder specs in {here}"
        where = f"in {here}" if Path("specs").is_dir() else "in it"
        told = f"no bar is here: {specs}, and no house.yaml {where} or in any folder above it"
        remedy = (
            "name yours with --specs DIR, make one with: balancer start specs, or look around: balancer tonight --demo"
        )
        return (Problem("no-folder", told, remedy),)


class NoBarError(NoFolderError):
    """A folder that is there and holds nothing of a bar."""

    def problems(self) -> tuple[Problem, ...]:
        """The error as a problem for a person."""
        folder = str(self.directory)
        told = f'there is no bar in "{folder}": no house.yaml, no drinks/, no syrups/ and no ingredients/'
        remedy = f"name yours with --specs DIR, or make one with: balancer start {as_word(folder)}"
        return (Problem("no-folder", told, remedy, folder),)


def load_house(directory: Path) -> tuple[House, tuple[Problem, ...]]:
    """The house of a folder with its problems; the usual measures when there is no folder or no house.yaml."""
    held = layers(directory, Shelf())
    return house_of(held), _house_problems(held)


def _house(held: Sequence[Layer], *, look: bool) -> House:
    """The house of the layers; its look is looked at where that is asked for."""
    house = house_of(held)
    if look:
        print_look(held)
    return house


def _house_problems(held: Iterable[Layer]) -> tuple[Problem, ...]:
    """The problems of house.yaml, and of those that it stands on; but not of how its pages look."""
    found: list[Problem] = []
    for document in (layer.document for layer in held if layer.document):
        of_look = look_problems(document)
        found += [problem for problem in document.problems() if problem not in of_look]
    return tuple(found)


def _load_liquid(entry: Entry, specs: Specs) -> Broken | None:
    """Put an ingredient or syrup into the specs, or return it as broken."""
    found: Ingredient | Syrup | None = None
    if entry.readable:
        if entry.kind == "syrups":
            data = entry.data
            if "recipe" in data:
                data = data | {"recipe": recipe_data(entry.node, entry.document)}
            found = validate(Syrup, data, entry.node, entry.document)
            standard_rule(entry.name, entry.node, entry.document)
        else:
            found = validate(Ingredient, entry.data, entry.node, entry.document)
        if found is not None:
            liquid_rule(found, entry.node, entry.document)
    problems = entry.problems()
    if found is None or problems:
        return Broken(entry.kind, entry.id, entry.name, problems)
    liquid_doubts(found, entry.node, entry.document)
    if isinstance(found, Syrup):
        specs.syrups[entry.id] = found
    else:
        specs.ingredients[entry.id] = found
    name_remark(entry)
    return None


def _load_drink(entry: Entry, bar: Bar, liquids: Liquids, harm: dict[str, list[Problem]]) -> Broken | None:
    """Put a drink into the specs, or return it as broken. harm holds the problems of what it may pour, by id."""
    # Of what could not be read to its end, only the names count: half a line is not a person's mistake.
    document = entry.document if entry.readable else replace(entry.document, found=[])
    data, ids, drink, named = entry.data, list[str](), None, dict[str, str]()
    if "pours" in data:
        pours, ids = pour_data(entry.node, liquids, document)
        data = data | {"pours": pours}
        named = syrups_named(entry.node, ids, liquids, bar.specs, document)
    if entry.readable:
        drink = validate(Drink, data, entry.node, document)
    if drink is not None:
        drink = made_in(strengths_by_id(drink, named, bar, entry.node, document), bar.specs.house)
        drink_rules(drink, bar, entry.node, document)
    waiting = [problem for identity in ids for problem in harm.get(identity, ())]
    problems = tuple(dict.fromkeys((*entry.problems(), *waiting)))
    if drink is None or problems:
        return Broken("drinks", entry.id, entry.name, problems, frozenset(ids))
    bar.specs.drinks[entry.id] = drink
    name_remark(entry)
    drink_remarks(drink, bar, entry.node, document)
    return None
