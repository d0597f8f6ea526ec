"""A strength and its uncertainty from the readings of a refractometer, and what it means for the menu.

strength = D × (mean reading − zero + temperature + acid + invert), the corrections at the composition
that is on the prism. D is the mass ratio of a diluted sample, never its ratio of volumes.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from math import hypot, isfinite, sqrt
from typing import Final, Literal, NamedTuple

from balancer.brief import brief
from balancer.engine.batch.doubts import changed_doubt
from balancer.engine.batch.events import Stamp
from balancer.engine.batch.notes import CONFIRMED_WITHIN_BRIX
from balancer.engine.batch.now import is_past
from balancer.engine.drink.bar import Bar, Strengths
from balancer.engine.drink.doubts import MOST_READ_C, reading_doubt, strength_doubt, warmth_doubt, zero_doubt
from balancer.engine.drink.instrument import MOST_READ_BRIX, inverted_fraction
from balancer.engine.drink.keeping import Keeping, keeping
from balancer.engine.drink.liquid import MOST_ALCOHOL_READ
from balancer.engine.prep.readings import STRAY_DIVISIONS, Diluted, Proposal, Readings, accuracy_of, end_of, propose
from balancer.engine.prep.scales import Seen
from balancer.engine.service.advice import Advice
from balancer.engine.service.rescale import Rescale, rescale
from balancer.errors import CannotError, UsageError
from balancer.measured import Measured, of_division, of_limit, propagate
from balancer.models.batch import Batch, LogEntry
from balancer.models.batch import Cause as WhyOff
from balancer.models.syrup import Syrup
from balancer.numerics import find_root
from balancer.properties.refractometer import CHECKED_TO_C

JIGGER_LIMIT_ML: Final = 1.0
"""How far a poured volume may be off (common practice): a limit, not a standard uncertainty."""
COMPENSATED_C: Final = (10.0, MOST_READ_C)
"""Where an instrument that compensates for temperature does so, °C (common practice)."""
ALCOHOL_READS_BRIX: Final = 0.334
"""°Bx that 1 % vol adds: by the indices of [CRC], 5 % by mass, which is 6.25 % vol, reads 2.09."""
ACID_WITHIN: Final = 0.10
"""How far the acid of a syrup may be off what is stated, as a fraction (judged: fruit varies more): a limit."""
LEAST_TOLD_BRIX: Final = 0.5
"""A last digit that is worth more than the usual division of a refractometer is told, °Bx."""
SATURATED_BRIX: Final = 66.7
"""About as strong as a sugar syrup stays at room temperature: assumed where the scale has ended."""


_MOST_ACID: Final = 380.0
_MOST_UNSURE: Final = 20.0
"""Standard uncertainty beyond which the log keeps no strength, °Bx."""

UncertaintyCause = Literal["instrument", "spread", "dilution", "acid", "alcohol"]
_CAUSES: Final[dict[UncertaintyCause, tuple[str, ...]]] = {
    "instrument": ("division", "accuracy", "zero"),
    "spread": ("spread",),
    "dilution": ("sample", "water"),
    "acid": ("acid", "convention"),
    "alcohol": ("alcohol",),
}


class Corrections(NamedTuple):
    """What was added to the mean reading, °Bx, and what the sum was multiplied by; zero was taken off."""

    zero: float
    temperature: float
    acid: float
    invert: float
    dilution_factor: float


class ByMixing(NamedTuple):
    """What the acid wants added on the prism by the mixing of refractive indices, °Bx, and the strength it leaves."""

    acid: float
    brix: float


@dataclass(frozen=True, slots=True)
class Measurement:
    """A strength and how it came about.

    strength      °Bx, with a budget by cause: division, accuracy, zero, spread, sample, water, acid (how much there
                  is), convention (what a % of it reads), alcohol
    acid_percent  of what was on the prism, as citric, g per 100 g
    by_mixing     the acid by the mixing of refractive indices in place of the citrus table; None without acid
    masses_g      sample and water; None when it was not diluted
    claimed_brix  what multiplying by the ratio of volumes would have claimed; None without volumes
    ended         a reading stands at the end of the scale, so the strength is only the least it can be
    proposal      the dilution to read instead then; None where none of the usual ones fits
    """

    readings: Readings
    strength: Measured
    corrections: Corrections
    acid_percent: float
    by_mixing: ByMixing | None
    masses_g: tuple[float, float] | None
    claimed_brix: float | None
    warnings: tuple[str, ...]
    ended: bool
    proposal: Proposal | None

    @property
    def too_warm(self) -> str | None:
        """What is odd about its temperature, so that nobody pours by it; None where nothing is."""
        return warmth_doubt(self.readings.temperature_c)

    @property
    def plus_minus_brix(self) -> float:
        """What is shown as ±: two standard uncertainties."""
        return 2.0 * self.strength.uncertainty

    @property
    def mostly(self) -> tuple[UncertaintyCause, float] | None:
        """The cause behind more than half of the variance and its own ±, °Bx."""
        budget = self.strength.budget
        grouped = {group: hypot(*(budget.get(name, 0.0) for name in names)) for group, names in _CAUSES.items()}
        cause = max(grouped, key=lambda name: grouped[name])
        part = grouped[cause]
        return (cause, 2.0 * part) if 2.0 * part**2 > self.strength.uncertainty**2 else None


@dataclass(frozen=True, slots=True)
class Judged:
    """A measurement and, where the syrup is known, what it means.

    at_standard_brix  what this instrument shows at standard, undiluted, °Bx; None where it cannot
    at_standard       the dilution to read at standard, where it cannot
    in_store          how long and how cold it keeps at that strength; None where the syrup is not known
    changed           what is odd about it after what its batch read last; None where nothing is
    """

    measurement: Measurement
    rescale: Rescale | None = None
    at_standard_brix: float | None = None
    at_standard: Proposal | None = None
    in_store: Keeping | None = None
    changed: str | None = None

    __repr__ = brief

    @property
    def doubts(self) -> tuple[str, ...]:
        """What is odd about the readings of a syrup, and about its strength."""
        zero = zero_doubt(self.measurement.readings.zero_brix)
        if self.rescale is None:
            return (zero,) if zero else ()
        name, brix = self.rescale.syrup.name, round(self.rescale.batch_brix, 2)
        found = (zero, *self._readings_doubted, strength_doubt(name, brix, self.rescale.standard_brix))
        return tuple(dict.fromkeys(told for told in found if told))

    @property
    def like_water(self) -> str | None:
        """What is odd about the readings of nobody knows what: it may be water, read to find the zero."""
        return next(filter(None, self._readings_doubted), None) if self.rescale is None else None

    @property
    def _readings_doubted(self) -> tuple[str | None, ...]:
        readings = self.measurement.readings
        return () if readings.diluted else tuple(reading_doubt(shown) for shown in readings.shown)

    @property
    def log_doubts(self) -> tuple[str, ...]:
        """What is odd about logging it."""
        changed = None if self.doubts else self.changed  # one question for one slip
        return tuple(doubt for doubt in (self.measurement.too_warm, changed) if doubt)

    @property
    def at_standard_seen(self) -> Seen | None:
        """What this instrument shows at standard, undiluted, on its own scale; None where it cannot."""
        shown = self.at_standard_brix
        return None if shown is None else self.measurement.readings.as_seen(shown)

    @property
    def drinks(self) -> tuple[str, ...]:
        """Ids of the drinks that pour it."""
        return tuple(row.drink.id for row in self.rescale.rows) if self.rescale else ()

    @property
    def near_edge(self) -> tuple[str, ...]:
        """Names of the drinks whose verdict would be another within ±2 u."""
        return tuple(row.drink.name for row in self.rescale.rows if row.could_be) if self.rescale else ()


def known_of(syrup: Syrup, readings: Readings) -> Readings:
    """Readings with the syrup's sugars, and its acid and alcohol where the readings do not say them."""
    return replace(
        readings,
        acid=readings.acid or syrup.acid,
        inverted_fraction=inverted_fraction(syrup),
        abv_percent=syrup.abv if readings.abv_percent is None else readings.abv_percent,
    )


