"""What was printed last of each drink."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Printed:
    """The card that is out there.

    drink    its id
    name     as printed
    version  as printed; None without one
    date     when it was printed, ISO 8601
    content  the SHA-256 of what it says
    """

    drink: str
    name: str
    version: str | None
    date: str
    content: str
