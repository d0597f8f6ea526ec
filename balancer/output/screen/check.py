"""`check` on the screen: how many problems, then each of them."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from typing import Any, Final

from balancer.errors import Problem
from balancer.models.checked import Checked
from balancer.models.layered import KeyChange, OverrideState
from balancer.models.names import as_word
from balancer.output.words.look import is_whole
from balancer.output.words.numbers import count, cut, some
from balancer.output.words.page import AnswerRow, act, few, fine, labelled, page, watch
from balancer.output.words.problems import problems_text

_FIGURES: Final = {"abv": "ABV", "sugar": "sugar", "acid": "acid", "allergens": "allergens"}
_MOST: Final = 6
_ROOM: Final = 4
_SHOWN: Final = 70


def check_text(one: Checked) -> str:
    """One folder: the answer, what it has in place of its base, and every problem."""
    held = ", ".join(count(number, kind) for kind, number in one.counts.items())
    if not one.files:
        nothing = "nothing to check: no house.yaml, and nothing in ingredients/, syrups/ or drinks/"
        return f"{nothing}\n{problems_text(one.problems)}" if one.problems else nothing
    if one.is_sound and one.not_known:
        first = watch(f"no problems; not known: {_not_known(one)}")
    elif one.is_sound:
        first = fine(f"all well: {held} in {count(one.files, 'files')}")
    else:
        first = act(f"{count(len(one.problems), 'problems')}; what loads: {held}")
    rows, more = _base_rows(one)
    if one.not_known:
        rows, more = [*_not_known_rows(one, held), *rows], [*_not_known_more(more), *more]
    return _answer(first, rows, more, one.problems)


def _not_known(one: Checked) -> str:
    """What nobody knows, and of how many drinks: "ABV of 2 drinks, sugar of 3"."""
    first, *others = one.not_known
    named = [f"{_FIGURES[first.what]} of {count(len(first.drinks), 'drinks')}"]
    return ", ".join([*named, *(f"{_FIGURES[each.what]} of {len(each.drinks)}" for each in others)])


def _not_known_rows(one: Checked, held: str) -> list[AnswerRow]:
    """What loads, where the first line does not tell; what nobody knows beside problems; with --all of which drinks."""
    told = labelled("loads", f"{held} in {count(one.files, 'files')}")
    rows: list[AnswerRow] = [told if one.is_sound else watch(labelled("not known", _not_known(one)))]
    if is_whole():
        rows += [labelled(f"{_FIGURES[each.what]} of", ", ".join(each.drinks)) for each in one.not_known]
    return rows


def _not_known_more(more: Sequence[str]) -> list[str]:
    """Where there is more of it; --all is named once."""
    which = [] if is_whole() or any(each.startswith("--all") for each in more) else ["--all says of which drinks"]
    return [*which, "balancer totals DRINK says what lacks it"]


def checks_text(found: Sequence[Checked], problems: Sequence[Problem]) -> str:
    """Several folders: how many are sound and which are not, what their bases changed, and every problem once."""
    wrong = [one for one in found if not one.is_sound]
    lacking = [one for one in found if one.not_known]
    if not wrong and lacking:
        first = watch(f"all {len(found)} are sound; figures not known in {len(lacking)}")
    elif not wrong:
        first = fine(f"all {len(found)} are sound")
    else:
        named = some([f"{one.folder} ({count(len(one.problems), 'problems')})" for one in wrong], _MOST)
        first = act(f"{len(found) - len(wrong)} of {len(found)} are sound; not: {named}")
    over = [one for one in found if one.in_place]
    rows: list[AnswerRow] = []
    if lacking:
        told = some([f"{one.folder} ({_not_known(one)})" for one in lacking], _ROOM)
        rows.append(watch(labelled("not known", told)))
    if over:
        held = count(len([each for one in over for each in one.in_place]), "entries")
        rows.append(
            labelled("of their own", f"{held} of {count(len(over), 'houses')} in place of what their base says")
        )
    changed = [
        watch(labelled("base changed", f"{one.folder}: {', '.join(map(_named, one.changed))}"))
        for one in found
        if one.changed
    ]
    shown, more = few(changed, _ROOM)
    rows = [*rows, *shown]
    unknown = [f"{one.folder} ({len(one.unknown)})" for one in found if one.unknown]
    if unknown:
        rows.append(labelled("not noted", f"{some(unknown, _MOST)}: what the base said of so many"))
    if changed or unknown:
        example = next(one.folder for one in found if one.changed or one.unknown)
        more = [*more, f"balancer check {as_word(example)}"]
    return _answer(first, rows, more, problems)


def agreed_text(folder: str, names: Sequence[str]) -> str:
    """What the base says was noted as seen."""
    if not names:
        return "nothing to note: what the base says of it was seen already"
    check = "balancer check" if folder == "." else f"balancer check {as_word(folder)}"
    return page(f"noted what the base says now of {some(names, _MOST)}", [], check)


def _answer(first: AnswerRow, rows: Iterable[AnswerRow], more: Sequence[str], problems: Sequence[Problem]) -> str:
    """The answer, its rows, and the problems below it, whose lines are laid out already."""
    return page(first, rows, "; ".join(more), problems_text(problems))


def _base_rows(one: Checked) -> tuple[list[AnswerRow], list[str]]:
    """What a folder has in place of its base's, and what became of that since; and where there is more."""
    if not one.bases:
        return [], []
    rows: list[AnswerRow] = [labelled("base", ", which stands on ".join(one.bases))]
    if one.in_place:
        names = some([each.name for each in one.in_place], _MOST)
        rows.append(labelled("of its own", f"{count(len(one.in_place), 'entries')} in place of what it says: {names}"))
    shown, more = few([_changed(each) for each in one.changed], _ROOM)
    rows += [row for group in shown for row in group]
    if one.unknown:
        names = some([each.name for each in one.unknown], _MOST)
        rows.append(labelled("not noted", f"{names}: what the base said; nobody knows if that changed since"))
    same = [each.name for each in one.in_place if each.is_identical]
    if same:
        rows.append(labelled("same as the base", f"{some(same, _MOST)}: delete yours to follow it"))
    if is_whole():
        rows += [labelled("where", f"{each.name}: {each.place}; base {each.base_place}") for each in one.in_place]
    elif one.in_place:
        more = [*more, "--all says where each is, and what changed"]
    if one.unknown or any(each.since == "changed" for each in one.changed):
        more = [*more, "where yours stays as it is: balancer check --agree NAME, or all"]
    return rows, more


