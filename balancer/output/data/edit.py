"""`set` as JSON, and what a kept change adds to the object of another command."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from balancer.engine.service.lines import BottleLines, lines_of
from balancer.engine.swaps.edited import DrinkEdited, PourEdited, StandardEdited
from balancer.engine.swaps.kept_drinks import KeptDrinks
from balancer.models.drink import Drink
from balancer.models.pour import Pour
from balancer.output.data.rescale import conversions_data, exceptions_data
from balancer.output.words.edit import FileChange, Kept


def kept_data(kept: Kept) -> dict[str, Any]:
    """The keys that a change which is kept adds to the object of its command."""
    after = kept.edited.after
    return {
        "kept": after.id,
        "version": after.version,
        "date": after.date,
        **_change_data(kept.change, written=kept.written),
    }


def unkept_data(drink: Drink) -> dict[str, Any]:
    """The same keys where nothing is kept: the drink stays as it is."""
    same = {"kept": None, "version": drink.version, "date": drink.date}
    return same | _change_data(None, written=False)


def pour_edit_data(edited: DrinkEdited, kept: Kept | None) -> dict[str, Any]:
    """The JSON object of `set` for pours; not kept when there is nothing to do."""
    moved = edited.moved
    first = edited.pours[0] if edited.pours else None
    of = (first.before or first.after) if first else None
    return {
        "drink": edited.drink.id,
        "name": edited.drink.name,
        "ingredient": of.of if of else None,
        "ingredient_name": first.name_before if first else None,
        "from": _amount(first.before if first else None),
        "to": _amount(first.after if first else None),
        "fixed": bool(first and first.fixed),
        "pours": [_row(each) for each in edited.pours],
        "moved": {
            "sugar_percent": moved.sugar_percent if moved else None,
            "acid_percent": moved.acid_percent if moved else None,
            "abv_points": moved.abv_points if moved else None,
            "volume_percent": moved.volume_percent if moved else None,
            "at_most": list(moved.at_most) if moved else [],
        },
        "sugar_known": edited.sugar_known,
        "jigger_ml": [amount.value for amount in first.nearest] if first else [],
        "kept": edited.drink.id,
        "version": edited.drink.version,
        "date": edited.drink.date,
        **(kept_data(kept) if kept else _change_data(None, written=False)),
    }


def standard_edit_data(
    edited: StandardEdited,
    change: FileChange | None,
    *,
    written: bool,
    kept: KeptDrinks | None = None,
    others: Sequence[FileChange] = (),
    keeps: bool = False,
) -> dict[str, Any]:
    """The JSON object of `set` for a standard.

    kept    what keeping the drinks comes to, where that can be told
    others  the files of drinks that are changed too; keeps: they say there what they were written for
    """
    lines = lines_of(kept.at_new) if kept else BottleLines()
    return {
        "syrup": edited.syrup.id,
        "name": edited.syrup.name,
        "from_brix": edited.old_brix,
        "to_brix": edited.new_brix,
        "drinks": [{"drink": drink.id, "name": drink.name, "sugar_percent": moved} for drink, moved in edited.drinks],
        "drinks_kept": keeps,
        "written_for_another": [drink.id for drink in kept.apart] if kept else [],
        "kept_pours": {"conversions": conversions_data(lines.conversions), **exceptions_data(lines)},
        "other_files": [
            {"path": each.path, "line": each.line, "diff": "\n".join(each.diff()), "other_names": each.names}
            for each in others
        ],
        **_change_data(change, written=written),
    }


def _row(edited: PourEdited) -> dict[str, Any]:
    return {
        "ingredient": edited.before.of if edited.before else None,
        "ingredient_name": edited.name_before if edited.before else None,
        "from": _amount(edited.before),
        "to_ingredient": edited.after.of if edited.after else None,
        "to_ingredient_name": edited.name if edited.after else None,
        "to": _amount(edited.after),
        "fixed": edited.fixed,
        "jigger_ml": [amount.value for amount in edited.nearest],
    }


def _amount(pour: Pour | None) -> dict[str, Any] | None:
    return {"amount": pour.amount.value, "unit": pour.amount.unit} if pour else None


def _change_data(change: FileChange | None, *, written: bool) -> dict[str, Any]:
    return {
        "path": change.path if change else None,
        "line": change.line if change else None,
        "diff": "\n".join(change.diff()) if change else "",
        "copy_of": change.copy_of if change else None,
        "other_names": change.names if change else 0,
        "written": written,
    }
