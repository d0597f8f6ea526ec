"""The range in which a formula holds, as a value that can refuse."""

from __future__ import annotations

from typing import NamedTuple

from balancer.errors import OutOfRangeError


class Limits(NamedTuple):
    """One argument's range: what it is, from where to where, by which source, and what to do outside it."""

    quantity: str
    low: float
    high: float
    unit: str
    source: str
    remedy: str

    def check(self, value: float) -> None:
        """Raise OutOfRangeError unless low <= value <= high; nan is never inside."""
        if not self.low <= value <= self.high:
            raise self.error(value)

    def error(self, value: float) -> OutOfRangeError:
        """The error for a value outside."""
        return OutOfRangeError(
            self.quantity, value, self.low, self.high, self.unit, source=self.source, remedy=self.remedy
        )
