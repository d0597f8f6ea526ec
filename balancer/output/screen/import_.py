"""`import` on the screen."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import PurePath
from typing import Final

from balancer.models.imported import Imported, NewIngredient
from balancer.models.pantry import PantryEntry
from balancer.output.words.numbers import count, cut, some
from balancer.output.words.page import labelled, page, wrap
from balancer.output.words.problems import problems_text

_MOST_NAMED: Final = 12
_LONGEST: Final = 60
_CALLED: Final = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}


def import_text(result: Imported) -> str:
    """The answer, what came with it, then every fault."""
    rows = []
    if result.is_written:
        rows.append(labelled("written", _written(result)))
    if result.pantry:
        unknown = [entry.name for entry in result.pantry if entry.lacks_abv]
        label = f"; ABV unknown until you read the label: {_some(unknown)}" if unknown else ""
        rows.append(labelled("out of the pantry", f"{_some(entry.name for entry in result.pantry)}{label}"))
    new = [_new(one) for one in result.ingredients]
    if new:
        rows.append(labelled("new ingredients", _some(new)))
        rows.append(labelled("unknown in them", "alcohol, acid, sugar, allergens: add them from the label"))
    offered = [one.pantry.name for one in result.ingredients if one.pantry]
    if offered and not result.is_written:
        rows.append(labelled("pantry has", f"{_some(offered)}: taken with --pantry, or asked by --write"))
    there = [drink.name for drink in result.drinks if drink.state == "already there"]
    if there:
        rows.append(labelled("already there", _some(there)))
    faulty = [drink.name for drink in result.drinks if drink.state == "faulty"]
    if faulty:
        rows.append(labelled("left out", _some(faulty)))
    if result.unread:
        columns = (f"{column.letter} {column.heading}".strip() for column in result.unread)
        rows.append(labelled("columns not read", _some(columns)))
    if result.skipped:
        rows.append(labelled("rows not read", _some(f"{skipped.row} ({skipped.why})" for skipped in result.skipped)))
    rows.append(labelled("read as", _manner(result)))
    ready = "".join(f"\n{line}" for line in _ready(result))
    told = f"\n{problems_text(result.problems)}" if result.problems else ""
    return page(_first(result), rows, _more(result)) + ready + told


def pantry_question(name: str, entry: PantryEntry) -> str:
    """What to ask before an ingredient of the pantry becomes the house's, by the name in the spreadsheet."""
    as_what = f" as {entry.name}" if name.casefold() != entry.name.casefold() else ""
    return f"{name}: the pantry has it{as_what} ({entry.kind}). Take it?"


def _ready(result: Imported) -> Iterator[str]:
    """Every drink as it would be written, so that a person can compare it with the sheet before anything is."""
    for drink in result.drinks:
        if drink.state == "ready":
            row = f"row {drink.rows[0]}" if drink.rows else ""
            first, *more = wrap(f"{row}  {cut(drink.name, _LONGEST)}, {drink.method}: {' · '.join(drink.pours)}", 4)
            yield from (first, *more)


def _first(result: Imported) -> str:
    ready = result.number_of("written") if result.is_written else result.number_of("ready")
    word = "written" if result.is_written else "ready"
    parts = [f"{count(ready, 'drinks')} {word}"]
    there, faulty = result.number_of("already there"), result.number_of("faulty")
    if there:
        parts.append(f"{there} already there")
    if faulty:
        parts.append(f"{faulty} with faults")
    elif result.problems:
        parts.append(count(len(result.problems), "faults"))
    if result.ingredients:
        parts.append(f"{count(len(result.ingredients), 'ingredients')} new")
    if result.pantry:
        parts.append(f"{len(result.pantry)} out of the pantry")
    return f"{PurePath(result.path).name}: {', '.join(parts)}"


def _written(result: Imported) -> str:
    stubs = list(dict.fromkeys(one.file for one in result.ingredients if one.file))
    folders = Counter(str(PurePath(file).parent) for file in result.files if file not in stubs)
    return ", ".join([*(f"{count(number, 'files')} in {folder}" for folder, number in folders.items()), *stubs])


def _new(one: NewIngredient) -> str:
    return f"{one.name} (did you mean {one.near}?)" if one.near and not one.pantry else one.name


def _manner(result: Imported) -> str:
    """How the file was read; an encoding that was guessed is marked so."""
    encoding = result.encoding if result.encoding_is_sure else f"{result.encoding} (a guess; see é, ł and ½)"
    headings = f"headings in row {result.heading_row}" if result.heading_row else "no headings found"
    return f"{encoding}, cells parted by {_CALLED.get(result.delimiter, repr(result.delimiter))}, {headings}"


def _more(result: Imported) -> str:
    if result.is_written:
        return "balancer check; every file names the row it came from"
    if result.files:
        return f"nothing is written yet; the same line with --write writes {count(len(result.files), 'files')}"
    return "nothing to write; --map F.yaml says which column holds what, --json names every row"


def _some(texts: Iterable[str], most: int = _MOST_NAMED) -> str:
    return some((cut(text[: 2 * _LONGEST], _LONGEST) for text in texts), most)