def measure(readings: Readings, expected_brix: float | None = None) -> Measurement:
    """The strength of a sample.

    expected_brix  its standard, for proposing a dilution where the scale has ended
    Raises CannotError when alcohol makes the reading meaningless or no strength gives it; UsageError when
    a temperature is wanted and missing; OutOfRangeError where a correction ends.
    """
    _check(readings)
    brix = _strength(readings)
    added, factor, diluted = readings.added(brix), readings.factor(brix), readings.diluted
    acid = readings.acid_percent(brix)
    wanted = readings.acid_by_mixing(brix)
    by_mixing = None if wanted is None else ByMixing(wanted, brix + factor * (wanted - added[1]))
    strength = _with_budget(readings, brix, added, 0.0 if wanted is None else wanted - added[1])
    claimed = _claimed(readings, brix, factor)
    ended = max(readings.shown) >= end_of(readings.instrument)
    strongest = max(brix, expected_brix or SATURATED_BRIX)
    return Measurement(
        readings=readings,
        strength=strength,
        corrections=Corrections(readings.zero_brix, *added, factor),
        acid_percent=acid / factor,
        by_mixing=by_mixing,
        masses_g=diluted.masses(brix + acid) if diluted else None,
        claimed_brix=claimed,
        warnings=_warnings(readings, strength, factor, claimed, by_mixing),
        ended=ended,
        proposal=propose(readings, strongest) if ended else None,
    )


