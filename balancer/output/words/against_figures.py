"""What two drinks hold, side by side: the one rounding of it for the screen and for paper."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, Literal, NamedTuple

from balancer.engine.drink.totals import State, Totals
from balancer.engine.swaps.against import Against
from balancer.models.house import House
from balancer.output.words.known import AT_LEAST, known_change, known_number, known_volume
from balancer.output.words.numbers import percent_or_times, points, trim
from balancer.output.words.page import house_change

UNKNOWN: Final = "unknown"
NOT: Final = "–"
_TASTES: Final[tuple[Literal["sugar", "acid"], ...]] = ("sugar", "acid")

ComparedFigure = Literal["mix", "abv", "sugar", "acid", "glass", "ratio", "per-100-ml", "alcohol"]


class BesideRow(NamedTuple):
    """A row: what it is about, this drink, the other, and what moved from the other to this."""

    label: str
    ours: str
    theirs: str
    moved: str = ""


def figures(result: Against, house: House) -> Iterator[tuple[ComparedFigure, BesideRow]]:
    """What both hold, before ice and in the glass, each with what it is."""
    ours, theirs, change = result.ours, result.theirs, result.moved
    here, there = (_volume(one.mix, one, house) for one in (ours, theirs))
    yield "mix", BesideRow("before ice", here, there, house_change(result.mix_volume_ml, house))
    here, there = _abv(ours.mix, ours), _abv(theirs.mix, theirs)
    yield "abv", BesideRow("  ABV", here, there, _moved_points(result.mix_abv_points))
    for what in _TASTES:
        if result.differs_before_ice(what):
            here, there = (content_text(one, what, before_ice=True) for one in (ours, theirs))
            yield what, BesideRow(f"  {what}", here, there, _change(result, what, result.before_ice_percent(what)))
    here, there = (_volume(one.served, one, house) for one in (ours, theirs))
    more = UNKNOWN if result.volume_ml is None else house_change(result.volume_ml, house)
    yield "glass", BesideRow("in the glass", here, there, more)
    if result.are_served:
        here, there = _abv(ours.served, ours), _abv(theirs.served, theirs)
        yield "abv", BesideRow("  ABV", here, there, _moved_points(change.abv_points))
    for what, moved in (("sugar", change.sugar_percent), ("acid", change.acid_percent)):
        if what == "sugar" or any(one.acid_g or one.is_least("acid") for one in (ours, theirs)):
            here, there = content_text(ours, what), content_text(theirs, what)
            yield what, BesideRow(f"  {what}", here, there, _change(result, what, moved))
    if ours.sugar_to_acid is not None or theirs.sugar_to_acid is not None:
        yield "ratio", BesideRow("  sugar to acid", _ratio(ours), _ratio(theirs))
    if result.are_served:
        yield "per-100-ml", BesideRow("  per 100 ml", _per_100ml(ours), _per_100ml(theirs), _tasted(result))
    if any(one.ethanol_g or one.is_least("abv") for one in (ours, theirs)):
        here, there = content_text(ours, "abv"), content_text(theirs, "abv")
        yield "alcohol", BesideRow("  alcohol", here, there, _more_alcohol(result))


def _volume(state: State | None, one: Totals, house: House) -> str:
    return UNKNOWN if state is None else known_volume(state.volume_ml, house, exact=one.is_volume_known)


def _abv(state: State | None, one: Totals) -> str:
    if state is None:
        return UNKNOWN
    number = known_number(trim(state.abv_percent, 1), least=one.is_least("abv"), unknown=UNKNOWN)
    return number if number == UNKNOWN else f"{number} %"


def _moved_points(value: float | None) -> str:
    return UNKNOWN if value is None else f"{points(value)} % vol"


def content_text(one: Totals, what: Literal["sugar", "acid", "abv"], *, before_ice: bool = False) -> str:
    """How much of it there is, as far as it is known."""
    held = one.mix if before_ice else one
    value, digits = {"sugar": (held.sugar_g, 0), "acid": (held.acid_g, 1), "abv": (held.ethanol_g, 0)}[what]
    number = known_number(trim(value, digits), least=one.is_least(what), unknown=UNKNOWN)
    return number if number == UNKNOWN else f"{number} g"


def _change(result: Against, what: Literal["sugar", "acid"], value: float | None) -> str:
    if value is not None and what not in (*result.moved.unknown, *result.moved.at_most):
        return percent_or_times(value)
    return known_change(what, value, result.moved).removeprefix(f"{what} ")


def _more_alcohol(result: Against) -> str:
    if result.ethanol_g is None:
        return UNKNOWN
    at_most = " at most" if "abv" in result.moved.at_most else ""
    return f"{points(result.ethanol_g)} g{at_most}"


def _ratio(one: Totals) -> str:
    if one.sugar_to_acid is None:
        return UNKNOWN if one.is_least("acid") else NOT
    return f"{AT_LEAST if one.is_least('sugar') else ''}{trim(one.sugar_to_acid, 0)}:1"


def _per_100ml(one: Totals) -> str:
    sugar, acid = one.sugar_g_per_100ml, one.acid_g_per_100ml
    if sugar is None or acid is None:
        return UNKNOWN
    said = [known_number(trim(sugar, 1), least=one.is_least("sugar"))]
    said += [known_number(trim(acid, 2), least=one.is_least("acid"))] if acid or one.is_least("acid") else []
    return f"{' and '.join(said)} g"


def _tasted(result: Against) -> str:
    both = [result.tasted("sugar"), result.tasted("acid")]
    return ", ".join(percent_or_times(item.change) for item in both if item is not None)
