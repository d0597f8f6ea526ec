"""What was printed last of each drink."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Printed:
    """The card that is out there.

    drink    its id
    name     as printed
    version  as printed; None without one
    date     when it was printed, ISO 8601
    content  the SHA-256 of what it says
    mark     the print mark at its foot; None of a card that was printed before there were marks
    units    the units that were asked for, as the option has them; None: those that the house shows
    extras   whether it has strength and volume on it
    spec     the drink and all it pours as the files had them, by `balancer.files.house.printed_spec`; None of a card
             that was printed before this was kept
    """

    drink: str
    name: str
    version: str | None
    date: str
    content: str
    spec: Mapping[str, Any] | None = field(default=None, hash=False)
    mark: str | None = None
    units: str | None = None
    extras: bool = False
