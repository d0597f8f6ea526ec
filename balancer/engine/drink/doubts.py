"""What is doubted before it is used: amounts and strengths far outside what a bar has."""

from __future__ import annotations

from typing import Final

IMPLAUSIBLE_PERCENT: Final = 20.0
"""A syrup's own sugar this far off its standard, in %, is read again before anyone pours by it."""

MOST_POUR_ML: Final = 120.0
"""More of one thing, unless it tops the drink up, is rather a lost decimal point."""

MOST_TIMES_WRITTEN: Final = 2.0
"""An answer over so many times the written pour comes from a strength mistyped."""

SYRUP_BRIX: Final = (20.0, 80.0)
"""What a bar keeps as a syrup, °Bx: weaker it is a juice, stronger it does not pour."""

MOST_JUICE_ACID_G_PER_L: Final = 100.0
"""No juice is as sour; lemon has about 60 g/l (common practice)."""


def pour_doubt(name: str, ml: float, *, is_top: bool) -> str | None:
    """What is odd about an amount poured, or None.

    >>> pour_doubt("lime juice", 225.0, is_top=False)
    '225 ml of lime juice is more than a drink holds: is a decimal point missing?'
    """
    if is_top or ml <= MOST_POUR_ML:
        return None
    return f"{ml:g} ml of {name} is more than a drink holds: is a decimal point missing?"


def strength_doubt(name: str, brix: float, standard_brix: float | None = None) -> str | None:
    """What is odd about the strength of a syrup, or None; a syrup whose standard is as odd is taken at its word.

    >>> strength_doubt("raspberry syrup", 5.4, 50.0)
    'raspberry syrup at 5.4 °Bx is no syrup: is a digit or the decimal point wrong?'
    """
    low, high = SYRUP_BRIX
    if low <= brix <= high:
        return None
    if standard_brix is not None and (standard_brix < low if brix < low else standard_brix > high):
        return None
    return f"{name} at {brix:g} °Bx is no syrup: is a digit or the decimal point wrong?"


def glass_doubt(drink: str, ml: float, glass: str, glass_ml: float) -> str | None:
    """What is odd about a drink that is more than its glass holds, or None."""
    if ml <= glass_ml:
        return None
    return f"{drink} is {ml:.0f} ml, and its {glass} holds {glass_ml:.0f}"


def acid_doubt(name: str, g_per_l: float) -> str | None:
    """What is odd about the acid of a juice, or None.

    >>> acid_doubt("lime juice", 520.0)
    'lime juice with 520 g/l acid is no juice: is a digit or the decimal point wrong?'
    """
    if g_per_l <= MOST_JUICE_ACID_G_PER_L:
        return None
    return f"{name} with {g_per_l:g} g/l acid is no juice: is a digit or the decimal point wrong?"


def answer_doubt(written: float, answer: float) -> str | None:
    """What is odd about an answer that is far more than was written, or None."""
    if answer <= MOST_TIMES_WRITTEN * written:
        return None
    return f"{answer:.1f} for {written:g} is more than twice the written pour: is the strength right?"
