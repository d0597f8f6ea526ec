"""`import` on the screen."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from pathlib import PurePath
from typing import Final

from balancer.models.imported import Imported, NewIngredient, Suggestion, UnknownGlass
from balancer.output.words.numbers import count, cut, some, whole_or_cut
from balancer.output.words.page import labelled, page, wrap
from balancer.output.words.problems import problems_text

_MOST_NAMED: Final = 12
_LONGEST: Final = 60
_IN_KEYS: Final = re.compile(
    r'\{pour: "?(?P<amount>[^",]*)"?, of: "?(?P<of>[^",]*)"?(?P<rest>(?:, (?:top|fixed): \w+)*)\}'
)
_LAYOUTS: Final = {"blocks": "a block for each drink"}
_CALLED: Final = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}


def import_text(result: Imported) -> str:
    """The answer, what came with it, then every fault."""
    rows: list[str] = []
    if result.is_written:
        rows.append(labelled("written", _written(result)))
    if result.pantry:
        unknown = [entry.name for entry in result.pantry if entry.lacks_abv]
        label = f"; ABV unknown until you read the label: {_some(unknown)}" if unknown else ""
        rows.append(labelled("out of the pantry", f"{_some(entry.name for entry in result.pantry)}{label}"))
    new = [_new(one) for one in result.ingredients if one.file]
    idle = [_new(one) for one in result.ingredients if not one.file]
    if new:
        rows.append(labelled("new ingredients", _some(new)))
        where = ", ".join(dict.fromkeys(one.file for one in result.ingredients if one.file))
        told = f"alcohol, acid, sugar, allergens: add them from the label, in {where}"
        rows.append(labelled("unknown in them", told))
    if idle:
        rows.append(labelled("not in the house", f"{_some(idle)}: only in drinks that are left out, so not written"))
    taken = {entry.name for entry in result.pantry}
    figures = [(one.name, [what for what in one.what if what != "alcohol"]) for one in result.lacking]
    lacking = [f"{' and '.join(what)} of {name}" for name, what in figures if what and name in taken]
    if lacking:
        rows.append(labelled("unknown", f"{_some(lacking)}: until you measure it, or read the label"))
    if not result.is_written:
        rows.extend(_offered_by_pantry(result))
    rows.extend(_about_drinks(result))
    if result.unread:
        columns = (f"{column.letter} {column.heading}".strip() for column in result.unread)
        rows.append(labelled("columns not read", _some(columns)))
    if result.skipped:
        rows.append(labelled("rows not read", _some(f"{skipped.row} ({skipped.why})" for skipped in result.skipped)))
    rows.append(labelled("read as", _manner(result)))
    ready = "".join(f"\n{line}" for line in _ready(result))
    told = f"\n{problems_text(result.problems)}" if result.problems else ""
    return page(_first(result), rows, _more(result)) + ready + told


def _offered_by_pantry(result: Imported) -> Iterator[str]:
    """What the pantry has by the very name: nobody was asked of it yet, or it was said to be new all the same."""
    waiting = [one.pantry.name for one in result.ingredients if one.pantry and not one.kept]
    answered = [one.pantry.name for one in result.ingredients if one.pantry and one.kept]
    if waiting:
        yield labelled("pantry has", f"{_some(waiting)}: taken with --pantry, or you are asked at a terminal")
    if answered:
        yield labelled("pantry has", f"{_some(answered)}: new as it is, by your answer or map; --pantry takes it")


def _about_drinks(result: Imported) -> Iterator[str]:
    """What is to be known of the drinks, beside their pours."""
    there = [drink.name for drink in result.drinks if drink.state == "already there"]
    if there:
        yield labelled("already there", _some(there))
    faulty = [drink.name for drink in result.drinks if drink.state == "faulty"]
    if faulty:
        yield labelled("left out", _some(faulty))
    coming = [drink for drink in result.drinks if drink.state in ("ready", "written")]
    not_poured = [f"{', '.join(drink.left_out)} in {drink.name}" for drink in coming if drink.left_out]
    if not_poured:
        yield labelled("not poured", _some(not_poured))
    undiluted = [f'{drink.name} ("{drink.method}")' for drink in coming if not drink.has_dilution]
    if undiluted:
        yield labelled("dilution unknown", _some(undiluted))
    if result.glasses:
        glasses = (f"{one.name} (did you mean {one.near}?)" if one.near else one.name for one in result.glasses)
        yield labelled("unknown glasses", _some(glasses))


def name_question(one: NewIngredient, options: Sequence[Suggestion]) -> str:
    """What to ask about a name that the house does not have."""
    rows = [f"  {number} {_offered(option)}" for number, option in enumerate(options, start=1)]
    where = f"{count(one.drinks, 'drinks')}, row {one.rows[0]}" if one.rows else count(one.drinks, "drinks")
    asks = "number or another name" if rows else "another name"
    first = f'"{cut(one.name, _LONGEST)}" ({where}) is not in the house{", and may be:" if rows else "."}'
    return "\n".join([first, *rows, f"{asks}; Enter: new as it is; -: not poured; stop: ask no more > "])


def glass_question(one: UnknownGlass, glasses: Sequence[str]) -> str:
    """What to ask about a glass that the house does not list."""
    rows = [f"  {number} {name}" for number, name in enumerate(glasses, start=1)]
    first = f'the house has no glass "{cut(one.name, _LONGEST)}". It has:'
    return "\n".join([first, *rows, "number; Enter: as it is; stop: ask no more > "])


def nothing_called(said: str) -> str:
    """That neither the house nor the pantry knows a name that was typed."""
    return f'nothing is called "{cut(said, _LONGEST)}", in the house or the pantry'


def keep_question(file: str) -> str:
    """What to ask before answers are kept."""
    return f"Keep the answers in {file}, so that the next import of this sheet does not ask?"


def _offered(option: Suggestion) -> str:
    return option.name if option.in_house else f"{option.name} (pantry)"


def _ready(result: Imported) -> Iterator[str]:
    """Every drink as it would be written, so that a person can compare it with the sheet before anything is."""
    for drink in result.drinks:
        if drink.state == "ready":
            row = f"row {drink.rows[0]}" if drink.rows else ""
            first, *more = wrap(
                f"{row}  {whole_or_cut(drink.name, _LONGEST)}, {drink.method}: {' · '.join(map(_poured, drink.pours))}",
                4,
            )
            yield from (first, *more)


def _poured(pour: str) -> str:
    """A pour as people say it; one that its file writes out in keys too."""
    found = _IN_KEYS.fullmatch(pour)
    if found is None:
        return pour
    words = [name for name in ("top", "fixed") if f"{name}: true" in found["rest"]]
    return f"{found['amount']} {found['of']}" + (f" ({', '.join(words)})" if words else "")


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
    new = [one for one in result.ingredients if one.file]
    if new:
        parts.append(f"{count(len(new), 'ingredients')} new")
    if result.pantry:
        parts.append(f"{len(result.pantry)} out of the pantry")
    return f"{PurePath(result.path).name}: {', '.join(parts)}"


def _written(result: Imported) -> str:
    stubs = list(dict.fromkeys(one.file for one in result.ingredients if one.file))
    folders = Counter(str(PurePath(file).parent) for file in result.files if file not in stubs)
    return ", ".join([*(f"{count(number, 'files')} in {folder}" for folder, number in folders.items()), *stubs])


def _new(one: NewIngredient) -> str:
    """A new name with what it may mean; of the house and the pantry alike, and none of them is taken unasked."""
    if one.pantry or one.kept or not one.may_be:
        return whole_or_cut(one.name, _LONGEST)
    return f"{whole_or_cut(one.name, _LONGEST)} (did you mean {' or '.join(option.name for option in one.may_be[:2])}?)"


def _manner(result: Imported) -> str:
    """How the file was read; an encoding that was guessed is marked so."""
    encoding = result.encoding if result.encoding_is_sure else f"{result.encoding} (a guess; see é, ł and ½)"
    headings = f"headings in row {result.heading_row}" if result.heading_row else "no headings found"
    laid_out = _LAYOUTS.get(result.layout, headings)
    used = f", with the map {result.map}" if result.map else ""
    return f"{encoding}, cells parted by {_CALLED.get(result.delimiter, repr(result.delimiter))}, {laid_out}{used}"


def _more(result: Imported) -> str:
    if result.is_written:
        return "balancer check; every file names the row it came from"
    if result.files:
        return f"nothing is written yet; the same line with --write writes {count(len(result.files), 'files')}"
    return "nothing to write; --map F.yaml says which column holds what, --json names every row"


def _some(texts: Iterable[str], most: int = _MOST_NAMED) -> str:
    return some((whole_or_cut(text, _LONGEST) for text in texts), most)
