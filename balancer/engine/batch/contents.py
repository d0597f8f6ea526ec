"""What a batch brings that the cards of the drinks it goes into do not say."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from typing import NamedTuple

from balancer.engine.batch.history import batch_key, live_entries
from balancer.models.batch import Batch, LogEntry
from balancer.models.drink import Drink
from balancer.models.specs import Specs


class Brings(NamedTuple):
    """The allergens of what is in a batch: of its syrup, and of what it was combined from.

    allergens  named by the house, sorted
    unknown    ids of what is in it and has no known allergens; so is what the files do not know
    """

    allergens: tuple[str, ...]
    unknown: tuple[str, ...]


class GainedIn(NamedTuple):
    """What a batch brings into one drink whose card does not say it.

    allergens  sorted
    unknown    it brings something whose allergens nobody knows, and that the card does not name
    """

    drink: Drink
    allergens: tuple[str, ...]
    unknown: bool

    @property
    def any(self) -> bool:
        """Whether its card would mislead."""
        return bool(self.allergens) or self.unknown


class Gained(NamedTuple):
    """What a batch brings into the drinks that it goes into, and their cards do not say.

    in_place_of  ids of the syrups whose batch it was opened in the place of, while none of theirs is open
    into         every drink that it goes into
    """

    in_place_of: tuple[str, ...]
    into: tuple[GainedIn, ...]

    @property
    def allergens(self) -> tuple[str, ...]:
        """Of all the drinks, sorted."""
        return tuple(sorted({allergen for each in self.into for allergen in each.allergens}))

    @property
    def unknown(self) -> bool:
        """Whether it brings something unknown into any of them."""
        return any(each.unknown for each in self.into)

    @property
    def misled(self) -> tuple[Drink, ...]:
        """The drinks whose cards would mislead."""
        return tuple(each.drink for each in self.into if each.any)

    @property
    def any(self) -> bool:
        """Whether a card would mislead."""
        return bool(self.allergens) or self.unknown


class Unsaid(NamedTuple):
    """An open batch, and what the cards of the drinks that it goes into do not say of it."""

    batch: Batch
    gained: Gained

    def of(self, drink: Drink) -> GainedIn | None:
        """What it brings into one drink; None where it does not go into it."""
        return next((each for each in self.gained.into if each.drink.id == drink.id), None)


def brings(specs: Specs, batch: Batch, known: Iterable[Batch]) -> Brings:
    """The allergens of everything in a batch. known are all batches of the log, its parts among them."""
    inside = _contents(batch, {batch_key(other.id): other for other in known})
    sources = {liquid: specs.find_liquid(liquid) for liquid in inside}
    named = {allergen for source in sources.values() if source for allergen in source.allergens or ()}
    unknown = [liquid for liquid, source in sources.items() if source is None or source.allergens_unknown]
    return Brings(tuple(sorted(named)), tuple(unknown))


def gained(specs: Specs, batch: Batch, known: Collection[Batch], entries: Sequence[LogEntry]) -> Gained:
    """What the cards of the drinks that a batch goes into do not say of it.

    It goes into the drinks that pour its syrup. Opened in the place of another syrup's batch, it goes into the
    drinks of that one too, until a batch of that one is opened again: one that was open all along ended nothing.
    """
    inside = brings(specs, batch, known)
    in_use = {other.liquid for other in known if other.state == "open" and _is_opened_after(other, batch)}
    in_place_of = tuple(liquid for liquid in _stands_for(batch, known, entries) if liquid not in in_use)
    into = []
    for drink in specs.drinks.values():
        poured = {pour.of for pour in drink.pours}
        if poured.isdisjoint((batch.liquid, *in_place_of)):
            continue
        card = {allergen for liquid in poured for allergen in specs.liquid(liquid).allergens or ()}
        new = tuple(sorted(set(inside.allergens) - card))
        into.append(GainedIn(drink, new, not poured.issuperset(inside.unknown)))
    return Gained(in_place_of, tuple(into))


def unsaid(specs: Specs, known: Collection[Batch], entries: Sequence[LogEntry]) -> tuple[Unsaid, ...]:
    """The open batches that the cards do not tell of: in the place of another syrup, or with allergens of their own.

    Also those past their last day: whoever pours one all the same has to know what is in it.
    """
    found = (unsaid_of(specs, batch, known, entries) for batch in known)
    return tuple([one for one in found if one is not None])


def unsaid_of(specs: Specs, batch: Batch, known: Collection[Batch], entries: Sequence[LogEntry]) -> Unsaid | None:
    """What the cards do not tell of one batch; None where it is not open, or there is nothing to tell."""
    if batch.state != "open":
        return None
    found = Unsaid(batch, gained(specs, batch, known, entries))
    return found if found.gained.any or found.gained.in_place_of else None


def _contents(batch: Batch, by_key: dict[str, Batch]) -> dict[str, None]:
    """Ids of the liquids that are in a batch, each once: its own first."""
    found: dict[str, None] = {}
    seen: set[str] = set()
    waiting = [batch]
    while waiting:
        one = waiting.pop(0)
        seen.add(batch_key(one.id))
        found[one.liquid] = None
        parts = [batch_key(part) for part in one.parts]
        waiting += [by_key[part] for part in parts if part in by_key and part not in seen]
    return found


def _stands_for(batch: Batch, known: Iterable[Batch], entries: Sequence[LogEntry]) -> Iterator[str]:
    """Ids of other liquids whose place a batch has taken, itself or through those it replaced or was mixed from."""
    liquids = {batch_key(one.id): one.liquid for one in known}
    replaced: dict[str, list[str]] = {}
    mixed: dict[str, list[str]] = {}
    for entry, counts in zip(entries, live_entries(entries), strict=True):
        if counts and entry.event in ("open", "made"):
            refers = replaced if entry.event == "open" else mixed
            refers.setdefault(batch_key(entry.batch), []).extend(batch_key(other) for other in entry.refers)
    seen: set[str] = set()
    told = {batch.liquid}
    waiting = [batch_key(batch.id)]
    while waiting:
        key = waiting.pop(0)
        if key in seen:
            continue
        seen.add(key)
        for other in replaced.get(key, ()):
            liquid = liquids.get(other)
            if liquid is not None and liquid not in told:
                told.add(liquid)
                yield liquid
        waiting += [*replaced.get(key, ()), *mixed.get(key, ())]


def _is_opened_after(other: Batch, batch: Batch) -> bool:
    return other.opened is not None and batch.opened is not None and other.opened > batch.opened
