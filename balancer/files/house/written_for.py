"""`written for` of a drink: the strengths its pours are written for, each by the id of the syrup its key means."""

from __future__ import annotations

from collections.abc import Sequence

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.doubts import strength_doubt
from balancer.errors import BalancerError
from balancer.files.house.pours import Liquids
from balancer.files.yaml.document import Document, Mapping, Scalar
from balancer.files.yaml.validate import place
from balancer.models.drink import Drink
from balancer.models.specs import Specs

KEY = "written for"


def syrups_named(
    entry: Mapping, poured: Sequence[str], liquids: Liquids, specs: Specs, document: Document
) -> dict[str, str]:
    """The id that each key means, after reporting the keys that mean no syrup the drink pours.

    poured  ids of what the drink pours, as far as they could be read
    """
    node = entry.get(KEY)
    found: dict[str, str] = {}
    for key, _ in node.entries if isinstance(node, Mapping) else ():
        identity = _identify(key, liquids, document)
        if identity is None:
            continue
        name = liquids.called.get(identity, identity)
        told = None
        if identity in specs.ingredients:
            told = f'"{key.text}" is an ingredient, and only a syrup has a strength', _remedy(poured, liquids, specs)
        elif identity not in poured:
            told = f'this drink pours no "{name}"', _remedy(poured, liquids, specs)
        elif identity in found.values():
            told = f'"{key.text}" is {name} a second time', "keep one of the two"
        if told:
            document.report("written-for", key, *told)
        else:
            found[key.text] = identity
    return found


def strengths_by_id(drink: Drink, named: dict[str, str], bar: Bar, node: Mapping, document: Document) -> Drink:
    """The drink with the strengths it is written for by the ids of the syrups, after doubting those no syrup has."""
    if not drink.written_for:
        return drink
    found = {named[text]: brix for text, brix in drink.written_for.items() if text in named}
    for text, brix in drink.written_for.items():
        syrup = bar.specs.syrups.get(named.get(text, ""))
        if syrup is None:
            continue
        where = place(node, (KEY, text))
        try:
            bar.liquid(syrup.id, brix)
        except BalancerError as error:
            document.report("impossible", where, error.problems()[0].message, "correct the strength")
            continue
        told = strength_doubt(syrup.name, round(brix, 1), bar.standard(syrup.id))
        if told:
            document.report("doubt", where, told, "correct it")
    return drink.model_copy(update={"written_for": found})


def _identify(key: Scalar, liquids: Liquids, document: Document) -> str | None:
    """The id a key means, or None after saying what is wrong with it."""
    text = key.text
    whole = liquids.names.whole(text)
    if whole is not None:
        return whole
    found = liquids.names.find(text)
    if len(found) == 1:
        full = liquids.called.get(found[0], found[0])
        document.report("short-name", key, f'"{text}" is short for "{full}"', f'write it in full: "{full}"')
    elif found:
        some = " or ".join(f'"{liquids.called.get(identity, identity)}"' for identity in found[:4])
        others = " or others" if len(found) > 4 else ""
        document.report("ambiguous-name", key, f'"{text}" may be {some}{others}', "write the whole name")
    else:
        near = liquids.called_like(text)
        remedy = f'did you mean "{near}"?' if near else "name a syrup that this drink pours"
        document.report("unknown-name", key, f'no syrup is called "{text}"', remedy)
    return None


def _remedy(poured: Sequence[str], liquids: Liquids, specs: Specs) -> str:
    """What to do about a key that should not be there."""
    names = [liquids.called.get(identity, identity) for identity in poured if identity in specs.syrups]
    return f"delete it, or name a syrup it pours: {', '.join(names)}" if names else "delete it"
