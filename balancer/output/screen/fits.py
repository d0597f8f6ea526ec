"""`fits` on the screen."""

from __future__ import annotations

from collections.abc import Sequence

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.liquid import Liquid
from balancer.engine.swaps.at import At
from balancer.engine.swaps.fits import DrinkFits, SweetenerFit
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.output.words.fits import Failed
from balancer.output.words.known import known_change
from balancer.output.words.numbers import count, percent, some, trim
from balancer.output.words.page import ROWS, act, few, page
from balancer.output.words.strengths import assumed, batch_note, for_what
from balancer.output.words.swap import abv_change, in_all, not_a_swap, poured_text

_BEST = 3
_MOST = 4


_NOTHING = "the house has no other syrup, and its drinks pour no other sweetener; swap --in NAME takes any it has"
RANKED = (
    "the same sugar; ranked by what each is, then by how little acid, volume and ABV move; "
    "allergens and what is not a swap last"
)


def fits_text(result: DrinkFits, house: House, named: str | None = None) -> str:
    """The answer for one drink: the best, then each with what moves.

    named  id of one that was asked for, to be shown wherever it comes
    """
    lead = f"{result.drink.name} {for_what(result.at, result.concerned)}, {result.out.name} replaced by"
    if not result.fits:
        rows = [f"{misfit.into.name}: {misfit.why}" for misfit in result.misfits]
        if not rows:  # there is nothing else to try, and no file is wrong
            return page(f"{lead}: nothing to try", [_NOTHING], "balancer swap -h")
        return page(f"{lead}: nothing fits", rows, "balancer check")
    ranked = list(result.fits)
    asked = next((fit for fit in ranked if fit.into.id == named), None)
    best = asked or ranked[0]
    called = f"{best.into.name}{batch_note(best.strength)}"
    poured = in_all(f"{poured_text(best, house)} {called}", best.before, house)
    place = "the closest match" if best is ranked[0] else f"closeness {result.place(best)} of {len(ranked)}"
    first = f"{lead}: {poured}, {place}"
    heed = heed_text(best, result.drink, house)
    first = act(f"{heed}; {first}") if heed else first
    listed = [best, *(fit for fit in ranked if fit is not best)]
    shown, more = few([_row(fit, result.drink, house) for fit in listed], ROWS, "sweeteners")
    more += [f"no answer for {', '.join(misfit.into.name for misfit in result.misfits)}"] * bool(result.misfits)
    more += [*assumed(result.at, result.concerned), *_not_read(result)]
    return page(first, shown, "; ".join([*more, RANKED]))


def menu_fits_text(at: At, out: Liquid, found: Sequence[DrinkFits], failed: Sequence[Failed], house: House) -> str:
    """The answer for the menu: the best three of each drink."""
    if not found and not failed:
        return page(f"no drink pours {out.name}", [], "balancer fits DRINK for another")
    concerned = list({liquid.id: (liquid, strength) for one in found for liquid, strength in one.concerned}.values())
    said = for_what(at, concerned)
    lead = f"{said}: {out.name} replaced by, in {count(len(found), 'drinks')}, the closest matches:"
    rows = [_menu_row(result, house) for result in found]
    rows += [f"{drink.name}: {error.problems()[0].message}" for drink, error in failed]
    return page(lead, rows, "; ".join([*assumed(at, concerned), RANKED]))


def menu_fits_rows(
    ids: Sequence[str], names: Sequence[str], found: Sequence[DrinkFits], failed: Sequence[Failed], house: House
) -> list[list[str | float]]:
    """The whole table for a spreadsheet: a line for each drink, the pour in ml, grams as text, or why there is none.

    ids, names  of the sweeteners, one column each
    """
    rows: list[list[str | float]] = [["drink", "out", "written", *names]]
    for result in found:
        cells: dict[str, str | float] = {misfit.into.id: misfit.why for misfit in result.misfits}
        cells |= {fit.into.id: _cell(fit, result.drink, house) for fit in result.fits}
        rows.append(
            [
                result.drink.name,
                result.out.name,
                _cell_amount(result.written),
                *[cells.get(identity, "") for identity in ids],
            ]
        )
    rows += [[drink.name, "", "", *[error.problems()[0].message for _ in ids]] for drink, error in failed]
    return rows


def _cell(fit: SweetenerFit, drink: Drink, house: House) -> str | float:
    heed = heed_text(fit, drink, house)
    if not heed:
        return _cell_amount(fit.poured)
    return f"{trim(fit.poured.value, 6 if fit.poured.unit == 'ml' else 1)} {fit.poured.unit}, {heed}"


def _cell_amount(amount: Amount) -> str | float:
    return f"{trim(amount.value, 1)} g" if amount.unit == "g" else round(amount.value, 6)


def _row(fit: SweetenerFit, drink: Drink, house: House) -> str:
    heed = heed_text(fit, drink, house)
    return f"{fit_pour(fit, house)}: {', '.join([*([heed] if heed else []), *fit_moves(fit)])}"


def fit_pour(fit: SweetenerFit, house: House) -> str:
    """What to pour of one that fits: of which batch, and how much of it the drink had before."""
    named = f"{poured_text(fit, house)} {fit.into.name}{batch_note(fit.strength)}"
    return in_all(named, fit.before, house)


def fit_moves(fit: SweetenerFit) -> list[str]:
    """What else moves with it."""
    change = fit.moved
    said = [known_change("sugar", change.sugar_percent, change), known_change("acid", change.acid_percent, change)]
    volume = change.known_volume_percent
    said += [f"volume {percent(volume)}"] if volume is not None else []
    if fit.alcohol_g is not None and (unknown := known_change("abv", None, change)):
        said.append(unknown)
    if change.abv_points is not None:
        said.append(abv_change(change.abv_points))
    return [text for text in said if text]


def _menu_row(result: DrinkFits, house: House) -> str:
    best = []
    for fit in result.fits[:_BEST]:
        heed = heed_text(fit, result.drink, house)
        named = in_all(f"{poured_text(fit, house)} {fit.into.name}", fit.before, house)
        best.append(f"{named} ({heed})" if heed else named)
    return f"{result.drink.name}: {' · '.join(best) or 'nothing fits'}"


def _not_read(result: DrinkFits) -> list[str]:
    """What would come in at standard tonight, because nothing of it is open and read."""
    names = [fit.into.name for fit in result.fits if fit.strength and not fit.strength.batch]
    return [f"not read, assumed at standard: {some(names, _MOST)}"] if names and result.at.is_tonight else []


def heed_text(fit: SweetenerFit, drink: Drink, house: House) -> str:
    """That it is no swap, and what it brings that a guest must be told; empty when there is nothing to heed."""
    verdict = not_a_swap(fit.reasons, fit.into, drink, house)
    found = [verdict] if verdict else []
    found += [f"allergen gained: {' and '.join(fit.gained)}"] if fit.gained else []
    found += ["allergens unknown"] if fit.unknown else []
    return ", ".join(found)
