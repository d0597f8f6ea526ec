"""Pages whose items lose what does not fit, in a stated order, rather than stop the others."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Final

from balancer.errors import Problem
from balancer.models.look import PLAIN_LOOK, PrintLook
from balancer.output.paper.dots import PNG_DPI
from balancer.output.paper.printed_page import Format
from balancer.output.paper.typeset import ItemError, UnprintableError, texts, typeset


@dataclass(frozen=True, slots=True)
class Fitted:
    """Pages, and what had to go.

    pages    none when no item could be set
    dropped  by the name of the item: what was taken out of its lists, by key
    unfit    by the name of the item that was left out, why
    """

    pages: list[bytes]
    dropped: dict[str, dict[str, list[Any]]]
    unfit: dict[str, Problem]


def typeset_fitting(
    template: Path,
    data: dict[str, Any],
    kind: Format,
    at: datetime,
    order: Sequence[str],
    look: PrintLook = PLAIN_LOOK,
    dpi: int = PNG_DPI,
) -> Fitted:
    """Set pages as `typeset` does; where an item does not fit, take one thing after the other out of it.

    order  keys of lists to take from, the first one first, from the end of each; an item's key `dropped` says
           whether anything was. A sign the font cannot show takes out all it stands in, and of a list that the
           template has no room for so many things go, from its end
    An item that does not fit without them, or whose other texts cannot be shown, is left out.
    Items of one name are copies of each other. Raises CannotError when the template is at fault.
    """
    items: list[dict[str, Any]] = [{**item, "dropped": False} for item in data["items"]]
    dropped: dict[str, dict[str, list[Any]]] = {}
    unfit: dict[str, Problem] = {}
    while any(item["name"] for item in items):
        try:
            return Fitted(typeset(template, {**data, "items": items}, kind, at, look, dpi), dropped, unfit)
        except UnprintableError as error:
            faults = error.faults
        for name, fault in sorted(faults.items()):
            same = [item for item in items if item["name"] == name]
            gone = _to_drop(same[0], fault, order)
            if not gone:
                (unfit[name],) = fault.problems()
                items = [item for item in items if item["name"] != name]
                continue
            for key, places in gone.items():
                things = same[0][key]
                dropped.setdefault(name, {}).setdefault(key, [])[:0] = [things[place] for place in places]
                rest = [thing for place, thing in enumerate(things) if place not in places]
                for item in same:
                    item |= {key: rest, "dropped": True}
    return Fitted([], dropped, unfit)


def _to_drop(item: dict[str, Any], fault: ItemError, order: Sequence[str]) -> dict[str, Collection[int]]:
    """Keys and places of what to take out next; none when nothing helps."""
    if fault.over:
        key, many = fault.over
        return {key: range(len(item[key]))[-many:]}
    if not fault.signs:
        return next(({key: (len(item[key]) - 1,)} for key in order if item[key]), {})
    found = {key: [place for place, part in enumerate(item[key]) if _has(part, fault.signs)] for key in order}
    return {key: places for key, places in found.items() if places}


def _has(part: object, signs: Sequence[str]) -> bool:
    return any(sign in text for text in texts(part) for sign in signs)


INSTEAD: Final = "instead"
"""Key of an item: what stands in the place of a text that the font cannot show, by the key the text is under."""


@dataclass(frozen=True, slots=True)
class StoodIn:
    """Pages, and the texts that something else stands for, in the order of the items, each once."""

    pages: list[bytes]
    left_off: list[str]


def typeset_standing_in(
    template: Path,
    data: dict[str, Any],
    kind: Format,
    at: datetime,
    told: Callable[[int], str],
    look: PrintLook = PLAIN_LOOK,
    dpi: int = PNG_DPI,
) -> StoodIn:
    """Set pages as `typeset` does; a text with a sign that the font cannot show goes out alone.

    What an item has under its key INSTEAD takes its place: by the key that the text stands under, or by "" where
    there is none for it. Nothing does where that cannot be shown either. A list of texts stands under its own key.
    told  what the page says of so many texts left off: the first item has it under the key `left_off`, once there are
    Raises UnprintableError for items that have no room, CannotError when the template is at fault.
    """
    items = [{**item, "left_off": []} for item in data["items"]]
    left_off: set[str] = set()
    while True:
        shown = [{key: part for key, part in item.items() if key != INSTEAD} for item in items]
        try:
            pages = typeset(template, {**data, "items": shown}, kind, at, look, dpi)
            return StoodIn(pages, [text for text in dict.fromkeys(texts(data["items"])) if text in left_off])
        except UnprintableError as error:
            faults = error.faults
        for item in items:
            signs = faults[item["name"]].signs if item["name"] in faults else ()
            if item["name"] in faults and not signs:
                raise UnprintableError(faults)
            if signs:
                found: list[str] = []
                spare = item.get(INSTEAD, {})
                item |= {
                    key: _without(part, key, signs, spare, found)
                    for key, part in item.items()
                    if key not in ("name", INSTEAD)
                }
                left_off.update(found)
        items[0]["left_off"] = [told(len(left_off))]


def _without(part: Any, key: str, signs: Sequence[str], spare: Mapping[str, str], found: list[str]) -> Any:
    """A value whose texts with one of some signs are exchanged; what they were is appended to `found`."""
    if isinstance(part, dict):
        return {inner: _without(one, inner, signs, spare, found) for inner, one in part.items()}
    if isinstance(part, list):
        return [_without(one, key, signs, spare, found) for one in part]
    if not isinstance(part, str) or not _has(part, signs):
        return part
    found.append(part)
    stand_ins = [spare[place] for place in (key, "") if place in spare]
    return next((text for text in stand_ins if not _has(text, signs)), "")
