"""How much the ice melts: the published relations for a shaken and a stirred drink.

Both give the melt water's volume as a fraction of the volume of the mix, from the strength of the mix.
Sugar and acid were found not to matter. Weighing one strained drink beats either relation.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from balancer.numerics import polynomial
from balancer.properties._limits import Limits

_ABV: Final = Limits(
    "alcohol before ice", 0.0, 50.0, "% vol", "ARNOLD", "state the dilution in the drink, or weigh it before and after"
)


@dataclass(frozen=True, slots=True)
class Relation:
    """One row: melt over mix = constant + linear a + square a², a = strength of the mix as a fraction of 1.

    low_percent, high_percent  strengths in which the relation is judged sound, % vol
    inside, outside            judged ± of the fraction, within and beyond these strengths: half a width,
                               within which nearly all drinks are expected; not a standard uncertainty
    """

    method: str
    constant: float
    linear: float
    square: float
    low_percent: float
    high_percent: float
    inside: float
    outside: float

    def melt(self, abv_percent: float) -> float:
        """Melt water over mix, both by volume; `shaken` and `stirred` say from where and how well."""
        _ABV.check(abv_percent)
        return polynomial((self.constant, self.linear, self.square), abv_percent / 100.0)

    def plus_minus(self, abv_percent: float) -> float:
        """The judged ± of `melt`, in the same fraction; OutOfRangeError as there."""
        _ABV.check(abv_percent)
        return self.inside if self.low_percent <= abv_percent <= self.high_percent else self.outside


SOURCE: Final = "D. Arnold, Liquid Intelligence, 2014, p. 123"
VERIFIED: Final = "read in texts that quote the book, not compared with its print"
"""Whose relations these are, and how far that was verified, for people."""
FREEZER_ICE_C: Final = -18.0
FREEZER_ICE_POINTS: Final = ((120, 12), (250, 24))
"""Grams of ice from a freezer, and by how many points of mix less melts into a shaken drink than of ice at 0 °C.

By our own energy balance (docs/reference/dilution.md) for 105 ml; nobody weighed it."""

# [ARNOLD] p. 123. The coefficients were read in public texts that quote the book and are not checked against
# the printed page; some of those texts drop the minus of 1.567, which would put 31.5 % vol at 0.91 instead of
# the book's own 0.51 to 0.60.
# The ranges and ± are judged, from an energy balance: shaken within 0.04; outside, the largest gap seen, 0.32
# against 0.20 at 0 % vol. Stirring depends on time, ice and vessel: 0.07; outside, without any data, double.
RELATIONS: Final = {
    relation.method: relation
    for relation in (
        Relation("shaken", 0.203, 1.742, -1.567, 15.0, 35.0, inside=0.04, outside=0.12),
        Relation("stirred", 0.145, 1.246, -1.21, 20.0, 45.0, inside=0.07, outside=0.14),
    )
}


def shaken(abv_percent: float) -> float:
    """Melt water of a shaken drink, as a fraction of the mix's volume.

    abv_percent  strength of the mix before ice, % vol
    Source:    [ARNOLD] p. 123: 120 g of quarter-inch cubes, 10 s; not checked against the printed book
    Range:     0 to 50 % vol; judged sound at 15 to 35
    Accuracy:  (judged) 0.04 there, 0.12 outside. Colder ice melts less, by how much of it goes in: by our own energy
               balance 0.12 at -18 °C with 120 g of it, 0.24 with 250 g
    Raises:    OutOfRangeError

    >>> round(shaken(31.5), 2)  # [ARNOLD] p. 125, upper end of the range for shaken drinks
    0.6
    """
    return RELATIONS["shaken"].melt(abv_percent)


def stirred(abv_percent: float) -> float:
    """Melt water of a stirred drink, as a fraction of the mix's volume.

    abv_percent  strength of the mix before ice, % vol
    Source:    [ARNOLD] p. 123: 120 g of quarter-inch cubes, 15 s; not checked against the printed book
    Range:     0 to 50 % vol; judged sound at 20 to 45
    Accuracy:  (judged) 0.07 there, 0.14 outside
    Raises:    OutOfRangeError

    >>> round(stirred(29.0), 1)  # [ARNOLD] p. 125, lower end of the range for stirred drinks
    0.4
    """
    return RELATIONS["stirred"].melt(abv_percent)
