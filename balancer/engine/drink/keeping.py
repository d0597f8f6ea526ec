"""How long a syrup keeps, and how cold: as its file says while it is as strong as its standard, and not weaker.

A house finds the days and the storage of a syrup for its standard. Sugar is what keeps a rich one: watered, it is
another syrup, which nobody has kept. No number here says that something is safe: local food rules decide.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from balancer.engine.drink.doubts import IMPLAUSIBLE_PERCENT
from balancer.engine.drink.liquid import standard_strength
from balancer.errors import BalancerError
from balancer.models.specs import Specs
from balancer.models.syrup import Syrup
from balancer.properties import sucrose

COLD_C: Final = 5.0
"""Cold holding, °C at most: 41 °F [FOODCODE] 3-501.16."""

KEPT_BY_STRENGTH: Final = 0.92
"""Water activity up to which strength counts at all for a food not packed hot; above it only a pH below 4.2 does:
[FOODCODE] 1-201.10, table B. Plain syrup reaches it at about 54 °Bx, so 1:1 is kept by the cold, 2:1 by its sugar."""

_ROUNDING: Final = 1e-9
_MOST_BRIX: Final = 67.0
"""Where the formula of water activity ends; richer is drier still."""


@dataclass(frozen=True, slots=True)
class Keeping:
    """What holds for a syrup at a strength.

    days           how long it keeps, the day it is made being day 1; None when nothing tells
    storage_c      °C
    own_days       as its file says, for its standard
    standard_brix  °Bx; None where nothing tells it
    weaker         below its standard by more than prep lets pass
    lost           so much weaker that its own days and its own storage hold no longer
    like           the plain syrup of the house, no stronger than it, whose days it has instead
    """

    days: float | None
    storage_c: float
    own_days: float | None
    standard_brix: float | None
    weaker: bool = False
    lost: bool = False
    like: str | None = None


def keeping(specs: Specs, syrup: Syrup, brix: float | None) -> Keeping:
    """How long a syrup keeps at a strength, °Bx; as at standard where it is not known.

    Rule: weaker than its standard by more than its tolerance, a syrup that its sugar keeps loses its days and its
          room temperature; one that the cold keeps has its days still, at most, unless it lacks a fifth of its sugar.
          What has lost its days has those of a plain syrup of the house that is no stronger, where it is plain
          itself, and never more than its own; else nothing tells how long it keeps
    """
    storage = specs.storage(syrup)
    standard = _standard(syrup)
    tolerance = specs.batch_tolerance(syrup)
    if standard is None or brix is None or brix >= standard - tolerance - _ROUNDING:
        return Keeping(syrup.keeps, storage, syrup.keeps, standard)
    by_strength = is_kept_by_strength(syrup, standard, storage)
    has_own = syrup.keeps is not None or storage > COLD_C
    if not has_own or (not by_strength and brix >= standard * (1.0 - IMPLAUSIBLE_PERCENT / 100.0)):
        return Keeping(syrup.keeps, storage, syrup.keeps, standard, weaker=True)
    cold = min(storage, specs.house.storage, COLD_C)
    known = list(_as_weak(specs, syrup, brix))
    if not known:
        return Keeping(None, cold, syrup.keeps, standard, weaker=True, lost=True)
    days, like = max(known)
    most = days if syrup.keeps is None else min(days, syrup.keeps)
    return Keeping(most, cold, syrup.keeps, standard, weaker=True, lost=True, like=like)


def is_kept_by_strength(syrup: Syrup, standard_brix: float, storage_c: float) -> bool:
    """Whether it is its sugar that keeps a syrup: rich at standard, or kept warmer than cold."""
    return (storage_c > COLD_C and not syrup.abv) or is_rich(standard_brix)


def is_rich(brix: float) -> bool:
    """Whether a strength, °Bx, counts for how long a food keeps. Judged as of sucrose."""
    return sucrose.water_activity(min(max(brix, 0.0), _MOST_BRIX)) <= KEPT_BY_STRENGTH


def _as_weak(specs: Specs, syrup: Syrup, brix: float) -> Iterator[tuple[float, str]]:
    """Days and name of the house's plain syrups that are no stronger: what is richer keeps as long, or longer."""
    if syrup.flavour != "none" or syrup.abv:
        return
    for other in specs.syrups.values():
        standard = _standard(other)
        if other.flavour != "none" or other.abv or other.keeps is None or standard is None or other.id == syrup.id:
            continue
        tolerance = specs.batch_tolerance(other)
        if standard - tolerance <= brix + _ROUNDING:
            yield other.keeps, other.name


def _standard(syrup: Syrup) -> float | None:
    try:
        return standard_strength(syrup)
    except BalancerError:  # given as a reading that alcohol makes meaningless
        return None
