"""What each drink pours of a syrup that is off-strength."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from balancer.asking import names
from balancer.asking.outcome import Outcome
from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.desk.values import TextOrNumber
from balancer.engine.batch.doubts import measured_doubt
from balancer.engine.service.rescale import Rescale, rescale
from balancer.output.data.rescale import rescale_data


def rescaled(
    desk: Desk,
    syrup: str,
    brix: TextOrNumber,
    drinks: Sequence[str] = (),
    *,
    uncertainty: TextOrNumber | None = None,
    cause: str | None = None,
    alone: bool = False,
    is_meant: bool = False,
) -> Outcome[Rescale]:
    """One syrup across the menu, or in some drinks; syrup and drinks by name, numbers in °Bx.

    alone     whether every other syrup counts at standard, whatever its open batch reads
    is_meant  whether a strength that looks like a slip is meant
    Raises UsageError for a name that nothing has, CannotError for a slip.
    """
    strength = values.brix(brix, desk.calls("--brix"))
    syrup_id = names.syrup(desk.loaded, syrup)
    desk.believe([measured_doubt(desk.bar, syrup_id, strength, None)], is_meant=is_meant)
    only, lost = names.drinks(desk.loaded, drinks)
    result = rescale(
        desk.bar,
        syrup_id,
        strength,
        only or None,
        uncertainty_brix=None if uncertainty is None else values.uncertainty(uncertainty, desk.calls("--uncertainty")),
        cause=None if cause is None else values.cause(cause, desk.calls("--cause")),
        others={} if alone else desk.in_use.strengths,
    )
    return Outcome(
        result,
        partial(rescale_data, result),
        about=(syrup_id, *(row.drink.id for row in result.rows)),
        touching=lost if drinks else desk.loaded.broken_pouring(syrup_id),
    )
