"""One value of a spec changed in its file: a pour of a drink, or the standard of a syrup."""

from __future__ import annotations

from typing import Annotated, Final

import typer

from balancer.asking import names
from balancer.asking.coming import named
from balancer.cli.completion import LIQUIDS, offering
from balancer.cli.keep import KeepAsked, believed, keep, written
from balancer.cli.options import AsName, ByWhom, Sure
from balancer.cli.runner import Answer, answering
from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.desk.keeping import change_of
from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.edited import DrinkEdited, PourEdited, StandardEdited, standard_edited
from balancer.engine.swaps.kept_drinks import KeptDrinks, kept_drinks, restated
from balancer.engine.swaps.roles import is_sweet
from balancer.errors import BalancerError, CannotError, QuantityError, UsageError
from balancer.files.house.edit import Edit, edit_standard
from balancer.files.house.keep_drinks import keep_drinks as keep_in_files
from balancer.files.house.keep_drinks import raise_versions
from balancer.files.house.load import Loaded
from balancer.files.house.pour_text import CHANGED
from balancer.files.yaml.validate import check
from balancer.models.changes import PourChange
from balancer.models.drink import Drink
from balancer.models.pour import RINSE, Pour
from balancer.models.syrup import Syrup
from balancer.output.data.edit import pour_edit_data, standard_edit_data
from balancer.output.screen.edit import (
    pour_edit_text,
    raised_rows,
    same_pour_text,
    same_standard_text,
    standard_edit_text,
)
from balancer.output.screen.kept_drinks import kept_standard_text, offer_rows
from balancer.output.words.edit import NOBODY, KeptState, unsigned_text
from balancer.units import Quantity, find_unit, format_quantity, parse_pour, split_pour, tidy_amount
from balancer.unseen import whole

STANDARD: Final = "standard"
_LIKE: Final = 'write it like --add "10 ml honey syrup"'


@answering(lists=True)
def command(  # noqa: PLR0913 - one for each option
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
        str | None,
        typer.Argument(
            metavar="INGREDIENT",
            autocompletion=LIQUIDS,
            help='What it pours; or the word "standard". Names may be cut short.',
        ),
    ] = None,
    amount: Annotated[
        list[str] | None,
        typer.Argument(metavar="AMOUNT", help="20ml, 3/4oz, 2 dashes, rinse; of a standard 52 or 52°Bx."),
    ] = None,
    *,
    to: Annotated[
        str | None,
        typer.Option("--to", metavar="NAME", autocompletion=LIQUIDS, help="Pour this instead; AMOUNT may be left out."),
    ] = None,
    add: Annotated[
        list[str] | None, typer.Option("--add", metavar="POUR", help='Pour this too, like "10 ml honey syrup".')
    ] = None,
    remove: Annotated[bool, typer.Option("--remove", help="Pour INGREDIENT no more.")] = False,
    keep_drinks: Annotated[
        bool,
        typer.Option("--keep-drinks", help="Of a standard: its drinks say what they were written for, and stay."),
    ] = False,
    as_name: AsName = None,
    by: ByWhom = None,
    yes: Sure = False,
) -> Answer:
    """Change a drink's pours, or a syrup's standard, in its file. Shows the change, then asks.

    A pour gets another amount, or is replaced, added or removed; --as keeps it as a new drink. Remarks, quotes and
    layout stay as they are, version and date are raised. Names of several words go in quotes.
    """
    syrup_id = _syrup(desk, drink, ingredient or "")
    if syrup_id is not None:
        if to is not None or add or remove or as_name is not None or by is not None:
            raise UsageError("usage", "a standard has no pours, and its syrup stays the same", "name a drink for that")
        return _set_standard(desk, syrup_id, " ".join(amount or []), is_sure=yes, keep_drinks=keep_drinks)
    if keep_drinks:
        raise UsageError("usage", "--keep-drinks is for a syrup's standard", "leave it out, or name a syrup")
    found = names.drink(desk.loaded, drink)
    changes = [] if ingredient is None else [_change(desk, found, ingredient, " ".join(amount or []), to, remove)]
    if ingredient is None and (to is not None or remove):
        raise UsageError("usage", "nothing says which pour", "name it behind the drink: balancer set DRINK INGREDIENT")
    if ingredient is None and not add and as_name is None:
        raise UsageError(
            "usage", "balancer set needs INGREDIENT: what it pours", "type it like: balancer set slipway raspberry 20ml"
        )
    changes += [_added(desk, found, text) for text in add or []]
    same = [change.pour for change in changes if not change.is_something and change.pour is not None]
    changes = [change for change in changes if change.is_something]
    if not changes and as_name is None:
        return _same(desk, found, same[0])
    return keep(
        desk,
        found,
        changes,
        keeping=KeepAsked(write=True, as_name=as_name, is_sure=yes, by=by),
        text=lambda kept: pour_edit_text(kept, desk.house),
        data=lambda kept: pour_edit_data(kept.edited, kept),
    )


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


