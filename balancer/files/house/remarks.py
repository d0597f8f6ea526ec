"""What is wrong about a drink or a syrup that stops nothing: its glass, its date, its recipe.

It is told as any problem; the entry loads all the same, because no pour depends on it.
"""

from __future__ import annotations

import difflib
from typing import Final

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.doubts import part_doubt, recipe_doubt
from balancer.engine.drink.liquid import Liquid
from balancer.engine.prep.recipe import KNOWN, Item, items_of, weigh, whole
from balancer.errors import BalancerError, CannotError, QuantityError
from balancer.files.house.entries import NAME_KEY, Entry
from balancer.files.house.pours import Liquids
from balancer.files.yaml.document import Document, Mapping, Node, Scalar, Sequence
from balancer.models.days import day_and_month, parse_day
from balancer.models.drink import Drink
from balancer.models.names import glass_key, slug
from balancer.models.pour import Part
from balancer.models.syrup import Syrup
from balancer.units import format_quantity
from balancer.unseen import first_unseen

DRINK_REMARKS: Final = ("unseen", "glass", "date", "date-ambiguous")
"""The codes of what is remarked about a drink."""

_MOST_GLASSES: Final = 8


def name_remark(entry: Entry) -> None:
    """Report a sign in a name that is not seen, or turns what follows it around: two names could look like one."""
    name = entry.node.get(NAME_KEY[entry.kind])
    if not isinstance(name, Scalar) or (found := first_unseen(name.text)) is None:
        return
    at, does = found
    sign, document = name.text[at], entry.document
    place = document.text.find(sign, name.start, name.end)
    document.report(
        "unseen", name if place < 0 else place, f"in this name stands U+{ord(sign):04X}, which {does}",
        "type the name again; a screen shows � there",
    )  # fmt: skip


def drink_remarks(drink: Drink, bar: Bar, node: Mapping, document: Document) -> None:
    """Report a glass that the house does not list, where it lists any, and a date that says no year."""
    if drink.glass and bar.glasses and glass_key(drink.glass) not in bar.glasses:
        listed = {glass_key(name): name for name in bar.specs.house.glasses}
        near = difflib.get_close_matches(glass_key(drink.glass), listed, n=1, cutoff=0.7)
        known = ", ".join([*listed.values()][:_MOST_GLASSES])
        hint = f'did you mean "{listed[near[0]]}"?' if near else f"take one of {known}"
        document.report(
            "glass", node.get("glass") or node, f'the house lists no glass called "{drink.glass}"',
            f"{hint}{' Else' if near else ', or'} add it to glasses: in house.yaml, with what it holds to the brim",
        )  # fmt: skip
    if drink.date:
        _date_remark(drink.date, node.get("date") or node, document)


def _date_remark(text: str, where: Node, document: Document) -> None:
    """Report a date that would be another one next year, or nobody can read. Other words stay as they are."""
    try:
        parse_day(text)
    except QuantityError as error:
        if day_and_month(text) or error.code == "date-ambiguous" or "calendar" in error.reason:
            document.report(error.code, where, error.reason, error.remedy)


def recipe_remarks(syrup: Syrup, bar: Bar, liquids: Liquids, node: Mapping, document: Document) -> None:
    """Report parts of a recipe that nobody knows or can weigh, and amounts that no bar has."""
    recipe = node.get("recipe")
    places: list[Node] = list(recipe.items) if isinstance(recipe, Sequence) else [recipe or node]
    told = len(document.found)
    for part, where in zip(syrup.recipe, places, strict=False):
        liquid = _part(part, syrup, bar, liquids, where, document)
        if liquid is not None:
            _amount_remark(part, liquid, bar, where, document)
    if syrup.recipe and len(document.found) == told:
        _strength_remark(syrup, bar, node, document)


def _part(part: Part, syrup: Syrup, bar: Bar, liquids: Liquids, where: Node, document: Document) -> Liquid | None:
    """What a recipe calls by a name, after saying what is wrong with it; None for what is not known or is broken."""
    known = KNOWN.get(slug(part.of))
    identity = liquids.names.whole(part.of)
    if identity is None and known is not None:
        return known
    if identity is not None and identity != syrup.id:
        return bar.liquid(identity) if bar.specs.find_liquid(identity) else None
    found = [each for each in liquids.names.find(part.of) if each not in (syrup.id, part.of)]
    names = [liquids.called.get(each, each) for each in found]
    if len(names) == 1:
        remedy = f'did you mean "{names[0]}"?'
    elif names:
        remedy = f"write {' or '.join(names[:4])}"
    else:
        close = difflib.get_close_matches(part.of.casefold(), [each.name for each in KNOWN.values()], n=1, cutoff=0.8)
        near = close[0] if close else liquids.called_like(part.of)
        hint = f'did you mean "{near}"? Else ' if near and near != syrup.name else ""
        usual = f"{hint}add it to ingredients/; leave its sugar out when you do not know it"
        remedy = liquids.in_pantry(part.of, near, by_volume=part.amount.kind == "volume") or usual
    document.report("unknown-name", where, f'no ingredient or syrup is called "{part.of}"', remedy)
    return None


def _amount_remark(part: Part, liquid: Liquid, bar: Bar, where: Node, document: Document) -> None:
    """Report a part that has no weight, or more of it than a kitchen has. Cups of sugar are for `make` to ask about."""
    try:
        grams, _ = weigh(bar, liquid, part.amount, None)
    except CannotError as error:
        if error.code != "bulk-density":
            document.report(error.code, where, error.message, error.remedy)
        return
    told = part_doubt(f"{format_quantity(part.amount)} {part.of}", grams)
    if told:
        document.report("recipe", where, told, "correct it: a recipe is for one batch, and make weighs it out for more")


def _strength_remark(syrup: Syrup, bar: Bar, node: Mapping, document: Document) -> None:
    """Report a recipe that gives another syrup altogether. What is strained or boiled down is not judged."""
    try:
        items: tuple[Item, ...] = items_of(bar, syrup)
        standard = bar.standard(syrup.id)
        if syrup.yields is not None or any(item.keeps_solids or item.liquid.sugar_unknown for item in items):
            return
        told = recipe_doubt(syrup.name, whole(items).brix, standard)
    except BalancerError:
        return  # told by whoever asks for it
    if told:
        remedy = "correct an amount or the standard; what is boiled down or strained wants a yield"
        document.report("recipe", node.key("recipe") or node, told, remedy)
