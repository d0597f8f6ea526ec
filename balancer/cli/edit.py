"""What `set` is asked for, the question before it writes, and what it says."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, NoReturn

from balancer.cli.desk import Desk, show, show_answer, tell
from balancer.cli.terminal import ask
from balancer.cli.values import brix
from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.edited import PourEdited, StandardEdited, pour_edited, standard_edited
from balancer.errors import CannotError, UsageError
from balancer.files.house.edit import Edit, edit_pour, edit_standard, write_edit
from balancer.files.yaml.validate import check
from balancer.models.drink import Drink
from balancer.models.names import NameIndex
from balancer.models.pour import RINSE, Pour
from balancer.output.data.edit import pour_edit_data, standard_edit_data
from balancer.output.screen.edit import pour_edit_text, same_pour_text, same_standard_text, standard_edit_text
from balancer.output.words.edit import Change
from balancer.units import Quantity, format_quantity, split_pour, tidy_amount

STANDARD = "standard"
_IN_QUOTES = 'names of several words go in quotes: balancer set "slipway sour" raspberry 20ml'


class Editor:
    """A desk whose files may change; is_sure: nobody needs to be asked."""

    def __init__(self, specs: Path, *, as_json: bool, is_sure: bool) -> None:
        self.desk = Desk(specs, as_json=as_json)
        self.specs = self.desk.loaded.specs
        self.folder = specs
        self.is_sure = is_sure

    def syrup(self, text: str, key: str) -> str | None:
        """The id of a syrup whose standard is meant, or None when a pour of a drink is."""
        if key.strip().casefold() != STANDARD:
            return None
        try:
            return self.desk.find("syrups", text)
        except UsageError:
            if self.specs.drink_names.find(text):
                return None
            raise

    def set_standard(self, syrup_id: str, text: str) -> NoReturn:
        """Give a syrup another standard."""
        value = brix(text, "STRENGTH")
        syrup = self.specs.syrups[syrup_id]
        if syrup.standard == value:
            same = StandardEdited(syrup, value, value, ())
            self._say(same_standard_text(syrup.name, value), standard_edit_data(same, None, written=False), 0)
        edit = edit_standard(self.folder, self.desk.loaded, syrup, value, f"{split_pour(text)[0].strip()} °Bx")
        edited = standard_edited(self.desk.bar, Bar(edit.after.specs), syrup)
        change = _change(edit)
        self._finish(
            edit,
            lambda lead, last: standard_edit_text(lead, edited, change, last),
            lambda written: standard_edit_data(edited, change, written=written),
        )

    def set_pour(self, drink_text: str, of: str, text: str) -> NoReturn:
        """Give a pour of a drink another amount."""
        drink = self.specs.drinks[self.desk.find("drinks", drink_text)]
        pour = self._pour(drink, of)
        amount, written = self._amount(pour, text)
        if amount == pour.amount:
            name = self.specs.liquid(pour.of).name
            same = PourEdited(drink, pour, amount, name, None, sugar_known=True)
            self._say(same_pour_text(drink, name, amount), pour_edit_data(same, None, written=False), 0)
        edit = edit_pour(self.folder, self.desk.loaded, drink, pour, amount, written)
        edited = pour_edited(self.desk.bar, Bar(edit.after.specs), drink, pour)
        change = _change(edit)
        self._finish(
            edit,
            lambda lead, last: pour_edit_text(lead, edited, change, self.desk.house, last),
            lambda written: pour_edit_data(edited, change, written=written),
        )

    def _pour(self, drink: Drink, text: str) -> Pour:
        """The pour of a drink that a name means: among what it pours, a shorter beginning is clear."""
        names = NameIndex()
        for pour in drink.pours:
            liquid = self.specs.liquid(pour.of)
            names.add(liquid.id, (liquid.name, *liquid.also))
        found = names.find(text)
        if len(found) == 1:
            return next(pour for pour in drink.pours if pour.of == found[0])
        if found:
            meant = " or ".join(self.specs.liquid(identity).name for identity in found)
            raise UsageError("ambiguous-name", f'"{text}" may be {meant}', "write more of the name")
        poured = [f"{format_quantity(pour.amount)} {self.specs.liquid(pour.of).name}" for pour in drink.pours]
        remedy = f"it pours {', '.join(poured).replace(f'1 {RINSE}', f'a {RINSE} of')}"
        known = [each for each in self.specs.liquid_names.find(text) if each in self._liquids()]
        if known:
            name = self.specs.liquid(known[0]).name if len(known) == 1 else f'anything called "{text}"'
            raise CannotError("not-poured", f"{drink.name} does not pour {name}", remedy)
        raise UsageError("unknown-name", f'{drink.name} pours nothing called "{text}"', f"{remedy}; {_IN_QUOTES}")

    def _liquids(self) -> set[str]:
        return {*self.specs.ingredients, *self.specs.syrups}

    def _amount(self, pour: Pour, text: str) -> tuple[Quantity, str]:
        """An amount as typed, and as it is to be written."""
        if text.strip().casefold() == RINSE:
            return Quantity(1.0, RINSE), RINSE
        found, errors = check(Pour, {"pour": text, "of": pour.of})
        if found is None:
            message, remedy = errors[0]["msg"], str(errors[0]["ctx"]["remedy"])
            remedy = _IN_QUOTES if errors[0]["type"] == "number" else remedy
            raise UsageError("usage", f"AMOUNT: {message}", remedy)
        self.desk.bar.amount(found, self.desk.bar.liquid(pour.of))
        return found.amount, tidy_amount(text)

    def _finish(self, edit: Edit, text: Callable[[str, str], str], data: Callable[[bool], dict[str, Any]]) -> NoReturn:
        """Write the change when that is wanted, and say what was done; exit code 1 when it was not written."""
        if self.is_sure:
            write_edit(self.folder, edit)
            self._say(text("written: ", ""), data(True), 0)
        if self.desk.as_json or not sys.stdin.isatty():
            self._say(text("not written: ", "nobody can be asked here: --yes writes it"), data(False), 1)
        show(text("", ""))
        if not ask("write it?"):
            self._say("nothing was written", {}, 1)
        write_edit(self.folder, edit)
        self._say(f"written: {edit.path}", {}, 0)

    def _say(self, text: str, data: dict[str, Any], code: int) -> NoReturn:
        show_answer(text, data, [], as_json=self.desk.as_json)
        tell(self.desk.loaded.problems, as_json=self.desk.as_json)
        raise SystemExit(code)


def _change(edit: Edit) -> Change:
    return Change(str(edit.path), edit.line, edit.old, edit.new)
