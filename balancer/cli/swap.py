"""What `swap` is asked for, out of its options, and its three forms of answer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from balancer.cli.clock import night
from balancer.cli.desk import Desk
from balancer.engine.batch.history import batches
from balancer.engine.swaps.moved import Held
from balancer.engine.swaps.search import QUANTITIES
from balancer.engine.swaps.swap import Strength, Swap, stand_ins, swap, swap_all
from balancer.errors import CannotError, Problem, ProblemsError, UsageError
from balancer.files.house.load import Broken
from balancer.files.log.batch_log import read_log
from balancer.models.drink import Drink
from balancer.models.names import slug
from balancer.output.data.swap import menu_data, stand_ins_data, swap_data
from balancer.output.screen.swap import menu_text, stand_ins_text, swap_text
from balancer.output.words.numbers import cut
from balancer.output.words.page import COLUMNS
from balancer.output.working.swap import swap_steps


@dataclass(frozen=True, slots=True)
class Question:
    """A swap asked for: ids, what is held, and the strengths of the open batches.

    open_ones  syrup id and strength of each open batch that was read, in the order of the log
    past       ids of those after their last day of use
    """

    desk: Desk
    drink: Drink | None
    out: str
    into: str | None
    held: tuple[Held, ...]
    open_ones: tuple[tuple[str, Strength], ...]
    past: tuple[str, ...]
    log_problems: tuple[Problem, ...]

    @classmethod
    def asked(
        cls,
        desk: Desk,
        folder: Path,
        words: list[str] | None,
        out: str,
        into: str | None,
        hold: str,
        *,
        everywhere: bool,
    ) -> Question:
        """The question. Raises UsageError for what does not exist or does not go together."""
        if everywhere and (words or into is None):
            raise UsageError("usage", "--all goes through the menu by itself", "give --out and --in, and no drink")
        if not everywhere and not words:
            raise UsageError("usage", "no drink is named", "name a drink, or give --all for the whole menu")
        drink = desk.loaded.specs.drinks[desk.find("drinks", " ".join(words))] if words else None
        entries, problems = read_log(folder)
        open_batches = [
            batch
            for batch in batches(entries, desk.loaded.specs)
            if batch.state == "open" and batch.brix is not None and batch.liquid in desk.loaded.specs.syrups
        ]
        today = night(None, desk.house)
        return cls(
            desk,
            drink,
            liquid_of(desk, out, "--out", [pour.of for pour in drink.pours] if drink else []),
            None if into is None else liquid_of(desk, into, "--in"),
            held_of(hold),
            tuple([(batch.liquid, Strength(batch.brix or 0.0, batch.id)) for batch in open_batches]),
            tuple([batch.id for batch in open_batches if batch.discard is not None and batch.discard < today]),
            problems,
        )

    @property
    def strength(self) -> Strength | None:
        """The strength of the new syrup, when exactly one batch of it is open; else its standard counts."""
        found = [strength for identity, strength in self.open_ones if identity == self.into]
        return found[0] if len(found) == 1 else None


def held_of(text: str) -> tuple[Held, ...]:
    """What is held, each once, in the order written."""
    found: dict[Held, None] = {}
    for word in text.split(","):
        wanted = word.strip().casefold()
        known = next((quantity for quantity in QUANTITIES if quantity == wanted), None)
        if known is None:
            raise UsageError("usage", f'--hold: "{word.strip()}" is nothing to hold', f"choose {', '.join(QUANTITIES)}")
        found[known] = None
    return tuple(found)


def answer_one(question: Question, *, steps: bool) -> None:
    """One drink, one new sweetener; exit code 1 when not everything can be held."""
    desk, drink = question.desk, question.drink
    if drink is None or question.into is None:
        raise UsageError("usage", "a drink and --in are wanted", "see balancer swap --help")
    result = swap(desk.bar, drink, question.out, question.into, question.held, question.strength)
    working = swap_steps(result, desk.house) if steps else []
    text, data = swap_text(result, desk.house), swap_data(result, desk.house)
    desk.answer(text, data, working, _touching(question, found=result.feasible))


def answer_all(question: Question, *, steps: bool) -> None:
    """Every drink that pours the old one; exit code 1 when a drink has no answer."""
    desk = question.desk
    found, failed = swap_all(desk.bar, question.out, question.into or "", question.held, question.strength)
    if not found and not failed:
        name = desk.loaded.specs.liquid(question.out).name
        raise CannotError("not-poured", f"no drink pours {name}", "name what a drink pours with --out")
    text = menu_text(found, failed, desk.house)
    data = menu_data(question.out, question.into or "", question.held, found, failed, desk.house)
    sound = not failed and all(result.feasible for result in found)
    touching: list[Broken | Problem] = [*_touching(question, found=sound), *desk.loaded.broken_pouring(question.out)]
    desk.answer(text, data, _working(found, desk) if steps else [], touching)


def answer_open(question: Question, *, steps: bool) -> None:
    """What is open tonight that could stand in; exit code 1 when nothing could."""
    desk, drink = question.desk, question.drink
    if drink is None:
        raise UsageError("usage", "a drink is wanted", "see balancer swap --help")
    usable = [(identity, strength) for identity, strength in question.open_ones if strength.batch not in question.past]
    found = stand_ins(desk.bar, drink, question.out, usable, question.held)
    name = desk.loaded.specs.liquid(question.out).name
    text = stand_ins_text(drink, name, found, question.past, desk.house)
    data = stand_ins_data(drink, question.out, question.held, found, question.past, desk.house)
    desk.answer(text, data, _working(found, desk) if steps else [], _touching(question, found=bool(found)))


def _working(found: Sequence[Swap], desk: Desk) -> list[str]:
    """The working of several swaps, each under its own line."""
    lines: list[str] = []
    for result in found:
        named = f"{result.drink.name}: {result.into.name} for {result.out.name}"
        lines += [*([""] if lines else []), cut(named, COLUMNS), *swap_steps(result, desk.house)]
    return lines


def _touching(question: Question, *, found: bool) -> list[Problem]:
    """What makes the exit code 1: problems of the log, and an answer that is none."""
    return [*question.log_problems, *([] if found else [Problem("not-held", "not everything can be held", "")])]


def liquid_of(desk: Desk, text: str, option: str, poured: list[str] | None = None) -> str:
    """The id of a syrup or ingredient; where a beginning fits several, what the drink pours, else the syrup."""
    specs = desk.loaded.specs
    found = specs.liquid_names.find(text)
    if poured and not (len(found) == 1 and found[0] in poured):
        found = [identity for identity in _beginning(desk, text) if identity in poured] or found
    if len(found) > 1:
        found = [identity for identity in found if identity in specs.syrups] or found
    if len(found) > 1:
        several = ", ".join(found[:6])
        raise UsageError("ambiguous-name", f'{option}: "{text}" may be {several}', "write more of the name")
    if not found:
        near = specs.liquid_names.closest(text)
        remedy = f'did you mean "{near}"?' if near else "see balancer check"
        raise UsageError("unknown-name", f'{option}: no syrup or ingredient is called "{text}"', remedy)
    if found[0] not in specs.syrups and found[0] not in specs.ingredients:
        loaded = desk.loaded
        broken = loaded.broken_entry("syrups", found[0]) or loaded.broken_entry("ingredients", found[0])
        raise ProblemsError(broken.problems if broken else desk.loaded.problems)
    return found[0]


def _beginning(desk: Desk, text: str) -> list[str]:
    """Every liquid whose id begins like a text."""
    specs, key = desk.loaded.specs, slug(text)
    return [identity for identity in (*specs.syrups, *specs.ingredients) if key and identity.startswith(key)]
