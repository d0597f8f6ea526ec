"""What measuring is worth: the menu poured of batches drawn by chance."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from functools import partial

from balancer.asking import names
from balancer.asking.outcome import Outcome
from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.desk.values import TextOrNumber
from balancer.engine.simulate.result import Simulation
from balancer.engine.simulate.simulate import DRAWS, LEAST_DRAWS, MOST_DRAWS, MOST_SD_BRIX, SEED, simulate
from balancer.errors import UsageError
from balancer.output.data.simulate import simulate_data

_SD = "--sd"


def simulated(
    desk: Desk,
    drinks: Sequence[str] = (),
    *,
    sd: TextOrNumber | None = None,
    own_sd: Sequence[tuple[str, TextOrNumber]] = (),
    uncertainty: TextOrNumber | None = None,
    draws: int = DRAWS,
    seed: int = SEED,
) -> Outcome[Simulation]:
    """The menu, or some drinks by name, as written, with new pours and corrected.

    sd           standard deviation of every syrup, °Bx; own_sd: of some, by name; else as the log has them
    uncertainty  of one reading, °Bx; that of the house's instrument when None
    draws        of each drink; the same seed draws the same batches
    Raises UsageError for a spread that says nothing or cannot be meant, CannotError when no spread is known.
    """
    if not LEAST_DRAWS <= draws <= MOST_DRAWS:
        remedy = f"give a number from {LEAST_DRAWS} to {MOST_DRAWS}"
        raise UsageError("usage", f"{desk.calls('--draws')}: {draws} cannot be meant", remedy)
    own = _by_id(desk, own_sd)
    asked, lost = names.drinks(desk.loaded, drinks) if drinks else (None, desk.loaded.broken_of("drinks"))
    poured = {pour.of for drink in (desk.specs.drinks.values() if asked is None else asked) for pour in drink.pours}
    _check_poured(desk, own, poured)
    is_given = sd is not None or poured.intersection(desk.specs.syrups) <= set(own)
    result = simulate(
        desk.bar,
        () if is_given else desk.batches,  # what is given for all needs no log, not even one that can be read
        sd_brix=None if sd is None else _brix(desk, sd, _SD),
        own_sd_brix=own,
        reading_brix=None if uncertainty is None else _brix(desk, uncertainty, "--uncertainty"),
        drinks=asked,
        draws=draws,
        seed=seed,
    )
    about = None if asked is None else tuple(drink.id for drink in asked)
    return Outcome(result, partial(simulate_data, result), about=about, touching=lost)


def _by_id(desk: Desk, own_sd: Sequence[tuple[str, TextOrNumber]]) -> dict[str, float]:
    """The spreads of some syrups by id, °Bx."""
    found: dict[str, float] = {}
    for name, text in own_sd:
        syrup = names.syrup(desk.loaded, name)
        brix = _brix(desk, text, _SD, f" of {desk.specs.syrups[syrup].name}")
        if syrup in found:
            told = f"{desk.calls(_SD)}: {desk.specs.syrups[syrup].name} is given twice"
            raise UsageError("usage", told, "leave one out")
        found[syrup] = brix
    return found


def _check_poured(desk: Desk, own: Iterable[str], poured: Collection[str]) -> None:
    """Raise UsageError for a spread of a syrup that no drink asked about pours: it would say nothing."""
    for each in own:
        if each not in poured:
            told = f"{desk.calls(_SD)}: no drink asked about pours {desk.specs.syrups[each].name}"
            raise UsageError("usage", told, "leave it out, or name its drinks")


def _brix(desk: Desk, text: TextOrNumber, option: str, whose: str = "") -> float:
    return values.zero_or_more(text, f"{desk.calls(option)}{whose}", "strength", "°Bx", MOST_SD_BRIX)
