"""A form that is sent twice, by a double tap or a reload, does once what it asks."""

from __future__ import annotations

import secrets
from collections import OrderedDict
from collections.abc import Callable
from threading import Lock
from typing import Final

from balancer.web.guard import RefusedError

FIELD: Final = "once"
"""The field of a form that holds its number."""

_REMEMBERED: Final = 20_000


class Once:
    """Numbers for forms, and where each that was done led to.

    A number is of this start of the page: whether a form from before it was done cannot be known, so it is refused.
    """

    def __init__(self, remembered: int = _REMEMBERED) -> None:
        self._start = secrets.token_hex(8)
        self._given = 0
        self._forgotten = 0
        self._remembered = remembered
        self._led_to: OrderedDict[int, str] = OrderedDict()
        self._doing: dict[int, Lock] = {}
        self._lock = Lock()

    def number(self) -> str:
        """The number of a new form."""
        with self._lock:
            self._given += 1
            return f"{self._start}-{self._given}"

    def do(self, number: str, deed: Callable[[], str]) -> str:
        """Do what a form asks unless it was done: the address that shows it. What raises was not done.

        Raises RefusedError for a form of which nobody knows whether it was done.
        """
        with self._lock:
            place = self._place(number)
            known = self._led_to.get(place)
            doing = self._doing.setdefault(place, Lock()) if known is None else None
        if doing is None:
            return known or ""
        with doing:  # the second of a double tap waits for what the first one leads to
            with self._lock:
                known = self._led_to.get(place)
            return self._keep(place, deed()) if known is None else known

    def _keep(self, place: int, led_to: str) -> str:
        with self._lock:
            self._led_to[place] = led_to
            self._doing.pop(place, None)
            while len(self._led_to) > self._remembered:
                dropped, _ = self._led_to.popitem(last=False)
                self._forgotten = max(self._forgotten, dropped)
        return led_to

    def _place(self, number: str) -> int:
        start, _, digits = number.partition("-")
        place = int(digits) if digits.isascii() and digits.isdecimal() and len(digits) < 16 else 0
        known = place in self._led_to or place > self._forgotten
        if start != self._start or not (0 < place <= self._given and known):
            raise RefusedError(
                409, "this form is from before the page was started anew: see first whether it is logged"
            )
        return place
