"""What a person means by a name, on the command line or in Python: the one place where it is decided.

A name is an id, a name or another name, or a beginning of one that only one thing of the kinds wanted has. Where either
a syrup or an ingredient may be wanted, what is short for one of each is asked about, and never guessed.
All functions raise UsageError when nothing or several things answer to it, ProblemsError when it did not load.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date
from typing import Final, Literal

from balancer.desk.desk import Desk
from balancer.engine.batch.events import batch_in_house, batch_of_id, find_batch
from balancer.engine.batch.read_it import acid_line
from balancer.errors import CannotError, ProblemsError, UsageError
from balancer.files.house.load import Broken, Loaded
from balancer.models.batch import Batch
from balancer.models.drink import Drink
from balancer.models.ingredient import Ingredient
from balancer.models.names import NameIndex, slug
from balancer.models.pour import RINSE, Pour
from balancer.models.specs import Specs
from balancer.models.syrup import Syrup
from balancer.output.words.numbers import some
from balancer.units import format_quantity

NamedKind = Literal["drink", "syrup", "ingredient"]
IN_QUOTES: Final = 'names of several words go in quotes: balancer set "slipway sour" raspberry 20ml'
_ID: Final = re.compile(r"[^\W\d_]+[ -]?[0-9]+")
"""What looks like the id on a tape."""
_FOLDER: Final[dict[NamedKind, str]] = {"drink": "drinks", "syrup": "syrups", "ingredient": "ingredients"}
_ARTICLE: Final[dict[NamedKind, str]] = {"drink": "a", "syrup": "a", "ingredient": "an"}
_MOST: Final = 6


def drink(loaded: Loaded, text: str) -> Drink:
    """The drink that is meant."""
    if re.search(r"[/\\]|\.ya?ml$", text.strip(), re.IGNORECASE) and not loaded.specs.drink_names.find(text):
        remedy = "name a drink of the house; one outside is compared: balancer totals DRINK --against FILE"
        raise UsageError("usage", f'"{text}" is a file', remedy)
    return loaded.specs.drinks[_sound(loaded, _find(loaded, text, ("drink",)), ("drink",))]


def drinks(loaded: Loaded, texts: Iterable[str]) -> tuple[list[Drink], list[Broken]]:
    """The drinks that are meant, each once, in the order named; and those of them that did not load.

    Raises ProblemsError only when none of them loaded.
    """
    found: dict[str, Drink] = {}
    lost: dict[str, Broken] = {}
    for text in texts:
        identity = _find(loaded, text, ("drink",))
        if identity in loaded.specs.drinks:
            found[identity] = loaded.specs.drinks[identity]
        else:
            lost[identity] = _broken(loaded, identity, ("drink",))
    if lost and not found:
        raise ProblemsError([problem for entry in lost.values() for problem in entry.problems])
    return list(found.values()), list(lost.values())


def syrup(loaded: Loaded, text: str) -> str:
    """The id of the syrup that is meant: "honey" is the syrup although honey is an ingredient too."""
    return _sound(loaded, _find(loaded, text, ("syrup",)), ("syrup",))


def made(desk: Desk, text: str, *kinds: NamedKind, is_first: bool) -> str:
    """The id of what is made or measured, by the first of the kinds that has it at all.

    is_first  what else was typed fits the first kind only; if not, a name that fits both is asked about, as is always
              one that the log has of another kind
    """
    loaded = desk.loaded
    first, *others = kinds
    try:
        identity = _find(loaded, text, (first,))
    except UsageError as error:
        if error.code != "ambiguous-name":
            for kind in others:
                if len(_names(loaded, (kind,)).find(text)) == 1:
                    return made(desk, text, kind, is_first=True)
        raise
    also = _held(desk, text, others) if first == "syrup" else []  # a syrup is read, and no syrup has --acid
    also += [] if is_first else [each for kind in others for each in _names(loaded, (kind,)).find(text)]
    if also and _names(loaded, (first,)).whole(text) is None:
        identity = _asked(desk, text, [identity, *also])
    return _sound(loaded, identity, kinds)


def liquid(desk: Desk, text: str, option: str, poured: Collection[str] = (), *, remedy: str = "") -> str:
    """The id of the syrup or ingredient that is meant; where several begin so, what is poured, else a person is asked.

    option  where the name was typed, to be told
    poured  ids that the drinks in question pour
    remedy  what to do about an unknown name, if not to take one that is known
    """
    kinds: tuple[NamedKind, ...] = ("syrup", "ingredient")
    where = f"{desk.calls(option)}: "
    found = _candidates(desk.loaded, text, kinds, poured)
    if len({_has(desk.loaded, "syrup", each) for each in found}) == 2:
        return _sound(desk.loaded, _asked(desk, text, found, where), kinds)
    return _sound(desk.loaded, _find(desk.loaded, text, kinds, where, poured, remedy), kinds)


def one_of(desk: Desk, text: str, found: Sequence[str], option: str) -> str:
    """The id that is meant of several that a text may stand for; a person is asked where there are more than one."""
    kinds: tuple[NamedKind, ...] = ("syrup", "ingredient")
    return _sound(
        desk.loaded, found[0] if len(found) == 1 else _asked(desk, text, found, f"{desk.calls(option)}: "), kinds
    )


def pour(specs: Specs, of: Drink, text: str) -> Pour:
    """The pour of a drink that is meant: among what it pours, a shorter beginning is clear.

    Raises CannotError for something of the house that the drink does not pour.
    """
    index = NameIndex()
    for each in of.pours:
        known = specs.liquid(each.of)
        index.add(known.id, (known.name, *known.also))
    found = index.find(text)
    if len(found) == 1:
        return next(each for each in of.pours if each.of == found[0])
    if found:
        meant = " or ".join(specs.liquid(identity).name for identity in found)
        raise UsageError("ambiguous-name", f'"{text}" may be {meant}', "write more of the name")
    poured = [f"{format_quantity(each.amount)} {specs.liquid(each.of).name}" for each in of.pours]
    remedy = f"it pours {', '.join(poured).replace(f'1 {RINSE}', f'a {RINSE} of')}"
    others = [each for each in specs.liquid_names.find(text) if specs.find_liquid(each)]
    if others:
        name = specs.liquid(others[0]).name if len(others) == 1 else f'anything called "{text}"'
        raise CannotError("not-poured", f"{of.name} does not pour {name}", remedy)
    raise UsageError("unknown-name", f'{of.name} pours nothing called "{text}"', f"{remedy}; {IN_QUOTES}")


def batches(known: Sequence[Batch], specs: Specs, texts: Iterable[str]) -> list[Batch]:
    """The batches that are meant, each once, in the order named; closed ones too, so that they can be refused."""
    found = [find_batch(known, specs, text) for text in texts]
    return list({batch.id: batch for batch in found}.values())


def batch(known: Sequence[Batch], specs: Specs, text: str, day: date | None = None) -> Batch:
    """The batch that is meant, to be used: on that day, so that none past its last day is offered.

    Raises CannotError when it is used up or discarded.
    """
    return batch_in_house(known, specs, text, day)


def syrup_or_batch(desk: Desk, text: str) -> tuple[str | None, Batch | None]:
    """The id of a syrup, or the batch of a syrup, whichever is meant: a batch by its id alone.

    A beginning that an ingredient of the log has too is asked about.
    """
    known, loaded = desk.batches, desk.loaded
    if batch_of_id(known, text) is not None:
        return None, syrup_batch(known, loaded.specs, text, None, desk.today)
    try:
        found = syrup(loaded, text)
    except UsageError:
        if _ID.fullmatch(text):
            return None, batch(known, loaded.specs, text, desk.today)
        raise
    held = _held(desk, text, ("ingredient",)) if _names(loaded, ("syrup",)).whole(text) is None else []
    meant = _asked(desk, text, [found, *held]) if held else found
    if meant != found:
        raise UsageError("wrong-kind", f"{_called(loaded.specs, meant)} goes by acid", acid_line(text, "50g/l"))
    return found, None


def _held(desk: Desk, text: str, kinds: Sequence[NamedKind]) -> list[str]:
    """What a text may mean of those kinds, of all that the log has batches of."""
    found = [each for kind in kinds for each in _names(desk.loaded, (kind,)).find(text)]
    logged = {batch.liquid for batch in desk.batches} if found else ()
    return [each for each in found if each in logged]


def _called(specs: Specs, identity: str) -> str:
    """The name of a syrup, ingredient or drink; its id where no file that loaded has it."""
    drink = specs.drinks.get(identity)
    return specs.name_of(identity) if drink is None or specs.find_liquid(identity) else drink.name


def syrup_batch(
    known: Sequence[Batch], specs: Specs, text: str, syrup_id: str | None, day: date | None = None
) -> Batch:
    """The batch that is meant, of a syrup: of the one given, if any. Raises CannotError as `batch` does."""
    found = batch(known, specs, text, day)
    name = _called(specs, found.liquid)
    if found.liquid in specs.ingredients:
        raise UsageError("wrong-kind", f"{found.id} is {name}: it goes by acid", acid_line(found.id, "50g/l"))
    if found.liquid not in specs.syrups or (syrup_id and found.liquid != syrup_id):
        wanted = _called(specs, syrup_id) if syrup_id else "a syrup"
        raise UsageError("wrong-kind", f"{found.id} is {name}", f"name a batch of {wanted}")
    return found


def _find(
    loaded: Loaded,
    text: str,
    kinds: tuple[NamedKind, ...],
    where: str = "",
    poured: Collection[str] = (),
    remedy: str = "",
) -> str:
    """The id that is meant, of something that loaded or of something broken."""
    names = _names(loaded, kinds)
    found = _candidates(loaded, text, kinds, poured)
    if len(found) == 1:
        return found[0]
    if found:
        called = [_called(loaded.specs, each) for each in found]
        raise UsageError("ambiguous-name", f'{where}"{text}" may be {some(called, _MOST)}', "write more of the name")
    every = (each.name for kind in kinds for each in _of_kind(loaded.specs, kind).values())
    known = f"known: {some(every, _MOST) or 'none'}"
    if kinds != ("drink",) and loaded.specs.liquid_names.find(text):
        raise UsageError("wrong-kind", f'{where}"{text}" is not {_ARTICLE[kinds[0]]} {kinds[0]}', known)
    near = names.closest(text)
    told = f'did you mean "{_called(loaded.specs, near)}"?' if near else remedy or known
    if loaded.broken or loaded.missing:
        told += "; what did not load is told by: balancer check"
    raise UsageError("unknown-name", f'{where}no {" or ".join(kinds)} is called "{text}"', told)


def _candidates(loaded: Loaded, text: str, kinds: tuple[NamedKind, ...], poured: Collection[str] = ()) -> list[str]:
    """What a text may mean; what the drinks in question pour goes before the rest."""
    found = _names(loaded, kinds).find(text)
    if poured and not (len(found) == 1 and found[0] in poured):
        key = slug(text)
        found = [each for each in dict.fromkeys(poured) if key and each.startswith(key)] or found
    return found


def _asked(desk: Desk, text: str, found: Sequence[str], where: str = "") -> str:
    """Which one of several a person means, syrups first. Raises UsageError when nobody is there to say so."""
    ids = sorted(dict.fromkeys(found), key=lambda each: not _has(desk.loaded, "syrup", each))[:_MOST]
    options = {_full_name(desk.loaded, each): each for each in ids}
    may_be = f'{where}"{text}" may be {" or ".join(options)}'
    chosen = desk.choose(f'{where}"{text}" may be:', [*options]) if desk.can_ask and desk.choose else None
    if chosen is None:
        raise UsageError("ambiguous-name", may_be, "write its whole name")
    return options[chosen]


def _full_name(loaded: Loaded, identity: str) -> str:
    known = loaded.specs.find_liquid(identity)
    kind = "syrup" if _has(loaded, "syrup", identity) else "ingredient"
    return f'the {kind} "{known.name if known else identity}"'


def _sound(loaded: Loaded, identity: str, kinds: tuple[NamedKind, ...]) -> str:
    """The id itself, when it loaded."""
    if not any(identity in _of_kind(loaded.specs, kind) for kind in kinds):
        raise ProblemsError(_broken(loaded, identity, kinds).problems)
    return identity


def _broken(loaded: Loaded, identity: str, kinds: tuple[NamedKind, ...]) -> Broken:
    """What did not load: a name is known of what loaded and of what is broken, and of nothing else."""
    return next(entry for kind in kinds for entry in loaded.broken_of(_FOLDER[kind]) if entry.id == identity)


def _has(loaded: Loaded, kind: NamedKind, identity: str) -> bool:
    """Whether a kind has an id, broken or not."""
    return identity in _of_kind(loaded.specs, kind) or any(e.id == identity for e in loaded.broken_of(_FOLDER[kind]))


def _of_kind(specs: Specs, kind: NamedKind) -> Mapping[str, Drink | Syrup | Ingredient]:
    """What loaded of a kind, by id."""
    return specs.drinks if kind == "drink" else specs.syrups if kind == "syrup" else specs.ingredients


def _names(loaded: Loaded, kinds: tuple[NamedKind, ...]) -> NameIndex:
    """The names of some kinds only."""
    if kinds == ("drink",):
        return loaded.specs.drink_names
    if len(kinds) > 1:
        return loaded.specs.liquid_names
    names = NameIndex()
    liquids = loaded.specs.syrups if kinds == ("syrup",) else loaded.specs.ingredients
    for each in liquids.values():
        names.add(each.id, (each.name, *each.also))
    for entry in loaded.broken_of(_FOLDER[kinds[0]]):
        names.add(entry.id, (entry.name,))
    return names
