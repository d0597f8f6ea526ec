"""The words of advice as they stand on the screen."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from balancer.engine.drink.blend import PerKilogram
from balancer.engine.service.advice import Advice
from balancer.engine.service.rescale import DrinkRow, Rescale
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.output.words.amounts import amount_text
from balancer.output.words.numbers import brix, percent, some, to_weigh, trim
from balancer.output.words.page import AnswerRow, act, fine, watch

NO_POUR: Final = "no jigger pour works"
"""What the screen says of a drink that no pour can save; JSON has "out of reach"."""

READS: Final = "your refractometer should read"
"""Before a reading to expect. *Scale* is the word for what weighs, and for nothing else."""

BORDERLINE: Final = "borderline"
"""Said of an answer that the uncertainty of the reading could turn."""

_NAMED: Final = 3

NOT_SINCE: Final = "corrected and not read since"
"""Said of a strength that was reckoned, not read."""

ASSUMED: Final = "not read, assumed at standard"
"""Said of what pours by its standard because nobody read it."""


def advice_word(advice: Advice) -> str:
    """What to do about a batch; JSON says "pull" for what the trade discards."""
    return "discard" if advice.word == "pull" else advice.word


def advice_row(advice: Advice, text: str) -> AnswerRow:
    """A row that gives the advice on a batch, in its tone."""
    return fine(text) if advice.word == "as written" else watch(text) if advice.word == "change pours" else act(text)


def per_kg_text(extra: PerKilogram) -> str:
    """What brings a batch to its standard.

    >>> per_kg_text(PerKilogram("water", 91.7)), per_kg_text(PerKilogram("sugar", 8.86))
    ('92 g water per kg', '8.9 g sugar per kg')
    """
    return f"{to_weigh(extra.g_per_kg)} {extra.add} per kg"


def beside_spec(batch_brix: float, standard_brix: float, written_for: Sequence[float] = ()) -> str:
    """A strength as read, the syrup's own, and those that its drinks are written for where they are for others.

    >>> beside_spec(54.6, 50.0), beside_spec(54.0, 55.0, [50.0])
    ('54.6 °Bx, spec 50', '54 °Bx, spec 55, drinks written for 50')
    """
    return f"{brix(batch_brix)}, spec {spec_text(standard_brix, written_for)}"


def spec_text(standard_brix: float, written_for: Sequence[float] = ()) -> str:
    """A standard, and the strengths that drinks are written for where those are others.

    >>> spec_text(55.0), spec_text(55.0, [50.0, 55.0])
    ('55', '55, drinks written for 50 and 55')
    """
    strengths = strengths_text(written_for)
    return f"{trim(standard_brix, 1)}{f', drinks written for {strengths}' if strengths else ''}"


def strengths_text(strengths: Sequence[float]) -> str:
    """Strengths in a row, without their unit.

    >>> strengths_text([50.0, 52.5])
    '50 and 52.5'
    """
    return " and ".join(trim(each, 1) for each in strengths)


def sugar_moved(after_percent: float, written_percent: float) -> str:
    """How far a drink's sugar is off with the new pour, and as written.

    >>> sugar_moved(-4.0, 9.2)
    'sugar −4 % (was +9 %)'
    """
    return f"sugar {percent(after_percent)} (was {percent(written_percent)})"


def unreached_why(row: DrinkRow) -> str:
    """Why no pour of a drink is right, in a few words."""
    return "its pour is fixed" if row.pour.fixed else NO_POUR


def unreached_text(row: DrinkRow, house: House) -> str:
    """A drink that no pour saves: how far off it stays, with the best pour there is."""
    written = percent(row.as_written_percent)
    aside = f"; {written_for_text(row.written_brix)}" if row.is_apart else ""
    if row.pour.fixed:
        return f"{unreached_why(row)}: sugar {written}{aside}"
    best = f", {percent(row.after_percent)} with {amount_text(row.poured, house)}" if row.moves else ""
    return f"{unreached_why(row)}: sugar {written}{best}{aside}"


def unreached_names(drinks: Iterable[Drink]) -> str:
    """Drinks that no pour is right for, as a first line says it."""
    return f"no pour is right for {some([drink.name for drink in drinks], _NAMED)}"


def written_for_text(strength_brix: float) -> str:
    """The strength that a pour is written for, where that is not its syrup's standard.

    >>> written_for_text(50.0)
    'written for 50 °Bx'
    """
    return f"written for {brix(strength_brix)}"


def borderline(plus_minus_brix: float | None) -> str:
    """Said of an answer that the uncertainty of the reading could turn.

    >>> borderline(0.6)
    'borderline, given ±0.6'
    """
    return BORDERLINE if plus_minus_brix is None else f"{BORDERLINE}, given ±{trim(plus_minus_brix, 1)}"


def less_or_more(change_percent: float, what: str) -> str:
    """A change of what a millilitre, or a drink, holds.

    >>> less_or_more(-9.1, "flavour"), less_or_more(3.0, "acid"), less_or_more(0.2, "acid")
    ('9 % less flavour', '3 % more acid', 'the same acid')
    """
    whole = abs(round(change_percent))
    return f"{whole} % {'less' if change_percent < 0.0 else 'more'} {what}" if whole else f"the same {what}"


def beside_text(result: Rescale) -> list[str]:
    """Which other syrups were not taken as strong as the drinks are written for."""
    others = ", ".join(f"{liquid.name} {brix(strength)}" for liquid, strength in result.beside)
    assumed = ", ".join(liquid.name for liquid in result.assumed)
    return [
        *[f"as open batches read: {others} (--alone: at standard)"] * bool(others),
        *[f"{ASSUMED}: {assumed}"] * bool(assumed),
    ]