def _changed(one: OverrideState) -> list[AnswerRow]:
    """What the base changed since the house took its own: which keys, and with --all what they said and say."""
    if one.since == "gone":
        return [watch(labelled("base changed", f"{one.name} is no longer in it"))]
    rows: list[AnswerRow] = [watch(labelled("base changed", f"{_named(one)}: {one.base_place}"))]
    if is_whole():
        rows += [labelled("", row) for change in one.changes for row in _change_rows(change)]
    return rows


def _named(one: OverrideState) -> str:
    keys = ", ".join(change.key for change in one.changes)
    return f"{one.name} ({keys or 'gone'})"


def _change_rows(change: KeyChange) -> list[str]:
    """A key of the base: what it said and what it says; of a list only what came and went."""
    was, now = change.was, change.now
    if isinstance(was, list) and isinstance(now, list) and was != now:
        went = [each for each in was if each not in now]
        came = [each for each in now if each not in was]
        if went or came:
            return [f"{change.key}: {_value(went)} → {_value(came)}"]
    return [f"{change.key}: {_value(was)} → {_value(now)}"]


def _value(value: Any) -> str:
    if value is None or value == []:
        return "nothing"
    if isinstance(value, list) and all(isinstance(each, str) for each in value):
        return cut(", ".join(value), _SHOWN)
    return cut(value if isinstance(value, str) else json.dumps(value, ensure_ascii=False), _SHOWN)
