"""`measure` on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from balancer.engine.drink.doubts import MOST_READ_C
from balancer.engine.prep.measure import Judged, Measurement
from balancer.engine.prep.readings import Proposal
from balancer.engine.service.lines import lines_of
from balancer.engine.service.rescale import Rescale
from balancer.engine.service.strips_moved import StripsMoved
from balancer.models.batch import Batch
from balancer.models.house import House
from balancer.output.words.advice import (
    READS,
    advice_row,
    advice_word,
    beside_text,
    borderline,
    per_kg_text,
    spec_text,
    unreached_names,
)
from balancer.output.words.batches import past_text, slip_text
from balancer.output.words.keeping import lost_text
from balancer.output.words.numbers import MINUS, brix, seen_text, some, trim
from balancer.output.words.page import ROWS, act, few, page, watch
from balancer.output.words.strips_moved import strip_rows
from balancer.output.words.tonight import correction_rows, pours_text

_READS = {"°Bx": READS, "nD": READS, "SG": "your hydrometer should read"}
_CORRECTED = (("temperature", "temperature"), ("acid", "acid"), ("invert", "invert sugar"))


_LEAST_SHOWN_BRIX = 0.05


def measure_text(
    judged: Judged,
    house: House,
    logged: str | None = None,
    *,
    is_new: bool = False,
    past: Sequence[Batch] = (),
    today: date | None = None,
    moved: StripsMoved | None = None,
) -> str:
    """The answer of `measure`: the strength, what it means, how it came about.

    logged  id of the batch that the reading was logged for; is_new: it began with this reading
    past    open batches of the syrup after their last day of use
    moved   what becomes of strips on the rail now that it is logged
    """
    measured = judged.measurement
    first = strength_text(measured)
    if measured.ended:
        first = act(f"{first} or more: dilute and read again")
    elif measured.too_warm:
        first = act(f"{first}: let it cool, covered, below {MOST_READ_C:g} °C and read again")
    elif judged.rescale:
        first = advice_row(judged.rescale.advice, f"{first}: {_meaning(judged.rescale, house)}")
    rows: list[str] = [_logged_row(judged, logged, is_new=is_new)] if logged else []
    rows += [watch(f"{label}: {text}") for label, text in strip_rows(moved, logged)] if moved and logged else []
    rows.extend(act(past_text(batch, today)) for batch in past)
    rows.extend(watch(text) for text in (*measured.warnings, *lost_text(judged.in_store)))
    if judged.like_water:
        rows.append(
            watch(f"{judged.like_water} Of plain water it is the zero: --zero {trim(measured.readings.mean_brix, 2)}")
        )
    if measured.proposal:
        rows.append(f"mix {proposal_text(measured.proposal)} and read again, with {_option(measured.proposal)}")
    if judged.rescale and not measured.ended:
        rows += _menu_rows(judged, judged.rescale, house)
    rows.append(corrections_text(measured))
    if judged.rescale:
        rows += standard_rows(judged, judged.rescale)
    rows += budget_rows(measured)
    shown, more = few(rows, ROWS, "notes")
    more += [slip_text(logged)] if logged else []
    more += beside_text(judged.rescale) if judged.rescale else ["--syrup NAME says what it means for the menu"]
    return page(first, shown, "; ".join([*more, "--steps shows the working"]))


def strength_text(measured: Measurement) -> str:
    """A strength as read, with two standard uncertainties."""
    shown = measured.plus_minus_brix
    return f"{brix(measured.strength.value)} ±{trim(shown, 1 if shown >= _LEAST_SHOWN_BRIX else 2)}"


def _meaning(result: Rescale, house: House) -> str:
    word, name = advice_word(result.advice), result.syrup.name
    if word == "as written" and any(row.is_to_blame for row in result.rows):
        return f"{name}: {unreached_names(row.drink for row in result.rows if row.is_to_blame)}"
    if word == "as written":
        return f"{name}, pour as written"
    if word == "change pours":
        return f"pour {name} {pours_text(lines_of(result), house)}"
    if word == "correct the batch" and result.correct.add:
        return f"{word} of {name}, {per_kg_text(result.correct)}"
    return f"read {name} again" if word == "read again" else f"{word} {name}"


def _logged_row(judged: Judged, logged: str, *, is_new: bool) -> str:
    row = f"new batch: write {logged} on its tape" if is_new else f"logged for {logged}"
    if judged.rescale and judged.rescale.advice.word == "correct the batch":
        row += f"; next: balancer correct --batch {logged}"
    return row


def _menu_rows(judged: Judged, result: Rescale, house: House) -> list[str]:
    word, reason = result.advice
    rows = [f"standard {spec_text(result.standard_brix, result.written_for)}: {reason}"] * (
        not judged.measurement.too_warm
    )
    if result.advice.is_unsure:
        return rows
    if judged.near_edge:
        rows.append(f"{borderline(judged.measurement.plus_minus_brix)}: {some(judged.near_edge, 2)}")
    if word != "correct the batch":
        rows += correction_rows(result, "or correct it", house)
    return rows


def corrections_text(measured: Measurement) -> str:
    """What was read, and what was corrected for, by name."""
    shown, found = measured.readings.shown, measured.corrections
    mean = f", mean of {len(shown)}" if len(shown) > 1 else ""
    parts = [f"zero {_signed(-found.zero)}"] if abs(found.zero) >= _LEAST_SHOWN_BRIX else []
    parts += [
        f"{label} {_signed(getattr(found, name))}"
        for name, label in _CORRECTED
        if abs(getattr(found, name)) >= _LEAST_SHOWN_BRIX
    ]
    parts += [f"times {trim(found.dilution_factor, 2)}"] if measured.readings.diluted else []
    read = " ".join(seen_text(*each) for each in measured.readings.seen)
    is_worth = f"{read}, as sugar {brix(measured.readings.mean_brix)}" if read else trim(measured.readings.mean_brix, 1)
    return f"read {is_worth}{mean}: {', '.join(parts) or 'nothing to correct'}"


def standard_rows(judged: Judged, result: Rescale) -> list[str]:
    """What the instrument shows of the syrup at its standard."""
    lead = f"at standard ({brix(result.standard_brix)})"
    seen = judged.at_standard_seen
    if seen is not None:
        return [f"{lead} {_READS[seen.scale]} {seen_text(*seen)}"]
    if judged.at_standard is None:
        return []
    return [f"{lead} {proposal_text(judged.at_standard)} should read {trim(judged.at_standard.reads_brix, 1)}"]


def budget_rows(measured: Measurement) -> list[str]:
    """What to do about the uncertainty, where one cause makes most of it."""
    if measured.mostly is None:
        return []
    cause, plus_minus = measured.mostly
    made = f"±{trim(plus_minus, 1)}"
    diluted = measured.readings.diluted
    if cause == "dilution" and diluted:
        if "ml" in (diluted.sample.unit, diluted.water.unit):
            return [f"the dilution by volume costs you {made}: weigh sample and water instead"]
        return [f"weighing sample and water costs you {made}: take more of both"]
    said = {
        "spread": f"your readings differ, which costs you {made}: stir and read again",
        "acid": f"the acid costs you {made}: how much there is, and what it reads in syrup",
        "alcohol": f"the alcohol costs you {made}",
        "instrument": f"the dilution multiplies what your instrument may be off: {made}",
    }
    return [said[cause]] if cause in said and (cause != "instrument" or diluted) else []


def proposal_text(proposal: Proposal) -> str:
    """A dilution to read instead."""
    return f"{trim(proposal.sample_g, 0)} g of it with {trim(proposal.water_g, 0)} g water"


def _option(proposal: Proposal) -> str:
    """What to add to the line that was typed."""
    return f"--dilute {trim(proposal.sample_g, 0)}g+{trim(proposal.water_g, 0)}g"


def _signed(value: float) -> str:
    return f"{MINUS if value < 0 else '+'}{trim(abs(value), 1)}"
