"""Asking a person, name by name, what a spreadsheet means by what the house does not have."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from balancer.cli.terminal import say
from balancer.files.house.pantry import pantry
from balancer.files.sheets.map_file import Answers
from balancer.models.imported import Imported, NewIngredient, Suggestion
from balancer.models.names import slug
from balancer.models.specs import Specs
from balancer.output.screen.import_ import glass_question, name_question, nothing_called

_LEAVE_OUT: Final = "-"
_STOP: Final = "stop"
_MOST: Final = 100


class _StopError(Exception):
    """Nobody wants to be asked any more."""


def ask_names(result: Imported, specs: Specs) -> Answers:
    """What a person says of each unknown name and glass; nothing of those that came after "stop"."""
    answers = Answers({}, {})
    try:
        for one in [each for each in result.ingredients if not each.kept][:_MOST]:
            answers = _name(one, specs, answers)
        for glass in result.glasses:
            known = list(dict.fromkeys((*filter(None, [glass.near]), *specs.house.glasses)))
            said = _said(glass_question(glass, known))
            chosen = _by_number(said, known) or (said if said in known else None)
            answers.glasses[glass.name] = chosen or glass.name
    except _StopError:
        pass
    return answers


def _name(one: NewIngredient, specs: Specs, answers: Answers) -> Answers:
    options = [*one.may_be]
    while True:
        said = _said(name_question(one, options))
        if not said:
            answers.ingredients[one.name] = one.name
            return answers
        if said == _LEAVE_OUT:
            return answers._replace(leave_out=(*answers.leave_out, one.name))
        number = _by_number(said, [option.name for option in options])
        found = [option for option in options if option.name == number] or _called(said, specs)
        if len(found) == 1:
            answers.ingredients[one.name] = found[0].name
            wanted = () if found[0].in_house else (found[0].name,)
            return answers._replace(pantry=tuple(dict.fromkeys((*answers.pantry, *wanted))))
        options = found or options
        if not found:
            say(nothing_called(said))


def _said(question: str) -> str:
    line = say(question, asks=True)
    if line is None or line.casefold() == _STOP:
        raise _StopError
    return line


def _by_number(said: str, options: Sequence[str]) -> str | None:
    return options[int(said) - 1] if said.isdecimal() and 1 <= int(said) <= len(options) else None


def _called(text: str, specs: Specs) -> list[Suggestion]:
    """What a typed name may mean: of the house by any clear beginning, else of the pantry by its whole name."""
    found = [known.name for each in specs.liquid_names.find(text) if (known := specs.find_liquid(each))]
    if found:
        return [Suggestion(name, in_house=True) for name in found]
    entry = pantry().called.get(slug(text))
    return [Suggestion(entry.name, in_house=False)] if entry else []
