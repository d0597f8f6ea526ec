"""`totals --against` on the screen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from balancer.engine.swaps.against import Against, BesidePours, SaidOtherwise, SidePour
from balancer.engine.swaps.moved import Noticed
from balancer.engine.swaps.taste import TasteQuantity
from balancer.models.house import House
from balancer.models.pour import RINSE
from balancer.output.words.against import other_called, other_head
from balancer.output.words.against_figures import NOT, BesideRow, content_text, figures
from balancer.output.words.amounts import amount_text
from balancer.output.words.known import (
    CONTENT_WORDS,
    known_change,
    unknown_contents,
)
from balancer.output.words.numbers import brix, pad, percent, points, some, trim, width
from balancer.output.words.page import ROWS, act, few, house_change, labelled, page
from balancer.output.words.swap import QUANTITY_WORDS
from balancer.output.words.tables import broadest, in_columns
from balancer.output.words.taste import LABEL, published_text, taste_figures, taste_text

_HEAD: Final = 20


def against_text(result: Against, house: House) -> str:
    """The answer: what moved most that a guest may notice, then both drinks, then where the specs differ."""
    held = [row for _, row in figures(result, house)]
    others = [*(_pour_row(pair, house) for pair in result.pours if not pair.is_same), *map(_said_row, result.said)]
    shown, more = few(others, ROWS, "differences")
    rows = _table(result, [*held, *shown])
    same = [pair.name for pair in result.pours if pair.is_same]
    more += [f"poured alike: {some(same, 4)}"] if same and others else []
    more.append("moved: from the other drink to this one")
    more += [published_text(result.tasting)] if result.are_served and not result.is_alike else []
    unknown = unknown_contents((*result.ours.unknown, *result.theirs.unknown))
    more += [f"not known: {', '.join(unknown)}"] if unknown else []
    return page(_first(result, house), rows, "; ".join([*more, "--steps shows the working of both"]))


def _first(result: Against, house: House) -> str:
    lead = f"{result.ours.drink.name} against {other_called(result)}"
    gained = result.gained if result.is_same_drink else ()
    if result.is_alike:
        return f"{lead}: nothing differs"
    moves = list(_moves(result, house))
    if gained:
        return act(f"{lead}: allergen gained: {', '.join(gained)}; {', '.join(moves) or 'the taste stays'}")
    return f"{lead}: {', '.join(moves) or _nothing(result)}"


def _nothing(result: Against) -> str:
    """What to say where no figure is expected to be noticed."""
    most = max(result.noticed, key=_size, default=None)
    if most is not None and most.change and result.moved.is_something:
        figure = points(most.change) + " % vol" if most.quantity == "abv" else f"{percent(most.change)} per 100 ml"
        return f"at most {QUANTITY_WORDS[most.quantity]} {figure}, {most.words}"
    differs = [pair.name for pair in result.pours if not pair.holds_the_same]
    differs += [f"standard of {pair.name}" for pair in result.pours if pair.holds_the_same and not pair.is_same]
    differs += [said.what for said in result.said]
    return f"the figures stay, another {some(differs, 3)}" if differs else "the figures stay"


def _size(item: Noticed) -> float:
    return abs(item.change)


def _moves(result: Against, house: House) -> Iterator[str]:
    """What moved, what may be noticed most first: what only one has, then the rest, then what is not known."""
    change, tasting = result.moved, result.tasting
    for what in result.only_one:
        ours, theirs = (content_text(one, what) for one in (result.ours, result.theirs))
        word = CONTENT_WORDS[what]
        yield f"{ours} {word} against none" if result.is_new(what) else f"no {word} against {theirs}"
    told: list[TasteQuantity] = ["sweetness", *result.only_one] if "sugar" in result.only_one else [*result.only_one]
    yield from taste_figures(tasting, without=told)
    where = " before ice" if tasting.dilution_unknown else ""
    if where:
        yield "dilution unknown"
    for what, value in (("sugar", change.sugar_percent), ("acid", change.acid_percent)):
        if what in tasting.untold and what not in result.only_one:
            said = known_change(what, value, change)
            yield from [f"{said}{where}"] if said else []
    if "abv" in change.unknown:
        yield "alcohol unknown"
    if result.is_other_volume:
        yield f"volume {house_change(result.shown_volume_ml, house)}{where}"


def _pour_row(pair: BesidePours, house: House) -> BesideRow:
    return BesideRow(pair.name, *(_pour(each, pair, house) for each in (pair.ours, pair.theirs)))


def _pour(pour: SidePour | None, pair: BesidePours, house: House) -> str:
    """One side of a pour, with what is another on the other side."""
    if pour is None:
        return NOT
    written = pour.pour.amount
    said = amount_text(pour.amount, house) if pour.amount else str(written)
    said = RINSE if written.unit == RINSE else said
    if "strength" in pair.differs and pour.standard_brix is not None:
        said += f" of {brix(pour.standard_brix)}"
    if "standard" in pair.differs and pour.standard_brix is not None and pour.own_standard_brix is not None:
        said += f" of {brix(pour.standard_brix)}, standard {trim(pour.own_standard_brix, 1)}"
    if "abv" in pair.differs:
        said += f" of {trim(pour.abv_percent, 1)} % ABV" if pour.abv_percent is not None else ", ABV unknown"
    if "content" in pair.differs:
        said += " as its file has it" if pour is pair.ours else " as it was"
    if "top" in pair.differs:
        said += ", after the ice" if pour.is_top else ", before the ice"
    return said


def _said_row(said: SaidOtherwise) -> BesideRow:
    return BesideRow(said.what, said.ours or NOT, said.theirs or NOT)


def _table(result: Against, rows: Sequence[BesideRow]) -> list[str]:
    """The rows in columns; where they do not fit, each as a sentence. What is said in words runs across the columns."""
    heads = (result.ours.drink.name, other_head(result))
    ours, theirs = heads if max(map(width, heads)) <= _HEAD else ("this one", "the other one")
    head = BesideRow("", ours, theirs, "moved")
    lines = in_columns([head, *rows])
    below = [("allergens", said) for said in _allergens(result)]
    if result.is_same_drink and not result.is_alike:
        below.append((LABEL, taste_text(result.tasting)))
    if lines is None:
        return [*map(_sentence, rows), *(labelled(*each) for each in below)]
    first = broadest(rows, 0)
    return [*lines, *(f"{pad(label, first)}{said}" for label, said in below)]


def _sentence(row: BesideRow) -> str:
    """A row where there is no room for columns."""
    if row.ours == row.theirs:
        said = f"{row.ours}, both"
    elif NOT in (row.ours, row.theirs):
        said = f"{row.ours}, the other none" if row.theirs == NOT else f"none, the other {row.theirs}"
    else:
        said = f"{row.ours}, not {row.theirs}" + (f": {row.moved}" if row.moved else "")
    return labelled(row.label.strip(), said)


def _allergens(result: Against) -> list[str]:
    said = [f"gained {', '.join(result.gained)}"] if result.gained else []
    said += [f"lost {', '.join(result.lost)}"] if result.lost else []
    said += [f"unknown of {some(result.unknown, 4)}"] if result.unknown else []
    return ["; ".join(said)] if said else []
