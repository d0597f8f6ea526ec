"""What is doubted before it is used: amounts and strengths far outside what a bar has."""

from __future__ import annotations

from typing import Final

from balancer.properties import sucrose

IMPLAUSIBLE_PERCENT: Final = 20.0
"""A syrup's own sugar this far off its standard, in %, is read again before anyone pours by it."""

MOST_POUR_ML: Final = 120.0
"""More of one thing, unless it tops the drink up, is rather a lost decimal point."""

LEAST_POUR_ML: Final = 0.5
"""Less, in ml or ounces, is no pour; a dash has about 0.8 ml, a drop 0.05 (common practice)."""

MOST_TIMES_WRITTEN: Final = 2.0
"""An answer over so many times the written pour comes from a strength mistyped."""

SYRUP_BRIX: Final = (20.0, 80.0)
"""What a bar keeps as a syrup, °Bx: weaker it is a juice, stronger it does not pour."""

MOST_JUICE_ACID_G_PER_L: Final = 100.0
"""No juice is as sour; lemon has about 60 g/l (common practice)."""


LEAST_READING_BRIX: Final = 3.0
"""A sample that reads less, undiluted, is water or a lost decimal point, °Bx."""

MOST_PART_G: Final = 50_000.0
"""More of one thing than any bar's pot holds, g (common practice)."""

MOST_BATCH_G: Final = 100_000.0
"""A batch that weighs more is no bar's, g (common practice)."""

LEAST_BATCH_G: Final = 20.0
"""A batch that weighs less is a mistyped unit, g (common practice)."""

MOST_ZERO_BRIX: Final = 2.0
"""A refractometer whose zero is further off wants setting, or the decimal point is wrong, °Bx (common practice)."""

LEAST_PART_OF_ACID: Final = 1.0 / 3.0
"""Juice with less of the acid that its file tells is rather a lost decimal point (judged)."""

MOST_READ_APART_PERCENT: Final = 18.0
"""Two readings of one batch further apart, % of the sugar in a ml read before, are rather a digit mistyped (judged)."""

MOST_READ_C: Final = 30.0
"""Warmer, no instrument compensates and no table was seen, °C (common practice); no reading is logged unasked."""


def pour_doubt(name: str, size: float, unit: str = "ml", *, is_top: bool) -> str | None:
    """What is odd about an amount poured, in ml or, where its volume is not known, in g; or None.

    >>> pour_doubt("lime juice", 225.0, is_top=False)
    '225 ml of lime juice is more than a drink holds: is a decimal point missing?'
    """
    if is_top or size <= MOST_POUR_ML:
        return None
    return f"{size:.4g} {unit} of {name} is more than a drink holds: is a decimal point missing?"


def small_doubt(name: str, amount: str, ml: float) -> str | None:
    """What is odd about a pour that no jigger has, or None; drops and dashes are small on purpose.

    >>> small_doubt("lime juice", "0.225 ml", 0.225)
    '0.225 ml of lime juice cannot be poured: is the decimal point wrong?'
    """
    if ml >= LEAST_POUR_ML:
        return None
    return f"{amount} of {name} cannot be poured: is the decimal point wrong?"


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


def part_doubt(part: str, grams: float) -> str | None:
    """What is odd about one part of a recipe, or None.

    >>> part_doubt("1000 kg granulated sugar", 1e6)
    '1000 kg granulated sugar is more than a kitchen makes at once: is its unit right?'
    """
    if grams <= MOST_PART_G:
        return None
    return f"{part} is more than a kitchen makes at once: is its unit right?"


def recipe_doubt(name: str, recipe_brix: float, standard_brix: float) -> str | None:
    """What is odd about the strength that a recipe gives with all of its sugar dissolved, °Bx, or None.

    >>> recipe_doubt("simple syrup", 9.1, 50.0)
    'the recipe of simple syrup gives 9.1 °Bx, and its standard is 50: is an amount wrong?'
    """
    off = 100.0 * abs(recipe_brix - standard_brix) / standard_brix
    if off <= IMPLAUSIBLE_PERCENT:
        return None
    return (
        f"the recipe of {name} gives {recipe_brix:.1f} °Bx, and its standard is {standard_brix:.3g}: "
        "is an amount wrong?"
    )


def reading_doubt(shown_brix: float) -> str | None:
    """What is odd about a reading of an undiluted sample, or None.

    >>> reading_doubt(0.54)
    '0.54 °Bx is hardly more than water: is the decimal point wrong (54)?'
    """
    if shown_brix >= LEAST_READING_BRIX:
        return None
    low, high = SYRUP_BRIX
    meant = next((shown_brix * by for by in (10.0, 100.0) if low <= shown_brix * by <= high), None)
    guess = "" if meant is None else f" ({meant:g})"
    return f"{shown_brix:.2g} °Bx is hardly more than water: is the decimal point wrong{guess}?"


