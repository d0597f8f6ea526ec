"""Columns that hold pours under other headings than "ingredient": a column for each role, or for each ingredient.

    Cocktail  Spirit     Sour        Sweet            or    Cocktail  Gin    Rum    Lime juice
    Heron     60 ml gin  20 ml lime  15 ml honey            Heron     60 ml         22.5 ml

What a column holds is seen by its cells, so that a column of prices is never poured.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Sequence
from typing import Final, Literal, NamedTuple

from balancer.files.sheets.jotted import has_unit, is_amount, jotted_pour
from balancer.files.sheets.spreadsheet import Sheet
from balancer.models.names import slug
from balancer.units import find_unit

_ROLES: Final = frozenset(
    "spirit base base-spirit main-spirit strong liquor alcohol second-spirit split-base modifier "  # noqa: SIM905
    "modifiers liqueur sour citrus acid juice sweet sweetener sugar syrup bitter bitters dash dashes lengthener long "
    "mixer fizz top topper topped-with wine vermouth fortified fortified-wine aperitif foam foamer egg cream accent "
    "aromatic float rinse other others extra-pour second-modifier".split()
)
"""What a pour does in a drink, as bars head their columns (common practice)."""

_TOPPING: Final = frozenset(["top", "topper", "topped-with", "lengthener", "long", "fizz"])
_AMOUNT_WORDS: Final = frozenset(
    ["", *"amount amt qty quantity measure vol volume ml oz cl dash dashes unit".split()]  # noqa: SIM905
)
# Columns of numbers that are poured by nobody.
_NOT_POURED: Final = frozenset(
    "cost price prices margin gp abv alcohol calories kcal total volume size yield serves servings "  # noqa: SIM905
    "number no nr rank year rating sold sales vat tax code sku page order position temperature dilution brix ph "
    "cogs".split()
)
_UNIT_BEHIND: Final = re.compile(r"(?P<name>.*\S)\s*[\s(\[,]\s*(?P<unit>[^\W\d]+)\.?\s*[)\]]?\s*$")

_TRIED_ROWS: Final = 500
_TRIED_CELLS: Final = 50_000
"""So many rows tell what a column holds, and so many cells what all of them do."""

Holding = Literal["amounts", "pours", "names", "nothing"]


class PourColumns(NamedTuple):
    """Columns of pours: fields with their columns, the ingredients that columns stand for, and units in headings.

    called    the ingredient of a numbered pour whose column stands for it
    units     the unit that a heading names, by its column
    doubtful  columns that may be poured: of numbers under an unknown name, or of no amounts under a known one
    """

    columns: dict[str, int]
    called: dict[int, str]
    units: dict[int, str]
    doubtful: tuple[int, ...] = ()


def is_role(heading: str) -> bool:
    """Whether a heading says what a pour does in a drink.

    >>> is_role("Spirit"), is_role("Modifier 2"), is_role("Glass")
    (True, True, False)
    """
    return _role(heading) is not None


def tops(heading: str) -> bool:
    """Whether what stands under a heading tops the drink."""
    return _role(heading) in _TOPPING


def is_not_poured(heading: str) -> bool:
    """Whether a heading is of numbers that nobody pours: prices, strengths, sales."""
    return bool(_NOT_POURED & set(slug(heading[:120]).split("-")))


def by_role(sheet: Sheet, heading_row: int, headings: Sequence[str], taken: Collection[int]) -> dict[str, int]:
    """The columns that hold a pour each, by what it does, with the amounts beside them; nothing for fewer than two."""
    open_ = [index for index, heading in enumerate(headings) if index not in taken and _role(heading) is not None]
    holds = {index: content(sheet, heading_row, index) for index in range(len(headings))}
    roles = [index for index in open_ if holds[index] in ("names", "pours")]
    roles = [index for index in roles if _amount_of(index, headings) is None]
    if len(roles) < 2:
        return {}
    found: dict[str, int] = {}
    used = {*taken, *roles}
    side = _side(roles, headings, holds)
    for number, index in enumerate(roles, start=1):
        found[f"ingredient {number}"] = index
        amount = _headed_for(index, headings, holds)
        if amount is None and _is_amount_column(index + side, headings, holds):
            amount = index + side
        if holds[index] == "names" and amount is not None and amount not in used:
            found[f"amount {number}"] = amount
            used.add(amount)
    return found


def by_ingredient(
    sheet: Sheet,
    heading_row: int,
    headings: Sequence[str],
    taken: Collection[int],
    is_liquid: Callable[[str], bool],
    said: Iterable[int] = (),
) -> PourColumns | None:
    """The columns that each hold the amounts of one ingredient, called as the heading; None where there are none.

    is_liquid  whether something that can be poured has this name
    said       columns that somebody says are such
    """
    given = list(said)
    open_ = [index for index, heading in enumerate(headings) if index not in taken and heading.strip()]
    holds = {index: content(sheet, heading_row, index) for index in open_}
    names = {index: _named(headings[index], is_liquid) for index in {*open_, *given}}
    known = [index for index in open_ if is_liquid(names[index][0]) and not is_not_poured(headings[index])]
    amounts = [index for index in open_ if holds[index] == "amounts" and not is_not_poured(headings[index])]
    sure = {*given, *(index for index in known if index in amounts)}
    if not given and len(sure) < 2:  # one column of numbers may be anything
        return None
    sure |= {
        index
        for index in amounts
        if min(sure) < index < max(sure) or any(has_unit(cell) for cell in _cells(sheet, heading_row, index))
    }
    doubtful = (index for index in open_ if index in {*amounts, *known} - sure and holds[index] != "nothing")
    poured = sorted(sure)
    return PourColumns(
        {f"amount {number}": index for number, index in enumerate(poured, start=1)},
        {number: names[index][0] for number, index in enumerate(poured, start=1)},
        {index: unit for index in poured if (unit := names[index][1])},
        tuple(doubtful),
    )


def content(sheet: Sheet, heading_row: int, column: int) -> Holding:
    """What most cells of a column hold, below the headings."""
    cells = [cell for cell in _cells(sheet, heading_row, column) if not cell.startswith("#")]
    if not cells:
        return "nothing"
    amounts = sum(map(is_amount, cells))
    if 2 * amounts > len(cells):
        return "amounts"
    pours = sum(jotted_pour(cell).text[:1].isnumeric() for cell in cells)
    return "pours" if 2 * pours > len(cells) else "names"


def _cells(sheet: Sheet, heading_row: int, column: int) -> list[str]:
    wide = max((len(row.cells) for row in sheet.rows[heading_row : heading_row + 1]), default=1)
    rows = sheet.rows[heading_row : heading_row + min(_TRIED_ROWS, _TRIED_CELLS // max(wide, 1))]
    return [
        text
        for row in rows
        if row.flaw is None and column < len(row.cells) and (text := " ".join(row.cells[column].split()))
    ]


def _role(heading: str) -> str | None:
    key = re.sub(r"-?[0-9]+$", "", slug(heading[:120]))
    return key if key in _ROLES else None


def _amount_of(index: int, headings: Sequence[str]) -> str | None:
    """The role whose amount a heading names, as in "Spirit ml"."""
    key = slug(headings[index][:120])
    role, _, word = key.rpartition("-")
    return role if word in _AMOUNT_WORDS and re.sub(r"-?[0-9]+$", "", role) in _ROLES else None


def _side(roles: Sequence[int], headings: Sequence[str], holds: dict[int, Holding]) -> int:
    """On which side of the names the amounts stand: 1 behind, -1 before."""
    before, behind = (sum(_is_amount_column(index + side, headings, holds) for index in roles) for side in (-1, 1))
    return -1 if before > behind else 1


def _is_amount_column(index: int, headings: Sequence[str], holds: dict[int, Holding]) -> bool:
    if not 0 <= index < len(headings) or holds[index] != "amounts":
        return False
    return re.sub(r"-?[0-9]+$", "", slug(headings[index][:120])) in _AMOUNT_WORDS


def _headed_for(index: int, headings: Sequence[str], holds: dict[int, Holding]) -> int | None:
    """The column of amounts that is headed for a role: "Spirit ml" for "Spirit"."""
    own = slug(headings[index][:120])
    found = (
        place
        for place in range(len(headings))
        if holds[place] == "amounts"
        and _amount_of(place, headings)
        and slug(headings[place][:120]).startswith(f"{own}-")
    )
    return next(found, None)


def _named(heading: str, is_liquid: Callable[[str], bool]) -> tuple[str, str | None]:
    """The ingredient of a heading, and the unit behind it."""
    name = " ".join(heading.split())
    found = _UNIT_BEHIND.fullmatch(name)
    unit = find_unit(found["unit"]) if found else None
    if found is None or unit is None or unit.kind not in ("volume", "mass"):
        return name, None
    inner = found["name"].rstrip(" ([,")
    return (name, None) if is_liquid(name) and not is_liquid(inner) else (inner, unit.name)
