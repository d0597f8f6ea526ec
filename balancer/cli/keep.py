"""A changed drink kept in its file: the one way for every command that changes one."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from balancer.cli.runner import Answer, valued
from balancer.cli.terminal import ask, write
from balancer.desk.desk import Desk
from balancer.desk.keeping import also_changed, edit_of, kept_of, new_doubts
from balancer.engine.drink.totals import Glass
from balancer.engine.swaps.kept import changes_of
from balancer.engine.swaps.slots import SwappedPour
from balancer.errors import UsageError
from balancer.files.house.edit import Edit
from balancer.files.house.load import Loaded
from balancer.files.house.write_edit import write_edit
from balancer.models.changes import NOTHING_ELSE, AlsoChanged, PourChange
from balancer.models.drink import Drink
from balancer.models.lengths import refuse_long
from balancer.output.data.edit import kept_data, unkept_data
from balancer.output.screen.edit import kept_text, unkept_text
from balancer.output.words.edit import Kept, KeptState


@dataclass(frozen=True, slots=True)
class KeepAsked:
    """What --write, --as and --yes of a command ask for.

    as_name  the name of the new drink; None to change the drink itself
    is_sure  whether it is written without asking
    by       who changes it, to be written too
    """

    write: bool
    as_name: str | None
    is_sure: bool
    by: str | None = None

    @property
    def is_wanted(self) -> bool:
        """Whether the answer is to be kept at all."""
        return self.write or self.as_name is not None


def keep(
    desk: Desk,
    drink: Drink,
    changes: Sequence[PourChange],
    *,
    keeping: KeepAsked,
    text: Callable[[Kept], str],
    data: Callable[[Kept], dict[str, Any]],
    also: AlsoChanged = NOTHING_ELSE,
    about: Iterable[str] = (),
    working: Sequence[str] | Callable[[], Sequence[str]] = (),
) -> Answer:
    """Write a drink with other pours into its file, or as a new drink beside it, when that is wanted.

    text, data  the command's whole answer, with what of it is kept: see `kept_text` and `kept_data`
    also        what else of it is written
    The exit code is 0 when it was written, else 1: a person said no, or nobody could be asked.
    Raises CannotError and ProblemsError as `edit_drink` and `new_drink` do, and CannotError for what is no slip.
    """
    by = keeping.by
    if by is not None and not by.strip():
        raise UsageError("usage", "--by: nobody is named", "give a name, or leave --by out")
    refuse_long("by", by, "--by")
    refuse_long("name", keeping.as_name, "--as")
    edit = edit_of(desk, drink, changes, as_name=keeping.as_name, by=by, also=also)
    believed(desk, edit.after, is_meant=keeping.is_sure)
    asking = kept_of(desk, edit, drink, changes)

    def kept(state: KeptState) -> Kept:
        return replace(asking, state=state)

    answer = written(
        desk, edit, lambda state: text(kept(state)), lambda state: data(kept(state)), is_sure=keeping.is_sure
    )
    return Answer(answer.text, answer.data, working, about=about, code=answer.code)


def keep_pours(
    desk: Desk,
    answer: Answer,
    drink: Drink,
    pours: Sequence[SwappedPour],
    out: str | None = None,
    *,
    feasible: bool,
    keeping: KeepAsked,
    new: Glass,
    glass: str | None = None,
    resized: bool = False,
) -> Answer:
    """A command's answer, and where --write or --as ask for that, its pours kept.

    out       id of what goes, if anything does
    feasible  whether the answer is one: what cannot be had is not written
    new       the drink as poured then
    glass     the glass it is for then, if another
    resized   whether it is another size: then, and as a new drink, of its weighing only the share of melt holds
    Raises as `keep` does.
    """
    if not keeping.is_wanted:
        return answer
    changes = changes_of(desk.bar, drink, pours, out)
    also = also_changed(new, glass, is_new=keeping.as_name is not None, resized=resized)
    if not feasible or not (changes or keeping.as_name or glass):
        return replace(
            answer,
            text=lambda: unkept_text(valued(answer.text), feasible=feasible),
            data=lambda: valued(answer.data) | unkept_data(drink),
        )
    return keep(
        desk,
        drink,
        changes,
        keeping=keeping,
        also=also,
        text=lambda kept: kept_text(valued(answer.text), kept, desk.house),
        data=lambda kept: valued(answer.data) | kept_data(kept),
        about=answer.about or (),
        working=answer.working,
    )


def written(
    desk: Desk,
    edit: Edit,
    text: Callable[[KeptState], str],
    data: Callable[[KeptState], dict[str, Any]],
    *,
    is_sure: bool,
    first: Sequence[Edit] = (),
) -> Answer:
    """Write a change when that is wanted, and say what was done; exit code 1 when it was not written.

    first  changes of other files that belong to it, written before it
    """
    if is_sure:
        write_edit(desk.own_folder, *first, edit, at=desk.at)
        return Answer(lambda: text("written"), lambda: data("written"), about=(), code=0)
    if not desk.can_ask:
        return Answer(lambda: text("not written"), lambda: data("not written"), about=(), code=1)
    write(text("asking"), sys.stdout)
    if not ask("make the copy in the house and change it there?" if edit.copy else "write it?"):
        return Answer("nothing was written", {}, about=(), code=1)
    write_edit(desk.own_folder, *first, edit, at=desk.at)
    paths = ", ".join(str(each.path) for each in (*first, edit))
    return Answer(f"written: {paths}", {}, about=(), code=0)


def believed(desk: Desk, after: Loaded, *, is_meant: bool) -> None:
    """Ask about what would look like a slip after a change, and does not now."""
    desk.believe([problem.message for problem in new_doubts(desk, after)], is_meant=is_meant)
