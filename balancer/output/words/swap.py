"""Words that `swap` says on the screen and in JSON alike."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.cautions import ACID_POWDER
from balancer.engine.drink.liquid import Liquid
from balancer.engine.drink.totals import Glass
from balancer.engine.swaps.fits import SweetenerFit
from balancer.engine.swaps.moved import Fill, Held
from balancer.engine.swaps.slots import SwappedPour
from balancer.engine.swaps.swap import Swap
from balancer.engine.swaps.verdict import Reason, ReasonKind, verdict_of
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.output.words.amounts import amount_number, amount_text
from balancer.output.words.numbers import brix, percent, points, trim
from balancer.output.words.page import house_change, house_volume
from balancer.units import format_quantity

NOT_A_SWAP: Final = "not a swap"

QUANTITY_WORDS: dict[Held, str] = {
    "sugar": "sugar",
    "acid": "acid",
    "volume": "volume",
    "abv": "ABV",
    "sweetness": "sweetness",
}


def poured_text(pour: SwappedPour | SweetenerFit, house: House) -> str:
    """What to pour, as the bar measures it: 2 dashes, 1 barspoon, else in what it shows."""
    if pour.measured is not None:
        return format_quantity(pour.measured, glyphs=False)
    return amount_text(pour.poured, house)


def changed_pour(pour: SwappedPour, house: House) -> str:
    """A pour that may have become another: "20 ml raspberry syrup, not 22.5"."""
    name, poured = pour.liquid.name, poured_text(pour, house)
    if pour.stays:
        return f"{name} stays" if pour.was_there else ""
    if pour.spec is None or not pour.was_there:
        return f"add {poured} {name}"
    if pour.spec_measured or pour.measured:
        before = (
            format_quantity(pour.spec_measured, glyphs=False) if pour.spec_measured else amount_text(pour.spec, house)
        )
        return f"{poured} {name}, not {before}"
    return f"{poured} {name}, not {amount_number(pour.spec, house)}"


def glass_words(new: Glass, change_ml: float, found: Fill | None, house: House) -> str:
    """How much there is in the glass, and how full that makes it."""
    text = f"{house_volume(new.as_drunk.volume_ml, house)}, {house_change(change_ml, house)}"
    if new.served is None:
        return f"dilution unknown; before ice {text}"
    if found is None:
        return text
    return f"{text}; {'more than the' if found.overflows else f'{trim(found.after_percent, 0)} % of the'} {found.glass}"


def abv_change(change: float, *, says_none: bool = True) -> str:
    """A change of the ABV; says_none: one that reads as 0 is told too."""
    said = points(change)
    return f"ABV {said} % vol" if says_none or said != "0" else ""


def reason_text(reason: Reason, into: Liquid, drink: Drink, house: House) -> str:
    """Why an exchange is not a swap."""
    value, limit = Amount(reason.value, reason.unit), Amount(reason.limit, reason.unit)
    other = amount_text(limit, house)
    texts: dict[ReasonKind, str] = {
        "alcohol": f"puts {trim(reason.value, 1)} g alcohol into a drink without",
        "alcohol unknown": f"alcohol of {into.name} unknown, in a drink without",
        "pour": f"{amount_text(value, house)} of {into.name} is more than a drink holds",
        "times": f"{amount_text(value, house)} in the place of {other}",
        "least": f"it takes {amount_text(value, house)} of {reason.name}, the least poured is {other}",
        "glass": f"{house_volume(reason.value, house)} is more than the {drink.glass} holds",
        "volume": f"volume {percent(reason.value)} before ice",
        "abv": abv_change(reason.value),
        "sweetness": f"sweetness {percent(reason.value)} at least",
    }
    return texts[reason.kind]


def not_a_swap(reasons: Sequence[Reason], into: Liquid, drink: Drink, house: House) -> str:
    """The verdict with its gravest reason; empty where it is a swap."""
    return f"{NOT_A_SWAP}: {reason_text(reasons[0], into, drink, house)}" if reasons else ""


def verdict_data(reasons: tuple[Reason, ...], into: Liquid, drink: Drink, house: House) -> dict[str, Any]:
    """The verdict and all of its reasons as JSON."""
    return {
        "verdict": verdict_of(reasons),
        "reasons": [{"reason": each.kind, "words": reason_text(each, into, drink, house)} for each in reasons],
    }


def in_all(poured: str, before: Amount | None, house: House) -> str:
    """What to pour, and how much of it the drink had before: 25 ml in all, 15 before."""
    return f"{poured} in all, {amount_number(before, house)} before" if before else poured


def obstacle_words(result: Swap, house: House) -> list[str]:
    """Why not, and what would make it possible; nothing when everything is held."""
    found = result.obstacle
    if found is None:
        return []
    words = [f"closest match: {_misses(result)}"]
    words += [
        f"it would take {amount_text(item.amount, house)} (less than nothing) of {item.liquid.name}"
        for item in found.below_zero
    ]
    if found.no_sour_pour:
        words.append("no sour pour may move: it is fixed, a syrup, a spirit, or not there")
    names = {item.liquid.id for item in found.below_zero}
    strength = result.make_at_brix
    if found.is_short_of_acid:
        short = f"{trim(found.acid_short_g, 1)} g citric acid, dissolved, would make up the acid"
        words += [short, ACID_POWDER]
    elif any(quantity == "acid" for quantity, _ in found.misses):
        words.append("it brings too much acid: less citrus will not do; leave acid out of --hold")
    if "volume" in result.held and "water" in names:
        words.append("it is thinner than what it replaces; leave volume out of --hold")
    if "abv" in result.held and any(quantity == "abv" for quantity, _ in found.misses):
        free = "" if "volume" in result.held else "; water is added only when volume is held too"
        words.append(f"spirits stay as they are, so ABV moves with the rest{free}")
    if strength is not None and not {quantity for quantity, _ in found.misses} & {"acid", "abv"}:
        words.append(f"make it at {brix(strength)} and it pours one for one")
    return words


def unknown_alcohol(result: Swap) -> str:
    """Whose unknown alcohol leaves the change of the ABV unknown, of what goes and what comes; empty where none does.

    What comes into a drink without alcohol has a warning of its own.
    """
    if "abv" not in result.moved.unknown:
        return ""
    said = []
    if any((item.what, item.ingredient) == ("abv", result.out.id) for item in result.old.unknown):
        said.append(f"the alcohol of {result.out.name} that goes")
    comes = any((item.what, item.ingredient) == ("abv", result.into.id) for item in result.new.unknown)
    if comes and not result.may_break_zero_proof:
        said.append(f"the alcohol of {result.into.name} that comes")
    return f"unknown: {', '.join(said)}" if said else ""


def _misses(result: Swap) -> str:
    """What the pours miss, each in one figure."""
    change = result.moved
    figures: dict[Held, float | None] = {
        "sugar": change.sugar_percent,
        "acid": change.acid_percent,
        "volume": change.mix_volume_percent,
        "sweetness": change.sweetness.middle if change.sweetness else None,
    }
    said = []
    for quantity, exactly in result.obstacle.misses if result.obstacle else ():
        if quantity == "abv":
            said.append(abv_change(result.abv_points))
        else:
            poured = figures[quantity]
            said.append(f"{QUANTITY_WORDS[quantity]} {percent(exactly if poured is None else poured)}")
    return ", ".join(said)
