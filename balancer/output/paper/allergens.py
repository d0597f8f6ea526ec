"""The sheet of allergens: drinks down, allergens across, and what nobody listed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any, Final

from balancer.engine.drink.allergens import AllergenMark, AllergenTable
from balancer.models.house import House
from balancer.output.paper.imposition import PaperSheet
from balancer.output.paper.language import Words
from balancer.output.paper.sheet import sheet_page

YES: Final = "yes"


NOT_KNOWN: Final = "?"


_CELLS: Final[dict[AllergenMark, str]] = {"contains": YES, "unknown": NOT_KNOWN, "not listed": ""}


_UPRIGHT: Final = 7
"""With more columns than this the paper is turned, so that names keep their room."""


def allergens_page(
    table: AllergenTable, house: House, day: date, words: Words, paper: PaperSheet, missing: Sequence[str]
) -> dict[str, Any]:
    """What the template is given."""
    head = {
        "notes": [],
        "footer": f"{YES}: listed · {NOT_KNOWN}: not known, ask · blank: not listed, which is not free from it",
        "legend": _legend(house, table),
        "allergens": list(table.allergens),
        "missing": list(missing),
    }
    rows = [
        {
            "name": row.drink.name,
            "cells": [_CELLS[row.mark(allergen)] for allergen in table.allergens],
            "unknown": ", ".join(item.name for item in row.unknown),
        }
        for row in table.drinks
    ]
    turned = paper.turned if len(table.allergens) > _UPRIGHT else paper
    return sheet_page("Allergens", house, day, words, head, rows, turned)


def _legend(house: House, table: AllergenTable) -> list[dict[str, str]]:
    named = "" if table.allergens else "No allergen is named in any file of the house. "
    return [
        {"mark": YES, "text": "the house lists it for something in the drink."},
        {"mark": NOT_KNOWN, "text": "may be in it: what stands under “unknown” has no list of allergens. Ask."},
        {
            "mark": "blank",
            "text": "not listed by the house; it is not a statement that the drink is free of it. "
            "Allergens without a column are named in no file of the house, which says nothing of them: ask. "
            "Traces, shared tools and glasses are not counted.",
        },
        {
            "mark": "–",
            "text": "under “unknown”: the house has a list for every pour. Garnishes are never checked.",
        },
        {
            "mark": "",
            "text": f"{named}Listed by {house.name} in its own files, from labels and makers, for the specs as written "
            "on the day above: not for swaps, nor for a batch that stands in for another. When a guest asks, ask the "
            "kitchen and read the label. Local rules may require written allergen information and name the allergens "
            "to declare.",
        },
    ]