def judge(
    bar: Bar,
    syrup_id: str | None,
    readings: Readings,
    *,
    batch: Batch | None = None,
    cause: WhyOff | None = None,
    others: Strengths | None = None,
    day: date | None = None,
) -> Judged:
    """The strength of a sample and, where the syrup is known, what it means for the menu.

    batch   of the syrup, as the log has it before this reading; None counts as in service
    cause   why it is off; None when unknown
    others  strengths of the other syrups as their open batches read, °Bx by id; the rest is at standard
    day     the working day: a batch past its last day is not poured, whatever it reads
    """
    if syrup_id is None:
        return Judged(measure(readings))
    readings = known_of(bar.specs.syrups[syrup_id], readings)
    standard = bar.standard(syrup_id)
    measurement = measure(readings, standard)
    brix = measurement.strength.value
    last = batch.readings[-1] if batch and batch.readings else None
    result = rescale(
        bar,
        syrup_id,
        brix,
        uncertainty_brix=measurement.strength.uncertainty,
        cause=cause or (batch.cause if batch else None),
        others={other: value for other, value in (others or {}).items() if other != syrup_id},
        in_service=batch is None or batch.state == "open",
        confirmed=last is not None and abs(brix - last) <= CONFIRMED_WITHIN_BRIX,
    )
    if measurement.ended:
        result = replace(result, advice=Advice("read again", measurement.warnings[0]))
    elif measurement.too_warm:
        result = replace(result, advice=Advice("read again", measurement.too_warm))
    if batch is not None and day is not None and is_past(batch, day):
        result = replace(result, advice=Advice("pull", f"{batch.id} is past its last day of use"))
    shown = readings.shows(standard)
    in_store = None if measurement.ended else keeping(bar.specs, bar.specs.syrups[syrup_id], brix)
    typed = readings.shown[0] if len(readings.shown) == 1 and not (readings.diluted or readings.seen) else None
    changed = changed_doubt(batch, brix, typed) if batch and not measurement.ended else None
    if shown is not None and readings.on_scale(shown):
        return Judged(measurement, result, shown, None, in_store, changed)
    return Judged(measurement, result, None, propose(readings, standard), in_store, changed)


def open_batch_of(batches: Iterable[Batch], syrup_id: str, day: date, typed: str = "…") -> Batch | None:
    """The open batch of a syrup that may be used on a working day, None when there is none.

    typed  the readings as they were typed, for the lines that tell the batches apart
    Raises UsageError when several are open.
    """
    found = [
        batch for batch in batches if batch.liquid == syrup_id and batch.state == "open" and not is_past(batch, day)
    ]
    if len(found) > 1:
        ids = ", ".join(batch.id for batch in found)
        lines = " or ".join(f"balancer measure {typed} {batch.id} --log" for batch in found)
        raise UsageError("ambiguous-batch", f"{ids} are open: which one was read?", lines)
    return found[0] if found else None


def log_draft(judged: Judged, stamp: Stamp, cause: WhyOff | None) -> LogEntry:
    """The reading as an entry of the log, but for its batch. To a hundredth of a °Bx: no instrument knows more.

    Raises CannotError when the scale has ended, or nothing sure was read, because then the strength is not known.
    """
    if judged.measurement.ended:
        raise CannotError("off-scale", "the end of its range is no strength to log", "dilute, read again and log that")
    strength = judged.measurement.strength
    if strength.uncertainty > _MOST_UNSURE:
        read = [f"{each:g}" for each in judged.measurement.readings.shown]
        if len(read) > 1:
            told = f"{', '.join(read[:-1])} and {read[-1]} °Bx are too far apart to log"
        else:
            told = f"{read[0]} °Bx is too unsure to log"
        raise CannotError("value", told, "stir, read again and log that")
    return LogEntry(
        batch="",
        event="reading",
        at=stamp.at,
        brix=round(strength.value, 2),
        uncertainty=round(strength.uncertainty, 2) or None,
        cause=cause,
        by=stamp.by,
        note=stamp.note,
    )


