"""A changed drink on its way into its file: what it comes to, before anybody is asked and anything is written."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from balancer.desk.desk import Desk
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.totals import Glass
from balancer.engine.swaps.edited import drink_edited
from balancer.errors import Problem
from balancer.files.house.edit import Edit, edit_drink, new_drink
from balancer.files.house.load import Loaded
from balancer.files.save import other_names
from balancer.models.changes import NOTHING_ELSE, AlsoChanged, PourChange
from balancer.models.drink import Drink
from balancer.models.lengths import refuse_long
from balancer.output.words.edit import FileChange, Kept


def also_changed(new: Glass, glass: str | None, *, is_new: bool, resized: bool) -> AlsoChanged:
    """What else of a drink is written with its pours: its glass, and of its weighing the share of melt.

    new      the drink as poured then; is_new: whether it becomes a drink of its own
    glass    the glass it is for then, if another
    resized  whether it is another size: then, and as a new drink, of its weighing only the share of melt holds
    """
    was_weighed = new.dilution.basis == "weighed" and (resized or is_new)
    return AlsoChanged(glass, new.dilution.percent_of_mix if was_weighed else None)


def edit_of(
    desk: Desk,
    drink: Drink,
    changes: Sequence[PourChange],
    *,
    as_name: str | None,
    by: str | None,
    also: AlsoChanged = NOTHING_ELSE,
) -> Edit:
    """A drink with other pours in its file, or under a name of its own in a new one; tried out, not written.

    Raises CannotError and ProblemsError as `edit_drink` and `new_drink` do, CannotError for the demo house,
    and UsageError for a name that is too long.
    """
    refuse_long("name", as_name)
    refuse_long("by", by)
    folder, loaded = desk.own_folder, desk.loaded
    if as_name is None:
        return edit_drink(folder, loaded, drink, changes, desk.today, by=by, also=also)
    return new_drink(folder, loaded, drink, changes, as_name, desk.today, by=by, also=also)


def kept_of(desk: Desk, edit: Edit, drink: Drink, changes: Sequence[PourChange]) -> Kept:
    """What an edit comes to, to be shown before it is written."""
    after = edit.after.specs.drinks[edit.drink or drink.id]
    edited = drink_edited(desk.bar, Bar(edit.after.specs), drink, after, changes)
    return Kept(edited, change_of(edit), "asking", tuple(new_doubts(desk, edit.after)))


def change_of(edit: Edit) -> FileChange:
    """What an edit changes, to be shown."""
    return FileChange(
        str(edit.path), edit.old, edit.new, edit.copy.place if edit.copy else None, other_names(edit.path)
    )


def parted(path: Path, what: str) -> Problem:
    """That a file was replaced which had other names, where nothing else of the answer says so.

    what  it is called in the message, like "the list of printed cards"
    """
    told = f"{what} had another name on the disk (a hard link), and under that it stays as it was"
    return Problem("hard-link", told, "where two are to stay one, let one be a symbolic link to the other", str(path))


def new_doubts(desk: Desk, after: Loaded) -> list[Problem]:
    """What would look like a slip after a change, and does not now."""
    known = {problem.message for found in desk.loaded.doubts.values() for problem in found}
    return [problem for found in after.doubts.values() for problem in found if problem.message not in known]
