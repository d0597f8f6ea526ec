"""`totals` without a drink on the screen: the menu as a table."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, NamedTuple

from balancer.engine.drink.menu_totals import Figure, MenuTotals, SortedBy, figure_of, is_lower
from balancer.engine.drink.totals import Totals
from balancer.models.house import House
from balancer.output.words.known import known_number
from balancer.output.words.numbers import count, pad, trim, volume, width
from balancer.output.words.page import ROWS, few, page
from balancer.output.words.tables import room_beside

_UNKNOWN: Final = "?"
_NONE: Final = "–"
_NAME: Final = 18


class _Column(NamedTuple):
    """A column: its head, how broad it is, its decimals, and what it is called with its unit."""

    head: str
    broad: int
    digits: int
    unit: str


_COLUMNS: Final[dict[Figure, _Column]] = {
    "volume": _Column("ml", 6, 0, "in the glass"),
    "abv": _Column("ABV", 7, 1, "% ABV"),
    "sugar": _Column("sugar", 7, 0, "g sugar"),
    "acid": _Column("acid", 7, 1, "g acid"),
    "ratio": _Column("sugar:acid", 12, 0, "sugar to acid"),
    "alcohol": _Column("std drinks", 12, 1, "standard drinks"),
}
_FIRST: Final[tuple[Figure, ...]] = ("abv", "sugar", "acid", "volume", "alcohol", "ratio")
"""Which columns a narrow terminal keeps longest."""
_ORDERS: Final[dict[SortedBy, tuple[str, str]]] = {
    "name": ("by name", "by name from the end"),
    "volume": ("largest first", "smallest first"),
    "abv": ("strongest first", "weakest first"),
    "sugar": ("most sugar first", "least sugar first"),
    "acid": ("most acid first", "least acid first"),
    "ratio": ("most sugar to acid first", "least sugar to acid first"),
    "alcohol": ("most alcohol first", "least alcohol first"),
}


def menu_totals_text(
    result: MenuTotals, house: House, by: SortedBy | None, *, reverse: bool, left_out: Sequence[str]
) -> str:
    """The answer of `totals` without a drink: what the menu spans, then a drink a row.

    result    in the order wanted
    left_out  names of the drinks that are not in it
    """
    if not result.drinks:
        return page("no drink can be worked out", [], "balancer check")
    shown, more = few(result.drinks, ROWS - 1, "drinks")
    kept = _kept(by)
    room = room_beside(*(_COLUMNS[figure].broad for figure in kept))
    name = max(min(room, max(width(one.drink.name) for one in shown)), _NAME)
    rows = [pad("in the glass", name) + "".join(f"{_head(figure, house):>{_COLUMNS[figure].broad}}" for figure in kept)]
    rows += [line for one in shown for line in _lines(one, kept, name, house)]
    if len(kept) < len(_COLUMNS):
        away = [_COLUMNS[figure].unit for figure in _COLUMNS if figure not in kept]
        more.append(f"{', '.join(away)}: a wider terminal, or --json")
    if by is None:
        more.append(f"--sort {', '.join(_ORDERS)}")
    elif not reverse:
        more.append("--reverse turns the order round")
    more.append(f"sugar and acid in g, acid as citric; standard drinks: {house.standard_drink}")
    marks = "".join(rows)
    more += ["?: not known"] if _UNKNOWN in marks else []
    more += ["≥: of what is known"] if "≥" in marks else []
    more.append("totals DRINK shows one")
    return page(_first(result, house, by, reverse=reverse, left_out=left_out), rows, "; ".join(more))


def _first(result: MenuTotals, house: House, by: SortedBy | None, *, reverse: bool, left_out: Sequence[str]) -> str:
    counted = count(len(result.drinks), "drinks")
    left = f"; {count(len(left_out), 'drinks')} left out, see below" if left_out else ""
    if by is None or by == "name":
        spans = [_span(result, figure, house) for figure in ("abv", "sugar", "acid")]
        order = "" if by is None else f" {_ORDERS[by][reverse]}"
        return f"{counted}{order}: {', '.join(filter(None, spans))}{left}"
    ends = result.ends(by)
    if ends is None:
        return f"{counted}: {_COLUMNS[by].unit} known of none{left}"
    first, last = ends if reverse else ends[::-1]
    span = f"{_said(first, by, house)} to {_said(last, by, house)}"
    unknown, in_part = result.unknown(by), result.in_part(by)
    unsaid = f"; of {count(in_part, 'drinks')} known in part" if in_part else ""
    unsaid += f"; of {count(unknown, 'drinks')} not known" if unknown and by != "ratio" else ""
    return f"{counted}, {_ORDERS[by][reverse]}: {span}{unsaid}{left}"


def _span(result: MenuTotals, figure: Figure, house: House) -> str:
    ends = result.ends(figure)
    if ends is None:
        return f"{_COLUMNS[figure].unit} unknown"
    low, high = (_cell(one, figure, house) for one in ends)
    return f"{low if low == high else f'{low} to {high}'} {_COLUMNS[figure].unit}"


def _said(one: Totals, figure: Figure, house: House) -> str:
    unit = {"volume": house.show, "abv": "% ABV", "sugar": "g", "acid": "g", "alcohol": "standard drinks"}.get(
        figure, ""
    )
    return f"{_cell(one, figure, house)} {unit} ({one.drink.name})".replace("  ", " ")


def _kept(by: SortedBy | None) -> list[Figure]:
    """The columns there is room for, the one that the menu is sorted by before all others."""
    found: list[Figure] = []
    for figure in sorted(_FIRST, key=lambda each: each != by):
        if room_beside(*(_COLUMNS[each].broad for each in (*found, figure))) >= _NAME:
            found.append(figure)
    return [figure for figure in _COLUMNS if figure in found]


def _head(figure: Figure, house: House) -> str:
    return house.show if figure == "volume" else _COLUMNS[figure].head


def _lines(one: Totals, kept: Sequence[Figure], name: int, house: House) -> list[str]:
    """A drink's row; the figures stand below a name that is too long for its column."""
    cells = "".join(f"{_cell(one, figure, house):>{_COLUMNS[figure].broad}}" for figure in kept)
    called = one.drink.name
    return [f"{pad(called, name)}{cells}"] if width(called) <= name else [called, f"{pad('', name)}{cells}"]


def _cell(one: Totals, figure: Figure, house: House) -> str:
    value = figure_of(one, figure)
    if value is None:
        has_none = figure == "ratio" and not (one.acid_g or one.is_least("acid"))
        return _NONE if has_none else _UNKNOWN
    if figure == "volume":
        number = volume(value, house.show, house.ounce).removesuffix(f" {house.show}")
        return number if one.is_volume_known else f"~{number}"
    number = known_number(trim(value, _COLUMNS[figure].digits), least=is_lower(one, figure))
    return number if figure != "ratio" or number == _UNKNOWN else f"{number}:1"