def _set_standard(desk: Desk, syrup_id: str, text: str, *, is_sure: bool, keep_drinks: bool) -> Answer:
    """Give a syrup another standard; its drinks move with it, or are told what they were written for."""
    if not text:
        raise UsageError("usage", "balancer set needs AMOUNT: of a standard 52 or 52°Bx", "balancer set S standard 52")
    value = values.brix(text, "STRENGTH")
    syrup = desk.specs.syrups[syrup_id]
    if syrup.standard == value:
        same = StandardEdited(syrup, value, value, ())
        data = standard_edit_data(same, None, written=False)
        return Answer(same_standard_text(syrup.name, value), data, about=(), code=0)
    edit = edit_standard(desk.own_folder, desk.loaded, syrup, value, f"{split_pour(text)[0].strip()} °Bx")
    kept = _kept(desk, syrup, value)
    raised: list[str] = []
    shared: list[str] = []
    keeps = keep_drinks and kept is not None and bool(kept.drinks)
    if keeps and kept is not None:
        first, after = keep_in_files(desk.own_folder, desk.loaded, edit, syrup, kept.drinks, desk.today)
    else:
        first, after, raised = _raised(desk, edit, syrup, value)
        drinks = restated(desk.bar, syrup, value)
        shared = [one.name for one in drinks if desk.loaded.base_of("drinks", one.id) is not None]
    edit = edit._replace(after=after)
    believed(desk, edit.after, is_meant=is_sure)
    edited = standard_edited(desk.bar, Bar(edit.after.specs), syrup)
    change, *others = map(change_of, (edit, *first))
    new = edit.after.specs.drinks
    unsigned = unsigned_text([(one, new[one.id]) for one in desk.specs.drinks.values() if one.id in new])

    def shown(state: KeptState) -> str:
        lead, last = "" if state == "asking" else f"{state}: ", NOBODY if state == "not written" else ""
        if kept is not None and keeps:
            return kept_standard_text(lead, kept, [change, *others], desk.house, [*filter(None, (last, unsigned))])
        rows = [
            *raised_rows(edited, raised, shared),
            *[unsigned] * bool(unsigned),
            *(offer_rows(kept, desk.house) if kept else ()),
        ]
        return standard_edit_text(lead, edited, change, last, rows)

    return written(
        desk,
        edit,
        shown,
        lambda state: standard_edit_data(
            edited, change, written=state == "written", kept=kept, others=others, keeps=keeps
        ),
        is_sure=is_sure,
        first=first,
    )


def _raised(desk: Desk, edit: Edit, syrup: Syrup, brix: float) -> tuple[tuple[Edit, ...], Loaded, list[str]]:
    """The files of the drinks whose version rises because their cards say the standard, and the names of those drinks.

    A file that cannot be changed so keeps no standard back: then the cards differ by their print mark alone.
    """
    drinks = restated(desk.bar, syrup, brix)
    try:
        first, after = raise_versions(desk.own_folder, desk.loaded, edit, syrup, drinks, desk.today)
    except CannotError as error:
        if error.code == CHANGED:
            raise
        return (), edit.after, []
    new = after.specs.drinks
    return first, after, [each.name for each in drinks if each.id in new and new[each.id].version != each.version]


