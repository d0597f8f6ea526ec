"""What `cards` is asked for, out of its options; printing and noting it."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple, NoReturn

from balancer.cli.bench import Bench
from balancer.cli.desk import show_answer
from balancer.cli.pages import choice, page_kind, write_pages
from balancer.engine.drink.card import Card, card
from balancer.engine.drink.withdraw import gone, withdraw
from balancer.errors import BalancerError, CannotError, Problem, ProblemsError, UsageError
from balancer.files.house.printed import content_of, read_printed, remember
from balancer.files.save import save
from balancer.models.drink import Drink
from balancer.models.printed import Printed
from balancer.output.data.cards import cards_data
from balancer.output.paper.card_lines import UNITS, Units
from balancer.output.paper.cards import SIZES, CardRun, CardSize, cards_page
from balancer.output.paper.imposition import PAPERS, Imposition, Size, alone, impose
from balancer.output.paper.printed_page import Format
from balancer.output.paper.typeset import TEMPLATES, UnprintableError, typeset
from balancer.output.screen.cards import card_content, cards_text

_PARTS = ("card.typ", "press.typ")


class Order(NamedTuple):
    """What to print: on which cards and sheet, in which units, into which file."""

    out: Path
    kind: Format
    size: CardSize
    layout: Imposition
    paper: str | None
    units: Units | None
    template: Path

    @classmethod
    def of(cls, out: Path, size: str, on: str | None, units: str | None, template: Path | None) -> Order:
        """The order that options give. Raises UsageError for words that are none, CannotError where nothing fits."""
        kind = page_kind(out)
        card_size = SIZES[choice("--size", size, SIZES)]
        paper = None if on is None else choice("--on", on, PAPERS)
        layout = alone(Size(*card_size.sheet)) if paper is None else impose(card_size.sheet, PAPERS[paper])
        if layout is None:
            raise CannotError("no-room", f"no {card_size.name} card fits on {paper}", "take a smaller card")
        shown = None if units is None else choice("--units", units, UNITS)
        if template is not None and not template.is_file():
            raise UsageError("usage", f'--template: there is no file "{template}"', "see --copy-template")
        return cls(out, kind, card_size, layout, paper, shown, template or TEMPLATES / "card.typ")


def print_cards(
    bench: Bench, names: list[str], order: Order, *, extras: bool, only_changed: bool, draft: bool
) -> NoReturn:
    """Print the cards asked for, note them, and tell which ones to pull."""
    specs = bench.loaded.specs
    drinks = bench.drinks(names) if names else list(specs.drinks.values())
    made = cards_of(bench, drinks)
    out_there = read_printed(bench.folder)
    if not made and not (only_changed and out_there and not bench.loaded.broken):
        raise ProblemsError(bench.noticed or bench.loaded.problems or [_no_drinks(bench)])
    contents = {one.drink.id: content_of(card_content(one, bench.house)) for one in made}
    missing = bench.loaded.broken_of("drinks")
    menu = {*specs.drinks, *(entry.id for entry in missing)}
    found = withdraw(out_there, contents, menu, everything=not names)
    wanted = [one for one in made if one.drink.id in found.changed] if only_changed else made
    written: list[Path] = []
    if wanted:
        made_on = "draft" if draft else f"printed {bench.today.isoformat()}"
        wanted, pages = _pages(bench, wanted, order, made_on, extras=extras)
        if not wanted and not found.pull:
            raise ProblemsError(bench.noticed)
        written = write_pages(order.out, pages) if pages else []
    if not draft:
        _note(bench, wanted, contents, gone(found.pull, menu) if only_changed else ())
    touching = [] if names else missing
    left_out = len(touching) + len(bench.noticed)
    run = CardRun(wanted, found, written, order.size, order.layout, order.paper, left_out, draft=draft)
    bench.answer(cards_text(run), cards_data(run), [], touching)


def cards_of(bench: Bench, drinks: list[Drink]) -> list[Card]:
    """The card of every drink that has one; the problems of those that have none are noticed."""
    made: list[Card] = []
    for drink in drinks:
        try:
            made.append(card(bench.bar, drink))
        except BalancerError as error:
            bench.noticed += error.problems()
    return made


def _pages(bench: Bench, cards: list[Card], order: Order, made: str, *, extras: bool) -> tuple[list[Card], list[bytes]]:
    """The cards that can be printed and their pages; why the others cannot is noticed."""
    while True:
        units: Units = order.units or bench.house.show
        data = cards_page(cards, bench.house, order.size, order.layout, units, made, extras=extras)
        try:
            return cards, typeset(order.template, data, order.kind, bench.at)
        except UnprintableError as error:
            bench.noticed += error.problems()
            left = [one for one, item in zip(cards, data["items"], strict=True) if item["name"] not in error.names]
            if not left or len(left) == len(cards):
                return [], []
            cards = left


def _note(bench: Bench, cards: list[Card], contents: dict[str, str], told: tuple[Printed, ...]) -> None:
    """Remember what is out there now. Cards of drinks that are gone are forgotten once they were told to be pulled."""
    if not cards and not told:
        return
    day = bench.today.isoformat()
    new = [Printed(one.drink.id, one.drink.name, one.drink.version, day, contents[one.drink.id]) for one in cards]
    try:
        remember(bench.folder, new, [one.drink for one in told])
    except CannotError as error:
        raise CannotError(
            error.code, f"the cards are written, but not noted as printed: {error.message}", error.remedy
        ) from None


def copied(folder: Path, *, as_json: bool) -> NoReturn:
    """Write the built-in look into a folder."""
    files = [folder / name for name in _PARTS]
    there = next((path for path in files if path.exists()), None)
    if there is not None:
        raise CannotError("not-empty", f'"{there}" is there already', "name another folder")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CannotError("unwritable", f'"{folder}" cannot be made: {error.strerror}', "name another place") from None
    for path in files:
        save(path, (TEMPLATES / path.name).read_bytes())
    text = f"change {files[0]}, and print with --template {files[0]}\n  {files[1]} shrinks and places the cards"
    show_answer(text, {"files": [str(path) for path in files]}, [], as_json=as_json)
    raise SystemExit(0)


def _no_drinks(bench: Bench) -> Problem:
    return Problem("no-drinks", "there are no drinks to print", f"write the first one into {bench.folder}/drinks/")
