"""A changed spec on the screen: the answer of `set`, and what stands below another command's that keeps its answer."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from balancer.engine.swaps.edited import DrinkEdited, PourEdited, StandardEdited
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.models.pour import RINSE
from balancer.output.words.amounts import amount_number, unit_text
from balancer.output.words.edit import NOBODY, FileChange, Kept, unsigned_text
from balancer.output.words.known import known_change
from balancer.output.words.numbers import MINUS, brix, count, percent, some, trim
from balancer.output.words.page import Page, looks_of, page, wrap
from balancer.units import Quantity, format_quantity

_NAMED = 4
_WEIGHED = "it was weighed"


def pour_edit_text(kept: Kept, house: House) -> Page:
    """The answer of `set` for pours: what changes, in the file and in the glass."""
    edited = kept.edited
    said = "; ".join(_said(pour) for pour in edited.pours)
    if edited.is_new:
        first = f"{kept.lead}{edited.after.name}, a new drink: {edited.drink.name}{' with ' if said else ''}{said}"
    else:
        first = f"{kept.lead}{edited.drink.name}: {said}"
    below = page(_moved(edited), heeds_of(kept, house), "; ".join(_more(kept)))
    return _laid_out("\n".join(wrap(first, 4)), kept.change.shown(), below)


def kept_text(own: str, kept: Kept, house: House) -> Page:
    """The answer of a command, and below it what of that is kept in which file."""
    told = [row for row in heeds_of(kept, house) if not (_WEIGHED in row and _WEIGHED in own)]  # told above already
    rows = [f"  {row}" for row in told]
    wrapped = [line for row in rows for line in wrap(row, 4)]
    more = wrap(f"more: {'; '.join(_more(kept))}", 4)
    return _laid_out(own, ["", *kept.change.shown(kept.lead), *wrapped], "\n".join(more))


def unkept_text(own: str, *, feasible: bool) -> Page:
    """The answer of a command, and below it why nothing of that is kept."""
    why = "it is poured as written" if feasible else "that is no answer to keep; balancer set writes any pour"
    return _laid_out(own, [""], "\n".join(wrap(f"not written: {why}", 4)))


def standard_edit_text(
    lead: str, edited: StandardEdited, change: FileChange, last: str, also: Sequence[str] = ()
) -> str:
    """The answer of `set` for a standard. also: rows on what keeps the drinks as they are."""
    first = f"{lead}{edited.syrup.name}: standard {brix(edited.new_brix)}, not {trim(edited.old_brix, 2)}"
    if not edited.drinks:
        return _text(first, change, "no drink is written for it", list(also), filter(None, (last,)))
    names = [drink.name for drink, _ in edited.drinks]
    one = len(names) == 1
    meaning = (
        f"{count(len(names), 'drinks')} {'is' if one else 'are'} written for it, and their pours are NOT changed: "
    )
    meaning = meaning.replace("their pours are", "its pour is") if one else meaning
    meaning += f"{some(names, _NAMED)}"
    span, rows = edited.sugar_percents, []
    if span:
        low, high = percent(span.low), percent(span.high)
        to = f" to {high}" if low != high else ""
        rows.append(f"the sugar by {'its' if one else 'their'} spec: {low}{to}")
    rows.extend(also)
    old_prints = "what is printed for it is old now: balancer cards --changed prints the cards"
    return _text(
        first,
        change,
        meaning,
        rows,
        filter(None, (last, old_prints, "tonight and rescale count from the new standard")),
    )


def raised_rows(edited: StandardEdited, raised: Sequence[str], shared: Sequence[str] = ()) -> list[str]:
    """The drinks whose version and date rise with a standard, because their cards say it, by their names.

    shared  those of the base, which do not: it is never changed, and for a version no copy is made
    """
    every = sorted(raised) == sorted(drink.name for drink, _ in edited.drinks)
    whose = "" if every else f": {some(raised, _NAMED)}"
    rows = [f"their cards say it, so their version and date rise{whose}"] * bool(raised)
    keeps = "is of the base and keeps its version" if len(shared) == 1 else "are of the base and keep their version"
    mark = "the mark tells the new card" if len(shared) == 1 else "the mark tells the new cards"
    return rows + [f"{some(shared, _NAMED)} {keeps}: {mark}"] * bool(shared)


def same_pour_text(drink: Drink, name: str, amount: Quantity) -> str:
    """What `set` says when a pour is already what it should be."""
    return page(
        f"nothing to change: {drink.name} pours {_poured(amount, name)} already", [], "balancer totals shows it"
    )


def same_standard_text(name: str, brix_now: float) -> str:
    """What `set` says when a standard is already what it should be."""
    return page(f"nothing to change: the standard of {name} is {brix(brix_now)} already", [], "balancer check")


def _text(first: str, change: FileChange, meaning: str, rows: list[str], more: Iterable[str]) -> str:
    return "\n".join([*wrap(first, 4), *change.shown(), page(meaning, rows, "; ".join(more))])


def _said(pour: PourEdited) -> str:
    """What becomes of a pour."""
    if pour.after is None:
        return f"{_poured(pour.before.amount, pour.name_before)} removed" if pour.before else ""
    now = _poured(pour.after.amount, pour.name)
    if pour.before is None:
        return f"{now} added"
    if pour.is_other:
        return f"{now}, not {_poured(pour.before.amount, pour.name_before)}"
    was = pour.before.amount
    return f"{now}, not {'a rinse' if was.unit == RINSE else format_quantity(was, glyphs=False)}"


def heeds_of(kept: Kept, house: House) -> list[str]:
    """What is to be heeded of a change."""
    edited = kept.edited
    rows = [f"heed: check will doubt it: {doubt.message} {doubt.remedy}" for doubt in kept.doubted]
    if any(pour.fixed for pour in edited.pours):
        rows.append("heed: this pour is fixed; rescale and swap would not touch it")
    if edited.drink.weighed and not edited.after.weighed and edited.after.dilution is not None:
        told = f"dilution {trim(edited.after.dilution, 1)} %"
        rows.append(f"heed: of its weighing the share of melt is kept, {told}; weigh one of these")
    elif edited.is_new and edited.drink.weighed:
        rows.append("heed: its weighing is left out, it was of the old pours; weigh one before and after the ice")
    elif edited.drink.weighed and edited.moves:
        rows.append(f"heed: {_WEIGHED} with the old pour; weigh one again before and after the ice")
    unsigned = "" if edited.is_new else unsigned_text([(edited.drink, edited.after)])
    rows += [f"heed: {unsigned}; --by NAME signs it"] * bool(unsigned)
    put = [line for hunk in kept.change.hunks() for line in hunk.put if "#" in line]
    if any(pour.is_other and any(pour.name in line for line in put) for pour in edited.pours):
        rows.append("heed: the remark on its line was written for the old pour, and stays")
    for pour in edited.pours:
        if pour.nearest:
            near = " or ".join(amount_number(amount, house) for amount in pour.nearest)
            what = "that" if len(edited.pours) == 1 else f"that {pour.name}"
            rows.append(f"heed: the jigger does not pour {what}; it pours {near} {unit_text('ml', house)}")
    return rows


def _more(kept: Kept) -> list[str]:
    """What is to be done then, and how the version was counted where nobody would guess it."""
    edited = kept.edited
    said = [NOBODY] if kept.state == "not written" else []
    if edited.is_new:
        return [*said, f"balancer cards {edited.after.id} prints its card; {edited.drink.name} stays as it is"]
    version = edited.drink.version
    said.append("its printed card is old now: balancer cards --changed prints it")
    if version is None:
        said.append(f"it had no version, so this one is {edited.after.version}")
    elif not version.isdecimal():
        said.append(f'version "{version}" is followed by "{edited.after.version}"')
    return said


def _laid_out(first: str, lines: list[str], below: str) -> Page:
    """An answer, lines below it as they are, and what is said of them."""
    text = Page("\n".join([first, *lines, below]))
    above = first.split("\n")
    looks = looks_of(first) if isinstance(first, Page) else ("answer",) * len(above)
    said = looks_of(below) if isinstance(below, Page) else ()
    text.looks = (*looks, *[""] * len([*above[len(looks) :], *lines]), *said)
    return text


def _poured(amount: Quantity, name: str) -> str:
    return f"a rinse of {name}" if amount.unit == RINSE else f"{format_quantity(amount, glyphs=False)} {name}"


def _moved(edited: DrinkEdited) -> str:
    """One line on what the change does in the glass."""
    moved = edited.moved
    if moved is None:
        return "what it changes in the glass cannot be worked out"
    parts = known_change("sugar", moved.sugar_percent, moved), known_change("acid", moved.acid_percent, moved)
    said = [part.replace("sugar ", "sugar of the drink ", 1) for part in parts if part]
    if moved.abv_points is not None and moved.volume_percent is not None:
        points = trim(abs(moved.abv_points), 1)
        sign = "" if points == "0" else "+" if moved.abv_points > 0 else MINUS
        said += [f"ABV {sign}{points} % vol", f"glass {percent(moved.volume_percent)}"]
    elif moved.mix_volume_percent is not None:
        said.append(f"before ice {percent(moved.mix_volume_percent)}")
    return ", ".join(said)
