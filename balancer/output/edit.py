"""A changed spec before and after it is written: the change, the lines of the file, and what it means."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

from balancer.engine.edited import PourEdited, StandardEdited
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.models.pour import RINSE
from balancer.output.numbers import MINUS, brix, count, percent, some, trim
from balancer.output.page import house_pour, page, wrap
from balancer.units import Quantity, format_quantity

_NAMED = 4


class Change(NamedTuple):
    """The lines of a file that change: its path, the 1-based line, and the text before and after."""

    path: str
    line: int
    old: str
    new: str

    def diff(self) -> list[str]:
        """The change as a unified diff without the lines around it: it is in one place, so no search is needed."""
        old, new = self.old.splitlines(), self.new.splitlines()
        first, last = self.line - 1, self.line - 1
        while old[last + 1 :] != new[last + 1 + len(new) - len(old) :]:
            last += 1
        taken, put = old[first : last + 1], new[first : last + 1 + len(new) - len(old)]
        place = f"@@ -{_lines(self.line, taken)} +{_lines(self.line, put)} @@"
        head = [f"--- {self.path}", f"+++ {self.path}", place]
        return [*head, *(f"-{line}" for line in taken), *(f"+{line}" for line in put)]


def pour_edit_text(lead: str, edited: PourEdited, change: Change, house: House, last: str) -> str:
    """The answer of `set` for a pour. lead says what was done, last what to do."""
    old = "a rinse" if edited.pour.amount.unit == RINSE else format_quantity(edited.pour.amount, glyphs=False)
    first = f"{lead}{edited.drink.name}: {_poured(edited.amount, edited.name)}, not {old}"
    rows = []
    if edited.pour.fixed:
        rows.append("heed: this pour is fixed; rescale and swap would not touch it")
    if edited.drink.weighed and edited.moves:
        rows.append("heed: it was weighed with the old pour; weigh one again before and after the ice")
    if edited.nearest_ml:
        near = " or ".join(house_pour(ml, house) for ml in edited.nearest_ml)
        rows.append(f"heed: the jigger does not pour that; it pours {near} {house.show}")
    kept = [key for key, value in (("version", edited.drink.version), ("date", edited.drink.date)) if value]
    stay = f"{' and '.join(kept)} in the file stay{'s' if len(kept) == 1 else ''} as written" if kept else ""
    old_card = "its printed card is old now: balancer cards --changed prints it"
    return _text(first, change, _moved(edited), rows, filter(None, (last, old_card, stay)))


def standard_edit_text(lead: str, edited: StandardEdited, change: Change, last: str) -> str:
    """The answer of `set` for a standard."""
    first = f"{lead}{edited.syrup.name}: standard {brix(edited.new_brix)}, not {trim(edited.old_brix, 2)}"
    if not edited.drinks:
        return _text(first, change, "no drink pours it", [], filter(None, (last,)))
    names = [drink.name for drink, _ in edited.drinks]
    one = len(names) == 1
    meaning = (
        f"{count(len(names), 'drinks')} {'is' if one else 'are'} written for it, and their pours are NOT changed: "
    )
    meaning = meaning.replace("their pours are", "its pour is") if one else meaning
    meaning += f"{some(names, _NAMED)}"
    changes = [moved for _, moved in edited.drinks if moved is not None]
    rows = []
    if changes:
        low, high = percent(min(changes)), percent(max(changes))
        to = f" to {high}" if low != high else ""
        rows.append(f"the sugar by {'its' if one else 'their'} spec: {low}{to}")
    old_prints = "what is printed for it is old now: balancer cards --changed prints the cards"
    return _text(
        first,
        change,
        meaning,
        rows,
        filter(None, (last, old_prints, "tonight and rescale count from the new standard")),
    )


def same_pour_text(drink: Drink, name: str, amount: Quantity) -> str:
    """What `set` says when a pour is already what it should be."""
    return page(
        f"nothing to change: {drink.name} pours {_poured(amount, name)} already", [], "balancer totals shows it"
    )


def same_standard_text(name: str, brix_now: float) -> str:
    """What `set` says when a standard is already what it should be."""
    return page(f"nothing to change: the standard of {name} is {brix(brix_now)} already", [], "balancer check")


def pour_edit_data(edited: PourEdited, change: Change | None, *, written: bool) -> dict[str, Any]:
    """The JSON object of `set` for a pour; no change when there is nothing to do."""
    moved = edited.moved
    return {
        "drink": edited.drink.id,
        "name": edited.drink.name,
        "ingredient": edited.pour.of,
        "ingredient_name": edited.name,
        "from": {"amount": edited.pour.amount.value, "unit": edited.pour.amount.unit},
        "to": {"amount": edited.amount.value, "unit": edited.amount.unit},
        "fixed": edited.pour.fixed,
        "moved": {
            "sugar_percent": moved.sugar_percent if moved else None,
            "acid_percent": moved.acid_percent if moved else None,
            "abv_points": moved.abv_points if moved else None,
            "volume_percent": moved.volume_percent if moved else None,
        },
        "sugar_known": edited.sugar_known,
        "jigger_ml": list(edited.nearest_ml),
        **_change_data(change, written=written),
    }


def standard_edit_data(edited: StandardEdited, change: Change | None, *, written: bool) -> dict[str, Any]:
    """The JSON object of `set` for a standard."""
    return {
        "syrup": edited.syrup.id,
        "name": edited.syrup.name,
        "from_brix": edited.old_brix,
        "to_brix": edited.new_brix,
        "drinks": [{"drink": drink.id, "name": drink.name, "sugar_percent": moved} for drink, moved in edited.drinks],
        **_change_data(change, written=written),
    }


def _change_data(change: Change | None, *, written: bool) -> dict[str, Any]:
    return {
        "path": change.path if change else None,
        "line": change.line if change else None,
        "diff": "\n".join(change.diff()) if change else "",
        "written": written,
    }


def _text(first: str, change: Change, meaning: str, rows: list[str], more: Iterable[str]) -> str:
    return "\n".join([*wrap(first, 4), *change.diff(), page(meaning, rows, "; ".join(more))])


def _lines(first: int, lines: list[str]) -> str:
    return str(first) if len(lines) == 1 else f"{first},{len(lines)}"


def _poured(amount: Quantity, name: str) -> str:
    return f"a rinse of {name}" if amount.unit == RINSE else f"{format_quantity(amount, glyphs=False)} {name}"


def _moved(edited: PourEdited) -> str:
    """One line on what the change does in the glass."""
    moved = edited.moved
    if moved is None:
        return "what it changes in the glass cannot be worked out"
    sugar = "sugar" if edited.sugar_known else "the known sugar"
    said = [f"{sugar} of the drink {percent(moved.sugar_percent)}"] if moved.sugar_percent is not None else []
    said += [f"acid {percent(moved.acid_percent)}"] if moved.acid_percent is not None else []
    if moved.abv_points is not None and moved.volume_percent is not None:
        points = trim(abs(moved.abv_points), 1)
        sign = "" if points == "0" else "+" if moved.abv_points > 0 else MINUS
        said += [f"ABV {sign}{points} % vol", f"glass {percent(moved.volume_percent)}"]
    elif moved.mix_volume_percent is not None:
        said.append(f"before ice {percent(moved.mix_volume_percent)}")
    return ", ".join(said)