def moved_doubt(batch_id: str, before_brix: float, brix: float, typed: float | None = None) -> str | None:
    """What is odd about a strength after the one that a batch had when it was last read, or None.

    typed  the number that was typed, °Bx, where a slip in it may be guessed; None: another scale, or diluted

    >>> moved_doubt("RAS-12", 53.9, 44.6, 45.0)
    'RAS-12 read 53.9 °Bx before: is a digit of 45 wrong (54)?'
    >>> moved_doubt("RAS-12", 50.0, 45.0), moved_doubt("RAS-12", 50.0, 42.0)
    (None, 'RAS-12 read 50 °Bx before: is 42 °Bx right?')
    """
    if not _is_moved(before_brix, brix):
        return None
    lead = f"{batch_id} read {round(before_brix, 1):g} °Bx before"
    if typed is None:
        return f"{lead}: is {round(brix, 1):g} °Bx right?"
    swapped = typed % 10 // 1 * 10 + typed // 10 + typed % 1
    guess = f" ({round(swapped, 2):g})" if abs(swapped - before_brix) < abs(typed - before_brix) else ""
    return f"{lead}: is a digit of {typed:g} wrong{guess}?"


def _is_moved(before_brix: float, brix: float) -> bool:
    """Whether the sugar in a ml is that far off what it was."""
    before, now = (each * sucrose.density(each) for each in (before_brix, brix))
    return before > 0.0 and 100.0 * abs(now - before) > MOST_READ_APART_PERCENT * before


def mass_doubt(grams: float | None) -> str | None:
    """What is odd about what a batch weighs, or None.

    >>> mass_doubt(2e5)
    '200 kg is more than a bar makes at once: is its unit right?'
    """
    if grams is not None and grams > MOST_BATCH_G:
        return f"{grams / 1000.0:g} kg is more than a bar makes at once: is its unit right?"
    if grams is not None and grams < LEAST_BATCH_G:
        return f"{grams:g} g is less than a batch: is its unit right ({grams:g} kg)?"
    return None


def zero_doubt(zero_brix: float) -> str | None:
    """What is odd about what a refractometer reads in water, or None.

    >>> zero_doubt(14.0)
    'a zero of 14 °Bx is far off: is the decimal point wrong (1.4)? or set the instrument in water first'
    """
    if abs(zero_brix) <= MOST_ZERO_BRIX:
        return None
    guess = f": is the decimal point wrong ({zero_brix / 10.0:g})? or" if abs(zero_brix) <= 10 * MOST_ZERO_BRIX else ":"
    return f"a zero of {zero_brix:g} °Bx is far off{guess} set the instrument in water first"


def warmth_doubt(temperature_c: float | None) -> str | None:
    """What is odd about logging a reading at a temperature, or None.

    >>> warmth_doubt(41.0)
    '41 °C is too warm to log a reading: let it cool, covered, below 30 °C and read again'
    """
    if temperature_c is None or temperature_c <= MOST_READ_C:
        return None
    return (
        f"{temperature_c:.3g} °C is too warm to log a reading: "
        f"let it cool, covered, below {MOST_READ_C:g} °C and read again"
    )


def glass_doubt(drink: str, ml: float, glass: str, glass_ml: float) -> str | None:
    """What is odd about a drink that is more than its glass holds, or None."""
    if ml <= glass_ml:
        return None
    return f"{drink} is {ml:.0f} ml, and its {glass} holds {glass_ml:.0f}"


def acid_doubt(name: str, g_per_l: float, told_g_per_l: float | None = None) -> str | None:
    """What is odd about the acid of a juice, or None. told_g_per_l is what its file says, where it does.

    >>> acid_doubt("lime juice", 520.0)
    'lime juice with 520 g/l acid is no juice: is a digit or the decimal point wrong?'
    """
    if g_per_l > MOST_JUICE_ACID_G_PER_L:
        return f"{name} with {g_per_l:g} g/l acid is no juice: is a digit or the decimal point wrong?"
    if told_g_per_l is not None and g_per_l < LEAST_PART_OF_ACID * told_g_per_l:
        return f"{name} with {g_per_l:g} g/l acid, not {told_g_per_l:g}: is the decimal point wrong?"
    return None


def answer_doubt(written: float, answer: float) -> str | None:
    """What is odd about an answer that is far more than was written, or None."""
    if answer <= MOST_TIMES_WRITTEN * written:
        return None
    return f"{answer:.1f} for {written:g} is more than twice the written pour: is the strength right?"
