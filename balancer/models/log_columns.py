"""The columns of the batch log as one table of many bars: the schema of what `export log` writes."""

from __future__ import annotations

from typing import Final, Literal, NamedTuple

ColumnKind = Literal["text", "texts", "number", "whole", "flag", "day", "moment"]
"""texts: a list of text; day: a date; moment: an instant, in UTC."""


class LogColumn(NamedTuple):
    """One column: its name, kind and unit ("" where it has none), and what it means. Any value may be missing."""

    name: str
    kind: ColumnKind
    unit: str
    meaning: str


SCHEMA: Final = "1"
"""Of these columns. It rises when one goes or changes its meaning; further ones may come at the end."""

LOG_COLUMNS: Final = (
    LogColumn("line", "whole", "", "the line of batches.yaml"),
    LogColumn("batch", "text", "", "the batch's id, as on its tape"),
    LogColumn("syrup", "text", "", "id of the syrup or ingredient, where the line says it"),
    LogColumn("event", "text", "", "made, reading, open, empty, correct, discard or undo"),
    LogColumn("logged_at", "moment", "UTC", "when it was logged"),
    LogColumn("day", "day", "", "the working day of that, by the bar's clock and its day ends; else the day made"),
    LogColumn("brix", "number", "°Bx", "strength, read or predicted"),
    LogColumn("uncertainty_brix", "number", "°Bx", "its standard uncertainty"),
    LogColumn("acid_g_per_l", "number", "g/l", "measured acid, as citric, where the line has it by volume"),
    LogColumn("acid_g_per_kg", "number", "g/kg", "measured acid, as citric, where the line has it by weight"),
    LogColumn("cause", "text", "", "why it is off: boiled, watered or sugar"),
    LogColumn("mass_g", "number", "g", "what it weighed"),
    LogColumn("made", "day", "", "the day it was made"),
    LogColumn("discard", "day", "", "its last day of use, where the line says it"),
    LogColumn("logged_by", "text", "", "who logged it; of a making, who made it"),
    LogColumn("refers", "texts", "", "batches it replaces or is combined from; of an undo, the moments it takes back"),
    LogColumn("undo_event", "text", "", "of an undo: the one event that it takes back"),
    LogColumn("note", "text", "", "remark"),
    LogColumn("undone", "flag", "", "whether a line below takes it back"),
    LogColumn("liquid", "text", "", "id of the syrup or ingredient of the batch, in every line of it"),
    LogColumn("standard_brix", "number", "°Bx", "the syrup's standard, as the files had it at the export"),
    LogColumn("tolerance_brix", "number", "°Bx", "what prep lets pass of it, as the files had it at the export"),
    LogColumn("first_brix", "number", "°Bx", "of a making: its first reading, where it counts on the chart"),
    LogColumn("last_brix", "number", "°Bx", "of a making: the batch's strength at the export"),
    LogColumn("state", "text", "", "of a making: made, open, empty or discarded at the export"),
    LogColumn("batch_cause", "text", "", "of a making: why the batch is off, from whichever line said it last"),
)  # fmt: skip
"""What the line says, as it says it, up to `note`; then what the whole log makes of it. A batch counts on the chart
once, in the line that made it, so that no mean or number of batches is taken over its readings twice."""
