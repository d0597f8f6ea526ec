"""Spec cards for the rail."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Annotated, Final

import typer

from balancer.asking import names
from balancer.cli.options import Dpi, DrinkNames, PageFile, UnitsText
from balancer.cli.pages import choice, dots, page_file, page_kind, write_pages
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.desk.keeping import change_of, parted
from balancer.desk.printing.cards import (
    CardOrder,
    as_before,
    cards_of,
    noted_card,
    set_cards,
    way_of,
    written_alike,
)
from balancer.engine.drink.withdraw import gone, replaced, withdraw
from balancer.errors import CannotError, Problem, ProblemsError, UsageError
from balancer.files.house.edit import Edit
from balancer.files.house.print_look import template_fault
from balancer.files.house.printed import FILE as PRINTED
from balancer.files.house.printed import read_printed, remember
from balancer.files.house.remember_template import template_edit
from balancer.files.house.write_edit import write_edit
from balancer.files.save import save_new, unwritable
from balancer.models.printed import Printed
from balancer.output.data.cards import cards_data
from balancer.output.paper.card_lines import UNITS
from balancer.output.paper.cards import SIZES, CardRun, sides_of
from balancer.output.paper.imposition import PAPERS, Size, alone, impose
from balancer.output.paper.printed_page import Format
from balancer.output.paper.typeset import TEMPLATES
from balancer.output.screen.cards import cards_text

_PARTS: Final = ("card.typ", "grid.typ", "press.typ")
_BUILT_IN: Final = TEMPLATES / "card.typ"


@answering(lists=True)
def command(  # noqa: PLR0913, PLR0917 - one for each option
    desk: Desk,
    drinks: DrinkNames = None,
    out: PageFile = None,
    size: Annotated[str, typer.Option("--size", metavar="SIZE", help="a6, 4x6 or 3x5 (inches).")] = "a6",
    on: Annotated[
        str | None, typer.Option("--on", metavar="PAPER", help="As many as fit on a4 or letter, with cut marks.")
    ] = None,
    units: UnitsText = None,
    extras: Annotated[
        bool, typer.Option("--extras", help="With ABV, volume in the glass and standard drinks.")
    ] = False,
    changed: Annotated[
        bool,
        typer.Option("--changed", help="Only what changed since it was printed; lists the old ones to throw away."),
    ] = False,
    draft: Annotated[bool, typer.Option("--draft", help="To look at only: not noted as printed.")] = False,
    template: Annotated[
        Path | None, typer.Option("--template", metavar="F.typ", help="Your own look in place of the built-in one.")
    ] = None,
    remember_template: Annotated[
        bool, typer.Option("--remember", help="Write --template into house.yaml: later cards take it by themselves.")
    ] = False,
    copy_template: Annotated[
        Path | None, typer.Option("--copy-template", metavar="DIR", help="Write the built-in look there, to change.")
    ] = None,
    dpi: Dpi = None,
) -> Answer:
    """A spec card for every drink, or those named: large, on cards or several to a sheet."""
    if copy_template is not None:
        return _copy(copy_template)
    draft = draft or desk.is_demo
    file = page_file(out, "cards.pdf")
    order = _order(size, on, units, template, page_kind(file), dpi, extras=extras)
    edit = _to_remember(desk, template) if remember_template else None
    kept = change_of(edit) if edit else None
    wrong = desk.loaded.house_problems
    if any(changed or problem.line is None for problem in wrong):
        raise ProblemsError(wrong)  # by guessed units and cautions every card would be another one
    chosen, lost = names.drinks(desk.loaded, drinks) if drinks else (list(desk.specs.drinks.values()), [])
    made = cards_of(desk, chosen)
    out_there = read_printed(desk.folder)
    if not made and not (changed and out_there and not desk.loaded.left_out("drinks")):
        raise ProblemsError(desk.noticed or desk.loaded.problems or [_no_drinks(desk)])
    contents = {one.drink.id: as_before(desk, one, out_there.get(one.drink.id), order) for one in made}
    versions = {one.drink.id: one.drink.version for one in made}
    missing = desk.loaded.broken_of("drinks")
    menu = {*desk.specs.drinks, *(entry.id for entry in missing)}
    # Where whole drinks may be missing, nobody knows which are gone: no card is told to be discarded for that.
    found = withdraw(
        out_there,
        contents,
        menu,
        everything=not drinks and not desk.loaded.missing,
        versions=versions,
        written_alike=written_alike(desk, made, out_there),
    )
    wanted = [one for one in made if one.drink.id in found.changed] if changed else made
    written: list[Path] = []
    # All of them are measured as they are printed, whichever are: the letters are as large as the whole menu allows.
    menu_cards = made if not drinks else cards_of(desk, desk.specs.drinks.values(), is_told=False)
    asked = {card.drink.id for card in wanted}
    ways = {drink: way_of(order, out_there.get(drink)) if changed else order.way for drink in asked}
    whole_menu = [
        noted_card(desk, one, out_there.get(one.drink.id), ways.get(one.drink.id, order.way)) for one in menu_cards
    ]
    noted = [one for one in whole_menu if one.drink in asked]
    marks = {one.drink: one.mark or "" for one in whole_menu}
    sides: tuple[int, ...] = ()
    if wanted:
        day = None if draft else desk.today
        wanted, pages = set_cards(desk, wanted, menu_cards, order, day, marks, ways)
        if not wanted and not found.pull:
            raise ProblemsError(desk.noticed)
        written = write_pages(desk, file, pages) if pages else []
        sides = sides_of(pages.told)
    if not draft:
        printed = {one.drink.id for one in wanted}
        new = [one for one in noted if one.drink in printed]
        _note(desk, new, gone(found.pull, menu) if changed else ())
        found = replaced(found, out_there, new)
    if edit is not None:
        _remember(desk, edit)
    left_out = len(desk.noticed) + (0 if drinks else len(missing))
    run = CardRun(
        wanted,
        found,
        written,
        order.size,
        order.layout,
        order.paper,
        left_out,
        draft=draft,
        marks=marks,
        today=desk.today,
        kept=kept,
        sides=sides,
        ways=ways,
        asked=order.way,
        shared={one.drink.id for one in wanted if desk.loaded.base_of("drinks", one.drink.id) is not None},
    )
    return Answer(
        lambda: cards_text(run),
        lambda: cards_data(run),
        touching=lost if drinks else missing,
        in_full=bool(run.left_out),
    )


def _order(
    size: str, on: str | None, units: str | None, template: Path | None, kind: Format, dpi: str | None, *, extras: bool
) -> CardOrder:
    """The order that options give. Raises UsageError for words that are none, CannotError where nothing fits."""
    card_size = SIZES[choice("--size", size, SIZES)]
    paper = None if on is None else choice("--on", on, PAPERS)
    layout = alone(Size(*card_size.sheet)) if paper is None else impose(card_size.sheet, PAPERS[paper])
    if layout is None:
        raise CannotError("no-room", f"no {card_size.name} card fits on {paper}", "take a smaller card")
    shown = None if units is None else choice("--units", units, UNITS)
    if template is not None and not template.is_file():
        raise UsageError("usage", f'--template: there is no file "{template}"', "see --copy-template")
    if template is not None and (fault := template_fault(template)):
        raise CannotError("template", *fault)
    return CardOrder(kind, card_size, layout, paper, shown, template, dots(dpi, kind), extras)


def _to_remember(desk: Desk, template: Path | None) -> Edit | None:
    """The change of house.yaml that --remember asks for; None where it says so already."""
    if template is None:
        raise UsageError("usage", "--remember: nothing says which template", "name it: --template F.typ --remember")
    return template_edit(desk.own_folder, desk.loaded, template)


def _remember(desk: Desk, edit: Edit) -> None:
    try:
        write_edit(desk.own_folder, edit, at=desk.at)
    except CannotError as error:
        told = f"the cards are written, but their template is not remembered: {error.message}"
        raise CannotError(error.code, told, error.remedy) from None


def _note(desk: Desk, new: list[Printed], told: tuple[Printed, ...]) -> None:
    """Remember what is out there now. Cards of drinks that are gone are forgotten once that was told."""
    if not new and not told:
        return
    try:
        had_names = remember(desk.folder, new, [one.drink for one in told])
    except CannotError as error:
        raise CannotError(
            error.code, f"the cards are written, but not noted as printed: {error.message}", error.remedy
        ) from None
    if had_names:
        desk.noticed.append(parted(desk.folder / PRINTED, "the list of printed cards"))


def _copy(folder: Path) -> Answer:
    """Write the built-in look into a folder."""
    files = [folder / name for name in _PARTS]
    parts = {path: (TEMPLATES / path.name).read_bytes() for path in files}
    there = [path for path in files if os.path.lexists(path)]
    is_unfinished = len(there) < len(files) and all(_holds(path, parts[path]) for path in there)  # it was killed here
    if there and not is_unfinished:
        raise CannotError("not-empty", f'"{there[0]}" is there already', "name another folder")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise unwritable(folder, error, "name another place") from None
    save_new({path: part for path, part in parts.items() if path not in there}, code="not-empty", again="try again")
    text = f"change {files[0]}, and print with --template {files[0]}\n"
    text += f"  {files[1]} draws what all pages share, {files[2]} places the cards"
    return Answer(text, {"files": [str(path) for path in files]})


def _holds(path: Path, part: bytes) -> bool:
    try:
        return path.is_file() and path.read_bytes() == part
    except OSError:
        return False


def _no_drinks(desk: Desk) -> Problem:
    return Problem("no-drinks", "there are no drinks to print", f"write the first one into {desk.folder}/drinks/")
