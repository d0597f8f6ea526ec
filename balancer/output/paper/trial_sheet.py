"""The sheet to taste a new spec by: old and new side by side, what moved, what to taste first, room for the tasters."""

from __future__ import annotations

from datetime import date
from typing import Any, Final

from balancer.engine.drink.card import Card, CardPour
from balancer.engine.swaps.against import BesidePours
from balancer.engine.swaps.trial import Trial
from balancer.models.house import House
from balancer.output.paper.card_lines import amount, note
from balancer.output.paper.cards import caution_texts
from balancer.output.paper.imposition import PaperSheet
from balancer.output.paper.language import Words
from balancer.output.paper.print_text import NO_BREAK
from balancer.output.paper.sheet import sheet_page
from balancer.output.paper.taste_rows import taste_rows
from balancer.output.words.against_figures import NOT, UNKNOWN, BesideRow, ComparedFigure, figures
from balancer.output.words.known import CONTENT_WORDS, unknown_names
from balancer.output.words.numbers import cut, points

_WORDS: Final = {
    "method": "test.method", "time": "test.time", "glass": "card.glass", "ice": "card.ice", "strain": "card.strain",
    "garnish": "card.garnish", "extras": "card.with",
}  # fmt: skip
_MOST_BESIDE: Final = 42
"""Letters that stand beside the title on one line; longer names take a line each."""
_MOST_SHORT: Final = 24
"""Letters of a name that stands over a column, or beside a box to tick; of a longer one it says which spec it is."""
_FACTS: Final = tuple(_WORDS)
_BARE: Final = ("method", "time")
"""What needs no word before it."""
_KNOWN: Final = ("ice", "strain")
"""What the file of words may know."""


def trial_page(trial: Trial, house: House, day: date, words: Words, paper: PaperSheet) -> dict[str, Any]:
    """What the template is given: the head, and the trial as its one row."""
    old, new = side_names(trial, words)
    drink, same = trial.new.drink, trial.result.is_same_drink
    side = words("test.against", new=new, old=old)
    lines = [
        words("test.against-new", new=cut(new, _MOST_BESIDE)),
        words("test.against-old", old=cut(old, _MOST_BESIDE)),
    ]
    head = {"side": [side] if len(side) <= _MOST_BESIDE else lines}
    short_old, short_new = (
        name if len(name) <= _MOST_SHORT else words(f"test.{which}") for name, which in ((old, "old"), (new, "new"))
    )
    both, apart = _facts(trial, words)
    sides = [
        _side(trial, trial.old, old, words("test.now") if same else "", apart[0], house, words),
        _side(trial, trial.new, new, words("test.trial" if same else "test.trial-other"), apart[1], house, words),
    ]
    if same:
        _level(*(side["pours"] for side in sides))
    row = {
        "name": drink.name,
        "heed": _heed(trial, words),
        "sides": sides,
        "both": both,
        "figures": [_figure(*found, words) for found in figures(trial.result, house)],
        "columns": ["", short_old, short_new, words("test.moved")],
        "not-known": _unknown(trial, words),
        "taste": [list(row) for row in taste_rows(trial.result.tasting, words)],
        "sour": any(each.totals.acid_g or each.totals.is_least("acid") for each in (trial.new, trial.old)),
        "blind": words("test.blind", new=short_new),
        "tell": _both(trial, words),
        "ends": [words("test.keep", old=short_old), words("test.take", new=short_new), words("test.again")],
    }
    data = sheet_page(drink.name, house, day, words, head, [row], paper)
    return data | {"words": words.section("paper") | words.section("test")}


def _level(old: list[dict[str, Any]], new: list[dict[str, Any]]) -> None:
    """Give both sides the same rows a second line, so that they stand at one height."""
    for left, right in zip(old, new, strict=False):
        if (left["note"] is None) != (right["note"] is None):
            for pour in (left, right):
                pour["note"] = pour["note"] or NO_BREAK


def side_names(trial: Trial, words: Words) -> tuple[str, str]:
    """What the old and the new one are called: by version, as a card, or by their names."""
    result, origin = trial.result, trial.result.origin
    old, new = trial.old.drink, trial.new.drink
    if not result.is_same_drink:
        return old.name, new.name
    named = words("card.spec", version=new.version) if new.version else words("test.new")
    if origin.kind == "printed":
        return words("test.card", day=words.full_date(date.fromisoformat(origin.date or ""))), named
    before = words("card.spec", version=old.version) if old.version else words("test.old")
    return (words("test.file") if before == named else before), named


def _heed(trial: Trial, words: Words) -> dict[str, Any] | None:
    """What a taster, and later a guest, may not have: before anything else. None where nothing of it is new."""
    result = trial.result
    said = []
    if trial.had_no_alcohol:
        said.append(words("test.alcohol-new"))
    if trial.alcohol_added_g is None:
        said.append(words("test.alcohol-unknown"))
    elif trial.alcohol_added_g:
        said.append(words("test.alcohol", grams=words.number(points(trial.alcohol_added_g))))
    if trial.new.drink.zero_proof and (result.ours.ethanol_g or result.ours.is_least("abv")):
        said.append(words("test.zero-proof"))
    said += caution_texts(trial.cautions_gained, words)
    if not (said or result.gained or result.unknown):
        return None
    return {"gained": [words.allergen(name) for name in result.gained], "unknown": list(result.unknown), "said": said}


