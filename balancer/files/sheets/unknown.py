"""What the drinks of a spreadsheet name that the house does not have, and what it lacks of what comes in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from balancer.files.house.pantry import pantry
from balancer.files.house.pours import MOST_GUESSES
from balancer.files.sheets.drinks import Candidate, New
from balancer.files.sheets.glasses import like_glass
from balancer.files.sheets.suggest import Suggestions
from balancer.models.import_map import ImportMap
from balancer.models.imported import Lacking, NewIngredient, UnknownGlass
from balancer.models.names import slug
from balancer.models.pantry import PantryEntry
from balancer.models.specs import Specs


def merged(candidates: Iterable[Candidate]) -> dict[str, New]:
    """What is new in some drinks, each once, with all its rows."""
    found: dict[str, New] = {}
    for one in candidates:
        for identity, new in one.new.items():
            known = found.setdefault(identity, New(new.name))
            known.rows.extend(new.rows)
            known.by_volume |= new.by_volume
            known.by_dash &= new.by_dash
    return found


def new_ingredients(
    specs: Specs, the_map: ImportMap, candidates: Sequence[Candidate], written: Mapping[str, New], file: str
) -> tuple[NewIngredient, ...]:
    """All that is new, also where only faulty drinks pour it: a misspelt name is seen at once.

    written, file  what of it is or would be written, and where
    """
    new = merged(candidates)
    if len(new) > MOST_GUESSES:  # guessing is slow, and nobody reads so much
        return tuple(
            NewIngredient(key, one.name, _rows(one), file=file if key in written else None) for key, one in new.items()
        )
    suggestions = Suggestions(specs) if new else None
    found = []
    for key, one in new.items():
        by_dash = one.by_volume and one.by_dash
        may_be = suggestions.of(one.name, by_volume=one.by_volume, by_dash=by_dash) if suggestions else ()
        offer = _offer(specs, one)
        near = may_be[0].name if may_be and offer is None else None
        drinks = sum(key in each.new for each in candidates)
        kept = slug(the_map.ingredients.get(one.name, "")) == key
        where = file if key in written else None
        found.append(NewIngredient(key, one.name, _rows(one), near, where, offer, may_be, drinks, kept))
    return tuple(found)


def unknown_glasses(specs: Specs, candidates: Iterable[Candidate]) -> tuple[UnknownGlass, ...]:
    """The glasses that the house does not list, each once, with what may be meant."""
    rows: dict[str, list[int]] = {}
    names: dict[str, str] = {}
    for one in candidates:
        if one.glass is not None:
            name = names.setdefault(slug(one.glass), one.glass)
            rows.setdefault(name, []).append(one.raw.values["glass"][0].row)
    known = specs.house.glasses
    return tuple(UnknownGlass(name, tuple(found), like_glass(name, known)) for name, found in rows.items())


def lacking(specs: Specs, stubs: Mapping[str, New], taken: Iterable[PantryEntry]) -> tuple[Lacking, ...]:
    """What comes into the house without its alcohol, sugar or acid: all that is new, and some of the pantry.

    specs  the house with what it gets from the pantry
    """
    found = [Lacking(new.name, ("alcohol", "sugar", "acid")) for new in stubs.values()]
    for entry in taken:
        known = specs.ingredients[slug(entry.name)]
        figures = (("alcohol", known.abv), ("sugar", known.sugar), ("acid", known.acid))
        what = tuple(name for name, value in figures if value is None)
        found += [Lacking(entry.name, what)] if what else []
    return tuple(found)


def _rows(new: New) -> tuple[int, ...]:
    return tuple(sorted(set(new.rows)))


def _offer(specs: Specs, new: New) -> PantryEntry | None:
    """What the pantry has by this very name, and the house by none of its names."""
    offer = pantry().offer(new.name, by_volume=new.by_volume)
    if offer is None or not offer.is_meant or any(specs.liquid_names.whole(name) for name in offer.entry.names):
        return None
    return offer.entry
