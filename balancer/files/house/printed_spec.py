"""What is kept of a printed drink, so that it can be worked out as it was printed whatever changes since.

Kept are the entries of the drink and of all it pours, keys and texts as the files had them, and what the house then
meant by its measures and methods. They are read again by the loader, like any files: no second reading of a spec.
"""

from __future__ import annotations

import json
from collections import abc
from pathlib import Path
from typing import Any, Final

from balancer.errors import CannotError
from balancer.files.house.entries import NAME_KEY
from balancer.files.house.load import Loaded, load
from balancer.files.yaml.document import Document, Mapping, Node, Scalar, Sequence
from balancer.files.yaml.validate import check
from balancer.models.chill import Chill
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.models.printed import Printed
from balancer.models.specs import Specs
from balancer.models.syrup import Syrup
from balancer.units import format_number

_HOUSE: Final = "house"
_MEASURES: Final = ("ounce", "dash", "barspoon", "teaspoon", "tablespoon", "drop", "part")
_CHILL_UNITS: Final = {"ice": "g", "ice_temperature": "°C", "start": "°C", "vessel": "J/K", "stop": "°C"}


def spec_to_keep(loaded: Loaded, drink: Drink) -> dict[str, Any]:
    """A drink that loaded, all it pours and what goes into its syrups, as JSON."""
    specs, written = loaded.specs, loaded.written
    liquids = _poured(specs, drink)
    return {
        _HOUSE: _house_to_keep(specs.house),
        "ingredients": [dict(written["ingredients"][each]) for each in liquids if each in specs.ingredients],
        "syrups": [dict(written["syrups"][each]) for each in liquids if each in specs.syrups],
        "drinks": [dict(written["drinks"][drink.id])],
    }


def is_as_printed(card: Printed, loaded: Loaded, drink: Drink) -> bool:
    """Whether a drink and all it pours stand in the files as they stood when its card was printed."""
    return card.spec is not None and _plain(card.spec) == _plain(spec_to_keep(loaded, drink))


def is_written_as_printed(card: Printed, loaded: Loaded, drink: Drink) -> bool:
    """Whether a drink and all it pours are written as when its card was printed, whatever house.yaml says by now."""
    if card.spec is None:
        return False
    now = spec_to_keep(loaded, drink)
    return _plain({**card.spec, _HOUSE: None}) == _plain({**now, _HOUSE: None})


def _plain(spec: abc.Mapping[str, Any]) -> str:
    return json.dumps(spec, sort_keys=True)


def specs_as_printed(card: Printed, folder: Path) -> Specs:
    """The house as it was when a card was printed, with that one drink and what it pours.

    Raises CannotError when that was not kept, or is not what was written.
    """
    again = f"print it once more: balancer cards {card.drink} --out card.pdf"
    if card.spec is None:
        message = f"the card of {card.name} was printed before its pours were kept with it"
        raise CannotError("printed", message, again)
    try:
        documents = {kind: [Document(f"printed {kind}", root=_node(card.spec[kind]))] for kind in NAME_KEY}
        house, _ = check(House, {"format": "1", **card.spec[_HOUSE]})
    except (KeyError, TypeError, RecursionError):
        house = None
    specs = load(folder, besides=documents, apart=house).specs if house else None
    if specs is None or card.drink not in specs.drinks:
        raise CannotError("printed", f"what was kept of the card of {card.name} is not what was written", again)
    return specs


def _poured(specs: Specs, drink: Drink) -> list[str]:
    """The ids of what a drink pours, and of what goes into its syrups, each once."""
    found: dict[str, None] = {}
    waiting = [pour.of for pour in drink.pours]
    while waiting:
        identity = waiting.pop()
        known = specs.find_liquid(identity)
        if known is None or identity in found:
            continue
        found[identity] = None
        if isinstance(known, Syrup):
            waiting += [specs.liquid_names.whole(part.of) or "" for part in known.recipe]
    return sorted(found)


def _house_to_keep(house: House) -> dict[str, Any]:
    """What house.yaml would say of what a drink is worked out with."""
    kept: dict[str, Any] = {name: f"{format_number(getattr(house, name))} ml" for name in _MEASURES}
    kept |= {_HOUSE: house.name, "standard drink": house.standard_drink}
    kept["dilution"] = {method: f"{format_number(percent)} %" for method, percent in house.dilution.items()}
    if house.chill is not None:
        kept["chill"] = _chill_to_keep(house.chill)
    return kept


def _chill_to_keep(chill: Chill) -> dict[str, str]:
    said = {name: getattr(chill, name) for name in _CHILL_UNITS}
    keys = {name: field.alias or name for name, field in Chill.model_fields.items()}
    return {keys[name]: f"{format_number(said[name])} {_CHILL_UNITS[name]}" for name in said if said[name] is not None}


def _node(kept: object) -> Node:
    """What was kept as a node of a file; all of it stands at the same place. Raises TypeError for what is no text."""
    if isinstance(kept, str):
        return Scalar(kept, 0, 0, quoted=True)
    if isinstance(kept, list):
        items = Sequence(0, flow=True)
        items.items = [_node(each) for each in kept]
        return items
    if isinstance(kept, dict):
        group = Mapping(0, flow=True)
        group.entries = [(Scalar(key, 0, 0, quoted=True), _node(value)) for key, value in kept.items()]
        group.end = 1
        return group
    raise TypeError(f"{type(kept).__name__} is no text")