def _both(trial: Trial, words: Words) -> dict[str, Any]:
    """What is in either glass: a taster drinks from both."""
    listed = sorted({*trial.old.allergens, *trial.new.allergens})
    return {
        "listed": [words.allergen(name) for name in listed],
        "unknown": list(dict.fromkeys([*trial.old.unknown, *trial.new.unknown])),
    }


def _side(trial: Trial, card: Card, name: str, aside: str, facts: str, house: House, words: Words) -> dict[str, Any]:
    is_new = card is trial.new
    return {
        "name": name,
        "aside": aside,
        "pours": [_line(trial, line, house, words, is_new=is_new) for line in card.pours],
        "facts": facts,
        "garnish": card.drink.garnish is not None,
        "listed": [words.allergen(name) for name in card.allergens],
        "unknown": list(card.unknown),
        "cautions": caution_texts(card.cautions, words),
    }


def _line(trial: Trial, line: CardPour, house: House, words: Words, *, is_new: bool) -> dict[str, Any]:
    """A pour as its card has it; on the new side what it was."""
    number, unit = amount(line, house.show, words)
    pair = next(each for each in trial.result.pours if each.id == line.liquid.id)
    notes = [note(line, words)]
    marks = is_new and trial.result.is_same_drink
    if marks:
        notes.append(_was(trial, pair, line, house, words))
    said = [text for text in notes if text]
    return {
        "number": number,
        "unit": unit,
        "name": line.liquid.name,
        "note": words.row(said) if said else None,
        "moved": marks and not pair.is_same,
    }


def _was(trial: Trial, pair: BesidePours, line: CardPour, house: House, words: Words) -> str | None:
    """What the pour was in the old spec: its amount, or what it stands in for."""
    if pair.theirs is None:
        stands_in = trial.stands_in
        if stands_in is None or stands_in[0] != pair.id:
            return words("test.comes")
        goes = stands_in[1]
        old = next(each for each in trial.old.pours if each.liquid.id == goes.liquid.id)
        before, after = amount(old, house.show, words), amount(line, house.show, words)
        said = goes.liquid.name if before == after else NO_BREAK.join((*before, goes.liquid.name)).strip()
        return words("test.was", what=said)
    if "amount" not in pair.differs:
        return None if pair.is_same else words("test.otherwise")
    old = next(each for each in trial.old.pours if each.liquid.id == pair.id)
    before, after = amount(old, house.show, words), amount(line, house.show, words)
    return words("test.was", what=before[0] if before[1] == after[1] and before[0] else NO_BREAK.join(before).strip())


def _facts(trial: Trial, words: Words) -> tuple[str, tuple[str, str]]:
    """How it is made and served: what both have alike, and what the old and the new one have by themselves."""
    differs = {said.what for said in trial.result.said}
    alike = [_fact(what, trial.old, words) for what in _FACTS if what not in differs]
    old, new = (
        words.row(_fact(what, card, words) or _none(what, other, words) for what in _FACTS if what in differs)
        for card, other in ((trial.old, trial.new), (trial.new, trial.old))
    )
    both = words.row(text for text in alike if text)
    return words("test.both", facts=both) if both else "", (old, new)


def _fact(what: str, card: Card, words: Words) -> str:
    value: Any = getattr(card.drink, what)
    text = words.row(value) if isinstance(value, tuple) else value
    if text:
        text = words.method(text) if what == "method" else words.word(text) if what in _KNOWN else text
    if not text or what in _BARE:
        return text or ""
    return f"{words(_WORDS[what])} {text}"


def _none(what: str, other: Card, words: Words) -> str:
    """A fact that the other has and this one says nothing of; of extras, which they are."""
    if what == "extras":
        return words("test.without-extras", what=words.row(other.drink.extras))
    return words("test.without", what=words(_WORDS[what]))


def _figure(figure: ComparedFigure, row: BesideRow, words: Words) -> dict[str, Any]:
    """A row of figures; what moved is heavy."""
    stays = row.moved.startswith("0 ") if row.moved else row.ours == row.theirs
    return {
        "what": words("test.alcohol-of" if figure == "alcohol" else f"test.{figure}"),
        "inner": row.label.startswith(" "),
        "old": _value(row.theirs, words),
        "new": _value(row.ours, words),
        "by": _value(row.moved, words),
        "moved": not stays,
    }


def _unknown(trial: Trial, words: Words) -> list[str]:
    """What is not known of the figures, and of what."""
    items = [*trial.result.ours.unknown, *trial.result.theirs.unknown]
    found = [(words(f"taste.content-{what}"), unknown_names(items, what, small=False)) for what in CONTENT_WORDS]
    return [words("test.content-of", content=word, names=words.row(names)) for word, names in found if names]


def _value(text: str, words: Words) -> str:
    if text == UNKNOWN:
        return words("paper.not-known")
    return "" if text == NOT else words.number(text.replace(" and ", words("test.and")))
