"""One value of a spec changed in its file."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import Annotated, Any, Final

import typer

from balancer.cli import names, values
from balancer.cli.completion import LIQUIDS, offering
from balancer.cli.desk import Desk
from balancer.cli.runner import Answer, answering
from balancer.cli.terminal import ask, write
from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.edited import PourEdited, StandardEdited, pour_edited, standard_edited
from balancer.errors import Problem, UsageError
from balancer.files.house.edit import Edit, edit_pour, edit_standard, write_edit
from balancer.files.yaml.validate import check
from balancer.models.pour import RINSE, Pour
from balancer.output.data.edit import pour_edit_data, standard_edit_data
from balancer.output.screen.edit import pour_edit_text, same_pour_text, same_standard_text, standard_edit_text
from balancer.output.words.edit import FileChange
from balancer.units import Quantity, split_pour, tidy_amount

STANDARD: Final = "standard"


@answering(lists=True)
def command(
    desk: Desk,
    drink: Annotated[
        str,
        typer.Argument(
            metavar="DRINK",
            autocompletion=offering("drinks", "syrups"),
            help="The drink; or the syrup whose standard changes.",
        ),
    ],
    ingredient: Annotated[
        str,
        typer.Argument(
            metavar="INGREDIENT",
            autocompletion=LIQUIDS,
            help='What it pours; or the word "standard". Names may be cut short.',
        ),
    ],
    amount: Annotated[
        list[str], typer.Argument(metavar="AMOUNT", help="20ml, 3/4oz, 2 dashes, rinse; of a standard 52 or 52°Bx.")
    ],
    yes: Annotated[bool, typer.Option("--yes", "-y", help="Write it without asking.")] = False,
) -> Answer:
    """Change one pour of a drink, or a syrup's standard, in its file. Shows the change, then asks.

    Remarks, quotes and layout stay as they are. Names of several words go in quotes.
    """
    syrup_id = _syrup(desk, drink, ingredient)
    if syrup_id is not None:
        return _set_standard(desk, syrup_id, " ".join(amount), is_sure=yes)
    return _set_pour(desk, drink, ingredient, " ".join(amount), is_sure=yes)


def _syrup(desk: Desk, text: str, key: str) -> str | None:
    """The id of a syrup whose standard is meant, or None when a pour of a drink is."""
    if key.strip().casefold() != STANDARD:
        return None
    try:
        return names.syrup(desk.loaded, text)
    except UsageError:
        if desk.specs.drink_names.find(text):
            return None
        raise


def _set_standard(desk: Desk, syrup_id: str, text: str, *, is_sure: bool) -> Answer:
    """Give a syrup another standard."""
    value = values.brix(text, "STRENGTH")
    syrup = desk.specs.syrups[syrup_id]
    if syrup.standard == value:
        same = StandardEdited(syrup, value, value, ())
        data = standard_edit_data(same, None, written=False)
        return Answer(same_standard_text(syrup.name, value), data, about=(), code=0)
    edit = edit_standard(desk.own_folder, desk.loaded, syrup, value, f"{split_pour(text)[0].strip()} °Bx")
    _believe(desk, edit, is_meant=is_sure)
    edited = standard_edited(desk.bar, Bar(edit.after.specs), syrup)
    change = _change(edit)
    return _written(
        desk,
        edit,
        lambda lead, last: standard_edit_text(lead, edited, change, last),
        lambda written: standard_edit_data(edited, change, written=written),
        is_sure=is_sure,
    )


def _set_pour(desk: Desk, drink_text: str, of: str, text: str, *, is_sure: bool) -> Answer:
    """Give a pour of a drink another amount."""
    drink = names.drink(desk.loaded, drink_text)
    pour = names.pour(desk.specs, drink, of)
    amount, spelt = _amount(desk, pour, text)
    if amount == pour.amount:
        name = desk.specs.liquid(pour.of).name
        same = PourEdited(drink, pour, amount, name, None, sugar_known=True)
        data = pour_edit_data(same, None, written=False)
        return Answer(same_pour_text(drink, name, amount), data, about=(), code=0)
    edit = edit_pour(desk.own_folder, desk.loaded, drink, pour, amount, spelt)
    doubted = _believe(desk, edit, is_meant=is_sure)
    edited = pour_edited(desk.bar, Bar(edit.after.specs), drink, pour)
    change = _change(edit)
    return _written(
        desk,
        edit,
        lambda lead, last: pour_edit_text(lead, edited, change, desk.house, last, doubted),
        lambda written: pour_edit_data(edited, change, written=written),
        is_sure=is_sure,
    )


def _amount(desk: Desk, pour: Pour, text: str) -> tuple[Quantity, str]:
    """An amount as typed, and as it is to be written."""
    if text.strip().casefold() == RINSE:
        return Quantity(1.0, RINSE), RINSE
    found, errors = check(Pour, {"pour": text, "of": pour.of})
    if found is None:
        message, remedy = errors[0]["msg"], str(errors[0]["ctx"]["remedy"])
        remedy = names.IN_QUOTES if errors[0]["type"] == "number" else remedy
        raise UsageError("usage", f"AMOUNT: {message}", remedy)
    desk.bar.amount(found, desk.bar.liquid(pour.of))
    return found.amount, tidy_amount(text)


def _written(
    desk: Desk,
    edit: Edit,
    text: Callable[[str, str], str],
    data: Callable[[bool], dict[str, Any]],
    *,
    is_sure: bool,
) -> Answer:
    """Write the change when that is wanted, and say what was done; exit code 1 when it was not written."""
    if is_sure:
        write_edit(desk.folder, edit)
        return Answer(lambda: text("written: ", ""), lambda: data(True), about=(), code=0)
    if desk.as_json or not sys.stdin.isatty():
        last = "nobody can be asked here: --yes writes it"
        return Answer(lambda: text("not written: ", last), lambda: data(False), about=(), code=1)
    write(text("", ""), sys.stdout)
    if not ask("write it?"):
        return Answer("nothing was written", {}, about=(), code=1)
    write_edit(desk.folder, edit)
    return Answer(f"written: {edit.path}", {}, about=(), code=0)


def _believe(desk: Desk, edit: Edit, *, is_meant: bool) -> list[Problem]:
    """What would look like a slip after the change, and does not now; asked about first."""
    known = {problem.message for found in desk.loaded.doubts.values() for problem in found}
    told = [problem for found in edit.after.doubts.values() for problem in found if problem.message not in known]
    desk.believe([problem.message for problem in told], is_meant=is_meant)
    return told


def _change(edit: Edit) -> FileChange:
    return FileChange(str(edit.path), edit.line, edit.old, edit.new)
