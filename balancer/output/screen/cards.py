"""`cards` on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from balancer.models.days import day_text
from balancer.models.printed import Printed
from balancer.output.paper.card_lines import CardWay
from balancer.output.paper.cards import CardRun
from balancer.output.paper.printed_page import PAPER_NAMES, files_text
from balancer.output.words.look import most
from balancer.output.words.numbers import count, some
from balancer.output.words.page import ROWS, page, watch


def cards_text(run: CardRun) -> str:
    """The answer of `cards`: what was written, which old cards to throw away, whose allergens nobody knows."""
    rows = [_pull_row(card, run) for card in run.found.pull]
    if len(rows) > most(ROWS - 2):
        rest = run.found.pull[ROWS - 3 :]
        names = ", ".join(" ".join((card.name, *([card.mark] if card.mark else []))) for card in rest)
        rows = [*rows[: ROWS - 3], f"throw away {len(rest)} more old cards: {names}"]
    rows += _same_version_rows(run)
    rows += _by_house_rows(run)
    rows += _new_rows(run)
    rows += [_as_old_row(way, names) for way, names in run.as_old.items()]
    if run.overleaf:
        verb = "is" if len(run.overleaf) == 1 else "are"
        rows.append(f"{some(run.overleaf, 4)} {verb} too long for one card: continued on the next")
    unknown = [card.drink.name for card in run.cards if card.unknown]
    if unknown:
        rows.append(f"allergens not known for every pour of {some(unknown, 4)}; each card names them")
    if run.written and run.layout.inside:
        rows.append("cut at the ticks; some stand between the cards, where the paper has no edge to spare")
    more = ["balancer sheet allergens has the table"] if unknown else []
    more += ["a draft: not noted as printed"] if run.draft else ["--changed prints only what changes from now on"]
    more += ["guests' safety: local rules on allergens and raw egg come first"]
    kept = "" if run.kept is None else "\n".join(run.kept.shown("remembered: "))
    return page(_first(run), rows, "; ".join(more), kept)


def _first(run: CardRun) -> str:
    if not run.cards and run.left_out:
        return f"no card printed: {count(run.left_out, 'drinks')} left out, see below"
    if not run.cards:
        away = f"; throw away {count(len(run.found.pull), 'old cards')}" if run.found.pull else ""
        return f"no card has changed since it was printed: nothing to print{away}"
    left = f"; {count(run.left_out, 'drinks')} left out, see below" if run.left_out else ""
    cards = count(len(run.cards), "cards")
    where = f"{files_text(run.written)}{left}"
    if run.paper is None:
        return f"{cards}, {run.size.name} → {where}"
    pages = f"{count(run.pages, 'pages')} of {PAPER_NAMES[run.paper]}"
    return f"{cards}, {run.size.name}, {run.layout.up} to a page: {pages} → {where}"


def _new_rows(run: CardRun) -> list[str]:
    """The drinks that had no card before, where others had."""
    new = [card.drink.name for card in run.cards if card.drink.id in run.found.new]
    return [f"new: {', '.join(new)}"] if new and not run.found.is_first else []


def _as_old_row(way: CardWay, names: Sequence[str]) -> str:
    """Cards that are printed otherwise than was asked for, and how to have them so."""
    options = " ".join([*([f"--units {way.units}"] if way.units else []), *["--extras"] * way.extras])
    their = "the old card was" if len(names) == 1 else "the old cards were"
    return f"as {their}, with {options}: {some(names, 4)}"


def _same_version_rows(run: CardRun) -> list[str]:
    """The drinks whose files were changed and kept their version: two cards would differ in the mark alone."""
    same, shared = run.same_version(shared=False), run.same_version(shared=True)
    their = "its file" if len(same) == 1 else "their files"
    told = [f"same version, other mark: {some(same, 4)}; raise version: in {their} and print again"] * bool(same)
    told += [f"same version, other mark: {some(shared, 4)}, of the base: the mark tells old from new"] * bool(shared)
    return [watch(text) for text in told]


def _by_house_rows(run: CardRun) -> list[str]:
    """The cards that a setting of the house changed, and no spec."""
    by_house = [card.drink.name for card in run.cards if card.drink.id in run.found.by_house]
    if not by_house:
        return []
    verb = "says" if len(by_house) == 1 else "say"
    return [f"house.yaml changed what {some(by_house, 4)} {verb}: no new version needed"]


def _pull_row(old: Printed, run: CardRun) -> str:
    """An old card as somebody finds it on the rail: name, version, date and mark; and the mark of the new one."""
    version = f" version {old.version}" if old.version else ""
    day = day_text(date.fromisoformat(old.date), run.today)
    mark = f"mark {old.mark}" if old.mark else "without a mark"
    new = run.new_mark(old)
    return f"throw away the old card {old.name}{version} of {day}, {mark}{f'; new {new}' if new else ''}"
