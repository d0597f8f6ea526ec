"""A value with its standard uncertainty, kept as a budget: what each named cause contributes.

First-order propagation as in JCGM 100:2008 ("GUM"), section 5. Contributions are signed and added by
name before they are squared, so a cause that two inputs share is counted as the one cause it is;
different names are independent.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from math import hypot, isfinite, sqrt

from balancer.errors import CannotError

# Central differences this far out, in standard uncertainties: near enough to stay inside the range of a
# formula that holds for the value. An uncertainty too small for that takes a millionth of the value.
_STEP = 0.01
_LEAST_STEP = 1e-6


@dataclass(frozen=True, slots=True)
class Measured:
    """A value and why it may be off.

    budget  change of the value, in its own unit, when a cause is one standard uncertainty high
    Raises CannotError for anything that is not a finite number.

    >>> Measured(50.0, {"division": 0.3, "accuracy": -0.4}).uncertainty
    0.5
    """

    value: float
    budget: Mapping[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for number in (self.value, *self.budget.values()):
            if not isfinite(number):
                raise CannotError("value", f"{number} is not a number to compute with", "give a number")

    @property
    def uncertainty(self) -> float:
        """Standard uncertainty: the contributions in quadrature."""
        return hypot(*self.budget.values())


def propagate(f: Callable[..., float], inputs: Mapping[str, Measured]) -> Measured:
    """f at measured inputs, which it takes by name.

    Source:    JCGM 100:2008, equations 10 and 13; slopes by central differences
    Accuracy:  first order: exact where f is linear; the curvature of f over ±1 u is left out

    >>> sides = {"width": Measured(3.0, {"tape": 0.1}), "height": Measured(4.0, {"tape": 0.1})}
    >>> round(propagate(lambda width, height: width + height, sides).uncertainty, 9)
    0.2
    """
    at = {name: measured.value for name, measured in inputs.items()}
    budget: dict[str, float] = {}
    for name, measured in inputs.items():
        if measured.uncertainty == 0.0:
            continue
        step = max(_STEP * measured.uncertainty, _LEAST_STEP * abs(measured.value), _LEAST_STEP**2)
        high, low = f(**{**at, name: at[name] + step}), f(**{**at, name: at[name] - step})
        slope = (high - low) / (2.0 * step)
        for cause, part in measured.budget.items():
            budget[cause] = budget.get(cause, 0.0) + slope * part
    return Measured(f(**at), budget)


def of_division(division: float) -> float:
    """Standard uncertainty of reading a scale to its divisions (JCGM 100:2008, F.2.2.1)."""
    return division / sqrt(12.0)


def of_limit(limit: float) -> float:
    """Standard uncertainty of what is only known to lie within ± a limit (JCGM 100:2008, 4.3.7)."""
    return limit / sqrt(3.0)
