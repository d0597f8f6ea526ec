"""The normal distribution: how many standard deviations from the mean lie below a chance. Also for arrays, in parts."""

from __future__ import annotations

from math import log, sqrt
from typing import Final

from balancer.numerics import polynomial

CENTRAL: Final = 0.425
"""So far from a half a chance is central."""
FAR: Final = 5.0
"""So far out in a tail only one chance in seventy thousand million is."""
_TAIL_FROM: Final = 1.6

# [AS241] PPND16, coefficients by rising powers: central, towards the tails, and far out in them
_CENTRAL_UP: Final = (
    3.3871328727963666080,
    133.14166789178437745,
    1971.5909503065514427,
    13731.693765509461125,
    45921.953931549871457,
    67265.770927008700853,
    33430.575583588128105,
    2509.0809287301226727,
)
_CENTRAL_DOWN: Final = (
    1.0,
    42.313330701600911252,
    687.18700749205790830,
    5394.1960214247511077,
    21213.794301586595867,
    39307.895800092710610,
    28729.085735721942674,
    5226.4952788528545610,
)
_TAIL_UP: Final = (
    1.42343711074968357734,
    4.63033784615654529590,
    5.76949722146069140550,
    3.64784832476320460504,
    1.27045825245236838258,
    0.241780725177450611770,
    0.0227238449892691845833,
    7.7454501427834140764e-4,
)
_TAIL_DOWN: Final = (
    1.0,
    2.05319162663775882187,
    1.67638483018380384940,
    0.689767334985100004550,
    0.148103976427480074590,
    0.0151986665636164571966,
    5.475938084995344946e-4,
    1.05075007164441684324e-9,
)
_FAR_UP: Final = (
    6.65790464350110377720,
    5.46378491116411436990,
    1.78482653991729133580,
    0.296560571828504891230,
    0.0265321895265761230930,
    0.00124266094738807843860,
    2.71155556874348757815e-5,
    2.01033439929228813265e-7,
)
_FAR_DOWN: Final = (
    1.0,
    0.599832206555887937690,
    0.136929880922735805310,
    0.0148753612908506148525,
    7.868691311145613259100e-4,
    1.84631831751005468180e-5,
    1.42151175831644588870e-7,
    2.04426310338993978564e-15,
)


def quantile(chance: float) -> float:
    """Standard deviations from the mean below which a value lies with a chance between 0 and 1.

    Source:    [AS241] routine PPND16
    Accuracy:  about 1 part in 10¹⁶, as the source has it

    >>> round(quantile(0.975), 6)  # any table of the normal distribution
    1.959964
    """
    side = chance - 0.5
    if abs(side) <= CENTRAL:
        return central(side)
    found = tail(depth(chance))
    return -found if side < 0.0 else found


def depth(chance: float) -> float:
    """How far out in a tail a chance is, in the measure of the source."""
    return sqrt(-log(min(chance, 1.0 - chance)))


def central(side: float) -> float:
    """The quantile of a chance less a half, of arrays of them too."""
    inner = 0.180625 - side * side
    return polynomial(_CENTRAL_UP, inner) * side / polynomial(_CENTRAL_DOWN, inner)


def tail(out: float) -> float:
    """The upper quantile so far out in a tail."""
    if out <= FAR:
        return near_tail(out)
    return polynomial(_FAR_UP, out - FAR) / polynomial(_FAR_DOWN, out - FAR)


def near_tail(out: float) -> float:
    """The same up to FAR, of arrays too."""
    return polynomial(_TAIL_UP, out - _TAIL_FROM) / polynomial(_TAIL_DOWN, out - _TAIL_FROM)