def _check(readings: Readings) -> None:
    numbers = [*readings.shown, readings.zero_brix]
    numbers += [amount.value for amount in readings.diluted] if readings.diluted else []
    if not readings.shown or not all(isfinite(number) for number in numbers):
        raise CannotError(
            "value", "a reading is missing or is not a number", "give what the refractometer reads, like 50.5"
        )
    if readings.acid and not 0.0 <= readings.acid.value <= _MOST_ACID:
        raise CannotError("value", f"{readings.acid} is not the acid of a syrup", f"give up to {_MOST_ACID:g} g/kg")
    if readings.diluted and not (readings.diluted.sample.value > 0.0 and readings.diluted.water.value >= 0.0):
        raise CannotError("value", "nothing was diluted", "give sample and water, like 100g+100g")
    if not readings.instrument.atc and readings.temperature_c is None and not readings.by_density:
        raise UsageError(
            "usage",
            "an instrument without temperature compensation says nothing without the temperature",
            "measure prism and sample, and add --temperature 20C",
        )
    if not 0.0 <= (readings.abv_percent or 0.0) <= MOST_ALCOHOL_READ:
        raise CannotError(
            "alcohol-reading",
            f"with {readings.abv_percent:g} % vol a refractometer cannot tell sugar from alcohol",
            "read the syrup before the spirit goes in",
        )


def _strength(readings: Readings) -> float:
    """The strength that agrees with its own density, where density matters."""
    shown = readings.mean_brix - readings.zero_brix

    def implied(brix: float) -> float:
        return readings.factor(brix) * (shown + sum(readings.added(brix)))

    if not _needs_density(readings):
        brix = implied(0.0)
        if brix > MOST_READ_BRIX:
            raise _no_strength(f"that would be {brix:.0f} °Bx")
    else:
        high = MOST_READ_BRIX - readings.acid_percent(0.0)
        if implied(high) > high:
            raise _no_strength(f"that would be more than {high:.0f} °Bx")
        brix = find_root(lambda brix: implied(brix) - brix, 0.0, high) if implied(0.0) > 0.0 else 0.0
    if brix <= 0.0:
        raise _no_strength("nothing is left after the corrections")
    return brix


def _needs_density(readings: Readings) -> bool:
    by_volume = readings.diluted is not None and readings.diluted.sample.unit == "ml"
    return by_volume or (readings.acid is not None and readings.acid.unit == "g/l")


def _no_strength(what: str) -> CannotError:
    return CannotError("no-strength", f"{what}: no syrup reads like this", "check readings, zero, acid and dilution")


def _with_budget(readings: Readings, brix: float, added: tuple[float, float, float], apart: float) -> Measured:
    """The strength with its budget. The corrections stand as they are; only D moves with the strength.

    apart  °Bx on the prism between the two ways to count its acid: either may be true, so a limit
    """
    instrument, count = readings.instrument, len(readings.shown)
    budget = {
        "division": of_division(instrument.division),
        "accuracy": of_limit(accuracy_of(instrument)),
        "zero": of_division(instrument.division) if readings.zero_brix else 0.0,  # water was read to a division too
        "spread": readings.spread_brix / sqrt(count),
        "acid": of_limit(ACID_WITHIN * abs(added[1])),
        "convention": of_limit(abs(apart)),
    }
    shown = Measured(readings.mean_brix, budget)
    budget = dict(shown.budget)
    if readings.diluted:
        offset, acid = sum(added) - readings.zero_brix, readings.acid_percent(brix)
        parts = readings.diluted
        inputs = {"shown": shown}
        for name, amount in parts._asdict().items():
            limit = of_limit(JIGGER_LIMIT_ML) if amount.unit == "ml" else of_division(readings.scale_division_g)
            inputs[name] = Measured(amount.value, {name: limit})

        def strength(shown: float, sample: float, water: float) -> float:
            moved = Diluted(parts.sample._replace(value=sample), parts.water._replace(value=water))
            if parts.sample.unit == "g":
                return moved.factor(brix) * (shown + offset)
            high = MOST_READ_BRIX - acid
            return find_root(lambda b: moved.factor(b + acid) * (shown + offset) - b, 0.0, high)

        budget = dict(propagate(strength, inputs).budget)
    if readings.abv_percent:
        budget["alcohol"] = ALCOHOL_READS_BRIX * readings.abv_percent  # always one way and not taken off: all of it
    return Measured(brix, {name: part for name, part in budget.items() if part})


