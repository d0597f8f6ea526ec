"""A changed drink kept in its file: the one way for every command that changes one."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from balancer.cli.desk import Desk
from balancer.cli.runner import Answer
from balancer.cli.terminal import ask, write
from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.edited import drink_edited
from balancer.errors import Problem, UsageError
from balancer.files.house.edit import Edit, edit_drink, new_drink, write_edit
from balancer.files.house.load import Loaded
from balancer.models.changes import PourChange
from balancer.models.drink import Drink
from balancer.output.words.edit import FileChange, Kept, KeptState


def keep(
    desk: Desk,
    drink: Drink,
    changes: Sequence[PourChange],
    *,
    as_name: str | None,
    is_sure: bool,
    text: Callable[[Kept], str],
    data: Callable[[Kept], dict[str, Any]],
    by: str | None = None,
    about: Iterable[str] = (),
    working: Sequence[str] | Callable[[], Sequence[str]] = (),
) -> Answer:
    """Write a drink with other pours into its file, or as a new drink beside it, when that is wanted.

    as_name     the name of the new drink; None to change the drink itself
    is_sure     whether it is written without asking
    text, data  the command's whole answer, with what of it is kept: see `kept_text` and `kept_data`
    by          who changes it, to be written too
    The exit code is 0 when it was written, else 1: a person said no, or nobody could be asked.
    Raises CannotError and ProblemsError as `edit_drink` and `new_drink` do, and CannotError for what is no slip.
    """
    if by is not None and not by.strip():
        raise UsageError("usage", "--by: nobody is named", "give a name, or leave --by out")
    folder, loaded = desk.own_folder, desk.loaded
    if as_name is None:
        edit = edit_drink(folder, loaded, drink, changes, desk.today, by=by)
    else:
        edit = new_drink(folder, loaded, drink, changes, as_name, desk.today, by=by)
    doubted = believed(desk, edit.after, is_meant=is_sure)
    after = edit.after.specs.drinks[edit.drink or drink.id]
    edited = drink_edited(desk.bar, Bar(edit.after.specs), drink, after, changes)
    change = FileChange(str(edit.path), edit.old, edit.new)

    def kept(state: KeptState) -> Kept:
        return Kept(edited, change, state, tuple(doubted))

    answer = written(desk, edit, lambda state: text(kept(state)), lambda state: data(kept(state)), is_sure=is_sure)
    return Answer(answer.text, answer.data, working, about=about, code=answer.code)


def written(
    desk: Desk,
    edit: Edit,
    text: Callable[[KeptState], str],
    data: Callable[[KeptState], dict[str, Any]],
    *,
    is_sure: bool,
) -> Answer:
    """Write a change when that is wanted, and say what was done; exit code 1 when it was not written."""
    if is_sure:
        write_edit(desk.own_folder, edit)
        return Answer(lambda: text("written"), lambda: data("written"), about=(), code=0)
    if not desk.can_ask:
        return Answer(lambda: text("not written"), lambda: data("not written"), about=(), code=1)
    write(text("asking"), sys.stdout)
    if not ask("write it?"):
        return Answer("nothing was written", {}, about=(), code=1)
    write_edit(desk.own_folder, edit)
    return Answer(f"written: {edit.path}", {}, about=(), code=0)


def believed(desk: Desk, after: Loaded, *, is_meant: bool) -> list[Problem]:
    """What would look like a slip after a change, and does not now; asked about first."""
    known = {problem.message for found in desk.loaded.doubts.values() for problem in found}
    told = [problem for found in after.doubts.values() for problem in found if problem.message not in known]
    desk.believe([problem.message for problem in told], is_meant=is_meant)
    return told
