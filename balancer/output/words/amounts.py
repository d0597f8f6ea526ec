"""Measured amounts as a bar reads them: volumes as it pours them, weights as finely as its scale shows them."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from typing import Final, NamedTuple

from balancer.engine.drink.amount import Amount, AmountUnit
from balancer.engine.drink.jigger import weighed_step_g
from balancer.engine.drink.written import Shown, Written, measured, moves_on_paper
from balancer.models.house import House
from balancer.output.words.numbers import pour, to_weigh, trim, volume
from balancer.units import format_fraction, format_quantity, parse_number

_ROUNDING: Final = 1e-6
_MOST_DIGITS: Final = 6
_KILO: Final = 1000.0
_WHOLE_ML: Final = 19.75
_SMALL_ML: Final = 10.0


def amount_text(amount: Amount, house: House) -> str:
    """An amount with its unit: a volume in what the house shows, a weight in g, never 0 for what is something.

    >>> from balancer.models.house import House
    >>> slip = House.model_validate({"format": "1", "house": "Slip", "scale": {"division": "0.1 g"}})
    >>> amount_text(Amount(22.5), slip), amount_text(Amount(27.667, "g"), slip)
    ('22.5 ml', '27.7 g')
    """
    return f"{amount_number(amount, house)} {unit_text(amount.unit, house)}"


class AmountChange(NamedTuple):
    """What is written and what to pour instead, as both are printed; twice the same where the card says it already."""

    before: str
    before_unit: str
    after: str
    unit: str

    @property
    def is_none(self) -> bool:
        """Whether who reads the card pours the same already."""
        return (self.before, self.before_unit) == (self.after, self.unit)

    @property
    def written(self) -> str:
        """What is written, with its unit where that is not the one to pour in."""
        return self.before if self.before_unit == self.unit else f"{self.before} {self.before_unit}"

    def __str__(self) -> str:
        return f"{self.after if self.is_none else f'{self.written} → {self.after}'} {self.unit}"


def written_number(pour: Written, unit: Shown) -> tuple[str, str]:
    """Number and unit of a written pour, the one way for card, rail, strip, label and screen.

    It is in the unit asked for where the amount may be exchanged and its figures are fine enough, else as in its file.

    >>> from balancer.units import Quantity
    >>> written_number(Written(Quantity(22.5, "ml"), 22.5, 0.75), "oz")
    ('3/4', 'oz')
    >>> written_number(Written(Quantity(2.0, "dash"), None, None), "ml")
    ('2', 'dashes')
    """
    value = pour.shown(unit)
    if value is not None:
        return (unit == "oz" and format_fraction(value, glyphs=False)) or trim(value, 2), unit
    number, _, own = format_quantity(pour.amount, glyphs=False).rpartition(" ")
    return number, own


def change_of(spec: Amount, poured: Amount, house: House, written: Written | None = None) -> AmountChange:
    """What is written and what to pour instead, as they are printed.

    written  the pour as its file has it, where that is known: what is written reads as on its card
    Where the two would read alike and are not, the new one gets as many decimals more as tell them apart.
    Raises ValueError when one is a volume and the other a weight: the two are never set side by side.
    """
    if spec.unit != poured.unit:
        raise ValueError(f"{spec} and {poured} are not in one unit")
    if spec.unit == "g" and written is None:
        before, after = _weights(spec, poured, house)
        return AmountChange(before, "g", after, "g")
    pour = written or measured(spec.value, house.ounce)
    before, before_unit = written_number(pour, house.show)
    if spec.is_same(poured):
        return AmountChange(before, before_unit, before, before_unit)
    if poured.unit == "g":
        after, unit = amount_number(poured, house), "g"
    else:
        after, unit = written_number(measured(poured.value, house.ounce), house.show)
    if before_unit != unit:
        return AmountChange(before, before_unit, after, unit)
    if not moves_on_paper(pour, spec, poured, house):
        return AmountChange(before, unit, before, unit)
    value = poured.value / (house.ounce if unit == "oz" else 1.0)
    texts = [after, *(trim(value, digits) for digits in range(2, 2 * _MOST_DIGITS))]
    limit, rises = parse_number(before), poured.value > spec.value
    told = next(
        (text for text in texts if (parse_number(text) > limit) == rises and parse_number(text) != limit), before
    )
    return AmountChange(before, unit, told, unit)


def change_text(spec: Amount, poured: Amount, house: House, written: Written | None = None) -> str:
    """What is written and what to pour instead, the unit once; one amount when they are the same.

    See `change_of`.

    >>> from balancer.models.house import House
    >>> slip = House.model_validate({"format": "1", "house": "Slip"})
    >>> change_text(Amount(22.5), Amount(20.0), slip), change_text(Amount(28.2, "g"), Amount(27.7, "g"), slip)
    ('22.5 → 20 ml', '28.2 → 27.7 g')
    """
    return str(change_of(spec, poured, house, written))


def changes_text(changes: Iterable[AmountChange]) -> str:
    """Several such changes in a row, each unit once, behind the last of its kind that stand together.

    >>> from balancer.models.house import House
    >>> slip = House.model_validate({"format": "1", "house": "Slip"})
    >>> pairs = [(Amount(22.5), Amount(20.0)), (Amount(30.0), Amount(27.5))]
    >>> changes_text(change_of(spec, poured, slip) for spec, poured in pairs)
    '22.5 → 20 · 30 → 27.5 ml'
    """
    known = list(dict.fromkeys(changes))
    said = [
        str(change).removesuffix(f" {change.unit}") if change.unit == after.unit else str(change)
        for change, after in pairwise(known)
    ]
    return " · ".join([*said, *(str(change) for change in known[-1:])])


def to_stir_in(amount: Amount) -> str:
    """What to stir into a batch: whole grams or ml, a little with a decimal.

    >>> to_stir_in(Amount(160.2, "g")), to_stir_in(Amount(12.36))
    ('160 g', '12.4 ml')
    """
    if amount.unit == "g":
        return to_weigh(amount.value)
    return f"{trim(amount.value, 0 if amount.value >= _WHOLE_ML else 1)} ml"


def large_mass(mass_g: float) -> str:
    """A mass nobody weighs out: grams, from a kilogram on in kg.

    >>> large_mass(2160.0), large_mass(860.2), large_mass(8.86)
    ('2.16 kg', '860 g', '8.9 g')
    """
    return f"{trim(mass_g / _KILO, 2)} kg" if mass_g >= _KILO - 0.5 else to_weigh(mass_g, whole_from_g=100.0)


def large_volume(ml: float, house: House) -> str:
    """A volume nobody measures out: from a litre on in litres, where the house shows ml.

    >>> from balancer.models.house import House
    >>> slip = House.model_validate({"format": "1", "house": "Slip"})
    >>> large_volume(2400.0, slip), large_volume(159.4, slip)
    ('2.4 l', '159 ml')
    """
    return (
        f"{trim(ml / _KILO, 2)} l" if ml >= _KILO - 0.5 and house.show == "ml" else volume(ml, house.show, house.ounce)
    )


def small_volume(ml: float, house: House) -> str:
    """A volume to measure out, where a few ml count: below 10 ml with a decimal."""
    return volume(ml, house.show, house.ounce) if ml >= _SMALL_ML else f"{trim(ml, 1)} ml"


def amount_number(amount: Amount, house: House) -> str:
    """An amount without its unit."""
    return _number(amount, house, 0)[0]


def unit_text(unit: AmountUnit, house: House) -> str:
    """The unit that amounts are shown in: what the house shows for a volume, g for a weight."""
    return "g" if unit == "g" else house.show


def _weights(spec: Amount, poured: Amount, house: House) -> tuple[str, str]:
    """Two weights, with as many decimals more as tell them apart."""
    if spec.is_same(poured):
        return amount_number(poured, house), amount_number(poured, house)
    for more in range(_MOST_DIGITS):
        before, after = _number(spec, house, more), _number(poured, house, more)
        if before[1] != after[1]:
            break
    return before[0], after[0]


def _number(amount: Amount, house: House, more: int) -> tuple[str, float]:
    """An amount as it is printed, with so many decimals more than usual, and the value that the print stands for."""
    value = amount.value
    if amount.unit == "ml" and house.show == "oz":
        value /= house.ounce
        fraction = format_fraction(value, glyphs=False)
        if fraction is not None:
            return fraction, value
        digits = 2
    elif amount.unit == "ml":
        if not more and _is_whole(4.0 * value):
            return pour(value), value
        digits = 1
    else:
        digits = _scale_digits(house)
        if _is_whole(10.0 * value):  # as somebody wrote it, finer than the scale or not
            digits = max(digits, 1)
    while value and not round(value, digits) and digits < _MOST_DIGITS:
        digits += 1
    return trim(value, digits + more), round(value, digits + more)


def _scale_digits(house: House) -> int:
    """The decimals that the house's scale shows."""
    division = weighed_step_g(house)
    return next((digits for digits in range(_MOST_DIGITS) if _is_whole(10**digits * division)), _MOST_DIGITS)


def _is_whole(value: float) -> bool:
    return abs(value - round(value)) < _ROUNDING