def _claimed(readings: Readings, brix: float, factor: float) -> float | None:
    """The strength if the ratio of two volumes were the ratio of their masses."""
    parts = readings.diluted
    if parts is None or "g" in (parts.sample.unit, parts.water.unit):
        return None
    return (1.0 + parts.water.value / parts.sample.value) * brix / factor


def _warnings(
    readings: Readings, strength: Measured, factor: float, claimed: float | None, by_mixing: ByMixing | None
) -> tuple[str, ...]:
    found = [*_scale_warnings(readings), *_stray_warnings(readings), *_temperature_warnings(readings)]
    found += _digit_warnings(readings)
    if claimed is not None:
        ratio = claimed / strength.value * factor
        found.append(
            f"by volume the factor is {factor:.2f}, not {ratio:.3g}: "
            f"times {ratio:.3g} would have claimed {claimed:.1f} °Bx"
        )
    if readings.abv_percent:
        like = "hides sugar from a hydrometer" if readings.by_density else "reads like sugar"
        found.append(f"{readings.abv_percent:g} % vol {like}: read before the spirit goes in")
    if by_mixing and abs(by_mixing.brix - strength.value) > 0.5 * strength.uncertainty:
        found.append(
            f"the acid is counted as in juice; by the mixing of refractive indices it is {by_mixing.brix:.1f} °Bx: "
            "the ± covers both"
        )
    return tuple(found)


def _digit_warnings(readings: Readings) -> list[str]:
    """Digits that were left off cost more than any instrument."""
    if not readings.seen or readings.instrument.division <= LEAST_TOLD_BRIX:
        return []
    digit, scale = readings.seen[0].last_digit, readings.seen[0].scale
    told = f"one step of {digit:g} {scale} is {readings.instrument.division:.1f} °Bx"
    return [f"{told}: write every digit that the instrument shows, zeros too"]


def _scale_warnings(readings: Readings) -> list[str]:
    low, high = readings.instrument.scale
    most, least = max(readings.shown), min(readings.shown)
    if most > high:
        return [f"{most:g} is beyond your refractometer, which ends at {high:g} °Bx: dilute and read again"]
    if most >= end_of(readings.instrument):
        return [f"{most:g} is the end of your refractometer: the syrup may be stronger; dilute and read again"]
    if least < low:
        return [f"{least:g} is below your refractometer, which begins at {low:g} °Bx: take another instrument"]
    return []


def _stray_warnings(readings: Readings) -> list[str]:
    shown, apart = readings.shown, STRAY_DIVISIONS * readings.instrument.division
    if len(shown) == 2 and abs(shown[0] - shown[1]) > apart:
        return [f"the two readings are {abs(shown[0] - shown[1]):.1f} °Bx apart: stir and read a third time"]
    middle = sorted(shown)[len(shown) // 2]
    stray = max(shown, key=lambda value: abs(value - middle))
    if len(shown) < 3 or abs(stray - middle) <= apart:
        return []
    rest = [value for value in shown if value != stray]
    mean = f"{sum(rest) / len(rest):.1f}" if rest else "another"
    return [f"{stray:g} stands apart from the other readings, whose mean is {mean}: wipe the prism and read again"]


def _temperature_warnings(readings: Readings) -> list[str]:
    temperature = readings.temperature_c
    if temperature is None:
        return ["taken at 20 °C: --temperature says another"] if readings.by_density else []
    low, high = COMPENSATED_C
    found = []
    if temperature > high:
        found.append(f"{temperature:g} °C is too warm for a good reading: let it cool, covered, below {high:g} °C")
    if temperature < low and readings.instrument.atc and not readings.by_density:
        found.append(f"{temperature:g} °C is colder than instruments compensate for: let it warm to {low:g} °C")
    if readings.corrected_c is not None and temperature > CHECKED_TO_C:
        found.append(f"the temperature correction above {CHECKED_TO_C:g} °C is not checked against a print")
    return found