def _kept(desk: Desk, syrup: Syrup, brix: float) -> KeptDrinks | None:
    """What keeping the drinks of a syrup comes to; None where nobody can tell, as of a syrup without sugar."""
    try:
        return kept_drinks(desk.bar, syrup, brix)
    except BalancerError:
        return None


def _change(desk: Desk, drink: Drink, of: str, text: str, to: str | None, remove: bool) -> PourChange:
    """What is to become of one pour of a drink."""
    pour = names.pour(desk.specs, drink, of)
    if remove:
        if text or to is not None:
            raise UsageError("usage", "--remove leaves nothing to pour", "leave out the amount and --to")
        return PourChange(pour, pour.of, None)
    into = pour.of
    if to is not None:
        meant = named(desk, to, "--to", pour.of) if is_sweet(desk.bar, pour.of) else names.liquid(desk, to, "--to")
        into = _coming(desk, drink, meant, pour)
    if not text and to is None:
        told = "balancer set needs AMOUNT: 20ml, 3/4oz, 2 dashes, rinse; of a standard 52 or 52°Bx"
        raise UsageError("usage", told, "type it like: balancer set slipway raspberry 20ml")
    if not text:
        desk.bar.amount(pour.model_copy(update={"of": into}), desk.bar.liquid(into))
        return PourChange(pour, into, pour.amount)
    amount, spelt = _amount(desk, into, text, "AMOUNT")
    return PourChange(pour, into, amount, "" if amount == pour.amount else spelt)


def _added(desk: Desk, drink: Drink, text: str) -> PourChange:
    """A pour that comes behind the others, as typed."""
    first, _, rest = " ".join(text.split()).partition(" ")
    if first.casefold() == RINSE:
        amount, name = RINSE, rest.removeprefix("of ")
    else:
        try:
            found, name = parse_pour(text)
            number, unit, _ = split_pour(text)
        except QuantityError as error:
            raise UsageError("usage", f"--add: {error.reason}", _LIKE) from None
        is_word = find_unit(found.unit) is None and desk.specs.liquid_names.find(f"{found.unit} {name}")
        if not found.unit or is_word:
            raise UsageError("usage", f'--add: "{text}" has no unit', _LIKE)
        amount = f"{number}{unit}"
    if not name:
        raise UsageError("usage", f'--add: "{text}" does not say of what', _LIKE)
    of = _coming(desk, drink, names.liquid(desk, name, "--add"), None)
    quantity, spelt = _amount(desk, of, amount, "--add")
    return PourChange(None, of, quantity, spelt)


def _coming(desk: Desk, drink: Drink, of: str, instead: Pour | None) -> str:
    """The id of what comes into a drink. Raises CannotError when another pour is of it already."""
    there = next((pour for pour in drink.pours if pour.of == of and pour is not instead), None)
    if there is not None:
        name = desk.specs.name_of(of)
        told = f"{drink.name} pours {name} already: {format_quantity(there.amount)}"
        raise CannotError("poured-twice", told, f"change that one: balancer set {drink.id} {of} AMOUNT")
    return of


def _amount(desk: Desk, of: str, text: str, option: str) -> tuple[Quantity, str]:
    """An amount as typed, and as it is to be written."""
    if text.strip().casefold() == RINSE:
        return Quantity(1.0, RINSE), RINSE
    found, errors = check(Pour, {"pour": whole(text), "of": of})
    if found is None:
        message, remedy = errors[0]["msg"], str(errors[0]["ctx"]["remedy"])
        remedy = names.IN_QUOTES if errors[0]["type"] == "number" else remedy
        raise UsageError("usage", f"{option}: {message}", remedy)
    desk.bar.amount(found, desk.bar.liquid(of))
    return found.amount, tidy_amount(text)


def _same(desk: Desk, drink: Drink, pour: Pour) -> Answer:
    """Nothing is to change."""
    name = desk.specs.name_of(pour.of)
    data = pour_edit_data(DrinkEdited(drink, drink, (PourEdited(pour, pour, name, name),)), None)
    return Answer(same_pour_text(drink, name, pour.amount), data, about=(), code=0)
