"""What is to change of a drink: one of its pours changed, added or removed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from balancer.models.drink import Drink
from balancer.models.pour import Pour
from balancer.units import Quantity


class PourChange(NamedTuple):
    """One pour of a drink changed, added or removed.

    pour     the pour of the drink as it is; None for one that comes behind the others
    of       id of what is poured then: its own where only the amount changes
    amount   how much of it then, as a bar writes it; None for a pour that is removed
    written  the amount as a person typed it, to stand so in the file; without it the file's own style is kept
    """

    pour: Pour | None
    of: str
    amount: Quantity | None
    written: str = ""

    @property
    def is_something(self) -> bool:
        """Whether the pour becomes another one."""
        return self.pour is None or (self.of, self.amount) != (self.pour.of, self.pour.amount)


class AlsoChanged(NamedTuple):
    """What changes of a drink besides its pours; None: it stays.

    glass     the glass it is for then
    dilution  what was weighed of it, in % of the mix's volume: its weighing was of other pours
    """

    glass: str | None = None
    dilution: float | None = None


NOTHING_ELSE = AlsoChanged()


def pours_after(drink: Drink, changes: Sequence[PourChange]) -> tuple[Pour, ...]:
    """The pours of a drink with some changes, in the order of its file; marks like `fixed` stay on their line."""
    changed = {id(change.pour): change for change in changes if change.pour is not None}
    pours: list[Pour] = []
    for pour in drink.pours:
        change = changed.get(id(pour))
        if change is None:
            pours.append(pour)
        elif change.amount is not None:
            pours.append(pour.model_copy(update={"of": change.of, "amount": change.amount}))
    added = [change for change in changes if change.pour is None and change.amount is not None]
    return (*pours, *(Pour(pour=change.amount, of=change.of) for change in added))
