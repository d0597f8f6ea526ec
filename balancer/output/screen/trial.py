"""`sheet test`, and the sheet of a swap or an adjusted drink, on the screen."""

from __future__ import annotations

from balancer.engine.swaps.trial import Trial
from balancer.output.paper.language import Words
from balancer.output.paper.sheet import PrintedSheet, sheet_text
from balancer.output.paper.trial_sheet import side_names
from balancer.output.words.numbers import points
from balancer.output.words.page import act, labelled
from balancer.output.words.taste import LABEL, taste_text


def trial_text(trial: Trial, printed: PrintedSheet, words: Words) -> str:
    """The answer of `sheet test`: an allergen that is gained or not known, where the sheet is, what else to tell."""
    old, new = side_names(trial, words)
    of = f" of {trial.new.drink.name}" if trial.result.is_same_drink else ""
    sheet = f"test sheet{of}, {new} against {old}: {printed.text}"
    warnings = _warnings(trial)
    return sheet_text(act("; ".join([*warnings, sheet])) if warnings else sheet, _rows(trial))


def _warnings(trial: Trial) -> list[str]:
    """What a taster may not have, and nobody knows."""
    result = trial.result
    found = [f"allergen gained: {', '.join(result.gained)}"] if result.gained else []
    return [*found, *([f"allergens of {', '.join(result.unknown)} unknown: ask"] if result.unknown else [])]


def _rows(trial: Trial) -> list[str]:
    result = trial.result
    rows: list[str] = []
    if trial.had_no_alcohol:
        rows.append(act("alcohol in a drink that had none"))
    elif trial.alcohol_added_g:
        rows.append(f"alcohol {points(trial.alcohol_added_g)} g")
    if trial.alcohol_added_g is None:
        rows.append("how much more alcohol it has is not known")
    rows += [f"caution: {caution.name}: {caution.text}" for caution in trial.cautions_gained]
    if result.is_alike:
        rows.append("nothing differs: there is nothing to taste")
    return [*rows, labelled(LABEL, taste_text(result.tasting))]


def sheet_row(printed: PrintedSheet) -> str:
    """Where a sheet is that was printed beside an answer."""
    return f"test sheet: {printed.text}"


def no_sheet_row(*, feasible: bool) -> str:
    """Why there is none."""
    why = "the spec stays as it is" if feasible else "what cannot be had is not tasted"
    return f"no test sheet: {why}"
