"""Lines of working that can be followed with a pocket calculator.

Numbers are printed with so many digits that a line worked from what is printed comes out as printed, or
off by little in its last digit.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from balancer.output.words.look import columns
from balancer.output.words.numbers import trim, width


def grams(value: float) -> str:
    """Grams, or ml that nobody pours, to a hundredth."""
    return f"{value:.2f}"


def ratio(value: float) -> str:
    """A density in g/ml or a share by weight, to four places."""
    return f"{value:.4f}"


def amount(value: float) -> str:
    """What a person wrote or pours, as far as it goes, at most to a thousandth."""
    return trim(value, 3)


def percents(value: float, digits: int = 1) -> str:
    """A percentage, to a tenth."""
    return f"{trim(value, digits)} %"


def total(label: str, parts: Sequence[float], whole: float) -> list[str]:
    """A sum of grams: of one part only what it is, of none nothing."""
    if len(parts) < 2:
        return [f"{label} {grams(whole)} g"] * len(parts)
    return wrapped(f"{label} {' + '.join(grams(part) for part in parts)} = {grams(whole)} g")


def wrapped(text: str) -> list[str]:
    """A line as lines that fit; what runs on begins with its plus."""
    lines: list[str] = []
    indent = " " * (len(text) - len(text.lstrip()) + 4)
    for term in _terms(text):
        if lines and width(lines[-1]) + width(term) <= columns():
            lines[-1] += term
        else:
            lines.append(indent + term.lstrip() if lines else term)
    return lines


def _terms(text: str) -> Iterable[str]:
    first, *others = text.split(" + ")
    return [first, *(f" + {term}" for term in others)]
