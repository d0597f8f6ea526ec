"""`bottle` on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from balancer.engine.drink.amount import Amount
from balancer.engine.service.bottle import FREEZER_HEADSPACE_PERCENT, UNSURE_K, Bottle, Line
from balancer.models.batch import Batch
from balancer.models.house import House
from balancer.models.specs import Specs
from balancer.output.words.amounts import amount_number, amount_text, large_mass, large_volume, small_volume
from balancer.output.words.bottle import at_service, label, off_text
from balancer.output.words.known import known_sum, unknown_contents
from balancer.output.words.numbers import brix, to_weigh, trim
from balancer.output.words.page import ROWS, act, page, watch
from balancer.output.words.safety import MORE
from balancer.output.words.tonight import past_row
from balancer.output.words.unsaid import in_drink_text

if TYPE_CHECKING:
    from balancer.output.paper.label_print import LabelPrint

START_LOW = "start low and taste; bitters do not scale straight"


NO_BREAK = "\N{NO-BREAK SPACE}"


def bottle_text(result: Bottle, specs: Specs, mixed: date, printed: LabelPrint | None = None, *, logged: bool) -> str:
    """The answer of `bottle`: how much of what strength, what must not go in, the lines to weigh, what to know, label.

    printed  the label on paper, where one was asked for
    """
    house, whole = specs.house, result.whole
    abv = known_sum(trim(whole.abv_percent, 1), "% ABV", "ABV", least=result.is_least("abv"))
    held = f"{large_volume(whole.volume_ml, house)}, {large_mass(whole.mass_g)}, {abv}"
    first = f"{_serves(result)} of {result.drink.name}: {held}"
    urgent = _urgent(result, specs, mixed)
    notes = _notes(result, house)
    lines = [_line_row(line, house) for line in result.lines]
    if len(lines) > ROWS - 2:  # too many to weigh one below the other
        short = [f"{to_weigh(line.mass_g)} {_name(line)}".replace(" g ", f"{NO_BREAK}g ", 1) for line in result.lines]
        lines = [" · ".join(short)]
        bitter = [line.name for line in result.lines if line.is_bitter]
        notes[:0] = [f"{', '.join(bitter)}: {START_LOW}"] * bool(bitter)
    surplus = len(urgent) + len(lines) + len(notes) + 1 - ROWS
    if surplus > 0:
        notes[: surplus + 1] = ["; ".join(notes[: surplus + 1])]
    notes += [] if printed is None else _printed_rows(result, printed)
    notes.append(f"label: {label(result, house, mixed)}")
    return page(first, [*urgent, *lines, *notes], _more(result, logged=logged))


def _urgent(result: Bottle, specs: Specs, today: date) -> list[str]:
    """What is read before anything is weighed."""
    rows: list[str] = [
        act(f"{past_row(batch, specs.name_of(batch.liquid), today)}; it needs a new batch") for batch in result.past
    ]
    rows += [] if result.is_log_read else [act("what is open is unknown: the batch log cannot be read; balancer check")]
    rows += [act(text) for one in result.unsaid if (text := in_drink_text(one, result.drink, specs))]
    off = off_text(result)
    return [*rows, *([watch(off)] if off else [])]


def _printed_rows(result: Bottle, printed: LabelPrint) -> list[str]:
    """Where its label is, and what it had no room for."""
    from balancer.output.screen.labels import left_off_rows  # noqa: PLC0415 - only what prints needs it

    return [printed.text, *left_off_rows(printed, result.drink.name)]


def _notes(result: Bottle, house: House) -> list[str]:
    notes = []
    used = result.from_batch
    if used is not None:
        exact, spec = amount_text(Amount(used.exact_ml), house), amount_number(Amount(used.spec_ml), house)
        pours = f"{exact} a serve, not {spec}"
        said = "its pour is fixed, so the sugar moves" if used.fixed else pours
        short = (
            f"; only {large_mass(used.batch.mass)} of it are left" if used.enough is False and used.batch.mass else ""
        )
        notes.append(f"{used.batch.id} at {brix(used.batch.brix or 0.0)}: {said}{short}")
    notes += [_either(group) for group in result.either if len(group) > 1]
    if result.sour:
        notes.append(f"{', '.join(result.sour)}: put in on the day of service")
    notes += at_service(result)
    notes += [f"not known: {'; '.join(unknown)}"] if (unknown := unknown_contents(result.unknown)) else []
    notes.append(_freezer(result))
    notes += ["; ".join(guests)] if (guests := _for_guests(result)) else []
    return notes


def _either(group: Sequence[Batch]) -> str:
    """That more than one batch is open of what goes in, all of which the label speaks for."""
    ids = " and ".join(batch.id for batch in group)
    counted = f"{ids} are open: last day and allergens are those of {'both' if len(group) == 2 else 'all'}"
    named = next((batch.id for batch in group if batch.brix is not None), None)
    return counted + (f"; say which: --from {named}" if named else "")


def _for_guests(result: Bottle) -> list[str]:
    """What somebody may not have: one row, since a bottle has much to say already."""
    said = [f"contains {', '.join(result.allergens)}"] if result.allergens else []
    said += [f"allergens unknown: {', '.join(result.allergens_unknown)}"] if result.allergens_unknown else []
    cautions = ", ".join(f"{name}: {text}" for name, text in result.cautioned)
    return said + ([f"caution: {cautions}"] if cautions else [])


_HEADSPACE = f"a full or glass bottle may burst there, leave {trim(FREEZER_HEADSPACE_PERCENT, 0)} % empty"


def _freezer(result: Bottle) -> str:
    """Whether it freezes, and the room that it needs: said whatever the answer, because no freezer is exact."""
    freezer = f"in the freezer at {trim(result.cold_c, 0)} °C"
    if result.freezes is None:
        return f"whether it freezes is not known, as its alcohol is not: {_HEADSPACE}"
    if result.freezing_c is None:
        return f"stays liquid {freezer}; in a colder one {_HEADSPACE}"
    spread = " or below" if result.is_least("sugar") else f" ±{trim(UNSURE_K, 1)}" * (result.freezes == "near")
    point = f"freezes from {trim(result.freezing_c, 0)} °C{spread}"
    if result.freezes == "near":
        return f"{point}: may turn slushy {freezer}; {_HEADSPACE}"
    if result.freezes == "no":
        return f"{point}: stays liquid {freezer}; in a colder one {_HEADSPACE}"
    return f"{point}: ice forms {freezer}; {_HEADSPACE}"


def _more(result: Bottle, *, logged: bool) -> str:
    more = [f"vessel of {trim(result.vessel_ml, 0)} ml with {trim(result.headspace_percent, 1)} % left empty"]
    spread = result.dilution.plus_minus_percent
    water = f"water {trim(result.dilution.percent_of_mix or 0.0, 0)} % of mix ({result.dilution.basis})"
    more.append(f"{water}, ±{trim(spread, 0)}: taste before the last of it" if spread else water)
    if result.from_batch is not None:
        more.append(f"logged at {result.from_batch.batch.id}" if logged else "--log notes which batch went in")
    near = [batch.id for batch in result.at_standard if batch not in result.read_off]
    more += [f"{identity} is taken at standard: --from {identity} counts what it reads" for identity in near]
    return "; ".join([*more, MORE, "--steps shows the working"])


def _line_row(line: Line, house: House) -> str:
    volume = "" if line.volume_ml is None else small_volume(line.volume_ml, house)
    aside = ": start low, taste" if line.is_bitter else ""
    return f"{to_weigh(line.mass_g):>8}  {volume:>8}  {_name(line)}{aside}"


def _name(line: Line) -> str:
    return "water (replaces ice melt)" if line.is_melt else line.name


def _serves(result: Bottle) -> str:
    number = trim(result.serves, 1)
    return f"{number} serve" if number == "1" else f"{number} serves"
