"""What a batch weighs where nobody weighed it: filled to a volume, or corrected by the mass balance."""

from __future__ import annotations

from dataclasses import replace
from typing import Final, NamedTuple

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.blend import DRY_SUGAR_BRIX, WATER_BRIX, addition_g
from balancer.errors import CannotError
from balancer.models.batch import Batch, LogEntry

_NAMES: Final = {WATER_BRIX: "water", DRY_SUGAR_BRIX: "sugar"}


class MassAfter(NamedTuple):
    """What a batch weighs after a correction by the mass balance, g: before, and what was added.

    additive_brix  strength of what was added, °Bx: 0 water, 100 dry sugar
    as_logged      it was in use: some of what was weighed may have been poured
    """

    before_g: float
    added_g: float
    additive_brix: float
    as_logged: bool

    @property
    def mass_g(self) -> float:
        """All of it."""
        return self.before_g + self.added_g


def mass_after(batch: Batch, brix: float, additive_brix: float | None = None) -> MassAfter | None:
    """What a batch weighs once it was brought to a strength; None where mass or strength before is not known.

    additive_brix  None for water into what was too strong, dry sugar into what was too weak
    Raises CannotError when what is said to have been added cannot have brought it there.
    """
    if batch.mass is None or batch.brix is None:
        return None
    needed = WATER_BRIX if brix < batch.brix else DRY_SUGAR_BRIX
    additive = needed if additive_brix is None else additive_brix
    added = addition_g(batch.mass, batch.brix, brix, additive)
    if added is None:
        raise CannotError(
            "not-between",
            f"{batch.id} was at {batch.brix:.3g} °Bx: {_NAMES.get(additive, f'something at {additive:.3g} °Bx')} "
            f"cannot have brought it to {brix:.3g}",
            "check the strength, and what was added",
        )
    return MassAfter(batch.mass, added, additive, batch.state == "open")


def filled(bar: Bar, draft: LogEntry, volume_ml: float) -> LogEntry:
    """A making that was filled to a volume, ml, with what that weighs, to a tenth of a g. Raises as `mass_of` does."""
    return replace(draft, mass=round(mass_of(bar, draft.liquid or "", volume_ml, draft.brix), 1))


def mass_of(bar: Bar, liquid_id: str, volume_ml: float, brix: float | None) -> float:
    """What a volume of a syrup or ingredient weighs at 20 °C, g.

    brix  of a syrup; its standard when None
    Raises CannotError where nothing tells what a ml of it weighs, BalancerError where no such syrup can be as strong.
    """
    liquid = bar.liquid(liquid_id, brix if liquid_id in bar.specs.syrups else None)
    if not liquid.density:
        raise CannotError(
            "density-missing",
            f"nothing tells what a ml of {liquid.name} weighs",
            "weigh it: --mass 2kg, or write its density into its file, like density: 1.03 g/ml",
        )
    return volume_ml * liquid.density
