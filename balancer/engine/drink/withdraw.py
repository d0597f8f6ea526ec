"""Which cards changed since they were printed, and which old ones to throw away."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import NamedTuple

from balancer.models.printed import Printed


class Withdrawal(NamedTuple):
    """Ids of the drinks whose card is new or says something else now, and the cards that are out of date.

    changed  in the menu's order; new: those of them that no card was printed of
    pull     cards out there that say something else than the spec or than the one just printed, or whose drink is gone
    is_first no card was printed of any drink yet
    same_version  those of `changed` that bear the version of the old card all the same
    by_house  those of `changed` whose spec is written as it was: house.yaml changed what they say, and no version
    """

    changed: tuple[str, ...]
    pull: tuple[Printed, ...]
    new: tuple[str, ...] = ()
    is_first: bool = False
    same_version: tuple[str, ...] = ()
    by_house: tuple[str, ...] = ()


def withdraw(
    printed: Mapping[str, Printed],
    contents: Mapping[str, str],
    menu: Collection[str],
    *,
    everything: bool,
    versions: Mapping[str, str | None] | None = None,
    written_alike: Collection[str] = (),
) -> Withdrawal:
    """Compare what is out there with what the specs say.

    printed     the last card of each drink, by id
    contents    what the drinks say that are asked for, by id, printed in the way of the old card
    menu        ids of all drinks there are, whether or not they loaded: the card of a broken one is not out of date
    versions    of the drinks that are asked for
    written_alike  ids of drinks whose files are as they were when their card was printed
    everything  the whole menu is asked for, so cards of drinks that are gone count too
    """
    changed = tuple(
        drink for drink, content in contents.items() if drink not in printed or printed[drink].content != content
    )
    stale = [printed[drink] for drink in changed if drink in printed]
    new = tuple([drink for drink in changed if drink not in printed])
    pull = (*stale, *(gone(printed.values(), menu) if everything else ()))
    known = {drink: version for drink, version in (versions or {}).items() if version is not None}
    by_house = tuple([card.drink for card in stale if card.drink in written_alike])
    kept = [card for card in stale if card.version is not None and known.get(card.drink) == card.version]
    same = tuple([card.drink for card in kept if card.drink not in by_house])
    return Withdrawal(changed, pull, new, not printed, same, by_house)


def replaced(found: Withdrawal, printed: Mapping[str, Printed], new: Iterable[Printed]) -> Withdrawal:
    """The same once cards are printed: an old one that says the same in another way is out of date too.

    printed  the last card of each drink, by id
    new      those that were printed now
    A card from before there were marks is none: nobody could tell it from the new one.
    """
    told = {card.drink for card in found.pull}
    both = [(printed[card.drink], card) for card in new if card.drink in printed and card.drink not in told]
    more = [old for old, card in both if old.mark is not None and old.mark != card.mark]
    return found._replace(pull=(*found.pull, *more))


def gone(printed: Iterable[Printed], menu: Collection[str]) -> tuple[Printed, ...]:
    """The cards of drinks that are no longer on the menu."""
    return tuple(card for card in printed if card.drink not in menu)
