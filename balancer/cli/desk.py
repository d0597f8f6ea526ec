"""What every command that reads a folder does around its one engine call."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, Literal, NoReturn

from balancer.cli.terminal import knows_every_character, write
from balancer.engine.drink.bar import Bar
from balancer.errors import BalancerError, Problem, ProblemsError, UsageError
from balancer.files.house.load import Broken, Loaded, load
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.models.names import NameIndex
from balancer.output.words.numbers import some
from balancer.output.words.problems import problems_data, problems_text

Kind = Literal["syrups", "drinks"]
_WORD = {"syrups": "syrup", "drinks": "drink"}


class Desk:
    """A loaded folder and the command's way of answering."""

    def __init__(self, specs: Path, *, as_json: bool, read: Callable[[Path], Loaded] = load) -> None:
        self.loaded = read(specs)
        self.bar = Bar(self.loaded.specs)
        self.as_json = as_json
        self.touching: list[Problem] = []
        self.noticed: list[Problem] = []  # by the command itself: told with those of the files

    @property
    def house(self) -> House:
        """The house."""
        return self.loaded.specs.house

    def find(self, kind: Kind, text: str) -> str:
        """The id a name means.

        Raises UsageError when nothing or several things answer to it, ProblemsError when it did not load.
        """
        sound = self._sound(kind)
        names = self._names(kind)
        found = names.find(text)
        if len(found) > 1:
            raise UsageError("ambiguous-name", f'"{text}" may be {_listed(found)}', "write more of the name")
        if not found:
            if kind == "syrups" and self.loaded.specs.liquid_names.find(text):
                raise UsageError("wrong-kind", f'"{text}" is not a syrup', f"known: {_listed(sound)}")
            near = names.closest(text)
            remedy = f'did you mean "{near}"?' if near else f"known: {_listed(sound)}"
            if self.loaded.broken:
                remedy += "; what did not load is told by: balancer check"
            raise UsageError("unknown-name", f'no {_WORD[kind]} is called "{text}"', remedy)
        if found[0] not in sound:
            broken = self.loaded.broken_entry(kind, found[0])
            raise ProblemsError(broken.problems if broken else self.loaded.problems)
        return found[0]

    def drinks(self, texts: Iterable[str]) -> list[Drink]:
        """The drinks that names mean, each once, in the order named.

        One that did not load is left out, and touches the answer.
        Raises UsageError as `find` does, ProblemsError when none of them loaded.
        """
        found: dict[str, Drink] = {}
        for text in texts:
            try:
                identity = self.find("drinks", text)
                found[identity] = self.loaded.specs.drinks[identity]
            except ProblemsError as error:
                self.touching.extend(error.problems())
        if not found:
            raise ProblemsError(self.touching)
        return list(found.values())

    def _sound(self, kind: Kind) -> dict[str, Any]:
        return self.loaded.specs.drinks if kind == "drinks" else self.loaded.specs.syrups

    def _names(self, kind: Kind) -> NameIndex:
        """The names of one kind only, so that "honey" is the syrup although honey is an ingredient too."""
        if kind == "drinks":
            return self.loaded.specs.drink_names
        names = NameIndex()
        for syrup in self.loaded.specs.syrups.values():
            names.add(syrup.id, (syrup.name, *syrup.also))
        for entry in self.loaded.broken:
            if entry.kind == kind:
                names.add(entry.id, (entry.name,))
        return names

    def answer(
        self, text: str, data: dict[str, Any], working: list[str], touching: Iterable[Broken | Problem] = ()
    ) -> NoReturn:
        """Print an answer, then the problems, and leave with 1 when one of them touches the answer."""
        show_answer(text, data, working, as_json=self.as_json)
        tell((*self.loaded.problems, *self.noticed), as_json=self.as_json)
        touched = [*self.touching, *self.noticed, *self.loaded.house_problems, *touching]
        raise SystemExit(1 if touched else 0)


def show(text: str) -> None:
    """Print an answer."""
    write(text, sys.stdout)


def to_text(data: dict[str, Any]) -> str:
    """A JSON object as text, with escapes only where the output cannot hold a character."""
    return json.dumps(data, ensure_ascii=not knows_every_character(sys.stdout), indent=2, allow_nan=False)


def show_answer(text: str, data: dict[str, Any], working: list[str], *, as_json: bool) -> None:
    """Print an answer as text with its working below, or as JSON with the working inside."""
    if as_json:
        show(to_text(data | ({"steps": working} if working else {})))
    else:
        show("\n".join([text, *(["", *working] if working else [])]))


def tell(problems: tuple[Problem, ...], *, as_json: bool) -> None:
    """Print problems that do not stop the answer."""
    if problems:
        write(to_json(problems) if as_json else problems_text(problems), sys.stderr)


def to_json(problems: Iterable[Problem]) -> str:
    """Problems as JSON text."""
    return to_text(problems_data(problems))


def fail(error: BalancerError, *, as_json: bool) -> int:
    """Print an error where the caller of the command looks for it, and give its exit code."""
    if as_json:
        show(to_json(error.problems()))
    else:
        write(problems_text(error.problems()), sys.stderr)
    return 2 if isinstance(error, UsageError) else 1


def _listed(ids: Iterable[str], most: int = 6) -> str:
    return some(ids, most) or "none"
